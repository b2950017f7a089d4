// Lists to tick off. A tick goes the way of a reading: kept here first, then sent.
import { el, replace } from "./dom.js";
import { BEFORE, former, goneWords, wasTicked } from "./former.js";

export function mount(root, phone) {
  let chosen = "hold";
  const draw = () => {
    if (root.hidden) return;
    const focus = root.contains(document.activeElement) ? document.activeElement.id : "";
    const lists = phone.lists ?? [];
    const list = lists.find((l) => l.id === chosen) ?? lists[0];
    const gone = list?.id === "cut" ? lost(phone, list) : [];
    replace(root, el("h2", {}, "Tick off"),
      !list && el("p", { role: "status" }, phone.trouble || "Asking the laptop for the lists …"),
      list && el("div.chooser", { role: "group", "aria-label": "Lists" }, lists.map((l) =>
        el("button", { id: `list-${l.id}`, type: "button", "aria-pressed": String(l === list), onclick: () => { chosen = l.id; draw(); } },
          el("span", {}, l.title), el("span.count", {}, `${ticked(phone, l)} of ${items(l).length}`)))),
      list && el("p", {}, list.note),
      list?.id === "pour" && gate(phone),
      gone.length ? el("p.warn", {}, goneWords(gone)) : null,
      list?.groups.map((group, g) => el("fieldset", {}, el("legend", {}, group.title),
        group.items.map((item, i) => box(phone, list, item, `tick-${list.id}-${g}-${i}`, gone)))));
    if (focus) document.getElementById(focus)?.focus();
  };
  phone.on((what) => ["job", "lists", "ticks", "outbox", "truing", "trouble"].includes(what) && draw());
  return {
    show() {
      if (phone.job) phone.askLists();
      draw();
    },
  };
}

const items = (list) => list.groups.flatMap((group) => group.items);

const ticked = (phone, list) => items(list).filter((item) => phone.tickOf(list.id, item.item)?.done).length;

/** Pieces ticked on sticks that are cut otherwise now. */
const lost = (phone, list) => former([...phone.ticks.values()].map((t) => phone.tickOf(t.list, t.item)), list.id, items(list).map((i) => i.item));

/** What the readings say, over the list of what is poured. */
function gate(phone) {
  const waits = phone.waiting("readings").length || phone.stale();
  const known = waits ? "" : phone.truing?.gate?.ready;
  if (known === "ready to pour") return el("p.warn", {}, "✓ By the readings: ready to pour.");
  return el("p.warn", {}, el("strong", {}, `✕ Do not pour the rest. By the readings: ${known ?? (phone.truing?.empty ? "nothing is measured" : "not known; look at the result first")}.`.replace(": .", ": not known; look at the result first.")));
}

function box(phone, list, item, id, gone) {
  const tick = phone.tickOf(list.id, item.item);
  const input = el("input", { id, type: "checkbox", checked: Boolean(tick?.done), onchange: () => phone.tick(list.id, item.item, input.checked) });
  const who = tick?.done ? [time(tick.at), tick.device, tick.waits && "waits on this phone"].filter(Boolean).join(", ") : "";
  const before = !tick?.done && item.piece && wasTicked(gone, item.piece) && BEFORE;
  return el("label.tick", { for: id }, input,
    el("span", {}, el("span.what", {}, item.words), item.detail && el("span.detail", {}, item.detail), before && el("span.who", {}, before), who && el("span.who", {}, `✓ ${who}`)));
}

/** When it was ticked, by this phone's clock. */
function time(at) {
  const when = new Date(at);
  return Number.isNaN(when.getTime()) ? at : when.toLocaleString("en", { month: "short", day: "numeric", hour: "2-digit", minute: "2-digit", hour12: false });
}
