// Papers: the build book, drawings and the plain files, made on the server with progress shown.
import { el, replace } from "./dom.js";
import { get, oneByOne, post, remove } from "./net.js";

const WORDS = {
  book: ["Build book", "One PDF of every page and drawing, for the hole, the saw and the inspector."],
  drawings: ["Drawings", "The drawings as DXF for a CAD program, and as SVG."],
};

const RUNNING = ["waiting", "working"];
const FORMATS = { zip: "all of them in one archive", dxf: "for a CAD program", svg: "to look at or print", pdf: "to print" };

export function mount(root, store) {
  const paper = pick("paper", "Paper", ["letter", "tabloid", "a4", "a3"], ["Letter", "Tabloid", "A4", "A3"]);
  paper.input.value = store.state.units === "metric" ? "a4" : "letter";
  const language = pick("language", "Language of field pages", ["en", "es"], ["English", "Spanish"]);
  const readings = el("input", { type: "checkbox", id: "with-readings" });
  const wrong = el("p.error", { role: "alert", hidden: true });
  const list = el("div");
  const said = el("p.only-read", { role: "status" });
  /** @type {Map<string, {task: any, node: HTMLElement, update: (task: any) => void, ask: () => Promise<void>}>} */
  const made = new Map();
  const start = async (kind) => {
    say("");
    try {
      const task = await post(store.url("/tasks"), { kind, paper: paper.input.value, language: language.input.value, readings: readings.checked });
      keep(task);
      ask(task.id); // it may have got on, or ended, before its name was known here
    } catch (error) {
      say(`${WORDS[kind][0]}: ${reasons(error)}`);
    }
  };
  replace(root, el("h2", {}, "Papers"),
    el("div.row", {}, paper.node, language.node, el("label", { for: "with-readings" }, readings, " with what was measured on site: notebook and tests")),
    Object.entries(WORDS).map(([kind, [title, text]]) => el("div.paper", {}, el("h3", {}, title), el("p", {}, text),
      el("button.main", { type: "button", onclick: () => start(kind), "data-task": kind }, `Make the ${title.toLowerCase()}`))),
    wrong, list, said, el("h3", {}, "Plain files"),
    el("ul", {}, [["plan.toml", "The plan file, as it is written"], ["notebook.csv", "The site notebook"]].map(([file, words]) =>
      el("li", {}, el("a", { href: store.url(`/${file}`), download: file }, words)))));

  function say(words) {
    wrong.textContent = words;
    wrong.hidden = !words;
  }

  /** Shows a task as it is now; nodes are kept, so that the focus stays on Stop. */
  function keep(task) {
    if (!made.has(task.id)) {
      made.set(task.id, { ...taskLine(store.revision, () => stop(task.id)), ask: oneByOne(() => fetched(task.id)) });
      list.prepend(made.get(task.id).node);
    }
    const line = made.get(task.id);
    if (line.task?.state !== task.state) said.textContent = `${WORDS[task.kind][0]}: ${task.state}`;
    line.task = task;
    line.update(task);
  }

  const ask = (id) => made.get(id).ask();

  async function fetched(id) {
    try {
      keep(await get(`/api/tasks/${id}`));
    } catch (error) {
      if (error.status === 404) keep({ ...made.get(id).task, state: "failed", words: "plumbrail was started again meanwhile; make it once more", files: [] });
    }
  }

  async function stop(id) {
    await remove(`/api/tasks/${id}`).catch(() => {}); // what became of it is asked for in any case
    await ask(id);
  }

  store.on((what, event) => {
    if (what === "task" && made.has(event.task)) ask(event.task);
    // what was told while the line was down is asked for
    if (what === "line" && store.up) for (const [id, line] of made) if (RUNNING.includes(line.task.state)) ask(id);
  });
}

/** One task: how far it is with a way to stop it, then its files or why there are none. */
function taskLine(revision, stop) {
  const words = el("p");
  const bar = el("progress", { max: 1, "aria-label": "How far it is" });
  const button = el("button.small", { type: "button", onclick: stop }, "Stop");
  const going = el("div", {}, bar, button);
  const files = el("ul");
  const node = el("div.task", { tabindex: -1 }, words, going, files);
  let shown = "";
  return { task: null, node, update(task) {
    node.dataset.state = task.state;
    words.textContent = `${WORDS[task.kind][0]} of revision ${revision}: ${task.words || task.state}`;
    words.classList.toggle("error", task.state === "failed");
    bar.value = task.done;
    const running = RUNNING.includes(task.state);
    if (!running && going.contains(document.activeElement)) node.focus();
    going.hidden = !running;
    if (task.files.join() === shown) return;
    shown = task.files.join();
    replace(files, task.files.map((f) => el("li", {}, el("a", { href: `/api/tasks/${task.id}/files/${encodeURIComponent(f)}`, download: f }, f), el("span.soft", {}, ` ${FORMATS[f.split(".").pop()] ?? ""}`))));
  } };
}

const reasons = (error) => [error.message, ...(error.answer?.problems ?? []).slice(0, 4).map((p) => p.message)].join(". ");

function pick(id, words, values, texts) {
  const input = el("select", { id }, values.map((v, i) => el("option", { value: v }, texts[i])));
  return { input, node: el("label", { for: id }, `${words} `, input) };
}
