// An eye that goes round a point: turning, panning, zooming, and from places to the screen.
// Local axes: x along the row to the right, y to the back, z up.

/** @typedef {[number, number, number]} V3 */

const FOV = 0.44;
const NEAR_DEGREE = Math.PI / 180;
export const VIEWS = {
  corner: { words: "Corner", turn: -0.62, rise: 0.42 },
  front: { words: "Front", turn: 0, rise: 0 },
  side: { words: "Right end", turn: Math.PI / 2, rise: 0 },
  back: { words: "Back", turn: Math.PI, rise: 0.12 },
  above: { words: "Above", turn: 0, rise: Math.PI / 2 },
};

export const sub = (a, b) => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
export const add = (a, b, k = 1) => [a[0] + k * b[0], a[1] + k * b[1], a[2] + k * b[2]];
export const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const cross = (a, b) => [
  a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
export const size = (a) => Math.hypot(a[0], a[1], a[2]);
export const unit = (a) => {
  const n = size(a) || 1;
  return [a[0] / n, a[1] / n, a[2] / n];
};

/** Turn 0 stands in front and looks to the back; turn grows to the right end. Rise is upward. */
export class Camera {
  constructor() {
    this.turn = VIEWS.corner.turn;
    this.rise = VIEWS.corner.rise;
    /** @type {V3} */
    this.target = [0, 0, 0];
    this.away = 20;
    this.width = 1;
    this.height = 1;
    this.reach = 100;
    this.parallel = false;
    this.lowest = -5 * NEAR_DEGREE;
  }

  /** Unit vectors right, up, and from the target to the eye. */
  frame() {
    const [ct, st, cr, sr] = [Math.cos(this.turn), Math.sin(this.turn), Math.cos(this.rise), Math.sin(this.rise)];
    const back = [st * cr, -ct * cr, sr];
    const right = [ct, st, 0];
    return { right, up: cross(back, right), back };
  }

  eye() {
    return add(this.target, this.frame().back, this.away);
  }

  /** @param {number} around @param {number} over in radians */
  orbit(around, over) {
    this.turn -= around;
    this.rise = Math.min(Math.max(this.rise + over, this.lowest), Math.PI / 2);
    this.parallel = false;
  }

  /** Metres at the target for one px. */
  scale() {
    return (2 * this.away * Math.tan(FOV / 2)) / this.height;
  }

  /** @param {number} dx @param {number} dy px */
  pan(dx, dy) {
    const { right, up } = this.frame();
    const k = this.scale();
    this.target = add(add(this.target, right, -dx * k), up, dy * k);
  }

  /** Nearer by a factor, what is under the pointer staying there. @param {number} by below 1: nearer */
  zoom(by, x = this.width / 2, y = this.height / 2) {
    const away = Math.min(Math.max(this.away * by, 0.4), this.reach * 6);
    const k = this.scale() * (1 - away / this.away);
    const { right, up } = this.frame();
    this.target = add(add(this.target, right, (x - this.width / 2) * k), up, (this.height / 2 - y) * k);
    this.away = away;
  }

  /** Looks from a named side at a box in space. @param {V3} low @param {V3} high */
  look(view, low, high) {
    const v = VIEWS[view];
    this.turn = v.turn;
    this.rise = v.rise;
    this.parallel = view !== "corner" && view !== "back";
    this.fit(low, high);
  }

  /** @param {V3} low @param {V3} high */
  fit(low, high) {
    this.target = [(low[0] + high[0]) / 2, (low[1] + high[1]) / 2, (low[2] + high[2]) / 2];
    const { right, up, back } = this.frame();
    const tall = Math.tan(FOV / 2) * 0.9;
    const broad = (tall * this.width) / this.height;
    let away = 0.5;
    for (let i = 0; i < 8; i++) {
      const p = sub([i & 1 ? high[0] : low[0], i & 2 ? high[1] : low[1], i & 4 ? high[2] : low[2]], this.target);
      const near = this.parallel ? 0 : dot(p, back);
      away = Math.max(away, Math.abs(dot(p, right)) / broad + near, Math.abs(dot(p, up)) / tall + near);
    }
    this.away = away;
  }

  /** Column-major matrix from places to clip space. */
  matrix() {
    const { right, up, back } = this.frame();
    const f = 1 / Math.tan(FOV / 2);
    const a = this.width / this.height;
    const t = this.target;
    const [far, near] = [this.away + this.reach * 2, Math.max(this.away - this.reach * 2, this.away / 200)];
    const e = this.parallel ? t : this.eye();
    const [r, u, b] = [-dot(right, e), -dot(up, e), -dot(back, e)];
    if (this.parallel) {
      const k = f / this.away;
      const d = -1 / (this.reach * 2);
      return new Float32Array([
        (k / a) * right[0], k * up[0], d * back[0], 0, (k / a) * right[1], k * up[1], d * back[1], 0,
        (k / a) * right[2], k * up[2], d * back[2], 0, (k / a) * r, k * u, d * b, 1]);
    }
    const p = -(far + near) / (far - near);
    const q = (-2 * far * near) / (far - near);
    const row = (i) => [(f / a) * right[i], f * up[i], p * back[i], -back[i]];
    return new Float32Array([...row(0), ...row(1), ...row(2), (f / a) * r, f * u, p * b + q, -b]);
  }

  /** Px of a place, and its depth; null behind the eye. @param {V3} place */
  project(place) {
    const m = this.matrix();
    const at = (i) => m[i] * place[0] + m[i + 4] * place[1] + m[i + 8] * place[2] + m[i + 12];
    const w = at(3);
    if (w <= 0) return null;
    return { x: (at(0) / w / 2 + 0.5) * this.width, y: (0.5 - at(1) / w / 2) * this.height, z: at(2) / w };
  }

  /** Where a px looks: from a place, along a unit vector. */
  ray(x, y) {
    const { right, up, back } = this.frame();
    const k = this.scale();
    const on = add(add(this.target, right, (x - this.width / 2) * k), up, (this.height / 2 - y) * k);
    if (this.parallel) return { from: add(on, back, this.reach * 2), along: [-back[0], -back[1], -back[2]] };
    const from = this.eye();
    return { from, along: unit(sub(on, from)) };
  }
}
