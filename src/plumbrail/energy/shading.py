"""Sun and sky that reach the points of a plane, past all that stands around it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.energy.casts import Cast, cast, cast_level, product
from plumbrail.energy.dome import Dome, cells_above, disc_above, dome
from plumbrail.energy.parts import Shading
from plumbrail.energy.rays import refuse_inside
from plumbrail.site.surroundings import Kind, Surroundings

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
Mask = NDArray[np.bool_]


@dataclass(frozen=True)
class MonthlyShading(Shading):
    """With the sky month by month, as leaves come and fall.

    ``dome`` and ``skyline`` are plain means of the twelve months.
    """

    dome_month: Array
    """(12, points)"""
    skyline_month: Array
    """(12, points)"""

    @property
    def ground_month(self) -> Array:
        """(12, points) share of the ground's light: as the dome's.

        The ground about the array sees as much less of the sky as the array does. What hides some
        of the ground stands in its place and throws light back itself.
        """
        return self.dome_month


@dataclass(frozen=True)
class Traced:
    """What every single thing hides from every point; nothing need be traced twice."""

    names: tuple[str, ...]
    kinds: tuple[Kind, ...]
    hours: int
    points: int
    beam: tuple[Cast, ...]
    """One a thing; rows are hours."""
    sky: tuple[Cast, ...]
    """One a thing; rows are directions of the dome, light by month."""
    dome: Dome
    light: Array
    """(things, 12) share that comes through each."""

    def all(self) -> MonthlyShading:
        """Everything stands."""
        return self._without(frozenset())

    def without(self, *left_out: int) -> MonthlyShading:
        """Everything stands but the things of these numbers; raises IndexError beyond."""
        wrong = [k for k in left_out if not 0 <= k < len(self.names)]
        if wrong:
            raise IndexError(f"{len(self.names)} things shade; there is no number {wrong[0]}")
        return self._without(frozenset(left_out))

    def open(self) -> MonthlyShading:
        """Nothing stands."""
        return self._without(frozenset(range(len(self.names))))

    def _without(self, left_out: frozenset[int]) -> MonthlyShading:
        stay = [k for k in range(len(self.names)) if k not in left_out]
        through = product([self.beam[k] for k in stay], self.hours, self.points)
        seen, band = self._sky(stay)
        return MonthlyShading(np.asarray(through), _mean(seen), _mean(band), seen, band)

    def _sky(self, stay: list[int]) -> tuple[Array, Array]:
        """(12, points) shares of the dome and of the band at the horizon."""
        light = self.light[stay]
        _, first, which = np.unique(light, axis=1, return_index=True, return_inverse=True)
        weight = self.dome.weight
        both = np.stack([weight, np.where(self.dome.skyline, weight, 0.0)])
        both /= both.sum(axis=1, keepdims=True)
        views = np.stack([
            both @ np.asarray(
                product([self.sky[k] for k in stay], len(weight), self.points, int(month)), float
            )
            for month in first
        ])[which.ravel()]  # fmt: skip
        return views[:, 0], views[:, 1]


def _mean(months: Array) -> Array:
    return np.asarray(months.mean(axis=0), dtype=float)


def trace(
    points: Array, normal: Array, around: Surroundings, toward: Array, month: IntArray, up: Mask
) -> Traced:
    """Trace sun and sky; arguments as in :func:`shade`, which is ``trace(...).all()``."""
    points, toward = np.asarray(points, dtype=float), np.asarray(toward, dtype=float)
    refuse_inside(around, points)
    lit = np.flatnonzero(np.asarray(up, dtype=bool) & (toward @ normal > 0.0))
    sky, light = dome(np.asarray(normal, dtype=float)), around.light
    beams, skies = [], []
    for k in range(len(around.names)):
        beam, over = _one(around, k, points, toward[lit], light[k, month[lit] - 1], sky)
        beams.append(Cast(lit[beam.rows], beam.hit, beam.light))
        skies.append(over)
    return Traced(
        around.names, around.kinds, len(toward), len(points), tuple(beams), tuple(skies), sky, light
    )


def _one(
    around: Surroundings, k: int, points: Array, toward: Array, light: Array, sky: Dome
) -> tuple[Cast, Cast]:
    """What the k-th thing hides of the sun (light (h,) comes through) and of the sky."""
    if around.horizon is not None and around.place(k)[0] is Kind.HORIZON:
        disc = disc_above(toward, around.horizon, around.row_bearing)
        cells = cells_above(sky, around.horizon, around.row_bearing)
        return cast_level(disc, len(points)), cast_level(cells, len(points))
    months = np.broadcast_to(around.light[k], (len(sky.weight), 12))
    return (
        cast(around, k, points, toward, light[:, None]),
        cast(around, k, points, sky.toward, months),
    )


def shade(
    points: Array, normal: Array, around: Surroundings, toward: Array, month: IntArray, up: Mask
) -> MonthlyShading:
    """What the surroundings let through to points (p, 3) on a plane with unit normal (3,).

    ``toward`` (h, 3) unit vectors to the sun in local axes, ``month`` (h,) 1 to 12, ``up`` (h,)
    some of the hour is day. The sun is traced only by day and before the plane; at other times 1
    comes through.
    Raises GeometryError when something stands where a point is. Takes 4 bytes an hour and point.
    """
    return trace(points, normal, around, toward, month, up).all()
