// Finds free room for words, so that none stands over another.

/** @typedef {{x: number, y: number, w: number, h: number}} Box  left, top, width, height in px */

/** @param {Box} a @param {Box} b */
export const overlaps = (a, b) =>
  a.x < b.x + b.w && b.x < a.x + a.w && a.y < b.y + b.h && b.y < a.y + a.h;

/** Width of words in px, near enough to keep them apart (checked against a browser's fonts). */
export function wide(words, size = 13) {
  let em = 0;
  for (const c of words) em += /[MWmw@%]/.test(c) ? 0.92 : /[il.,'’"|:;!() -]/.test(c) ? 0.36 : 0.63;
  return em * size + 2;
}

const DIRECTIONS = [0, 4, 2, 6, 1, 7, 3, 5].map((k) => (k * Math.PI) / 4);

/** A line from a box to what it names; empty where they touch. */
export function leader(box, x, y) {
  const [nx, ny] = [Math.min(Math.max(x, box.x), box.x + box.w), Math.min(Math.max(y, box.y), box.y + box.h)];
  return Math.hypot(nx - x, ny - y) > 12 ? `M${nx.toFixed(1)} ${ny.toFixed(1)}L${x.toFixed(1)} ${y.toFixed(1)}` : "";
}

/** Room in a frame; what is taken stays taken. */
export class Room {
  /** @param {number} width @param {number} height */
  constructor(width, height) {
    this.frame = { x: 0, y: 0, w: width, h: height };
    /** @type {Box[]} what nothing may stand on */
    this.taken = [];
    /** @type {Box[]} lines that words leave free where they can */
    this.lines = [];
    /** @type {Box[]} words that lines do not cross */
    this.words = [];
  }

  /** @param {Box} box */
  take(box) {
    this.taken.push(box);
  }

  /** @param {Box} box */
  free(box) {
    const f = this.frame;
    if (box.x < f.x || box.y < f.y || box.x + box.w > f.w || box.y + box.h > f.h) return false;
    return !this.taken.some((t) => overlaps(box, t));
  }

  /**
   * The first of some places where a box is free, taken; null when there is none.
   * @param {Box[]} places
   */
  first(places) {
    const free = places.filter((p) => this.free(p));
    const found = free.find((p) => !this.lines.some((t) => overlaps(p, t))) ?? free[0] ?? null;
    if (found) this.take(found);
    return found;
  }

  /**
   * A free place about a point, in all directions, the near ones first.
   * @param {number} x @param {number} y @param {number} w @param {number} h @param {number} off
   */
  about(x, y, w, h, off = 8) {
    const places = [];
    for (let d = off; d <= off + 72; d += 9)
      for (const a of DIRECTIONS) {
        const [c, s] = [Math.cos(a), Math.sin(a)];
        const [mx, my] = [x + d * c + (Math.abs(c) < 0.1 ? 0 : (Math.sign(c) * w) / 2), y + d * s + (Math.abs(s) < 0.1 ? 0 : (Math.sign(s) * h) / 2)];
        places.push({ x: mx - w / 2, y: my - h / 2, w, h });
      }
    return this.first(places);
  }

  /** True where a straight piece crosses no words. */
  clear(a, b) {
    for (let t = 0; t <= 1.001; t += 0.1) {
      const [x, y] = [a.x + (b.x - a.x) * t, a.y + (b.y - a.y) * t];
      if (this.words.some((w) => x > w.x - 2 && x < w.x + w.w + 2 && y > w.y && y < w.y + w.h)) return false;
    }
    return true;
  }

  /** Keeps words off a straight piece where they can be kept off. */
  line(a, b, thick = 6, hard = false) {
    const far = Math.hypot(b.x - a.x, b.y - a.y);
    const pieces = Math.min(Math.max(Math.ceil(far / 10), 1), 200);
    for (let i = 0; i <= pieces; i++) {
      const [x, y] = [a.x + ((b.x - a.x) * i) / pieces, a.y + ((b.y - a.y) * i) / pieces];
      (hard ? this.taken : this.lines).push({ x: x - thick / 2, y: y - thick / 2, w: thick, h: thick });
    }
  }
}
