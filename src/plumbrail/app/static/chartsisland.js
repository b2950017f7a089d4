// Life off the grid: what sun and battery meet, and which sizes would do.
import { el } from "./dom.js";
import { KWH, MONTHS, fold, grid, kwh, percent } from "./chartsload.js";

export function island(y) {
  const g = y.off_grid;
  if (!g) return el("p", {}, y.off_grid_not_checked ? [el("strong", {}, "NOT CHECKED: "), y.off_grid_not_checked] : "Not asked for: the plan has no energy.off_grid.");
  const years = g.met_each.length;
  const worst = Math.min(...g.met_each);
  return [
    el("p.lead", { class: `lead mark-${g.reliable ? "pass" : "fail"}` }, el("span", { "aria-hidden": "true" }, g.reliable ? "✓ " : "✕ "),
      `Sun and battery meet ${percent(g.met, 2)} of the load in this year; asked for: ${percent(g.reliability, 1)} in ${percent(g.years_share, 0)} of the years. `,
      g.reliable ? "It is met." : "It is NOT met."),
    el("ul", {},
      el("li", {}, `Load ${kwh(g.load)} kWh a year; without a generator ${kwh(g.unmet_alone)} kWh stay unmet, in ${g.short_hours_alone} hours.`),
      years > 1 ? el("li", {}, `In ${years} made years: ${percent(worst, 2)} met in the worst, up to ${Math.max(...g.short_hours_each)} hours short.`) : null,
      g.generator_hours ? el("li", {}, `The generator runs ${g.generator_hours} hours and gives ${kwh(g.generator)} kWh; then ${kwh(g.unmet)} kWh stay unmet.`) : null,
      el("li", {}, `Nobody can use ${kwh(g.spilled)} kWh: the battery is full. The battery itself loses ${kwh(g.lost_in_battery)} kWh.`),
      el("li", {}, `Tightest month: ${MONTHS[g.tightest_month - 1]}${g.tightest_cover === null ? "" : `, yield ${g.tightest_cover.toFixed(2)} times the load`}.`)),
    smallest(g), fold("All sizes that were tried", sizes(g))];
}

function smallest(g) {
  if (!g.sizes.smallest.length) return el("p", {}, el("strong", {}, "None of the sizes tried meets it without a generator."));
  return grid("Smallest pairs that meet it without a generator", ["Modules", "Array, kW", "Battery, usable kWh"],
    g.sizes.smallest.map((s) => [s.modules, (s.array / 1000).toFixed(2), (s.battery / KWH).toFixed(0)]), [0, 1, 2]);
}

function sizes(g) {
  const s = g.sizes;
  return grid("Share of the years in which it is met; in brackets the load unmet this year", ["Modules \\ kWh", ...s.batteries.map((b) => (b / KWH).toFixed(0))],
    s.modules.map((m, i) => [m, ...s.batteries.map((_, j) => {
      const met = s.met_years[i][j];
      return el("span", { class: met >= g.years_share ? "enough" : null }, `${met >= g.years_share ? "✓ " : ""}${(100 * met).toFixed(0)} (${percent(s.short_share[i][j])})`);
    })]), s.batteries.map((_, j) => j + 1));
}
