// The frame as it stands against how it was planned, from above and from the front, with the moves.
import { el, svg } from "./dom.js";
import { VERDICT_MARKS, amount, heads as headsOf } from "./truingwords.js";

const [WIDE, EDGE] = [900, 64];
const SHOWN = 34;

/** @param {any} t  the truing, with `picture` @param {"us"|"metric"} units */
export function picture(t, units) {
  const points = new Map(t.picture.points.map((p) => [p.id, p]));
  const most = Math.max(...t.picture.points.map((p) => Math.hypot(...p.place.map((c, i) => c - p.planned[i]))),
    ...t.picture.moves.map((m) => Math.abs(m.amount)), 1e-4);
  const views = [["Seen from above", 0, 1, null], ["Front row from the front", 0, 2, "F"], ["Back row from the front", 0, 2, "B"]];
  const arrow = svg("svg.only-read", { "aria-hidden": "true", width: 1, height: 1 }, svg("defs", {},
    svg("marker", { id: "move-tip", viewBox: "0 0 10 10", refX: 9, refY: 5, markerWidth: 5, markerHeight: 5, orient: "auto-start-reverse" },
      svg("path", { d: "M0 0 10 5 0 10z", fill: "#111" }))));
  return el("div.truing-pictures", {}, arrow,
    el("p.soft", {}, "Thin and broken: as planned. Thick: as it stands. Deviations and arrows are drawn much larger than they are; numbers are those of the moves. ✓ inside, ✕ outside, △ too uncertain to say, ? not measured."),
    views.map(([title, a, b, row]) => view(title, a, b, row, points, t.picture.moves, most, units)));
}

/** Points of one row with the feet of its posts, or the heads of both rows from above. */
function view(title, a, b, row, points, moves, most, units) {
  const heads = headsOf(points.keys(), row ?? undefined);
  const feet = row ? heads.map((id) => `${id} base`).filter((id) => points.has(id)) : [];
  const ids = [...heads, ...feet];
  if (!ids.length) return null;
  const at = (id, i) => points.get(id).planned[i];
  const [x0, x1] = [Math.min(...ids.map((id) => at(id, a))), Math.max(...ids.map((id) => at(id, a)))];
  const [y0, y1] = [Math.min(...ids.map((id) => at(id, b))), Math.max(...ids.map((id) => at(id, b)))];
  const k = Math.min((WIDE - 2 * EDGE) / Math.max(x1 - x0, 0.5), 190 / Math.max(y1 - y0, 0.2));
  const high = (y1 - y0) * k + 2 * EDGE;
  const shift = (WIDE - (x1 - x0) * k) / 2;
  const larger = SHOWN / most;
  const planned = (id) => [shift + (at(id, a) - x0) * k, high - EDGE - (at(id, b) - y0) * k];
  const place = (id) => {
    const [x, y] = planned(id);
    const p = points.get(id);
    return [x + (p.place[a] - p.planned[a]) * larger, y - (p.place[b] - p.planned[b]) * larger];
  };
  const lines = row ? [heads, ...heads.filter((id) => points.has(`${id} base`)).map((id) => [id, `${id} base`])]
    : ["F", "B"].map((r) => heads.filter((id) => id.startsWith(r)));
  const path = (list, f) => `M${list.map((id) => f(id).map((v) => v.toFixed(1)).join(" ")).join("L")}`;
  const arrows = moves.map((m) => shown(m, ids, a, b, larger, place)).flat();
  const said = heads.map((id) => `${id} ${amount(points.get(id).place[b] - at(id, b), false, units)}`).join(", ");
  return el("figure.truing-view", {}, el("figcaption", {}, title),
    svg("svg", { viewBox: `0 0 ${WIDE} ${high.toFixed(0)}`, role: "img", "aria-label": `${title}. Off the plan ${b === 1 ? "toward the back" : "up"}: ${said}` },
      lines.filter((l) => l.length > 1).map((l) => [svg("path.planned", { d: path(l, planned) }), svg("path.stands", { d: path(l, place) })]).flat(),
      heads.map((id) => post(id, points.get(id), planned(id), place(id), !row && id.startsWith("F") ? 54 : -30)).flat(), arrows));
}

/** A post with its name clear of the arrows, `off` px below. */
function post(id, point, from, to, off) {
  const known = point.known.some(Boolean) || Math.hypot(to[0] - from[0], to[1] - from[1]) > 0.1;
  return [svg("circle.planned", { cx: from[0], cy: from[1], r: 6 }),
    known ? svg("circle", { class: `stands ${point.verdict.split(" ")[0]}`, cx: to[0], cy: to[1], r: 6 }) : null,
    svg("text.name", { x: from[0], y: from[1] + off, "text-anchor": "middle" }, `${VERDICT_MARKS[known ? point.verdict : ""]} ${id}`)];
}

/** Arrows of a move in this view; nothing when it goes toward the eye. */
function shown(m, ids, a, b, larger, place) {
  return m.arrows.filter((w) => ids.includes(w.at)).map((w) => {
    const [dx, dy] = [(w.end[a] - w.start[a]) * larger, -(w.end[b] - w.start[b]) * larger];
    const long = Math.hypot(dx, dy);
    if (long < 0.5) return null;
    const [x, y] = place(w.at);
    const f = Math.max(long, 20) / long;
    const [tx, ty] = [x + dx * f, y + dy * f];
    return [svg("path.move", { d: `M${x.toFixed(1)} ${y.toFixed(1)}L${tx.toFixed(1)} ${ty.toFixed(1)}`, "marker-end": "url(#move-tip)" }),
      svg("circle.move-number", { cx: tx + (dx ? Math.sign(dx) * 13 : 0), cy: ty + (dy && !dx ? Math.sign(dy) * 13 : 0), r: 10 }),
      svg("text.move-number", { x: tx + (dx ? Math.sign(dx) * 13 : 0), y: ty + (dy && !dx ? Math.sign(dy) * 13 : 0) + 5, "text-anchor": "middle" }, m.number)];
  }).flat();
}
