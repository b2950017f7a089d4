// True up: gate, moves with a picture, values against their limits, the notebook of the site.
import { announce, el, replace } from "./dom.js";
import { follow, fold, grid } from "./chartsload.js";
import { ticking } from "./cutlistticks.js";
import { get } from "./net.js";
import { notebook } from "./truingbook.js";
import { picture } from "./truingview.js";
import { VERDICT_MARKS, amount, spread } from "./truingwords.js";

const SIGNS = { "ready to pour": ["✓", "pass"], "not ready": ["✕", "fail"], "not enough readings": ["?", "not-checked"] };
const WORST = ["outside", "too uncertain to say", "not measured", "not checked", "inside"];

export function mount(root, store) {
  const ticks = ticking(store);
  const body = el("div.truing");
  const rows = el("div");
  replace(root, el("h2", {}, "True up"), body, rows);
  const book = notebook(rows, store, root);
  let hold = null;

  follow(root, body, store, async (found) => {
    book.known(found);
    if (found.empty) return replace(body, nothing(store));
    hold ??= (await get(store.url("/lists"))).lists.find((l) => l.id === "hold");
    replace(body, story(found, store, hold, ticks));
    ticks.refresh();
  }, { part: "truing", also: ["truing"], events: ["readings"], url: (s) => s.url("/truing"), title: "The truing" });
  root.addEventListener("shown", () => ticks.load());
  ticks.load().catch((error) => announce(error.message, "error"));
}

function nothing(store) {
  return el("div.headline", {}, el("p.lead", {}, "There are no readings yet. They are taken at the posts with a phone, or come from a CSV file below."),
    el("p", {}, "Let a phone in on the page ", el("a", { href: "#phones" }, "Phones"), ", or print the field sheet: it is in the book on the page ",
      el("a", { href: "#papers" }, "Papers"), `. The gate for the pour of ${store.state.name} stays shut until then.`));
}

function story(t, store, hold, ticks) {
  const units = store.state.units;
  return [gate(t), part("What to move", moves(t), picture(t, units)),
    t.suspicions.length || t.problems.length || t.doubts.length ? part("Look at these readings again", suspicions(t)) : null,
    part("Readings still to take", wanted(t)),
    part("Hold points: a person looks at each and signs for it", holds(hold, ticks)),
    part("Values against their limits", values(t, units)),
    el("p.soft", {}, t.caution)];
}

const part = (title, ...inside) => el("section.truing-part", {}, el("h3", {}, title), inside);

function gate(t) {
  const [sign, mark] = SIGNS[t.gate.ready];
  return el("section.gate", { "data-ready": t.gate.ready, "aria-label": "Pour gate" },
    el("p", { class: `verdict mark-${mark}` }, el("span", { "aria-hidden": "true" }, `${sign} `), `Pour gate: ${t.gate.ready}`),
    t.gate.reasons.length ? el("ul", {}, t.gate.reasons.slice(0, 6).map((r) => el("li", {}, r))) : null,
    t.gate.reasons.length > 6 ? fold(`${t.gate.reasons.length - 6} more reasons`, el("ul", {}, t.gate.reasons.slice(6).map((r) => el("li", {}, r)))) : null,
    el("p.soft", {}, `${t.notebook.used} readings used, ${t.notebook.set_aside} set aside, ${t.notebook.struck} struck out; the last at ${t.notebook.last || "no stated time"}. `
      + `Limits are kept with ${(100 * t.confidence).toFixed(0)} % confidence.`),
    fold("Cautions", el("ul", {}, t.gate.cautions.map((c) => el("li", {}, c)))));
}

function moves(t) {
  const m = t.mending;
  const state = m.proven ? "No fewer moves would do." : `Perhaps ${(100 * m.gap).toFixed(0)} % of the moves could be saved; that is not proven.`;
  return [m.moves.length ? el("ol.moves", {}, m.moves.map((v) => el("li", {}, v.words, v.thought_fixed ? el("strong", {}, " (it was thought fixed)") : null)))
    : el("p.lead", {}, m.outcome === "moves" ? "Nothing has to be moved." : `Moves: ${m.outcome}.`),
  m.moves.length ? el("p.soft", {}, `${state} Room they leave: ${m.aim}.`) : null,
  m.stuck.length ? el("p.error", {}, `No allowed move brings inside: ${m.stuck.join(", ")}.`) : null,
  m.measure_again.length ? fold("Measure again after the moves", el("ul", {}, m.measure_again.map((w) => el("li", {}, w)))) : null];
}

function suspicions(t) {
  return el("ul", {}, t.suspicions.map((s) => el("li", {}, s.words)), t.problems.map((p) => el("li.error", {}, p.message)), t.doubts.map((d) => el("li", {}, d)));
}

function wanted(t) {
  const list = (title, rows, none) => (rows.length ? [el("p", {}, title), el("ul", {}, rows.map((r) => el("li", {}, r)))] : el("p", {}, none));
  return [list(`These settle what is not measured${t.missing_proven ? "; no fewer would do" : ""}:`, t.missing, "Nothing is missing: every value is measured."),
    t.sharper.length ? list("These would make uncertain values sure:", t.sharper) : null,
    t.hidden.length ? el("p.soft", {}, `${t.hidden.length} readings could hold a slip that would not show while a value hangs on them; the row says so in the notebook below.`) : null];
}

function holds(hold, ticks) {
  return [el("p.soft", {}, hold.note), hold.groups.map((g) => el("ul.ticks", {}, g.items.map((i) => el("li", {}, ticks.box("hold", i.item, i.words)))))];
}

function values(t, units) {
  const sorted = [...t.values].sort((a, b) => WORST.indexOf(a.verdict) - WORST.indexOf(b.verdict));
  const rows = (found) => found.map((v) => [`${v.subject}: ${v.what}`, v.value === null ? "" : amount(v.value, v.angle, units), v.sd === null ? "" : `± ${spread(v.sd, v.angle, units)}`,
    limits(v, units), v.after === null || !t.mending.moves.length ? "" : amount(v.after, v.angle, units),
    el("span", { class: `verdict-${v.verdict.split(" ")[0]}` }, el("span", { "aria-hidden": "true" }, `${VERDICT_MARKS[v.verdict]} `), v.verdict)]);
  const head = ["Value", "Now", "Known to", "Limits", "After the moves", "Verdict"];
  const [open, done] = [sorted.filter((v) => v.verdict !== "inside"), sorted.filter((v) => v.verdict === "inside")];
  return [open.length ? grid(`${open.length} of ${sorted.length} are not inside for certain`, head, rows(open), [1, 2, 3, 4]) : el("p.lead", {}, `All ${sorted.length} values are inside.`),
    done.length ? fold(`${done.length} inside`, grid("Inside", head, rows(done), [1, 2, 3, 4])) : null];
}

function limits(v, units) {
  if (v.low === null && v.high === null) return "none stated";
  if (v.low !== null && v.high !== null && Math.abs(v.low + v.high) < 1e-9) return `± ${spread(v.high, v.angle, units)}`;
  return `${v.low === null ? "" : amount(v.low, v.angle, units)} to ${v.high === null ? "" : amount(v.high, v.angle, units)}`;
}
