// The keypad: one value at a time, large, with gloves on. Fractions lie as the marks of a tape do.
import { el, replace } from "./dom.js";
import { FOOT, amount, blank, fraction, lengthText, press, problem, runs, typed, written } from "./keypadvalue.js";

/** How far from the plan a tape may read before it is asked about [m]. */
const STRANGE = 0.2;

/**
 * @typedef {object} Task  one value to enter
 * @property {string} heading  "tape F2–B2"
 * @property {string} place    "12 of 33"
 * @property {string} hint     how to hold the tape
 * @property {string} kind     kind of the row
 * @property {string} axis     of a plumb reading: along, across or ""
 * @property {{way: string, label: string}[]} ways  directions in words
 * @property {{value: string, label: string, detail: string}[]} [choices]  instead of a number
 * @property {string} setup    of the laser; "" for all other kinds
 * @property {number} [planned]  length by the plan [m]
 * @property {(entry: {value: string, setup: string}) => Task|null} save  gives the next one
 * @property {() => Task|null} [skip]
 */

export class Keypad {
  /** @param {HTMLElement} root  @param {() => string} units  of the job */
  constructor(root, units) {
    this.units = units;
    this.task = null;
    this.page = el("dialog.pad", { "aria-labelledby": "pad-heading", onclose: () => (this.task = null) });
    this.page.addEventListener("keydown", (event) => this.key(event));
    root.append(this.page);
  }

  /** Opens on a task, or goes on to it. */
  ask(task) {
    this.task = task;
    this.saved = "";
    this.undo = null; // what was saved before belongs to another visit
    this.start();
    if (!this.page.open) this.page.showModal();
    this.page.scrollTop = 0;
    this.page.querySelector("#pad-heading").focus();
  }

  start(mode) {
    const kept = this.typed?.way;
    this.typed = this.task.choices ? null : blank(this.task.kind, this.units(), mode);
    if (mode && kept) this.typed.way = kept;
    this.past = [];
    this.sure = false;
    this.wrong = "";
    this.build();
  }

  /** By degrees, or by the gap at the end of a level of this length. */
  readBy(mode, run) {
    if (this.typed.mode !== mode) this.start(mode);
    if (run) this.typed.run = run;
    this.build();
  }

  build() {
    const { task } = this;
    replace(
      this.page,
      el("div.pad-top", {},
        el("button.pad-close", { type: "button", onclick: () => this.page.close() }, "Close"),
        this.undo && el("button", { type: "button", "aria-label": "Undo what was saved last", onclick: () => this.takeBack() }, "Undo"),
        task.setup && this.setupButton(),
        task.skip && el("button.pad-skip", { type: "button", onclick: () => this.goOn(task.skip()) }, "Skip")),
      el("h2", { id: "pad-heading", tabindex: "-1" }, task.heading, " ", el("small", {}, task.place)),
      !this.saved && task.hint && el("p.pad-hint", {}, task.hint),
      task.choices ? this.choices() : this.pad(),
    );
    if (!task.choices) this.show();
  }

  choices() {
    return el("div.pad-choices", {}, this.task.choices.map((c) =>
      el("button", { type: "button", onclick: () => this.give(c.value) }, el("strong", {}, c.label), el("span", {}, c.detail))));
  }

  pad() {
    const { kind } = this.task;
    this.display = el("div.pad-value", {});
    this.alert = el("p.pad-wrong", { role: "alert" });
    this.waysRow = el("div.pad-ways", { role: "group", "aria-label": "Which way" });
    this.saver = el("button.pad-save", { type: "button", onclick: () => this.save() }, "Save");
    return [
      kind === "plumb" && this.modes(),
      this.display,
      this.waysRow,
      el("div", { class: this.inFeet() ? "pad-keys feet" : "pad-keys" },
        el("div.pad-digits", { role: "group", "aria-label": "Digits" }, [..."1234567890"].map((k) => this.digit(k))),
        el("div.pad-units", { role: "group", "aria-label": "Units and corrections" }, this.extras()),
        this.inFeet() && el("div.pad-marks", { role: "group", "aria-label": "Sixteenths of an inch" }, this.marks())),
      this.alert,
      this.saver,
    ];
  }

  inFeet() {
    return this.typed.mode === "feet" || (this.typed.mode === "gap" && this.units() === "us");
  }

  /** What stands under the digits. */
  extras() {
    const units = this.typed.mode === "degrees" ? [] : [["unit:m", "m"], ["unit:mm", "mm"]];
    const first = this.inFeet() ? [["part:feet", "ft"], ["part:inches", "in"]] : [".", ...units];
    return [...first, "back", "clear"].map((k) => this.digit(k));
  }

  digit(k) {
    if (k === "back") return el("button", { type: "button", "aria-label": "Take back the last key", onclick: () => this.back() }, "⌫");
    if (k === "clear") return el("button.small", { type: "button", onclick: () => this.clear() }, "Clear");
    if (Array.isArray(k)) {
      const [name, label] = k;
      return el("button.unit", { type: "button", "data-unit": name, "aria-label": name.startsWith("part") ? `${label === "ft" ? "Feet" : "Inches"} next` : label === "m" ? "Metres" : "Millimetres", onclick: () => this.take(name) }, label);
    }
    return el("button", { type: "button", onclick: () => this.take(k) }, k);
  }

