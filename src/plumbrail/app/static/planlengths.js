// Lengths of the array on the site plan: hole to hole, row to row and over all, where there is room.

import { svg } from "./make.js";
import { wide } from "./placing.js";

const LETTER = 12;
const OFF = 15;
const OVER_ALL = 13;

/**
 * @param {{lengths: any[], by: [number, number], outline: [number, number][]|null}} about
 * @param {import("./paper.js").Paper} paper @param {import("./placing.js").Room} room
 * @returns {SVGElement[]}
 */
export function planLengths(about, paper, room) {
  const at = (p) => paper.px([p[0] + about.by[0], p[1] + about.by[1]]);
  return (about.lengths ?? []).flatMap((l) => {
    const [a, b] = [at(l.start), at(l.end)];
    const long = Math.hypot(b.x - a.x, b.y - a.y);
    const w = wide(l.words, LETTER);
    if (long < w + 14) return [];
    const over = l.words.startsWith("array");
    return Math.abs(b.x - a.x) >= Math.abs(b.y - a.y) ? level(a, b, l.words, w, room, over) : upright(a, b, l.words, w, room);
  });
}

/** Inside the array beside the holes; the length over all before the low edge. */
function level(a, b, words, w, room, over) {
  const off = over ? OVER_ALL : -OFF;
  const x = (a.x + b.x) / 2;
  const y = (a.y + b.y) / 2 + off;
  const box = room.first([over ? { x: x - w / 2, y: y + 1, w, h: 16 } : { x: x - w / 2, y: y - 16, w, h: 16 }]);
  if (!box) return [];
  return [drawn([a.x, a.y], [b.x, b.y], [0, off]), text(words, x, box.y + 12.5)];
}

function upright(a, b, words, w, room) {
  const x = (a.x + b.x) / 2 - OFF;
  const y = (a.y + b.y) / 2;
  const box = room.first([{ x: x - 17, y: y - w / 2, w: 16, h: w }]);
  if (!box) return [];
  const node = text(words, 0, 0);
  node.setAttribute("transform", `translate(${(x - 4).toFixed(1)} ${y.toFixed(1)}) rotate(-90)`);
  return [drawn([a.x, a.y], [b.x, b.y], [-OFF, 0]), node];
}

/** The measured line beside what it measures, with short lines that lead to it and a slash at each end. */
function drawn(a, b, off) {
  const far = Math.hypot(...off);
  const more = off.map((c) => (c / far) * 4);
  const [p, q] = [a, b].map((c) => [c[0] + off[0], c[1] + off[1]]);
  const put = (c) => c.map((v) => v.toFixed(1)).join(" ");
  const lead = (from, to) => `M${put(from)}L${put([to[0] + more[0], to[1] + more[1]])}`;
  const slash = ([x, y]) => `M${put([x - 3.5, y + 3.5])}l7 -7`;
  return svg("g", { class: "length" }, svg("path", { class: "extension", d: lead(a, p) + lead(b, q) }),
    svg("path", { class: "measure", d: `M${put(p)}L${put(q)}${slash(p)}${slash(q)}` }));
}

const text = (words, x, y) => svg("text", { class: "name length", x: x.toFixed(1), y: y.toFixed(1), "text-anchor": "middle" }, words);
