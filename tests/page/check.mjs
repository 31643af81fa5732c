// Opens report.html from disk in a headless browser and uses it as a builder would; reads pixels and the camera, not only the document.
import { chromium } from "playwright-core";
import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { pathToFileURL } from "node:url";

const [program, folder, shots] = process.argv.slice(2);
const page_of = (name) => path.resolve(folder, name, "report.html");
const CHROMIUM = process.env.CHROMIUM ?? "/usr/bin/chromium";
const ARGS = [
  "--no-sandbox", "--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--disable-quic", "--no-first-run",
  "--disable-background-networking", "--disable-component-update", "--disable-sync",
];
const WIDE = { viewport: { width: 1440, height: 900 }, reducedMotion: "reduce" };
const PHONE = { viewport: { width: 390, height: 844 }, deviceScaleFactor: 2, hasTouch: true, isMobile: true, reducedMotion: "reduce" };

const profile = mkdtempSync(path.join(tmpdir(), "groovewright-page-"));
const browser = await chromium.launch({ executablePath: CHROMIUM, args: ARGS, env: { ...process.env, HOME: profile } });
let checked = 0;

// Opens a page and fails on any error of it and on anything it asks the network for.
async function open(name, options) {
  const context = await browser.newContext(options);
  const page = await context.newPage();
  const wrong = [];
  page.on("console", (m) => m.type() === "error" && wrong.push(m.text()));
  page.on("pageerror", (e) => wrong.push(e.message));
  page.on("request", (r) => /^(file|data|blob):/.test(r.url()) || wrong.push("asks for " + r.url()));
  await page.goto(pathToFileURL(page_of(name)).href);
  await page.waitForFunction(() => window.groovewright && !groovewright.camera.flight);
  return { page, close: async () => (assert.deepEqual(wrong, []), await context.close()) };
}

// What the picture shows now: the count of pixels that are drawn on, and of those that are like a colour.
const picture = (page, like) =>
  page.evaluate((like) => {
    groovewright.frame();
    const view = document.getElementById("view");
    const copy = Object.assign(document.createElement("canvas"), { width: view.width, height: view.height }).getContext("2d");
    copy.drawImage(view, 0, 0);
    const { data } = copy.getImageData(0, 0, view.width, view.height);
    const seen = { drawn: 0, like: 0, sum: 0, size: view.width * view.height };
    for (let i = 0; i < data.length; i += 4) {
      if (data[i + 3] > 10) seen.drawn++;
      if (like && data[i + 3] > 200 && like.every((c, k) => c === null || (c[0] <= data[i + k] && data[i + k] <= c[1]))) seen.like++;
      seen.sum = (seen.sum * 31 + data[i] + 3 * data[i + 1] + 7 * data[i + 2]) % 2147483647;
    }
    return seen;
  }, like);
const camera = (page) => page.evaluate(() => ({ yaw: groovewright.camera.yaw, pitch: groovewright.camera.pitch, target: groovewright.camera.target, distance: groovewright.camera.distance }));
const still = (page) => page.waitForFunction(() => !groovewright.camera.flight);
const far = (a, b) => Math.hypot(...a.target.map((x, i) => x - b.target[i])) + Math.abs(a.distance - b.distance) + Math.abs(a.yaw - b.yaw);
const AMBER = [[150, 255], [80, 190], [0, 70]];
const BLUE = [[20, 110], [90, 190], [120, 240]];
const RED = [[170, 235], [40, 130], [20, 110]];

async function check(what, run) {
  try {
    await run();
    checked++;
  } catch (e) {
    console.error("FAILED: " + what);
    throw e;
  }
}

const size = statSync(page_of("harbour-15")).size;
await check("the demo's page is under 4 MB", () => assert.ok(size < 4e6, String(size)));

