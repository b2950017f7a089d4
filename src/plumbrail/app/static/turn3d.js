// Turning, panning and zooming a camera by mouse, touch, wheel and keyboard; clicks and hovering.

const STILL = 5;

/**
 * Listens on a canvas.
 * @param {HTMLCanvasElement} canvas @param {import("./camera.js").Camera} camera
 * @param {{changed: () => void, click: (x: number, y: number, reach: number) => void,
 *   hover: (x: number, y: number) => void, leave: () => void, home: () => void}} tell
 */
export function listen(canvas, camera, tell) {
  /** @type {Map<number, {x: number, y: number}>} */
  const down = new Map();
  let moved = 0;
  let several = false;
  const at = (e) => {
    const box = canvas.getBoundingClientRect();
    return { x: e.clientX - box.left, y: e.clientY - box.top };
  };
  const middle = () => {
    const [a, b] = [...down.values()];
    return { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2, span: Math.hypot(a.x - b.x, a.y - b.y) };
  };

  canvas.addEventListener("pointerdown", (e) => {
    canvas.setPointerCapture(e.pointerId);
    down.set(e.pointerId, at(e));
    several = down.size > 1;
    if (!several) moved = 0;
  });
  canvas.addEventListener("pointermove", (e) => {
    const held = down.get(e.pointerId);
    const now = at(e);
    if (!held) return tell.hover(now.x, now.y);
    const [dx, dy] = [now.x - held.x, now.y - held.y];
    moved += Math.abs(dx) + Math.abs(dy);
    if (down.size === 2) {
      const before = middle();
      down.set(e.pointerId, now);
      const after = middle();
      camera.pan(after.x - before.x, after.y - before.y);
      camera.zoom(before.span / Math.max(after.span, 1), after.x, after.y);
    } else {
      down.set(e.pointerId, now);
      if (moved < STILL) return;
      if (e.shiftKey || e.buttons & 6) camera.pan(dx, dy);
      else camera.orbit(dx * 0.008, dy * 0.008);
    }
    tell.changed();
  });
  const up = (e) => {
    if (!down.delete(e.pointerId)) return;
    if (e.type === "pointerup" && moved < STILL && !several && e.button === 0) {
      const now = at(e);
      tell.click(now.x, now.y, e.pointerType === "touch" ? 16 : 7);
    }
    if (!down.size) several = false;
  };
  canvas.addEventListener("pointerup", up);
  canvas.addEventListener("pointercancel", up);
  canvas.addEventListener("pointerleave", tell.leave);
  canvas.addEventListener("contextmenu", (e) => e.preventDefault());
  canvas.addEventListener("wheel", (e) => {
    e.preventDefault();
    const now = at(e);
    const lines = e.deltaMode ? 16 : 1;
    camera.zoom(Math.exp(Math.min(Math.max(e.deltaY * lines, -240), 240) * 0.0016), now.x, now.y);
    tell.changed();
  }, { passive: false });
  canvas.addEventListener("keydown", (e) => {
    if (e.ctrlKey || e.metaKey || e.altKey) return;
    if (key(e, camera, tell)) {
      e.preventDefault();
      tell.changed();
    }
  });
}

/** True where the key meant something. */
function key(e, camera, tell) {
  const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[e.key];
  if (way && e.shiftKey) camera.pan(-way[0] * 30, -way[1] * 30);
  else if (way) camera.orbit(way[0] * 0.1, way[1] * 0.07);
  else if (e.key === "+" || e.key === "=") camera.zoom(1 / 1.2);
  else if (e.key === "-" || e.key === "_") camera.zoom(1.2);
  else if (e.key === "Home") tell.home();
  else return false;
  return true;
}
