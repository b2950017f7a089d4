// The trench in two drawings to scale: its route among what stands and lies there, and its profile.
import { el, svg } from "./dom.js";
import { roundLength } from "./lengthwords.js";

const [WIDE, EDGE] = [960, 60];

/** @param {any} t TrenchReport @param {any} state @param {(m: number) => string} long */
export function plan(t, state, long) {
  const routes = [t.route, ...t.others];
  const xs = routes.flatMap((r) => r.points.map((p) => p[0])), ys = routes.flatMap((r) => r.points.map((p) => p[1]));
  const wide = Math.max(...xs) - Math.min(...xs), deep = Math.max(...ys) - Math.min(...ys);
  const pad = Math.max(2, 0.15 * Math.max(wide, deep));
  const [x0, y1] = [Math.min(...xs) - pad, Math.max(...ys) + pad];
  const k = (WIDE - 20) / (wide + 2 * pad);
  const high = Math.min(Math.max((deep + 2 * pad) * k, 260), 720);
  const scale = Math.min(k, (high - 20) / (deep + 2 * pad));
  const px = ([x, y]) => [10 + (x - x0) * scale, 10 + (y1 - y) * scale];
  const path = (points, closed) => `M${points.map((p) => px(p).map((v) => v.toFixed(1)).join(" ")).join("L")}${closed ? "z" : ""}`;
  const words = `Plan of the route, ${long(t.route.length)}; ${t.pieces.map((p) => `${long(p.start)} to ${long(p.end)} ${p.hand ? "by hand" : "by machine"}${p.names.length ? ` (${p.names.join(", ")})` : ""}`).join("; ")}`;
  const node = svg("svg.trench-plan", { viewBox: `0 0 ${WIDE} ${high.toFixed(0)}`, role: "img", "aria-label": words });
  const shown = state.scene.things.filter((thing) => ["box", "tree", "array", "service", "region", "hole", "easement", "equipment", "combiner"].includes(thing.kind));
  for (const thing of shown) node.append(...thingMarks(thing, px, path, scale, high));
  for (const p of state.scene.panels) node.append(svg("path.thing", { d: path(p.corners, true), "stroke-width": 0.7 }));
  t.others.forEach((o, i) => node.append(svg("path.other", { d: path(o.points) }), text(px(along(o.points, o.length * 0.4 + i)), `${i + 2}`, -8)));
  for (const p of t.pieces) {
    node.append(svg("path", { class: `route ${p.hand ? "hand" : "machine"}`, d: path(between(t.route.points, p.start, p.end)) }));
    if (p.hand) node.append(beside(t.route.points, p.start + 0.8 * (p.end - p.start), px, "by hand"));
  }
  for (const c of t.crossings) node.append(...spot(px(c.point), c.number));
  for (const b of t.boxes) node.append(...spot(px(b.point), b.name));
  const bar = roundLength(160 / scale, state.units);
  node.append(svg("path", { d: `M20 ${high - 18}h${bar.metres * scale}m0 -5v10M20 ${high - 23}v10`, stroke: "#111", "stroke-width": 2, fill: "none" }), text([20 + bar.metres * scale + 34, high - 13], bar.words, 0));
  apart(node, high);
  const drawn = new Set(Array.from(node.querySelectorAll("text"), (word) => word.textContent));
  const services = shown.filter((s) => s.kind === "service" && drawn.has(s.letter || "?"));
  return [el("div.scroll", { tabindex: 0, role: "region", "aria-label": "Plan of the route" }, node),
    el("p.soft", {}, "Heavy line: dug by machine. Heavy dashes, with the words: by hand. Thin dots with a number: the other routes in the order of the table. X: crossings."),
    services.length ? el("ul.key", {}, services.map((s) => el("li", {}, el("strong", {}, s.letter || "?"), ` ${s.name}, ${s.shape}`))) : null];
}

function thingMarks(thing, px, path, scale, high) {
  const name = `thing ${thing.kind}`;
  const at = px(thing.places[0]);
  if (thing.kind === "tree" || thing.kind === "hole") {
    return [svg("circle", { class: name, cx: at[0], cy: at[1], r: Math.max(thing.radius * scale, 2) }), thing.kind === "tree" ? text(at, thing.name, 0) : ""];
  }
  if (thing.kind === "equipment" || thing.kind === "combiner") return [svg("rect", { class: name, x: at[0] - 6, y: at[1] - 6, width: 12, height: 12 }), text(at, thing.name, thing.kind === "combiner" ? 40 : -12)];
  const closed = thing.closed || ["box", "region", "easement", "array"].includes(thing.kind);
  const marks = [svg("path", { class: name, d: path(thing.places, closed), "stroke-dasharray": thing.kind === "service" ? "12 4" : null })];
  if (thing.kind === "service") {
    thing.places.slice(1).forEach((p, i) => {
      const [a, b] = [thing.places[i], p];
      for (const f of [0.2, 0.5, 0.8]) marks.push(text(px([a[0] + f * (b[0] - a[0]), a[1] + f * (b[1] - a[1])]), thing.letter || "?", 5, 700));
    });
  } else {
    // in the middle of what is seen of it
    const spots = thing.places.map(px);
    const seen = [WIDE, high].map((most, c) => [Math.max(Math.min(...spots.map((s) => s[c])), 0), Math.min(Math.max(...spots.map((s) => s[c])), most)]);
    if (seen.every(([a, b]) => a < b)) marks.push(text(seen.map(([a, b]) => (a + b) / 2), thing.name, 0));
  }
  return marks;
}

