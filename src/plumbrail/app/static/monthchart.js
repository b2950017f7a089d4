// Twelve bars: delivered energy, what shade takes, what all other steps take. Values by key and pointer.
import { el, replace, svg } from "./dom.js";
import { KWH, MONTHS, fold, grid, kwh, percent } from "./chartsload.js";

const [WIDE, HIGH, LEFT, FOOT, TOP] = [960, 300, 56, 28, 12];

export function monthChart(y) {
  const rate = y.light_at_rated / y.months.reduce((n, m) => n + m.light, 0);
  const rows = y.months.map((m, i) => {
    const light = m.light * rate;
    const shade = Math.max(m.lost_to_shade ?? 0, 0);
    return { i, light, shade, delivered: m.delivered, other: Math.max(light - shade - m.delivered, 0), known: m.lost_to_shade !== null, daily: m.daily };
  });
  const said = el("p.reading", { role: "status" }, "Point at a month, or go through them with the arrow keys.");
  const picture = drawn(rows, (row) => replace(said, sentence(row)));
  return [key(y), el("div.scroll", { tabindex: 0, role: "region", "aria-label": "Energy of each month" }, picture), said, fold("The same as a table", table(rows))];
}

function sentence(r) {
  return [el("strong", {}, `${MONTHS[r.i]}: ${kwh(r.delivered)} kWh delivered`), `, ${kwh(r.daily)} a day. `
    + `${r.known ? `Shade takes ${kwh(r.shade)} kWh (${percent(r.shade / (r.shade + r.delivered || 1))} of what would be delivered)` : "Shade: not checked"}, `
    + `other steps ${kwh(r.other)} of ${kwh(r.light)} kWh of light at rated efficiency.`];
}

function key(y) {
  const item = (name, words) => el("li", {}, svg("svg", { width: 28, height: 16, "aria-hidden": "true" }, svg("rect", { class: `bar-${name}`, x: 1, y: 1, width: 26, height: 14 })), words);
  return el("ul.key", {}, item("delivered", "delivered"), item("shade", y.lost_to_shade === null ? "shade: not checked" : "taken by shade"), item("other", "taken by all other steps"));
}

function drawn(rows, tell) {
  const most = nice(Math.max(...rows.map((r) => r.light)) / KWH);
  const yOf = (joules) => HIGH - FOOT - (joules / KWH / most) * (HIGH - FOOT - TOP);
  const step = (WIDE - LEFT - 8) / 12;
  const node = svg("svg.month-chart", { viewBox: `0 0 ${WIDE} ${HIGH}`, role: "group", "aria-label": "Energy of each month; values in the table below" },
    svg("defs", {}, svg("pattern", { id: "month-hatch", width: 8, height: 8, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" },
      svg("rect", { width: 8, height: 8, fill: "#fff" }), svg("rect", { width: 3, height: 8, fill: "#111" })),
    svg("pattern", { id: "month-dots", width: 8, height: 8, patternUnits: "userSpaceOnUse" },
      svg("rect", { width: 8, height: 8, fill: "#fff" }), svg("circle", { cx: 2, cy: 2, r: 1, fill: "#666" }))),
    scale(most, yOf), rows.map((r) => bar(r)));
  const bars = [...node.querySelectorAll(".month")];
  node.addEventListener("keydown", (e) => {
    const to = bars.indexOf(document.activeElement) + ({ ArrowRight: 1, ArrowLeft: -1 }[e.key] ?? 0);
    if (!["ArrowRight", "ArrowLeft"].includes(e.key) || !bars[to]) return;
    e.preventDefault();
    bars.forEach((b, i) => b.setAttribute("tabindex", i === to ? "0" : "-1"));
    bars[to].focus();
  });

  function bar(r) {
    const x = LEFT + r.i * step;
    const [a, b, c] = [yOf(r.delivered), yOf(r.delivered + r.shade), yOf(r.delivered + r.shade + r.other)];
    const piece = (name, top, bottom) => svg("rect", { class: `bar-${name}`, x: x + 8, y: top, width: step - 16, height: Math.max(bottom - top, 0) });
    const show = () => tell(r);
    return svg("g.month", { tabindex: r.i ? -1 : 0, role: "img", "aria-label": `${MONTHS[r.i]}: ${kwh(r.delivered)} kWh delivered, shade ${r.known ? `takes ${kwh(r.shade)}` : "not checked"}, other steps ${kwh(r.other)}`,
      onfocus: show, onmouseenter: show, onclick: show },
    svg("rect.whole", { x, y: TOP, width: step, height: HIGH - TOP }), piece("other", c, b), piece("shade", b, a), piece("delivered", a, HIGH - FOOT),
    svg("text", { x: x + step / 2, y: HIGH - 8, "text-anchor": "middle" }, MONTHS[r.i].slice(0, 3)),
    svg("text.inside", { x: x + step / 2, y: a + 17, "text-anchor": "middle" }, HIGH - FOOT - a > 22 ? kwh(r.delivered) : ""));
  }
  return node;
}

function scale(most, yOf) {
  return [0, 1, 2, 3, 4].map((i) => {
    const y = yOf((most * i * KWH) / 4);
    return [svg("path.grid-line", { d: `M${LEFT} ${y}H${WIDE - 8}` }), svg("text", { x: LEFT - 6, y: y + 5, "text-anchor": "end" }, i === 4 ? "kWh" : ((most * i) / 4).toLocaleString("en-US"))];
  }).flat().filter(Boolean);
}

/** A round number of kWh, not less, that four steps divide well. */
export function nice(value) {
  const power = 10 ** Math.floor(Math.log10(Math.max(value, 1e-9)));
  return [1, 1.2, 1.6, 2, 2.4, 3.2, 4, 6, 8, 10].map((s) => s * power).find((s) => s >= value);
}

function table(rows) {
  const total = (name) => rows.reduce((n, r) => n + r[name], 0);
  return grid("kWh by month", ["Month", "Delivered", "A mean day", "Taken by shade", "Taken by other steps"], [
    ...rows.map((r) => [MONTHS[r.i], kwh(r.delivered), kwh(r.daily), r.known ? kwh(r.shade) : "not checked", kwh(r.other)]),
    ["Year", kwh(total("delivered")), kwh(total("delivered") / 365), rows[0].known ? kwh(total("shade")) : "not checked", kwh(total("other"))]], [1, 2, 3, 4]);
}
