// Boxes that are ticked off on any screen of the job: what the server has, and what is on its way.
import { announce, el } from "./dom.js";
import { former } from "./former.js";
import { get, oneByOne, post, uid } from "./net.js";

/** Ticks of a job; `box` makes a check box that follows them. */
export function ticking(store) {
  const known = new Map();
  const sending = new Map(); // ticks the server has not said yes to: no answer of before goes over them
  const boxes = new Map();
  const listeners = new Set();
  const key = (list, item) => `${list}\n${item}`;

  const load = oneByOne(async () => {
    for (const tick of await get(store.url("/ticks"))) {
      const at = key(tick.list, tick.item);
      if (!sending.has(at)) known.set(at, tick);
    }
    refresh();
  });

  function refresh() {
    for (const [at, box] of boxes) {
      if (!box.isConnected) {
        boxes.delete(at);
        continue;
      }
      box.checked = Boolean(known.get(at)?.done);
      box.parentElement.classList.toggle("done", box.checked);
    }
    for (const listener of listeners) listener();
  }

  async function set(list, item, done) {
    const at = key(list, item);
    const before = known.get(at);
    const tick = { uid: uid(), list, item, done, at: new Date().toISOString() };
    known.set(at, tick);
    sending.set(at, tick);
    refresh();
    try {
      await post(store.url("/ticks"), { ticks: [tick] });
    } catch (error) {
      if (known.get(at) === tick) {
        if (before) known.set(at, before);
        else known.delete(at);
      }
      announce(`Not ticked: ${error.message}`, "error");
    } finally {
      if (sending.get(at) === tick) sending.delete(at);
      refresh();
    }
  }

  store.on((what) => {
    if (what === "ticks" || (what === "line" && store.up)) load().catch((error) => announce(error.message, "error"));
  });

  return {
    load, refresh, set,
    done: (list, item) => Boolean(known.get(key(list, item))?.done),
    toggle: (list, item) => set(list, item, !known.get(key(list, item))?.done),
    on: (listener) => listeners.add(listener),
    /** Ticked items of a list that are not in it any more. */
    former: (list, items) => former(known.values(), list, items),
    /** A box with its words, or with words for a screen reader only. */
    box(list, item, words, quiet = false) {
      const input = el("input", { type: "checkbox", "data-tick": item, "aria-label": quiet ? words : null });
      input.addEventListener("change", () => set(list, item, input.checked));
      boxes.set(key(list, item), input);
      return el("label.tick", {}, input, quiet ? null : el("span", {}, words));
    },
  };
}
