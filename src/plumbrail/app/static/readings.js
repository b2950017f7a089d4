// What to read next, set-up by set-up in walking order, with what is done; a tap opens the keypad.
import { el, replace } from "./dom.js";
import { key, kindOf, progress } from "./readingsdone.js";
import { readAgain } from "./readingsbook.js";
import { freeEntry } from "./readingsfree.js";

const KINDS = {
  rod: "Rod", tape: "Tape", "level tape": "Level tape", diagonal: "Diagonal", "string side": "String, sideways",
  "string height": "String, height", plumb: "Plumb", tilt: "Tilt", state: "How a post stands", slides: "Room to slide",
  moved: "Moved",
};
const HINTS = {
  rod: "Laser line down to the top of the pipe; at a post's foot, to the ground.",
  tape: "Straight between the points, tape tight, on whatever slope it lies.",
  "level tape": "Tape held level, the high end plumbed down.",
  diagonal: "Corner to corner, tape tight and straight.",
  "string side": "From the string to the beam.",
  "string height": "From the string to the beam, up or down.",
  plumb: "Which way does the top lean?",
  tilt: "Angle gauge on a straight rail laid across both beams.",
};
export const WAYS = {
  across: [["back", "to the back"], ["front", "to the front"]],
  along: [["left", "to the left"], ["right", "to the right"]],
  up: [["up", "up"], ["down", "down"]],
  rod: [["", "below the laser"], ["up", "above the laser"]],
};

/** A point in words: what the tape or rod is held to. */
export function pointWords(id) {
  if (/^[FB]\d+$/.test(id)) return `${id} beam`;
  if (/ base$/.test(id)) return id.replace(" base", " at the ground");
  return id;
}

/** What is read, in few words; the kind stands over the list. */
export function rowWords(row) {
  if (row.kind === "plumb") return `${row.start} ${row.axis === "across" ? "front–back" : row.axis === "along" ? "left–right" : ""}`.trim();
  if (row.at_point) return `${pointWords(row.at_point)}, string ${row.start}–${row.end}`;
  return row.end ? `${pointWords(row.start)} – ${pointWords(row.end)}` : pointWords(row.start);
}

export const kindWords = (kind) => KINDS[kind] ?? kind;

/** Directions of a kind of reading as pairs for the keypad; `points` are those of the field. */
export function waysOf(kind, axis, row = {}, points = []) {
  const sides = { across: WAYS.across, along: WAYS.along }[axis] ?? [...WAYS.across, ...WAYS.along];
  const pairs = { rod: WAYS.rod, plumb: sides, "string height": WAYS.up,
    "string side": runsAlong(row, points) ? WAYS.across : WAYS.along }[kind] ?? [];
  return pairs.map(([way, label]) => ({ way, label }));
}

/** Whether a string runs along the rows; where it is tied to no known points, whether to one row. */
function runsAlong({ start, end }, points) {
  const [a, b] = [start, end].map((id) => points.find((p) => p.id === id)?.planned);
  return a && b ? Math.abs(b[0] - a[0]) >= Math.abs(b[1] - a[1]) : start?.[0] === end?.[0];
}

export function mount(root, phone, keypad) {
  const view = new Readings(root, phone, keypad);
  phone.on((what) => ["job", "field", "rows", "outbox", "truing", "trouble", "jobs"].includes(what) && view.soon());
  view.draw();
  return view;
}

class Readings {
  constructor(root, phone, keypad) {
    Object.assign(this, { root, phone, keypad });
    /** Groups that somebody opened or shut, by title. @type {Map<string, boolean>} */
    this.open = new Map();
    /** Where the laser stands in place of the sheet's set-up. @type {Map<string, string>} */
    this.setups = new Map();
  }

  soon() {
    this.waits ??= requestAnimationFrame(() => {
      this.waits = null;
      this.draw();
    });
  }

  /** What the last result asked for, then the field sheet. */
  groups() {
    const { field, truing, truedAt } = this.phone;
    const known = this.phone.everyRow();
    const asked = truing?.wanted ?? {};
    const later = known.filter((row) => row.seq > truedAt);
    const moved = later.some((row) => kindOf(row) === "moved" && !row.struck);
    const named = [
      ["Missing: take these first", asked.missing, "Without them there is no answer."],
      ["After the moves", moved && asked.again, "What was moved is measured again."],
      ["Read once more", asked.sharper, "A second reading makes the answer sure."],
    ];
    const found = named.filter(([, rows]) => rows?.length).map(([title, rows, hint]) =>
      ({ title, hint, rows: rows.map((row, i) => Object.assign(row, { number: i + 1 })), done: progress(rows, later), mixed: true }));
    const sheet = field?.groups ?? [];
    const all = sheet.flatMap((g) => g.rows);
    const done = progress(all, known);
    return [...found, ...sheet.map((g) => ({ title: g.title, hint: HINTS[g.rows[0].kind] ?? g.hint, rows: g.rows, done }))];
  }

