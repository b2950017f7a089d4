// Names on the site plan; each stands free or is left out (the list beside it has them all).

import { nearest } from "./plangeometry.js";
import { lengthWords } from "./lengthwords.js";
import { svg } from "./make.js";
import { leader, Room, wide } from "./placing.js";
import { planLengths } from "./planlengths.js";

const TALL = 18;
const EVERY = 190;
const HOLES_FROM = 12;

/**
 * @param {any[]} things as they are now drawn @param {import("./paper.js").Paper} paper
 * @param {{chosen: string, outline: [number, number][]|null, taken: import("./placing.js").Box[],
 *   dragged: any, units: "us"|"metric", lengths: any[], by: [number, number]}} about
 */
export function planLabels(things, paper, about) {
  const room = new Room(paper.width, paper.height);
  about.taken.forEach((b) => room.take(b));
  const nodes = [];
  if (about.dragged && about.outline) nodes.push(...gap(about, paper, room));
  for (const t of things) reserve(t, paper, room);
  const rank = (t) => (t.id === about.chosen ? 0 : { pin: 2, combiner: 1, equipment: 2, setback: 4 }[t.kind] ?? 3);
  const services = things.filter((t) => t.kind === "service");
  const letters = new Map(services.map((t) => [t.id, lettersOf(t, paper, room)]));
  if (paper.k >= HOLES_FROM) for (const t of things.filter((u) => u.kind === "hole")) nodes.push(...holeName(t, paper, room));
  nodes.push(...planLengths(about, paper, room));
  if (about.outline) reserveArray(about.outline, paper, room, nodes);
  for (const spots of letters.values()) nodes.push(...spots.nodes);
  for (const t of things) for (const [a, b] of sidesOf(t, paper)) room.line(a, b);
  let setbacks = 0;
  for (const t of [...things].sort((a, b) => rank(a) - rank(b))) {
    if (t.kind === "hole" || (t.kind === "setback" && setbacks++)) continue;
    const at = t.kind === "service" ? letters.get(t.id).first : anchor(t, paper);
    const name = at && label(t, at, room, t.id === about.chosen);
    if (name) nodes.push(...name);
  }
  return nodes;
}

/** The least distance between the dragged thing and the array, as a line with words. */
function gap(about, paper, room) {
  const { from, to, far } = nearest(about.outline, about.dragged);
  const [a, b] = [paper.px(from), paper.px(to)];
  const words = far > 0.005 ? lengthWords(far, about.units) : "over the array";
  const w = wide(words, 15) + 10;
  const [x, y] = [Math.min(Math.max((a.x + b.x) / 2, w / 2 + 2), paper.width - w / 2 - 2), Math.min(Math.max((a.y + b.y) / 2, 16), paper.height - 16)];
  room.take({ x: x - w / 2, y: y - 13, w, h: 26 });
  return [svg("path", { class: "gap", d: `M${a.x} ${a.y}L${b.x} ${b.y}` }),
    svg("g", { class: "gap-words" }, svg("rect", { x: x - w / 2, y: y - 12, width: w, height: 24, rx: 3 }), svg("text", { x, y: y + 5, "text-anchor": "middle" }, words))];
}

function reserve(t, paper, room) {
  const at = paper.px(t.places[0]);
  if (t.kind === "hole") {
    const r = Math.max(t.radius * paper.k, 3);
    room.take({ x: at.x - r, y: at.y - r, w: 2 * r, h: 2 * r });
  } else if (["pin", "combiner", "equipment"].includes(t.kind)) {
    room.take({ x: at.x - 9, y: at.y - 9, w: 18, h: 18 });
    room.words.push({ x: at.x - 7, y: at.y - 9, w: 14, h: 18 });
  }
  else if (t.kind === "tree") room.take({ x: at.x - 7, y: at.y - 7, w: 14, h: 14 });
}

