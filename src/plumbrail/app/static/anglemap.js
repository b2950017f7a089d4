// Tilt by direction: how much of the light each angle loses against the best; values by key and pointer.
import { el, replace, svg } from "./dom.js";
import { MONTHS, percent } from "./chartsload.js";

const STEPS = [0.01, 0.02, 0.05, 0.1, 0.2, 0.4, 1.01];
const INKS = ["#ffffff", "#ececec", "#d6d6d6", "#bcbcbc", "#9d9d9d", "#7c7c7c", "#5a5a5a"];
const [WIDE, HIGH, LEFT, FOOT, TOP, RIGHT] = [innerWidth < 500 ? 400 : 620, 330, 54, 46, 10, 34];
const DEG = 180 / Math.PI;
const NAMES = { 0: "N", 45: "NE", 90: "E", 135: "SE", 180: "S", 225: "SW", 270: "W", 315: "NW" };
const whole = (t) => ((Math.round(t * DEG) % 360) + 360) % 360;
const compass = (t) => `${NAMES[whole(t)]} ${whole(t)}°`;
const FINE = 1;

export function angleMap(y) {
  const a = y.angles;
  return [key(), el("div.angle-maps", {}, one(a, a.year, "Light of the year", y), one(a, a.worst_month_light, `Light of ${MONTHS[a.worst_month - 1]}`, y))];
}

function key() {
  const words = ["less than 1 % lost", "1 to 2 %", "2 to 5 %", "5 to 10 %", "10 to 20 %", "20 to 40 %", "more"];
  const sign = (path) => svg("svg", { width: 22, height: 16, viewBox: "0 0 22 16", "aria-hidden": "true" }, path);
  return el("ul.key", {}, words.map((w, i) => el("li", {}, svg("svg", { width: 28, height: 16, "aria-hidden": "true" },
    svg("rect", { x: 1, y: 1, width: 26, height: 14, fill: INKS[i], stroke: "#111" })), w)),
  el("li", {}, sign(svg("path", { d: "M11 1v14M6 1h10M6 15h10", stroke: "#111", "stroke-width": 3, fill: "none" })), "band of tilts in the plan"),
  el("li", {}, sign(svg("path", { d: "M5 8h12M11 2v12", stroke: "#111", "stroke-width": 3 })), "the plan's own angles"),
  el("li", {}, sign(svg("circle", { cx: 11, cy: 8, r: 5.5, fill: "none", stroke: "#111", "stroke-width": 2.5 })), "the best"));
}

/** A map that is asked for any angle: smooth between the angles of the grid. */
class Field {
  constructor(tilts, azimuths, light) {
    Object.assign(this, { tilts, azimuths, light });
    this.best = 0;
    for (let t = tilts[0]; t <= tilts.at(-1) + 1e-9; t += 1 / DEG) {
      for (let az = azimuths[0]; az <= azimuths.at(-1) + 1e-9; az += 1 / DEG) {
        const light_ = this.at(t, az);
        if (light_ > this.best) [this.best, this.top] = [light_, [t, az]];
      }
    }
  }

  /** Light at a tilt and azimuth [rad]. */
  at(tilt, azimuth) {
    const [i, u] = between(this.tilts, tilt);
    const [j, v] = between(this.azimuths, azimuth);
    const row = (r) => smooth((c) => this.light[r][c], this.azimuths.length, j, v);
    return smooth(row, this.tilts.length, i, u);
  }

  /** Share lost against the best. */
  lost(tilt, azimuth) {
    return Math.max(0, 1 - this.at(tilt, azimuth) / this.best);
  }
}

/** Index before x in rising values at equal steps, and how far beyond it x is, 0 to 1. */
function between(values, x) {
  const step = (values.at(-1) - values[0]) / (values.length - 1);
  const i = Math.max(0, Math.min(values.length - 2, Math.floor((x - values[0]) / step + 1e-9)));
  return [i, Math.min(1, Math.max(0, (x - values[i]) / step))];
}

/** A cubic through four neighbours; beyond an edge the line goes straight on. */
function smooth(value, count, i, u) {
  const [b, c] = [value(i), value(i + 1)];
  const a = i > 0 ? value(i - 1) : 2 * b - c;
  const d = i + 2 < count ? value(i + 2) : 2 * c - b;
  return b + 0.5 * u * (c - a + u * (2 * a - 5 * b + 4 * c - d + u * (3 * (b - c) + d - a)));
}

