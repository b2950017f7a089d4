// WebGL2: two programs, one draw call for each batch of copies. Knows nothing of plans.

import { STRIDE } from "./mesh.js";
import { SHAPES } from "./shapes3d.js";

const COPIES_VERTEX = `#version 300 es
precision highp float;
layout(location=0) in vec3 place; layout(location=1) in vec3 outward;
layout(location=2) in vec3 origin; layout(location=3) in vec3 u; layout(location=4) in vec3 v;
layout(location=5) in vec3 w; layout(location=6) in vec4 ink; layout(location=7) in vec4 flags;
uniform mat4 view; uniform vec2 hull;
out vec3 shade; out vec3 local; flat out float pattern; out vec3 face;
void main() {
  vec3 p = origin + u * place.x + v * place.y + w * place.z;
  vec3 n = normalize(outward.x * u / dot(u, u) + outward.y * v / dot(v, v) + outward.z * w / dot(w, w));
  gl_Position = view * vec4(p, 1.0);
  if (hull.x > 0.0) {
    vec2 from = (view * vec4(p, 1.0)).xy / gl_Position.w - (view * vec4(p - 0.01 * n, 1.0)).xy / (view * vec4(p - 0.01 * n, 1.0)).w;
    vec2 way = from / hull;
    float far = length(way);
    if (far > 1e-6) gl_Position.xy += way / far * hull * gl_Position.w;
  }
  float light = 0.8 + 0.16 * n.z + 0.13 * dot(n, vec3(-0.55, -0.75, 0.35));
  shade = ink.rgb * clamp(light, 0.6, 1.06);
  local = place; face = 1.0 - abs(outward); pattern = flags.x;
}`;

const COPIES_FRAGMENT = `#version 300 es
precision highp float;
in vec3 shade; in vec3 local; flat in float pattern; in vec3 face;
uniform float clear; uniform float ratio; uniform float blocks; uniform float only;
out vec4 colour;
void main() {
  if (only > 0.0) { colour = vec4(0.0, 0.0, 0.0, 1.0); return; }
  vec3 c = shade; vec2 p = gl_FragCoord.xy / ratio; float a = clear;
  if (pattern < 0.5) {
  } else if (pattern < 1.5) {
    vec2 q = mod(p + vec2(0.0, 3.0 * mod(floor(p.x / 6.0), 2.0)), 6.0) - 3.0;
    if (dot(q, q) < 2.4) c = vec3(0.0);
  } else if (pattern < 2.5) {
    if (mod(p.x + p.y, 11.0) < 4.4) c = vec3(1.0);
  } else {
    vec2 q = mod(p, 7.0) - 3.5; float r = dot(q, q);
    if (r < 5.0 && r > 1.2) c = vec3(0.15);
  }
  if (blocks > 0.5) {
    vec3 px = fwidth(local) + 1e-7; vec3 d = min(local, 1.0 - local) / px; vec3 wide = 1.0 / px;
    vec3 line = (1.0 - smoothstep(0.4, 1.4, d)) * smoothstep(5.0, 14.0, wide) * step(0.5, face);
    float edge = max(line.x, max(line.y, line.z));
    c = mix(c, blocks > 1.5 ? vec3(0.06, 0.09, 0.13) : vec3(0.12), edge); a = max(a, edge * (clear < 1.0 ? 0.45 : 1.0));
  }
  colour = vec4(c * a, a);
}`;

const GROUND_VERTEX = `#version 300 es
precision highp float;
layout(location=0) in vec3 place; uniform mat4 view; out vec3 at;
void main() { at = place; gl_Position = view * vec4(place, 1.0); }`;

const GROUND_FRAGMENT = `#version 300 es
precision highp float;
in vec3 at; uniform float clear; uniform float every; out vec4 colour;
void main() {
  vec2 g = at.xy / every; vec2 px = fwidth(g) + 1e-6; vec2 d = abs(fract(g + 0.5) - 0.5) / px;
  float line = max((1.0 - smoothstep(0.1, 0.9, d.x)) * smoothstep(0.4, 0.1, px.x),
                   (1.0 - smoothstep(0.1, 0.9, d.y)) * smoothstep(0.4, 0.1, px.y));
  vec3 n = normalize(cross(dFdx(at), dFdy(at))); n *= sign(n.z + 1e-6);
  vec3 c = vec3(0.925, 0.91, 0.87) * (0.78 + 0.22 * clamp(dot(n, vec3(-0.35, -0.45, 0.82)), 0.0, 1.0));
  c = mix(c, vec3(0.72, 0.69, 0.62), line); float a = max(clear, line * 0.75);
  colour = vec4(c * a, a);
}`;

/** Layers whose blocks show their edges. */
const EDGED = { site: 1, module: 2 };

