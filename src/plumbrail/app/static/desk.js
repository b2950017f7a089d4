// The desk: picks the job, shows the strip, and one page at a time.
import * as jobsbar from "./deskjobs.js";
import { announce, el, replace } from "./dom.js";
import { get } from "./net.js";
import { openStore } from "./store.js";
import * as strip from "./strip.js";
import * as explain from "./explain.js";

/** Pages in the order of the work; each is loaded when first opened. */
const PAGES = {
  plan: ["Plan", () => import("./planpage.js")],
  checks: ["Checks", () => import("./checks.js")],
  cut: ["Cut and buy", () => import("./cutlist.js")],
  sun: ["Sun", () => import("./charts.js")],
  wires: ["Wires", () => import("./wires.js")],
  trench: ["Trench", () => import("./trench.js")],
  works: ["Works", () => import("./works.js")],
  truing: ["True up", () => import("./truing.js")],
  proving: ["Proving", () => import("./proving.js")],
  papers: ["Papers", () => import("./downloads.js")],
  revisions: ["Revisions", () => import("./revisions.js")],
  phones: ["Phones", () => import("./phones.js")],
};
const PARTS = { cut: "cut", yield: "sun", wire: "wires" };

const main = document.getElementById("main");
const mounted = new Map();
let store = null;
let story = null;

start().catch((error) => {
  replace(main, el("p.error", {}, error.message), el("button", { type: "button", onclick: () => location.reload() }, "Try again"));
});

async function start() {
  const jobs = await get("/api/jobs");
  const wanted = new URLSearchParams(location.search).get("job");
  const job = jobs.find((j) => j.id === wanted) ?? jobs[0];
  if (!job) throw new Error("There is no job yet. Start plumbrail with a plan: plumbrail app PLAN");
  store = await openStore(job.id);
  story = explain.mount(document.body, store);
  strip.mount(document.getElementById("strip"), store, open);
  jobsbar.bar(document.getElementById("job-bar"), store, jobs);
  nav();
  store.on((what) => {
    if (what === "state") title();
    if (what === "busy") document.body.classList.toggle("busy", store.busy);
    if (what === "line") line();
  });
  title();
  line();
  addEventListener("hashchange", show);
  addEventListener("keydown", keys);
  await show();
  document.body.dataset.ready = "yes";
}

/** Says for as long as it lasts that the server does not answer. */
function line() {
  const node = document.getElementById("line");
  const was = !node.hidden;
  node.textContent = store.up !== false ? "" : "plumbrail does not answer: what you see may be old, and nothing you change is kept. It goes on by itself once plumbrail runs again.";
  node.hidden = store.up !== false;
  if (store.up && was) announce("The line to plumbrail is up again.");
}

function title() {
  const state = store.state;
  document.title = `${state.name} – plumbrail`;
  for (const [id, can] of [["undo", state.can_undo], ["redo", state.can_redo]]) document.getElementById(id).disabled = !can;
  const trouble = document.getElementById("trouble");
  trouble.hidden = !state.problems;
  const first = (state.problems ?? []).slice(0, 4);
  replace(trouble, state.problems ? "This plan cannot be worked out: " : "", first.map((p, i) => [i ? "; " : "",
    p.path ? el("button.link", { type: "button", onclick: () => open(`field:${p.path}`) }, p.message) : p.message]),
  (state.problems?.length ?? 0) > first.length ? `; and ${state.problems.length - first.length} more` : "");
}

function nav() {
  replace(document.getElementById("nav"), Object.entries(PAGES).map(([id, [words]]) => el("a", { href: `#${id}`, "data-page": id }, words)));
}

function keys(event) {
  const inField = event.target.matches?.("input, textarea, select");
  if (!(event.ctrlKey || event.metaKey) || inField) return;
  const key = event.key.toLowerCase();
  if (key !== "z" && key !== "y") return;
  event.preventDefault();
  store.step(key === "y" || event.shiftKey ? "redo" : "undo");
}

/** Shows the page that the address names. */
async function show() {
  const id = location.hash.slice(1) in PAGES ? location.hash.slice(1) : "plan";
  for (const link of document.querySelectorAll("#nav a")) {
    if (link.dataset.page === id) link.setAttribute("aria-current", "page");
    else link.removeAttribute("aria-current");
  }
  if (!mounted.has(id)) {
    const root = el("section.page", { id: `page-${id}`, "aria-label": PAGES[id][0] });
    main.append(root);
    mounted.set(id, root);
    const module = await PAGES[id][1]();
    await module.mount(root, store, open);
  }
  for (const [name, root] of mounted) root.hidden = name !== id;
  mounted.get(id).dispatchEvent(new CustomEvent("shown"));
}

/** Opens what a figure, member or link stands for. */
export function open(target) {
  const [kind, rest] = [target.split(":")[0], target.slice(target.indexOf(":") + 1)];
  if (kind === "check") {
    store.select(rest);
    story.show(rest);
  } else if (kind === "test") story.test(rest);
  else if (kind === "part") location.hash = `#${PARTS[rest] ?? rest}`;
  else if (kind === "unchecked") location.hash = "#checks";
  else if (kind === "field" || kind === "section") {
    store.goal = [kind, rest];
    if (location.hash.slice(1) in PAGES && location.hash !== "#plan") location.hash = "#plan";
    else show();
  }
}