  draw() {
    const { phone } = this;
    if (!phone.field) {
      replace(this.root, el("h2", {}, "Measure"),
        el("p", { role: "status" }, phone.trouble || (phone.job ? "Asking the laptop for the field sheet …" : "There is no job on the laptop yet.")),
        phone.job && this.freeButton());
      return;
    }
    const groups = this.groups();
    const sheet = groups.filter((g) => !g.mixed);
    const total = sheet.reduce((n, g) => n + g.rows.length, 0);
    const done = sheet.reduce((n, g) => n + count(g), 0);
    const next = this.next(groups);
    const focus = this.root.contains(document.activeElement) ? document.activeElement.id : "";
    replace(this.root,
      el("h2", {}, "Measure"),
      el("p.progress", {}, el("strong", {}, `${done} of ${total}`), " readings taken",
        el("progress", { max: total, value: done, "aria-label": "Readings taken" })),
      next ? el("button.main.next", { id: "next", type: "button", onclick: () => this.ask(groups, next.group, next.row) },
        el("span", {}, "Next: "), el("strong", {}, `${kindWords(next.row.kind)} ${rowWords(next.row)}`))
        : el("p.all-done", {}, "✓ Every reading of the sheet is taken. See the result."),
      this.freeButton(),
      groups.map((group, i) => this.group(groups, group, i, next)));
    if (focus) document.getElementById(focus)?.focus();
  }

  freeButton() {
    return el("button", { id: "free", type: "button", onclick: () => freeEntry(this.phone, this.keypad) }, "Another reading, or how a post stands");
  }

  group(groups, group, i, next) {
    const open = this.open.get(group.title) ?? next?.group === group;
    const flip = () => {
      this.open.set(group.title, !open);
      this.draw();
    };
    const done = count(group);
    return el("section.group", { "aria-labelledby": `group-${i}` },
      el("h3", { id: `group-${i}` }, el("button.group-head", { id: `group-${i}-head`, type: "button", "aria-expanded": String(open), onclick: flip },
        el("span", {}, title(group.title)), el("span.count", {}, done === group.rows.length ? "✓ all" : `${done} of ${group.rows.length}`))),
      open && [el("p.group-hint", {}, group.hint), el("ol.rows", {}, group.rows.map((row) => this.row(groups, group, row, i)))]);
  }

  row(groups, group, row, i) {
    const { state, row: given } = group.done.get(row);
    const mark = { done: "✓", moved: "↻", "": "" }[state];
    const said = given?.waits ? ", waits on this phone" : "";
    const words = (group.mixed ? `${kindWords(row.kind)} ` : "") + rowWords(row) + (group.mixed && row.setup ? `, set-up ${row.setup}` : "");
    return el("li", {}, el(`button.row.${state || "todo"}`, { id: `row-${i}-${row.number}`, type: "button", onclick: () => this.pick(groups, group, row) },
      el("span.number", {}, row.number), el("span.what", {}, words),
      el("span.got", {}, given ? `${mark} ${given.value}` : "",
        state && el("span.only-read", {}, state === "moved" ? ", moved since: read it again" : `, done${said}`),
        given?.waits && el("span.waits", { "aria-hidden": "true" }, " ↑"))));
  }

  /** The first reading that is not there, after one if it is given. */
  next(groups, from) {
    const all = groups.flatMap((group) => group.rows.map((row) => ({ group, row })));
    const start = from ? all.findIndex((a) => a.row === from) + 1 : 0;
    return [...all.slice(start), ...all.slice(0, start)].find(({ group, row }) => group.done.get(row).state !== "done");
  }

  /** A row that was tapped: one that is read already is asked about, so that a slip is not averaged in. */
  pick(groups, group, row) {
    const { state, row: given } = group.done.get(row);
    const go = () => this.ask(this.groups(), group, row);
    if (state !== "done") return go();
    return readAgain(this.phone, given, `${kindWords(row.kind)} ${rowWords(row)}`, go);
  }

  ask(groups, group, row) {
    this.keypad.ask(this.task(groups, group, row));
  }

  task(groups, group, row) {
    const sheet = row.setup || (row.kind === "rod" ? "A" : "");
    const instrument = this.phone.field?.instruments?.[row.kind] ?? "";
    const go = () => {
      const fresh = this.groups();
      const here = fresh.flatMap((g) => g.rows).find((r) => r === row) ?? row;
      const next = this.next(fresh, here);
      return next && key(next.row, next.row.axis) !== key(row, row.axis) ? this.task(fresh, next.group, next.row) : null;
    };
    const task = {
      heading: `${kindWords(row.kind)} ${rowWords(row)}`,
      place: `${group.rows.indexOf(row) + 1} of ${group.rows.length}`,
      hint: HINTS[row.kind] ?? "", kind: row.kind, axis: row.axis, ways: waysOf(row.kind, row.axis, row, this.phone.field.points),
      setup: sheet && (this.setups.get(sheet) ?? sheet), planned: planned(this.phone.field, row),
      save: ({ value, setup }) => {
        if (sheet && setup !== sheet) this.setups.set(sheet, setup);
        const { start, end, at_point, kind } = row;
        const entered = this.phone.enter({ kind, start, end, at_point, value, instrument, setup: setup ?? "" });
        task.undo = () => {
          this.phone.strike(entered.row.uid, "undone at once");
          return this.task(groups, group, row);
        };
        return go();
      },
      skip: go,
    };
    return task;
  }
}

const count = (group) => group.rows.filter((row) => group.done.get(row).state === "done").length;

const title = (words) => words.charAt(0).toUpperCase() + words.slice(1);

/** Distance by the plan, of what a tape spans; undefined for all else. */
function planned(field, row) {
  if (!["tape", "diagonal"].includes(row.kind)) return undefined;
  const place = (id) => field?.points.find((p) => p.id === id.replace(/ top$/, ""))?.planned;
  const [a, b] = [place(row.start), place(row.end)];
  return a && b ? Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]) : undefined;
}

