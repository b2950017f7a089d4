// The four unit shapes that everything is made of, each an affine copy: tube, block, cone, ball.
// A tube, cone and ball stand on z = 0 to 1 with radius 0.5; a block fills 0 to 1 on each axis.

/** @typedef {{places: Float32Array, normals: Float32Array, corners: Uint16Array}} Shape */

const SIDES = 12;

function shape(places, normals, corners) {
  return { places: new Float32Array(places), normals: new Float32Array(normals), corners: new Uint16Array(corners) };
}

/** A body of revolution: rings of [radius, height, outward, upward]. */
function turned(rings) {
  const places = [], normals = [], corners = [];
  for (const [r, z, out, up] of rings)
    for (let i = 0; i < SIDES; i++) {
      const [c, s] = [Math.cos((2 * Math.PI * i) / SIDES), Math.sin((2 * Math.PI * i) / SIDES)];
      places.push(r * c, r * s, z);
      normals.push(out * c, out * s, up);
    }
  for (let k = 0; k + 1 < rings.length; k++)
    for (let i = 0; i < SIDES; i++) {
      const [a, b] = [k * SIDES + i, k * SIDES + ((i + 1) % SIDES)];
      corners.push(a, b, b + SIDES, a, b + SIDES, a + SIDES);
    }
  return shape(places, normals, corners);
}

function block() {
  const places = [], normals = [], corners = [];
  for (let axis = 0; axis < 3; axis++)
    for (const side of [0, 1]) {
      const first = places.length / 3;
      for (const [p, q] of [[0, 0], [1, 0], [1, 1], [0, 1]]) {
        const at = [0, 0, 0], out = [0, 0, 0];
        at[axis] = side;
        at[(axis + 1) % 3] = p;
        at[(axis + 2) % 3] = q;
        out[axis] = 2 * side - 1;
        places.push(...at);
        normals.push(...out);
      }
      const face = side ? [0, 1, 2, 0, 2, 3] : [0, 2, 1, 0, 3, 2];
      corners.push(...face.map((k) => first + k));
    }
  return shape(places, normals, corners);
}

function ball() {
  const rings = [];
  for (let k = 0; k <= 7; k++) {
    const a = Math.PI * (k / 7 - 0.5);
    rings.push([0.5 * Math.cos(a), 0.5 + 0.5 * Math.sin(a), Math.cos(a), Math.sin(a)]);
  }
  return turned(rings);
}

/** @type {Record<string, Shape>} */
export const SHAPES = {
  tube: turned([[0, 0, 0, -1], [0.5, 0, 0, -1], [0.5, 0, 1, 0], [0.5, 1, 1, 0], [0.5, 1, 0, 1], [0, 1, 0, 1]]),
  block: block(),
  cone: turned([[0, 0, 0, -1], [0.5, 0, 0, -1], [0.5, 0, 0.9, 0.44], [0, 1, 0.9, 0.44]]),
  ball: ball(),
};

/** Distance along a ray to a unit shape, in the shape's own axes; Infinity where it misses. */
export function meets(kind, o, d) {
  if (kind === "block") return slabs(o, d);
  const [tz0, tz1] = span(o[2], d[2], 0, 1);
  if (kind === "ball") {
    const q = [o[0], o[1], o[2] - 0.5];
    return root(d[0] ** 2 + d[1] ** 2 + d[2] ** 2, q[0] * d[0] + q[1] * d[1] + q[2] * d[2],
      q[0] ** 2 + q[1] ** 2 + q[2] ** 2 - 0.25, -Infinity, Infinity);
  }
  const slim = kind === "cone" ? 0.25 : 0;
  const top = 1 - o[2];
  const a = d[0] ** 2 + d[1] ** 2 - slim * d[2] ** 2;
  const b = o[0] * d[0] + o[1] * d[1] + slim * top * d[2];
  const c = o[0] ** 2 + o[1] ** 2 - (slim ? slim * top * top : 0.25);
  return Math.min(root(a, b, c, tz0, tz1), cap(o, d, 0), slim ? Infinity : cap(o, d, 1));
}

function cap(o, d, z) {
  const t = (z - o[2]) / d[2];
  return t >= 0 && (o[0] + t * d[0]) ** 2 + (o[1] + t * d[1]) ** 2 <= 0.25 ? t : Infinity;
}

function span(o, d, low, high) {
  if (d === 0) return o < low || o > high ? [Infinity, -Infinity] : [-Infinity, Infinity];
  const [a, b] = [(low - o) / d, (high - o) / d];
  return a < b ? [a, b] : [b, a];
}

/** The first root of a t² + 2 b t + c within limits. */
function root(a, b, c, low, high) {
  const under = b * b - a * c;
  if (under < 0 || a === 0) return Infinity;
  const s = Math.sqrt(under);
  const found = [(-b - s) / a, (-b + s) / a].filter((t) => t >= Math.max(low, 0) && t <= high);
  return Math.min(Infinity, ...found);
}

function slabs(o, d) {
  let [low, high] = [0, Infinity];
  for (let k = 0; k < 3; k++) {
    const [a, b] = span(o[k], d[k], 0, 1);
    low = Math.max(low, a);
    high = Math.min(high, b);
  }
  return low <= high ? low : Infinity;
}
