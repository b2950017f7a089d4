"""Outlines of parts that several drawings show."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot

from plumbrail.model.parts import Model
from plumbrail.papers.sheet import Item, Point, Polyline, Text


def box(x: float, wide: float, low: float, high: float) -> tuple[Point, ...]:
    """An upright box about x."""
    h = 0.5 * wide
    return ((x - h, low), (x + h, low), (x + h, high), (x - h, high))


def bar(a: Point, b: Point, wide: float) -> tuple[Point, ...]:
    """A straight bar from a to b."""
    length = hypot(b[0] - a[0], b[1] - a[1])
    u, v = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    du, dv = -0.5 * wide * v, 0.5 * wide * u
    return (
        (a[0] + du, a[1] + dv), (b[0] + du, b[1] + dv), (b[0] - du, b[1] - dv),
        (a[0] - du, a[1] - dv),
    )  # fmt: skip


def braces(model: Model, posts: Sequence[int], axis: int) -> list[Item]:
    """Braces with both ends on some posts, seen along the other axis (0 x, 1 y), with their ids.

    Coordinates are (that axis, height).
    """
    b = model.braces
    items: list[Item] = []
    for i, name in enumerate(b.ids):
        if b.section is None or not {int(b.low_post[i]), int(b.high_post[i])} <= set(posts):
            continue
        low, high = ((float(p[axis]), float(p[2])) for p in b.ends[i])
        items.append(Polyline(bar(low, high, b.section.OD), "medium", True, "paper"))
        at = (low[0] + 0.8 * (high[0] - low[0]), low[1] + 0.8 * (high[1] - low[1]))
        items.append(Text(at, name, align="middle", clear=True))
    return items
