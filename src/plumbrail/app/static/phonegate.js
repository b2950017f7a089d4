// The result: may it be poured, what to move and by how much, what to measure again.
import { announce, el, replace } from "./dom.js";
import { lengthText } from "./keypadvalue.js";
import { freeEntry } from "./readingsfree.js";
import { strike, words as rowWords } from "./readingsbook.js";
import { sketch } from "./sketch.js";

const VERDICTS = {
  "ready to pour": { mark: "✓", words: "READY TO POUR" },
  "not ready": { mark: "✕", words: "NOT READY" },
  "not enough readings": { mark: "?", words: "NOT ENOUGH READINGS" },
};
const WAYS = { along: ["right", "left"], across: ["back", "front"], up: ["up", "down"] };
const FEW = 4;

export function mount(root, phone, keypad) {
  const view = new Result(root, phone, keypad);
  phone.on((what) => view.hear(what));
  return view;
}

class Result {
  constructor(root, phone, keypad) {
    Object.assign(this, { root, phone, keypad, all: false, post: "", noted: new Set() });
  }

  /** Somebody looks at it. */
  show() {
    if (this.phone.job && this.phone.stale() && !this.phone.working) this.phone.askTruing();
    this.draw();
  }

  hear(what) {
    if (this.root.hidden) return;
    if (what === "truing") this.noted.clear();
    if (["job", "rows", "event", "field"].includes(what)) {
      clearTimeout(this.timer);
      this.timer = setTimeout(() => !this.root.hidden && this.show(), 1500);
    }
    if (["truing", "outbox", "rows", "job", "ticks", "field", "line"].includes(what)) this.draw();
  }

  draw() {
    const { phone } = this;
    const focus = this.root.contains(document.activeElement) ? document.activeElement.id : "";
    const found = phone.truing;
    replace(this.root, el("h2", {}, "Result"), this.gate(found), found?.gate && this.body(found));
    if (focus) document.getElementById(focus)?.focus();
  }

  gate(found) {
    const { phone } = this;
    const waits = phone.waiting("readings").length;
    if (!found?.gate) return this.nothing(found);
    const verdict = VERDICTS[found.gate.ready];
    const old = phone.stale() || waits > 0;
    const why = waits ? `${waits} ${waits === 1 ? "reading waits" : "readings wait"} on this phone` : "newer readings, or a change of the plan, are being worked out";
    return el(`div.gate.${old ? "old" : found.gate.ready.replaceAll(" ", "-")}`, { role: "status" },
      el("p.verdict", {}, el("span", { "aria-hidden": "true" }, old ? "…" : verdict.mark), " ", old ? "NOT KNOWN NOW" : verdict.words),
      old && el("p", {}, `Before it was: ${found.gate.ready}. That is no longer sure: ${why}.`),
      !old && !phone.up && el("p", {}, `As of ${phone.answered.slice(11, 16)}. The laptop is out of reach: what others have measured since is not in it.`),
      !old && found.gate.ready === "ready to pour" && el("p", {}, "By the readings. The hold points are still signed by a person: see Tick off."));
  }

  nothing(found) {
    if (this.phone.working) return el("p.busy", { role: "status" }, "The laptop works it out …");
    if (found?.empty) return el("div.gate.not-enough-readings", { role: "status" }, el("p.verdict", {}, "? NOT ENOUGH READINGS"), el("p", {}, "Nothing is measured yet."));
    const said = typeof found?.missing === "string" ? found.missing : this.phone.trouble || "The laptop has not answered yet.";
    return el("p", { role: "status" }, said);
  }

  body(found) {
    const reasons = this.all ? found.gate.reasons : found.gate.reasons.slice(0, FEW);
    const more = found.gate.reasons.length - reasons.length;
    return [
      this.slips(found),
      this.moves(found),
      el("section", {}, el("h3", {}, "Plan and front"), sketch(found, this.phone.field, this.post, (post) => { this.post = post; this.draw(); }, this.units())),
      this.again(found),
      reasons.length > 0 && el("section", {}, el("h3", {}, "Why"), el("ul.reasons", {}, reasons.map((r) => el("li", {}, r))),
        more > 0 && el("button", { id: "more", type: "button", onclick: () => { this.all = true; this.draw(); } }, `${more} more`)),
      el("section", {}, el("h3", {}, "Mind"), el("ul.reasons", {}, found.gate.cautions.map((c) => el("li", {}, c)))),
    ];
  }

  units() {
    return this.phone.field?.units ?? "us";
  }

  /** Readings that look wrong, and rows that cannot be used. */
  slips(found) {
    const items = [
      ...found.suspicions.map((s) => ({ words: s.words, lines: s.lines })),
      ...found.problems.map((p) => ({ words: p.line ? `line ${p.line}: ${p.message}` : p.message, lines: p.line ? [p.line] : [] })),
    ];
    if (!items.length) return null;
    const rows = new Map(this.phone.everyRow().map((row) => [row.uid, row]));
    return el("section.slips", {}, el("h3", {}, "Look at these readings"),
      el("ul.moves", {}, items.map((item) => el("li", {}, el("p", {}, item.words),
        item.lines.map((line) => rows.get(found.lines?.[line])).filter((row) => row && !row.struck).map((row) =>
          el("button", { type: "button", onclick: () => strike(this.phone, row) }, `Strike out: ${rowWords(row)} ${row.value}`))))));
  }

  moves(found) {
    const { moves, outcome, stuck } = found.mending;
    const said = { "no moves needed": "Nothing has to be moved.", "readings too coarse": "The readings are too coarse to say what to move.", "no moves can do it": "No move that is allowed can do it. This is the smallest change of what was thought fixed:" }[outcome] ?? "";
    return el("section", {}, el("h3", {}, "Move, in this order"),
      said && el("p", {}, said), stuck.length > 0 && el("p", {}, `Stays outside: ${stuck.length} values.`),
      moves.length > 0 && el("ol.moves", {}, moves.map((move, i) => this.move(move, i))));
  }

  move(move, i) {
    const noted = this.noted.has(i);
    return el("li", {}, el("p", {}, el("strong", {}, move.words), move.thought_fixed && " – this was thought fixed"),
      noted ? el("p.done", {}, "✓ noted") : el("div.two", {},
        el("button", { id: `move-${i}`, type: "button", "aria-label": `Moved so: ${move.words}`, onclick: () => this.note(move, i) }, "Moved so"),
        el("button", { id: `other-${i}`, type: "button", "aria-label": `Moved otherwise: ${move.words}`, onclick: () => freeEntry(this.phone, this.keypad, { kind: "moved", start: move.place }) }, "Otherwise")));
  }

  /** Into the notebook: what was read before saw the point where it was. */
  note(move, i) {
    const way = WAYS[move.axis][move.amount < 0 ? 1 : 0];
    const value = `${lengthText(move.amount, this.units())} ${way}`;
    const { row } = this.phone.enter({ kind: "moved", start: move.place, value, note: "as the result said" });
    this.noted.add(i);
    announce(`Noted: ${move.place}, ${value}. Strike it out in the notebook if that is wrong.`);
    this.draw();
    return row;
  }

  again(found) {
    const lists = [["Measure again after the moves", found.mending.measure_again], ["Missing readings", found.missing], ["Worth a second reading", found.sharper]];
    return lists.filter(([, list]) => list?.length).map(([title, list]) =>
      el("section", {}, el("h3", {}, title), el("ul.reasons", {}, list.map((words) => el("li", {}, words)))));
  }
}
