// Marks of the site plan: one for each thing, kept and moved rather than drawn anew.

import { SERVICES } from "./colours.js";
import { set, svg } from "./make.js";
import { roundLength } from "./lengthwords.js";

export const KINDS = {
  box: "building", tree: "tree", array: "other array", service: "buried service", boundary: "boundary",
  easement: "easement", region: "ground", pin: "pin", combiner: "combiner", equipment: "equipment",
  hole: "hole", setback: "setback",
};
const REGIONS = { paving: "paving", rock: "rock", roots: "tree roots", "keep out": "keep out: nobody digs here" };

/** What a thing is, in words. */
export function kindWords(thing) {
  if (thing.kind === "region") return REGIONS[thing.shape] ?? KINDS.region;
  if (thing.kind === "service") return thing.shape ? `${KINDS.service}, ${thing.shape}` : KINDS.service;
  return KINDS[thing.kind] ?? thing.kind;
}

/** Drawn first to last: areas under lines under spots. */
export const LAYERS = ["boundary", "easement", "region", "setback", "service", "array", "box", "tree", "own", "hole", "pin", "combiner", "equipment"];

export function planPatterns() {
  const lines = (name, turn, gap, ink) => svg("pattern", { id: `plan-${name}`, width: gap, height: gap,
    patternUnits: "userSpaceOnUse", patternTransform: `rotate(${turn})` },
    svg("path", { d: `M0 0V${gap}`, stroke: ink, "stroke-width": 1.4 }));
  const dots = svg("pattern", { id: "plan-region", width: 9, height: 9, patternUnits: "userSpaceOnUse" },
    svg("circle", { cx: 2, cy: 2, r: 0.9, fill: "#777" }), svg("circle", { cx: 6.5, cy: 6.5, r: 0.9, fill: "#777" }));
  return svg("defs", {}, lines("box", 45, 7, "#8a8a8a"), lines("easement", -45, 12, "#b9b9b9"), dots);
}

/** A mark with its nodes; `place(thing, paper)` puts them where they belong. */
export class PlanMark {
  /** @param {any} thing */
  constructor(thing) {
    this.kind = thing.kind;
    this.shape = thing.shape;
    this.node = svg("g", { class: `thing ${thing.kind}`, "data-id": thing.id });
    this.parts = {};
    for (const [name, tag] of nodesOf(thing)) {
      this.parts[name] = svg(tag, { class: name });
      this.node.append(this.parts[name]);
    }
    if (thing.kind === "service") {
      const s = SERVICES[thing.shape] ?? SERVICES.proposed;
      this.parts.line.style.stroke = s.ink;
      set(this.parts.line, { "stroke-dasharray": s.dash || null });
    }
  }

  place(thing, paper) {
    const p = this.parts;
    const at = paper.px(thing.places[0]);
    if (p.area) set(p.area, { d: paper.path(thing.places, true) });
    if (p.line) set(p.line, { d: paper.path(thing.places, thing.closed) });
    if (p.hit) set(p.hit, { d: paper.path(thing.places, thing.closed) });
    if (p.zone) set(p.zone, { d: paper.path(thing.places), "stroke-width": Math.max(2 * thing.radius * paper.k, 0) });
    if (p.low) set(p.low, { d: paper.path(thing.places.slice(0, 2)) });
    if (p.crown) set(p.crown, { cx: at.x, cy: at.y, r: Math.max(thing.radius * paper.k, 5) });
    if (p.stem) set(p.stem, { d: `M${at.x - 5} ${at.y}h10M${at.x} ${at.y - 5}v10` });
    if (p.ring) set(p.ring, { cx: at.x, cy: at.y, r: Math.max(thing.radius * paper.k, 2.5) });
    if (p.spot) set(p.spot, { d: SPOTS[thing.kind](at.x, at.y) });
    if (p.touch) set(p.touch, { cx: at.x, cy: at.y, r: 15 });
  }
}

