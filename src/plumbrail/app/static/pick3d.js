// What is under a pointer: exactly by a ray, or a thin part that is near enough to it.

/**
 * @param {any} mesh @param {import("./camera.js").Camera} camera
 * @param {number} x @param {number} y px @param {number} reach how near counts, px
 * @param {{modules: string, inGround: boolean, around: boolean}} shown
 */
export function pickAt(mesh, camera, x, y, reach, shown) {
  const { from, along } = camera.ray(x, y);
  const hits = mesh.batches
    .filter((b) => !(b.layer === "module" && shown.modules === "hidden") && !(b.layer === "buried" && !shown.inGround) && !((b.layer === "site" || b.layer === "line") && !shown.around))
    .map((b) => ({ ...b.hit(from, along), layer: b.layer }))
    .filter((h) => h.item >= 0 && (shown.inGround || over(mesh.ground, from, along, h.t)))
    .sort((a, b) => a.t - b.t);
  const parts = hits.filter((h) => h.layer === "bar" || h.layer === "pier" || h.layer === "buried");
  const solid = hits.find((h) => h.layer !== "module" || shown.modules === "solid");
  if (solid && parts.includes(solid)) return mesh.items[solid.item];
  if (!solid || shown.modules !== "solid" || solid.layer !== "module") {
    const near = beside(mesh, camera, x, y, reach, shown);
    if (near) return near;
  }
  const found = solid ?? hits[0];
  const module = hits.find((h) => h.layer === "module");
  if (module && found && module.t < found.t) return mesh.items[module.item];
  return found ? mesh.items[found.item] : null;
}

/** A hit at or above the ground. */
function over(ground, from, along, t) {
  const [px, py, pz] = from.map((c, k) => c + along[k] * t);
  return !ground.rows || pz >= ground.height(px, py) - 0.05;
}

/** The part whose middle line passes nearest, within reach. */
function beside(mesh, camera, x, y, reach, shown) {
  let best = { far: reach, z: Infinity, item: null };
  for (const item of mesh.items) {
    if (item.kind === "module" || item.kind === "site" || (item.kind === "pier" && !shown.inGround)) continue;
    const [a, b] = [camera.project(item.start), camera.project(item.end)];
    if (!a || !b) continue;
    const far = distance(x, y, a, b);
    if (far < best.far) best = { far, z: a.z, item };
  }
  return best.item;
}

/** From a point to a straight piece, px. */
export function distance(x, y, a, b) {
  const [dx, dy] = [b.x - a.x, b.y - a.y];
  const long = dx * dx + dy * dy;
  const t = long ? Math.min(Math.max(((x - a.x) * dx + (y - a.y) * dy) / long, 0), 1) : 0;
  return Math.hypot(x - a.x - t * dx, y - a.y - t * dy);
}
