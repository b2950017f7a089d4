// Distances in plan, and what a drag does to the places of a thing. Lengths in metres.

/** @typedef {[number, number]} Spot */

/** Outline of the modules in plan, four corners; null without modules. @param {any} scene */
export function arrayOutline(scene) {
  if (!scene.panels.length) return null;
  const ways = [[-1, -1], [1, -1], [1, 1], [-1, 1]];
  const best = ways.map(() => ({ far: -Infinity, at: /** @type {Spot} */ ([0, 0]) }));
  for (const p of scene.panels)
    for (const [x, y] of p.corners)
      ways.forEach(([sx, sy], k) => {
        if (sx * x + sy * y > best[k].far) best[k] = { far: sx * x + sy * y, at: [x, y] };
      });
  return best.map((b) => b.at);
}

export const shifted = (places, by) => places.map((p) => /** @type {Spot} */ ([p[0] + by[0], p[1] + by[1]]));

/** Points of a thing that its field holds. */
export const handlesOf = (thing) => (thing.handles.length ? thing.handles : thing.places);

/**
 * A thing after a drag: of one point of it, or (handle -1) of the whole.
 * @param {any} thing @param {number} handle @param {Spot} by
 */
export function movedThing(thing, handle, by) {
  const handles = handlesOf(thing);
  if (handle < 0 || handles.length === 1)
    return { ...thing, places: shifted(thing.places, by), handles: shifted(handles, by) };
  const held = handles[handle];
  const to = /** @type {Spot} */ ([held[0] + by[0], held[1] + by[1]]);
  const same = thing.places.findIndex((p) => Math.hypot(p[0] - held[0], p[1] - held[1]) < 1e-6);
  const at = same < 0 ? handle : same;
  return { ...thing, places: thing.places.map((p, i) => (i === at ? to : p)),
    handles: handles.map((p, i) => (i === handle ? to : p)) };
}

function foot(p, [a, b]) {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const long = dx * dx + dy * dy;
  const t = long ? Math.min(Math.max(((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / long, 0), 1) : 0;
  return [a[0] + t * dx, a[1] + t * dy];
}

const sides = (places, closed) =>
  places.length === 1 ? [[places[0], places[0]]]
    : places.slice(closed ? 0 : 1).map((p, i) => [places[(i + (closed ? places.length - 1 : 0)) % places.length], p]);

/** True where a place lies inside an outline. */
export function inside(p, outline) {
  let odd = false;
  for (const [a, b] of sides(outline, true))
    if (a[1] > p[1] !== b[1] > p[1] && p[0] < ((b[0] - a[0]) * (p[1] - a[1])) / (b[1] - a[1]) + a[0]) odd = !odd;
  return odd;
}

function crossing([a, b], [c, d]) {
  const turn = (p, q, r) => (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);
  return turn(a, b, c) * turn(a, b, d) < 0 && turn(c, d, a) * turn(c, d, b) < 0;
}

/**
 * The level distance from an outline to a thing: of a tree to its crown, of a service to its line.
 * Inside a boundary the distance to its line counts; over anything else it is 0.
 * @param {Spot[]} outline @param {any} thing @returns {{from: Spot, to: Spot, far: number}}
 */
export function nearest(outline, thing) {
  const closed = thing.closed || ["box", "array"].includes(thing.kind);
  const holds = ["boundary", "setback"].includes(thing.kind);
  const theirs = sides(thing.places, closed && thing.places.length > 2);
  const ours = sides(outline, true);
  let best = { from: outline[0], to: thing.places[0], far: Infinity };
  const see = (from, to) => {
    const far = Math.hypot(from[0] - to[0], from[1] - to[1]);
    if (far < best.far) best = { from, to, far };
  };
  for (const s of theirs)
    for (const o of ours) {
      if (crossing(s, o)) best = { from: o[0], to: o[0], far: 0 };
      for (const p of s) see(foot(p, o), p);
      for (const p of o) see(p, foot(p, s));
    }
  const over = inside(thing.places[0], outline) || (closed && !holds && inside(outline[0], thing.places));
  if (over) return { from: thing.places[0], to: thing.places[0], far: 0 };
  if (!["tree"].includes(thing.kind) || !thing.radius) return best;
  const far = Math.max(best.far - thing.radius, 0);
  const t = best.far ? far / best.far : 0;
  return { from: best.from, to: [best.from[0] + t * (best.to[0] - best.from[0]), best.from[1] + t * (best.to[1] - best.from[1])], far };
}

/** What stays where it is on the land when the array is dragged; the rest belongs to the array. */
const ON_LAND = ["box", "tree", "array", "service", "boundary", "easement", "region", "equipment"];

/**
 * Changes that set the array elsewhere on the land: places count from its first hole, so that all
 * else moves the other way, survey points too.
 * @param {any} state @param {Spot} by
 */
export function arrayChanges(state, by) {
  const back = /** @type {Spot} */ ([-by[0], -by[1]]);
  const changes = state.scene.things
    .filter((t) => t.path && ON_LAND.includes(t.kind))
    .map((t) => ({ path: t.path, places: shifted(handlesOf(t), back) }));
  const ground = state.values?.site?.ground;
  const unit = { ft: 0.3048, in: 0.0254, m: 1 }[ground?.points_unit];
  if (ground?.points && unit)
    changes.push({ path: "site.ground.points",
      value: ground.points.map(([x, y, z]) => [round(x - by[0] / unit), round(y - by[1] / unit), z]) });
  return changes;
}

/** Width of the part of the array that a combiner box serves, and its depth. */
function partOf(state, outline) {
  const boxes = Math.max(state.values?.wiring?.combiners?.count ?? 1, 1);
  const span = (c) => Math.max(...outline.map((p) => p[c])) - Math.min(...outline.map((p) => p[c]));
  return [span(0) / boxes, span(1)];
}

/**
 * The corner that a combiner box hangs at after a drag: the other side once it went half way there.
 * @param {any} state @param {Spot[]} outline @param {Spot} by
 */
export function cornerAfter(state, outline, by) {
  const [row, side] = String(state.values?.wiring?.combiners?.corner ?? "front left").split(" ");
  const [wide, deep] = partOf(state, outline);
  const gone = (d, size, low, high, now) => (d > size / 2 ? high : d < -size / 2 ? low : now);
  return `${gone(by[1], deep, "front", "back", row)} ${gone(by[0], wide, "left", "right", side)}`;
}

/** How far one arrow key carries a combiner box: to the other corner on that side. */
export const cornerStep = (state, outline, way) => 0.8 * partOf(state, outline)[way[0] ? 0 : 1];

export const round = (n) => Math.round(n * 1e4) / 1e4;
