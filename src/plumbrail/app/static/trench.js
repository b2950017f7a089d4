// Trench: the route on the plan, other routes, the profile, what it crosses, the pull, amounts and steps.
import { MARKS, announce, el, ratio, replace } from "./dom.js";
import { fold, follow, grid } from "./chartsload.js";
import { ticking } from "./cutlistticks.js";
import { lengthWords } from "./lengthwords.js";
import { plan, profile } from "./trenchviews.js";

export function mount(root, store, open) {
  const ticks = ticking(store);
  const body = el("div.trench");
  replace(root, el("h2", {}, "Trench"), body);
  follow(root, body, store, (found) => {
    replace(body, story(found, store, ticks, open));
    ticks.refresh();
  }, { part: "trench", title: "The trench" });
  root.addEventListener("shown", () => ticks.load());
  ticks.load().catch((error) => announce(error.message, "error"));
}

const part = (title, ...inside) => el("section.wire-part", {}, el("h3", {}, title), inside);
const list = (rows) => el("ul", {}, rows.map((r) => el("li", {}, r)));
const degrees = (r) => `${((r * 180) / Math.PI).toFixed(0)}°`;
const hours = (n) => `${n.toFixed(1)} h`;

function story(t, store, ticks, open) {
  const units = store.state.units;
  const long = (m) => (m === null ? "not known" : lengthWords(m, units));
  return [head(t, long), part("The route on the plan", plan(t, store.state, long)),
    part("Other routes", routes(t, long)), part("Profile", profile(t, units, long), t.profile.guessed ? el("p.warning", {}, "Some of the ground is beyond the survey points: its height is guessed.") : null),
    part("What it crosses", crossings(t, long), t.separations.length ? list(t.separations) : null),
    part("Stakes", grid("From riser to wall", ["Stake", "Along", "Depth", "Right of F1", "Back of F1", "What"], t.stations.map((s) => [s.name, long(s.at), long(s.depth), long(s.point[0]), long(s.point[1]), s.what]), [1, 2, 3, 4])),
    part("Bends and the pull", bends(t, long), t.legs.map((leg) => legOf(leg, units, long)), boxes(t, long)),
    part("Amounts and hours", amounts(t, units)), part("Checks of the trench", checks(t, open)),
    part("Before and while you dig", el("ol.ticks", {}, t.checklist.map((words) => el("li", {}, ticks.box("trench", words.slice(0, 120), words))))),
    part("Cautions", list(t.cautions)), part("What was assumed", list(t.notes)), el("p.soft", {}, t.caution)];
}

function head(t, long) {
  const r = t.route;
  return [el("p.lead", {}, el("strong", {}, `${long(r.length)} of trench, ${hours(r.hours)} of work`), `; ${long(r.hand)} of it by hand, ${r.crossings} ${r.crossings === 1 ? "service is" : "services are"} crossed.`),
    el("p", {}, `${t.passed} checks pass, ${t.failed} fail, ${t.not_checked} not checked. No finer route saves more than ${hours(t.bound)}, to first order. Conduit with both risers: ${long(t.conduit)}.`)];
}

const routes = (t, long) => grid("The one proposed has the least hours", ["Route", "Length", "By hand", "Crossings", "Bends", "Work", "Against the one proposed"],
  [t.route, ...t.others].map((o) => [o.name, long(o.length), long(o.hand), o.crossings, degrees(o.bends), hours(o.hours), o.differs || "–"]), [1, 2, 3, 4, 5]);

function crossings(t, long) {
  if (!t.crossings.length) return el("p", {}, "The route crosses no service that the plan knows. Others may lie there: have all of them located.");
  return grid("Dig these up by hand first", ["No.", "Service", "Kind", "Along", "Angle", "Its top lies", "Conduit", "Gap", "By hand from", "to", "Place"],
    t.crossings.map((c) => [c.number, c.service, c.kind, long(c.at), degrees(c.angle), long(c.top), `${long(c.conduit)} deep, ${c.over === null ? "over or under: not known" : c.over ? "over it" : "under it"}`,
      c.gap === null ? "not checked" : long(c.gap), long(c.zone[0]), long(c.zone[1]), c.sure ? "found on the ground" : "not sure"]), [3, 4]);
}

const bends = (t, long) => fold(`${t.bends.length} bends on the way`, grid("Bends of the conduit", ["Along", "Angle", "Way"], t.bends.map((b) => [long(b.at), degrees(b.angle), b.way]), [1]));

function legOf(leg, units, long) {
  const force = (n) => (units === "metric" ? `${n.toFixed(0)} N` : `${(n / 4.4482216152605).toFixed(0)} lbf`);
  const side = (n) => (units === "metric" ? `${n.toFixed(0)} N/m` : `${(n / 14.593902937206).toFixed(0)} lbf/ft`);
  const most = (all) => Math.max(0, ...all);
  const rows = leg.pulls.map((p) => [`toward the ${p.toward}`, force(most(p.tension)), p.sidewall.length ? side(most(p.sidewall)) : "no bend", leg.better === p.toward ? el("strong", {}, "pull this way") : ""]);
  return [el("p", {}, `${leg.name}, ${leg.start} to ${leg.end}: ${long(leg.length)}, bends together ${degrees(leg.bends)}.`),
    rows.length ? grid(`Pulling the wires through ${leg.name}`, ["Way", "Largest pull", "Largest pressure in a bend", "Better"], rows, [1, 2]) : el("p", {}, "Pull: not checked, the wires are not known.")];
}

const boxes = (t, long) => (t.boxes.length ? grid("Pull boxes", ["Box", "Along", "Why", "Least inner length"], t.boxes.map((b) => [b.name, long(b.at), b.why, b.least === null ? "none set" : long(b.least)]), [1])
  : el("p", {}, "No pull box is needed."));

function amounts(t, units) {
  const us = units !== "metric";
  const say = { m: (v) => (us ? `${Math.ceil(v / 0.3048 - 1e-9)} ft` : `${v.toFixed(1)} m`), m3: (v) => (us ? `${(v / 0.764554857984).toFixed(1)} yd³` : `${v.toFixed(2)} m³`), pieces: (v) => v.toFixed(0), h: hours };
  return grid("Prices in the money of the plan; a dash: no price in the plan", ["What", "How much", "Price", "Note"], t.amounts.map((a) => [a.what, say[a.unit](a.amount), a.price === null ? "–" : a.price.toFixed(2), el("span.soft", {}, a.note)]), [1, 2]);
}

const checks = (t, open) => grid("All checks of the trench", ["Outcome", "What", "Of the limit", "Clause", "Note"], t.checks.map((c) => [
  el("span", { class: `mark-${c.status.replace(" ", "-")}` }, el("span", { "aria-hidden": "true" }, `${MARKS[c.status]} `), c.status),
  el("button.link", { type: "button", onclick: () => open(`check:${c.id}`) }, `${c.subject}: ${c.title}`), ratio(c.ratio), c.clause, [c.note, c.remedy].filter(Boolean).join(" ")]), [2]);