  /** Sixteen buttons, each with the mark that stands there on a tape. */
  marks() {
    return Array.from({ length: 16 }, (_, n) => {
      const words = fraction(n) || "0";
      const size = n === 0 ? "whole" : `of-${words.split("/")[1]}`;
      return el(`button.${size}`, { type: "button", "data-n": n, "aria-label": n ? `${words} inch` : "No fraction", onclick: () => this.take(`16:${n}`) }, words);
    });
  }

  modes() {
    const { mode, run } = this.typed;
    const one = (pressed, words, act) => el("button", { type: "button", "aria-pressed": String(pressed), onclick: act }, words);
    return el("div.pad-modes", { role: "group", "aria-label": "Read in degrees, or as the gap at the end of a level this long" },
      one(mode === "degrees", "Degrees", () => this.readBy("degrees")),
      runs(this.units()).map((r) => one(mode === "gap" && r === run, `${r} level`, () => this.readBy("gap", r))));
  }

  /** The laser was moved, or bumped: its height is another one from now on. Pressed again: it was not. */
  setupButton() {
    const { task } = this;
    const was = task.setup;
    const words = () => [`Set-up ${task.setup}`, el("span.only-read", {}, task.setup === was ? ", press when the laser was moved" : ", press again if the laser was not moved")];
    const button = el("button.pad-setup", { type: "button", onclick: () => {
      task.setup = task.setup === was ? after(was) : was;
      replace(button, words());
      this.alert.textContent = task.setup === was ? "" : `The laser was moved: set-up ${task.setup} from now on. If it was not, press Set-up again.`;
    } }, words());
    return button;
  }

  key(event) {
    if (!this.task || this.task.choices || event.ctrlKey || event.metaKey || event.altKey) return;
    const named = { Backspace: () => this.back(), Delete: () => this.clear(), "'": () => this.take("part:feet"), f: () => this.take("part:feet"), '"': () => this.take("part:inches"), i: () => this.take("part:inches") };
    const inFeet = !["'", '"', "f", "i"].includes(event.key) || this.inFeet();
    if (/^[0-9.]$/.test(event.key)) this.take(event.key);
    else if (event.key === "Enter" && !event.target.closest("button")) this.save();
    else if (named[event.key] && inFeet) named[event.key]();
    else return;
    event.preventDefault();
  }

  take(key) {
    this.set(press(this.typed, key));
  }

  set(next) {
    this.past.push(this.typed);
    this.typed = next;
    this.sure = false;
    this.wrong = "";
    this.show();
  }

  back() {
    this.typed = this.past.pop() ?? this.typed;
    this.sure = false;
    this.wrong = "";
    this.show();
  }

  clear() {
    const { way, mode, unit, run } = this.typed;
    this.set({ ...blank(this.task.kind, this.units(), mode), way, unit, run });
  }

  show() {
    const t = this.typed;
    const shown = typed(t) ? written(t, this.task.kind, this.task.axis) : "–";
    replace(this.display, !typed(t) && el("p.pad-saved", { role: "status" }, this.saved), el("output", { "aria-live": "polite" }, shown));
    replace(this.waysRow, this.task.ways.map((w) =>
      el("button", { type: "button", "aria-pressed": String(t.way === w.way), onclick: () => this.set({ ...t, way: w.way }) }, w.label)));
    for (const b of this.page.querySelectorAll(".pad-marks button"))
      b.setAttribute("aria-pressed", String(Boolean(t.inches) && Number(b.dataset.n) === t.sixteenths));
    for (const b of this.page.querySelectorAll("button.unit")) {
      const [name, what] = b.dataset.unit.split(":");
      b.setAttribute("aria-pressed", String(t[name] === what));
    }
    this.alert.textContent = this.wrong;
    this.saver.textContent = this.sure ? "Save as read" : "Save";
  }

  save() {
    const { task, typed: t } = this;
    this.wrong = problem(t, task.kind, task.axis, task.ways);
    if (!this.wrong && !this.sure) {
      this.wrong = this.strange();
      this.sure = Boolean(this.wrong);
    }
    this.show();
    if (!this.wrong) this.give(written(t, task.kind, task.axis));
  }

  /** A tape that reads far from the plan is read again before it is believed. */
  strange() {
    const { planned } = this.task;
    if (planned === undefined) return "";
    const off = amount(this.typed) - planned;
    if (Math.abs(off) < STRANGE) return "";
    const foot = Math.abs(Math.abs(off) - FOOT) < FOOT / 6 && this.units() === "us" ? " Was a foot misread?" : "";
    return `${lengthText(off, this.units())} ${off > 0 ? "longer" : "shorter"} than planned.${foot} Read it again; save it if it reads so.`;
  }

  give(value) {
    const { task } = this;
    const next = task.save({ value, setup: task.setup });
    this.saved = `Saved: ${task.heading}, ${value}`;
    this.undo = task.undo;
    this.goOn(next);
  }

  goOn(next) {
    if (!next) return this.page.close();
    const { saved, undo } = this;
    this.ask(next);
    this.saved = saved;
    this.undo = undo;
    this.build();
    this.page.querySelector("#pad-heading").focus();
  }

  takeBack() {
    const again = this.undo?.();
    this.undo = null;
    this.saved = "Struck out; it stays in the notebook.";
    if (again) this.goOn(again);
    else this.build();
  }
}

/** The set-up after this one: B after A. */
export function after(setup) {
  return /^[A-Y]$/.test(setup) ? String.fromCharCode(setup.charCodeAt(0) + 1) : setup === "Z" ? "AA" : `${setup}2`;
}
