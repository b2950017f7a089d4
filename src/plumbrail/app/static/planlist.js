// Everything on the site plan as a list, with its places typed as a builder writes them.

import { lengthWords } from "./lengthwords.js";
import { html, send } from "./make.js";
import { handlesOf, nearest } from "./plangeometry.js";
import { kindWords } from "./planmarks.js";
import { steps } from "./store.js";

/** What is written at "site.shade.trees[1].at", the first tree. */
export const writtenAt = (values, path) => steps(path).reduce((here, key) => here?.[key], values);

/** @param {any} store */
export function planList(store) {
  const list = html("ul", { class: "plan-list" });
  const root = html("details", { class: "plan-things" }, html("summary", {}, "What is on the plan, with its places"), list);
  /** @type {Map<string, {node: HTMLElement, update: (thing: any, far: string) => void}>} */
  let rows = new Map();

  /** @param {any[]} things @param {[number, number][]|null} outline */
  function update(things, outline) {
    const units = store.state.units;
    const listed = things.filter((t) => t.kind !== "hole" && t.kind !== "setback");
    const next = new Map();
    for (const t of listed) {
      const key = `${t.id} ${t.path} ${handlesOf(t).length}`;
      const row = rows.get(key) ?? listRow(store, t);
      const away = outline && !["pin", "combiner"].includes(t.kind) ? lengthWords(nearest(outline, t).far, units) : "";
      row.update(t, away);
      next.set(key, row);
    }
    const nodes = [...next.values()].map((r) => r.node);
    if (nodes.length !== list.children.length || nodes.some((n, i) => n !== list.children[i])) list.replaceChildren(...nodes);
    rows = next;
  }
  return { root, update };
}

function listRow(store, thing) {
  let shown = thing;
  const away = html("span", { class: "away" });
  const name = html("span", { class: "thing-name" });
  const kind = html("span", { class: "thing-kind" });
  const choose = html("button", { type: "button", onclick: () => store.select(shown.id) }, name, kind, away);
  const pairs = thing.path && thing.kind !== "combiner" ? handlesOf(thing).map((_, i) => pairOf(store, () => shown, i)) : [];
  const places = html("div", { class: "places" }, ...pairs.map((p) => p.node));
  const many = pairs.length > 2;
  const holder = many ? html("details", {}, html("summary", {}, `${pairs.length} corners or points`), places) : places;
  const node = html("li", { "data-row": thing.id }, choose, ...(pairs.length ? [holder] : []));
  return {
    node,
    update(t, far) {
      shown = t;
      name.textContent = t.name || t.id;
      kind.textContent = [t.letter, kindWords(t)].filter(Boolean).join(" · ");
      away.textContent = far ? `${far} from the array` : "";
      choose.setAttribute("aria-pressed", String(store.selected === t.id));
      node.classList.toggle("chosen", store.selected === t.id);
      pairs.forEach((p) => p.update());
    },
  };
}

/** Two fields for one place: along the row, and to the back. */
function pairOf(store, thing, index) {
  const fault = html("p", { class: "fault", role: "alert", hidden: true });
  fault.id = `fault-${Math.random().toString(36).slice(2)}`;
  const fields = [0, 1].map((axis) => {
    const input = /** @type {HTMLInputElement} */ (html("input", { type: "text", autocomplete: "off", spellcheck: "false", "aria-describedby": fault.id }));
    input.addEventListener("input", () => (input.dataset.edited = "1"));
    input.addEventListener("change", () => commit());
    input.addEventListener("keydown", (e) => e.key === "Escape" && (delete input.dataset.edited, clear(), update()));
    return input;
  });
  const words = ["to the right", "to the back"];
  const corner = html("span", { class: "corner", "aria-hidden": "true" });
  const node = html("div", { class: "pair" }, corner, ...fields.map((f, i) => html("label", {}, html("span", {}, words[i]), f)), fault);

  /** Leaves alone what somebody is typing or what was refused. */
  function update() {
    const t = thing();
    const several = handlesOf(t).length > 1;
    corner.textContent = several ? String(index + 1) : "";
    const place = handlesOf(t)[index];
    const written = writtenPair(store, t, index);
    fields.forEach((f, axis) => {
      f.setAttribute("aria-label", `${t.name || t.id}${several ? `, point ${index + 1}` : ""}, ${words[axis]}`);
      if (f.dataset.edited || f.getAttribute("aria-invalid")) return;
      const value = written ? String(written[axis]) : lengthWords(place[axis], store.state.units);
      if (f.value !== value) f.value = value;
    });
  }

  function clear() {
    fault.hidden = true;
    fields.forEach((f) => f.removeAttribute("aria-invalid"));
  }

  async function commit() {
    const t = thing();
    const all = handlesOf(t).map((h, i) => writtenPair(store, t, i) ?? h.map((c) => lengthWords(c, store.state.units)));
    all[index] = fields.map((f) => f.value.trim());
    const value = handlesOf(t).length > 1 ? all : all[0];
    const why = await send(store, [{ path: t.path, value }]);
    if (why) {
      fault.textContent = why;
      fault.hidden = false;
      fields.forEach((f) => f.dataset.edited && f.setAttribute("aria-invalid", "true"));
      return;
    }
    fields.forEach((f) => delete f.dataset.edited);
    clear();
    update();
  }
  return { node, update };
}

function writtenPair(store, thing, index) {
  const all = writtenAt(store.state.values, thing.path);
  const pair = handlesOf(thing).length > 1 ? all?.[index] : all;
  return Array.isArray(pair) && pair.length === 2 && !Array.isArray(pair[0]) ? pair : null;
}
