"""Long rows in strips: as many as it takes to be read, on as few pages as they fit."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Protocol, TypeVar

from plumbrail.papers.furniture import Area
from plumbrail.papers.sheet import SCALES, Item, Scale, View

BETWEEN = 4.0
"""Least room between two strips [mm]."""
_MOST = 6
_LEAST_BAYS = 4


class Measured(Protocol):
    """A strip that knows its size on paper [mm]."""

    @property
    def scale(self) -> Scale:
        """Its scale."""
        ...

    @property
    def width(self) -> float:
        """Whole width."""
        ...

    @property
    def height(self) -> float:
        """Whole height."""
        ...

    @property
    def pitch(self) -> float:
        """Least distance of neighbouring holes."""
        ...


class Drawable(Measured, Protocol):
    """A strip that can draw itself."""

    def drawn(self, area: Area) -> tuple[View, list[Item]]:
        """Its view, and the words set on the page."""
        ...


@dataclass(frozen=True)
class Placed:
    """Strips drawn on a page: their views, and the words set on the page."""

    views: tuple[View, ...]
    items: list[Item]


S = TypeVar("S", bound=Measured)
Make = Callable[[Scale, int], list[S]]
"""From a scale and the number of strips to the strips."""


def pages(
    make: Make[S], bays: int, room: Area, system: str, pitch: float, most: int
) -> list[list[S]]:
    """The strips by pages, at most ``most`` of these, at the largest standard scale.

    The row stays whole where its holes are ``pitch`` mm apart or more on paper, or where breaking
    it gains nothing. Raises ValueError when no standard scale is small enough.
    """
    best: list[list[S]] = []
    for count in range(1, max(1, min(_MOST, bays // _LEAST_BAYS)) + 1):
        found = _fitted(make, count, room, system, most)
        if found and (not best or found[0][0].scale.ratio < 0.99 * best[0][0].scale.ratio):
            best = found
        if best and min(s.pitch for page in best for s in page) >= pitch:
            break
    if not best:
        raise ValueError("the drawing does not fit at any standard scale; take a larger page")
    return best


def stacked(strips: Sequence[Measured]) -> float:
    """Height of strips one over the other [mm]."""
    return sum(s.height for s in strips) + BETWEEN * (len(strips) - 1)


def placed(strips: Sequence[Drawable], room: Area) -> Placed:
    """Strips one over the other, the spare height shared out between them."""
    spare = (room.height - stacked(strips)) / (len(strips) + 1)
    top = room.top - spare
    views: list[View] = []
    items: list[Item] = []
    for strip in strips:
        view, words = strip.drawn(replace(room, top=top, bottom=top - strip.height))
        views.append(view)
        items += words
        top -= strip.height + BETWEEN + spare
    return Placed(tuple(views), items)


def cuts(bays: int, count: int) -> list[tuple[int, int]]:
    """First and last station (from 0) of each strip; neighbours share one."""
    ends = [round(i * bays / count) for i in range(count + 1)]
    return list(itertools.pairwise(ends))


def _fitted(make: Make[S], count: int, room: Area, system: str, most: int) -> list[list[S]]:
    for scale in SCALES[system]:
        strips = make(scale, count)
        if any(s.width > room.width or s.height > room.height for s in strips):
            continue
        found: list[list[S]] = [[]]
        for strip in strips:
            if found[-1] and stacked([*found[-1], strip]) > room.height:
                found.append([])
            found[-1].append(strip)
        if len(found) <= most:
            return found
    return []
