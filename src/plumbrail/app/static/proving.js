// Proving: what each string should read, a file of tests judged, and what is open before the hand-over.
import { announce, el, replace } from "./dom.js";
import { fold, follow, grid } from "./chartsload.js";
import { get, oneByOne, post } from "./net.js";
import { when } from "./revisions.js";

const SIGNS = { pass: ["✓", "pass"], fail: ["✕", "fail"], "too uncertain to say": ["△", "near"], "not measured": ["?", "not-checked"] };
const WORST = ["fail", "too uncertain to say", "not measured", "pass"];
const KELVIN = 273.15;
/** For judging, on a slow machine. */
const SECONDS = 180;

export function mount(root, store, open) {
  const verdicts = el("div.tests-said", { "aria-live": "polite" });
  const note = el("p.part-note", { role: "status", hidden: true });
  const head = el("div", { "aria-live": "polite" });
  const body = el("div.proving");
  const file = el("input", { type: "file", accept: ".csv,text/csv", id: "tests-file" });
  const entry = el("section.wire-part", {}, el("h3", {}, "Judge your tests"),
    el("p", {}, "Tests are entered in a CSV file: save the blank sheet below, fill its column “value”, and choose it here. It is kept with the job, and judged anew whenever the plan or the readings change; a newer file takes its place."),
    el("label", { for: "tests-file" }, "File of tests "), file, note, verdicts);
  replace(root, el("h2", {}, "Proving"), head, body);

  file.addEventListener("change", async () => {
    if (!file.files[0]) return;
    const { name } = file.files[0];
    say(`Judging ${name} …`);
    try {
      const found = await post(`${store.url("/tests")}?revision=${store.revision}`, { text: await file.files[0].text(), name: name.slice(0, 200) }, SECONDS);
      await Promise.all([last(), store.refresh()]);
      announce(status(found));
    } catch (error) {
      say(`Not judged: ${error.message}`, { wrong: true, old: false });
    }
    file.value = "";
  });

  /** What the file that is kept says, chosen here or on another screen. */
  const last = oneByOne(async () => {
    if (root.hidden) return;
    try {
      draw(await get(store.url("/tests"), SECONDS));
    } catch (error) {
      say(error.message, { wrong: true });
    }
  });

  /** What goes on; `old`: the verdicts shown are those of before. */
  function say(words, { wrong = false, old = Boolean(words) } = {}) {
    note.textContent = words;
    note.hidden = !words;
    note.classList.toggle("error", wrong);
    for (const part of [head, verdicts]) part.classList.toggle("stale", old);
  }

  function draw(found) {
    say("");
    replace(head, lead(found));
    replace(verdicts, found.judged ? result(found, store, (id) => open(`test:/tests/${encodeURIComponent(id)}?key=${encodeURIComponent(found.key)}`)) : null);
  }
  const late = () => {
    if (root.hidden) return;
    if (verdicts.hasChildNodes()) say("The plan or the readings were changed: judging again …");
    last();
  };
  store.on((what, event) => {
    if (what === "readings") late();
    if ((what === "part" && event.part === "tests") || (what === "line" && store.up)) last();
    if (what === "state" && event.revision !== seen) late();
    if (what === "state") seen = event.revision;
  });
  let seen = store.revision;
  root.addEventListener("shown", last);
  follow(root, body, store, (found) => {
    const heads = [el("p.lead", {}, el("strong", {}, `${found.wanted.length} tests`), ` before the hand-over of ${found.job}.`), warning(found)];
    replace(body, heads, entry, story(found, store, (id) => open(`test:/tests/${encodeURIComponent(id)}?revision=${store.revision}`)));
  }, { part: "proving", title: "The tests" });
}

/** What the built array is known to be, before anything else on the page. */
function lead(p) {
  if (p.empty) return el("p", { class: "lead verdict mark-not-checked" }, el("span", { "aria-hidden": "true" }, "? "), "Not tested: no file of tests was judged. The checks of the plan say nothing of what was built.");
  if (p.missing) return el("p", { class: "lead verdict mark-not-checked" }, el("span", { "aria-hidden": "true" }, "? "), `The file of tests ${p.name} is kept but cannot be judged: ${p.missing}`);
  const failed = [...new Set(p.judged.filter((j) => j.outcome === "fail").map((j) => j.subject))];
  const mark = failed.length ? "fail" : p.complete ? "pass" : "not-checked";
  const words = failed.length ? `Not to be handed over: ${failed.join(", ")} ${failed.length === 1 ? "fails" : "fail"}.` : status(p);
  return el("p", { class: `lead verdict mark-${mark}` }, el("span", { "aria-hidden": "true" }, { fail: "✕ ", pass: "✓ ", "not-checked": "? " }[mark]), words);
}

