// Works: bars of every task, the list of days, what gives power on each day of the changeover.
import { MARKS, el, ratio, replace, svg } from "./dom.js";
import { fold, follow, grid } from "./chartsload.js";

const NARROW = innerWidth < 640;
const [LEFT, ROW, HEAD] = [NARROW ? 185 : 330, 24, 46];
const LONGEST = NARROW ? 22 : 44;
/** A pattern for each kind of work, told apart without colour. */
const FILLS = {
  ground: ["earth and holes", "#ffffff", "M0 8L8 0"], frame: ["steel", "#ffffff", "M0 4H8"], concrete: ["concrete", "#ffffff", "M2 2h1.6v1.6H2zM6 6h1.6v1.6H6z"],
  electrical: ["wires", "#ffffff", "M4 0V8"], modules: ["modules", "#ffffff", "M0 4H8M4 0V8"], "old array": ["old array", "#ffffff", "M0 0L8 8"], hold: ["hold", "#ffffff", ""],
};

export function mount(root, store, open) {
  const body = el("div.works");
  replace(root, el("h2", {}, "Works"), body);
  follow(root, body, store, (found) => replace(body, story(found, store, open)), { part: "works", title: "The works" });
}

const part = (title, ...inside) => el("section.wire-part", {}, el("h3", {}, title), inside);
const list = (rows) => el("ul", {}, rows.map((r) => el("li", {}, r)));
const utc = (day) => new Date(`${day}T00:00:00Z`);
const long = (day) => utc(day).toLocaleDateString("en-US", { weekday: "short", month: "short", day: "numeric", timeZone: "UTC" });
const what = (t) => (t.letter ? `HOLD POINT ${t.letter}: ${t.words}` : t.words);
const hours = (n) => `${Number(n.toFixed(1))} h`;
const room = (t) => (t.critical ? el("strong", {}, "critical") : hours(t.slack_hours));

function story(w, store, open) {
  const ics = `${store.url("/works.ics")}?revision=${store.revision}`;
  return [head(w), el("p", {}, el("a", { href: ics, download: "" }, "Save the calendar (.ics)"), el("span.soft", {}, " for a phone or a desk calendar; in the time of the site.")),
    part("Tasks as bars", key(w), gantt(w)),
    part("Tasks in order", fold(`All ${w.tasks.length} tasks as a table`, tasks(w))),
    part("Day by day", days(w)), w.changeover ? changeover(w.changeover) : null,
    part("Checks of the works", checks(w, open)),
    part("Before you begin", list(w.cautions)), part("What was assumed", list(w.notes)), el("p.soft", {}, w.caution)];
}

function head(w) {
  const holds = w.tasks.filter((t) => t.letter);
  return [el("p.lead", {}, el("strong", {}, `Done on ${long(w.end)}`), `, begun on ${long(w.start)}, with ${w.crew} ${w.crew === 1 ? "person" : "people"}.`),
    el("p", {}, w.proven ? "Proven: no order of the tasks ends on an earlier day. " : `Not proven: it cannot end before ${long(w.bound)}. `,
      `${w.tasks.filter((t) => t.critical).length} of ${w.tasks.length} tasks are critical: a day lost there is a day lost at the end. `,
      holds.length ? `Hold points, where work waits for somebody's yes: ${holds.map((t) => `${t.letter} ${t.words}, ${long(t.start_day)}`).join("; ")}.` : "No hold points are counted.")];
}

function key(w) {
  const seen = [...new Set(w.tasks.filter((t) => t.kind === "work").map((t) => t.chapter))];
  const box = (...inside) => svg("svg", { width: 30, height: 18, "aria-hidden": "true" }, inside);
  return [patterns(), el("ul.key", {}, seen.map((c) => el("li", {}, box(svg("rect", { x: 2, y: 2, width: 26, height: 14, fill: fill(c), stroke: "#111" })), FILLS[c]?.[0] ?? c)),
    el("li", {}, box(svg("rect", { x: 3, y: 3, width: 24, height: 12, fill: "#fff", stroke: "#111", "stroke-width": 4 })), "heavy outline and “critical”: no room"),
    el("li", {}, box(diamond(15, 9, 8)), "hold point, with its letter"), el("li", {}, box(svg("rect", { x: 2, y: 0, width: 26, height: 18, fill: "#e4e4e4" })), "no work that day"))];
}