/** Names stay off the array; only its own word stands before its low edge. */
function reserveArray(outline, paper, room, nodes) {
  const [a, , c] = outline.map((p) => paper.px(p));
  const words = "Front, low edge";
  const w = wide(words);
  const x = (a.x + c.x) / 2 - w / 2;
  const own = c.x - a.x > w + 40 ? room.first([24, 42, 60].map((d) => ({ x, y: a.y + d - TALL, w, h: TALL }))) : null;
  if (own) nodes.push(svg("text", { class: "edge-word", x: own.x, y: own.y + 14 }, words));
  room.take({ x: a.x, y: c.y, w: c.x - a.x, h: a.y - c.y });
}

/** Beside its hole, nowhere else. */
function holeName(t, paper, room) {
  const at = paper.px(t.places[0]);
  const words = t.name.replace(/^Hole /, "");
  const [w, r] = [wide(words, 12), Math.max(t.radius * paper.k, 3) + 2];
  const places = [[r, -8], [-r - w, -8], [-w / 2, -r - 15], [-w / 2, r - 1]].map(([x, y]) => ({ x: at.x + x, y: at.y + y, w, h: 16 }));
  const found = room.first(places);
  return found ? [svg("text", { class: "name hole", "data-label": t.id, x: found.x + 1, y: found.y + 12.5 }, words)] : [];
}

function anchor(t, paper) {
  if (t.kind === "boundary" || t.kind === "setback") return onLine(t, paper);
  const seen = (c, most) => Math.min(Math.max(c, 0), most);
  const exact = t.places.map((p) => paper.px(p));
  const out = (c, most) => exact.every((p) => p[c] < 0) || exact.every((p) => p[c] > most);
  if (out("x", paper.width) || out("y", paper.height)) return null;
  const spots = exact.map((p) => ({ x: seen(p.x, paper.width), y: seen(p.y, paper.height) }));
  const [xs, ys] = [spots.map((s) => s.x), spots.map((s) => s.y)];
  const r = t.kind === "tree" ? Math.max(t.radius * paper.k, 6) : 0;
  const [x0, x1, y0, y1] = [Math.min(...xs) - r, Math.max(...xs) + r, Math.min(...ys) - r, Math.max(...ys) + r];
  const spot = ["pin", "combiner", "equipment"].includes(t.kind) ? 20 : 0;
  return { x: (x0 + x1) / 2, y: (y0 + y1) / 2, w: x1 - x0 + spot, h: y1 - y0 + spot, off: spot ? 1 : 4, within: ["box", "tree", "array", "region", "easement"].includes(t.kind) };
}

/** Beside the first side that is seen. */
function onLine(t, paper) {
  const spots = [...t.places, t.places[0]].map((p) => paper.px(p));
  for (let i = 0; i + 1 < spots.length; i++) {
    const piece = clipped(spots[i], spots[i + 1], paper);
    if (piece && Math.hypot(piece[1].x - piece[0].x, piece[1].y - piece[0].y) > 40)
      return { x: (piece[0].x + piece[1].x) / 2, y: (piece[0].y + piece[1].y) / 2, w: 0, h: 0, off: 6, within: false };
  }
  return null;
}

function label(t, at, room, chosen) {
  const words = t.name;
  const w = wide(words);
  const box = at.within && w < at.w - 6 ? room.first((t.kind === "tree" ? [-0.25, 0.25, -0.4, 0.4] : [0, -0.25, 0.25, -0.4, 0.4]).map((d) => ({ x: at.x - w / 2, y: at.y + d * at.h - TALL / 2, w, h: TALL }))) : null;
  const found = box ?? beside(at, w, room);
  if (!found) return null;
  room.words.push(found);
  const end = nearOn(at, found);
  const line = box ? "" : leader(found, end.x, end.y);
  if (line) room.line(middleOf(found), end, 3);
  return [svg("path", { class: "leader", d: line }), svg("text", { class: `name ${t.kind}${chosen ? " chosen" : ""}`, "data-label": t.id, x: found.x + 1, y: found.y + 13.5 }, words)];
}

/** Its outline or line in px, as far as it is seen. */
function sidesOf(t, paper) {
  if (t.kind === "tree") return crownSides(t, paper);
  if (t.places.length < 2) return [];
  const spots = (t.closed ? [...t.places, t.places[0]] : t.places).map((p) => paper.px(p));
  return spots.slice(1).map((b, i) => clipped(spots[i], b, paper)).filter((piece) => piece !== null);
}

