"""The stake-out table: a row for every place where something begins, bends or crosses."""

from __future__ import annotations

from math import atan2, degrees, pi

import numpy as np

from plumbrail.model.parts import Model
from plumbrail.trench.along import place, reach, turns
from plumbrail.trench.parts import Box, Crossing, Piece, Profile, Station
from plumbrail.trench.planar import Array

TOGETHER = 0.05
"""Places nearer than this [m] are one stake."""


def stations(
    points: Array, model: Model, p: Profile, passed: tuple[Crossing, ...],
    pieces: tuple[Piece, ...], boxes: tuple[Box, ...], row_bearing: float,
) -> tuple[Station, ...]:  # fmt: skip
    """``T1`` … in order along the route; ``row_bearing`` is that of the x axis [rad]."""
    end = float(reach(points)[-1])
    said = [(0.0, "riser of the array"), (end, "wall, riser"), *_bends(points),
            *_limits(pieces), *((b.at, f"pull box {b.name}") for b in boxes)]  # fmt: skip
    said += [(c.at, f"{c.number} {c.service}: {_depth(c)}") for c in passed]
    groups: list[tuple[float, list[str]]] = []
    for at, words in sorted(said, key=lambda s: s[0]):
        if groups and at - groups[-1][0] < TOGETHER:
            groups[-1][1].append(words)
        else:
            groups.append((at, [words]))
    return tuple(_station(i, groups, points, model, p, row_bearing) for i in range(len(groups)))


def _depth(c: Crossing) -> str:
    if c.over is None:
        return "depth not known"
    return "conduit passes over" if c.over else "conduit passes under"


def _bends(points: Array) -> list[tuple[float, str]]:
    at, angle = turns(points)
    along = reach(points)
    return [
        (float(along[k]), f"bend {abs(degrees(a)):.0f}° {'left' if a > 0 else 'right'}")
        for k, a in zip(at.tolist(), angle, strict=True)
    ]


def _limits(pieces: tuple[Piece, ...]) -> list[tuple[float, str]]:
    found = []
    for before, after in zip((None, *pieces), (*pieces, None), strict=True):
        was, now = before is not None and before.hand, after is not None and after.hand
        if was != now:
            here = after if now else before
            assert here is not None
            word = "by hand from here" if now else "by hand to here"
            found.append((here.start if now else here.end, word))
    return found


def _station(
    i: int, groups: list[tuple[float, list[str]]], points: Array, model: Model, p: Profile,
    row_bearing: float,
) -> Station:  # fmt: skip
    at, words = groups[i]
    here = place(points, np.array([at]))[0]
    bearing = None
    if i + 1 < len(groups):
        x, y = place(points, np.array([groups[i + 1][0]]))[0] - here
        bearing = (row_bearing - atan2(y, x)) % (2 * pi)
    return Station(
        f"T{i + 1}", at, (float(here[0]), float(here[1])), bearing,
        float(np.asarray(model.terrain.height(here[0], here[1]))),
        float(np.interp(at, p.at, p.bottom)), "; ".join(words),
    )  # fmt: skip
