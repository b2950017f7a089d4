// Lengths in words while something is dragged, before the server has said them.

/**
 * To the inch or to the centimetre, as a site plan shows them.
 * @param {number} metres @param {"us"|"metric"} units
 */
export function lengthWords(metres, units) {
  if (units === "metric") return `${metres.toFixed(2)} m`.replace(/^-(0\.00)/, "$1");
  const inches = Math.round(Math.abs(metres) / 0.0254);
  const sign = metres < 0 && inches ? "-" : "";
  const feet = Math.floor(inches / 12);
  return feet ? `${sign}${feet}' ${inches % 12}"` : `${sign}${inches}"`;
}

/** How far an arrow key moves something: 1 in or 1 cm. */
export const step = (units) => (units === "metric" ? 0.01 : 0.0254);

/**
 * "34 ft left of and 38 ft before F1" in words.
 * @param {[number, number]} at @param {"us"|"metric"} units
 */
export function placeWords(at, units) {
  const along = `${lengthWords(Math.abs(at[0]), units)} to the ${at[0] < 0 ? "left" : "right"}`;
  return `${along}, ${lengthWords(Math.abs(at[1]), units)} to the ${at[1] < 0 ? "front" : "back"}`;
}

/**
 * A length for a scale bar: the longest round one that fits.
 * @param {number} most in metres @param {"us"|"metric"} units
 */
export function roundLength(most, units) {
  const unit = units === "metric" ? 1 : 0.3048;
  const sizes = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000];
  const fit = sizes.filter((s) => s * unit <= most).pop() ?? sizes[0];
  const words = units === "metric" ? `${fit} m` : `${fit} ft`;
  return { metres: fit * unit, words };
}
