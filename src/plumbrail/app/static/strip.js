// The strip of figures that always shows.
import { MARKS, el, replace } from "./dom.js";

/** @param {(target: string) => void} open  told what a figure opens: check:ID, part:cut, … */
export function mount(root, store, open) {
  const draw = () => {
    const figures = store.state?.strip ?? [];
    root.classList.toggle("stale", store.busy || Boolean(store.state?.problems));
    replace(root, figures.map((f) => tile(f, open)));
  };
  store.on((what) => {
    if (what === "state") draw();
    if (what === "busy") root.classList.toggle("stale", store.busy);
  });
  draw();
}

function tile(figure, open) {
  const sign = MARKS[figure.mark] ?? "";
  const inside = [
    el("span.label", {}, figure.label),
    el("span.value", { class: `value mark-${figure.mark.replace(" ", "-")}` },
      sign ? el("span", { "aria-hidden": "true" }, `${sign} `) : null,
      figure.pending && !figure.value ? "working …" : figure.value),
    el("span.detail", {}, figure.detail),
  ];
  const props = { "data-figure": figure.id };
  if (!figure.opens) return el("div.figure", props, inside);
  return el("button.figure", { ...props, type: "button", onclick: () => open(figure.opens) }, inside);
}
