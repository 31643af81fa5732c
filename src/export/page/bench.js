// What the controls do: frames, lit parts, the shortest line, findings, slide, section. One frame is drawn when something changed.
const $ = (id) => document.getElementById(id);
// By how much the page's meshes may be off between two parts, mm.
const MESH_ERROR = 0.35;
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
    setSlide(f.out ?? slideNearest(moving, f.at));
    const found = shortest(a, b, shiftOf(a), shiftOf(b));
    mark = found && { ends: found.ends, text: found.length < 0.05 ? "touching" : shown(f.unit === "mm" && f.severity !== "error" ? f.measured : found.length) };
  } else if (a && b) {
    mark = between(a, b);
    // a line only where the finding tells of it: many are of another figure, as how far a tube comes out
    const line = mark && length(sub(...mark.ends));
    if (mark && !mark.overlap && !(f.unit === "mm" && Math.abs(line - f.measured) < MESH_ERROR)) mark = null;
  }
  if (!mark && f.at.some((x) => x !== 0)) mark = { ends: [f.at, f.at], text: "" };
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
