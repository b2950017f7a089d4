// Every state the plan was in: names, going back, and two of them side by side.
import { announce, el, replace } from "./dom.js";
import { get, oneByOne, post } from "./net.js";

export function mount(root, store) {
  const list = el("div");
  const difference = el("div", { "aria-live": "polite" });
  const name = el("input", { id: "revision-name", type: "text", maxlength: 60, size: 40, placeholder: "as drawn for the building department" });
  const keep = el("button", { type: "button", onclick: async () => {
    if (!name.value.trim()) return announce("Write a name first.", "error");
    await post(store.url("/names"), { revision: store.revision, name: name.value.trim() });
    name.value = "";
    await draw();
  } }, "Name this revision");
  replace(root, el("h2", {}, "Revisions"),
    el("p.soft", {}, "Nothing is ever thrown away: each change is kept, and any state can come back."),
    el("div.row", {}, el("label", { for: "revision-name" }, "Name"), name, keep), difference, list);

  let picked = [];

  const draw = oneByOne(async () => {
    const found = await get(store.url("/revisions"));
    const rows = found.map((r) => el("tr", {},
      el("td", {}, el("input", { type: "checkbox", "aria-label": `Compare revision ${r.revision}`, checked: picked.includes(r.revision),
        onchange: (e) => choose(r.revision, e.target.checked) })),
      el("td.number", {}, r.revision), el("td", {}, r.name ? el("strong", {}, r.name) : null, el("div", {}, r.words)),
      el("td", {}, when(r.at), el("div.soft", {}, r.by)),
      el("td", {}, r.revision === store.revision ? "now" : el("button.small", { type: "button",
        onclick: () => store.step("restore", r.revision) }, "Bring back"))));
    replace(list, el("p.soft", {}, found.length > 1 ? "Tick two to compare them." : "Nothing was changed yet: there is nothing to compare it with."), el("div.scroll", {}, el("table", {}, el("thead", {}, el("tr", {},
      ["Compare", "No.", "What", "When", ""].map((t) => el(t ? "th" : "td", {}, t)))), el("tbody", {}, rows))));
  });

  async function choose(revision, on) {
    picked = on ? [...picked, revision].slice(-2) : picked.filter((p) => p !== revision);
    for (const box of list.querySelectorAll("input[type=checkbox]")) {
      box.checked = picked.some((p) => box.getAttribute("aria-label") === `Compare revision ${p}`);
    }
    if (picked.length < 2) return replace(difference);
    const [a, b] = [...picked].sort((x, y) => x - y);
    replace(difference, el("p.soft", {}, "working …"));
    const asked = picked;
    const found = await get(`${store.url("/compare")}?a=${a}&b=${b}`, 60);
    if (asked !== picked) return;
    replace(difference, el("h3", {}, `From revision ${a} to ${b}`),
      moved("What was changed in the plan", found.fields, a, b), moved("Which numbers moved", found.numbers, a, b),
      moved("Which checks moved", found.checks, a, b), found.left_out.map((words) => el("p.soft", {}, words)));
  }

  const follow = () => { if (!root.hidden) draw(); };
  store.on((what) => { if (what === "state") follow(); });
  root.addEventListener("shown", follow);
  return draw();
}

function moved(title, rows, a, b) {
  if (!rows.length) return el("p", {}, `${title}: nothing.`);
  return el("div.scroll", {}, el("table", {}, el("caption", {}, title),
    el("thead", {}, el("tr", {}, ["", `Revision ${a}`, `Revision ${b}`, ""].map((t) => el(t ? "th" : "td", {}, t)))),
    el("tbody", {}, rows.map((m) => el("tr", {}, el("td", {}, m.what), el("td", {}, m.before), el("td", {}, m.after),
      el("td", {}, m.better === null ? "" : m.better ? "better" : "worse"))))));
}

export const when = (at) => new Date(at).toLocaleString([], { dateStyle: "medium", timeStyle: "short" });
