// Side section through the deepest station, seen from the right end: y to the back, z up.

import { dimensions } from "./dimensions.js";
import { groundOf } from "./ground.js";
import { fillOf, patterns, shape } from "./legend.js";
import { chosenParts, follow, onceAFrame, onSize, sceneOf, set, svg } from "./make.js";
import { leader, wide } from "./placing.js";
import { MARKS, ratioWords } from "./colours.js";

const PREFIX = "psec";

/**
 * @param {HTMLElement} root @param {any} store
 * @param {(target: string) => void} [open] opens a check
 */
export function mount(root, store, open) {
  const picture = svg("svg", { class: "section-picture", role: "group", "aria-label": "Side section" });
  root.classList.add("section-view");
  root.replaceChildren(picture);
  const draw = () => {
    const scene = sceneOf(store);
    const { width, height } = root.getBoundingClientRect();
    if (!scene || width < 40 || height < 40) return;
    const held = document.activeElement?.getAttribute("data-id");
    const focused = picture.contains(document.activeElement);
    new Section(picture, scene, store, width, height, open).draw();
    root.dataset.drawn = String(store.state.revision);
    if (focused && held) picture.querySelector(`[data-id="${CSS.escape(held)}"]`)?.focus();
  };
  const ask = onceAFrame(draw);
  const off = [follow(store, ask), onSize(root, ask)];
  ask();
  return { destroy: () => off.forEach((f) => f?.()) };
}

class Section {
  constructor(picture, scene, store, width, height, open) {
    Object.assign(this, { picture, scene, store, width, height, open });
    this.chosen = new Set(chosenParts(store));
    this.ground = groundOf(scene);
    const post = scene.section.find((b) => b.part === "post") ?? scene.section[0];
    this.x = post ? post.start[0] : 0;
    this.slices = slices(scene.panels, this.x);
    this.labels = scene.lengths.filter((l) => l.view === "section");
    this.extent = extent(scene.section, this.slices, this.labels);
  }

  draw() {
    const { picture, width, height } = this;
    set(picture, { viewBox: `0 0 ${width} ${height}`, width, height });
    const laid = this.fit();
    picture.replaceChildren(patterns(PREFIX), this.soil(), ...this.frame(), ...this.modules(), ...laid.nodes, ...this.words(laid.room));
  }

  /** A scale at which everything fits, dimensions too; they need more room the smaller it is. */
  fit() {
    let margin = { left: 34, right: 34, top: 40, bottom: 34 };
    for (let i = 0; i < 4; i++) {
      this.scaleTo(margin);
      const laid = dimensions(this.labels, this);
      if (i === 3) return laid;
      const need = laid.need;
      const enough = ["left", "right", "top", "bottom"].every((s) => need[s] <= margin[s] + 0.5);
      if (enough) return laid;
      margin = { left: Math.max(need.left, margin.left), right: Math.max(need.right, margin.right),
        top: Math.max(need.top, margin.top), bottom: Math.max(need.bottom, margin.bottom) };
    }
    return dimensions(this.labels, this);
  }

  scaleTo(margin) {
    const { low, high } = this.extent;
    const [w, h] = [this.width - margin.left - margin.right, this.height - margin.top - margin.bottom];
    this.k = Math.max(Math.min(w / (high[0] - low[0]), h / (high[1] - low[1])), 1);
    this.margin = margin;
    const spareX = (w - this.k * (high[0] - low[0])) / 2, spareY = (h - this.k * (high[1] - low[1])) / 2;
    this.at = (y, z) => ({ x: margin.left + spareX + (y - low[0]) * this.k, y: margin.top + spareY + (high[1] - z) * this.k });
    const [a, b] = [this.at(low[0], high[1]), this.at(high[0], low[1])];
    this.body = { x: a.x, y: a.y, w: b.x - a.x, h: b.y - a.y };
  }

