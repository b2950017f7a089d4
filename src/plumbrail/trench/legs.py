"""The conduit in straight pieces and bends, cut into legs that can be pulled."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from plumbrail.bases.us.nec import raceway
from plumbrail.trace import Certainty, given
from plumbrail.trench import pulling
from plumbrail.trench.along import place
from plumbrail.trench.parts import Bend, Box, Direction, Element, Leg, Piece, Profile, Wires
from plumbrail.trench.planar import Array
from plumbrail.trench.wires import INCH, Cable

QUARTER, TURN = 0.5 * np.pi, 2.0 * np.pi
MOST_BOXES = 12
ROUNDING = 1e-9


def elements(p: Profile, bends: tuple[Bend, ...], down: float, up: float) -> tuple[Element, ...]:
    """From the box at the array to the wall: riser, sweep, what lies in the ground, sweep, riser.

    ``down`` and ``up`` are the upright lengths of the risers [m].
    """
    end = float(p.at[-1])
    found = [Element("straight", 0.0, 0.0, down, -QUARTER, 0.0),
             Element("bend", 0.0, 0.0, 0.0, 0.0, QUARTER)]  # fmt: skip
    height = p.ground - p.top
    spots = sorted({0.0, end, *(b.at for b in bends if 0.0 < b.at < end)})
    for a, b in pairwise(spots):
        rise = float(np.interp(b, p.at, height) - np.interp(a, p.at, height))
        found.append(Element("straight", a, b, float(np.hypot(b - a, rise)),
                             float(np.arctan2(rise, b - a)), 0.0))  # fmt: skip
        found += [Element("bend", b, b, 0.0, 0.0, x.angle) for x in bends if x.at == b]
    return (*found, Element("bend", end, end, 0.0, 0.0, QUARTER),
            Element("straight", end, end, up, QUARTER, 0.0))  # fmt: skip


@dataclass(frozen=True)
class Walk:
    """A pull with every step as the record knows it."""

    tension: list[Array]
    sidewall: list[Array]


def walk(cable: Cable, parts: tuple[Element, ...], toward: str) -> Walk:
    """Tension and pressure along a leg; toward the array the way is walked backward."""
    w, mu, W_c, R = cable.weight(), cable.friction(), cable.correction(), cable.radius()
    back = toward == "array"
    T = given("nothing holds the wires back at the reel", "T_0 [N]", 0.0, Certainty.PRACTICE)
    found = Walk([], [])
    for e in reversed(parts) if back else parts:
        here = np.asarray(0.0)
        if e.what == "bend":
            theta = given("profile of the trench", "theta [rad]", e.angle, Certainty.DERIVED)
            T = pulling.bend_pull(T, theta, mu, W_c)
            here = (pulling.sidewall_cradled(T, R, W_c) if cable.count == 3
                    else pulling.sidewall(T, R))  # fmt: skip
        else:
            L = given("profile of the trench", "L [m]", e.long, Certainty.DERIVED)
            a = given("profile of the trench", "a [rad]", -e.slope if back else e.slope,
                      Certainty.DERIVED)  # fmt: skip
            T = pulling.straight_pull(T, w, L, a, mu, W_c)
        found.tension.append(T)
        found.sidewall.append(here)
    return found


def pull(cable: Cable, parts: tuple[Element, ...], toward: str) -> Direction:
    """The same as plain numbers."""
    made = walk(cable, parts, toward)
    return Direction(toward, np.array([float(v) for v in made.tension]),
                     np.array([float(v) for v in made.sidewall]))  # fmt: skip


def most(found: list[Array]) -> Array:
    """The largest of some steps."""
    return max(found, key=float)


def legs(
    parts: tuple[Element, ...], cable: Cable | None, sidewall: float, names: tuple[str, str]
) -> tuple[tuple[Leg, ...], tuple[int, ...], tuple[str, ...]]:
    """Legs, the elements at which pull boxes part them, and why each box is there."""
    cuts: list[int] = []
    whys: dict[int, str] = {}
    for _ in range(MOST_BOXES):
        found = _parted(parts, sorted(cuts), cable, names)
        bad = next((k for k, leg in enumerate(found) if _why(leg, cable, sidewall)), None)
        if bad is None:
            break
        low = [-1, *sorted(cuts)][bad]
        high = [*sorted(cuts), len(parts)][bad]
        at = _cut(parts, low, high)
        if at is None:
            break
        whys[at] = _why(found[bad], cable, sidewall)
        cuts.append(at)
    return (_parted(parts, sorted(cuts), cable, names), tuple(sorted(cuts)),
            tuple(whys[k] for k in sorted(cuts)))  # fmt: skip


def _why(leg: Leg, cable: Cable | None, sidewall: float) -> str:
    """What is wrong with a leg; empty when nothing is."""
    if leg.bends > TURN * (1 + ROUNDING):
        return "more than one full turn of bends"
    if cable is None or not leg.directions:
        return ""
    best = leg.directions[leg.better]
    if float(best.tension.max()) > float(cable.limit()):
        return "the pull would be too strong"
    return "too much pressure in a bend" if float(best.sidewall.max()) > sidewall else ""


def _cut(parts: tuple[Element, ...], low: int, high: int) -> int | None:
    """The inner bend of a leg that parts its bends most evenly; it becomes a box."""
    inner = [k for k in range(low + 1, high) if parts[k].what == "bend"
             and parts[k].start > 0.0 and k not in (1, len(parts) - 2)]  # fmt: skip
    if not inner:
        return None
    total = sum(parts[k].angle for k in range(low + 1, high))

    def uneven(k: int) -> float:
        before = sum(parts[i].angle for i in range(low + 1, k))
        return float(max(before, total - before - parts[k].angle))

    return min(inner, key=uneven)


def _parted(
    parts: tuple[Element, ...], cuts: list[int], cable: Cable | None, names: tuple[str, str]
) -> tuple[Leg, ...]:
    ends = [names[0], *(f"PB{i + 1}" for i in range(len(cuts))), names[1]]
    edges = [-1, *cuts, len(parts)]
    return tuple(
        _leg(f"leg{i + 1}", ends[i], ends[i + 1], parts[edges[i] + 1 : edges[i + 1]], cable)
        for i in range(len(ends) - 1)
    )


def _leg(name: str, start: str, end: str, parts: tuple[Element, ...], cable: Cable | None) -> Leg:
    both: tuple[Direction, ...] = ()
    if cable is not None:
        both = (pull(cable, parts, "equipment"), pull(cable, parts, "array"))
    better = 0
    if both and float(both[1].tension.max()) < float(both[0].tension.max()):
        better = 1
    return Leg(name, start, end, parts, sum(e.angle for e in parts), sum(e.long for e in parts),
               both, better)  # fmt: skip


def boxes(
    parts: tuple[Element, ...], cuts: tuple[int, ...], whys: tuple[str, ...], points: Array,
    pieces: tuple[Piece, ...], wires: Wires,
) -> tuple[Box, ...]:  # fmt: skip
    """Pull boxes in the ground, with the least length that the code asks for."""
    found = []
    for i, (k, why) in enumerate(zip(cuts, whys, strict=True)):
        at = parts[k].start
        x, y = place(points, np.array([at]))[0]
        near = next((p for p in pieces if p.start <= at <= p.end and p.hand), None)
        said = why + (f"; it lies in: {', '.join(near.names)}" if near is not None else "")
        found.append(Box(f"PB{i + 1}", at, (float(x), float(y)), said, _least(wires)))
    return tuple(found)


def _least(wires: Wires) -> float | None:
    """314.28 sets sizes for 4 AWG and larger only; an angle pull, the other conduit beside."""
    if not wires.trade:
        return None
    size = next((b.size for b in wires.bundles if not b.grounding), "")
    small = size in {"14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG"}
    if small or not size:
        return None
    trade = _inches(wires.trade) * INCH
    return float(raceway.pull_box_angle(np.asarray(trade), np.asarray(0.0)))


def _inches(trade: str) -> float:
    whole, _, part = trade.partition("-") if "-" in trade else (
        ("0", "", trade) if "/" in trade else (trade, "", "")
    )  # fmt: skip
    top, _, low = part.partition("/")
    return float(whole) + (float(top) / float(low) if part else 0.0)
