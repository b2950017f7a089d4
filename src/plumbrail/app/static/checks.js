// All checks: failed first, then not checked, then by how near they come; each opens its explanation.
import { MARKS, el, ratio, replace } from "./dom.js";

const ORDER = { fail: 0, "not checked": 1, pass: 2 };
const SHOWN = 40;

export function mount(root, store, open) {
  let wanted = "";
  let only = "all";
  let every = false;
  const search = el("input", { type: "search", id: "find-check", placeholder: "post, F3, uplift …" });
  search.addEventListener("input", () => {
    wanted = search.value.trim().toLowerCase();
    draw();
  });
  const pick = el("select", { id: "which-checks" }, [["all", "all"], ["fail", "failed"], ["not checked", "not checked"],
    ["worst", "worst of each kind"]].map(([v, t]) => el("option", { value: v }, t)));
  pick.addEventListener("change", () => {
    only = pick.value;
    draw();
  });
  const list = el("div");
  const open_ = el("div.not-covered");
  replace(root, el("h2", {}, "Checks"),
    el("div.row", {}, el("label", { for: "which-checks" }, "Show"), pick,
      el("label", { for: "find-check" }, "Find"), search), list, open_);

  const more = el("button", { type: "button", onclick: () => {
    every = true;
    draw();
  } });

  function draw() {
    const state = store.state;
    if (!state?.checks) return;
    const found = chosen(state.checks, only, wanted);
    const shown = every ? found : found.slice(0, SHOWN);
    more.hidden = shown.length === found.length;
    more.textContent = `Show all ${found.length}`;
    replace(list, el("p.soft", {}, `${found.length} of ${state.checks.length}`), table(shown, store, open), more);
    replace(open_, el("h3", {}, "Not judged at all"), el("ul", {}, state.not_covered.map((t) => el("li", {}, t))),
      el("h3", {}, "Notes"), el("ul", {}, state.notes.map((t) => el("li", {}, t))));
  }
  store.on((what) => {
    if (what === "state") draw();
    if (what === "select") mark(list, store.selected);
  });
  draw();
}

function chosen(checks, only, wanted) {
  let found = [...checks].sort((a, b) => ORDER[a.status] - ORDER[b.status] || (b.ratio ?? 0) - (a.ratio ?? 0));
  if (only === "worst") {
    const seen = new Set();
    found = found.filter((c) => !seen.has(c.family + c.title) && seen.add(c.family + c.title));
  } else if (only !== "all") found = found.filter((c) => c.status === only);
  return found.filter((c) => !wanted || `${c.id} ${c.subject} ${c.title} ${c.note}`.toLowerCase().includes(wanted));
}

function table(checks, store, open) {
  const rows = checks.map((c) => el("tr", { "data-check": c.id, "data-parts": c.parts.join(" ") },
    el("td", { class: `mark-${c.status.replace(" ", "-")}` }, el("span", { "aria-hidden": "true" }, `${MARKS[c.status]} `), c.status),
    el("td", {}, el("button.link", { type: "button", onclick: () => open(`check:${c.id}`) }, `${c.subject}: ${c.title}`),
      c.status === "pass" ? null : el("div.soft", {}, c.note, c.remedy ? el("div", {}, c.remedy) : null)),
    el("td.number", {}, ratio(c.ratio)),
    el("td.bar-cell", {}, bar(c.ratio))));
  return el("div.scroll", {}, el("table", {}, el("thead", {}, el("tr", {}, ["Outcome", "What", "Of the limit", ""].map((t) => el(t ? "th" : "td", {}, t)))),
    el("tbody", {}, rows)));
}

/** How much of the limit is used, to 1.2. */
function bar(value) {
  if (value === null) return null;
  const full = el("span.used", { style: { width: `${(Math.min(value, 1.2) / 1.2) * 100}%` } });
  return el("span.use", { "aria-hidden": "true" }, full, el("span.limit"));
}

function mark(list, id) {
  for (const row of list.querySelectorAll("tr[data-check]")) {
    const on = row.dataset.check === id || row.dataset.parts.split(" ").includes(id);
    row.classList.toggle("selected", on);
  }
}
