// Sun: the year by month, losses, the angles, shade by hour, what shades, and life off the grid.
import { el, replace } from "./dom.js";
import { MONTHS, fold, follow, grid, kwh, percent } from "./chartsload.js";
import { angleMap } from "./anglemap.js";
import { monthChart } from "./monthchart.js";
import { shadeChart } from "./shadechart.js";
import { island } from "./chartsisland.js";

export function mount(root, store) {
  const body = el("div.sun");
  replace(root, el("h2", {}, "Sun"), body);
  follow(root, body, store, (found) => replace(body, story(found)), { part: "yield", title: "The yield" });
}

function story(y) {
  return [headline(y), weather(y),
    part("Energy by month", monthChart(y)),
    part("Tilt and direction", el("ul", {}, y.angles.words.map((w) => el("li", {}, w))), angleMap(y)),
    part("Shade by hour and month", shadeChart(y)),
    part("What the shade of each thing costs", culprits(y)),
    part("From light to delivered energy", losses(y)),
    part("Off the grid", island(y)),
    part("Strings and modules", strings(y)),
    el("p.soft", {}, y.caution)];
}

const part = (title, ...inside) => el("section.sun-part", {}, el("h3", {}, title), inside);

function headline(y) {
  const worst = MONTHS[y.worst_month - 1];
  const open = y.not_checked.length ? el("p", {}, el("strong", {}, "NOT CHECKED, counted as nothing: "), y.not_checked.join("; ")) : null;
  return el("div.headline", {},
    el("p.lead", {}, el("strong", {}, `${kwh(y.energy)} kWh in a typical year`), ` from ${y.modules} modules of together ${(y.rated / 1000).toFixed(2)} kW. `
      + `Least in ${worst}: ${kwh(y.worst_daily)} kWh on a mean day. `,
    y.lost_to_shade === null ? el("strong", {}, "Shade: NOT CHECKED.") : `Shade takes ${kwh(y.lost_to_shade)} kWh.`),
    y.weather.upper_bound ? el("p.warning", {}, "A sky without any cloud: an upper bound that no real year reaches. "
      + "Give twelve monthly means or a weather file.") : null,
    y.as_built ? el("p", {}, "Tilt and places are as measured on site.") : null, open);
}

function weather(y) {
  const w = y.weather;
  return el("div", {}, el("p", {}, el("strong", {}, "Weather: "), `${w.origin} (${w.source}).`),
    el("p.soft", {}, w.error), w.notes.length || y.notes.length ? fold("How the weather was made, and notes",
      el("ul", {}, [...w.notes, ...y.notes].map((n) => el("li", {}, n)))) : null);
}

/** Energy that would come without each thing, as bars with their numbers beside them. */
function culprits(y) {
  if (y.lost_to_shade === null) return el("p", {}, el("strong", {}, "NOT CHECKED: "), "the plan does not say what stands around.");
  if (!y.culprits.length) return el("p", {}, "Nothing that stands around costs anything.");
  const most = Math.max(...y.culprits.map((c) => c.energy), 1);
  return grid("Each thing by itself: what the year would gain without it", ["What", "kWh a year", "", "Mostly in"], y.culprits.map((c) => [c.name, kwh(c.energy),
    el("span.use.plain", { "aria-hidden": "true" }, el("span.used", { style: { width: `${Math.max(0, c.energy / most) * 100}%` } })), mostly(c.months)]), [1]);
}

/** The months that hold most of it. */
function mostly(months) {
  const total = months.reduce((a, b) => a + b, 0);
  if (total <= 0) return "";
  const order = months.map((v, i) => [v, i]).sort((a, b) => b[0] - a[0]);
  let held = 0;
  const found = [];
  for (const [v, i] of order) {
    if (held >= 0.6 * total || found.length === 4) break;
    held += v;
    found.push(i);
  }
  return found.sort((a, b) => a - b).map((i) => MONTHS[i].slice(0, 3)).join(", ");
}

function losses(y) {
  let left = y.light_at_rated;
  const rows = y.losses.map((x) => {
    left -= x.energy;
    const signs = { "worked out": "", "not stated": "usual value", "not checked": "? NOT CHECKED" };
    return [x.words, percent(x.share), kwh(x.energy), kwh(left), signs[x.status]];
  });
  return [grid("Each step takes its share of what the step before left",
    ["Step", "Share", "kWh", "Left, kWh", "How known"], [["Light on the open plane, at rated efficiency", "", "", kwh(y.light_at_rated), ""], ...rows,
      ["Delivered", "", "", kwh(y.energy), ""]], [1, 2, 3]),
  y.not_stated.length ? el("p.soft", {}, `Usual values, since nobody stated them: ${y.not_stated.join(", ")}.`) : null];
}

function strings(y) {
  const by = Object.fromEntries(y.shade.map((m) => [m.id, m.shade]));
  return [grid("Strings over the year", ["String", "kWh of direct current", "Each module against the best string", "Light lost to shade", "Modules"],
    y.strings.map((s) => [s.id, kwh(s.energy), percent(s.against_best), percent(s.shade), s.modules.join(" ")]), [1, 2, 3]),
  fold("Light that each module loses to shade", grid("Modules", ["Module", "Light lost"], Object.entries(by)
    .sort((a, b) => b[1] - a[1]).map(([id, share]) => [id, percent(share)]), [1]))];
}