function program(gl, vertex, fragment) {
  const made = gl.createProgram();
  for (const [kind, text] of [[gl.VERTEX_SHADER, vertex], [gl.FRAGMENT_SHADER, fragment]]) {
    const part = gl.createShader(kind);
    gl.shaderSource(part, text);
    gl.compileShader(part);
    gl.attachShader(made, part);
  }
  gl.linkProgram(made);
  if (!gl.getProgramParameter(made, gl.LINK_STATUS) && !gl.isContextLost())
    throw new Error(`3D program: ${gl.getProgramInfoLog(made)}`);
  return made;
}

/** Draws batches and the ground; made anew after a lost context. */
export class Painter {
  /** @param {WebGL2RenderingContext} gl */
  constructor(gl) {
    this.gl = gl;
    this.copies = program(gl, COPIES_VERTEX, COPIES_FRAGMENT);
    this.ground = program(gl, GROUND_VERTEX, GROUND_FRAGMENT);
    this.places = new Map();
    for (const p of [this.copies, this.ground])
      for (const name of ["view", "hull", "clear", "ratio", "blocks", "only", "every"])
        this.places.set(`${p === this.copies} ${name}`, gl.getUniformLocation(p, name));
    this.shapes = new Map(Object.entries(SHAPES).map(([name, s]) => [name, this.upload(s)]));
    /** Buffers of copies by layer and shape; kept from one edit to the next. */
    this.slots = new Map();
    this.groundSlot = null;
    this.groundKey = null;
  }

  at(copies, name) {
    return this.places.get(`${copies} ${name}`);
  }

  upload(shape) {
    const gl = this.gl;
    const buffer = (target, data) => {
      const b = gl.createBuffer();
      gl.bindBuffer(target, b);
      gl.bufferData(target, data, gl.STATIC_DRAW);
      return b;
    };
    gl.bindVertexArray(null);
    return { places: buffer(gl.ARRAY_BUFFER, shape.places), normals: buffer(gl.ARRAY_BUFFER, shape.normals),
      corners: buffer(gl.ELEMENT_ARRAY_BUFFER, shape.corners), count: shape.corners.length };
  }

  /** Takes the numbers of batches over into buffers; a buffer is made anew only when it is too small. */
  load(batches, ground) {
    const gl = this.gl;
    for (const slot of this.slots.values()) slot.count = 0;
    for (const b of batches) {
      const key = `${b.layer} ${b.shape}`;
      const slot = this.slots.get(key) ?? this.slot(key, b.shape);
      const data = b.numbers.subarray(0, b.count * STRIDE);
      gl.bindBuffer(gl.ARRAY_BUFFER, slot.buffer);
      if (data.byteLength > slot.bytes) {
        gl.bufferData(gl.ARRAY_BUFFER, b.numbers, gl.DYNAMIC_DRAW);
        slot.bytes = b.numbers.byteLength;
      } else gl.bufferSubData(gl.ARRAY_BUFFER, 0, data);
      slot.count = b.count;
    }
    if (this.groundSlot === null || !same(this.groundKey, ground.points)) this.loadGround(ground);
  }

  slot(key, shapeName) {
    const gl = this.gl;
    const shape = this.shapes.get(shapeName);
    const slot = { vao: gl.createVertexArray(), buffer: gl.createBuffer(), bytes: 0, count: 0, shape, copy: 0 };
    gl.bindVertexArray(slot.vao);
    for (const [i, b] of [[0, shape.places], [1, shape.normals]]) {
      gl.bindBuffer(gl.ARRAY_BUFFER, b);
      gl.enableVertexAttribArray(i);
      gl.vertexAttribPointer(i, 3, gl.FLOAT, false, 0, 0);
    }
    gl.bindBuffer(gl.ELEMENT_ARRAY_BUFFER, shape.corners);
    for (let i = 2; i < 8; i++) {
      gl.enableVertexAttribArray(i);
      gl.vertexAttribDivisor(i, 1);
    }
    this.point(slot, 0);
    this.slots.set(key, slot);
    return slot;
  }

  /** Lets the attributes of a slot begin at one copy. */
  point(slot, copy) {
    const gl = this.gl;
    gl.bindBuffer(gl.ARRAY_BUFFER, slot.buffer);
    const from = copy * STRIDE * 4;
    for (let i = 0; i < 4; i++) gl.vertexAttribPointer(2 + i, 3, gl.FLOAT, false, STRIDE * 4, from + 12 * i);
    gl.vertexAttribPointer(6, 4, gl.UNSIGNED_BYTE, true, STRIDE * 4, from + 48);
    gl.vertexAttribPointer(7, 4, gl.UNSIGNED_BYTE, false, STRIDE * 4, from + 52);
    slot.copy = copy;
  }

