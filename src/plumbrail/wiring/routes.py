"""Paths of wires through the frame, with real points and lengths.

A home run leaves the module's lead, runs to the nearest rail, along it to the beam that the box
hangs at, along the beam and down to the box. Each wire is taken along the centre lines of rails
and beams; how far its clips stand off is in the slack.
"""

from __future__ import annotations

import numpy as np

from plumbrail.model.parts import Model
from plumbrail.wiring.parts import Array, IntArray, Path, Strings
from plumbrail.wiring.places import Box, junctions, nearest
from plumbrail.wiring.strings import members

SHORTEST = 0.05
"""A home run is never taken shorter than this [m], however long the module's own lead is."""


def length_of(points: Array) -> float:
    """Length along a polyline (n, 3)."""
    return float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())


def trimmed(points: Array, start: float, end: float = 0.0) -> Array:
    """A polyline (n, 3) less a length at its start and one at its end."""
    steps = np.linalg.norm(np.diff(points, axis=0), axis=1)
    at = np.concatenate([[0.0], np.cumsum(steps)])
    low, high = start, at[-1] - end
    inside = (at > low) & (at < high)
    places = np.concatenate([[low], at[inside], [high]])
    return np.stack([np.interp(places, at, points[:, k]) for k in range(3)], axis=-1)


def plain(points: Array) -> Array:
    """A polyline without points that coincide with the one before."""
    far = np.linalg.norm(np.diff(points, axis=0), axis=1) > 1e-9
    return np.asarray(points[np.concatenate([[True], far])])


def beam_line(model: Model, row: int, a: float, b: float) -> Array:
    """(n, 3) points along a beam between two distances from its left end, bent at the posts."""
    low, high = min(a, b), max(a, b)
    at = model.beams.supports[row]
    knots = np.concatenate([[low], np.sort(at[(at > low) & (at < high)]), [high]])
    points = model.beams.point(row, knots)
    return np.asarray(points if a <= b else points[::-1])


def way_to_box(model: Model, module: int, box: Box) -> Array:
    """(n, 3) from a module's junction box to a combiner box."""
    spot = junctions(model)[module]
    rail = _rail(model, module, spot, box)
    start, end = model.rails.start[rail], model.rails.end[rail]
    along = (end - start) / np.linalg.norm(end - start)
    on_rail = start + float(np.clip((spot - start) @ along, 0.0, model.rails.length)) * along
    crossing = start + model.rails.crossing[box.row, rail] * along
    beam = beam_line(model, box.row, float(model.rails.on_beam[box.row, rail]), box.along)
    return plain(np.vstack([spot, on_rail, crossing, beam, box.point]))


def _rail(model: Model, module: int, spot: Array, box: Box) -> int:
    """The rail of the module's column that is nearest; of two alike the one toward the box."""
    own = np.flatnonzero(model.rails.column == model.modules.column[module])
    own = own[nearest(np.abs(model.rails.start[own, 0] - spot[0]))]
    return int(own[np.abs(model.rails.start[own, 0] - box.point[0]).argmin()])


def between(model: Model, one: int, two: int) -> Array:
    """(n, 3) from one module's junction box to another's, along the row and then up the slope."""
    spots = junctions(model)
    a, b = spots[one], spots[two]
    corner = a + ((b - a) @ model.plane.row) * model.plane.row
    return plain(np.vstack([a, corner, b]))


def home_runs(model: Model, strings: Strings, s: int, box: Box, lead: float) -> list[Path]:
    """The two home runs of a string, from the ends of its own leads to its box."""
    own = members(strings, s)
    found = []
    for module, pole in ((int(own[0]), "positive"), (int(own[-1]), "negative")):
        way = way_to_box(model, module, box)
        points = trimmed(way, min(lead, length_of(way) - SHORTEST))
        what = f"{pole} wire of {strings.ids[s]} from {model.modules.ids[module]} to {box.id}"
        found.append(Path(f"{strings.ids[s]} {pole}", what, points, length_of(points), "home run"))
    return found


def jumpers(model: Model, strings: Strings, s: int, lead: float) -> list[Path]:
    """Wires between modules of a string that are too far apart for their own leads."""
    own, found = members(strings, s), list[Path]()
    for one, two in zip(own[:-1].tolist(), own[1:].tolist(), strict=True):
        way = between(model, one, two)
        if length_of(way) <= 2.0 * lead:
            continue
        points = trimmed(way, lead, lead)
        a, b = model.modules.ids[one], model.modules.ids[two]
        found.append(Path(f"{strings.ids[s]} jumper {len(found) + 1}", f"from {a} to {b}", points,
                          length_of(points), "jumper"))  # fmt: skip
    return found


def box_to_start(model: Model, box: Box, start: Box) -> Array:
    """(n, 3) from a box along the beam to the box where the run starts."""
    return plain(np.vstack([box.point, beam_line(model, box.row, box.along, start.along),
                            start.point]))  # fmt: skip


def run_paths(model: Model, found: list[Box], start: int) -> list[Path]:
    """What is known of the run: from the other boxes to the first, and down into the ground."""
    paths = []
    for box in found:
        if box is found[start]:
            x, y, _ = box.point
            grade = float(np.asarray(model.terrain.height(x, y)))
            points = np.vstack([box.point, [x, y, grade]])
            what = f"down from {box.id} to the ground, where the run starts"
        else:
            points = box_to_start(model, box, found[start])
            what = f"from {box.id} along the beam to {found[start].id}"
        paths.append(Path(f"{box.id} run", what, points, length_of(points), "run"))
    return paths


def ground_paths(model: Model, found: list[Box], parts: list[IntArray]) -> list[Path]:
    """The grounding conductor: along the beam past every rail of a share, and to its box."""
    paths = []
    for box, modules in zip(found, parts, strict=True):
        columns = np.unique(model.modules.column[modules])
        at = model.rails.on_beam[box.row, np.isin(model.rails.column, columns)]
        low, high = float(at.min()), float(at.max())
        line = plain(beam_line(model, box.row, low, high))
        near = float(np.clip(box.along, low, high))
        tail = plain(np.vstack([beam_line(model, box.row, near, box.along), box.point]))
        if len(line) > 1:
            paths.append(Path(f"{box.id} ground", "along the beam, bonded to every rail", line,
                              length_of(line), "ground"))  # fmt: skip
        paths.append(Path(f"{box.id} ground tail", f"from the beam to {box.id}", tail,
                          length_of(tail), "ground"))  # fmt: skip
    return paths
