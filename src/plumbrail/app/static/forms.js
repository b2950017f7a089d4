// The plan as a form: one renderer for every section, from the schema that the models give.
import { el, replace } from "./dom.js";
import { field, problemLine } from "./fields.js";

/**
 * Draws the whole plan into `root` and follows the store.
 * @param {{sections: object[]}} schema  of GET /api/schema
 */
export function mount(root, store, schema) {
  const forms = new Forms(root, store, schema);
  store.on((what) => {
    if (what === "state") forms.follow();
    if (what === "problems") forms.refresh();
  });
  forms.follow();
  return forms;
}

class Forms {
  constructor(root, store, schema) {
    this.store = store;
    this.schema = schema;
    this.fields = [];
    this.open = new Set(["job", "site", "array"]);
    this.shape = "";
    this.find = el("input", { type: "search", id: "find-field", placeholder: "wind, tilt, saw …" });
    this.find.addEventListener("input", () => this.filter());
    this.list = el("div.sections");
    replace(root, el("label.find", { for: "find-field" }, "Find a field"), this.find, this.list);
  }

  /** Draws anew only when sections came or went; else only values are put in. */
  follow() {
    const shape = JSON.stringify(shapeOf(this.store.state?.values ?? {}));
    if (shape !== this.shape) {
      this.shape = shape;
      this.draw();
    }
    this.refresh();
  }

  refresh() {
    for (const f of this.fields) f.refresh();
    for (const details of this.list.querySelectorAll("details")) {
      const bad = details.querySelectorAll(".error:not([hidden])").length;
      details.classList.toggle("has-error", bad > 0);
    }
  }

  draw() {
    const focused = document.activeElement?.id;
    this.fields = [];
    const tops = this.schema.sections.filter((s) => s.path.length === 1 && s.path[0] !== "as_built");
    replace(this.list, tops.map((s) => this.section(s, this.store.state.values?.[s.path[0]], s.path[0])));
    this.filter();
    if (focused) document.getElementById(focused)?.focus();
  }

  /** A section: its fields, the sections inside it, and a way to add or remove it. */
  section(section, value, path) {
    if (section.many === "list") return this.items(section, value ?? [], path);
    if (section.many === "named") return this.named(section, value ?? {}, path);
    const there = value !== undefined;
    const body = there ? this.body(section, value, path)
      : [el("p.soft", {}, section.text), this.button(`Add ${section.title.toLowerCase()}`, { path, add: true })];
    const out = there && !section.required ? this.button(`Take ${section.title.toLowerCase()} out`, { path, remove: true }) : null;
    return this.fold(path, section.title, [body, out], !there);
  }

  body(section, value, path) {
    const line = problemLine(this.store, path);
    this.fields.push(line);
    const fields = section.keys.map((key) => {
      const made = field(this.store, `${path}.${key.name}`, key);
      this.fields.push(made);
      return made.node;
    });
    const inner = this.schema.sections.filter((s) => s.path.length === section.path.length + 1
      && section.path.every((step, i) => s.path[i] === step));
    return [el("p.soft", {}, section.text), line.node, el("div.fields", {}, fields),
      inner.map((s) => this.section(s, value?.[s.path.at(-1)], `${path}.${s.path.at(-1)}`))];
  }

  items(section, values, path) {
    const each = values.map((value, i) => {
      const own = `${path}[${i + 1}]`;
      const name = value?.name ? `${singular(section.title)}: ${value.name}` : `${singular(section.title)} ${i + 1}`;
      const out = this.button(`Take ${name} out`, { path: own, remove: true });
      return this.fold(own, name, [this.body(section, value, own), out]);
    });
    const more = this.button(`Add one to ${section.title.toLowerCase()}`, { path, add: true });
    const title = `${section.title} (${values.length})`;
    return this.fold(path, title, [el("p.soft", {}, section.text), each, more], values.length === 0);
  }

  named(section, values, path) {
    const each = Object.entries(values).map(([name, value]) => {
      const own = `${path}.${/^[A-Za-z0-9_-]+$/.test(name) ? name : JSON.stringify(name)}`;
      return this.fold(own, name, [this.body(section, value, own), this.button(`Take ${name} out`, { path: own, remove: true })]);
    });
    const name = el("input", { type: "text", placeholder: section.example_name, "aria-label": `Name for ${section.title.toLowerCase()}` });
    const add = el("button", { type: "button", onclick: () => {
      const said = name.value.trim() || section.example_name;
      this.store.edit([{ path: `${path}.${JSON.stringify(said)}`, add: true }]);
    } }, "Add");
    return this.fold(path, `${section.title} (${each.length})`, [el("p.soft", {}, section.text), each,
      el("div.row", {}, name, add)], each.length === 0);
  }

  button(words, change) {
    return el("button.small", { type: "button", onclick: () => this.store.edit([change]) }, words);
  }

  fold(path, title, body, absent = false) {
    const details = el("details", { "data-section": path, open: this.open.has(path) },
      el("summary", {}, title, absent ? el("span.soft", {}, " – not in the plan") : null), body);
    details.addEventListener("toggle", () => {
      if (!this.find.value) this.open[details.open ? "add" : "delete"](path);
    });
    return details;
  }

  /** Shows only fields whose words hold what is looked for; sections open for it. */
  filter() {
    const wanted = this.find.value.trim().toLowerCase();
    for (const f of this.fields) {
      if (f.path) f.node.hidden = wanted !== "" && !f.node.textContent.toLowerCase().includes(wanted);
    }
    for (const details of this.list.querySelectorAll("details")) {
      const some = details.querySelector(".field:not([hidden])");
      details.hidden = wanted !== "" && !some;
      details.open = wanted !== "" ? Boolean(some) : this.open.has(details.dataset.section);
    }
  }

  /** Goes to the field or section that a figure or another page led to. */
  go() {
    const [kind, path] = this.store.goal ?? [];
    this.store.goal = null;
    if (kind === "field") this.show(path);
    if (kind === "section") this.showSection(path);
  }

  /** Opens a section and goes to its title. */
  showSection(path) {
    this.find.value = "";
    this.filter();
    const details = this.list.querySelector(`details[data-section="${CSS.escape(path)}"]`);
    for (let up = details; up; up = up.parentElement) {
      if (up.tagName === "DETAILS") up.open = true;
    }
    details?.querySelector("summary").focus();
    details?.scrollIntoView({ block: "start" });
  }

  /** Opens the sections around a field and puts the cursor into it. */
  show(path) {
    this.find.value = "";
    this.filter();
    const found = this.fields.find((f) => f.path === path);
    for (let up = found?.node.parentElement; up; up = up.parentElement) {
      if (up.tagName === "DETAILS") up.open = true;
    }
    found?.node.querySelector("input, select, textarea")?.focus();
    found?.node.scrollIntoView({ block: "center" });
  }
}

const singular = (title) => title.replace(/ies$/, "y").replace(/(x)es$/, "$1").replace(/s$/, "");

/** Which sections are there, without their values. */
function shapeOf(value) {
  if (Array.isArray(value)) return value.some((v) => typeof v === "object" && !Array.isArray(v)) ? value.map((v) => [v?.name, shapeOf(v)]) : 0;
  if (value && typeof value === "object") {
    return Object.fromEntries(Object.entries(value).filter(([, v]) => v && typeof v === "object").map(([k, v]) => [k, shapeOf(v)]));
  }
  return 0;
}
