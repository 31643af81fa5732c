// The eye: turns about a target with up staying up, never stands on its head.
const ANGLE = (26 * Math.PI) / 180;
const calm = window.matchMedia("(prefers-reduced-motion: reduce)");

// Directions from which the amp is looked at: yaw to the right about up from the front, pitch up, degrees.
const SIDES = [
  ["Front", 0, 0],
  ["Rear", 180, 0],
  ["Left", -90, 0],
  ["Right", 90, 0],
  ["Top", 0, 89.9],
  ["Underside", 0, -89.9],
  ["Corner", 148, 24],
];

const camera = {
  yaw: 148,
  pitch: 24,
  target: [0, 0, 0],
  distance: 1000,
  flight: null,

  axes(yaw = this.yaw, pitch = this.pitch) {
    const [a, b] = [(yaw * Math.PI) / 180, (pitch * Math.PI) / 180];
    const right = [Math.cos(a), Math.sin(a), 0];
    const back = [Math.sin(a) * Math.cos(b), -Math.cos(a) * Math.cos(b), Math.sin(b)];
    return { right, back, up: cross(back, right) };
  },
  seen(aspect) {
    const { right, up, back } = this.axes();
    const eye = add(this.target, times(back, this.distance));
    const far = this.distance + 4000;
    const near = clamp(this.distance * 0.05, 0.5, 200);
    return { eye, right, up, back, matrix: multiply(perspective(this.lens(aspect), aspect, near, far), seenFrom(eye, right, up, back)) };
  },
  // an upright picture shows the same width as a square one
  lens: (aspect) => (aspect >= 1 ? ANGLE : 2 * Math.atan(Math.tan(ANGLE / 2) / aspect)),
  // Where a point of the amp lies in the picture, CSS pixels; none behind the eye.
  onPicture(p) {
    const [w, h] = [canvas.clientWidth, canvas.clientHeight];
    const m = this.seen(w / h).matrix;
    const c = [0, 1, 3].map((r) => m[r] * p[0] + m[4 + r] * p[1] + m[8 + r] * p[2] + m[12 + r]);
    return c[2] > 0 ? [((c[0] / c[2] + 1) * w) / 2, ((1 - c[1] / c[2]) * h) / 2] : null;
  },
  // The ray through a point of the picture.
  ray(x, y) {
    const [w, h] = [canvas.clientWidth, canvas.clientHeight];
    const { eye, right, up, back } = this.seen(w / h);
    const s = Math.tan(this.lens(w / h) / 2);
    const along = add(add(times(right, ((2 * x) / w - 1) * s * (w / h)), times(up, (1 - (2 * y) / h) * s)), times(back, -1));
    return { from: eye, along: unit(along) };
  },
  // How much of the amp a pixel of the picture covers, at the target, mm.
  grain() {
    const h = canvas.clientHeight || 1;
    return (2 * this.distance * Math.tan(this.lens(canvas.clientWidth / h) / 2)) / h;
  },
  turn(dx, dy) {
    this.flight = null;
    this.yaw = (((this.yaw - dx) % 360) + 360) % 360;
    this.pitch = clamp(this.pitch + dy, -89.9, 89.9);
    wake();
  },
  shift(dx, dy) {
    this.flight = null;
    const { right, up } = this.axes();
    const g = this.grain();
    this.target = add(this.target, add(times(right, -dx * g), times(up, dy * g)));
    wake();
  },
  zoom(factor, x, y) {
    this.flight = null;
    const [w, h] = [canvas.clientWidth, canvas.clientHeight];
    const before = this.grain();
    this.distance = clamp(this.distance * factor, 15, 20000);
    if (x !== undefined) {
      const { right, up } = this.axes();
      const g = before - this.grain();
      this.target = add(this.target, add(times(right, (x - w / 2) * g), times(up, (h / 2 - y) * g)));
    }
    wake();
  },
  fly(to) {
    const turn = ((((to.yaw ?? this.yaw) - this.yaw) % 360) + 540) % 360 - 180;
    const end = { yaw: this.yaw + turn, pitch: this.pitch, target: this.target, distance: this.distance, ...to };
    end.yaw = this.yaw + turn;
    this.flight = { from: { yaw: this.yaw, pitch: this.pitch, target: this.target, distance: this.distance }, end, began: performance.now(), takes: calm.matches ? 0 : 450 };
    wake();
  },
  step(time) {
    if (!this.flight) return false;
    const { from, end, began, takes } = this.flight;
    const t = takes ? clamp((time - began) / takes, 0, 1) : 1;
    const s = t * t * (3 - 2 * t);
    for (const k of ["yaw", "pitch", "distance"]) this[k] = from[k] + (end[k] - from[k]) * s;
    this.target = add(from.target, times(sub(end.target, from.target), s));
    if (t >= 1) {
      this.flight = null;
      this.yaw = ((this.yaw % 360) + 360) % 360;
    }
    return t < 1;
  },
  // Looks at a box so that all of it is in the picture, and not nearer than `least`.
  fit(box, { least = 60, ...to } = {}) {
    const centre = middle(box[0], box[1]);
    const { right, up, back } = this.axes(to.yaw, to.pitch);
    const aspect = canvas.clientWidth / (canvas.clientHeight || 1);
    const high = Math.tan(this.lens(aspect) / 2) * 0.93;
    let distance = least;
    for (let k = 0; k < 8; k++) {
      const c = sub([box[k & 1][0], box[(k >> 1) & 1][1], box[k >> 2][2]], centre);
      distance = Math.max(distance, dot(c, back) + Math.abs(dot(c, right)) / (high * aspect), dot(c, back) + Math.abs(dot(c, up)) / high);
    }
    this.fly({ target: centre, distance, ...to });
  },
  // Looks at a line from where it is seen across, as near to the present direction as that can be.
  faceLine(a, b, radius) {
    const along = sub(b, a);
    let back = this.axes().back;
    if (length(along) > 0.01) {
      const d = unit(along);
      back = sub(back, times(d, dot(back, d)));
      if (length(back) < 0.2) back = Math.abs(d[2]) < 0.9 ? cross(d, [0, 0, 1]) : [0.5, -0.8, 0];
    }
    back = unit(back);
    this.fly({
      target: middle(a, b),
      distance: radius / Math.sin(ANGLE / 2),
      yaw: (Math.atan2(back[0], -back[1]) * 180) / Math.PI,
      pitch: clamp((Math.asin(clamp(back[2], -1, 1)) * 180) / Math.PI, -80, 80),
    });
  },
};