{
  const { page, close } = await open("harbour-15", WIDE);
  await check("draws the amp, not all of the picture and not nothing", async () => {
    const seen = await picture(page);
    assert.ok(seen.drawn > 0.1 * seen.size && seen.drawn < 0.8 * seen.size, JSON.stringify(seen));
    assert.equal(await page.locator("#verdict").textContent().then((t) => t.split(";")[0]), "fits");
    assert.equal(await page.locator("#first ol.places > li").count(), 5);
  });
  if (shots) await page.screenshot({ path: path.join(shots, "wide.png") });

  await check("a part that is hidden is no more drawn, and comes back", async () => {
    const before = await picture(page);
    const box = page.getByLabel("Show speaker-frame", { exact: true });
    await box.uncheck();
    const without = await picture(page);
    assert.notEqual(without.sum, before.sum);
    await box.check();
    assert.equal((await picture(page)).sum, before.sum);
  });
  await check("a group is hidden with all its parts, and its mark says so", async () => {
    const before = await picture(page);
    await page.getByLabel("Show speaker", { exact: true }).uncheck();
    assert.ok(await page.evaluate(() => groovewright.parts.filter((p) => p.id.startsWith("speaker-")).every((p) => !p.shown)));
    assert.notEqual((await picture(page)).sum, before.sum);
    await page.locator("#all").click();
    assert.equal((await picture(page)).sum, before.sum);
  });
  await check("the box can be seen through or not", async () => {
    const before = await picture(page, [[150, 255], [110, 200], [60, 160]]);
    await page.locator("#open-box").click();
    const closed = await picture(page, [[150, 255], [110, 200], [60, 160]]);
    assert.ok(closed.like > before.like + 0.05 * closed.size, JSON.stringify([before, closed]));
    await page.locator("#open-box").click();
  });

  await check("the tightest place: the camera moves to it, both parts are lit, the line is as long as is said", async () => {
    const before = await camera(page);
    await page.locator("#first .place").first().click();
    await still(page);
    assert.ok(far(before, await camera(page)) > 100);
    assert.ok((await picture(page, AMBER)).like > 500 && (await picture(page, BLUE)).like > 500);
    const ids = (await page.locator("#first .place").first().getAttribute("data-pair")).split(" ");
    const told = await page.locator("#figure").textContent();
    assert.equal(told, await page.locator("#first .place b").first().textContent());
    // the line, from its two ends in the amp's frame, against the report's figure and the page's own measuring
    const measured = await page.evaluate(([a, b]) => {
      const [p, q] = [a, b].map((id) => groovewright.parts.find((p) => p.id === id));
      return groovewright.shortest(p, q).length;
    }, ids);
    assert.ok(Math.abs(measured - parseFloat(told)) < 0.35, `${measured} for ${told}`);
    const line = await page.locator("#marks line").evaluate((l) => Math.hypot(l.x1.baseVal.value - l.x2.baseVal.value, l.y1.baseVal.value - l.y2.baseVal.value));
    const grain = await page.evaluate(() => groovewright.camera.grain());
    assert.ok(Math.abs(line * grain - parseFloat(told)) < 0.06 * parseFloat(told) + 0.2, `${line * grain} for ${told}`);
    if (shots) await page.screenshot({ path: path.join(shots, "tightest.png") });
  });
  await check("every figure of the page's own measuring agrees with the report's", async () => {
    const worst = await page.evaluate(() => {
      let worst = 0;
      const list = [...groovewright.pairs.values()].filter((p) => p[3] === 0 && p[2] > 0.1);
      for (let i = 0; i < list.length; i += Math.ceil(list.length / 60)) {
        const [a, b, clearance] = list[i];
        worst = Math.max(worst, Math.abs(groovewright.shortest(groovewright.parts[a], groovewright.parts[b]).length - clearance));
      }
      return worst;
    });
    // chord of the page's meshes on both sides, and the report's own 0.024 mm
    assert.ok(worst < 0.33, String(worst));
  });
  await check("lengths are written as the program writes them", async () => {
    // from the report's own text: mm, nearest 64th, its error over 0.1 mm
    for (const [mm, text] of [[4.5, "4.5 mm (11/64 in + 0.1 mm)"], [25.4, "25.4 mm (1 in)"], [0.1, "0.1 mm"], [79.9, "79.9 mm (3 9/64 in + 0.1 mm)"], [0, "0.0 mm"], [12.7, "12.7 mm (1/2 in)"]]) {
      assert.equal(await page.evaluate((x) => groovewright.shown(x), mm), text);
    }
  });
  await check("Escape clears", async () => {
    await page.locator("#view").focus();
    await page.keyboard.press("Escape");
    assert.equal((await picture(page, AMBER)).like > 3000, false);
    assert.equal(await page.locator("#figure").isVisible(), false);
  });

  await check("a section cuts: less is drawn, and what is cut shows its striped face; the other half is the other half", async () => {
    await page.getByRole("button", { name: "Right", exact: true }).click();
    await still(page);
    const whole = await picture(page, RED);
    await page.locator("#cut").selectOption("0");
    const cut = await picture(page, RED);
    assert.ok(cut.like > whole.like + 0.01 * cut.size, JSON.stringify([whole, cut]));
    if (shots) await page.screenshot({ path: path.join(shots, "section.png") });
    await page.getByRole("button", { name: "Left", exact: true }).click();
    await page.locator("#cut-other").click();
    await still(page);
    assert.ok((await picture(page, RED)).like > whole.like + 0.01 * cut.size);
    // at the far end nothing is left
    await page.locator("#cut-at").fill("1000");
    assert.ok((await picture(page)).drawn < 0.01 * cut.size);
    await page.locator("#cut-other").click();
    await page.locator("#cut").selectOption("");
  });
  await check("drawn apart and back is as before", async () => {
    await page.getByRole("button", { name: "Corner", exact: true }).click();
    await still(page);
    const before = await picture(page);
    await page.locator("#apart").fill("1000");
    assert.notEqual((await picture(page)).sum, before.sum);
    if (shots) await page.screenshot({ path: path.join(shots, "apart.png") });
    await page.locator("#apart").fill("0");
    assert.equal((await picture(page)).sum, before.sum);
  });
  await check("the chassis slides out to the rear, clear of the box, and back", async () => {
    await page.locator("#run").click();
    await page.waitForFunction(() => Number(document.getElementById("slide").value) === 1000);
    const out = await page.evaluate(() => groovewright.now.slide);
    assert.ok(out > 150 && out < 600, String(out));
    await page.locator("#run").click();
    await page.waitForFunction(() => Number(document.getElementById("slide").value) === 0);
  });
  await check("a finding while sliding shows the chassis where it is told, with the line", async () => {
    await page.locator(".place.note", { hasText: "while the chassis slides in" }).click();
    await still(page);
    assert.ok((await picture(page, AMBER)).like > 500);
    assert.ok(await page.locator("#figure").isVisible());
  });
  await check("every finding is flown to, and no figure is shown that it does not tell", async () => {
    let figures = 0;
    for (const place of await page.locator("[data-finding]").all()) {
      await place.click();
      await still(page);
      const text = await place.locator("span").textContent();
      assert.equal(await page.locator("#told").textContent(), text);
      assert.ok((await camera(page)).target.every(Number.isFinite), text);
      if (!(await page.locator("#figure").isVisible())) continue;
      figures++;
      // a clearance of the report may be written to the tenth, the page's own measuring to a third of a mm
      const figure = parseFloat((await page.locator("#figure").textContent()).replace("about ", ""));
      const told = text.match(/\d+\.\d mm/g).map(parseFloat);
      assert.ok(told.some((x) => Math.abs(x - figure) < 0.36), `${figure} in ${text}`);
    }
    assert.ok(figures > 0);
  });
  await check("measures between two parts that are chosen", async () => {
    await page.locator("#measure").click();
    await page.locator("#find").fill("V1");
    await page.locator("#list .name", { hasText: /^V1 / }).click();
    await page.locator("#find").fill("V2");
    await page.locator("#list .name", { hasText: /^V2 / }).click();
    await page.locator("#find").fill("");
    assert.match(await page.locator("#told").textContent(), /^V1 and V2: .*mm/);
    await page.locator("#clear").click();
  });
  await check("keys turn, shift, zoom and choose a side", async () => {
    await page.locator("#view").focus();
    const a = await camera(page);
    await page.keyboard.press("ArrowLeft");
    const b = await camera(page);
    assert.ok(Math.abs(Math.abs(a.yaw - b.yaw) - 7.5) < 1e-6);
    await page.keyboard.press("Shift+ArrowUp");
    assert.notDeepEqual((await camera(page)).target, b.target);
    await page.keyboard.press("+");
    assert.ok((await camera(page)).distance < b.distance);
    await page.keyboard.press("5");
    await still(page);
    assert.ok((await camera(page)).pitch > 89);
  });
  await check("mouse: dragging turns, the wheel zooms to what is under it, a click names a part", async () => {
    const frame = await page.locator("#view").boundingBox();
    const [x, y] = [frame.x + frame.width / 2, frame.y + frame.height / 2];
    const a = await camera(page);
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x + 60, y - 200, { steps: 4 });
    await page.mouse.up();
    const b = await camera(page);
    assert.ok(Math.abs(a.yaw - b.yaw) > 10 && b.pitch < 30, JSON.stringify([a, b]));
    await page.mouse.wheel(0, -300);
    await page.waitForTimeout(50);
    assert.ok((await camera(page)).distance < b.distance);
    await page.mouse.click(x, y);
    assert.match(await page.locator("#told").textContent(), /: .*, .* k?g$/);
    assert.equal(await page.locator("#list li.lit").count(), 1);
    await page.locator("#clear").click();
  });
  await check("every heading is reached from the top, and drawings have their lines", async () => {
    for (const link of await page.locator("nav a").all()) {
      const to = await link.getAttribute("href");
      assert.equal(await page.locator(to).count(), 1, to);
    }
    assert.ok((await page.locator(".sheet svg path").count()) > 200);
    const ids = await page.evaluate(() => [...document.querySelectorAll("[id]")].map((e) => e.id));
    assert.equal(new Set(ids).size, ids.length, "no id twice");
  });
  await check("prints with the picture, without the controls", async () => {
    const pdf = await page.pdf({ format: "A4", ...(shots ? { path: path.join(shots, "print.pdf") } : {}) });
    assert.ok(pdf.length > 50_000);
    await page.emulateMedia({ media: "print" });
    assert.equal(await page.locator("#run").isVisible(), false);
    await page.emulateMedia({ media: "screen" });
  });
  await close();
}

