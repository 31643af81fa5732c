// The controls about the picture: lists, views, section, slide, measuring, findings. One frame is drawn when something changed.
const $ = (id) => document.getElementById(id);
let mark = null;
let waking = false;
let running = null;
let measuring = null;

function wake() {
  if (waking || !painter) return;
  waking = true;
  requestAnimationFrame((time) => {
    waking = false;
    const flying = camera.step(time);
    const sliding = stepSlide(time);
    frame();
    if (flying || sliding) wake();
  });
}

function frame() {
  painter(camera);
  const [line, a, b] = $("marks").children;
  const ends = mark && mark.ends.map((p) => camera.onPicture(p));
  const visible = Boolean(ends && ends[0] && ends[1]);
  $("marks").style.visibility = visible ? "visible" : "hidden";
  $("figure").hidden = !visible || !mark.text;
  if (!visible) return;
  const put = (el, names, values) => names.forEach((n, i) => el.setAttribute(n, values[i].toFixed(1)));
  put(line, ["x1", "y1", "x2", "y2"], [...ends[0], ...ends[1]]);
  put(a, ["cx", "cy"], ends[0]);
  put(b, ["cx", "cy"], ends[1]);
  $("figure").textContent = mark.text;
  $("figure").style.left = clamp((ends[0][0] + ends[1][0]) / 2, 70, canvas.clientWidth - 70) + "px";
  $("figure").style.top = Math.max((ends[0][1] + ends[1][1]) / 2, 40) + "px";
}

const tell = (text) => ($("told").textContent = text);
const words = (p) => p.id + ": " + p.kind + ", " + p.material + ", " + (p.grams >= 1000 ? (p.grams / 1000).toFixed(2) + " kg" : p.grams.toFixed(1) + " g");

// Lights parts and marks their rows.
function light(list) {
  now.lit = list.map((p) => p.index);
  now.glass = -1;
  if (mark && mark.overlap) now.glass = list.reduce((a, b) => (length(sub(...boxOf(a))) > length(sub(...boxOf(b))) ? a : b)).index;
  for (const row of document.querySelectorAll("#list li")) row.classList.toggle("lit", now.lit.includes(Number(row.dataset.part)));
  wake();
}

function name(p) {
  now.named = p;
  mark = null;
  light(p ? [p] : []);
  if (p) tell(words(p));
}

function clear() {
  for (const b of document.querySelectorAll("[aria-current]")) b.removeAttribute("aria-current");
  setMeasuring(null);
  now.named = null;
  mark = null;
  light([]);
  tell("");
}

// What the report knows of two parts, else what the page measures.
function between(a, b) {
  const known = pairs.get(Math.min(a.index, b.index) + " " + Math.max(a.index, b.index));
  if (!known) {
    const found = shortest(a, b);
    return found && { ends: found.ends, text: "about " + shown(found.length), more: "measured on this page's meshes" };
  }
  const [first, , clearance, overlap, wanted, word, at] = known;
  const ends = [at.slice(0, 3), at.slice(3)];
  if (first !== a.index) ends.reverse();
  const text = overlap > 0 ? "overlap " + overlap.toFixed(1) + " mm\u00b3" : clearance === 0 ? "touching" : shown(clearance);
  const more = [wanted > 0 ? shown(wanted) + " wanted" : "", data.words[word]].filter(Boolean).join(", ");
  return { ends, text, more, overlap: overlap > 0 };
}

function goTo(list) {
  const small = Math.min(...list.map((p) => length(sub(...boxOf(p)))));
  if (!mark) return camera.fit(boxOfAll(list));
  const line = length(sub(...mark.ends));
  camera.faceLine(mark.ends[0], mark.ends[1], clamp(Math.max(1.6 * line, 0.9 * small), 28, 260));
}

function showPair(a, b) {
  seat();
  mark = between(a, b);
  light([a, b]);
  tell(a.id + " and " + b.id + ": " + (mark ? mark.text + (mark.more ? ", " + mark.more : "") : ""));
  goTo([a, b]);
}

function showFinding(k, text) {
  const f = data.findings[k];
  const list = f.about.map((i) => parts[i]);
  seat();
  mark = null;
  now.lit = [];
  const [a, b] = list;
  if (a && b && f.id.startsWith("slide") && data.slide && a.moves !== b.moves) {
    const moving = a.moves ? a : b;
    setSlide(f.id === "slide" && f.severity === "error" ? f.measured : slideNearest(moving, f.at));
    const found = shortest(a, b, shiftOf(a), shiftOf(b));
    mark = found && { ends: found.ends, text: found.length < 0.05 ? "touching" : shown(f.unit === "mm" && f.severity !== "error" ? f.measured : found.length) };
  } else if (a && b) {
    mark = between(a, b);
  } else if (f.at.some((x) => x !== 0)) {
    mark = { ends: [f.at, f.at], text: "" };
  }
  light(list);
  if (list.length || mark) goTo(list.length ? list : parts);
  tell(text);
}

// Back to how the amp stands.
function seat() {
  running = null;
  now.apart = 0;
  $("apart").value = 0;
  setSlide(0);
}

function setSlide(mm) {
  if (!data.slide) return;
  now.slide = clamp(mm, 0, data.slide.length);
  $("slide").value = (1000 * now.slide) / data.slide.length;
  wake();
}

// In or out along the grooves, at a hand's pace.
function stepSlide(time) {
  if (!running) return false;
  running.began ??= time;
  const t = clamp((time - running.began) / (calm.matches ? 1 : 2600), 0, 1);
  const [from, to] = running.out ? [running.from, data.slide.length] : [running.from, 0];
  const s = t * t * (3 - 2 * t);
  const more = t < 1;
  if (!more) running = null;
  setSlide(from + (to - from) * s);
  return more;
}

function run() {
  if (!data.slide) return;
  mark = null;
  light([]);
  running = { from: now.slide, out: now.slide < data.slide.length / 2 };
  wake();
}

function setCut(axis) {
  const all = boxOfAll(parts);
  now.cut.axis = axis;
  $("cut").value = axis < 0 ? "" : String(axis);
  $("cut-at").disabled = $("cut-other").disabled = axis < 0;
  if (axis >= 0) now.cut.at = all[0][axis] + ((all[1][axis] - all[0][axis]) * Number($("cut-at").value)) / 1000;
  wake();
}

function setMeasuring(state) {
  measuring = state;
  $("measure").setAttribute("aria-pressed", String(Boolean(state)));
}

function tapped(p) {
  if (!measuring) return name(p);
  if (!p) return;
  if (measuring.first && measuring.first !== p) {
    showPair(measuring.first, p);
    setMeasuring({ first: null });
  } else {
    measuring.first = p;
    mark = null;
    light([p]);
    tell("From " + p.id + " to: tap or choose another part");
  }
}

function setThrough(p, on) {
  p.through = on;
  p.row.querySelector(".through").setAttribute("aria-pressed", String(on));
}
function setShown(p, on) {
  p.shown = on;
  p.row.querySelector("input").checked = on;
}
function groupMarks() {
  for (const g of document.querySelectorAll("#list details")) {
    const own = parts.filter((p) => p.group === Number(g.dataset.group));
    const on = own.filter((p) => p.shown).length;
    const box = g.querySelector("summary input");
    box.checked = on === own.length;
    box.indeterminate = on > 0 && on < own.length;
  }
  wake();
}
const box = () => parts.filter((p) => data.groups[p.group] === "cabinet");
function setBox(on) {
  for (const p of box()) setThrough(p, on);
  $("open-box").setAttribute("aria-pressed", String(on));
  wake();
}

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