// Fingers and mouse: one turns, two shift and zoom, the right or middle button or shift shifts, a tap names what is under it.
function gestures(tapped) {
  const down = new Map();
  let moved = 0;
  canvas.addEventListener("contextmenu", (e) => e.preventDefault());
  canvas.addEventListener("pointerdown", (e) => {
    canvas.setPointerCapture(e.pointerId);
    canvas.focus({ preventScroll: true });
    if (down.size === 0) moved = 0;
    else moved = 100;
    down.set(e.pointerId, { x: e.clientX, y: e.clientY, shift: e.button !== 0 || e.shiftKey });
  });
  canvas.addEventListener("pointermove", (e) => {
    const was = down.get(e.pointerId);
    if (!was) return;
    const [dx, dy] = [e.clientX - was.x, e.clientY - was.y];
    moved += Math.abs(dx) + Math.abs(dy);
    if (down.size === 2) {
      const other = [...down].find(([id]) => id !== e.pointerId)[1];
      const [before, after] = [was, { x: e.clientX, y: e.clientY }].map((p) => Math.hypot(p.x - other.x, p.y - other.y) || 1);
      const frame = canvas.getBoundingClientRect();
      camera.shift(dx / 2, dy / 2);
      camera.zoom(before / after, (e.clientX + other.x) / 2 - frame.left, (e.clientY + other.y) / 2 - frame.top);
    } else if (was.shift) {
      camera.shift(dx, dy);
    } else {
      camera.turn(dx * 0.4, dy * 0.4);
    }
    Object.assign(was, { x: e.clientX, y: e.clientY });
  });
  const up = (e) => {
    if (down.delete(e.pointerId) && e.type === "pointerup" && down.size === 0 && moved < 6 && e.button === 0) tapped(e.offsetX, e.offsetY);
  };
  canvas.addEventListener("pointerup", up);
  canvas.addEventListener("pointercancel", up);
  canvas.addEventListener("wheel", (e) => {
    e.preventDefault();
    camera.zoom(Math.exp(clamp(e.deltaY * (e.deltaMode ? 30 : 1), -240, 240) * 0.0015), e.offsetX, e.offsetY);
  }, { passive: false });
}
