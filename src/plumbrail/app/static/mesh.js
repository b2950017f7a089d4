// From a scene to batches of affine copies of the unit shapes, and what lies under a ray.

import { add, cross, size, sub, unit } from "./camera.js";
import { inkOf, MARKS, rgb, SERVICES } from "./colours.js";
import { groundOf } from "./ground.js";
import { meets } from "./shapes3d.js";

/** Numbers of one copy: origin, three axes, colour and marks (as bytes), item, spare. */
export const STRIDE = 16;
const UP = [0, 0, 1];
const MODULE = "#36424f";

/** Copies of one shape in one layer. */
export class Batch {
  /** @param {string} shape @param {string} layer */
  constructor(shape, layer) {
    this.shape = shape;
    this.layer = layer;
    this.room(32);
    this.count = 0;
    this.inverse = new Float32Array(0);
  }

  room(copies) {
    const numbers = new Float32Array(copies * STRIDE);
    if (this.numbers) numbers.set(this.numbers);
    this.numbers = numbers;
    this.bytes = new Uint8Array(numbers.buffer);
  }

  /** @param {number[]} o @param {number[]} u @param {number[]} v @param {number[]} w */
  push(o, u, v, w, ink, item, pattern = 0) {
    if ((this.count + 1) * STRIDE > this.numbers.length) this.room(this.count * 2);
    const i = this.count++ * STRIDE;
    this.numbers.set(o, i);
    this.numbers.set(u, i + 3);
    this.numbers.set(v, i + 6);
    this.numbers.set(w, i + 9);
    this.bytes.set([...ink, 255, pattern, 0, 0, 0], (i + 12) * 4);
    this.numbers[i + 14] = item;
  }

  /** A copy about an axis, `wide` sideways and `deep` square to that. */
  along(a, b, wide, deep, ink, item, pattern = 0) {
    const w = sub(b, a);
    const n = unit(w);
    const side = unit(Math.abs(n[2]) > 0.999 ? [1, 0, 0] : cross(n, UP));
    const depth = cross(n, side); // right-handed, so that faces look outward
    const [u, v] = [side.map((c) => c * wide), depth.map((c) => c * deep)];
    const o = this.shape === "block" ? add(add(a, u, -0.5), v, -0.5) : a;
    this.push(o, u, v, w, ink, item, pattern);
  }

  /** Inverse axes, worked out when first asked for. */
  inverses() {
    if (this.inverse.length) return this.inverse;
    this.inverse = new Float32Array(this.count * 9);
    for (let i = 0; i < this.count; i++) {
      const n = this.numbers.subarray(i * STRIDE, i * STRIDE + 12);
      const [u, v, w] = [n.slice(3, 6), n.slice(6, 9), n.slice(9, 12)];
      const [a, b, c] = [cross(v, w), cross(w, u), cross(u, v)];
      const det = u[0] * a[0] + u[1] * a[1] + u[2] * a[2] || 1e-12;
      this.inverse.set([...a, ...b, ...c].map((x) => x / det), i * 9);
    }
    return this.inverse;
  }

  /** Nearest copy on a ray. @returns {{t: number, item: number, copy: number}} */
  hit(from, along) {
    const m = this.inverses();
    let best = { t: Infinity, item: -1, copy: -1 };
    const o = [0, 0, 0], d = [0, 0, 0];
    for (let i = 0; i < this.count; i++) {
      const [k, s] = [i * 9, i * STRIDE];
      const [x, y, z] = [from[0] - this.numbers[s], from[1] - this.numbers[s + 1], from[2] - this.numbers[s + 2]];
      for (let r = 0; r < 3; r++) {
        o[r] = m[k + 3 * r] * x + m[k + 3 * r + 1] * y + m[k + 3 * r + 2] * z;
        d[r] = m[k + 3 * r] * along[0] + m[k + 3 * r + 1] * along[1] + m[k + 3 * r + 2] * along[2];
      }
      const t = meets(this.shape, o, d);
      if (t < best.t) best = { t, item: this.numbers[s + 14], copy: i };
    }
    return best;
  }
}

/**
 * All batches of a scene, and what its copies are.
 * @param {any} scene
 */
export function meshOf(scene) {
  /** @type {Map<string, Batch>} */
  const batches = new Map();
  const items = [];
  const ground = groundOf(scene);
  const batch = (shape, layer) => {
    const key = `${layer} ${shape}`;
    if (!batches.has(key)) batches.set(key, new Batch(shape, layer));
    return /** @type {Batch} */ (batches.get(key));
  };
  for (const bar of scene.bars) addBar(batch, bar, items.push(item(bar, ground)) - 1);
  for (const p of scene.panels) addPanel(batch, p, items.push({ id: p.id, words: `Module ${p.id}`, kind: "module", ratio: null, mark: "none", start: p.corners[0], end: p.corners[2] }) - 1);
  for (const t of scene.things) addThing(batch, t, ground, () => items.push(ofThing(t)) - 1);
  return { batches: [...batches.values()], items, ground };
}

/** A part as it is named and pointed at: a post by what stands out of the ground. */
function item(bar, ground) {
  const { id, words, part: kind, ratio, mark, check, end } = bar;
  const grade = ground.height(bar.start[0], bar.start[1]);
  const start = kind === "post" && bar.start[2] < grade ? [bar.start[0], bar.start[1], grade] : bar.start;
  return { id, words, kind, ratio, mark, check, start, end };
}

