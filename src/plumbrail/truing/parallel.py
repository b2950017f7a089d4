"""The two beams against each other, station by station."""

from __future__ import annotations

from collections.abc import Iterator

from plumbrail.plan.truing import Tolerances
from plumbrail.truing.block import Block, Limits, same
from plumbrail.truing.shape import Shape, angle_of

FRONT = 0


def _stations(shape: Shape, kind: str) -> tuple[str, ...]:
    return tuple(f"{kind}.{station}" for station in range(1, shape.heads.shape[1] + 1))


def _subject(shape: Shape) -> tuple[str, ...]:
    return tuple(name.replace(".", " ") for name in _stations(shape, "station"))


def parallel(shape: Shape, tolerances: Tolerances) -> Iterator[Block]:
    """Back beam against front beam at each station, less the mean over the row."""
    front, back = shape.heads
    kinds = (
        ("height", "rise from the front to the back beam, more than its mean over the row",
         shape.rise(front, back)),
        ("plan", "back beam behind the front beam, square to the row, more than its mean",
         shape.across(front, back, FRONT)),
        ("distance", "straight from beam to beam, more than its mean over the row",
         shape.distance(front, back)),
    )  # fmt: skip
    for kind, words, measured in kinds:
        ids = _stations(shape, f"parallel.{kind}")
        yield Block("parallel", ids, _subject(shape), same(words, ids), measured.about_mean(),
                    Limits.within(tolerances.parallel))  # fmt: skip


def tilt(shape: Shape, band: Limits) -> Iterator[Block]:
    """Slope from beam to beam at each station.

    Rails rest on both beams, and both are of the same pipe: the line between the centre lines has
    the slope of the rail.
    """
    front, back = shape.heads
    measured = angle_of(shape.rise(front, back), shape.level_distance(front, back))
    ids = _stations(shape, "tilt")
    what = same("slope of a rail laid across both beams", ids)
    yield Block("tilt", ids, _subject(shape), what, measured, band, angle=True)


def spacing_across(shape: Shape, planned: Shape, tolerances: Tolerances) -> Iterator[Block]:
    """Level distance from beam to beam at each station, off the plan."""
    front, back = shape.heads
    wanted = planned.level_distance(front, back).value
    measured = shape.level_distance(front, back).less(wanted)
    ids = _stations(shape, "spacing.across")
    what = same("longer than planned, level from beam to beam", ids)
    yield Block("spacing", ids, _subject(shape), what, measured, Limits.within(tolerances.spacing))


def square(shape: Shape, planned: Shape, tolerances: Tolerances) -> Iterator[Block]:
    """Back head along the row from its front head, off the plan.

    Along the row through the front heads, so that it does not depend on how the axes lie.
    """
    front, back = shape.heads
    wanted = planned.along(front, back, FRONT).value
    measured = shape.along(front, back, FRONT).less(wanted)
    ids = _stations(shape, "square")
    what = same("back post too far to the right of its front post", ids)
    yield Block("square", ids, _subject(shape), what, measured, Limits.within(tolerances.square))