{
  const { page, close } = await open("harbour-15", { ...WIDE, colorScheme: "dark" });
  await check("is dark where the reader's machine is, and light when asked", async () => {
    const paper = () => page.evaluate(() => getComputedStyle(document.body).backgroundColor.match(/\d+/g).slice(0, 3).reduce((a, b) => a + Number(b), 0));
    assert.ok((await paper()) < 150);
    if (shots) await page.screenshot({ path: path.join(shots, "dark.png") });
    await page.locator("#light").click();
    assert.ok((await paper()) > 600);
  });
  await close();
}

{
  const { page, close } = await open("harbour-15", PHONE);
  await check("reads on a phone: nothing is wider than the screen, nothing overlaps the picture", async () => {
    assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= 390);
    const [model, list] = await Promise.all(["#model", "#parts"].map((s) => page.locator(s).boundingBox()));
    assert.ok(model.y + model.height <= list.y + 1, JSON.stringify([model, list]));
    const found = await page.locator("#findings").boundingBox();
    assert.ok(model.y + model.height <= found.y + 1 && found.y < list.y, "the picture before the findings");
    await page.locator("#model").scrollIntoViewIfNeeded();
    if (shots) await page.screenshot({ path: path.join(shots, "phone.png") });
  });
  await check("two fingers zoom, one turns", async () => {
    const a = await camera(page);
    const touch = await page.context().newCDPSession(page);
    await page.locator("#view").scrollIntoViewIfNeeded();
    const frame = await page.locator("#view").boundingBox();
    const [x, y] = [frame.x + frame.width / 2, frame.y + frame.height / 2];
    const send = (type, points) => touch.send("Input.dispatchTouchEvent", { type, touchPoints: points.map(([x, y], id) => ({ x, y, id })) });
    await send("touchStart", [[x, y]]);
    await send("touchMove", [[x + 50, y]]);
    await send("touchEnd", []);
    await page.waitForFunction((yaw) => Math.abs(groovewright.camera.yaw - yaw) > 5, a.yaw);
    await send("touchStart", [[x - 40, y], [x + 40, y]]);
    await send("touchMove", [[x - 80, y], [x + 80, y]]);
    await send("touchEnd", []);
    await page.waitForFunction((d) => groovewright.camera.distance < 0.8 * d, a.distance);
  });
  await close();
}

