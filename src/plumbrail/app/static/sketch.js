// Plan and elevations: every post with what to move and by how much. Places along the row are evenly
// spaced and not to scale; how far a beam is off its line is drawn larger than it is.
import { el, svg } from "./dom.js";
import { lengthText } from "./keypadvalue.js";
import { VERDICT_MARKS, heads } from "./truingwords.js";

const LEAST = 84;
/** Widest a letter of an amount gets [px]. */
const LETTER = { us: 9.6, metric: 12 };
const GLYPHS = { along: ["→", "←"], across: ["↑", "↓"], up: ["↑", "↓"] };
const LINE = 21;
const BOW = 14;

/**
 * @param {object} found  answer to /truing  @param {object} field  answer to /field
 * @param {string} chosen  post whose values show  @param {(post: string) => void} choose
 */
export function sketch(found, field, chosen, choose, units) {
  const points = new Map((found.picture?.points ?? []).map((p) => [p.id, p]));
  const stations = heads(points.keys(), "F").length;
  if (!stations) return el("p", {}, "There is nothing to draw yet.");
  const moves = found.mending.moves;
  const longest = Math.max(0, ...moves.map((m) => lengthText(m.amount, units).length + 2));
  const pitch = Math.max(LEAST, longest * LETTER[units] + 6);
  const made = { points, stations, moves, chosen, choose, units, values: found.values, pitch };
  const wide = stations * made.pitch;
  const drawn = (title, parts) => {
    const [shapes, high] = parts;
    const view = svg("svg", { viewBox: `0 0 ${wide} ${high}`, width: wide, height: high, role: "group", "aria-label": title }, shapes);
    return el("div.sketch", { tabindex: "0", role: "region", "aria-label": `${title}, can be moved sideways` }, el("h4", {}, title), view);
  };
  return [
    drawn("From above: back row on top", plan(made)),
    drawn("Heights, seen from the front", heights(made)),
    el("p.key", {}, "Arrows: move. base: foot of the post; post: all of it; no word: the top with the beam. ✓ inside, ✕ outside, △ not sure, ? not measured. The line through the posts is bent larger than it is."),
    values(made),
  ];
}

/** Moves at a post, each in few words. */
function said(made, post, axes) {
  const found = [];
  for (const move of made.moves) {
    const base = move.place.replace(/ (post|base)$/, "");
    if (base !== post || !axes.includes(move.axis)) continue;
    const part = move.place === post ? "" : move.place.slice(post.length + 1);
    found.push({ part, text: `${GLYPHS[move.axis][move.amount < 0 ? 1 : 0]} ${lengthText(move.amount, made.units)}`, move });
  }
  return found;
}

/** Lines under or over a post: the part on its own line, so that nothing runs into the next post. */
function lines(moves) {
  return moves.flatMap(({ part, text }) => (part ? [{ words: part, bold: false }, { words: text, bold: true }] : [{ words: text, bold: true }]));
}

function plan(made) {
  const rows = ["B", "F"].map((row) => ({ row, said: ids(made, row).map((p) => lines(said(made, p, ["along", "across"]))) }));
  const deep = rows.map((r) => Math.max(0, ...r.said.map((l) => l.length)) * LINE);
  const shapes = [];
  let y = 12;
  rows.forEach(({ row, said: told }, k) => {
    const middle = y + 52 + BOW;
    shapes.push(...rowShapes(made, row, middle, 1));
    told.forEach((words, i) => shapes.push(texts(words, x(made, i), middle + 40 + BOW)));
    y = middle + 34 + BOW + deep[k] + 16;
  });
  return [shapes, y + 4];
}

function heights(made) {
  const shapes = [];
  let y = 12;
  for (const row of ["B", "F"]) {
    const told = ids(made, row).map((p) => lines(said(made, p, ["up"])));
    const deep = Math.max(0, ...told.map((l) => l.length)) * LINE;
    const middle = y + 52 + BOW;
    shapes.push(...rowShapes(made, row, middle, 2));
    told.forEach((words, i) => shapes.push(texts(words, x(made, i), middle + 40 + BOW)));
    y = middle + 34 + BOW + deep + 16;
  }
  return [shapes, y + 4];
}

