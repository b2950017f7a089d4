// Wires: the grouping and why, which module is in which string, circuits, checks, drawings, what to buy.
import { MARKS, el, ratio, replace, svg } from "./dom.js";
import { fold, follow, grid } from "./chartsload.js";

const INK = ["#ffffff", "#c9d7e4", "#e8e2cf", "#d5d5d5", "#dfe8d8", "#e7d3d3"];

export function mount(root, store, open) {
  const body = el("div.wires");
  replace(root, el("h2", {}, "Wires"), body);
  follow(root, body, store, (found) => replace(body, story(found, store, open)), { part: "wire", title: "The wiring" });
}

function story(w, store, open) {
  const long = lengths(store.state.units);
  return [head(w), part("Which module is in which string", map(w, store), stringTable(w)),
    part("Other ways to group them", groupings(w)),
    part("Checks of the wiring", checks(w, open)),
    part("One-line diagram and wiring map", drawings(store)),
    part("Circuits and conductors", circuits(w, long), conduits(w, long), electrodes(w, long)),
    part("Wires of the strings, to be cut", cuts(w, long)),
    part("To buy for the wiring", buying(w, store.state.units)),
    part("Signs", grid("Signs to put up", ["No.", "Where", "What it says", "To be written in", "Clause"], w.placards.map((p) => [p.number, p.where, p.text, p.values, p.clause]))),
    part("Before you touch it", el("ul", {}, w.cautions.map((c) => el("li", {}, c)))),
    part("What was assumed, and what is not covered", el("ul", {}, w.notes.map((n) => el("li", {}, n)))),
    el("p.soft", {}, w.caution)];
}

const part = (title, ...inside) => el("section.wire-part", {}, el("h3", {}, title), inside);

