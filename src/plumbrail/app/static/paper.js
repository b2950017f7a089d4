// The part of the ground that a plan shows: places to px and back, panning and zooming.

const LEAST = 0.3;
const MOST = 600;

export class Paper {
  constructor() {
    this.width = 1;
    this.height = 1;
    /** Px for a metre; the place in the middle. */
    this.k = 20;
    this.middle = [0, 0];
  }

  /** @returns {{x: number, y: number}} */
  px([x, y]) {
    return { x: this.width / 2 + (x - this.middle[0]) * this.k, y: this.height / 2 - (y - this.middle[1]) * this.k };
  }

  /** @returns {[number, number]} */
  place(x, y) {
    return [this.middle[0] + (x - this.width / 2) / this.k, this.middle[1] - (y - this.height / 2) / this.k];
  }

  path(places, closed = false) {
    return `M${places.map((p) => { const q = this.px(p); return `${q.x.toFixed(1)} ${q.y.toFixed(1)}`; }).join("L")}${closed ? "z" : ""}`;
  }

  pan(dx, dy) {
    this.middle = [this.middle[0] - dx / this.k, this.middle[1] + dy / this.k];
  }

  /** Larger by a factor; what is under the pointer stays there. */
  zoom(by, x = this.width / 2, y = this.height / 2) {
    const held = this.place(x, y);
    this.k = Math.min(Math.max(this.k * by, LEAST), MOST);
    const now = this.place(x, y);
    this.middle = [this.middle[0] + held[0] - now[0], this.middle[1] + held[1] - now[1]];
  }

  /** @param {[number, number][]} places @param {number} edge px left free */
  fit(places, edge = 36) {
    if (!places.length) return;
    const [xs, ys] = [places.map((p) => p[0]), places.map((p) => p[1])];
    const [x0, x1, y0, y1] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
    this.middle = [(x0 + x1) / 2, (y0 + y1) / 2];
    const k = Math.min((this.width - 2 * edge) / Math.max(x1 - x0, 0.5), (this.height - 2 * edge) / Math.max(y1 - y0, 0.5));
    this.k = Math.min(Math.max(k, LEAST), MOST);
  }
}
