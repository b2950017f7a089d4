// Jobs: choose one, begin one from a plan file or the starter, take a plan into this one, save it.
import { announce, el, replace } from "./dom.js";
import { get, post, uid } from "./net.js";

/** The choice of job and its menu. @param {object[]} jobs of GET /api/jobs */
export function bar(root, store, jobs) {
  const { dialog, show } = menu(store);
  document.body.append(dialog);
  const pick = el("select", { id: "job", "aria-label": "Job" }, jobs.map((j) => el("option", { value: j.id, selected: j.id === store.job }, j.name)));
  pick.addEventListener("change", () => go(pick.value));
  store.on((what) => {
    const own = pick.querySelector(`option[value="${CSS.escape(store.job)}"]`);
    if (what === "state" && own && own.textContent !== store.state.name) own.textContent = store.state.name;
  });
  const step = (id, words, title) => el("button", { id, type: "button", title, onclick: () => store.step(id) }, words);
  replace(root, pick, el("button", { id: "jobs", type: "button", onclick: show }, "Job …"),
    step("undo", "Undo", "Undo (Ctrl+Z)"), step("redo", "Redo", "Redo (Ctrl+Shift+Z)"));
}

const go = (job) => (location.search = `?job=${encodeURIComponent(job)}`);

function menu(store) {
  const wrong = el("p.error", { role: "alert", hidden: true });
  const say = (words) => {
    wrong.textContent = words;
    wrong.hidden = !words;
  };
  const begin = async (body) => {
    say("");
    try {
      go((await post("/api/jobs", { uid: uid(), ...body }, 60)).job);
    } catch (error) {
      say(reasons(error));
    }
  };
  const from = el("select", { id: "begin-from" });
  /** Plans to begin with, as the server has them; asked for when the menu is first opened. */
  const fill = async () => {
    if (from.options.length) return;
    try {
      replace(from, (await get("/api/demos")).map((d) => el("option", { value: d.name }, d.words)));
    } catch (error) {
      say(error.message);
    }
  };
  const fresh = chooser("new-plan", "or from a plan file", async (text) => begin({ plan: text }));
  const into = chooser("take-plan", "Put a plan file in place of this plan", async (text, name) => {
    say("");
    try {
      store.take(await post(store.url("/plan"), { uid: uid(), revision: store.revision, plan: text }, 60));
      store.typed.clear();
      store.settle();
      announce(`${name} is the plan now. Undo brings back the one before.`);
      dialog.close();
    } catch (error) {
      say(reasons(error));
    }
  });
  const save = (file, words) => el("li", {}, el("a", { href: store.url(`/${file}`), download: "" }, words));
  const dialog = el("dialog.explain", { id: "job-menu", "aria-labelledby": "job-menu-title" },
    el("button.close", { type: "button", "aria-label": "Close", onclick: () => dialog.close() }, "✕"),
    el("h2", { id: "job-menu-title" }, "Job"), wrong,
    el("h3", {}, "Begin another job"),
    el("div.row", {}, el("label", { for: "begin-from" }, "from"), from, el("button", { type: "button", id: "begin", onclick: () => begin({ demo: from.value }) }, "Begin")), fresh,
    el("h3", {}, "This job"), into,
    el("ul", {}, save("plan.toml", "Save the plan as a file"), save("notebook.csv", "Save the site notebook as CSV")));
  const show = () => {
    say("");
    dialog.showModal();
    fill();
  };
  return { dialog, show };
}

/** A file input whose text goes to `told`. */
function chooser(id, words, told) {
  const input = el("input", { id, type: "file", accept: ".toml,text/plain,application/toml" });
  input.addEventListener("change", async () => {
    const file = input.files[0];
    if (file) await told(await file.text(), file.name);
    input.value = "";
  });
  return el("div.row", {}, el("label", { for: id }, words), input);
}

function reasons(error) {
  const found = error.answer?.problems ?? [];
  return found.length ? found.map((p) => `${p.path}: ${p.message}`).slice(0, 8).join("; ") : error.message;
}
