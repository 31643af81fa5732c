// Draws with WebGL 2: filled faces, the lines a draughtsman would draw, see-through parts last, cut faces striped.
const canvas = document.getElementById("view");

const VERTEX = `#version 300 es
in vec3 at;
in vec3 normal;
uniform mat4 view, place;
uniform bool line;
out vec3 p;
out vec3 n;
void main() {
  vec4 world = place * vec4(at, 1.0);
  p = world.xyz;
  n = mat3(place) * normal;
  gl_Position = view * world;
  if (line) gl_Position.z -= 4e-4 * gl_Position.w;
}`;

const FRAGMENT = `#version 300 es
precision highp float;
in vec3 p;
in vec3 n;
uniform vec4 colour;
uniform vec4 plane;
uniform vec3 eye, light;
uniform bool cutting, line, face;
out vec4 shade;
void main() {
  if (cutting && dot(plane.xyz, p) > plane.w) discard;
  if (line) {
    shade = colour;
  } else if (face) {
    float stripe = step(0.6, fract((gl_FragCoord.x + gl_FragCoord.y) / 8.0));
    shade = vec4(mix(colour.rgb, vec3(0.78, 0.14, 0.08), 0.18 + 0.55 * stripe), colour.a);
  } else {
    vec3 m = normalize(n);
    float lit = 0.46 + 0.42 * max(dot(m, light), 0.0) + 0.16 * max(dot(m, normalize(eye - p)), 0.0);
    shade = vec4(colour.rgb * lit, colour.a);
  }
}`;

const LIT = [[0.93, 0.55, 0.05], [0.16, 0.55, 0.86], [0.56, 0.36, 0.80]];

