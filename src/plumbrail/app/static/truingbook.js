// The notebook of the site on the desk: rows as they were entered, striking, CSV in and out.
import { announce, el, replace } from "./dom.js";
import { get, oneByOne, post, uid } from "./net.js";

const SHOWN = 25;
const COLUMNS = ["No.", "When", "Reading", "From", "To", "At", "Value", "Set-up", "By", "What is said of it", ""];

/** @returns {{known: (truing: any) => void}} told what the truing says of the rows */
export function notebook(root, store, page) {
  let rows = [];
  let remarks = new Map();
  const file = el("input", { type: "file", id: "notebook-file", accept: ".csv,text/csv" });
  file.addEventListener("change", take);
  const count = el("p.soft");
  let every = false;
  const more = el("button", { type: "button", hidden: true, onclick: () => {
    every = true;
    draw();
  } });
  const table = el("div.scroll", { tabindex: 0, role: "region", "aria-label": "Rows of the notebook" });
  replace(root, el("section.truing-part", {}, el("h3", {}, "Notebook"),
    el("p.soft", {}, "Nothing is ever rubbed out: a row that was wrong is struck and stays to be read."),
    el("div.row", {}, el("label", { for: "notebook-file" }, "Take in a CSV file"), file, el("a", { href: store.url("/notebook.csv"), download: "" }, "Save as CSV")), count, table, more));

  async function take() {
    const chosen = file.files[0];
    if (!chosen) return;
    try {
      const answer = await post(store.url("/notebook"), { text: await chosen.text() }, 60);
      announce(`${answer.uids.length} rows of ${chosen.name} are in the notebook.`);
    } catch (error) {
      announce(error.message, "error");
    }
    file.value = "";
    await load();
  }

  async function strike(row) {
    const text = `Strike row ${row.seq}: ${row.kind} ${row.start} ${row.value}?`;
    if (!confirm(text)) return;
    try {
      await post(store.url("/readings"), { rows: [{ uid: uid(), time: stamp(), strikes: row.uid }] });
      await load();
    } catch (error) {
      announce(error.message, "error");
    }
  }

  const load = oneByOne(async () => {
    if (page.hidden) return;
    rows = (await get(store.url("/readings"))).rows;
    draw();
  });

  function draw() {
    const struck = new Map(rows.filter((r) => r.strikes).map((r) => [r.strikes, r]));
    const shown = rows.filter((r) => r.kind !== "#" && !(r.strikes && !r.value));
    count.textContent = shown.length ? `${shown.length} rows, the newest first.` : "No rows yet.";
    const newest = shown.reverse().slice(0, every ? undefined : SHOWN);
    more.hidden = newest.length === shown.length;
    more.textContent = `Show all ${shown.length} rows`;
    replace(table, shown.length ? el("table.notebook", {}, el("caption.only-read", {}, "Rows of the notebook, the newest first"),
      el("thead", {}, el("tr", {}, COLUMNS.map((c) => (c ? el("th", { scope: "col" }, c) : el("td"))))),
      el("tbody", {}, newest.map((r) => line(r, struck.get(r.uid))))) : null);
  }

  function line(r, by) {
    const said = by ? `struck out ${by.device ? `by ${by.device}` : ""}` : remarks.get(r.uid) ?? "";
    return el("tr", { class: by ? "struck" : said ? "remarked" : null, "data-uid": r.uid }, [r.seq, r.time, r.kind, r.start, r.end, r.at_point, el("strong", {}, r.value), r.setup, r.device,
      el("span", {}, said, r.note ? el("span.soft", {}, said ? ` (${r.note})` : r.note) : null)].map((c) => el("td", {}, c)),
    el("td", {}, by ? null : el("button.small", { type: "button", "aria-label": `Strike row ${r.seq}`, onclick: () => strike(r) }, "Strike")));
  }

  store.on((what) => { if (what === "readings" || (what === "line" && store.up)) quietly(load); });
  page.addEventListener("shown", () => quietly(load));
  quietly(load);
  return {
    known(truing) {
      remarks = remarksOf(truing);
      draw();
    },
  };
}

const quietly = (what) => what().catch((error) => announce(error.message, "error"));

/** Uid of a row to what the truing says of it. */
function remarksOf(t) {
  const found = new Map();
  const say = (line, words) => {
    const uid = t.lines?.[String(line)];
    if (uid) found.set(uid, found.has(uid) ? `${found.get(uid)}; ${words}` : words);
  };
  for (const r of t.readings ?? []) if (r.set_aside) say(r.line, "set aside");
  for (const s of t.suspicions ?? []) for (const line of s.lines) say(line, `suspected: ${s.words}`);
  for (const p of t.problems ?? []) if (p.line) say(p.line, p.message);
  for (const h of t.hidden ?? []) say(h.line, h.redundancy < 0.01 ? "nothing checks it" : "a slip could stay unseen");
  return found;
}

function stamp() {
  const now = new Date();
  const two = (n) => String(n).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())} ${two(now.getHours())}:${two(now.getMinutes())}`;
}
