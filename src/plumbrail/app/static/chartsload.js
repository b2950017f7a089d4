// A part of the answers that is worked out behind an edit: asked for when its page is looked at.
import { el, replace } from "./dom.js";
import { get, oneByOne } from "./net.js";

/**
 * Keeps `body` up to date with a part of the job while its page is shown.
 * @param {HTMLElement} root  the page; hidden while another one shows
 * @param {HTMLElement} body  what `draw` fills
 * @param {(found: any) => void} draw  gets the answer, never one that is still pending
 * @param {{part: string, also?: string[], url?: (store: any) => string, title: string}} about
 * @returns {() => void} asks again
 */
export function follow(root, body, store, draw, about) {
  let known = null;
  const note = el("p.part-note", { role: "status" }, `${about.title}: working …`);
  body.before(note);
  const where = about.url ?? ((s) => `${s.url(`/parts/${about.part}`)}?revision=${s.revision}`);

  const load = oneByOne(async () => {
    if (root.hidden || !store.state) return;
    if (store.state.problems) return say(`This plan cannot be worked out${body.hasChildNodes() ? "; what is shown below is of an earlier one" : ", so there is nothing to show here yet"}.`, true);
    known = store.revision;
    try {
      const found = await get(where(store));
      if (known !== store.revision) return; // asked again by now
      if (found?.pending === true && Object.keys(found).length === 1) return say(`${about.title} of this revision: working …`, true);
      if (typeof found?.missing === "string") {
        say("", false);
        return replace(body, el("div.missing", {}, el("p", {}, el("strong", {}, "Not worked out: "), `${found.missing}.`.replace(/\.\.$/, ".")), toPlan(store, about.part)));
      }
      say("", false);
      await draw(found);
    } catch (error) {
      if (known === store.revision) say(error.message, true);
    }
  });

  function say(words, old) {
    if (note.textContent !== words) note.textContent = words;
    note.hidden = !words;
    body.classList.toggle("stale", old && body.hasChildNodes());
  }

  const due = () => store.revision !== known;
  store.on((what, event) => {
    if (what === "state" && due()) load();
    if (what === "part" && (about.also ?? [about.part]).includes(event.part)) load();
    if (about.events?.includes(what)) {
      if (body.hasChildNodes() && !root.hidden) say("New readings came in; what is shown below does not know them yet: working …", true);
      load();
    }
    if (what === "line" && store.up) load();
  });
  root.addEventListener("shown", () => load());
  load();
  return load;
}

const SECTIONS = { yield: ["energy", "Energy"], wire: ["wiring", "Wiring"], trench: ["trench", "Trench"], works: ["works", "Works"], proving: ["proving", "Proving"] };

/** Leads to the section of the plan that a part comes from. */
function toPlan(store, part) {
  if (!(part in SECTIONS)) return null;
  const [path, title] = SECTIONS[part];
  return el("button", { type: "button", onclick: () => {
    store.goal = ["section", path];
    location.hash = "#plan";
  } }, `Go to ${title} in the plan`);
}

/** A table with a caption; cells may be nodes; `numbers` are the columns that are numbers. */
export function grid(caption, head, rows, numbers = []) {
  const side = (i) => (numbers.includes(i) ? "number" : null);
  return el("div.scroll", { tabindex: 0, role: "region", "aria-label": caption },
    el("table.fit", {}, el("caption", {}, caption),
      el("thead", {}, el("tr", {}, head.map((t, i) => (t ? el("th", { scope: "col", class: side(i) }, t) : el("td"))))),
      el("tbody", {}, rows.map((row) => el("tr", row.props ?? {}, (row.cells ?? row).map((cell, i) =>
        (i === 0 ? wordy(el("th", { scope: "row", class: side(i) }, cell)) : wordy(el("td", { class: side(i) }, cell)))))))));
}

/** Room for the words of a cell on narrow screens, so that no column stands one word wide. */
function wordy(cell) {
  const long = cell.textContent.length;
  if (long > 18) cell.classList.add(long > 200 ? "wordiest" : long > 70 ? "wordier" : "wordy");
  return cell;
}

/** A fold that is shut until somebody wants it. */
export const fold = (title, ...inside) => el("details.fold", {}, el("summary", {}, title), inside);

export const KWH = 3.6e6;
export const MONTHS = ["January", "February", "March", "April", "May", "June", "July", "August", "September",
  "October", "November", "December"];
/** Whole kWh with commas; one decimal below 100. */
export const kwh = (joules) => {
  const v = joules / KWH;
  return v.toLocaleString("en-US", { maximumFractionDigits: Math.abs(v) < 100 ? 1 : 0, minimumFractionDigits: 0 });
};
export const percent = (share, digits = 1) => `${(100 * share).toFixed(digits)} %`;
