// Where a number comes from: clause, formula, numbers, how sure, in a panel that closes with Escape.
import { el, ratio, replace } from "./dom.js";
import { get } from "./net.js";

export function mount(root, store) {
  const dialog = el("dialog.explain", { "aria-labelledby": "explain-title" });
  root.append(dialog);
  async function ask(path, check) {
    replace(dialog, close(dialog), el("h2", { id: "explain-title" }, "Where it comes from"), el("p.soft", {}, "working …"));
    if (!dialog.open) dialog.showModal();
    try {
      replace(dialog, close(dialog), story(await get(store.url(path))));
    } catch (error) {
      replace(dialog, close(dialog), bare(check, error));
    }
  }
  return {
    /** A test of the finished array: `path` under the job leads to its steps. */
    test: (path) => ask(path),
    async show(id) {
      const check = store.state?.checks?.find((c) => c.id === id);
      if (check?.status === "not checked") {
        replace(dialog, close(dialog), bare(check, { message: "It could not be made, so there are no steps behind it." }));
        if (!dialog.open) dialog.showModal();
        return;
      }
      await ask(`/checks/${encodeURIComponent(id)}?revision=${store.revision}`, check);
    },
  };
}

/** What is known of a check without steps: one that could not be made says what is missing. */
function bare(check, error) {
  if (!check) return [el("h2", { id: "explain-title" }, "Where it comes from"), el("p.error", {}, error.message)];
  return [el("h2", { id: "explain-title" }, capital(`${check.subject}: ${check.title}`)), el("p", {}, el("strong", {}, `${check.status}. `), check.note),
    check.remedy ? el("p", {}, el("strong", {}, "What usually mends it: "), check.remedy) : null,
    el("p.soft", {}, error.message)];
}

function close(dialog) {
  return el("button.close", { type: "button", "aria-label": "Close", onclick: () => dialog.close() }, "✕");
}

function story(found) {
  const c = found.check;
  const sides = c.demand === null || c.unit === "-" ? "" : found.sides ?? "";
  const share = c.ratio === null ? "" : `, ${ratio(c.ratio)} of the limit`;
  const { loads, steps: own } = found.printed;
  const us = [...own, ...loads.flatMap((l) => l.steps)].some((s) => s.si && s.number);
  return [
    el("h2", { id: "explain-title" }, capital(`${c.subject}: ${c.title}`)),
    el("p", {}, el("strong", {}, `${c.status}${share}. `), sides, c.note),
    c.remedy ? el("p", {}, el("strong", {}, "What usually mends it: "), c.remedy) : null,
    c.clause ? el("p", {}, el("strong", {}, "Clause: "), c.clause, c.certainty ? ` (least sure value: ${c.certainty})` : "") : null,
    found.combination ? el("p", {}, el("strong", {}, "Governing combination: "), `${found.combination} (${found.combination_source})`) : null,
    loads.map((l) => el("details", {}, el("summary", {}, `${l.factor} × ${l.words}`), steps(l.steps))),
    el("h3", {}, "Steps"),
    own.length ? steps(own) : el("p", {}, c.status === "not checked" ? "It was not made, so there are none." : "It is judged in words; there is no number behind it."),
    us ? el("p.soft", {}, "A formula is filled in with m, N, Pa, kg and rad, in which it holds as printed. [3] behind a number: it is the result of step 3.") : null,
    el("p.soft", {}, found.caution),
  ];
}

/** Given numbers first, then each step with its formula, its numbers and how sure it is. */
function steps(list) {
  const [given, made] = [list.filter((s) => !s.number), list.filter((s) => s.number)];
  return [given.length ? el("ul.steps.given", {}, given.map((s) => el("li", {}, head(s), origin(s, s.si)))) : null,
    made.length ? el("ol.steps", {}, made.map((s) => el("li", { value: s.number }, head(s),
      s.formula ? el("div.formula", {}, s.formula) : null,
      s.numbers ? el("div.formula", {}, s.numbers) : null,
      s.si ? el("div.formula.soft", {}, s.si) : null, origin(s)))) : null];
}

const capital = (words) => words.charAt(0).toUpperCase() + words.slice(1);

const head = (s) => el("div.step-head", {}, el("span", {}, s.what), el("strong.formula", {}, s.result));

const origin = (s, more = "") => el("div.soft.origin", {}, [s.certainty ? `${s.clause} (${s.certainty})` : s.clause, more].filter(Boolean).join("; "));
