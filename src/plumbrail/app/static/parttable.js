// The same parts as a table: for the keyboard, for screen readers, and where there is no 3D.

import { MARKS, ORDER, ratioWords } from "./colours.js";
import { shape } from "./legend.js";
import { chosenParts, html } from "./make.js";

/**
 * A table that is filled only while it is open.
 * @param {any} store @param {(id: string) => void} hover
 */
export function partTable(store, hover) {
  const body = html("tbody");
  const table = html("table", { class: "part-table" },
    html("caption", {}, "Every part with the worst of its checks, the nearest to its limit first"),
    html("thead", {}, html("tr", {}, ...["Part", "Ratio", "Mark"].map((w) => html("th", { scope: "col" }, w)))), body);
  const wrap = html("div", { class: "part-table-wrap", tabindex: 0, role: "region", "aria-label": "Parts and their ratios" }, table);
  const root = html("details", { class: "parts", ontoggle: () => update() },
    html("summary", {}, "Parts and their ratios as a table"), wrap);
  let drawn = null;

  function update() {
    const scene = store.state?.scene;
    if (!root.open || !scene) return;
    if (drawn !== scene.bars) {
      drawn = scene.bars;
      const held = document.activeElement?.closest?.("[data-part]")?.getAttribute("data-part");
      body.replaceChildren(...sorted(scene.bars).map(row));
      if (held) body.querySelector(`[data-part="${CSS.escape(held)}"]`)?.focus();
    }
    const parts = new Set(chosenParts(store));
    for (const b of body.querySelectorAll("button")) {
      const chosen = parts.has(b.dataset.part);
      b.setAttribute("aria-pressed", String(chosen));
      b.closest("tr").classList.toggle("chosen", chosen);
    }
  }

  function row(bar) {
    const name = html("button", { type: "button", "data-part": bar.id, onclick: () => store.select(bar.id),
      onfocus: () => hover(bar.id), onblur: () => hover("") }, bar.words);
    return html("tr", {}, html("th", { scope: "row" }, name), html("td", { class: "number" }, ratioWords(bar.ratio, bar.mark) || "–"),
      html("td", {}, shape(bar.mark), " ", MARKS[bar.mark].words));
  }
  return { root, update };
}

function sorted(bars) {
  const rank = (b) => ORDER.indexOf(b.mark);
  return [...bars].sort((a, b) => rank(a) - rank(b) || (b.ratio ?? -1) - (a.ratio ?? -1));
}
