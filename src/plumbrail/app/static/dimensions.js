// Dimension lines about the side section: upright ones in lanes left and right, level ones below or
// above, sloping ones beside what they measure. No words stand over others.

import { svg } from "./make.js";
import { Room, wide } from "./placing.js";

const LANE = 21;
const LETTER = 12.5;
const TALL = 15;

/**
 * @param {any[]} labels @param {any} on the section: `at(y, z)`, `body`, `width`, `height`
 * @returns {{nodes: Node[], need: Record<string, number>, room: Room}}
 */
export function dimensions(labels, on) {
  const room = new Room(on.width, on.height);
  const lanes = { left: [], right: [], top: [], bottom: [] };
  const nodes = [];
  const measured = labels.map((l) => ({ words: l.words, a: on.at(l.start[1], l.start[2]), b: on.at(l.end[1], l.end[2]) }));
  measured.sort((p, q) => length(p) - length(q));
  const sloping = [];
  for (const m of measured) {
    const [dx, dy] = [Math.abs(m.b.x - m.a.x), Math.abs(m.b.y - m.a.y)];
    if (dx < 3 || dy > 12 * dx) upright(m, on, lanes, nodes, room);
    else if (dy < 3 || dx > 12 * dy) level(m, on, lanes, nodes, room);
    else sloping.push(m);
  }
  const need = Object.fromEntries(Object.entries(lanes).map(([side, used]) => [side, 14 + used.length * LANE]));
  const high = sloping.map((m) => slope(m, on, nodes, room));
  need.top = Math.max(need.top, 20, ...high);
  return { nodes, need, room };
}

const length = (m) => Math.hypot(m.b.x - m.a.x, m.b.y - m.a.y);

/** The first lane in which a stretch is free; a new one when none is. */
function lane(lanes, from, to) {
  let i = lanes.findIndex((used) => used.every(([a, b]) => to < a || from > b));
  if (i < 0) i = lanes.push([]) - 1;
  lanes[i].push([from, to]);
  return i;
}

function upright({ a, b, words }, on, lanes, nodes, room) {
  const side = (a.x + b.x) / 2 < on.body.x + on.body.w / 2 ? "left" : "right";
  const [top, bottom] = a.y < b.y ? [a, b] : [b, a];
  const w = wide(words, LETTER);
  const inside = bottom.y - top.y >= w + 14;
  let from = inside ? (top.y + bottom.y - w) / 2 : bottom.y + 6;
  if (!inside && from + w > on.height - 2) from = top.y - 6 - w;
  const i = lane(lanes[side], Math.min(top.y, from) - 3, Math.max(bottom.y, from + w) + 3);
  const x = side === "left" ? on.body.x - 16 - i * LANE : on.body.x + on.body.w + 16 + i * LANE;
  const words_x = x + (inside ? -4 : 4);
  nodes.push(svg("g", { class: "dimension" },
    extension(top.x, top.y, x + (side === "left" ? -4 : 4), top.y), extension(bottom.x, bottom.y, x + (side === "left" ? -4 : 4), bottom.y),
    line(x, top.y, x, bottom.y),
    svg("text", { transform: `translate(${words_x} ${from + w / 2}) rotate(-90)`, "text-anchor": "middle" }, words)));
  room.take({ x: x - TALL, y: Math.min(top.y, from), w: TALL + 4, h: Math.max(bottom.y, from + w) - Math.min(top.y, from) });
}

function level({ a, b, words }, on, lanes, nodes, room) {
  const side = (a.y + b.y) / 2 < on.body.y + on.body.h * 0.3 ? "top" : "bottom";
  const [left, right] = a.x < b.x ? [a, b] : [b, a];
  const w = wide(words, LETTER);
  const inside = right.x - left.x >= w + 14;
  let from = inside ? (left.x + right.x - w) / 2 : right.x + 6;
  if (from + w > on.width - 2) from = left.x - 6 - w;
  const i = lane(lanes[side], Math.min(left.x, from) - 3, Math.max(right.x, from + w) + 3);
  const y = side === "top" ? on.body.y - 14 - i * LANE : on.body.y + on.body.h + 20 + i * LANE;
  nodes.push(svg("g", { class: "dimension" }, extension(left.x, left.y, left.x, y + (side === "top" ? -4 : 4)),
    extension(right.x, right.y, right.x, y + (side === "top" ? -4 : 4)), line(left.x, y, right.x, y),
    svg("text", { x: from, y: y + (inside ? -4 : 4) }, words)));
  room.take({ x: Math.min(left.x, from), y: y - TALL, w: Math.max(right.x, from + w) - Math.min(left.x, from), h: TALL + 4 });
}

/** Beside what it measures, on its upper side. @returns {number} room it needs above the body */
function slope({ a, b, words }, on, nodes, room) {
  const [left, right] = a.x < b.x ? [a, b] : [b, a];
  const long = Math.hypot(right.x - left.x, right.y - left.y);
  const n = { x: (right.y - left.y) / long, y: -(right.x - left.x) / long };
  const off = 16;
  const [p, q] = [left, right].map((c) => ({ x: c.x + n.x * off, y: c.y + n.y * off }));
  const turn = (Math.atan2(q.y - p.y, q.x - p.x) * 180) / Math.PI;
  const mid = { x: (p.x + q.x) / 2 + n.x * 4, y: (p.y + q.y) / 2 + n.y * 4 };
  nodes.push(svg("g", { class: "dimension" }, line(left.x, left.y, p.x + n.x * 4, p.y + n.y * 4, "extension"),
    line(right.x, right.y, q.x + n.x * 4, q.y + n.y * 4, "extension"), line(p.x, p.y, q.x, q.y),
    svg("text", { transform: `translate(${mid.x} ${mid.y}) rotate(${turn.toFixed(2)})`, "text-anchor": "middle" }, words)));
  for (let t = 0; t <= 1.0001; t += 0.05) {
    const c = { x: p.x + (q.x - p.x) * t, y: p.y + (q.y - p.y) * t };
    room.take({ x: c.x - 9 + n.x * 8, y: c.y - 9 + n.y * 8, w: 18, h: 18 });
  }
  return on.body.y - Math.min(p.y, q.y, mid.y) > 0 ? on.body.y - Math.min(p.y, q.y) + TALL : 0;
}

const extension = (x1, y1, x2, y2) => line(x1, y1, x2, y2, "extension");

/** A line; a dimension line gets a slash at each end. */
function line(x1, y1, x2, y2, kind = "measure") {
  if (kind === "extension") return svg("path", { class: kind, d: `M${x1} ${y1}L${x2} ${y2}` });
  const tick = (x, y) => `M${x - 3.5} ${y + 3.5}l7 -7`;
  return svg("path", { class: kind, d: `M${x1} ${y1}L${x2} ${y2}${tick(x1, y1)}${tick(x2, y2)}` });
}
