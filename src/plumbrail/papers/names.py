"""Names of parts at their true places, for the model space of a CAD file."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from plumbrail.papers.sheet import Point, Text

LAYER = "names"
"""It is off in the viewports of the sheets, so that nothing is said twice on paper."""

ASLANT = 45.0
"""Angle of a name that starts at a point, off the upright and level lines there [degrees]."""


def named(
    ids: Sequence[str], places: Iterable[Sequence[float]], angle: float = 0.0
) -> tuple[Text, ...]:
    """A text for each name, its foot on the place of the part [m]."""
    return tuple(
        _name(id, (float(place[0]), float(place[1])), angle)
        for id, place in zip(ids, places, strict=True)
    )


def _name(id: str, at: Point, angle: float) -> Text:
    return Text(at, id, angle=angle, bold=True, layer=LAYER)
