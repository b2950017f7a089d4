// Light that shade takes, by clock hour and month: a table with patterns that need no colour.
import { el, replace } from "./dom.js";
import { MONTHS } from "./chartsload.js";

const STEPS = [[0.02, "a", "under 2 %"], [0.1, "b", "2 to 10 %"], [0.25, "c", "10 to 25 %"], [0.5, "d", "25 to 50 %"], [1.01, "e", "over 50 %"]];
const stepOf = (share) => STEPS.find(([most]) => share < most)[1];

export function shadeChart(y) {
  const s = y.shade_hours;
  if (!s) return el("p", {}, el("strong", {}, "NOT CHECKED: "), "the plan does not say what stands around.");
  const said = el("p.reading", { role: "status" }, "Point at a field, or go through them with the arrow keys.");
  const place = el("div.scroll");
  const buttons = [["array", "Whole array"], ["module", `Most shaded module, ${s.module_id}`]].map(([name, words]) =>
    el("button.small", { type: "button", "aria-pressed": "false", onclick: () => show(name) }, words));
  function show(name) {
    buttons.forEach((b, i) => b.setAttribute("aria-pressed", String((i === 0) === (name === "array"))));
    replace(place, table(s[name], name === "array" ? "Whole array" : `Module ${s.module_id}`, (words) => (said.textContent = words)));
  }
  show("array");
  return [el("div.row", {}, buttons), key(), place, said];
}

const key = () => el("ul.key", {}, STEPS.map(([, name, words]) => el("li", {}, el("span.swatch", { class: `swatch shade-${name}`, "aria-hidden": "true" }), words)), el("li", {}, "empty: hardly any light"));

function table(lost, who, tell) {
  const hours = lost.map((row, h) => [row, h]).filter(([row]) => row.some((v) => v !== null));
  const cells = [];
  const rows = hours.map(([row, h]) => {
    const line = row.map((share, m) => cell(share, h, m));
    cells.push(line);
    return el("tr", {}, el("th", { scope: "row" }, `${h}–${h + 1} h`), line);
  });
  let at = [0, cells[0]?.findIndex((c) => c.textContent) ?? 0];
  cells[0]?.[Math.max(at[1], 0)]?.setAttribute("tabindex", "0");
  const node = el("table.shade-hours.fit", {}, el("caption", {}, `${who}: per cent of the light that shade takes, by clock hour on site`),
    el("thead", {}, el("tr", {}, el("th", { scope: "col" }, "Clock"), MONTHS.map((m) => el("th", { scope: "col" }, m.slice(0, 3))))), el("tbody", {}, rows));
  node.addEventListener("keydown", move);

  function cell(share, h, m) {
    const words = `${MONTHS[m]}, ${h} to ${h + 1} o'clock: ${share === null ? "hardly any light" : `shade takes ${(100 * share).toFixed(share < 0.1 ? 1 : 0)} % of the light`}`;
    const show = () => tell(words);
    return el("td", { class: share === null ? "none" : `shade-${stepOf(share)}`, tabindex: -1, onfocus: show, onmouseenter: show, onclick: show },
      share === null ? "" : el("span", {}, share >= 0.995 && share < 1 ? 99 : (100 * share).toFixed(0)));
  }
  function move(event) {
    const by = { ArrowRight: [0, 1], ArrowLeft: [0, -1], ArrowDown: [1, 0], ArrowUp: [-1, 0] }[event.key];
    if (!by) return;
    const r = cells.findIndex((line) => line.includes(document.activeElement));
    if (r < 0) return;
    const c = cells[r].indexOf(document.activeElement);
    const next = cells[r + by[0]]?.[c + by[1]];
    event.preventDefault();
    if (!next) return;
    document.activeElement.setAttribute("tabindex", "-1");
    next.setAttribute("tabindex", "0");
    next.focus();
  }
  return node;
}
