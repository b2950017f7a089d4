// Which readings of the field sheet are there already. No page.

const KINDS = {
  "rod reading": "rod", "slope tape": "tape", "horizontal tape": "level tape", move: "moved", slide: "slides",
};
const HEIGHT = /\b(up|down|above|below)\b/i;
const ACROSS = /\b(back|front|across)\b/i;

/** A point as plumbrail names it: "front 3" and "f3" are F3. */
export function point(text) {
  const plain = (text ?? "").trim().toLowerCase().replace(/[\s_-]+/g, " ").replace(/^post /, "");
  const post = /^(front|back|f|b) ?0*(\d+)(?: (beam|head|top|base|foot|post))?$/.exec(plain);
  if (!post) return plain;
  const part = { top: " top", base: " base", foot: " base", post: " post" }[post[3]] ?? "";
  return `${post[1][0].toUpperCase()}${post[2]}${part}`;
}

/** The kind of a row in the words of the field sheet. */
export function kindOf(row) {
  const plain = (row.kind ?? "").trim().toLowerCase().replace(/[\s_-]+/g, " ");
  if (plain === "string") return HEIGHT.test(row.value ?? "") ? "string height" : "string side";
  return KINDS[plain] ?? plain;
}

/** The same for everything that reads the same thing; set-ups of the laser apart. */
export function key(row, axis) {
  const kind = kindOf(row);
  const start = point(row.start);
  if (kind === "rod") return `rod|${start}`;
  if (kind === "plumb") return `plumb|${start.replace(/ top$/, "")}|${axis ?? (ACROSS.test(row.value) ? "across" : "along")}`;
  const ends = [start, point(row.end)].sort().join("|");
  return `${kind === "diagonal" ? "tape" : kind}|${ends}|${point(row.at_point)}`;
}

/** Points that a reading looks at. */
function sees(row) {
  const kind = kindOf(row);
  const names = [row.start, row.end, row.at_point].map(point).filter(Boolean);
  return kind === "plumb" ? [names[0], `${names[0]} base`] : names.map((n) => n.replace(/ top$/, ""));
}

/** Points that a row of kind moved took along. */
function carried(row) {
  const name = (row.start ?? "").trim().toLowerCase();
  const beam = /^(front|back) beam$/.exec(name);
  if (beam) return (p) => p.startsWith(beam[1][0].toUpperCase()) ? !p.includes("base") : p.startsWith(`${beam[1]} `);
  const at = point(row.start);
  if (at.endsWith(" post")) return (p) => p === at.slice(0, -5) || p === `${at.slice(0, -5)} base`;
  return (p) => p === at;
}

/**
 * For every wanted reading: the row that gives it, and "done", "moved" (something moved since it
 * was read) or "". Rows of a rod from other set-ups fill the places of the sheet too: the laser may
 * stand somewhere else than the sheet thought, as long as each is a set-up of its own.
 * @param {object[]} wanted  @param {object[]} rows  in their order
 * @returns {Map<object, {state: ""|"done"|"moved", row: object|null}>}
 */
export function progress(wanted, rows) {
  const live = rows.filter((row) => !row.struck && !row.strikes && row.value);
  const moves = live.map((row, i) => (kindOf(row) === "moved" ? { i, on: carried(row) } : null)).filter(Boolean);
  const stale = (row, i) => moves.some((m) => m.i > i && sees(row).some((p) => m.on(p)));
  /** @type {Map<string, {row: object, moved: boolean}[]>} */
  const found = new Map();
  live.forEach((row, i) => {
    const name = key(row);
    found.set(name, [...(found.get(name) ?? []), { row, moved: stale(row, i) }]);
  });
  const result = new Map();
  const used = new Set();
  const give = (w, list) => {
    const best = list.filter((f) => !used.has(f)).sort((a, b) => a.moved - b.moved)[0];
    if (!best) return;
    list.forEach((f) => (f.row.setup ?? "") === (best.row.setup ?? "") && used.add(f));
    result.set(w, { state: best.moved ? "moved" : "done", row: best.row });
  };
  for (const w of wanted) {
    const list = found.get(key(w, w.axis)) ?? [];
    if (w.kind === "rod") give(w, list.filter((f) => setup(f.row) === setup(w)));
    else if (list.length) {
      const best = list.findLast((f) => !f.moved) ?? list.at(-1);
      result.set(w, { state: best.moved ? "moved" : "done", row: best.row });
    }
  }
  for (const w of wanted) if (w.kind === "rod" && !result.has(w)) give(w, found.get(key(w)) ?? []);
  for (const w of wanted) if (!result.has(w)) result.set(w, { state: "", row: null });
  return result;
}

const setup = (row) => (row.setup || "A").toUpperCase();