/** Moves words that stand over one another apart; those of things outside the drawing go. */
function apart(node, high) {
  const placed = [];
  for (const word of node.querySelectorAll("text")) {
    const half = 4.2 * word.textContent.length + 4;
    const [at, from] = [Number(word.getAttribute("x")), Number(word.getAttribute("y"))];
    if (at < 0 || at > WIDE || from < 0 || from > high) {
      word.remove(); // what it names lies outside the drawing
      continue;
    }
    const x = Math.min(Math.max(at, half), WIDE - half);
    const free = (y) => y > 14 && y < high - 4 && placed.every((p) => Math.abs(p.x - x) > p.half + half || Math.abs(p.y - y) > 17);
    const steps = [0, 1, -1, 2, -2, 3, -3, 4, -4].map((k) => from + 9 * k);
    const y = steps.find(free) ?? from;
    placed.push({ x, y, half });
    word.setAttribute("x", x.toFixed(1));
    word.setAttribute("y", y.toFixed(1));
  }
}

const text = ([x, y], words, off, weight = 400) => svg("text", { x: x.toFixed(1), y: (y + off).toFixed(1), "text-anchor": "middle", "font-weight": weight }, words);

/** Words beside a line at a distance along it, on its lower right side. */
function beside(points, at, px, words) {
  const [a, b, c] = [at - 0.02, at, at + 0.02].map((d) => px(along(points, Math.max(d, 0))));
  const [dx, dy] = [c[0] - a[0], c[1] - a[1]];
  const far = Math.hypot(dx, dy) || 1;
  const side = dx > 0 || (dx === 0 && dy < 0) ? 1 : -1;
  const n = [(-dy / far) * side, (dx / far) * side];
  return text([b[0] + n[0] * (8 + 4.2 * words.length), b[1] + n[1] * 16 + 5], words, 0);
}

const spot = ([x, y], words) => [svg("circle", { cx: x, cy: y, r: 6, fill: "#fff", stroke: "#111", "stroke-width": 2 }), text([x - 10 - 4.6 * words.length, y], words, -9, 700)];

/** The place at a distance along a line. */
export function along(points, at) {
  let left = at;
  for (let i = 1; i < points.length; i += 1) {
    const [a, b] = [points[i - 1], points[i]];
    const step = Math.hypot(b[0] - a[0], b[1] - a[1]);
    if (left <= step && step > 0) return [a[0] + ((b[0] - a[0]) * left) / step, a[1] + ((b[1] - a[1]) * left) / step];
    left -= step;
  }
  return points.at(-1);
}

/** The part of a line between two distances. */
export function between(points, from, to) {
  const found = [along(points, from)];
  let at = 0;
  for (let i = 1; i < points.length; i += 1) {
    at += Math.hypot(points[i][0] - points[i - 1][0], points[i][1] - points[i - 1][1]);
    if (at > from + 1e-6 && at < to - 1e-6) found.push(points[i]);
  }
  return [...found, along(points, to)];
}

/** Ground, top of the conduit and bottom of the trench along the route; heights drawn larger. */
export function profile(t, units, long) {
  const p = t.profile;
  const low = Math.min(...p.ground.map((g, i) => g - p.bottom[i])), top = Math.max(...p.ground);
  const end = p.at.at(-1) || 1;
  const [k, high] = [(WIDE - 2 * EDGE) / end, 300];
  const up = Math.min((high - 100) / Math.max(top - low, 0.2), 12 * k);
  const x = (at) => EDGE + at * k, y = (h) => 60 + (top - h) * up;
  const line = (of) => `M${p.at.map((at, i) => `${x(at).toFixed(1)} ${y(of(i)).toFixed(1)}`).join("L")}`;
  const node = svg("svg.trench-profile", { viewBox: `0 0 ${WIDE} ${high}`, role: "img",
    "aria-label": `Profile: ${long(end)} long, trench ${long(Math.min(...p.bottom))} to ${long(Math.max(...p.bottom))} deep, top of the conduit ${long(Math.min(...p.top))} to ${long(Math.max(...p.top))} deep` },
  svg("path", { d: line((i) => p.ground[i]), stroke: "#111", "stroke-width": 2, fill: "none" }),
  svg("path", { d: line((i) => p.ground[i] - p.cover[i]), stroke: "#111", "stroke-width": 1.2, "stroke-dasharray": "3 4", fill: "none" }),
  svg("path", { d: line((i) => p.ground[i] - p.top[i]), stroke: "#111", "stroke-width": 2, "stroke-dasharray": "12 5", fill: "none" }),
  svg("path.trench-bottom", { d: line((i) => p.ground[i] - p.bottom[i]) }));
  for (const piece of t.pieces.filter((one) => one.hand)) {
    node.append(svg("path", { d: `M${x(piece.start)} 34v6H${x(piece.end)}v-6`, stroke: "#111", "stroke-width": 1.5, fill: "none" }), text([(x(piece.start) + x(piece.end)) / 2, 28], "by hand", 0));
  }
  for (const c of t.crossings) {
    const at = y(ground(p, c.at));
    node.append(svg("path", { d: `M${x(c.at)} ${at}V${high - 40}`, stroke: "#111", "stroke-dasharray": "2 3" }), text([x(c.at), high - 24], `${c.number} ${c.service}${c.top === null ? ", depth not known" : ""}`, 0));
  }
  const marks = 5;
  for (let i = 0; i <= marks; i += 1) node.append(text([x((end * i) / marks), high - 4], long((end * i) / marks), 0));
  return [el("div.scroll", { tabindex: 0, role: "region", "aria-label": "Profile of the trench" }, node),
    el("p.soft", {}, `Thin: ground. Dots: least cover by the code. Long dashes: top of the conduit. Heavy: bottom of the trench. Heights are drawn ${(up / k).toFixed(1)} times as large as lengths.`)];
}

function ground(p, at) {
  const i = Math.max(p.at.findIndex((a) => a >= at), 0);
  return p.ground[i];
}