const name = (c) => `works-${c.replace(/\W+/g, "-")}`;
const fill = (c) => (FILLS[c] ? `url(#${name(c)})` : "#fff");
const diamond = (x, y, r) => svg("path", { d: `M${x} ${y - r}L${x + r} ${y}L${x} ${y + r}L${x - r} ${y}z`, fill: "#fff", stroke: "#111", "stroke-width": 2 });

function patterns() {
  return svg("svg.only-read", { "aria-hidden": "true", width: 1, height: 1 }, svg("defs", {}, Object.entries(FILLS).map(([c, [, paper, d]]) =>
    svg("pattern", { id: name(c), width: 8, height: 8, patternUnits: "userSpaceOnUse" }, svg("rect", { width: 8, height: 8, fill: paper }), svg("path", { d, stroke: "#333", fill: "none" })))));
}

/** One row for each task, one column for each day; people work within the hours of the day. */
function gantt(w) {
  const at = new Map(w.days.map((d, i) => [d.day, i]));
  const step = Math.max(26, Math.min(60, 900 / w.days.length));
  const [wide, high] = [LEFT + step * w.days.length + 90, HEAD + ROW * w.tasks.length + 6];
  const x = (day, clock) => LEFT + step * ((at.get(day) ?? 0) + share(w, day, clock));
  const node = svg("svg.gantt", { viewBox: `0 0 ${wide} ${high}`, width: wide, height: high, role: "img",
    "aria-label": `Bars of ${w.tasks.length} tasks from ${long(w.start)} to ${long(w.end)}; the table below says the same` });
  w.days.forEach((d, i) => node.append(
    svg("rect", { x: LEFT + i * step, y: HEAD - 4, width: step, height: high - HEAD, fill: d.hours ? "none" : "#e4e4e4", stroke: "#ccc" }),
    svg("text", { x: LEFT + (i + 0.5) * step, y: HEAD - 10, "text-anchor": "middle" }, String(utc(d.day).getUTCDate())),
    (i === 0 && !w.days.slice(1, Math.ceil(120 / step) + 1).some((o) => o.day.endsWith("-01"))) || d.day.endsWith("-01") ? svg("text", { x: LEFT + i * step, y: 16 }, utc(d.day).toLocaleDateString("en-US", { month: "long", year: "numeric", timeZone: "UTC" })) : ""));
  w.tasks.forEach((t, i) => node.append(bar(t, HEAD + i * ROW, x)));
  return el("div.scroll", { tabindex: 0, role: "region", "aria-label": "Bars of the tasks" }, node);
}

/** Share of a day's working hours at a clock time. */
function share(w, day, clock) {
  const d = w.days.find((one) => one.day === day);
  const min = (c) => Number(c.slice(0, 2)) * 60 + Number(c.slice(3));
  return d?.hours ? Math.min(Math.max((min(clock) - min(d.begin)) / (60 * d.hours), 0), 1) : 0;
}

function bar(t, y, x) {
  const words = what(t);
  const label = svg("text", { x: LEFT - 8, y: y + 16, "text-anchor": "end", "font-weight": t.letter ? 700 : 400 }, words.length > LONGEST ? `${words.slice(0, LONGEST - 1)}…` : words);
  const tip = svg("title", {}, `${words}: ${long(t.start_day)} ${t.start_clock} to ${long(t.end_day)} ${t.end_clock}${t.critical ? ", critical" : ""}`);
  if (t.kind !== "work") {
    const c = x(t.start_day, t.start_clock);
    return svg("g.hold", {}, tip, label, diamond(c, y + 11, 10), svg("text", { x: c, y: y + 16, "text-anchor": "middle", "font-weight": 700 }, t.letter),
      t.critical ? svg("text.word", { x: c + 15, y: y + 16 }, "critical") : null);
  }
  const parts = t.stretches.map((s) => [x(s.day, s.begin), x(s.day, s.end)]);
  const end = Math.max(...parts.map((p) => p[1]), x(t.start_day, t.start_clock));
  return svg("g", {}, tip, label, parts.map(([a, b]) => svg("rect.bar", { x: a, y: y + 3, width: Math.max(b - a, 3), height: ROW - 7, fill: fill(t.chapter), stroke: "#111", "stroke-width": t.critical ? 3 : 1 })),
    t.critical ? svg("text.word", { x: end + 5, y: y + 16 }, "critical") : null);
}

