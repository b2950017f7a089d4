// The frame, modules and site in three dimensions. Draws only when something changed.

import { Camera, VIEWS } from "./camera.js";
import { ratioWords } from "./colours.js";
import { Painter } from "./gl3d.js";
import { Labels, wordsOf } from "./labels3d.js";
import { legend, patterns } from "./legend.js";
import { chosenParts, follow, html, onceAFrame, onSize, sceneOf, svg } from "./make.js";
import { limits, meshOf } from "./mesh.js";
import { partTable } from "./parttable.js";
import { pickAt } from "./pick3d.js";
import { listen } from "./turn3d.js";

const PREFIX = "p3d";
const MOST_RIMS = 24;
let latest = /** @type {View3D|null} */ (null);

/** Px of a part's middle on the canvas of the last view made, for tests. @param {string} id */
export const project = (id) => latest?.project(id) ?? null;

/**
 * Draws into `root` and follows the store.
 * @param {HTMLElement} root @param {any} store
 * @param {(target: string) => void} [open] opens a check
 */
export function mount(root, store, open) {
  latest = new View3D(root, store, open);
  return latest;
}

class View3D {
  constructor(root, store, open) {
    this.store = store;
    this.open = open;
    this.camera = new Camera();
    this.labels = new Labels();
    this.hovered = "";
    this.modules = "see-through";
    this.inGround = false;
    this.around = true;
    this.view = "corner";
    this.scene = null;
    this.mesh = { batches: [], items: [], ground: null };
    this.painter = /** @type {Painter|null} */ (null);
    this.took = { mesh: 0, draw: 0 };
    this.draws = 0;
    this.ask = onceAFrame(() => this.draw());
    this.build(root);
    this.start();
    this.off = [follow(store, () => this.changed()), onSize(this.stage, () => this.resize())];
    this.changed();
  }

  build(root) {
    this.root = root;
    this.canvas = /** @type {HTMLCanvasElement} */ (html("canvas", { tabindex: 0, role: "application",
      "aria-roledescription": "3D view", "aria-describedby": "view3d-keys" }));
    this.notice = html("p", { class: "notice", role: "status", hidden: true });
    this.stage = html("div", { class: "stage" }, this.canvas, this.labels.root, this.notice);
    this.table = partTable(this.store, (id) => this.hover(id));
    this.legend = html("div", { class: "legend-wrap" });
    this.told = html("p", { class: "chosen-part", role: "status" });
    const keys = "Arrow keys turn, Shift and arrow keys move, plus and minus zoom, Home brings the first view back.";
    root.classList.add("view3d");
    root.replaceChildren(this.bar(), this.stage, this.told, svg("svg", { width: 0, height: 0, class: "pattern-store", "aria-hidden": "true" }, patterns(PREFIX)),
      html("p", { id: "view3d-keys", class: "keys" }, keys), this.legend, this.table.root);
  }

  bar() {
    const views = Object.entries(VIEWS).map(([name, v]) =>
      html("button", { type: "button", "data-view": name, "aria-pressed": "false", onclick: () => this.look(name) }, v.words));
    this.viewButtons = views;
    const choice = (value, words) => html("option", { value }, words);
    const modules = html("select", { onchange: (e) => this.setModules(e.target.value) },
      choice("see-through", "see-through"), choice("solid", "solid"), choice("hidden", "hidden"));
    const ground = html("input", { type: "checkbox", onchange: (e) => this.setInGround(e.target.checked) });
    const around = html("input", { type: "checkbox", checked: true, onchange: (e) => ((this.around = e.target.checked), this.ask()) });
    return html("div", { class: "view-bar" }, html("div", { class: "segments", role: "group", "aria-label": "Look from" }, ...views),
      html("label", {}, "Modules ", modules), html("label", { class: "tick" }, ground, " Show what is in the ground"), html("label", { class: "tick" }, around, " Show what stands around"));
  }