  soil() {
    const steps = 40;
    const points = [];
    const from = (0 - this.at(0, 0).x) / this.k, to = (this.width - this.at(0, 0).x) / this.k;
    for (let i = 0; i <= steps; i++) {
      const y = from + ((to - from) * i) / steps;
      const p = this.at(y, this.ground.height(this.x, y));
      points.push(`${p.x.toFixed(1)} ${p.y.toFixed(1)}`);
    }
    const line = `M${points.join("L")}`;
    return svg("g", { class: "soil" }, svg("path", { class: "soil-body", d: `${line}L${this.width} ${this.height}L0 ${this.height}z` }), svg("path", { class: "soil-line", d: line }));
  }

  grade(y) {
    return this.ground.height(this.x, y);
  }

  frame() {
    const order = ["pier", "brace", "post", "rail", "beam"];
    const bars = [...this.scene.section].sort((a, b) => order.indexOf(a.part) - order.indexOf(b.part));
    return bars.map((bar) => this.bar(bar));
  }

  /** A bar from its side, or a beam from its end; a press chooses it. */
  bar(bar) {
    const [a, b] = [this.at(bar.start[1], bar.start[2]), this.at(bar.end[1], bar.end[2])];
    const long = Math.hypot(b.x - a.x, b.y - a.y);
    const thick = Math.max(bar.size * this.k, bar.part === "pier" ? 8 : 4);
    const fill = bar.part === "pier" && bar.mark === "none" ? "#dcdad4" : fillOf(PREFIX, bar.mark, bar.ratio);
    const body = long < thick * 1.2
      ? svg("circle", { cx: (a.x + b.x) / 2, cy: (a.y + b.y) / 2, r: thick / 2, fill })
      : svg("path", { d: strip(a, b, thick, long), fill });
    const said = [bar.words, ratioWords(bar.ratio, bar.mark), MARKS[bar.mark].words].filter(Boolean).join(", ");
    const group = svg("g", { class: `bar ${bar.part}${this.chosen.has(bar.id) ? " chosen" : ""}`, "data-id": bar.id,
      tabindex: 0, role: "button", "aria-label": said, "aria-pressed": String(this.chosen.has(bar.id)) },
      svg("title", {}, said), body);
    const choose = () => this.store.select(bar.id);
    group.addEventListener("click", choose);
    group.addEventListener("dblclick", () => bar.check && this.open?.(`check:${bar.check}`));
    group.addEventListener("keydown", (e) => {
      if (e.key !== "Enter" && e.key !== " ") return;
      e.preventDefault();
      if (this.chosen.has(bar.id) && bar.check) this.open?.(`check:${bar.check}`);
      else choose();
    });
    return group;
  }

  modules() {
    return this.slices.map(({ low, high, thick }) => {
      const [a, b] = [this.at(...low), this.at(...high)];
      const long = Math.hypot(b.x - a.x, b.y - a.y) || 1;
      const t = Math.max(thick * this.k, 3);
      const off = { x: ((b.y - a.y) / long) * t, y: (-(b.x - a.x) / long) * t };
      return svg("path", { class: "module-slice", d: `M${a.x} ${a.y}L${b.x} ${b.y}L${b.x + off.x} ${b.y + off.y}L${a.x + off.x} ${a.y + off.y}z` });
    });
  }

  /** Names of the parts, with a mark where one is near its limit or over it. */
  words(room) {
    for (const { low, high } of this.slices) room.line(this.at(...low), this.at(...high), 8, true);
    room.line(this.at(this.extent.low[0] - 9, this.grade(this.extent.low[0] - 9)), this.at(this.extent.high[0] + 9, this.grade(this.extent.high[0] + 9)));
    const named = this.scene.section.filter((b) => b.part !== "rail" && b.part !== "beam")
      .concat(this.scene.section.filter((b) => b.part === "rail" || b.part === "beam"));
    for (const bar of named) room.line(this.at(bar.start[1], bar.start[2]), this.at(bar.end[1], bar.end[2]), Math.max(bar.size * this.k, 4) + 2, true);
    return once(named).flatMap((bar) => this.name(bar, room));
  }

