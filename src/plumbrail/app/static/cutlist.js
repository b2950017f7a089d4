// Cut and buy: every stick as a bar, its pieces to tick off as they are sawn; what to buy, by aisle.
import { announce, el, replace, svg } from "./dom.js";
import { follow, grid } from "./chartsload.js";
import { onSize } from "./make.js";
import { ticking } from "./cutlistticks.js";
import { BEFORE, goneWords, wasTicked } from "./former.js";

const HIGH = 40;

export function mount(root, store) {
  const ticks = ticking(store);
  const sum = el("div");
  const gone = el("div.gone");
  const bars = el("div.bars");
  const buy = el("div");
  const body = el("div", {}, sum, gone, bars, buy);
  replace(root, el("h2", {}, "Cut and buy"), body);
  let found = null;
  const shown = [];

  function draw(report) {
    found = report;
    replace(sum, summary(report), patterns());
    shown.length = 0;
    replace(bars, report.sections.map((section) => sectionOf(section, report)));
    replace(buy, shopping(report, ticks));
    size();
    ticks.refresh();
  }

  function sectionOf(section, report) {
    const own = report.bars.filter((b) => b.section === section.section && b.what === section.what);
    const title = el("h3", {}, `${section.section}: ${section.what}, ${own.length} ${own.length === 1 ? "stick" : "sticks"}`);
    if (section.problem) return el("section.cut-section", {}, title, el("p.error", {}, `Cannot be cut: ${section.problem}`));
    return el("section.cut-section", {}, title, proof(section, report), own.map((bar, i) => stick(bar, section.sticks[i], report)));
  }

  function stick(bar, cut, report) {
    const picture = svg("svg.stick", { role: "img", height: HIGH, "aria-label": words(bar) });
    const longest = Math.max(...report.bars.map((b) => b.length));
    const one = { bar, cut, picture, longest };
    shown.push(one);
    const name = `${bar.section} ${bar.number}`;
    return el("div.stick-row", { role: "group", "aria-label": `Stick ${name}` },
      el("p.stick-name", {}, el("strong", {}, `Stick ${bar.number}`), ` ${bar.words}${bar.own ? ", from the yard" : ""} `,
        el("span.soft", {}, `left over ${bar.offcut_words}`)),
      picture, el("div.pieces", {}, bar.pieces.map((p) => {
        const box = ticks.box("cut", p.item, `${p.label} · ${p.words}`);
        box.append(el("span.before.soft", { "data-piece": p.piece, hidden: true }, ` ${BEFORE}`));
        return box;
      })));
  }

  /** What was ticked on sticks that are cut otherwise now. */
  function former() {
    if (!found) return;
    const lost = ticks.former("cut", found.bars.flatMap((b) => b.pieces.map((p) => p.item)));
    const forget = () => lost.forEach((item) => ticks.set("cut", item, false));
    replace(gone, lost.length ? el("p.warning", {}, el("strong", {}, goneWords(lost)), " ",
      el("button", { type: "button", onclick: forget }, "Forget these ticks")) : null);
    for (const note of bars.querySelectorAll(".before")) {
      note.hidden = note.parentElement.querySelector("input").checked || !wasTicked(lost, note.dataset.piece);
    }
  }

  function size() {
    const wide = bars.clientWidth;
    if (!wide) return;
    for (const one of shown) paint(one, wide, ticks);
  }
  ticks.on(size);
  ticks.on(former);
  onSize(bars, size);
  follow(root, body, store, draw, { part: "cut", also: ["cut", "wire"], title: "The cut list" });
  root.addEventListener("shown", () => ticks.load());
  ticks.load().catch((error) => announce(error.message, "error"));
  return { found: () => found };
}