  /** Begins to paint, or says that it cannot. */
  start() {
    const antialias = (window.devicePixelRatio || 1) < 2; // dense pixels are smooth enough, and cost more
    const gl = this.canvas.getContext("webgl2", { antialias, alpha: false, powerPreference: "low-power" });
    if (!gl) return this.without();
    this.gl = gl;
    this.painter = new Painter(gl);
    this.canvas.addEventListener("webglcontextlost", (e) => {
      e.preventDefault();
      this.painter = null;
      this.say("The browser took the 3D picture away; it comes back by itself. The table below still holds.");
    });
    this.canvas.addEventListener("webglcontextrestored", () => {
      this.painter = new Painter(gl);
      this.painter.load(this.mesh.batches, this.mesh.ground);
      this.say("");
      this.ask();
    });
    listen(this.canvas, this.camera, { changed: () => this.turned(), click: (x, y, reach) => this.click(x, y, reach),
      hover: (x, y) => this.hover(this.pick(x, y, 5)?.id ?? ""), leave: () => this.hover(""), home: () => this.look("corner") });
  }

  without() {
    this.root.classList.add("without-3d");
    this.say("3D is not available here: the browser offers no WebGL. The table below holds the same parts.");
    this.table.root.open = true;
  }

  say(words) {
    this.notice.hidden = !words;
    this.notice.textContent = words;
  }

  /** The state or the choice changed. */
  changed() {
    const scene = sceneOf(this.store);
    if (scene && scene !== this.scene) this.take(scene);
    this.table.update();
    this.sayChosen();
    this.ask();
  }

  /** Under the picture: what is chosen, and the way to its check. */
  sayChosen() {
    const parts = chosenParts(this.store);
    const item = parts.length === 1 ? this.mesh.items[this.byId?.get(parts[0]) ?? -1] : null;
    const words = item ? wordsOf(item, true) : parts.length > 1 ? `${parts.length} parts of the chosen check are outlined` : "";
    if (this.told.firstChild?.textContent === words && this.toldCheck === item?.check) return;
    this.toldCheck = item?.check;
    const press = item?.check && this.open ? html("button", { type: "button", onclick: () => this.open(`check:${item.check}`) }, "Open its worst check") : "";
    this.told.replaceChildren(html("span", {}, words), press);
  }

  take(scene) {
    const began = performance.now();
    const first = !this.scene;
    this.scene = scene;
    this.mesh = meshOf(scene);
    this.byId = new Map(this.mesh.items.map((item, i) => [item.id, i]));
    this.painter?.load(this.mesh.batches, this.mesh.ground);
    const around = limits(scene, true);
    this.camera.reach = Math.max(Math.hypot(...around.high.map((c, k) => c - around.low[k])), 10);
    this.describe(scene);
    if (first) this.look("corner");
    this.took.mesh = performance.now() - began;
  }

  describe(scene) {
    const worst = scene.bars.reduce((w, b) => ((b.ratio ?? -1) > (w?.ratio ?? -1) ? b : w), null);
    const said = worst ? ` Nearest to its limit: ${worst.words}, ${ratioWords(worst.ratio, worst.mark)}.` : "";
    this.canvas.setAttribute("aria-label", `The frame in 3D: ${scene.bars.length} parts, ${scene.panels.length} modules.${said}`);
    const marks = new Set(scene.bars.map((b) => b.mark));
    this.legend.replaceChildren(legend(PREFIX, [...marks]));
  }

  look(view) {
    this.view = view;
    this.resize(true);
    if (this.scene) {
      const { low, high } = limits(this.framed());
      this.camera.look(view, low, high);
    }
    this.turned(view);
  }

  /** What a view is fitted to: piers only where they are shown. */
  framed() {
    if (this.inGround) return this.scene;
    return { ...this.scene, bars: this.mesh.items.filter((i) => !["pier", "module", "site"].includes(i.kind)) };
  }

