// The controls themselves: parts list, views, keys, and the setting that a next build takes over.
function partsList() {
  const make = (tag, props, ...inside) => {
    const el = Object.assign(document.createElement(tag), props);
    el.append(...inside);
    return el;
  };
  data.groups.forEach((group, g) => {
    const own = parts.filter((p) => p.group === g);
    if (!own.length) return;
    const all = make("input", { type: "checkbox", checked: true, ariaLabel: "Show " + group });
    all.addEventListener("change", () => {
      for (const p of own) setShown(p, all.checked);
      groupMarks();
    });
    const list = make("ul", {});
    for (const p of own) {
      const show = make("input", { type: "checkbox", checked: true, ariaLabel: "Show " + p.id });
      const title = make("button", { type: "button", className: "name" }, p.id + " ", make("small", {}, p.kind));
      const through = make("button", { type: "button", className: "through", title: "See through", ariaLabel: "See through " + p.id, ariaPressed: "false" }, "\u25d1");
      show.addEventListener("change", () => {
        p.shown = show.checked;
        groupMarks();
      });
      title.addEventListener("click", () => {
        tapped(p);
        if (!measuring) camera.fit(boxOf(p), { least: 200 });
      });
      through.addEventListener("click", () => {
        setThrough(p, !p.through);
        wake();
      });
      p.row = make("li", {}, show, title, through);
      p.row.dataset.part = p.index;
      list.append(p.row);
    }
    const details = make("details", { open: g > 0 && own.length < 30 }, make("summary", {}, all, " " + group + " (" + own.length + ")"), list);
    details.dataset.group = g;
    $("list").append(details);
  });
}

const side = (k) => camera.fit(boxOfAll(parts.filter(isDrawn)), { yaw: SIDES[k][1], pitch: SIDES[k][2] });

