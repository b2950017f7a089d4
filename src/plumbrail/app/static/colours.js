// How a part is coloured and marked by its ratio. Each mark differs in colour, in pattern, in shape
// and in lightness, so that none of them is needed alone.

/** @typedef {"pass"|"near"|"fail"|"not checked"|"none"} Mark */

/** Pattern numbers as the shaders know them: 0 plain, 1 dots, 2 wide bands, 3 open dots. */
export const MARKS = {
  pass: { words: "passes", short: "", pattern: 0, ink: "#2f6690" },
  near: { words: "passes at 0.90 or more", short: "near", pattern: 1, ink: "#e8a400" },
  fail: { words: "fails", short: "fails", pattern: 2, ink: "#9b1c1c" },
  "not checked": { words: "not checked", short: "not checked", pattern: 3, ink: "#ffffff" },
  none: { words: "nothing is checked on it", short: "", pattern: 0, ink: "#c4c8cc" },
};

/** Order of concern, worst first. */
export const ORDER = ["fail", "near", "not checked", "pass", "none"];

const LIGHT = [205, 222, 235];
const DARK = [52, 108, 152];

/** @param {string} hex @returns {[number, number, number]} 0 to 255 */
export function rgb(hex) {
  const n = parseInt(hex.slice(1), 16);
  return [n >> 16, (n >> 8) & 255, n & 255];
}

/**
 * Colour of a part: what passes grows darker with its ratio.
 * @param {Mark} mark @param {number|null} ratio @returns {[number, number, number]} 0 to 255
 */
export function inkOf(mark, ratio) {
  if (mark !== "pass") return rgb(MARKS[mark].ink);
  const t = Math.min(Math.max((ratio ?? 0) / 0.9, 0), 1);
  return /** @type {any} */ (LIGHT.map((a, i) => Math.round(a + t * (DARK[i] - a))));
}

/** The same for a drawing. */
export const cssInk = (mark, ratio) => `rgb(${inkOf(mark, ratio).join(",")})`;

/** "0.94", "1.20" or nothing; never rounded across a limit: 0.996 is 0.99, 1.001 is 1.01. */
export function ratioWords(ratio, mark) {
  if (ratio === null || ratio === undefined) return "";
  if (ratio > 99) return "over 99";
  const hundredths = mark === "fail" ? Math.ceil(ratio * 100 - 1e-7) : Math.floor(ratio * 100 + 1e-7);
  if (mark === "pass" || mark === "none") return (Math.min(Math.round(ratio * 100), 89) / 100).toFixed(2);
  return (hundredths / 100).toFixed(2);
}

/** Public marking colours of buried services (uniform colour code, from memory) and dashes. */
export const SERVICES = {
  power: { ink: "#c1121f", dash: "" },
  gas: { ink: "#a67c00", dash: "10 4" },
  communication: { ink: "#c65102", dash: "14 4 3 4" },
  water: { ink: "#1d4e9e", dash: "3 3" },
  reclaimed: { ink: "#6a2c91", dash: "8 3 3 3 3 3" },
  sewer: { ink: "#1b6b3a", dash: "18 5" },
  survey: { ink: "#b03a78", dash: "2 5" },
  proposed: { ink: "#444444", dash: "6 6" },
};
