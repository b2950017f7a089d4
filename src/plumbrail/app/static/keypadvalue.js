// What is typed on the keypad: feet, inches and sixteenths, metres or millimetres, degrees. No page.

/**
 * @typedef {object} Typed
 * @property {"feet"|"metric"|"degrees"|"gap"} mode  gap: at the end of a level of a length
 * @property {"feet"|"inches"|"number"} part  where digits go
 * @property {string} feet
 * @property {string} inches
 * @property {number} sixteenths
 * @property {string} number
 * @property {"m"|"mm"} unit
 * @property {string} way   back, front, left, right, up, down, both or ""
 * @property {string} run   length of the level
 */

export const FOOT = 0.3048;
const INCH = 0.0254;
const RUNS = { us: ["2'", "4'", "6'"], metric: ["0.6 m", "1.2 m", "1.8 m"] };
const LONG = new Set(["rod", "tape", "level tape", "diagonal"]);
const LIMITS = { rod: 50, "string side": 50, "string height": 50, moved: 10, slides: 10 };

export const runs = (units) => RUNS[units];

/** An empty value for a kind of row. @returns {Typed} */
export function blank(kind, units, mode) {
  const usual = kind === "plumb" || kind === "tilt" ? "degrees" : units === "us" ? "feet" : "metric";
  const now = mode ?? usual;
  const part = now !== "feet" && !(now === "gap" && units === "us") ? "number" : LONG.has(kind) ? "feet" : "inches";
  return {
    mode: now, part, feet: "", inches: "", sixteenths: 0, number: "", way: "",
    unit: LONG.has(kind) ? "m" : "mm", run: RUNS[units][1], units,
  };
}

/** The value after a key: a digit, ".", "part:inches", "16:3", "unit:mm". @param {Typed} t */
export function press(t, key) {
  const [name, what] = key.split(":");
  if (name === "part") return { ...t, part: what };
  if (name === "unit") return { ...t, unit: what };
  if (name === "16") return { ...t, sixteenths: Number(what), part: "inches", inches: t.inches || "0" };
  const old = t[t.part];
  if (key === "." && (t.part !== "number" || old.includes("."))) return t;
  const next = (old === "0" && key !== "." ? "" : old === "" && key === "." ? "0" : old) + key;
  return next.length > (t.part === "number" ? 7 : 3) ? t : { ...t, [t.part]: next };
}

/** Whether anything is typed. */
export const typed = (t) => Boolean(t.feet || t.inches || t.number.replace(".", ""));

/** 3/16 as it is written: reduced. */
export function fraction(sixteenths) {
  let [a, b] = [sixteenths, 16];
  while (a && a % 2 === 0) [a, b] = [a / 2, b / 2];
  return a ? `${a}/${b}` : "";
}

/** The figure without its direction, as the notebook writes it: 4' 7 3/16". */
export function figure(t) {
  if (!typed(t)) return "";
  if (t.part === "number" || t.number) {
    const number = t.number.replace(/\.$/, "");
    const unit = t.mode === "degrees" ? "deg" : t.unit;
    return t.mode === "gap" ? `${number} ${unit} / ${t.run}` : `${number} ${unit}`;
  }
  const [feet, whole, part] = [Number(t.feet || 0), Number(t.inches || 0), fraction(t.sixteenths)];
  const inches = !part ? String(whole) : whole || feet ? `${whole} ${part}` : part;
  const words = feet ? `${feet}' ${inches}"` : `${inches}"`;
  return t.mode === "gap" ? `${words} / ${t.run}` : words;
}

/** The same in SI [m or rad]; of a gap its length. */
export function amount(t) {
  if (t.part === "number" || t.number) {
    const n = Number(t.number || 0);
    return t.mode === "degrees" ? (n * Math.PI) / 180 : t.unit === "mm" ? n / 1000 : n;
  }
  return Number(t.feet || 0) * FOOT + (Number(t.inches || 0) + t.sixteenths / 16) * INCH;
}

/** The whole value as it goes into the notebook. */
export function written(t, kind, axis) {
  const bare = figure(t);
  if (kind === "rod") return t.way === "up" && amount(t) ? `${bare} up` : bare;
  if (kind === "plumb" && !amount(t)) return `${bare} ${axis || t.way}`;
  if (kind.startsWith("string") && !amount(t)) return bare;
  return t.way && t.way !== "both" ? `${bare} ${t.way}` : bare;
}

/** What keeps this value from being saved, in words; empty when nothing does. */
export function problem(t, kind, axis, ways) {
  if (!typed(t)) return "Enter the value first.";
  const size = amount(t);
  if (t.feet && Number(t.inches || 0) > 11) return "With feet, inches go to 11. Carry over, or clear the feet.";
  const limit = LIMITS[kind];
  if (limit && size > limit * FOOT) return `More than ${limit} ft: a slip?`;
  if (t.mode === "degrees" && size > ((kind === "plumb" ? 10 : 60) * Math.PI) / 180) return "Too steep: a slip?";
  if (!size && (LONG.has(kind) && kind !== "rod")) return "A tape cannot read zero.";
  if (!size && (kind === "moved" || kind === "slides")) return "How far?";
  const needs = ways.length && kind !== "rod" && (size || (kind === "plumb" && !axis));
  return needs && !t.way ? `Which way? ${ways.map((w) => w.label).join(" or ")}.` : "";
}

/** A length [m] as the notebook writes it, to 1/16 in or 1 mm. */
export function lengthText(metres, units) {
  const size = Math.abs(metres);
  if (units === "metric") return size < 1 ? `${Math.round(size * 1000)} mm` : `${size.toFixed(3)} m`;
  const parts = Math.round((size / INCH) * 16);
  const feet = Math.floor(parts / 192);
  const t = { ...blank("tape", "us"), feet: feet ? String(feet) : "", inches: String(Math.floor((parts % 192) / 16)), sixteenths: parts % 16 };
  return figure(t);
}
