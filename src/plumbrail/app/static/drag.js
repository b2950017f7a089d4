// Moving things on the site plan by mouse, touch and keyboard; panning and pinching the plan.
// A move is shown as it goes and told once, when it ends; Escape takes it back.

import { step } from "./lengthwords.js";

const STILL = 4;
const REST = 500;

/** @typedef {{id: string, handle: number, by: [number, number], keys: boolean}} Move */

export class Drag {
  /**
   * @param {SVGElement} picture @param {import("./paper.js").Paper} paper
   * @param {{mayMove: (id: string, handle: number) => boolean, choose: (id: string) => void,
   *   shown: () => void, ended: (move: Move) => void, panned: () => void, units: () => "us"|"metric",
   *   home: () => void, step?: (id: string, way: [number, number]) => number|null}} tell
   */
  constructor(picture, paper, tell) {
    this.picture = picture;
    this.paper = paper;
    this.tell = tell;
    /** @type {Move|null} what is being moved */
    this.move = null;
    this.down = new Map();
    this.travel = 0;
    this.pressed = null;
    this.timer = 0;
    const on = (name, f, options) => picture.addEventListener(name, f, options);
    on("pointerdown", (e) => this.press(e));
    on("pointermove", (e) => this.go(e));
    on("pointerup", (e) => this.release(e, true));
    on("pointercancel", (e) => this.release(e, false));
    on("wheel", (e) => this.wheel(e), { passive: false });
    on("keydown", (e) => this.key(e));
    on("focusout", () => this.move?.keys && this.end());
  }

  at(e) {
    const box = this.picture.getBoundingClientRect();
    return { x: e.clientX - box.left, y: e.clientY - box.top };
  }

  press(e) {
    if (e.button) return;
    this.end();
    this.down.set(e.pointerId, this.at(e));
    this.picture.setPointerCapture(e.pointerId);
    if (this.down.size > 1) {
      this.pressed = null;
      return this.cancel();
    }
    this.travel = 0;
    this.pressed = grip(e.target);
    this.start = this.at(e);
  }

  go(e) {
    const before = this.down.get(e.pointerId);
    if (!before) return;
    const now = this.at(e);
    this.travel += Math.hypot(now.x - before.x, now.y - before.y);
    if (this.down.size === 2) return this.pinch(e, now);
    this.down.set(e.pointerId, now);
    if (this.down.size > 2 || this.travel < STILL || !this.start) return;
    const held = this.pressed;
    if (held && (this.move || this.tell.mayMove(held.id, held.handle))) {
      if (!this.move) this.tell.choose(held.id);
      const k = this.paper.k;
      this.move = { ...held, by: [(now.x - this.start.x) / k, (this.start.y - now.y) / k], keys: false };
      this.tell.shown();
    } else {
      this.paper.pan(now.x - before.x, now.y - before.y);
      this.tell.panned();
    }
  }

  pinch(e, now) {
    const span = () => {
      const [a, b] = [...this.down.values()];
      return { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2, far: Math.max(Math.hypot(a.x - b.x, a.y - b.y), 1) };
    };
    const old = span();
    this.down.set(e.pointerId, now);
    const after = span();
    this.paper.pan(after.x - old.x, after.y - old.y);
    this.paper.zoom(after.far / old.far, after.x, after.y);
    this.start = null;
    this.tell.panned();
  }

  release(e, done) {
    if (!this.down.delete(e.pointerId)) return;
    if (this.move && !this.move.keys) {
      if (done) this.end();
      else this.cancel();
    } else if (done && this.travel < STILL && this.start) this.tell.choose(this.pressed?.id ?? "");
    if (!this.down.size) this.pressed = this.start = null;
  }

  wheel(e) {
    e.preventDefault();
    const now = this.at(e);
    const turned = Math.min(Math.max(e.deltaY * (e.deltaMode ? 16 : 1), -240), 240);
    this.paper.zoom(Math.exp(-turned * 0.0016), now.x, now.y);
    this.tell.panned();
  }

  key(e) {
    if (e.key === "Escape" && this.move) {
      e.preventDefault();
      e.stopPropagation();
      return this.cancel();
    }
    if (e.ctrlKey || e.metaKey || e.altKey) return;
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[e.key];
    const held = grip(e.target);
    if (way) {
      e.preventDefault();
      if (held) this.nudge(held, way, e.shiftKey ? 10 : 1);
      else {
        this.paper.pan(-40 * way[0], 40 * way[1]);
        this.tell.panned();
      }
    } else if ((e.key === "Enter" || e.key === " ") && held) {
      e.preventDefault();
      if (this.move) this.end();
      else this.tell.choose(held.id);
    } else if (!held) this.zoomKey(e);
  }

  zoomKey(e) {
    if (e.key === "+" || e.key === "=") this.paper.zoom(1.25);
    else if (e.key === "-") this.paper.zoom(0.8);
    else if (e.key === "Home") return this.tell.home();
    else return;
    this.tell.panned();
  }

  nudge(held, way, times) {
    if (!this.tell.mayMove(held.id, held.handle)) return;
    const far = this.tell.step?.(held.id, way) ?? step(this.tell.units()) * times;
    const same = this.move?.keys && this.move.id === held.id && this.move.handle === held.handle;
    if (!same) this.end();
    const by = same ? this.move.by : [0, 0];
    this.move = { ...held, by: [by[0] + far * way[0], by[1] + far * way[1]], keys: true };
    this.tell.shown();
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.end(), REST);
  }

  /** Tells the move, once. */
  end() {
    clearTimeout(this.timer);
    const move = this.move;
    this.move = null;
    if (!move) return;
    if (Math.hypot(...move.by) > 1e-6) this.tell.ended(move);
    this.tell.shown();
  }

  cancel() {
    clearTimeout(this.timer);
    this.start = null;
    if (!this.move) return;
    this.move = null;
    this.pressed = null;
    this.tell.shown();
  }
}

/** The thing, or the point of it, that an element belongs to. */
function grip(target) {
  const point = target.closest?.("[data-handle]");
  if (point) return { id: point.dataset.of, handle: Number(point.dataset.handle) };
  const thing = target.closest?.("[data-id]");
  return thing ? { id: thing.dataset.id, handle: -1 } : null;
}
