"""Rows of figures under an elevation, each figure straight below its post."""

from __future__ import annotations

from dataclasses import dataclass

from plumbrail.papers.furniture import widest
from plumbrail.papers.lettering import DESCENT
from plumbrail.papers.placing import lettered_row, row_height
from plumbrail.papers.sheet import Item, Line, Text

_PAD = 1.6


@dataclass(frozen=True)
class Band:
    """One row: what it says and one figure per post."""

    name: str
    words: tuple[str, ...]


def bands_height(bands: tuple[Band, ...], xs: list[float]) -> float:
    """Height of all bands on paper [mm], for posts at ``xs`` [mm]."""
    return sum(row_height(xs, list(b.words)) + 2 * _PAD for b in bands)


def names_width(bands: tuple[Band, ...]) -> float:
    """Width of the column of names [mm]."""
    return widest([b.name for b in bands]) + 3.0


def drawn(
    bands: tuple[Band, ...], xs: list[float], left: float, right: float, top: float
) -> list[Item]:
    """The bands from ``left`` to ``right``, downward from ``top`` [mm]."""
    items: list[Item] = [Line((left, top), (right, top))]
    for band in bands:
        high = row_height(xs, list(band.words))
        items.append(Text((left, top - _PAD - 0.5 * (high + 2.5 - 2.5 * DESCENT)), band.name))
        items += lettered_row(xs, list(band.words), top - _PAD, True, top)
        top -= high + 2 * _PAD
        items.append(Line((left, top), (right, top)))
    return items