function summary(report) {
  const pieces = report.bars.reduce((n, b) => n + b.pieces.length, 0);
  const said = report.pending ? "A better cut list is still being looked for: wait before you saw."
    : report.sections.every((s) => s.aims.every((a) => a.proven)) ? "Proven: no other way of sawing these pieces costs less."
      : "The search has ended without a proof; how much could still be saved stands at each section.";
  return [el("p.lead", {}, `${report.bars.length} sticks, ${pieces} pieces. Sticks and bags come to ${money(report.cost)} `,
    el("span.soft", {}, "in the money of the plan")), el("p.proof", { "data-pending": String(report.pending) }, el("strong", {}, said)),
    el("p.soft", {}, "Pieces from the left end of each stick, saw cuts between them; hatched: left over. "
      + "Tick a piece when it is cut and marked; every phone of the job sees it.")];
}

const money = (v) => v.toLocaleString("en-US", { minimumFractionDigits: 2, maximumFractionDigits: 2 });

/** What is proven of each aim, and how far from the best it could still be. */
function proof(section, report) {
  const gaps = section.aims.filter((a) => !a.proven)
    .map((a) => `${a.name}: ${a.value.toFixed(2)}, cannot be below ${a.bound.toFixed(2)}`);
  return [el("p.soft", {}, gaps.length ? `Not proven${report.pending ? " yet" : ""}. ${gaps.join("; ")}.` : `${section.notes.join("; ")}.`),
    section.kerf.length ? el("ul", {}, section.kerf.map((k) => el("li", {}, k))) : null];
}

const words = (bar) => `Stick ${bar.number}, ${bar.words}: ${bar.pieces.map((p) => `${p.label} ${p.words}`).join(", ")}; left over ${bar.offcut_words}`;

function patterns() {
  return svg("svg.only-read", { "aria-hidden": "true", width: 1, height: 1 }, svg("defs", {},
    svg("pattern", { id: "cut-waste", width: 7, height: 7, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" },
      svg("rect", { width: 7, height: 7, fill: "#fff" }), svg("rect", { width: 1.6, height: 7, fill: "#333" }))));
}

/** Draws one stick at the width of the page; all sticks have one scale. */
function paint({ bar, cut, picture, longest }, wide, ticks) {
  const k = (wide - 2) / longest;
  const kerf = bar.pieces.length ? (cut?.kerf_lost ?? 0) / bar.pieces.length : 0;
  picture.setAttribute("width", String(Math.round(bar.length * k) + 2));
  const top = 3, high = HIGH - 6;
  const marks = [svg("rect", { x: 1, y: top, width: bar.length * k, height: high, fill: "url(#cut-waste)", stroke: "#111" })];
  let at = bar.trim;
  for (const piece of bar.pieces) {
    const [x, w] = [1 + at * k, piece.length * k];
    const done = ticks.done("cut", piece.item);
    const text = fitted(piece, w, done);
    marks.push(svg("g.piece", { class: done ? "piece done" : "piece", onclick: () => ticks.toggle("cut", piece.item) },
      svg("title", {}, `${piece.label}, ${piece.words}${done ? ", cut" : ""}`),
      svg("rect", { x, y: top, width: w, height: high }),
      text ? svg("text", { x: x + w / 2, y: HIGH / 2 + 5, "text-anchor": "middle" }, text) : null));
    at += piece.length + kerf;
  }
  picture.replaceChildren(...marks);
}

/** The longest of its texts that fits: name and length, name, the end of its name. */
function fitted(piece, width, done) {
  const sign = done ? "✓ " : "";
  const texts = [`${sign}${piece.label}  ${piece.words}`, `${sign}${piece.label}`, `${sign}${piece.label.split(" ").at(-1)}`];
  return texts.find((t) => t.length * 7.9 + 8 < width) ?? "";
}

function shopping(report, ticks) {
  return [el("h2", {}, "To buy"), report.words.map((w) => el("p", {}, w)), report.aisles.map((aisle) => el("section.aisle", {},
    grid(aisle.title, ["Got it", "How many", "What", "Note", "Price"], aisle.rows.map((r) =>
      [ticks.box("buy", r.item, `${r.count} ${r.what}`, true), r.count, r.what, el("span.soft", {}, r.note), r.price]), [1, 4])))];
}