const part = (title, ...inside) => el("section.wire-part", {}, el("h3", {}, title), inside);
const list = (rows) => el("ul", {}, rows.map((r) => el("li", {}, r)));
const count = (n, words) => `${n} ${words}`;
const status = (p) => (p.complete ? "Hand-over: everything was measured and passes." : "Hand-over: not yet.");
const warning = (p) => el("div.warning", {}, el("p", {}, p.cautions[0]), fold("All cautions", list(p.cautions.slice(1))));

function story(p, store, explain) {
  const us = store.state.units === "us";
  const warmth = (K) => (us ? `${((K - KELVIN) * 1.8 + 32).toFixed(0)} °F` : `${(K - KELVIN).toFixed(0)} °C`);
  const table = (title, rows, digits) => grid(title, ["Cells at", ...p.lights.map((l) => `${l.toFixed(0)} W/m²`)], rows.map((r, i) => [warmth(p.warmths[i]), ...r.map((v) => v.toFixed(digits))]), p.lights.map((_, i) => i + 1));
  return [part("What each string should read", strings(p), how(p, explain), p.strings.map((s, i) => fold(`${s.id}: open-circuit voltage by light and warmth of the cells`, table(`Open-circuit voltage of ${s.id}, V`, s.open_voltage, 1))),
      fold("Short-circuit current of any string by light and warmth", table("Short-circuit current, A", p.short_current, 2)),
      el("p.soft", {}, `By the ${p.expected_by}. Verdicts correct every reading for the light and warmth written beside it.`)),
    part("Tests to make, in this order", save(p, store), el("ol", {}, p.steps.map((s) => el("li", {}, s))),
      fold(`All ${p.wanted.length} tests`, grid("Tests to make", ["Where", "Test", "What"], p.wanted.map((x) => [x.place, x.kind, x.words])))),
    part("Uncertainties counted with", fold("Each by itself", grid("Largest errors", ["What", "At most", "How sure"], p.uncertainties.map((u) => [u.words, u.unit === "K" ? `${u.size} K` : `${(100 * u.size).toFixed(1)} %`, u.certainty]), [1]))),
    part("After the hand-over", grid("Maintenance", ["What", "Every, months", "First after, months"], p.maintenance.map((d) => [d.words, d.months, d.first]), [1, 2])),
    el("p.soft", {}, p.caution)];
}

/** At the light and warmth of the tables nearest to the rated ones. */
function strings(p) {
  const near = (all, to) => all.reduce((best, v, i) => (Math.abs(v - to) < Math.abs(all[best] - to) ? i : best), 0);
  const [t, l] = [near(p.warmths, KELVIN + 25), near(p.lights, 1000)];
  const span = (f) => {
    const all = f.flat();
    return `${Math.min(...all).toFixed(1)} to ${Math.max(...all).toFixed(1)}`;
  };
  const at = `at ${p.lights[l].toFixed(0)} W/m² and cells at ${(p.warmths[t] - KELVIN).toFixed(0)} °C`;
  return grid(`Expected ${at}; the band is that of all light and warmth in the tables below`, ["String", "Box", "Input", "Modules", "Open-circuit, V", "Band, V", "Short-circuit, A", "Band, A", "Insulation"],
    p.strings.map((s) => [s.id, s.box, s.input, s.modules.length, s.open_voltage[t][l].toFixed(1), span(s.open_voltage), p.short_current[t][l].toFixed(2), span(p.short_current),
      `at ${p.insulation.test_voltage.toFixed(0)} V at least ${(p.insulation.least / 1e6).toFixed(1)} MΩ`]), [2, 3, 4, 5, 6, 7]);
}

/** The expected values step by step, at the light and warmth that a sheet is explained at. */
function how(p, explain) {
  const ids = new Set(p.judged.filter((j) => j.explained).map((j) => j.id));
  const link = (s, word) => (ids.has(`${s.id}.${word}`) ? el("button.link", { type: "button", "aria-label": `${word} of ${s.id}`, onclick: () => explain(`${s.id}.${word}`) }, word) : "");
  const words = ["voltage", "current", "insulation"];
  return fold("How these values come about, step by step", el("p.soft", {}, "At 800 W/m² and cells at 45 °C, as on a sunny day."),
    el("ul", {}, p.strings.map((s) => el("li", {}, `${s.id}: `, words.map((w, i) => [i ? ", " : "", link(s, w)])))));
}

function save(p, store) {
  const blank = URL.createObjectURL(new Blob([p.blank], { type: "text/csv" }));
  return el("p", {}, el("a", { href: blank, download: `${store.job}-tests.csv` }, "Save the blank sheet (.csv)"));
}

