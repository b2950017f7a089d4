// The site plan to scale: what stands, lies and runs about the array, to drag where it belongs.

import { Drag } from "./drag.js";
import { lengthWords, placeWords } from "./lengthwords.js";
import { follow, html, onceAFrame, onSize, sceneOf, send, set, svg } from "./make.js";
import { Paper } from "./paper.js";
import { arrayChanges, arrayOutline, cornerAfter, cornerStep, handlesOf, movedThing, nearest, round } from "./plangeometry.js";
import { planLabels } from "./planlabels.js";
import { planList } from "./planlist.js";
import { Furniture, LAYERS, OwnMark, PlanMark, kindWords, planPatterns } from "./planmarks.js";

const OWN = "array";
const ROOM_FOR_LIST = 820;
const HINT = "Drag what stands on the site, or choose it and press the arrow keys (with Shift ten times as far). Escape takes a move back.";

/** @param {HTMLElement} root @param {any} store */
export const mount = (root, store) => new SitePlan(root, store);

class SitePlan {
  constructor(root, store) {
    Object.assign(this, { root, store });
    this.paper = new Paper();
    /** @type {Map<string, PlanMark>} */
    this.marks = new Map();
    /** Moves told but not yet answered: the thing as moved, by its id. */
    this.told = new Map();
    this.ownBy = [0, 0];
    this.fitted = "";
    this.took = { draw: 0 };
    this.ask = onceAFrame(() => this.draw());
    this.build();
    this.drag = new Drag(this.picture, this.paper, {
      mayMove: (id, handle) => this.mayMove(id, handle), choose: (id) => this.choose(id), shown: () => this.ask(),
      ended: (move) => this.ended(move), panned: () => { this.fitted = "by hand"; this.ask(); },
      step: (id, way) => this.stepOf(id, way), units: () => store.state.units, home: () => this.fit("near"),
    });
    this.off = [follow(store, () => this.ask()), onSize(this.stage, () => this.resize())];
    this.resize();
  }

  build() {
    this.picture = svg("svg", { class: "plan-picture", role: "group", "aria-label": "Site plan", tabindex: 0, "aria-describedby": "plan-hint" });
    this.layers = new Map(LAYERS.map((name) => [name, svg("g", { class: `layer-${name}` })]));
    this.ghost = svg("g", { class: "ghosts" });
    this.labels = svg("g", { class: "labels", "aria-hidden": "true" });
    this.handles = svg("g", { class: "handles" });
    this.furniture = new Furniture();
    this.own = new OwnMark();
    this.layers.get("own").append(this.own.node);
    this.picture.append(planPatterns(), this.ghost, ...this.layers.values(), this.labels, this.handles, this.furniture.node);
    this.stage = html("div", { class: "plan-stage" }, this.picture);
    this.status = html("p", { class: "plan-status", role: "status" });
    this.fault = html("p", { class: "fault", role: "alert", hidden: true });
    this.list = planList(this.store);
    const button = (words, label, press) => html("button", { type: "button", "aria-label": label, onclick: press }, words);
    const zoom = (by) => () => { this.paper.zoom(by); this.fitted = "by hand"; this.ask(); };
    const bar = html("div", { class: "view-bar", role: "group", "aria-label": "Show on the plan" }, button("+", "Nearer", zoom(1.3)), button("−", "Further", zoom(1 / 1.3)),
      button("Array", "Show the array", () => this.fit("array")), button("Around it", "Show what stands around the array", () => this.fit("near")),
      button("Whole site", "Show the whole site", () => this.fit("site")));
    this.root.classList.add("siteplan");
    const main = html("div", { class: "plan-main" }, bar, this.stage, this.status, this.fault, html("p", { id: "plan-hint", class: "keys" }, HINT));
    this.root.replaceChildren(html("div", { class: "plan-grid" }, main, this.list.root));
  }

  get scene() {
    return sceneOf(this.store);
  }

  /** Things as they are shown: as the server has them, but for what is on its way to it. */
  things() {
    return this.scene.things.map((t) => this.told.get(t.id) ?? t);
  }

  thing(id) {
    return this.things().find((t) => t.id === id) ?? null;
  }

  mayMove(id, handle) {
    if (!this.scene) return false;
    if (id === OWN) return this.store.selected === OWN && arrayChanges(this.store.state, [1, 1]).length > 0;
    const t = this.thing(id);
    if (!t?.path) return false;
    return handle >= 0 || handlesOf(t).length === 1 || this.store.selected === id;
  }

  /** How far an arrow key carries a thing where it is not the usual step: a box goes corner to corner. */
  stepOf(id, way) {
    return this.thing(id)?.kind === "combiner" ? cornerStep(this.store.state, arrayOutline(this.scene), way) : null;
  }

