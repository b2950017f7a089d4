// Any other row of the notebook: a reading between points of one's own choice, how a post stands,
// how far a beam slides, what was moved.
import { announce, el, replace } from "./dom.js";
import { WAYS, kindWords, waysOf } from "./readings.js";

const KINDS = ["state", "moved", "slides", "rod", "tape", "level tape", "diagonal", "string side", "string height", "plumb", "tilt"];
const HOLDS = [
  { value: "loose", label: "Loose", detail: "free in its hole" },
  { value: "set", label: "Set", detail: "held by a little hardened concrete; the top can still be leaned" },
  { value: "concreted", label: "Concreted", detail: "the hole is full and hard" },
];
const NEEDS = {
  state: ["start"], moved: ["start"], slides: ["start"], rod: ["start"], plumb: ["start"],
  "string side": ["start", "end", "at_point"], "string height": ["start", "end", "at_point"],
};
const LABELS = { start: "From", end: "To", at_point: "Point held against the string" };

/** Points that a kind of row can be about. */
function choices(field, kind) {
  const of = (...sorts) => field.points.filter((p) => sorts.includes(p.sort)).map((p) => p.id);
  const beams = ["front beam", "back beam"];
  const heads = of("head");
  if (kind === "state" || kind === "plumb") return heads;
  if (kind === "slides") return [...heads, ...beams];
  if (kind === "moved") return [...heads.flatMap((h) => [`${h} post`, h, `${h} base`]), ...beams];
  if (kind === "tilt") return of("head", "end");
  const tops = heads.map((h) => `${h} top`);
  return [...heads, ...of("base"), ...tops, ...of("end", "pin")];
}

/** Directions of a row about a place. */
function ways(kind, cells, points) {
  const pairs = (list) => list.map(([way, label]) => ({ way, label }));
  const beam = / beam$/.test(cells.start);
  if (kind === "moved") return pairs(beam ? WAYS.along : [...WAYS.up, ...WAYS.across, ...WAYS.along]);
  if (kind === "slides") return pairs([["both", "both ways"], ...(beam ? WAYS.along : WAYS.up)]);
  return waysOf(kind, "", cells, points);
}

/** Opens the form. `given`: cells to begin with. */
export function freeEntry(phone, keypad, given = {}) {
  const page = el("dialog.sheet", { "aria-labelledby": "free-heading", onclose: () => page.remove() });
  const cells = { kind: "state", start: "", end: "", at_point: "", instrument: "", setup: "", note: "", ...given };
  const draw = () => replace(page, form(phone, keypad, cells, page, draw));
  draw();
  document.body.append(page);
  page.showModal();
}

function form(phone, keypad, cells, page, draw) {
  const { field } = phone;
  const needs = NEEDS[cells.kind] ?? ["start", "end"];
  const wrong = el("p.pad-wrong", { role: "alert" });
  const enter = (event) => {
    event.preventDefault();
    const missing = needs.find((name) => !cells[name]);
    if (missing) {
      wrong.textContent = `Choose: ${label(cells.kind, missing)}.`;
      document.getElementById(`free-${missing}`).focus();
      return;
    }
    for (const name of ["start", "end", "at_point"]) if (!needs.includes(name)) cells[name] = "";
    if (needs.length > 1 && new Set(needs.map((name) => cells[name])).size < needs.length) {
      wrong.textContent = "The same point twice: choose another.";
      return;
    }
    page.close();
    keypad.ask(task(phone, { ...cells }));
  };
  return el("form", { onsubmit: enter, novalidate: true },
    el("div.pad-top", {}, el("button", { type: "button", onclick: () => page.close() }, "Close")),
    el("h2", { id: "free-heading", tabindex: "-1" }, "Another row for the notebook"),
    pick("kind", "What", KINDS, cells, (k) => kindWords(k), draw),
    needs.map((name) => field ? pick(name, label(cells.kind, name), ["", ...choices(field, cells.kind)], cells, (p) => p || "Choose …") : write(name, label(cells.kind, name), cells)),
    ["rod", "string side", "string height"].includes(cells.kind) && write("setup", cells.kind === "rod" ? "Set-up of the laser" : "String-up", cells, "A"),
    !["state", "moved", "slides"].includes(cells.kind) && write("instrument", "Instrument, if not the usual one", cells, field?.instruments?.[cells.kind] ?? ""),
    write("note", "Note", cells),
    wrong,
    el("button.main", { type: "submit" }, cells.kind === "state" ? "Go on: how does it stand?" : "Go on to the value"));
}

function label(kind, name) {
  if ((NEEDS[kind] ?? []).length !== 1) return LABELS[name];
  return { state: "Post", plumb: "Post", moved: "What was moved", slides: "Where" }[kind] ?? "Point";
}

function pick(name, words, options, cells, shown, then) {
  const id = `free-${name}`;
  if (!options.includes(cells[name])) cells[name] = "";
  const list = el("select", { id, onchange: () => { cells[name] = list.value; then?.(); then && document.getElementById(id).focus(); } },
    options.map((o) => el("option", { value: o, selected: o === cells[name] }, shown(o))));
  return el("p", {}, el("label", { for: id }, words), list);
}

function write(name, words, cells, example = "") {
  const id = `free-${name}`;
  const box = el("input", { id, value: cells[name], maxlength: name === "note" ? 400 : 40, placeholder: example, oninput: () => (cells[name] = box.value), autocomplete: "off" });
  return el("p", {}, el("label", { for: id }, words), box);
}

function task(phone, cells) {
  const { kind } = cells;
  const where = [cells.start, cells.end].filter(Boolean).join("–") + (cells.at_point ? ` at ${cells.at_point}` : "");
  const made = {
    heading: `${kindWords(kind)}: ${where}`, place: "", hint: "", kind, axis: "", ways: ways(kind, cells, phone.field?.points),
    choices: kind === "state" ? HOLDS : undefined, setup: kind === "rod" ? cells.setup || "A" : "",
    save: ({ value, setup }) => {
      const instrument = cells.instrument || (phone.field?.instruments?.[kind] ?? "");
      phone.enter({ ...cells, instrument, value, setup: setup || cells.setup });
      announce(`Saved: ${made.heading}, ${value}`);
      return null;
    },
  };
  return made;
}
