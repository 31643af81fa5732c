// What a ray meets, and the least distance of two parts, on the meshes of the page: their arcs are off by up to 0.15 mm.

// The first drawn part that a ray meets on the side of the section that is kept.
function met(ray) {
  const plane = cutPlane();
  let best = { part: null, t: Infinity };
  for (const p of parts) {
    if (!isDrawn(p) || (isThrough(p) && !now.lit.length)) continue;
    const shift = shiftOf(p);
    if (!meetsBox(ray, boxOf(p, shift), best.t)) continue;
    const at = corners(p, shift);
    const list = p.solid.triangles;
    for (let i = 0; i < list.length; i += 3) {
      const t = meets(ray, at[list[i]], at[list[i + 1]], at[list[i + 2]]);
      if (t > 0 && t < best.t) {
        const hit = add(ray.from, times(ray.along, t));
        if (!plane || dot(plane.n, hit) <= plane.d + 1e-6) best = { part: p, t };
      }
    }
  }
  return best.part;
}

function corners(p, shift) {
  const { points } = p.solid;
  const out = new Array(points.length / 3);
  for (let i = 0; i < out.length; i++) out[i] = placed(p, points[3 * i], points[3 * i + 1], points[3 * i + 2], shift);
  return out;
}

function meetsBox(ray, [low, high], most) {
  let [from, to] = [0, most];
  for (let k = 0; k < 3; k++) {
    const a = (low[k] - ray.from[k]) / ray.along[k];
    const b = (high[k] - ray.from[k]) / ray.along[k];
    from = Math.max(from, Math.min(a, b));
    to = Math.min(to, Math.max(a, b));
  }
  return from <= to;
}

function meets(ray, a, b, c) {
  const [u, v] = [sub(b, a), sub(c, a)];
  const h = cross(ray.along, v);
  const det = dot(u, h);
  if (Math.abs(det) < 1e-12) return -1;
  const s = sub(ray.from, a);
  const x = dot(s, h) / det;
  const q = cross(s, u);
  const y = dot(ray.along, q) / det;
  return x < 0 || y < 0 || x + y > 1 ? -1 : dot(v, q) / det;
}

// Nearest point of a triangle (Ericson, Real-Time Collision Detection, 5.1.5).
function nearestOn(p, a, b, c) {
  const [ab, ac, ap] = [sub(b, a), sub(c, a), sub(p, a)];
  const [d1, d2] = [dot(ab, ap), dot(ac, ap)];
  if (d1 <= 0 && d2 <= 0) return a;
  const bp = sub(p, b);
  const [d3, d4] = [dot(ab, bp), dot(ac, bp)];
  if (d3 >= 0 && d4 <= d3) return b;
  const vc = d1 * d4 - d3 * d2;
  if (vc <= 0 && d1 >= 0 && d3 <= 0) return add(a, times(ab, d1 / (d1 - d3)));
  const cp = sub(p, c);
  const [d5, d6] = [dot(ab, cp), dot(ac, cp)];
  if (d6 >= 0 && d5 <= d6) return c;
  const vb = d5 * d2 - d1 * d6;
  if (vb <= 0 && d2 >= 0 && d6 <= 0) return add(a, times(ac, d2 / (d2 - d6)));
  const va = d3 * d6 - d5 * d4;
  if (va <= 0 && d4 - d3 >= 0 && d5 - d6 >= 0) return add(b, times(sub(c, b), (d4 - d3) / (d4 - d3 + (d5 - d6))));
  const k = 1 / (va + vb + vc);
  return add(a, add(times(ab, vb * k), times(ac, vc * k)));
}

// Nearest points of two segments (Ericson, 5.1.9).
function nearestOfSegments(p, q, r, s) {
  const [d1, d2, w] = [sub(q, p), sub(s, r), sub(p, r)];
  const [a, e, f] = [dot(d1, d1), dot(d2, d2), dot(d2, w)];
  const [b, c] = [dot(d1, d2), dot(d1, w)];
  const det = a * e - b * b;
  let x = det > 1e-12 ? clamp((b * f - c * e) / det, 0, 1) : 0;
  let y = e > 1e-12 ? (b * x + f) / e : 0;
  if (y < 0 || y > 1) {
    y = clamp(y, 0, 1);
    x = a > 1e-12 ? clamp((b * y - c) / a, 0, 1) : 0;
  }
  return [add(p, times(d1, x)), add(r, times(d2, y))];
}

function boxes(p, at) {
  const list = p.solid.triangles;
  const out = [];
  for (let i = 0; i < list.length; i += 3) {
    const t = [at[list[i]], at[list[i + 1]], at[list[i + 2]]];
    const low = [0, 1, 2].map((k) => Math.min(t[0][k], t[1][k], t[2][k]));
    const high = [0, 1, 2].map((k) => Math.max(t[0][k], t[1][k], t[2][k]));
    out.push({ t, low, high });
  }
  return out;
}

function apartSquared(a, b) {
  let sum = 0;
  for (let k = 0; k < 3; k++) {
    const d = Math.max(a.low[k] - b.high[k], b.low[k] - a.high[k], 0);
    sum += d * d;
  }
  return sum;
}

// The shortest line between two parts where they stand with these shifts: its length and ends.
function shortest(a, b, shiftA = [0, 0, 0], shiftB = [0, 0, 0]) {
  const [whole, other] = [a, b].map((p, k) => {
    const box = boxOf(p, k ? shiftB : shiftA);
    return { low: box[0], high: box[1] };
  });
  const near = (list, box) => list.map((x) => ({ ...x, d: apartSquared(x, box) })).sort((x, y) => x.d - y.d);
  const first = near(boxes(a, corners(a, shiftA)), other);
  const second = near(boxes(b, corners(b, shiftB)), whole);
  let best = { squared: Infinity, ends: null };
  const offer = (p, q) => {
    const d = sub(p, q);
    const squared = dot(d, d);
    if (squared < best.squared) best = { squared, ends: [p, q] };
  };
  for (const x of first) {
    if (x.d >= best.squared) break;
    for (const y of second) {
      if (y.d >= best.squared) break;
      if (apartSquared(x, y) >= best.squared) continue;
      for (let i = 0; i < 3; i++) {
        offer(x.t[i], nearestOn(x.t[i], ...y.t));
        offer(nearestOn(y.t[i], ...x.t), y.t[i]);
        for (let j = 0; j < 3; j++) offer(...nearestOfSegments(x.t[i], x.t[(i + 1) % 3], y.t[j], y.t[(j + 1) % 3]));
      }
    }
  }
  return best.ends && { length: Math.sqrt(best.squared), ends: best.ends };
}

// How far the chassis is out when a moving part is nearest to a place, mm.
function slideNearest(p, place) {
  const at = corners(p, [0, 0, 0]);
  const list = p.solid.triangles;
  const distance = (s) => {
    const q = sub(place, times(data.slide.out, s));
    let least = Infinity;
    for (let i = 0; i < list.length; i += 3) least = Math.min(least, length(sub(q, nearestOn(q, at[list[i]], at[list[i + 1]], at[list[i + 2]]))));
    return least;
  };
  let [best, least, step] = [0, distance(0), data.slide.length / 100];
  for (let s = step; s <= data.slide.length; s += step) {
    const d = distance(s);
    // where it stays as near over a stretch, the end near the seat
    if (d < least - 0.02) [best, least] = [s, d];
  }
  for (; step > 0.1; step /= 2) {
    for (const s of [best - step / 2, best + step / 2]) {
      const d = s >= 0 ? distance(s) : Infinity;
      if (d < least) [best, least] = [s, d];
    }
  }
  return best;
}