function keys(e) {
  if (e.ctrlKey || e.metaKey || e.altKey) return;
  const p = now.named;
  const arrow = { ArrowLeft: [1, 0], ArrowRight: [-1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[e.key];
  const nudge = (by) => {
    $("cut-at").value = clamp(Number($("cut-at").value) + by, 0, 1000);
    setCut(now.cut.axis);
  };
  const act = {
    "+": () => camera.zoom(0.85),
    "=": () => camera.zoom(0.85),
    "-": () => camera.zoom(1 / 0.85),
    0: () => camera.fit(boxOfAll(parts.filter(isDrawn))),
    h: () => p && (setShown(p, !p.shown), name(null), groupMarks()),
    t: () => p && (setThrough(p, !p.through), name(null)),
    o: () => p && (parts.forEach((q) => setShown(q, q === p)), setThrough(p, false), name(null), groupMarks()),
    c: () => setCut(now.cut.axis < 0 ? 0 : -1),
    ",": () => nudge(-10),
    ".": () => nudge(10),
    a: () => (($("apart").value = now.apart > 0 ? 0 : 1000), $("apart").dispatchEvent(new Event("input"))),
    g: run,
    m: () => $("measure").click(),
    Escape: clear,
  }[e.key.length === 1 ? e.key.toLowerCase() : e.key];
  if (arrow && e.shiftKey) camera.shift(20 * arrow[0], 20 * arrow[1]);
  else if (arrow) camera.turn(-7.5 * arrow[0], 7.5 * arrow[1]);
  else if (/^[1-7]$/.test(e.key)) side(Number(e.key) - 1);
  else if (act) act();
  else return;
  e.preventDefault();
}

// How the reader has set the page, to be taken over by its next build.
const state = {
  get: () => ({
    camera: { yaw: camera.yaw, pitch: camera.pitch, target: camera.target, distance: camera.distance },
    cut: { ...now.cut },
    cutAt: $("cut-at").value,
    apart: now.apart,
    slide: now.slide,
    hidden: parts.filter((p) => !p.shown).map((p) => p.id),
    through: parts.filter((p) => p.through).map((p) => p.id),
    lit: now.lit.map((i) => parts[i].id),
    scheme: document.documentElement.style.colorScheme,
    scroll: window.scrollY,
  }),
  set: (s) => {
    camera.flight = null;
    Object.assign(camera, s.camera);
    const [hidden, through] = [new Set(s.hidden), new Set(s.through)];
    for (const p of parts) {
      setShown(p, !hidden.has(p.id));
      setThrough(p, through.has(p.id));
    }
    $("open-box").setAttribute("aria-pressed", String(box().every((p) => p.through)));
    now.cut.other = s.cut.other;
    $("cut-other").setAttribute("aria-pressed", String(s.cut.other));
    $("cut-at").value = s.cutAt;
    setCut(s.cut.axis);
    now.apart = s.apart;
    $("apart").value = 1000 * s.apart;
    setSlide(s.slide);
    document.documentElement.style.colorScheme = s.scheme;
    light(s.lit.map((id) => byId.get(id)).filter(Boolean));
    groupMarks();
    window.scrollTo(0, s.scroll);
  },
};

function start() {
  if (!painter) {
    for (const el of [canvas, $("marks"), $("parts")]) el.hidden = true;
    for (const el of document.querySelectorAll("#model .bar, #keys, #told")) el.hidden = true;
    $("no-view").hidden = false;
    return;
  }
  partsList();
  SIDES.forEach(([label], k) => {
    const b = Object.assign(document.createElement("button"), { type: "button", textContent: label });
    b.addEventListener("click", () => side(k));
    $("sides").append(b);
  });
  gestures((x, y) => tapped(met(camera.ray(x, y))));
  canvas.addEventListener("keydown", keys);
  $("cut").addEventListener("change", (e) => setCut(e.target.value === "" ? -1 : Number(e.target.value)));
  $("cut-at").addEventListener("input", () => setCut(now.cut.axis));
  $("cut-other").addEventListener("click", (e) => {
    now.cut.other = !now.cut.other;
    e.target.setAttribute("aria-pressed", String(now.cut.other));
    wake();
  });
  $("apart").addEventListener("input", (e) => {
    now.apart = Number(e.target.value) / 1000;
    mark = null;
    wake();
  });
  $("slide").disabled = $("run").disabled = !data.slide;
  $("slide").addEventListener("input", (e) => {
    running = null;
    mark = null;
    setSlide((Number(e.target.value) / 1000) * data.slide.length);
  });
  $("run").addEventListener("click", run);
  $("measure").addEventListener("click", () => {
    const on = !measuring;
    clear();
    if (on) {
      setMeasuring({ first: null });
      tell("Tap or choose two parts");
    }
  });
  $("clear").addEventListener("click", clear);
  $("all").addEventListener("click", () => {
    for (const p of parts) setShown(p, true);
    groupMarks();
  });
  $("open-box").addEventListener("click", (e) => setBox(e.target.getAttribute("aria-pressed") !== "true"));
  $("find").addEventListener("input", (e) => {
    const word = e.target.value.trim().toLowerCase();
    for (const p of parts) p.row.hidden = !(p.id + " " + p.kind).toLowerCase().includes(word);
    for (const g of document.querySelectorAll("#list details")) {
      g.hidden = !g.querySelector("li:not([hidden])");
      if (word) g.open = true;
    }
  });
  for (const b of document.querySelectorAll(".place")) {
    b.addEventListener("click", () => {
      clear();
      b.setAttribute("aria-current", "true");
      if (b.dataset.finding !== undefined) showFinding(Number(b.dataset.finding), b.querySelector("span").textContent);
      else showPair(...b.dataset.pair.split(" ").map((id) => byId.get(id)));
      if (window.matchMedia("(max-width: 46rem)").matches) $("model").scrollIntoView({ block: "start" });
    });
  }
  // an id in a list leads to its part
  for (const code of document.querySelectorAll("main > section code")) {
    const p = byId.get(code.textContent);
    if (!p) continue;
    Object.assign(code, { role: "button", tabIndex: 0 });
    const go = () => {
      clear();
      name(p);
      camera.fit(boxOf(p), { least: 200 });
      $("model").scrollIntoView({ block: "start" });
    };
    code.addEventListener("click", go);
    code.addEventListener("keydown", (e) => (e.key === "Enter" || e.key === " ") && (e.preventDefault(), go()));
  }
  window.addEventListener("beforeprint", () => {
    frame();
    $("print-view").setAttribute("src", canvas.toDataURL());
    for (const d of document.querySelectorAll(".drawings details")) d.open = true;
  });
  new ResizeObserver(wake).observe(canvas);
  setBox(true);
  setCut(-1);
  camera.fit(boxOfAll(parts));
  camera.flight.takes = 0;
  wake();
}

$("light").addEventListener("click", () => {
  const root = document.documentElement;
  const dark = getComputedStyle(root).colorScheme === "dark" || (root.style.colorScheme === "" && window.matchMedia("(prefers-color-scheme: dark)").matches);
  root.style.colorScheme = dark ? "light" : "dark";
});
start();
window.groovewright = { camera, now, parts, state, frame, shown, shortest, pairs };