{
  const { page, close } = await open("tube-into-roof", WIDE);
  await check("a clash is first, red, and flown to", async () => {
    assert.match(await page.locator("#verdict").textContent(), /^clashes/);
    assert.match(await page.locator("#first .place").first().textContent(), /^overlap /);
    const before = await camera(page);
    await page.locator("[data-finding='0']").click();
    await still(page);
    assert.ok(far(before, await camera(page)) > 50);
    assert.match(await page.locator("#figure").textContent(), /overlap/);
    if (shots) await page.screenshot({ path: path.join(shots, "clash.png") });
  });
  await close();
}

{
  const context = await browser.newContext({ ...WIDE, javaScriptEnabled: false });
  const plain = await context.newPage();
  await plain.goto(pathToFileURL(page_of("harbour-15")).href);
  await check("without scripts the verdict, the findings and the lists are there", async () => {
    assert.match(await plain.locator("#verdict").textContent(), /^fits/);
    assert.ok((await plain.locator("#drill-schedule td").count()) > 100);
  });
  await context.close();
}

{
  // `watch --open`: the page loads the next build by itself and keeps the camera and what was hidden
  const text = readFileSync("params/pantry-4.toml", "utf8");
  const file = path.join(profile, "amp.toml");
  writeFileSync(file, text);
  const watch = spawn(path.resolve(program), ["watch", file, "--only", "fit", "--out", path.join(profile, "out"), "--open", "0"], { stdio: ["ignore", "pipe", "inherit"] });
  const said = { text: "" };
  watch.stdout.on("data", (d) => (said.text += d));
  const until = async (part, page) => {
    for (let k = 0; k < 600 && !(await part()); k++) await new Promise((go) => setTimeout(go, 100));
    assert.ok(await part(), said.text);
  };
  try {
    await until(() => said.text.includes("wrote "));
    const context = await browser.newContext(WIDE);
    const page = await context.newPage();
    await page.goto(said.text.match(/http:\S+/)[0]);
    const build = () => page.evaluate(() => window.groovewright && document.documentElement.dataset.build).catch(() => "");
    await until(async () => (await build()) === "1");
    await check("the served page loads the next build by itself and keeps the view", async () => {
      await page.evaluate(() => groovewright.camera.turn(33, 7));
      await page.locator("#find").fill("speaker-magnet");
      await page.getByLabel("Show speaker-magnet", { exact: true }).uncheck();
      const before = await camera(page);
      writeFileSync(file, text.replace('width = "13 1/4 in"', 'width = "13 1/2 in"'));
      await until(async () => (await build()) === "2");
      const after = await camera(page);
      assert.ok(far(before, after) < 1e-6, JSON.stringify([before, after]));
      assert.ok(await page.evaluate(() => !groovewright.parts.find((p) => p.id === "speaker-magnet").shown));
    });
    await check("a broken file is told over the last good build, and a mended one clears it", async () => {
      writeFileSync(file, text.replace('unit = "in"', 'unit = "ell"'));
      await until(() => page.locator("#news").isVisible());
      assert.match(await page.locator("#news").textContent(), /amp\.toml:\d+:\d+: error/);
      assert.equal(await build(), "2");
      writeFileSync(file, text);
      await until(async () => (await build()) === "3");
      assert.equal(await page.locator("#news").isVisible(), false);
    });
    await context.close();
  } finally {
    watch.kill();
  }
}

await browser.close();
rmSync(profile, { recursive: true, force: true });
console.log(`page: ${checked} checks passed, ${size} bytes`);