  name(bar, room) {
    const marked = bar.mark === "near" || bar.mark === "fail" || bar.mark === "not checked";
    if (bar.part === "pier" && !marked) return [];
    const text = [shortName(bar), marked ? ratioWords(bar.ratio, bar.mark) : ""].filter(Boolean).join(" ");
    const w = wide(text) + (marked ? 17 : 0);
    const from = bar.part === "post" ? Math.max(bar.start[2], this.grade(bar.start[1])) : bar.start[2];
    const [a, b] = [this.at(bar.start[1], from), this.at(bar.end[1], bar.end[2])];
    const [x, y] = [(a.x + b.x) / 2, (a.y + b.y) / 2];
    const box = room.about(x, y, w, 17, Math.max((bar.size * this.k) / 2, 2) + 6);
    if (!box) return [];
    const line = svg("path", { class: "leader", d: leader(box, x, y) });
    const node = svg("text", { class: "part-name", x: box.x + (marked ? 17 : 0), y: box.y + 13 }, text);
    if (!marked) return [line, node];
    const mark = set(shape(bar.mark), { x: box.x, y: box.y + 1.5 });
    return [line, mark, node];
  }
}

/** The two pieces of a beam that meet over a post are one in the section: the worse of them. */
function once(bars) {
  const found = new Map();
  for (const b of bars) {
    const key = b.part === "beam" ? shortName(b) : b.id;
    const before = found.get(key);
    if (!before || (b.ratio ?? -1) > (before.ratio ?? -1)) found.set(key, b);
  }
  return [...found.values()];
}

/** "F3"; of a beam "Front beam"; a pier stands under its post. */
const shortName = (bar) => (bar.part === "beam" ? bar.words.split(",")[0] : bar.part === "pier" ? "Pier" : bar.id);

function strip(a, b, thick, long) {
  const [x, y] = [(-(b.y - a.y) / long) * thick * 0.5, ((b.x - a.x) / long) * thick * 0.5];
  return `M${a.x + x} ${a.y + y}L${b.x + x} ${b.y + y}L${b.x - x} ${b.y - y}L${a.x - x} ${a.y - y}z`;
}

/** Modules of the column nearest to a station, cut by it: [y, z] of the low and the high edge. */
function slices(panels, x) {
  const mid = (p) => (p.corners[0][0] + p.corners[1][0]) / 2;
  const near = Math.min(...panels.map((p) => Math.abs(mid(p) - x)));
  return panels.filter((p) => Math.abs(mid(p) - x) < near + 0.05).map((p) => {
    const [a, b, c, d] = p.corners;
    const t = Math.min(Math.max((x - a[0]) / (b[0] - a[0] || 1), 0), 1);
    const between = (u, v) => [u[1] + t * (v[1] - u[1]), u[2] + t * (v[2] - u[2])];
    return { low: between(a, b), high: between(d, c), thick: p.thick };
  });
}

function extent(bars, cuts, labels) {
  const low = [Infinity, Infinity], high = [-Infinity, -Infinity];
  const see = (y, z) => {
    low[0] = Math.min(low[0], y);
    low[1] = Math.min(low[1], z);
    high[0] = Math.max(high[0], y);
    high[1] = Math.max(high[1], z);
  };
  for (const b of bars) for (const p of [b.start, b.end]) (see(p[1] - b.wide / 2, p[2]), see(p[1] + b.wide / 2, p[2]));
  for (const c of cuts) (see(...c.low), see(...c.high));
  for (const l of labels) for (const p of [l.start, l.end]) see(p[1], p[2]);
  return low[0] < high[0] ? { low, high } : { low: [-1, -1], high: [1, 1] };
}