  choose(id) {
    if ((this.store.selected ?? "") !== id) this.store.select(id);
    this.ask();
  }

  resize() {
    const { clientWidth: wide, clientHeight: high } = this.stage;
    [this.paper.width, this.paper.height] = [Math.max(wide, 1), Math.max(high, 1)];
    if (this.fitted !== "by hand") this.fitted = "";
    if (!this.sized && wide > 1) {
      this.sized = true;
      this.list.root.open = this.root.getBoundingClientRect().width >= ROOM_FOR_LIST;
    }
    this.ask();
  }

  /** @param {"site"|"near"|"array"} what */
  fit(what) {
    const outline = arrayOutline(this.scene) ?? [];
    const round = (t) => (t.radius && t.kind === "tree" ? [-1, 1].flatMap((s) => t.places.map((p) => [p[0] + s * t.radius, p[1] + s * t.radius])) : t.places);
    const holes = this.scene.things.filter((t) => t.kind === "hole").flatMap((t) => t.places);
    const far = what === "site" ? ["service"] : ["service", "boundary", "easement", "region", "setback"];
    const rest = what === "array" ? [] : this.things().filter((t) => !far.includes(t.kind)).flatMap(round);
    this.paper.fit([...outline, ...holes, ...rest], Math.min(56, this.paper.width * 0.1));
    this.fitted = what;
    this.ask();
  }

  draw() {
    if (!this.scene) return;
    const began = performance.now();
    if (!this.fitted) this.fit("near");
    const { move } = this.drag;
    const things = this.things().map((t) => (move?.id === t.id ? movedThing(t, move.handle, move.by) : t));
    const ownBy = move?.id === OWN ? [this.ownBy[0] + move.by[0], this.ownBy[1] + move.by[1]] : this.ownBy;
    const carried = things.map((t) => (["hole", "pin", "combiner"].includes(t.kind) && (ownBy[0] || ownBy[1]) ? movedThing(t, -1, ownBy) : t));
    this.keep(carried);
    for (const t of carried) this.marks.get(t.id).place(t, this.paper);
    const outline = arrayOutline(this.scene);
    if (outline) this.own.place(this.scene, outline, ownBy, this.paper);
    this.dress(this.own.node, OWN, `The array, ${this.scene.panels.length} modules`, this.store.selected === OWN);
    this.drawGhost(move);
    this.drawHandles(carried);
    const units = this.store.state.units;
    const taken = this.furniture.place(this.paper, units, this.scene.row_bearing);
    const at = outline && outline.map((p) => [p[0] + ownBy[0], p[1] + ownBy[1]]);
    const dragged = move && (move.id === OWN ? this.nearestThing(carried, at) : carried.find((t) => t.id === move.id));
    this.labels.replaceChildren(...planLabels(carried, this.paper, { chosen: this.store.selected ?? "", outline: at, taken, dragged: dragged?.kind === "combiner" ? null : dragged, units,
      lengths: this.scene.lengths.filter((l) => l.view === "plan"), by: ownBy }));
    this.tellMove(move, dragged, at);
    if (!move) this.list.update(things, outline);
    this.took.draw = performance.now() - began;
    this.root.dataset.drawn = String(this.store.state.revision);
  }

  /** Makes marks for new things and takes away those of things that are gone. */
  keep(things) {
    const here = new Set(things.map((t) => t.id));
    for (const [id, mark] of this.marks)
      if (!here.has(id)) (mark.node.remove(), this.marks.delete(id));
    for (const t of things) {
      let mark = this.marks.get(t.id);
      if (mark && (mark.kind !== t.kind || mark.shape !== t.shape)) (mark.node.remove(), (mark = undefined));
      if (!mark) {
        mark = new PlanMark(t);
        this.marks.set(t.id, mark);
        this.layers.get(t.kind).append(mark.node);
      }
      const where = t.path || t.kind !== "hole" ? `, ${placeWords(handlesOf(t)[0], this.store.state.units)}` : "";
      this.dress(mark.node, t.id, `${t.name || t.id}, ${kindWords(t)}${where}${t.path ? "" : ", cannot be moved"}`, this.store.selected === t.id, t.path);
    }
  }

  dress(node, id, label, chosen, path = "own") {
    set(node, { tabindex: path ? 0 : null, role: path ? "button" : "img", "aria-label": label, "aria-pressed": path ? String(chosen) : null });
    node.classList.toggle("chosen", chosen);
    node.classList.toggle("movable", Boolean(path) && (path !== "own" || chosen));
    node.classList.toggle("moving", this.drag.move?.id === id);
  }

