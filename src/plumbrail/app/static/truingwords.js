// What the desk and the phone say of a truing alike: the mark of a verdict, the posts of a row, small
// lengths and angles as a crew reads them: sixteenths of an inch, or millimetres; degrees.
import { fraction } from "./keypadvalue.js";

/** Marks that need no colour, the same on both screens. */
export const VERDICT_MARKS = { inside: "✓", outside: "✕", "too uncertain to say": "△", "not measured": "?", "not checked": "?", "": "?" };

/** Heads of the posts among points, by row: F1, F2, … @param {Iterable<string>} ids */
export function heads(ids, row = "[FB]") {
  const name = new RegExp(`^${row}\\d+$`);
  return [...ids].filter((id) => name.test(id));
}

/** "1 9/16" of an inch count; to the sixteenth. */
export function sixteenths(inches) {
  const n = Math.round(Math.abs(inches) * 16);
  return [Math.floor(n / 16) || "", fraction(n % 16)].filter(Boolean).join(" ") || "0";
}

/** A signed value: +1 9/16 in, −40 mm, 0.35°. @param {"us"|"metric"} units */
export function amount(value, angle, units) {
  if (angle) return `${sign(value, 0.005 / (180 / Math.PI))}${Math.abs(value * (180 / Math.PI)).toFixed(2)}°`;
  if (units === "metric") return `${sign(value, 0.0005)}${Math.abs(value * 1000).toFixed(0)} mm`;
  return `${sign(value, 0.0254 / 32)}${sixteenths(value / 0.0254)} in`;
}

/** What a value is known to, or half a band; finer than a sixteenth where it has to be. */
export function spread(value, angle, units) {
  if (angle) return `${(value * (180 / Math.PI)).toFixed(2)}°`;
  if (units === "metric") return `${(value * 1000).toFixed(value < 0.01 ? 1 : 0)} mm`;
  return value < 0.0254 / 16 ? `${(value / 0.0254).toFixed(2)} in` : `${sixteenths(value / 0.0254)} in`;
}

const sign = (value, least) => (Math.abs(value) < least ? "" : value < 0 ? "−" : "+");
