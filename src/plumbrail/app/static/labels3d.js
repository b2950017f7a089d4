// Words over the 3D view: ratios of parts near or over their limit, the chosen part, north.

import { MARKS, ratioWords } from "./colours.js";
import { shape } from "./legend.js";
import { html, set, svg } from "./make.js";
import { Room, wide } from "./placing.js";

const MOST = 14;
const MOST_ON_PHONE = 7;

/** A layer of labels that take no clicks. */
export class Labels {
  constructor() {
    this.lines = svg("svg", { class: "label-lines", "aria-hidden": "true" });
    this.words = html("div", { class: "label-words", "aria-hidden": "true" });
    this.north = compass();
    this.root = html("div", { class: "labels3d" }, this.lines, this.words, this.north);
  }

  /**
   * @param {any[]} items what is drawn @param {import("./camera.js").Camera} camera
   * @param {string[]} chosen @param {string} hovered @param {number} bearing of the row [rad]
   * @param {boolean} inGround piers are seen
   */
  draw(items, camera, chosen, hovered, bearing, inGround) {
    const room = new Room(camera.width, camera.height);
    room.take({ x: 0, y: camera.height - 76, w: 76, h: 76 });
    const lines = [], words = [];
    for (const item of said(items, chosen, hovered, camera.width < 500 ? MOST_ON_PHONE : MOST)) {
      const top = item.kind === "pier" && !inGround;
      const [a, b] = [camera.project(top ? item.end : item.start), camera.project(item.end)];
      if (!a || !b) continue;
      const at = { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
      if (at.x < 0 || at.y < 0 || at.x > camera.width || at.y > camera.height) continue;
      const full = item.id === hovered || (chosen.length === 1 && item.id === chosen[0]);
      const text = wordsOf(item, full);
      const w = Math.min(wide(text) + (item.mark === "none" ? 14 : 32), camera.width - 8);
      const box = room.about(at.x, at.y, w, 24, 12);
      if (!box) continue;
      const node = html("span", { class: `label3d${chosen.includes(item.id) ? " chosen" : ""}`, "data-label": item.id },
        ...(item.mark === "none" ? [] : [shape(item.mark)]), html("span", {}, text));
      node.style.transform = `translate(${Math.round(box.x)}px, ${Math.round(box.y)}px)`;
      words.push(node);
      lines.push(svg("path", { d: `M${at.x} ${at.y}L${clampTo(at.x, box.x, box.w)} ${clampTo(at.y, box.y, box.h)}` }),
        svg("circle", { cx: at.x, cy: at.y, r: 2.5 }));
    }
    set(this.lines, { viewBox: `0 0 ${camera.width} ${camera.height}`, width: camera.width, height: camera.height });
    this.lines.replaceChildren(...lines);
    this.words.replaceChildren(...words);
    turnNorth(this.north, camera, bearing);
  }
}

/** The chosen and the hovered part first, then what fails or is near, the worst first. */
function said(items, chosen, hovered, most) {
  const first = items.filter((i) => i.id === hovered || chosen.includes(i.id)).slice(0, most);
  const marked = items.filter((i) => (i.mark === "fail" || i.mark === "near") && !first.includes(i));
  marked.sort((a, b) => (b.ratio ?? 0) - (a.ratio ?? 0));
  return [...first, ...marked.slice(0, Math.max(most - first.length, 0))];
}

/** "F3 0.94", or with all words for the chosen part. */
export function wordsOf(item, full) {
  const ratio = ratioWords(item.ratio, item.mark);
  const short = { beam: () => item.words.split(",").slice(0, 2).join(""), pier: () => item.words.split(",")[0] }[item.kind];
  if (!full) return `${short?.() ?? item.id} ${ratio}`.trim();
  const outcome = item.mark === "none" ? "" : MARKS[item.mark].words;
  return [item.words, [ratio, outcome].filter(Boolean).join(" ")].filter(Boolean).join(" · ");
}

const clampTo = (c, from, over) => Math.min(Math.max(c, from), from + over);

function compass() {
  return svg("svg", { class: "compass", width: 72, height: 72, viewBox: "-36 -36 72 72", role: "img", "aria-label": "Direction of true north" },
    svg("ellipse", { class: "ring", rx: 22, ry: 22 }), svg("path", { class: "needle" }), svg("text", { class: "n" }, "N"));
}

function turnNorth(node, camera, bearing) {
  const { right, up } = camera.frame();
  const flat = (x, y) => [22 * (x * right[0] + y * right[1]), -22 * (x * up[0] + y * up[1])];
  const [nx, ny] = flat(Math.cos(bearing), Math.sin(bearing));
  const [sx, sy] = flat(Math.sin(bearing) * 0.28, -Math.cos(bearing) * 0.28);
  const [ring, needle, word] = node.children;
  set(ring, { ry: Math.max(22 * Math.abs(Math.sin(camera.rise)), 0.5) });
  set(needle, { d: `M${nx} ${ny}L${-nx * 0.6 + sx} ${-ny * 0.6 + sy}L${-nx * 0.3} ${-ny * 0.3}L${-nx * 0.6 - sx} ${-ny * 0.6 - sy}z` });
  const far = Math.hypot(nx, ny) || 1;
  set(word, { x: nx + (nx / far) * 9, y: ny + (ny / far) * 8 + 4.5 });
}