  /** Where the moved thing was, pale, until the move ends. */
  drawGhost(move) {
    if (!move) return this.ghost.replaceChildren();
    if (this.ghost.firstChild && this.ghost.dataset.of === move.id) return;
    const mark = move.id === OWN ? new OwnMark() : new PlanMark(this.thing(move.id));
    if (mark instanceof OwnMark) mark.place(this.scene, arrayOutline(this.scene), this.ownBy, this.paper);
    else mark.place(this.thing(move.id), this.paper);
    set(mark.node, { "data-id": null, "aria-hidden": "true" });
    this.ghost.dataset.of = move.id;
    this.ghost.replaceChildren(mark.node);
  }

  /** Corner handles of the chosen thing; kept while they are the same, so that the focus stays. */
  drawHandles(things) {
    const t = things.find((u) => u.id === this.store.selected && u.path && handlesOf(u).length > 1);
    const points = t ? handlesOf(t) : [];
    if (this.handles.dataset.of !== t?.id || this.handles.children.length !== points.length) {
      this.handles.dataset.of = t?.id ?? "";
      this.handles.replaceChildren(...points.map((_, i) => svg("g", { class: "handle", tabindex: 0, role: "button", "data-of": t.id, "data-handle": i },
        svg("circle", { class: "touch", r: 20 }), svg("rect", { x: -6, y: -6, width: 12, height: 12 }))));
    }
    points.forEach((p, i) => {
      const at = this.paper.px(p);
      set(this.handles.children[i], { transform: `translate(${at.x.toFixed(1)} ${at.y.toFixed(1)})`,
        "aria-label": `Point ${i + 1} of ${t.name || t.id}, ${placeWords(p, this.store.state.units)}` });
    });
  }

  nearestThing(things, outline) {
    const solid = things.filter((t) => ["box", "tree", "array", "boundary", "easement", "service"].includes(t.kind));
    return solid.reduce((best, t) => (!best || nearest(outline, t).far < nearest(outline, best).far ? t : best), null);
  }

  tellMove(move, dragged, outline) {
    if (!move) {
      if (this.status.textContent) this.status.textContent = "";
      return;
    }
    const units = this.store.state.units;
    if (dragged?.kind === "combiner") {
      const corner = cornerAfter(this.store.state, arrayOutline(this.scene), move.by);
      this.status.textContent = `${dragged.name} hangs at the ${corner} of its part of the array.`;
      return;
    }
    const far = dragged && outline ? `, ${lengthWords(nearest(outline, dragged).far, units)} ${move.id === OWN ? `to ${dragged.name}` : "to the array"}` : "";
    const by = `${lengthWords(move.by[0], units)} right, ${lengthWords(move.by[1], units)} back`;
    const at = dragged && move.id !== OWN ? placeWords(handlesOf(dragged)[Math.max(move.handle, 0)], units) : `moved ${by}`;
    this.status.textContent = `${at}${far}`;
  }

  /** Tells the store once what was moved, and shows it there until the answer is in. */
  async ended(move) {
    this.fault.hidden = true;
    const own = move.id === OWN;
    const thing = own ? null : movedThing(this.thing(move.id), move.handle, move.by);
    const changes = own ? arrayChanges(this.store.state, move.by) : this.changesOf(thing, move.by);
    if (!changes.length) return this.ask();
    if (own) this.ownBy = move.by;
    else this.told.set(move.id, thing);
    const why = await send(this.store, changes);
    this.fault.textContent = why && `${thing?.name ?? "The array"} stays where it was: ${why}`;
    this.fault.hidden = !why;
    if (own && !why) this.paper.middle = [this.paper.middle[0] - move.by[0], this.paper.middle[1] - move.by[1]];
    if (own) this.ownBy = [0, 0];
    else if (this.told.get(move.id) === thing) this.told.delete(move.id);
    this.ask();
  }

  /** What a moved thing writes into the plan; nothing where it stays at its corner. */
  changesOf(thing, by) {
    if (thing.kind !== "combiner") return [{ path: thing.path, places: handlesOf(thing).map((p) => p.map(round)) }];
    const corner = cornerAfter(this.store.state, arrayOutline(this.scene), by);
    return corner === this.store.state.values.wiring.combiners.corner ? [] : [{ path: thing.path, value: corner }];
  }

  /** Px of a thing, or of a point of it, on the picture; for tests. */
  project(id, handle = 0) {
    const t = this.thing(id);
    return t ? this.paper.px(handlesOf(t)[handle]) : null;
  }

  destroy() {
    this.drag.end();
    this.off.forEach((f) => f?.());
    this.root.replaceChildren();
  }
}