function one(a, light, title, y) {
  const field = new Field(a.tilts, a.azimuths, light);
  const [t0, t1, a0, a1] = [a.tilts[0], a.tilts.at(-1), a.azimuths[0], a.azimuths.at(-1)];
  const xOf = (az) => LEFT + ((az - a0) / (a1 - a0)) * (WIDE - LEFT - RIGHT);
  const yOf = (t) => HIGH - FOOT - ((t - t0) / (t1 - t0)) * (HIGH - FOOT - TOP);
  const turn = 2 * Math.PI;
  const own = { tilt: y.own_angles.tilt, azimuth: a0 + ((((y.own_angles.azimuth - a0) % turn) + turn) % turn) };
  let spot = [own.tilt, own.azimuth];
  const said = el("p.reading", { role: "status" }, "Point at the map, or go over it with the arrow keys.");
  const cross = svg("path.cursor", { "aria-hidden": "true" });
  const picture = svg("svg.angle-map", { viewBox: `0 0 ${WIDE} ${HIGH}`, tabindex: 0, role: "application", "aria-label": `${title}, tilt upward, direction to the right; arrow keys say the values` },
    steps(field, a, xOf, yOf), frame(a, xOf, yOf), marks(field, a, own, xOf, yOf), cross);
  const tell = () => {
    const [tilt, azimuth] = spot;
    cross.setAttribute("d", `M${xOf(azimuth)} ${TOP}V${HIGH - FOOT}M${LEFT} ${yOf(tilt)}H${WIDE - RIGHT}`);
    replace(said, el("strong", {}, `${(tilt * DEG).toFixed(1)}° toward ${whole(azimuth)}°: `), `${percent(field.lost(tilt, azimuth))} less than the best.`);
  };
  picture.addEventListener("pointermove", (e) => {
    const box = picture.getBoundingClientRect();
    const [px, py] = [((e.clientX - box.left) / box.width) * WIDE, ((e.clientY - box.top) / box.height) * HIGH];
    const clip = (v, low, high) => Math.min(high, Math.max(low, v));
    spot = [clip(t0 + ((HIGH - FOOT - py) / (HIGH - FOOT - TOP)) * (t1 - t0), t0, t1), clip(a0 + ((px - LEFT) / (WIDE - LEFT - RIGHT)) * (a1 - a0), a0, a1)];
    tell();
  });
  picture.addEventListener("focus", tell);
  picture.addEventListener("keydown", (e) => {
    const by = { ArrowUp: [1, 0], ArrowDown: [-1, 0], ArrowRight: [0, 1], ArrowLeft: [0, -1] }[e.key];
    if (!by) return;
    e.preventDefault();
    const size = (e.shiftKey ? 10 : 1) / DEG;
    spot = [Math.min(t1, Math.max(t0, spot[0] + by[0] * size)), Math.min(a1, Math.max(a0, spot[1] + by[1] * size))];
    tell();
  });
  return el("figure.map", {}, el("figcaption", {}, title), picture, said);
}

/** Areas of like loss as strips of small fields, one path for each step. */
function steps(field, a, xOf, yOf) {
  const paths = STEPS.map(() => "");
  const size = FINE / DEG;
  for (let t = a.tilts[0]; t < a.tilts.at(-1) - 1e-9; t += size) {
    let begun = null, was = -1;
    for (let az = a.azimuths[0]; az < a.azimuths.at(-1) + 1e-9; az += size) {
      const over = az + size > a.azimuths.at(-1) + 1e-9;
      const step = over ? -1 : STEPS.findIndex((s) => field.lost(t + size / 2, az + size / 2) < s);
      if (step === was) continue;
      if (was >= 0) paths[was] += `M${xOf(begun).toFixed(1)} ${yOf(t).toFixed(1)}H${xOf(az).toFixed(1)}V${yOf(t + size).toFixed(1)}H${xOf(begun).toFixed(1)}z`;
      [begun, was] = [az, step];
      if (over) break;
    }
  }
  return paths.map((d, i) => (d ? svg("path", { d, fill: INKS[i], stroke: INKS[i], "stroke-width": 0.6 }) : null));
}

function frame(a, xOf, yOf) {
  const tilts = [0, 15, 30, 45, 60, 75, 90].map((d) => d / DEG).filter((t) => t >= a.tilts[0] - 1e-9 && t <= a.tilts.at(-1) + 1e-9);
  const turns = [-180, -135, -90, -45, 0, 45, 90, 135, 180, 225, 270, 315, 360, 405, 450].map((d) => d / DEG).filter((t) => t >= a.azimuths[0] - 1e-9 && t <= a.azimuths.at(-1) + 1e-9);
  return [svg("rect", { x: LEFT, y: TOP, width: WIDE - LEFT - RIGHT, height: HIGH - FOOT - TOP, fill: "none", stroke: "#111" }),
    tilts.map((t) => [svg("path.tick", { d: `M${LEFT - 5} ${yOf(t)}H${LEFT}` }), svg("text", { x: LEFT - 8, y: yOf(t) + 5, "text-anchor": "end" }, `${Math.round(t * DEG)}°`)]).flat(),
    turns.map((t) => [svg("path.tick", { d: `M${xOf(t)} ${HIGH - FOOT}v5` }), svg("text", { x: xOf(t), y: HIGH - FOOT + 20, "text-anchor": "middle" }, WIDE < 500 ? NAMES[whole(t)] : compass(t))]).flat(),
    svg("text", { x: (LEFT + WIDE - RIGHT) / 2, y: HIGH - 6, "text-anchor": "middle" }, "direction that the modules face")].flat();
}

function marks(field, a, own, xOf, yOf) {
  const [tilt, azimuth] = field.top;
  const found = [svg("circle.ring", { cx: xOf(azimuth), cy: yOf(tilt), r: 8 })];
  if (a.planned) {
    const x = xOf(own.azimuth);
    const [low, high] = [yOf(a.planned.low), yOf(a.planned.high)];
    found.push(svg("path.halo", { d: `M${x} ${low}V${high}M${x - 12} ${low}h24M${x - 12} ${high}h24` }), svg("path.band", { d: `M${x} ${low}V${high}M${x - 12} ${low}h24M${x - 12} ${high}h24` }));
  }
  found.push(svg("path.own", { d: `M${xOf(own.azimuth) - 9} ${yOf(own.tilt)}h18M${xOf(own.azimuth)} ${yOf(own.tilt) - 9}v18` }));
  return found;
}