function beside(at, w, room) {
  const [hx, hy] = [at.w / 2, at.h / 2];
  const places = [];
  for (const more of room.frame.w < 500 ? [0, 7, 15, 24] : [0, 7, 15, 24, 36, 50]) {
    const d = at.off + more;
    places.push({ x: at.x - w / 2, y: at.y - hy - d - TALL, w, h: TALL }, { x: at.x - w / 2, y: at.y + hy + d, w, h: TALL },
      { x: at.x + hx + d, y: at.y - TALL / 2, w, h: TALL }, { x: at.x - hx - d - w, y: at.y - TALL / 2, w, h: TALL },
      { x: at.x + hx + d * 0.6, y: at.y - hy - d - TALL, w, h: TALL }, { x: at.x - hx - d * 0.6 - w, y: at.y + hy + d, w, h: TALL },
      { x: at.x + hx + d * 0.6, y: at.y + hy + d, w, h: TALL }, { x: at.x - hx - d * 0.6 - w, y: at.y - hy - d - TALL, w, h: TALL });
  }
  return room.first(places.filter((p) => room.clear(middleOf(p), nearOn(at, p))));
}

const middleOf = (box) => ({ x: box.x + box.w / 2, y: box.y + box.h / 2 });

/** Where the line from its words ends on a thing. */
function nearOn(at, box) {
  const c = middleOf(box);
  return { x: Math.min(Math.max(c.x, at.x - at.w / 2), at.x + at.w / 2), y: Math.min(Math.max(c.y, at.y - at.h / 2), at.y + at.h / 2) };
}

/** Its letter along the line, wherever there is room. */
function lettersOf(t, paper, room) {
  const nodes = [];
  let first = null;
  const spots = t.places.map((p) => paper.px(p));
  for (let i = 0; i + 1 < spots.length; i++) {
    const piece = clipped(spots[i], spots[i + 1], paper);
    if (!piece) continue;
    const [a, b] = piece;
    const long = Math.hypot(b.x - a.x, b.y - a.y);
    const many = Math.max(Math.round(long / EVERY), long > 40 ? 1 : 0);
    for (let k = 0; k < many; k++) {
      const s = (k + 0.5) / many;
      const at = { x: a.x + (b.x - a.x) * s, y: a.y + (b.y - a.y) * s };
      if (!room.first([{ x: at.x - 10, y: at.y - 10, w: 20, h: 20 }])) continue;
      first ??= { ...at, w: 19, h: 19, off: 4, within: false };
      nodes.push(svg("g", { class: "letter" }, svg("circle", { cx: at.x, cy: at.y, r: 9.5 }), svg("text", { x: at.x, y: at.y + 4.5, "text-anchor": "middle" }, t.letter || "?")));
    }
  }
  return { nodes, first };
}

/** The part of a straight piece that is seen. */
function clipped(a, b, paper) {
  let [t0, t1] = [0, 1];
  for (const [from, step, most] of [[a.x, b.x - a.x, paper.width], [a.y, b.y - a.y, paper.height]]) {
    if (step === 0) {
      if (from < 0 || from > most) return null;
      continue;
    }
    const [p, q] = [-from / step, (most - from) / step];
    t0 = Math.max(t0, Math.min(p, q));
    t1 = Math.min(t1, Math.max(p, q));
  }
  if (t0 >= t1) return null;
  const at = (t) => ({ x: a.x + t * (b.x - a.x), y: a.y + t * (b.y - a.y) });
  return [at(t0), at(t1)];
}

function crownSides(t, paper) {
  const at = paper.px(t.places[0]);
  const r = Math.max(t.radius * paper.k, 5);
  const ring = Array.from({ length: 13 }, (_, i) => ({ x: at.x + r * Math.cos((i * Math.PI) / 6), y: at.y + r * Math.sin((i * Math.PI) / 6) }));
  return ring.slice(1).map((b, i) => [ring[i], b]);
}
