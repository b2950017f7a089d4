// One field of the plan: its label, what to write, where to find it, and what is wrong with it.
import { el, replace } from "./dom.js";
import { at } from "./store.js";

/**
 * A field bound to a path. It never overwrites what somebody types or what is in error.
 * @returns {{node: HTMLElement, refresh: () => void}}
 */
export function field(store, path, key, sections) {
  const id = `f-${path.replace(/[^A-Za-z0-9]+/g, "-")}`;
  const help = `${id}-help`;
  const wrong = `${id}-wrong`;
  const error = el("p.error", { id: wrong, role: "alert", hidden: true });
  const other = el("span.soft.also");
  const control = controls[kindOf(key)] ?? controls.text;
  const box = control(id, key, { "aria-describedby": `${help} ${wrong}` }, commit);
  let touched = false;
  let sent = null;

  function commit() {
    const next = box.read();
    const text = JSON.stringify(next);
    if (text === sent || (!touched && sent === null)) return;
    touched = false;
    if (text === (at(store.state?.values, path) ?? "null") && !store.problems.has(path)) return;
    sent = text;
    const change = next === null ? { path, remove: true } : { path, value: next };
    store.edit([change]).finally(() => {
      sent = null;
      refresh();
    });
  }

  function refresh() {
    const message = store.problems.get(path);
    error.hidden = !message;
    if (error.textContent !== (message ?? "")) error.textContent = message ?? "";
    box.invalid(Boolean(message));
    other.textContent = store.state?.shown?.[path] ? `= ${store.state.shown[path]}` : "";
    const own = box.node.contains(document.activeElement);
    if (!message && !touched && sent === null && !(own && touched)) {
      const text = at(store.state?.values, path);
      box.write(text === undefined ? null : JSON.parse(text));
    }
  }

  box.node.addEventListener("input", () => (touched = true));
  const need = key.required ? null : el("span.soft", {}, " (may be left out)");
  const node = el("div.field", { "data-path": path },
    el("label", { for: id }, key.label, need), box.node, other,
    el("p.help", { id: help }, key.description, key.where ? el("strong", {}, ` ${key.where}`) : null,
      example(key)),
    error);
  refresh();
  return { node, refresh, path };
}

function example(key) {
  if (key.kind === "choice" || key.kind === "flag" || !key.examples.length) return null;
  return el("span.soft", {}, ` For example ${key.examples.slice(0, 2).join(" or ")}.`);
}

const kindOf = (key) => (key.kind === "one-or-list" || key.kind === "list" ? listKind(key) : key.kind);
const nested = (key) => key.items.some((i) => i.kind === "list" || i.kind === "place");
const listKind = (key) => (nested(key) ? "rows" : "list");

/** Builders of the controls: node, read() to a plan value or null for nothing, write(value). */
const controls = {
  text: (id, key, props, commit) => line(id, key, props, commit, (t) => t, String),
  day: (id, key, props, commit) => line(id, key, props, commit, (t) => t, String),
  quantity: (id, key, props, commit) => line(id, key, props, commit, (t) => t, String),
  number: (id, key, props, commit) => line(id, key, { inputmode: "decimal", ...props }, commit, number, String),
  count: (id, key, props, commit) => line(id, key, { inputmode: "numeric", ...props }, commit, number, String),
  list: (id, key, props, commit) => line(id, key, props, commit, (t) => readList(t, key), writeList),
  place: (id, key, props, commit) => pair(id, props, commit),
  places: (id, key, props, commit) => area(id, key, props, commit),
  rows: (id, key, props, commit) => area(id, key, props, commit),
  choice, flag,
};

function line(id, key, props, commit, read, write) {
  const input = el("input", { id, type: "text", autocomplete: "off", spellcheck: "false", ...props });
  input.addEventListener("change", commit);
  return {
    node: input,
    read: () => (input.value.trim() === "" ? null : read(input.value.trim())),
    write: (value) => put(input, value === null ? "" : write(value)),
    invalid: (is) => mark(input, is),
  };
}

function area(id, key, props, commit) {
  const input = el("textarea", { id, rows: 3, spellcheck: "false", ...props });
  input.addEventListener("change", commit);
  return {
    node: input,
    read: () => {
      const rows = input.value.split("\n").map((r) => r.trim()).filter(Boolean);
      return rows.length ? rows.map((r) => readList(r, key.items[0] ?? key)) : null;
    },
    write: (value) => put(input, (value ?? []).map(writeList).join("\n")),
    invalid: (is) => mark(input, is),
  };
}

function pair(id, props, commit) {
  const inputs = ["along the row", "to the back"].map((words, i) =>
    el("input", { id: i ? `${id}-b` : id, type: "text", autocomplete: "off", ...props,
      "aria-label": words }));
  for (const input of inputs) input.addEventListener("change", commit);
  return {
    node: el("span.pair", {}, inputs),
    read: () => {
      const texts = inputs.map((i) => i.value.trim());
      return texts.every((t) => t === "") ? null : texts;
    },
    write: (value) => inputs.forEach((input, i) => put(input, value?.[i] ?? "")),
    invalid: (is) => inputs.forEach((i) => mark(i, is)),
  };
}

function choice(id, key, props, commit) {
  const none = key.required ? [] : [el("option", { value: "" }, "not stated")];
  const options = key.choices.map((c) => el("option", { value: String(c) }, String(c)));
  const select = el("select", { id, ...props }, none, options);
  select.addEventListener("change", commit);
  return {
    node: select,
    read: () => key.choices.find((c) => String(c) === select.value) ?? null,
    write: (value) => put(select, value === null ? "" : String(value)),
    invalid: (is) => mark(select, is),
  };
}

function flag(id, key, props, commit) {
  const box = el("input", { id, type: "checkbox", ...props });
  box.addEventListener("change", commit);
  return {
    node: box,
    read: () => box.checked,
    write: (value) => (box.checked = Boolean(value)),
    invalid: (is) => mark(box, is),
  };
}

function put(input, text) {
  if (input.value !== text) input.value = text;
}

function mark(input, is) {
  if (is) input.setAttribute("aria-invalid", "true");
  else input.removeAttribute("aria-invalid");
}

/** A number if it is one; else the text, so that the plan's own words say what is wrong. */
function number(text) {
  const plain = text.replace(/\s/g, "");
  return /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(plain) ? Number(plain) : text;
}

/** "21 ft, 24 ft" to a list; a single value stays single where the plan takes one. */
export function readList(text, key) {
  const parts = text.split(/[,;]/).map((p) => p.trim()).filter(Boolean);
  const plain = (key.items ?? []).every((i) => i.kind === "number" || i.kind === "count");
  const values = parts.map((p) => (plain ? number(p) : p));
  return key.kind === "one-or-list" && values.length === 1 ? values[0] : values;
}

const writeList = (value) => (Array.isArray(value) ? value.join(", ") : String(value ?? ""));

/** Shows a message beside a field that stands somewhere else, for problems of whole sections. */
export function problemLine(store, path) {
  const node = el("p.error", { role: "alert", hidden: true });
  return {
    node,
    refresh: () => {
      const message = store.problems.get(path);
      node.hidden = !message;
      replace(node, message ?? "");
    },
  };
}