const tasks = (w) => grid("In the order in which they begin", ["Task", "Begins", "Ends", "People", "Room", "Quantity and rate"],
  w.tasks.map((t) => [what(t), `${long(t.start_day)} ${t.start_clock}`, t.kind === "work" ? `${long(t.end_day)} ${t.end_clock}` : "", t.people || "", room(t), el("span.soft", {}, t.why)]), [3]);

const checks = (w, open) => grid("What can be wrong with the works, and what was not counted", ["Outcome", "What", "Of the limit", "By", "Note"], w.checks.map((c) => [
  el("span", { class: `mark-${c.status.replace(" ", "-")}` }, el("span", { "aria-hidden": "true" }, `${MARKS[c.status]} `), c.status),
  el("button.link", { type: "button", onclick: () => open(`check:${c.id}`) }, c.title), ratio(c.ratio), c.clause, c.note]), [2]);

function days(w) {
  const rows = w.days.map((d) => {
    const own = w.tasks.flatMap((t) => t.stretches.filter((s) => s.day === d.day).map((s) => ({ t, s }))).sort((a, b) => a.s.begin.localeCompare(b.s.begin));
    const marks = w.tasks.filter((t) => t.kind !== "work" && t.start_day === d.day && !t.stretches.length);
    const said = [...marks.map(what), ...own.map(({ t, s }) => `${s.begin}–${s.end} ${what(t)}${t.hands.length ? ` (${t.hands.map((h) => `person ${h}`).join(", ")})` : ""}`)];
    return { day: d, said };
  });
  const hour = (d) => (d.weather ? "kept for weather" : d.hours ? hours(d.hours) : "no work");
  return grid("Who does what on which day", ["Day", "Hours", "Work"], runs(rows).map((run) => {
    const [first, last] = [run[0], run.at(-1)];
    if (run.length < 3) return run.map(({ day, said }) => [long(day.day), hour(day), said.length ? el("ul.plain-list", {}, said.map((s) => el("li", {}, s))) : "–"]);
    const kept = run.filter((r) => r.day.weather).length;
    return [[`${long(first.day.day)} to ${long(last.day.day)}`, `${run.length} days`, `no task${kept ? `; ${kept} of them kept for weather` : ""}`]];
  }).flat());
}

/** Days without any task after one another stand together; every other day by itself. */
function runs(rows) {
  const found = [];
  for (const row of rows) {
    if (!row.said.length && found.at(-1)?.every((r) => !r.said.length)) found.at(-1).push(row);
    else found.push([row]);
  }
  return found;
}

function changeover(c) {
  const amount = (v) => (v === null ? "–" : c.unit === "Wh" ? `${(v / 1000).toFixed(1)} kWh` : `${v} ${c.unit}`);
  const row = (words, o) => [words, long(o.end), amount(o.lost), amount(o.least_charge), o.proven ? "yes" : "not proven"];
  const short = (o) => o.least_charge !== null && o.least_charge < 0;
  return part("From the old array to the new one",
    el("p.lead", {}, el("strong", {}, `Step by step loses ${amount(c.step_by_step.lost)}`), `, all at once ${amount(c.at_once.lost)}. ${c.bought} modules are bought.`),
    short(c.at_once) ? el("p.warning", {}, "All at once, the battery would run empty.") : null,
    short(c.step_by_step) ? el("p.warning", {}, "Step by step, the battery would still run empty.") : null,
    grid("The two ways", ["Way", "Done on", "Power lost", "Least charge of the battery", "No order loses less"], [row("Step by step, as planned", c.step_by_step), row("All at once", c.at_once)], [2, 3]),
    grid("What gives power on each day, and what is live", ["Day", "Gives power", "Gives none, but live by light", "Modules", "Gives", "The old array would", "Lost", "Least charge", "Begin only above"],
      c.days.map((d) => [long(d.day), d.live.join(" ") || "none", d.dead.join(" ") || "none", d.modules, amount(d.gives), amount(d.before), amount(d.lost), amount(d.charge), amount(d.wait_below)]), [3, 4, 5, 6, 7, 8]),
    el("p.soft", {}, "Begin only above: below this charge on the evening before, nothing is disconnected on that day."),
    el("p", {}, "Safe order for every string:"), el("ol", {}, c.safe_order.map((s) => el("li", {}, s))), el("p.soft", {}, c.defer));
}
