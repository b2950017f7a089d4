// Helpers of the drawings beside those of dom.js.

export { el as html, svg } from "./dom.js";

/** Sets attributes, only those that differ; null takes one away. @param {Element} node */
export function set(node, attrs) {
  for (const [key, value] of Object.entries(attrs)) {
    if (value === null || value === undefined || value === false) node.removeAttribute(key);
    else if (node.getAttribute(key) !== String(value)) node.setAttribute(key, String(value));
  }
  return node;
}

/** Calls `draw` once in the next frame, however often it is asked for. */
export function onceAFrame(draw) {
  let asked = 0;
  return () => {
    asked ||= requestAnimationFrame(() => {
      asked = 0;
      draw();
    });
  };
}

/** Watches the size of an element; returns the function that stops it. */
export function onSize(node, changed) {
  const watcher = new ResizeObserver(changed);
  watcher.observe(node);
  return () => watcher.disconnect();
}

/** Calls `changed` when the state or the choice changed, not for what else a store tells. */
export const follow = (store, changed) => store.on((what) => (!what || what === "state" || what === "select") && changed());

/**
 * Bars, panels and things of a state; nothing while the plan cannot be worked out.
 * @param {any} store
 */
export const sceneOf = (store) => store.state?.scene ?? null;

/** Ids of the parts that are chosen: a part itself, or all parts that a chosen check is about. */
export function chosenParts(store) {
  const id = store.selected;
  if (!id) return [];
  const check = store.state?.checks?.find((c) => c.id === id);
  return check ? check.parts : [id];
}

/**
 * Sends changes; resolves to what is wrong with them, empty when they were taken.
 * @param {any} store @param {any[]} changes
 */
export async function send(store, changes) {
  try {
    const answer = await store.edit(changes);
    if (answer !== false && !answer?.error) return "";
    for (const { path } of changes)
      for (const [where, why] of store.problems ?? []) if (where.startsWith(path)) return why;
    return answer?.error ?? "the change was not taken; try again";
  } catch (error) {
    return error?.message || "the change was not taken; try again";
  }
}