const painter = (() => {
  const gl = canvas.getContext("webgl2", { antialias: true, alpha: true, stencil: true });
  if (!gl) return null;
  const program = gl.createProgram();
  for (const [kind, text] of [[gl.VERTEX_SHADER, VERTEX], [gl.FRAGMENT_SHADER, FRAGMENT]]) {
    const shader = gl.createShader(kind);
    gl.shaderSource(shader, text);
    gl.compileShader(shader);
    gl.attachShader(program, shader);
  }
  gl.bindAttribLocation(program, 0, "at");
  gl.bindAttribLocation(program, 1, "normal");
  gl.linkProgram(program);
  if (!gl.getProgramParameter(program, gl.LINK_STATUS)) return null;
  gl.useProgram(program);
  const its = {};
  for (const name of ["view", "place", "line", "face", "colour", "plane", "eye", "light", "cutting"]) its[name] = gl.getUniformLocation(program, name);

  const put = (target, values) => {
    gl.bindBuffer(target, gl.createBuffer());
    gl.bufferData(target, values, gl.STATIC_DRAW);
  };
  // the cut face of one part, a rectangle in the plane of the section
  const faceArray = gl.createVertexArray();
  gl.bindVertexArray(faceArray);
  put(gl.ARRAY_BUFFER, new Float32Array(12));
  gl.enableVertexAttribArray(0);
  gl.vertexAttribPointer(0, 3, gl.FLOAT, false, 0, 0);
  const faceBuffer = gl.getParameter(gl.ARRAY_BUFFER_BINDING);
  const solidArray = gl.createVertexArray();
  gl.bindVertexArray(solidArray);
  put(gl.ARRAY_BUFFER, solids.points);
  gl.enableVertexAttribArray(0);
  gl.vertexAttribPointer(0, 3, gl.FLOAT, false, 0, 0);
  put(gl.ARRAY_BUFFER, solids.normals);
  gl.enableVertexAttribArray(1);
  gl.vertexAttribPointer(1, 3, gl.BYTE, true, 4, 0);
  // corners are numbered through all shapes
  const indices = [];
  for (const s of solids.shapes) {
    for (const list of ["triangles", "lines"]) {
      s[list + "At"] = 4 * indices.length;
      for (const i of s[list]) indices.push(i + s.first);
    }
  }
  put(gl.ELEMENT_ARRAY_BUFFER, new Uint32Array(indices));
  gl.enable(gl.DEPTH_TEST);
  gl.depthFunc(gl.LEQUAL);
  gl.blendFuncSeparate(gl.SRC_ALPHA, gl.ONE_MINUS_SRC_ALPHA, gl.ONE, gl.ONE_MINUS_SRC_ALPHA);

  const place = new Float32Array(16);
  function draw(list, kind, colourOf) {
    gl.uniform1i(its.line, kind === "lines" ? 1 : 0);
    for (const p of list) {
      const s = shiftOf(p);
      const m = p.pose;
      place.set([m[0], m[1], m[2], 0, m[3], m[4], m[5], 0, m[6], m[7], m[8], 0, m[9] + s[0], m[10] + s[1], m[11] + s[2], 1]);
      gl.uniformMatrix4fv(its.place, false, place);
      gl.uniform4fv(its.colour, colourOf(p));
      gl.drawElements(kind === "lines" ? gl.LINES : gl.TRIANGLES, p.solid[kind].length, gl.UNSIGNED_INT, p.solid[kind + "At"]);
    }
  }

  // Cut faces: where a ray leaves a part more often than it enters, it began inside, so the section cuts the part there.
  function cutFaces(list, colourOf) {
    const { axis, at } = now.cut;
    const unplaced = [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1];
    gl.disable(gl.CULL_FACE);
    gl.enable(gl.STENCIL_TEST);
    for (const p of list) {
      const [low, high] = boxOf(p);
      if (low[axis] >= at || high[axis] <= at) continue;
      gl.colorMask(false, false, false, false);
      gl.depthMask(false);
      gl.disable(gl.DEPTH_TEST);
      gl.stencilFunc(gl.ALWAYS, 0, 255);
      gl.stencilOpSeparate(gl.BACK, gl.KEEP, gl.KEEP, gl.INCR_WRAP);
      gl.stencilOpSeparate(gl.FRONT, gl.KEEP, gl.KEEP, gl.DECR_WRAP);
      draw([p], "triangles", () => [0, 0, 0, 1]);

      gl.colorMask(true, true, true, true);
      gl.depthMask(true);
      gl.enable(gl.DEPTH_TEST);
      gl.stencilFunc(gl.NOTEQUAL, 0, 255);
      gl.stencilOp(gl.ZERO, gl.ZERO, gl.ZERO);
      const [u, v] = [(axis + 1) % 3, (axis + 2) % 3];
      const rectangle = [];
      for (const [s, t] of [[0, 0], [1, 0], [0, 1], [1, 1]]) {
        const c = [0, 0, 0];
        c[axis] = at;
        c[u] = s ? high[u] + 1 : low[u] - 1;
        c[v] = t ? high[v] + 1 : low[v] - 1;
        rectangle.push(...c);
      }
      gl.bindVertexArray(faceArray);
      gl.bindBuffer(gl.ARRAY_BUFFER, faceBuffer);
      gl.bufferData(gl.ARRAY_BUFFER, new Float32Array(rectangle), gl.DYNAMIC_DRAW);
      gl.uniformMatrix4fv(its.place, false, unplaced);
      gl.uniform4fv(its.colour, colourOf(p));
      gl.uniform1i(its.face, 1);
      gl.uniform1i(its.cutting, 0);
      gl.drawArrays(gl.TRIANGLE_STRIP, 0, 4);
      gl.uniform1i(its.face, 0);
      gl.uniform1i(its.cutting, 1);
      gl.bindVertexArray(solidArray);
    }
    gl.disable(gl.STENCIL_TEST);
  }

  return (camera) => {
    const ratio = Math.min(window.devicePixelRatio || 1, 2);
    const [w, h] = [Math.max(1, Math.round(canvas.clientWidth * ratio)), Math.max(1, Math.round(canvas.clientHeight * ratio))];
    if (canvas.width !== w || canvas.height !== h) [canvas.width, canvas.height] = [w, h];
    gl.viewport(0, 0, w, h);
    gl.depthMask(true);
    gl.clearColor(0, 0, 0, 0);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT | gl.STENCIL_BUFFER_BIT);
    const seen = camera.seen(w / h);
    gl.uniformMatrix4fv(its.view, false, new Float32Array(seen.matrix));
    gl.uniform3fv(its.eye, seen.eye);
    gl.uniform3fv(its.light, unit(add(add(times(seen.back, 0.7), times(seen.up, 0.8)), times(seen.right, -0.5))));
    const plane = cutPlane();
    gl.uniform1i(its.cutting, plane ? 1 : 0);
    gl.uniform4fv(its.plane, plane ? [...plane.n, plane.d] : [0, 0, 0, 0]);

    const drawn = parts.filter(isDrawn);
    const full = drawn.filter((p) => !isThrough(p));
    const through = drawn.filter(isThrough);
    const base = (p) => {
      const k = now.lit.indexOf(p.index);
      const own = p.colour.map((c) => c / 255);
      return k < 0 ? own : own.map((c, i) => 0.25 * c + 0.75 * LIT[Math.min(k, 2)][i]);
    };
    gl.enable(gl.CULL_FACE);
    gl.disable(gl.BLEND);
    draw(full, "triangles", (p) => [...base(p), 1]);
    draw(full, "lines", (p) => [...times(base(p), 0.3), 1]);
    if (plane) cutFaces(full, (p) => [...base(p), 1]);
    gl.enable(gl.BLEND);
    if (plane) cutFaces(through, (p) => [...base(p), now.lit.length ? 0.2 : 0.85]);
    gl.enable(gl.CULL_FACE);
    gl.depthMask(false);
    const thin = (p) => (isGlass(p) ? 0.4 : now.lit.length ? 0.07 : 0.15);
    draw(through, "triangles", (p) => [...base(p), thin(p)]);
    draw(through, "lines", (p) => [...times(base(p), 0.45), 2.2 * thin(p)]);
  };
})();