function nodesOf(thing) {
  if (thing.kind === "box") return [["area", "path"]];
  if (thing.kind === "tree") return [["crown", "circle"], ["stem", "path"]];
  if (thing.kind === "array") return [["area", "path"], ["low", "path"]];
  if (thing.kind === "service") return [["zone", "path"], ["hit", "path"], ["line", "path"]];
  if (["easement", "region"].includes(thing.kind)) return [["area", "path"]];
  if (["boundary", "setback"].includes(thing.kind)) return [["hit", "path"], ["line", "path"]];
  if (thing.kind === "hole") return [["ring", "circle"]];
  return [["touch", "circle"], ["spot", "path"]];
}

const SPOTS = {
  pin: (x, y) => `M${x} ${y - 8}l7 13h-14zM${x} ${y - 1}v.1`,
  combiner: (x, y) => `M${x - 7} ${y - 7}h14v14h-14zM${x - 7} ${y - 7}l14 14m0-14l-14 14`,
  equipment: (x, y) => `M${x - 8} ${y - 8}h16v16h-16zM${x - 8} ${y}h16`,
};

/** The array itself: every module by its edge in one path, the low edge heavy. */
export class OwnMark {
  constructor() {
    this.modules = svg("path", { class: "modules" });
    this.low = svg("path", { class: "low" });
    this.body = svg("path", { class: "body" });
    this.node = svg("g", { class: "thing own", "data-id": "array" }, this.body, this.modules, this.low);
  }

  /** @param {any} scene @param {[number, number][]} outline @param {[number, number]} by */
  place(scene, outline, by, paper) {
    const move = (p) => [p[0] + by[0], p[1] + by[1]];
    set(this.modules, { d: paper.k < 3 ? "" : scene.panels.map((p) => paper.path(p.corners.map(move), true)).join("") });
    set(this.body, { d: paper.path(outline.map(move), true) });
    set(this.low, { d: paper.path(outline.slice(0, 2).map(move)) });
  }
}

/** Scale bar and north arrow of a plan. */
export class Furniture {
  constructor() {
    this.bar = svg("path", { class: "bar" });
    this.fill = svg("path", { class: "bar-fill" });
    this.zero = svg("text", {}, "0");
    this.length = svg("text");
    this.needle = svg("path", { class: "needle" });
    this.north = svg("text", { "text-anchor": "middle" }, "N");
    this.box = svg("rect", { class: "back", rx: 3 });
    this.node = svg("g", { class: "furniture", "aria-hidden": "true" }, this.box, this.fill, this.bar, this.zero, this.length,
      svg("circle", { class: "ring", r: 17 }), this.needle, this.north);
    this.ring = this.node.children[5];
  }

  /** @returns {import("./placing.js").Box[]} the room that it takes */
  place(paper, units, bearing) {
    const { metres, words } = roundLength(Math.min(150, paper.width * 0.34) / paper.k, units);
    const w = metres * paper.k;
    const [x, y] = [16, paper.height - 18];
    set(this.bar, { d: `M${x} ${y}h${w}v-7h${-w}zM${x + w / 2} ${y}v-7` });
    set(this.fill, { d: `M${x} ${y}h${w / 2}v-7h${-w / 2}z` });
    set(this.zero, { x: x - 3, y: y - 11 });
    set(this.length, { x: x + w, y: y - 11, "text-anchor": "middle" });
    this.length.textContent = words;
    const box = { x: 6, y: y - 28, w: w + 46, h: 38 };
    set(this.box, { x: box.x, y: box.y, width: box.w, height: box.h });
    const [cx, cy] = [paper.width - 34, 36];
    const [nx, ny] = [Math.cos(bearing), -Math.sin(bearing)];
    set(this.ring, { cx, cy });
    set(this.needle, { d: `M${cx + 17 * nx} ${cy + 17 * ny}L${cx - 12 * nx - 5 * ny} ${cy - 12 * ny + 5 * nx}L${cx - 7 * nx} ${cy - 7 * ny}L${cx - 12 * nx + 5 * ny} ${cy - 12 * ny - 5 * nx}z` });
    set(this.north, { x: cx + 26 * nx, y: cy + 26 * ny + 5 });
    return [box, { x: cx - 34, y: cy - 34, w: 68, h: 68 }];
  }
}
