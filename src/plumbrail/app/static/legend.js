// What the colours, patterns and shapes mean; the shapes for drawings and labels.

import { cssInk, MARKS } from "./colours.js";
import { html, svg } from "./make.js";

/** Patterns that a drawing's fills refer to; one set in each drawing. @param {string} prefix */
export function patterns(prefix) {
  const tile = (name, ink, ...inside) =>
    svg("pattern", { id: `${prefix}-${name}`, width: 8, height: 8, patternUnits: "userSpaceOnUse",
      patternTransform: name === "fail" ? "rotate(45)" : null },
      svg("rect", { width: 8, height: 8, fill: ink }), ...inside);
  return svg("defs", {},
    tile("near", MARKS.near.ink, svg("circle", { cx: 2, cy: 2, r: 1.3 }), svg("circle", { cx: 6, cy: 6, r: 1.3 })),
    tile("fail", MARKS.fail.ink, svg("rect", { width: 3, height: 8, fill: "#fff" })),
    tile("not-checked", "#fff", svg("circle", { cx: 4, cy: 4, r: 1.6, fill: "none", stroke: "#000" })));
}

/** Fill of a part in a drawing with `patterns(prefix)`. */
export function fillOf(prefix, mark, ratio) {
  if (mark === "pass" || mark === "none") return cssInk(mark, ratio);
  return `url(#${prefix}-${mark.replace(" ", "-")})`;
}

/** The shape of a mark: tick, triangle, cross in a box, question in a ring, dash. */
export function shape(mark, size = 14) {
  const inside = {
    pass: () => [svg("path", { d: "M1.5 7.5l4 4.5 7-10", fill: "none", stroke: MARKS.pass.ink, "stroke-width": 2.6 })],
    near: () => [svg("path", { d: "M7 1 13.4 12.8H.6z", fill: MARKS.near.ink, stroke: "#000", "stroke-width": 1.4 })],
    fail: () => [svg("rect", { x: 0.7, y: 0.7, width: 12.6, height: 12.6, fill: MARKS.fail.ink, stroke: "#000" }),
      svg("path", { d: "M3.5 3.5l7 7m0-7l-7 7", stroke: "#fff", "stroke-width": 2.2 })],
    "not checked": () => [svg("circle", { cx: 7, cy: 7, r: 6.2, fill: "#fff", stroke: "#000", "stroke-width": 1.2 }),
      svg("path", { d: "M4.9 5.6a2.1 2.1 0 1 1 2.9 1.9q-.8.4-.8 1.2M7 10.2v1.4", fill: "none", stroke: "#000", "stroke-width": 1.5 })],
    none: () => [svg("path", { d: "M3 7h8", stroke: "#555", "stroke-width": 2 })],
  }[mark]();
  return svg("svg", { class: "mark-shape", width: size, height: size, viewBox: "0 0 14 14", "aria-hidden": "true" }, ...inside);
}

/** @param {string} prefix of the patterns @param {string[]} marks that occur */
export function legend(prefix, marks) {
  const rows = [
    ["pass", "passes: the darker, the nearer to its limit"], ["near", "passes at 0.90 of its limit or more"],
    ["fail", "fails"], ["not checked", "not checked"], ["none", "nothing is checked on it"],
  ].filter(([mark]) => marks.includes(mark));
  return html("ul", { class: "legend" }, ...rows.map(([mark, words]) =>
    html("li", {}, shape(mark), swatch(prefix, mark), words)));
}

function swatch(prefix, mark) {
  const box = svg("svg", { width: 44, height: 14, viewBox: "0 0 44 14", "aria-hidden": "true" });
  const steps = mark === "pass" ? [0.1, 0.4, 0.65, 0.89] : [1];
  const w = 42 / steps.length;
  steps.forEach((ratio, i) => box.append(
    svg("rect", { x: 1 + i * w, y: 1, width: w, height: 12, fill: fillOf(prefix, mark, ratio) })));
  box.append(svg("rect", { x: 1, y: 1, width: 42, height: 12, fill: "none", stroke: "#000" }));
  return box;
}