function head(w) {
  const g = w.chosen;
  const v = w.volts;
  const open = w.not_checked ? `${w.not_checked} not checked` : "";
  return el("div", {},
    el("p.lead", {}, el("strong", {}, `${count(g.strings, "string")} of ${count(g.per_string, "module")}`), `: ${w.why}.`),
    el("p", {}, `By ${w.basis}. ${w.passed} checks pass, ${w.failed} fail${open ? `, ${open}` : ""}. `,
      `A string gives ${g.cold.toFixed(0)} V on the coldest morning and ${g.hot.toFixed(0)} V at work on the hottest day. `,
      w.share_lost === null ? "Lost in the wires: not checked." : `The wires lose ${(100 * w.share_lost).toFixed(2)} % of the rated power.`),
    el("p.soft", {}, `One module on the coldest morning: ${v.cold_by_coefficient === null ? "no coefficient given" : `${v.cold_by_coefficient.toFixed(2)} V by the maker's coefficient`}`
      + `, ${v.cold_by_table === null ? "the code's table has no factor" : `${v.cold_by_table.toFixed(2)} V by the code's table`}; ${v.cold.toFixed(2)} V counts.`),
    w.left_over.length ? el("p", {}, el("strong", {}, "In no string: "), w.left_over.join(" ")) : null);
}

const count = (n, what) => `${n} ${what}${n === 1 ? "" : "s"}`;

/** Modules as they lie, seen square to the plane, each with its string and its place in it. */
function map(w, store) {
  const panels = store.state.scene.panels;
  const of = new Map(w.strings.flatMap((s, k) => s.modules.map((m, i) => [m, { s, k, i }])));
  const flat = panels.map((p) => ({ id: p.id, box: p.corners.map((c) => [c[0], Math.hypot(c[1] - panels[0].corners[0][1], c[2] - panels[0].corners[0][2])]) }));
  const xs = flat.flatMap((p) => p.box.map((c) => c[0]));
  const ys = flat.flatMap((p) => p.box.map((c) => c[1]));
  const [x0, x1, y1] = [Math.min(...xs), Math.max(...xs), Math.max(...ys)];
  const k = 880 / (x1 - x0);
  const px = ([x, y]) => [(x - x0) * k + 10, (y1 - y) * k + 10];
  const middles = new Map(flat.map((p) => [p.id, px([0, 1].map((a) => p.box.reduce((n, c) => n + c[a], 0) / 4))]));
  const node = svg("svg.string-map", { viewBox: `0 0 900 ${Math.round(y1 * k + 20)}`, role: "img",
    "aria-label": `Modules by string: ${w.strings.map((s) => `${s.id}: ${s.modules.join(" ")}`).join("; ")}` });
  for (const p of flat) {
    const found = of.get(p.id);
    const [, my] = middles.get(p.id);
    node.append(svg("path", { d: `M${p.box.map((c) => px(c).map((v) => v.toFixed(1)).join(" ")).join("L")}z`, fill: found ? INK[found.k % INK.length] : "#fff", stroke: "#111", "stroke-width": 1.5 }),
      svg("text", { x: px(p.box[0])[0] + 8, y: my - 12, class: "string-name" }, found ? found.s.id : "none"),
      svg("text", { x: px(p.box[0])[0] + 8, y: my + 26 }, p.id));
  }
  for (const s of w.strings) {
    const way = s.modules.map((m) => middles.get(m)).filter(Boolean);
    if (way.length < 2) continue;
    node.append(svg("path.jumpers", { d: `M${way.map((q) => `${q[0]} ${q[1] + 4}`).join("L")}` }),
      svg("text.pole", { x: way[0][0] - 28, y: way[0][1] + 10 }, "+"), svg("text.pole", { x: way.at(-1)[0] + 20, y: way.at(-1)[1] + 10 }, "−"));
  }
  return el("div.scroll", { tabindex: 0, role: "region", "aria-label": "Map of the strings" }, node);
}

const stringTable = (w) => grid("Strings, modules from the positive to the negative end", ["String", "Box", "Input", "Modules"], w.strings.map((s) => [s.id, s.box, s.input, s.modules.join(" ")]), [2]);

function groupings(w) {
  const rows = (found) => found.map((g) => [`${g.strings} × ${g.per_string}`, g.per_input.join(" + "), g.left_over, g.cold.toFixed(0), g.hot.toFixed(0),
    g.feasible ? [...g.merits, ...g.notes].join("; ") : g.reasons.join("; ")]);
  const head = ["Strings × modules", "On the inputs", "Left over", "Coldest, V", "Hottest, V", "Why"];
  const [good, bad] = [w.groupings.filter((g) => g.feasible), w.groupings.filter((g) => !g.feasible)];
  return [grid("That will do, the best first", head, rows(good.slice(0, 6)), [2, 3, 4]),
    good.length > 6 ? fold(`${good.length - 6} more that will do`, grid("More that will do", head, rows(good.slice(6)), [2, 3, 4])) : null,
    bad.length ? fold(`${bad.length} that will not do, and why`, grid("That will not do", head, rows(bad), [2, 3, 4])) : null];
}

function checks(w, open) {
  const order = { fail: 0, "not checked": 1, pass: 2 };
  const rows = [...w.checks].sort((a, b) => order[a.status] - order[b.status] || (b.ratio ?? 0) - (a.ratio ?? 0)).map((c) => [
    el("span", { class: `mark-${c.status.replace(" ", "-")}` }, el("span", { "aria-hidden": "true" }, `${MARKS[c.status]} `), c.status),
    el("button.link", { type: "button", onclick: () => open(`check:${c.id}`) }, `${c.subject}: ${c.title}`), ratio(c.ratio), c.clause, [c.note, c.remedy].filter(Boolean).join(" ")]);
  return grid("All checks of the wiring; open one for its steps", ["Outcome", "What", "Of the limit", "Clause", "Note"], rows, [2]);
}

function drawings(store) {
  const at = (name) => `${store.url(`/parts/drawing/wiring.${name}`)}?revision=${store.revision}`;
  const one = (name, words) => el("figure.drawing", {}, el("figcaption", {}, words, " – ", el("a", { href: at(name), target: "_blank" }, "open it large")),
    el("img", { src: at(name), alt: words, loading: "lazy" }));
  return el("div.drawings", {}, one("one-line", "One-line diagram"), one("wiring-map", "Wiring map"));
}

function circuits(w, long) {
  return grid("Circuits", ["Circuit", "How many", "Length", "Conductor", "Largest current, A", "It carries, A", "Device", "Grounding", "Drop, V"], w.circuits.map((c) => [`${c.id}: ${c.what}`, c.count, long(c.length),
    c.size ? `${c.size} ${c.metal} ${c.insulation}` : "none will do", c.i_max.toFixed(1), c.ampacity === null ? "not checked" : c.ampacity.toFixed(1), c.device, c.grounding, c.drop === null ? "" : c.drop.toFixed(2)]), [1, 2, 4, 5, 8]);
}

function conduits(w, long) {
  if (!w.conduits.length) return null;
  return grid("Raceways", ["Raceway", "Kind", "Trade size", "In it", "Filled", "Least cover", "Length"], w.conduits.map((c) => [c.what, c.method, c.trade ?? "not found", c.contents.join("; "),
    c.fill === null ? "not checked" : `${(100 * c.fill).toFixed(0)} %`, c.cover === null ? "" : long(c.cover), long(c.length)]), [4, 5, 6]);
}

function electrodes(w, long) {
  if (!w.electrodes.length) return null;
  return grid("To grounding electrodes", ["What", "At least", "Length", "Words", "Clause"], w.electrodes.map((e) => [e.what, e.size ?? "not checked", e.length === null ? "" : long(e.length), e.words, e.clause]), [2]);
}

const cuts = (w, long) => grid("With the plan's slack", ["String", "Wire", "From", "To", "Laid", "Cut it to"], w.cuts.map((c) => [c.string, c.wire, c.start, c.end, long(c.laid), el("strong", {}, long(c.cut))]), [4, 5]);

function buying(w, units) {
  const amount = (i) => (i.unit === "pieces" ? i.amount.toFixed(0) : units === "us" ? `${Math.ceil(i.amount / 0.3048)} ft` : `${Math.ceil(i.amount)} m`);
  return grid("Prices in the money of the plan; a dash: no price in the plan", ["What", "How much", "Price", "Note"], w.buying.map((i) => [i.what, amount(i), i.price === null ? "–" : i.price.toFixed(2), el("span.soft", {}, i.note)]), [1, 2]);
}

/** Lengths rounded up to the inch or centimetre. */
function lengths(units) {
  if (units === "metric") return (m) => `${(Math.ceil(m * 100 - 1e-6) / 100).toFixed(2)} m`;
  return (m) => {
    const inches = Math.ceil(m / 0.0254 - 1e-6);
    return `${Math.floor(inches / 12)}' ${inches % 12}"`;
  };
}
