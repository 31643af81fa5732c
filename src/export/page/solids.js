// The solids of the page: shapes as meshes, parts as placed shapes, and where each part is drawn now.
const data = JSON.parse(document.getElementById("data").textContent);

const solids = (() => {
  const raw = atob(data.bytes);
  const bytes = new Uint8Array(raw.length);
  for (let i = 0; i < raw.length; i++) bytes[i] = raw.charCodeAt(i);
  const sum = (k) => data.shapes.reduce((n, s) => n + s[k], 0);
  const corners = sum(0);
  const points = new Float32Array(bytes.buffer, 0, 3 * corners);
  const normals = new Int8Array(bytes.buffer, 12 * corners, 4 * corners);
  const Index = data.narrow ? Uint16Array : Uint32Array;
  const size = Index.BYTES_PER_ELEMENT;
  let from = 16 * corners;
  const triangles = new Index(bytes.buffer, from, 3 * sum(1));
  from += 3 * sum(1) * size;
  const lines = new Index(bytes.buffer, from, 2 * sum(2));
  let at = [0, 0, 0];
  const shapes = data.shapes.map((count) => {
    const s = {
      first: at[0],
      points: points.subarray(3 * at[0], 3 * (at[0] + count[0])),
      triangles: triangles.subarray(3 * at[1], 3 * (at[1] + count[1])),
      lines: lines.subarray(2 * at[2], 2 * (at[2] + count[2])),
      low: [Infinity, Infinity, Infinity],
      high: [-Infinity, -Infinity, -Infinity],
    };
    for (let i = 0; i < s.points.length; i++) {
      s.low[i % 3] = Math.min(s.low[i % 3], s.points[i]);
      s.high[i % 3] = Math.max(s.high[i % 3], s.points[i]);
    }
    at = at.map((n, k) => n + count[k]);
    return s;
  });
  return { shapes, points, normals };
})();

const parts = data.parts.map((p, index) => ({
  ...p,
  index,
  solid: solids.shapes[p.shape],
  shown: true,
  through: false,
}));
const byId = new Map(parts.map((p) => [p.id, p]));
const pairs = new Map(data.pairs.map((p) => [Math.min(p[0], p[1]) + " " + Math.max(p[0], p[1]), p]));

// How the amp is drawn: drawn apart (0 to 1), the chassis pulled out (mm), the section, which parts are lit.
const now = { apart: 0, slide: 0, cut: { axis: -1, at: 0, other: false }, lit: [], glass: -1, named: null };

const shiftOf = (p) => {
  let shift = times(p.apart, now.apart);
  if (p.moves && data.slide) shift = add(shift, times(data.slide.out, now.slide));
  return shift;
};
// A point of the part's own frame in the amp frame, `shift` added.
const placed = (p, x, y, z, shift) => {
  const m = p.pose;
  return [
    m[0] * x + m[3] * y + m[6] * z + m[9] + shift[0],
    m[1] * x + m[4] * y + m[7] * z + m[10] + shift[1],
    m[2] * x + m[5] * y + m[8] * z + m[11] + shift[2],
  ];
};

// The box of a part as drawn, from the corners of its own box.
function boxOf(p, shift = shiftOf(p)) {
  const { low, high } = p.solid;
  const box = [[Infinity, Infinity, Infinity], [-Infinity, -Infinity, -Infinity]];
  for (let k = 0; k < 8; k++) {
    const c = placed(p, k & 1 ? high[0] : low[0], k & 2 ? high[1] : low[1], k & 4 ? high[2] : low[2], shift);
    for (let i = 0; i < 3; i++) {
      box[0][i] = Math.min(box[0][i], c[i]);
      box[1][i] = Math.max(box[1][i], c[i]);
    }
  }
  return box;
}

function boxOfAll(list) {
  const box = [[Infinity, Infinity, Infinity], [-Infinity, -Infinity, -Infinity]];
  for (const p of list) {
    const b = boxOf(p);
    for (let i = 0; i < 3; i++) {
      box[0][i] = Math.min(box[0][i], b[0][i]);
      box[1][i] = Math.max(box[1][i], b[1][i]);
    }
  }
  return Number.isFinite(box[0][0]) ? box : [[0, 0, 0], [100, 100, 100]];
}

// What is kept of a section: n.p <= d. None without one.
function cutPlane() {
  if (now.cut.axis < 0) return null;
  const n = [0, 0, 0];
  n[now.cut.axis] = now.cut.other ? -1 : 1;
  return { n, d: now.cut.other ? -now.cut.at : now.cut.at };
}

const isLit = (p) => now.lit.includes(p.index);
// What holds the seated chassis, boards and knobs that are off while it slides: not there once it is out.
const isAway = (p) => p.later && now.slide > 0.5;
const isDrawn = (p) => isLit(p) || (p.shown && !isAway(p));
// Of two that overlap the larger is lit like glass, so that the other is seen in it.
const isGlass = (p) => now.glass === p.index && isLit(p);
const isThrough = (p) => isGlass(p) || (!isLit(p) && (p.through || now.lit.length > 0));
