// The phone page: four tabs, and always in words whether everything is safe on the laptop.
import { announce, el, replace } from "./dom.js";
import { Keypad } from "./keypad.js";
import { mount as mountResult } from "./phonegate.js";
import { enterCode } from "./phonein.js";
import { PhoneJob } from "./phonejob.js";
import { mount as mountReadings } from "./readings.js";
import { mount as mountBook } from "./readingsbook.js";
import { mount as mountTicks } from "./ticklist.js";

const TABS = [["measure", "Measure"], ["result", "Result"], ["ticks", "Tick off"], ["book", "Notebook"]];

const phone = new PhoneJob();
const by = (id) => document.getElementById(id);
const keypad = new Keypad(document.body, () => phone.field?.units ?? "us");
const views = {
  measure: mountReadings(by("measure"), phone, keypad),
  result: mountResult(by("result"), phone, keypad),
  ticks: mountTicks(by("ticks"), phone),
  book: mountBook(by("book"), phone),
};

function open(name) {
  for (const [id] of TABS) {
    by(id).hidden = id !== name;
    by(`tab-${id}`).setAttribute("aria-current", id === name ? "page" : "false");
  }
  (views[name].show ?? views[name].draw).call(views[name]);
  scrollTo(0, 0);
}

function tabs() {
  replace(by("tabs"), TABS.map(([id, words]) =>
    el("button", { id: `tab-${id}`, type: "button", onclick: () => open(id) }, words)));
}

/** Whether all is safe, in words and with a mark; loud when this phone could not keep something. */
function outbox() {
  const items = phone.outbox.items();
  const { line, trouble, loose } = phone.outbox;
  const refused = items.filter((item) => item.refused).length;
  const waiting = items.length - refused;
  const away = line === "away" || (!phone.up && line !== "out");
  const state = loose.size || refused || line === "out" ? "bad" : waiting ? "waits" : away ? "away" : "safe";
  const words = [
    line === "out" && "✕ Not let in",
    waiting && `↑ ${waiting} waiting`, refused && `✕ ${refused} not taken: see Notebook`,
    !waiting && !refused && line !== "out" && (away ? "✓ Nothing waits · laptop out of reach" : "✓ All safe on the laptop"),
    waiting && (away ? "laptop out of reach" : line === "trouble" ? trouble : ""),
  ].filter(Boolean).join(" · ");
  if (by("outbox").textContent !== words) by("outbox").textContent = words;
  by("outbox").dataset.state = state;
  warning(loose.size, line, waiting);
}

function warning(count, line, waiting) {
  const said = [];
  if (count) said.push(`✕ This phone's storage is full: ${count} of your entries ${count === 1 ? "is" : "are"} only on this screen. Do not close this page before they are safe on the laptop. Write them on paper.`);
  if (line === "out") said.push(`✕ This phone is not let in any more: the laptop has shut it out. ${waiting ? `${waiting} ${waiting === 1 ? "entry is" : "entries are"} kept here and not sent yet; nothing is lost.` : "Nothing waits to be sent."} You can go on; it is sent once the phone is let in again.`);
  by("warning").hidden = !said.length;
  if (by("warning").dataset.said === said.join("")) return;
  by("warning").dataset.said = said.join("");
  replace(by("warning"), said.map((words) => el("p", {}, words)),
    line === "out" && el("button.main", { id: "in-again", type: "button", onclick: () => enterCode(() => phone.again()) }, "Enter a new code"));
}

function head() {
  const { jobs, job, field } = phone;
  const name = field?.name ?? jobs.find((j) => j.id === job)?.name ?? "plumbrail";
  document.title = `${name} – plumbrail`;
  if (jobs.length < 2) return replace(by("job"), name);
  const list = el("select", { "aria-label": "Job", onchange: () => phone.open(list.value) },
    jobs.map((j) => el("option", { value: j.id, selected: j.id === job }, j.name)));
  return replace(by("job"), list);
}

phone.on((what) => {
  if (["job", "jobs", "field"].includes(what)) head();
  if (["outbox", "line", "job"].includes(what)) outbox();
  if (what === "job") open(TABS.find(([id]) => !by(id).hidden)?.[0] ?? "measure");
});
tabs();
open("measure");
outbox();
phone.start().catch((error) => announce(error.message, "error"));
