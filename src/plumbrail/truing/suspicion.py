"""Suspected blunders in words of the site; a person decides, nothing is dropped."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from plumbrail.notebook.entries import Axis, Kind, Reading
from plumbrail.truing.gather import Gathered, Pseudo
from plumbrail.truing.guesses import CLOSE, Case, Other, questions
from plumbrail.truing.instruments import TAPED
from plumbrail.truing.naming import AXIS_WORDS, named
from plumbrail.truing.observe import read_off
from plumbrail.truing.parts import Array, Suspicion
from plumbrail.truing.points import Place
from plumbrail.truing.rows import make_rows, runs_along
from plumbrail.units import show, show_length_inches

MOST_ALIKE = 4
"""Readings and moves named together when they cannot be told apart; the rest is counted."""


@dataclass(frozen=True)
class Scene:
    """The adjusted network that suspects are judged against."""

    network: Gathered
    full: Array
    """(size,) all coordinates and laser heights."""
    size: Array
    """(readings,) by how much each suspect reads too far positive."""
    size_sd: Array
    units: str
    pseudo: Pseudo
    """Conditions that stand below the readings."""
    instead: Mapping[tuple[int, int], float] = field(default_factory=dict)
    """By suspect and other: the same of what could be wrong instead of the suspect."""

    def case(self, i: int, suspect: int) -> Case:
        """One reading, the suspect or what could be wrong instead of it."""
        size = self.instead.get((suspect, i), float(self.size[i]))
        return Case(self.network.readings[i], size, float(self.size_sd[i]), self.units)


def suspicions(scene: Scene, groups: Sequence[tuple[int, ...]]) -> tuple[Suspicion, ...]:
    """One for each suspect, by line; ``groups`` hold rows that cannot be told apart from it."""
    m = len(scene.network.readings)
    suspects = {group[0]: scene.case(group[0], group[0]) for group in groups}
    found = []
    for group in groups:
        # several conditions of one move are one thing to look at
        alike = dict.fromkeys(i if i < m else _condition(scene.pseudo, i - m) for i in group)
        shown, rest = list(alike)[:MOST_ALIKE], len(alike) - MOST_ALIKE
        readings = tuple(int(i) for i in shown if not isinstance(i, str))
        words = [_sentence(scene, i, group[0], suspects) for i in readings]
        words += [w for w in shown if isinstance(w, str)]
        if rest > 0:
            words.append(f"one of {rest} more rows" if rest > 1 else "one more row")
        text = words[0]
        if len(words) > 1:
            both = "both" if len(words) == 2 else "all of them"
            text = f"either {', or '.join(words)} (they cannot be told apart: measure {both} again)"
        found.append(Suspicion(readings, suspects[group[0]].size, text))
    return tuple(sorted(found, key=lambda s: scene.network.readings[s.readings[0]].line))


def _condition(pseudo: Pseudo, i: int) -> str:
    line = int(pseudo.line[i])
    if line:
        return f"the move of {pseudo.words[i]} (line {line}) is not as noted"
    return f"{pseudo.words[i] or 'the ground'} does not stand where the plan has it"


def _sentence(scene: Scene, i: int, suspect: int, suspects: dict[int, Case]) -> str:
    """``tape F2–B2 (line 14) reads 12 in long: was a foot misread?``"""
    case = scene.case(i, suspect)
    reading = case.reading
    # what stands in for the suspect was not swapped with it: that one would then be right
    others = [s for k, s in suspects.items() if k not in (i, suspect)]
    asked = list(_swapped(case, others))
    asked += [q for q in questions(case, _others(scene, i)) if not asked]
    question = f": {', or '.join(asked)}?" if asked else ": measure it again"
    return f"{named(reading)} (line {reading.line}) {_off(scene.network, case)}{question}"


def _swapped(case: Case, others: Iterable[Case]) -> Iterator[str]:
    """Each of two suspects has the value of the other."""
    for other in others:
        same = other.reading.kind is case.reading.kind
        slack = CLOSE * math.hypot(case.sd, other.sd)
        crossed = max(abs(case.reading.value - other.truth), abs(other.reading.value - case.truth))
        if same and crossed <= slack:
            yield f"was it swapped with line {other.reading.line}"
            return


def _off(network: Gathered, case: Case) -> str:
    """``reads 12 in long``, ``leans 1.0° too far to the back``."""
    reading, more = case.reading, case.size > 0
    kind = reading.kind
    much = amount(case.round_size, kind in (Kind.PLUMB, Kind.TILT), case.units)
    if kind in TAPED:
        return f"reads {much} {'long' if more else 'short'}"
    if kind is Kind.ROD:
        return f"reads {much} too {'much' if more else 'little'}"
    if kind is Kind.STRING_HEIGHT:
        return f"reads {much} too {'high' if more else 'low'}"
    if kind is Kind.TILT:
        return f"reads {much} too {'steep' if more else 'flat'}"
    way = reading.axis if kind is Kind.PLUMB else _off_axis(network, reading)
    right, left = AXIS_WORDS[way or Axis.ACROSS]
    return f"reads {much} too far to the {right if more else left}"


def _off_axis(network: Gathered, reading: Reading) -> Axis:
    """Which way a string side is measured."""
    points = network.points
    start, end = (points.index(n.removesuffix(" top")) for n in (reading.start, reading.end))
    step = points.planned[end] - points.planned[start]
    return Axis.ACROSS if runs_along(step) else Axis.ALONG


def amount(value: float, angle: bool, units: str) -> str:
    """Size of a slip without its sign: ``12 in``, ``305 mm``, ``1.0°``."""
    if angle:
        return show(abs(value), "angle", units)
    if units == "us":
        return show_length_inches(abs(value)).replace('"', " in")
    return show(round(abs(value), 3), "length", units)


def _others(scene: Scene, i: int) -> tuple[Other, ...]:
    """What neighbouring points, the other direction or another set-up would have read."""
    network = scene.network
    reading = network.readings[i]
    xyz = scene.full[: 3 * len(network.versions.point)].reshape(-1, 3)
    lasers = scene.full[xyz.size :]
    found = []
    for words, other in _alternatives(network, reading):
        plain = replace(other, way=None)  # its words were said of other points
        made, _ = make_rows(network.points, network.versions, [plain], network.truing)
        if not made.readings:
            continue
        height = [lasers[network.setups.index(name)] for name in made.setups]
        value, _ = read_off(made.rows, xyz, np.array(height, dtype=float))
        found.append(Other(words, float(value[0])))
    return tuple(found)


def _alternatives(network: Gathered, reading: Reading) -> Iterator[tuple[str, Reading]]:
    """Readings that are easily taken for this one, with the question to ask."""
    for slot in ("start", "end", "at"):
        name: str = getattr(reading, slot)
        for near in _neighbours(network, name, reading.kind) if name else ():
            if near not in (reading.start, reading.end, reading.at):
                changed: Reading = replace(reading, **{slot: near})  # type: ignore[arg-type]
                yield f"was {near} read instead of {name}", changed
    if reading.kind is Kind.PLUMB:
        other = Axis.ALONG if reading.axis is Axis.ACROSS else Axis.ACROSS
        yield f"was it read {other}", replace(reading, axis=other)
    if reading.kind is Kind.ROD:
        for setup in network.setups:
            if setup != reading.setup:
                yield f"was it read from set-up {setup}", replace(reading, setup=setup)


def _neighbours(network: Gathered, name: str, kind: Kind) -> Iterator[str]:
    """The posts on either side and across, and the other places of the same post."""
    points = network.points
    post, _, part = name.partition(" ")
    if post not in points.ids:
        i = points.index(name)
        yield from (points.ids[j] for j in points.of(Place(int(points.place[i]))) if j != i)
        return
    row, n = post[0], int(post[1:])
    tail = f" {part}" if part else ""
    for station in (n - 1, n + 1):
        if 1 <= station <= points.stations:
            yield f"{row}{station}{tail}"
    yield f"{'B' if row == 'F' else 'F'}{n}{tail}"
    parts = ("", " top") if kind is Kind.ROD else ("", " base") if kind is not Kind.PLUMB else ()
    yield from (f"{post}{part}" for part in parts if part != tail)