/** The planned line dashed, the measured one solid, a button on every post. */
function rowShapes(made, row, middle, axis) {
  const posts = ids(made, row);
  const off = posts.map((id) => {
    const p = made.points.get(id);
    return p.known[axis] ? p.place[axis] - p.planned[axis] : null;
  });
  const most = Math.max(...off.map((d) => Math.abs(d ?? 0)), 0.005);
  const at = off.map((d, i) => [x(made, i), middle - ((d ?? 0) / most) * BOW]);
  const end = x(made, posts.length - 1);
  const beam = row === "F" ? "front" : "back";
  const slide = made.moves.find((m) => m.place === `${beam} beam`);
  return [
    svg("line.planned", { x1: x(made, 0) - 40, y1: middle, x2: end + 40, y2: middle }),
    svg("polyline.built", { points: at.map((p) => p.join(",")).join(" ") }),
    svg("text.row-name", { x: 2, y: middle - 46 }, `${beam} ${axis === 1 ? "row" : "beam"}`,
      slide && axis === 1 && `, beam ${GLYPHS.along[slide.amount < 0 ? 1 : 0]} ${lengthText(slide.amount, made.units)}`),
    posts.map((id, i) => post(made, id, at[i])),
  ];
}

function post(made, id, [cx, cy]) {
  const { verdict } = made.points.get(id);
  const act = () => made.choose(made.chosen === id ? "" : id);
  const press = (event) => {
    if (event.key !== "Enter" && event.key !== " ") return;
    event.preventDefault();
    act();
  };
  return svg("g.post", { role: "button", tabindex: "0", "aria-pressed": String(made.chosen === id), "aria-label": `${id}: ${verdict || "not measured"}`, onclick: act, onkeydown: press },
    svg("rect.touch", { x: cx - 32, y: cy - 30, width: 64, height: 60 }),
    svg("circle", { cx, cy, r: 25 }),
    svg("text.post-name", { x: cx, y: cy }, id),
    svg("text.post-mark", { x: cx, y: cy + 17 }, VERDICT_MARKS[verdict]));
}

function texts(words, at, top) {
  return words.map(({ words: text, bold }, i) => svg(bold ? "text.amount" : "text.part", { x: at, y: top + i * LINE }, text));
}

const x = (made, i) => (i + 0.5) * made.pitch;

function ids(made, row) {
  return Array.from({ length: made.stations }, (_, i) => `${row}${i + 1}`);
}

/** What was found at the post that was tapped. */
function values(made) {
  if (!made.chosen) return el("p", {}, "Tap a post to see its values.");
  const name = new RegExp(`(^|[^A-Za-z0-9])${made.chosen}([^0-9]|$)`);
  const found = made.values.filter((v) => name.test(v.subject));
  const told = made.moves.filter((m) => m.place.replace(/ (post|base)$/, "") === made.chosen);
  return el("div.post-values", { role: "status" }, el("h4", {}, `${made.chosen}`),
    told.length > 0 && el("ul.reasons", {}, told.map((m) => el("li", {}, el("strong", {}, m.words)))),
    found.length ? el("ul.values", {}, found.map((v) => el("li", {}, el("strong", {}, `${VERDICT_MARKS[v.verdict]} ${shown(v, v.value, made.units)}`),
      el("span", {}, ` ${v.subject}: ${v.what}${limit(v, made.units)}`))))
      : el("p", {}, "No value hangs on this post alone."));
}

/** A value with its sign, as far as it is known. */
function shown(v, value, units) {
  if (value === null || value === undefined) return "not measured";
  const size = v.angle ? `${Math.abs((value * 180) / Math.PI).toFixed(1)}°` : lengthText(value, units);
  return `${value < 0 && !/^0("|°| mm)$/.test(size) ? "−" : ""}${size}`;
}

function limit(v, units) {
  if (v.low === null && v.high === null) return ", no tolerance stated";
  const parts = [v.low, v.high].filter((n) => n !== null).map((n) => shown(v, n, units));
  return `, ${v.verdict}; allowed ${parts.length === 2 ? `${parts[0]} to ${parts[1]}` : parts[0]}`;
}
