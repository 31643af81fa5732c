// Vectors are arrays of three, mm in the amp frame: x right, y to the rear, z up. Matrices are 16 numbers, columns first.
const add = (a, b) => [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
const sub = (a, b) => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
const times = (a, s) => [a[0] * s, a[1] * s, a[2] * s];
const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
const length = (a) => Math.hypot(a[0], a[1], a[2]);
const unit = (a) => times(a, 1 / (length(a) || 1));
const middle = (a, b) => times(add(a, b), 0.5);
const clamp = (x, low, high) => Math.min(Math.max(x, low), high);

function multiply(a, b) {
  const out = new Float64Array(16);
  for (let c = 0; c < 4; c++) {
    for (let r = 0; r < 4; r++) {
      let sum = 0;
      for (let k = 0; k < 4; k++) sum += a[4 * k + r] * b[4 * c + k];
      out[4 * c + r] = sum;
    }
  }
  return out;
}

function perspective(angle, aspect, near, far) {
  const f = 1 / Math.tan(angle / 2);
  const out = new Float64Array(16);
  out[0] = f / aspect;
  out[5] = f;
  out[10] = (far + near) / (near - far);
  out[11] = -1;
  out[14] = (2 * far * near) / (near - far);
  return out;
}

// The amp frame as seen from `eye`; `back` points from what is looked at to the eye.
function seenFrom(eye, right, up, back) {
  return [right[0], up[0], back[0], 0, right[1], up[1], back[1], 0, right[2], up[2], back[2], 0, -dot(right, eye), -dot(up, eye), -dot(back, eye), 1];
}

// As units::show writes a length: mm to 0.1, and the nearest 64th of an inch with its error where that is over 0.1 mm.
function shown(mm) {
  const tenths = (x) => (Math.abs(x) < 0.05 ? "0.0" : x.toFixed(1));
  const count = Math.round((mm * 64) / 25.4);
  if (Math.abs(mm) < 25.4 / 128) return tenths(mm) + " mm";
  const whole = Math.floor(count / 64);
  let over = count % 64;
  let under = 64;
  while (over && over % 2 === 0) {
    over /= 2;
    under /= 2;
  }
  const inch = [whole || !over ? String(whole) : "", over ? over + "/" + under : ""].filter(Boolean).join(" ") + " in";
  const error = (count * 25.4) / 64 - mm;
  const rest = Math.abs(error) <= 0.1 ? "" : (error > 0 ? " - " : " + ") + Math.abs(error).toFixed(1) + " mm";
  return tenths(mm) + " mm (" + inch + rest + ")";
}
