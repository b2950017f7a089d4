// The notebook as it was written, newest first; rows are struck out, never taken away.
import { announce, el, replace } from "./dom.js";
import { kindWords } from "./readings.js";
import { kindOf } from "./readingsdone.js";

const REASONS = ["Misread", "Wrong point", "Something was moved", "Other"];
const PAGE = 60;

export function mount(root, phone) {
  let shown = PAGE;
  const draw = () => {
    const rows = phone.everyRow().filter((row) => row.kind !== "#" && (row.kind || row.value)).reverse();
    const focus = root.contains(document.activeElement) ? document.activeElement.id : "";
    replace(root,
      el("h2", {}, "Notebook"),
      refused(phone),
      el("p", {}, rows.length ? `${rows.length} rows, the newest first.` : "Nothing is written yet."),
      el("ol.book", {}, rows.slice(0, shown).map((row) => line(phone, row))),
      rows.length > shown && el("button", { type: "button", onclick: () => { shown += PAGE; draw(); } }, "Older rows"));
    if (focus) document.getElementById(focus)?.focus();
  };
  phone.on((what) => ["job", "rows", "outbox"].includes(what) && !root.hidden && draw());
  draw();
  return { draw };
}

/** Rows that the laptop did not take: they stay here until somebody sends them again. */
function refused(phone) {
  const found = phone.outbox.items().filter((item) => item.refused);
  if (!found.length) return null;
  return el("div.warn", { role: "alert" },
    el("p", {}, el("strong", {}, `✕ The laptop did not take ${found.length} of these. They stay on this phone.`)),
    el("ul", {}, found.slice(0, 5).map((item) => el("li", {}, `${item.body.kind ?? item.body.item ?? ""} ${item.body.start ?? ""} ${item.body.value ?? ""}: ${item.refused}`))),
    el("button", { type: "button", onclick: () => phone.outbox.retry() }, "Send again"));
}

/** A row in words: Tape F2–B2. */
export function words(row) {
  const where = [row.start, row.end].filter(Boolean).join("–") + (row.at_point ? ` at ${row.at_point}` : "");
  return `${kindWords(kindOf(row))} ${where}${row.setup && kindOf(row) === "rod" ? `, set-up ${row.setup}` : ""}`;
}

function line(phone, row) {
  const state = row.struck ? "struck out" : row.refused ? "not taken" : row.waits ? "waits on this phone" : "";
  return el("li", { class: row.struck ? "struck" : "" },
    el("div", {},
      el("p.when", {}, [moment(row.time), row.device].filter(Boolean).join(" · "), state && el("strong", {}, ` · ${state}`)),
      el("p.what", {}, words(row), " ", el(row.struck ? "s" : "strong", {}, row.value)),
      row.note && el("p.when", {}, row.note)),
    !row.struck && el("button", { type: "button", id: `strike-${row.uid}`, "aria-label": `Strike out ${words(row)} ${row.value}`, onclick: () => strike(phone, row) }, "Strike out"));
}

const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/** 2026-05-12 08:01:40 as people say it: May 12, 08:01. Any other time stays as it was written. */
function moment(time) {
  const found = /^\d{4}-(\d\d)-(\d\d) (\d\d:\d\d)/.exec(time ?? "");
  return found && MONTHS[found[1] - 1] ? `${MONTHS[found[1] - 1]} ${Number(found[2])}, ${found[3]}` : time || "no time";
}

/** Asks why, then strikes a row out. `then` is called afterwards. */
export function strike(phone, row, then = () => {}) {
  const page = el("dialog.sheet", { "aria-labelledby": "strike-heading", onclose: () => page.remove() });
  const go = (why) => {
    page.close();
    phone.strike(row.uid, why.toLowerCase());
    announce(`Struck out: ${words(row)} ${row.value}`);
    then();
  };
  page.append(
    el("h2", { id: "strike-heading" }, `Strike out ${words(row)}: ${row.value}?`),
    el("p", {}, "It stays in the notebook with a line through it."),
    el("div.pad-choices", {}, REASONS.map((why) => el("button", { type: "button", onclick: () => go(why) }, el("strong", {}, why)))),
    el("button", { type: "button", onclick: () => page.close() }, "Leave it as it is"));
  document.body.append(page);
  page.showModal();
}

/** A reading that is there already: was it wrong, or is it read a second time? `go` takes the new one. */
export function readAgain(phone, row, heading, go) {
  const page = el("dialog.sheet", { "aria-labelledby": "again-heading", onclose: () => page.remove() });
  const choice = (label, detail, act) => el("button", { type: "button", onclick: () => {
    page.close();
    act?.();
  } }, el("strong", {}, label), el("span", {}, detail));
  page.append(
    el("h2", { id: "again-heading" }, `${heading}: ${row.value}`),
    el("p", {}, "This is in the notebook already."),
    el("div.pad-choices", {},
      choice("It is wrong: correct it", "It is struck out; then enter the right one.", () => {
        phone.strike(row.uid, "corrected");
        go();
      }),
      choice("Read it a second time", "Both count; a second reading makes the answer surer.", go),
      choice("Leave it as it is", "")));
  document.body.append(page);
  page.showModal();
}