  loadGround(ground) {
    const gl = this.gl;
    this.groundKey = ground.points;
    this.groundSlot ??= { vao: gl.createVertexArray(), places: gl.createBuffer(), corners: gl.createBuffer(), count: 0 };
    gl.bindVertexArray(this.groundSlot.vao);
    gl.bindBuffer(gl.ARRAY_BUFFER, this.groundSlot.places);
    gl.bufferData(gl.ARRAY_BUFFER, new Float32Array(ground.points.flat()), gl.DYNAMIC_DRAW);
    gl.enableVertexAttribArray(0);
    gl.vertexAttribPointer(0, 3, gl.FLOAT, false, 0, 0);
    gl.bindBuffer(gl.ELEMENT_ARRAY_BUFFER, this.groundSlot.corners);
    gl.bufferData(gl.ELEMENT_ARRAY_BUFFER, ground.triangles, gl.DYNAMIC_DRAW);
    this.groundSlot.count = ground.triangles.length;
  }

  begin(matrix, width, height, ratio) {
    const gl = this.gl;
    this.size = [width, height, ratio];
    gl.viewport(0, 0, width, height);
    gl.clearColor(1, 1, 1, 1);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    gl.enable(gl.DEPTH_TEST);
    gl.enable(gl.CULL_FACE);
    gl.blendFunc(gl.ONE, gl.ONE_MINUS_SRC_ALPHA);
    for (const p of [this.copies, this.ground]) {
      gl.useProgram(p);
      gl.uniformMatrix4fv(this.at(p === this.copies, "view"), false, matrix);
    }
  }

  /** @param {string} layer @param {number} clear 1 solid, less is see-through */
  layer(layer, clear = 1) {
    const gl = this.gl;
    gl.useProgram(this.copies);
    gl.uniform1f(this.at(true, "clear"), clear);
    gl.uniform1f(this.at(true, "ratio"), this.size[2]);
    gl.uniform1f(this.at(true, "only"), 0);
    gl.uniform2f(this.at(true, "hull"), 0, 0);
    this.through(clear < 1);
    for (const [key, slot] of this.slots) {
      if (!slot.count || !key.startsWith(`${layer} `)) continue;
      gl.uniform1f(this.at(true, "blocks"), key.endsWith(" block") ? (EDGED[layer] ?? 0) : 0);
      gl.bindVertexArray(slot.vao);
      gl.drawElementsInstanced(gl.TRIANGLES, slot.shape.count, gl.UNSIGNED_SHORT, 0, slot.count);
    }
  }

  /** A black rim about one copy, drawn over what stands before it. */
  rim(key, copy, thick) {
    const gl = this.gl;
    const slot = this.slots.get(key);
    if (!slot || copy >= slot.count) return;
    gl.useProgram(this.copies);
    this.through(false);
    gl.bindVertexArray(slot.vao);
    this.point(slot, copy);
    gl.uniform1f(this.at(true, "only"), 1);
    gl.uniform2f(this.at(true, "hull"), (2 * thick * this.size[2]) / this.size[0], (2 * thick * this.size[2]) / this.size[1]);
    gl.disable(gl.DEPTH_TEST);
    gl.drawElementsInstanced(gl.TRIANGLES, slot.shape.count, gl.UNSIGNED_SHORT, 0, 1);
    gl.uniform1f(this.at(true, "only"), 0);
    gl.uniform2f(this.at(true, "hull"), 0, 0);
    gl.uniform1f(this.at(true, "clear"), 1);
    gl.uniform1f(this.at(true, "blocks"), 0);
    gl.enable(gl.DEPTH_TEST);
    gl.clear(gl.DEPTH_BUFFER_BIT);
    gl.drawElementsInstanced(gl.TRIANGLES, slot.shape.count, gl.UNSIGNED_SHORT, 0, 1);
    this.point(slot, 0);
  }

  /** @param {number} clear @param {number} every metres between its lines */
  soil(clear, every) {
    const gl = this.gl;
    if (!this.groundSlot?.count) return;
    gl.useProgram(this.ground);
    gl.uniform1f(this.at(false, "clear"), clear);
    gl.uniform1f(this.at(false, "every"), every);
    this.through(clear < 1);
    gl.disable(gl.CULL_FACE);
    gl.bindVertexArray(this.groundSlot.vao);
    gl.drawElements(gl.TRIANGLES, this.groundSlot.count, gl.UNSIGNED_INT, 0);
    gl.enable(gl.CULL_FACE);
  }

  through(on) {
    const gl = this.gl;
    if (on) gl.enable(gl.BLEND);
    else gl.disable(gl.BLEND);
    gl.depthMask(!on);
  }
}

function same(a, b) {
  if (a === b) return true;
  if (!a || a.length !== b.length) return false;
  return a.every((p, i) => p[0] === b[i][0] && p[1] === b[i][1] && p[2] === b[i][2]);
}