function ofThing(t) {
  const at = middle(t.places);
  return { id: t.id, words: t.name, kind: "site", ratio: null, mark: "none",
    start: [...at, t.ground], end: [...at, t.ground + Math.max(t.height, 0)] };
}

export const middle = (places) => [
  places.reduce((s, p) => s + p[0], 0) / places.length, places.reduce((s, p) => s + p[1], 0) / places.length];

function addBar(batch, bar, index) {
  const layer = bar.part === "pier" ? "pier" : "bar";
  const to = batch(bar.part === "rail" ? "block" : "tube", layer);
  to.along(bar.start, bar.end, bar.wide, bar.size, inkOf(bar.mark, bar.ratio), index, MARKS[bar.mark].pattern);
}

function addPanel(batch, panel, index) {
  const [o, right, , up] = panel.corners;
  const [u, v] = [sub(right, o), sub(up, o)];
  const n = unit(cross(u, v));
  batch("block", "module").push(o, u, v, n.map((c) => c * panel.thick), rgb(MODULE), index);
}

function addThing(batch, t, ground, index) {
  const tall = t.ground + t.height;
  if (t.kind === "box") {
    const [a, b, , d] = t.places.map((p) => [...p, t.ground]);
    batch("block", "site").push(a, sub(b, a), sub(d, a), [0, 0, t.height], rgb("#d9d4cb"), index());
  } else if (t.kind === "tree") {
    const [foot, crown, top] = [t.ground, t.ground + t.from_, tall].map((z) => [...t.places[0], z]);
    const i = index();
    batch("tube", "site").along(foot, add(crown, UP, 0.05 * t.height), 0.3, 0.3, rgb("#7a6a58"), i);
    batch(t.shape === "round" ? "ball" : "cone", "site").along(crown, top, 2 * t.radius, 2 * t.radius, rgb("#8fae8b"), i);
  } else if (t.kind === "array") {
    addSheet(batch, t, index());
  } else if (t.places.length > 1 && t.kind !== "region") {
    addLine(batch, t, ground, index());
  } else if (t.kind === "pin") {
    const at = [...t.places[0], t.ground];
    batch("tube", "site").along(at, add(at, UP, Math.max(t.height, 0.3)), 0.07, 0.07, [0, 0, 0], index());
  } else if (t.kind === "combiner" || t.kind === "equipment") {
    const middle = [...t.places[0], t.ground + (t.height || 1.4)];
    const [wide, deep, tall] = t.kind === "combiner" ? [0.35, 0.2, 0.45] : [0.6, 0.3, 0.8];
    batch("block", "site").push([middle[0] - wide / 2, middle[1] - deep / 2, middle[2] - tall / 2], [wide, 0, 0], [0, deep, 0], [0, 0, tall], rgb("#f2d9a0"), index());
  }
}

/** Another array: its outline in plan goes low left, low right, high right, high left. */
function addSheet(batch, t, index) {
  const [a, b, , d] = t.places.map((p, k) => [...p, t.ground + (k < 2 ? t.from_ : t.height)]);
  const [u, v] = [sub(b, a), sub(d, a)];
  const n = unit(cross(u, v));
  batch("block", "site").push(a, u, v, n.map((c) => c * 0.05), rgb("#8b95a0"), index);
}

/** A line on the ground, or a buried service at its depth where that is known. */
function addLine(batch, t, ground, index) {
  const buried = t.kind === "service" && t.height < 0;
  const to = batch("block", buried ? "buried" : "line");
  const ink = t.kind === "service" ? rgb(SERVICES[t.shape]?.ink ?? "#444444") : [90, 90, 90];
  const over = buried ? t.height : 0.03;
  const thick = buried ? 0.12 : 0.06;
  const places = t.closed ? [...t.places, t.places[0]] : t.places;
  for (let i = 0; i + 1 < places.length; i++) {
    const [p, q] = [places[i], places[i + 1]];
    const pieces = Math.min(Math.max(Math.ceil(Math.hypot(q[0] - p[0], q[1] - p[1]) / 5), 1), 24);
    const at = (k) => {
      const [x, y] = [p[0] + ((q[0] - p[0]) * k) / pieces, p[1] + ((q[1] - p[1]) * k) / pieces];
      return [x, y, ground.height(x, y) + over];
    };
    for (let k = 0; k < pieces; k++)
      if (size(sub(at(k), at(k + 1))) > 1e-6) to.along(at(k), at(k + 1), thick, thick, ink, index);
  }
}

/** Corners of the box about the frame and modules, or about everything. */
export function limits(scene, everything = false) {
  const low = [Infinity, Infinity, Infinity], high = [-Infinity, -Infinity, -Infinity];
  const see = (p) => p.forEach((c, k) => {
    low[k] = Math.min(low[k], c);
    high[k] = Math.max(high[k], c);
  });
  for (const b of scene.bars) (see(b.start), see(b.end));
  for (const p of scene.panels) p.corners.forEach(see);
  if (everything) {
    scene.ground.forEach(see);
    for (const t of scene.things) t.places.forEach((p) => see([...p, t.ground + t.height]));
  }
  return low[0] <= high[0] ? { low, high } : { low: [-1, -1, -1], high: [1, 1, 1] };
}