function result(p, store, explain) {
  const order = [...p.judged].sort((a, b) => WORST.indexOf(a.outcome) - WORST.indexOf(b.outcome));
  const title = (j) => (j.explained ? el("button.link", { type: "button", onclick: () => explain(j.id) }, `${j.subject}: ${j.title}`) : `${j.subject}: ${j.title}`);
  const twice = (j) => p.again.filter((a) => a.counts === j.line);
  const words = (j) => (twice(j).length ? el("div", {}, j.words, twice(j).map((a) => el("div", {}, el("strong", {}, "Tested more than once: "), `line ${a.line} no longer counts. ${a.words}.`))) : j.words);
  const row = (j) => [title(j), outcome(j.outcome), words(j), band(j), j.line ?? "", j.source];
  const head = ["Test", "Verdict", "Read and expected", "Passes", "Line", "Source"];
  const [open, done] = [order.filter((j) => ["fail", "too uncertain to say"].includes(j.outcome)), order.filter((j) => j.outcome === "pass")];
  return [el("section.gate", { "data-complete": String(p.complete), "aria-label": "Hand-over record" },
      el("p", { class: `verdict mark-${p.complete ? "pass" : "fail"}` }, el("span", { "aria-hidden": "true" }, p.complete ? "✓ " : "✕ "), status(p)),
      el("p", {}, [count(p.passed, "pass"), count(p.failed, "fail"), count(p.uncertain, "too uncertain to say"), count(p.not_measured, "not measured")].join(", "), `. ${p.name || "Tests"}${p.by ? `, tested by ${p.by}` : ""}.`),
      el("p", {}, frame(p)),
      el("p.soft", {}, `Chosen ${when(p.taken)}. `, el("a", { href: store.url("/tests.csv"), download: "" }, "Save this file (.csv)")),
      p.notes.map((n) => el("p", {}, `Note: ${n}.`)),
      p.again.length ? el("p", {}, `${p.again.length === 1 ? "1 row was" : `${p.again.length} rows were`} replaced by a later test: ${p.again.map((a) => `line ${a.line} by line ${a.counts}`).join(", ")}.`) : null,
      p.open.length ? fold(`${p.open.length} still open before the hand-over`, list(p.open)) : null),
    p.problems.length ? [el("h4", {}, "Rows that cannot be used"), el("ul", {}, p.problems.map((x) => el("li.error", {}, `${x.line ? `line ${x.line}: ` : ""}${x.message}`)))] : null,
    p.suspicions.length ? [el("h4", {}, "Suspected faults"), p.suspicions.map(suspicion)] : el("p", {}, "No fault is suspected from the readings."),
    p.earth.length ? [el("h4", {}, "Strings to ground"), list(p.earth.map((e) => `${e.string}: ${e.words}`))] : null,
    open.length ? grid("Not passed", head, open.map(row), [4]) : null,
    fold(`${done.length} passed`, grid("Passed", head, done.map(row), [4])),
    p.beside.length ? fold("Single comparisons that verdicts rest on", grid("Single comparisons", head, p.beside.map(row), [4])) : null];
}

/** How the frame was measured to stand. */
function frame(p) {
  if (!p.posts.length) return "Where the posts stand: not measured.";
  return `Where the posts stand: measured${p.as_built_measured ? `, last on ${p.as_built_measured}` : ""}, ${p.posts.length} posts.`;
}

const outcome = (o) => el("span", { class: `mark-${SIGNS[o][1]}` }, el("span", { "aria-hidden": "true" }, `${SIGNS[o][0]} `), o);

/** Limits in the unit of the reading. */
function band(j) {
  const say = (v) => `${Math.abs(v) >= 1e6 ? `${(v / 1e6).toFixed(2)} M` : `${Number(v.toPrecision(4))} `}${j.unit}`;
  if (j.low === null && j.high === null) return "";
  if (j.low === null) return `up to ${say(j.high)}`;
  return j.high === null ? `from ${say(j.low)}` : `${say(j.low)} to ${say(j.high)}`;
}

function suspicion(s) {
  const sure = (c) => (c.probability > 0.995 ? "almost sure" : `${(100 * c.probability).toFixed(0)} %`);
  return el("div.suspicion", {}, el("p", {}, el("strong", {}, s.strings.join(", ") || "All strings alike")),
    el("ol", {}, s.candidates.map((c) => el("li", {}, `${c.words} (${sure(c)}). Look next: ${c.check}.`))),
    el("p.soft", {}, `Read: ${s.evidence.join("; ")}.`), s.apart ? el("p", {}, `To tell them apart: ${s.apart}.`) : null);
}