  turned(view = "") {
    this.view = view;
    for (const b of this.viewButtons) b.setAttribute("aria-pressed", String(b.dataset.view === view));
    this.ask();
  }

  setModules(how) {
    this.modules = how;
    this.ask();
  }

  setInGround(on) {
    this.inGround = on;
    this.camera.lowest = on ? -1.2 : -0.09;
    if (this.view) this.look(this.view);
    this.ask();
  }

  resize(quiet = false) {
    const [w, h] = [Math.max(this.stage.clientWidth, 1), Math.max(this.stage.clientHeight, 1)];
    const ratio = Math.min(window.devicePixelRatio || 1, 2);
    if (w === this.camera.width && h === this.camera.height && ratio === this.ratio) return;
    [this.camera.width, this.camera.height, this.ratio] = [w, h, ratio];
    this.canvas.width = Math.round(w * ratio);
    this.canvas.height = Math.round(h * ratio);
    if (!quiet && this.view) this.look(this.view);
    this.ask();
  }

  draw() {
    if (!this.scene) return;
    const began = performance.now();
    const chosen = chosenParts(this.store);
    this.resize(true);
    if (this.painter) this.paint(chosen);
    if (this.gl) this.labels.draw(this.mesh.items, this.camera, chosen, this.hovered, this.scene.row_bearing, this.inGround);
    this.draws += 1;
    this.took.draw = performance.now() - began;
    this.root.dataset.drawn = String(this.store.state?.revision ?? "");
  }

  paint(chosen) {
    const p = this.painter;
    const every = this.store.state?.units === "metric" ? 2 : 3.048;
    p.begin(this.camera.matrix(), this.canvas.width, this.canvas.height, this.ratio);
    for (const layer of ["bar", "pier"]) p.layer(layer);
    if (this.around) p.layer("line");
    if (this.around && !this.camera.parallel) p.layer("site");
    if (this.modules === "solid") p.layer("module");
    if (this.inGround) p.layer("buried");
    p.soil(this.inGround ? 0.3 : 1, every);
    if (this.around && this.camera.parallel) p.layer("site", 0.16);
    if (this.modules === "see-through") p.layer("module", 0.22);
    this.rim(this.hovered, 2);
    for (const id of chosen.slice(0, MOST_RIMS)) this.rim(id, 3.5);
  }

  rim(id, thick) {
    const index = this.byId?.get(id);
    if (index === undefined || (this.mesh.items[index].kind === "module" && this.modules === "hidden")) return;
    for (const b of this.mesh.batches) {
      const copies = [];
      for (let i = 0; i < b.count; i++) if (b.numbers[i * 16 + 14] === index) copies.push(i);
      for (const copy of copies.slice(0, 4)) this.painter.rim(`${b.layer} ${b.shape}`, copy, thick);
    }
  }

  pick(x, y, reach) {
    return pickAt(this.mesh, this.camera, x, y, reach, { modules: this.modules, inGround: this.inGround, around: this.around && !this.camera.parallel });
  }

  click(x, y, reach) {
    const found = this.pick(x, y, reach);
    if (found) this.store.select(found.id);
    else if (this.store.selected) this.store.select("");
  }

  hover(id) {
    if (id === this.hovered) return;
    this.hovered = id;
    const index = this.byId?.get(id);
    this.canvas.title = index === undefined ? "" : wordsOf(this.mesh.items[index], true);
    this.canvas.classList.toggle("over", Boolean(id));
    this.ask();
  }

  /** Px of a part's middle on the canvas; null where it is not drawn. */
  project(id) {
    const index = this.byId?.get(id);
    if (index === undefined) return null;
    const { start, end } = this.mesh.items[index];
    return this.camera.project(start.map((c, k) => (c + end[k]) / 2));
  }

  destroy() {
    for (const off of this.off) off?.();
    this.gl?.getExtension("WEBGL_lose_context")?.loseContext();
    this.root.replaceChildren();
    if (latest === this) latest = null;
  }
}
