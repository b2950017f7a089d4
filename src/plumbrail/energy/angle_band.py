"""How much, or how little, the angle matters: numbers for a sentence on paper."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline

from plumbrail.energy.parts import AngleMap
from plumbrail.errors import RangeError

Array = NDArray[np.float64]

STEP = float(np.radians(0.1))
"""Tilts are told apart to a tenth of a degree, azimuths to one."""


@dataclass(frozen=True)
class Band:
    """What a band of tilts costs, at the plan's azimuth. Costs are shares, 0.01 for 1 %."""

    low: float
    high: float
    """Tilts [rad]."""
    year: float
    """Most that a tilt of the band loses of the year, against the best of all tilts."""
    month: float
    """Most that it loses of the worst month, against the best of all tilts for that month."""
    month_within: float
    """The same against the band's own best tilt: what the choice within the band costs."""


@dataclass(frozen=True)
class AngleBand:
    """Light on the plane by its angles. Tilts and azimuths in rad; costs are shares."""

    share: float
    """Cost that the flat band stays below."""
    flat: Band
    """All tilts that cost less than ``share`` of the year."""
    planned: Band | None
    """The plan's own band."""
    worst_month: int
    """1 to 12: least light at the plan's own angles."""
    best_tilt: float
    """For the year, at the plan's azimuth."""
    best_month_tilt: float
    """For the worst month, at the plan's azimuth."""
    map_tilt: float
    map_azimuth: float
    """Best of the whole map, for the year."""
    tilt_cost: float
    """What the plan's tilt loses of the year against ``best_tilt``."""
    map_cost: float
    """What the plan's angles lose of the year against the best of the map."""
    month_cost: float
    """What the plan's tilt loses of the worst month against ``best_month_tilt``."""


@dataclass(frozen=True)
class _Slice:
    """The map at one azimuth."""

    spline: CubicSpline
    fine: Array
    """(n,) tilts [rad]."""
    months: Array
    """(n, 12)"""
    worst: int

    @property
    def year(self) -> Array:
        return np.asarray(self.months.sum(axis=1))

    @property
    def month(self) -> Array:
        return np.asarray(self.months[:, self.worst])


def band_words(
    light: AngleMap, tilt: float, band: tuple[float, float] | None, azimuth: float, share: float
) -> AngleBand:
    """Numbers for "anywhere from 25° to 31° costs less than 1 % of the year, but 6 % of December".

    ``band`` is the plan's lowest and highest tilt, or None; ``share`` is 0.01 for that sentence.
    Angles in rad; between those of the map runs a cubic spline. Raises RangeError for an azimuth or
    a tilt outside the map.
    """
    here = _at(light, tilt, azimuth)
    own = here.spline(tilt)
    flat = here.fine[here.year >= (1 - share) * here.year.max()]
    yearly = CubicSpline(light.azimuths, light.energy.sum(axis=2), axis=1)
    turns = np.arange(light.azimuths[0], light.azimuths[-1] + 5 * STEP, 10 * STEP)
    whole = CubicSpline(light.tilts, yearly(turns), axis=0)(here.fine)
    best = np.unravel_index(int(whole.argmax()), whole.shape)
    return AngleBand(
        share, _band(here, float(flat[0]), float(flat[-1])),
        None if band is None else _band(here, *(_inside(light.tilts, b, "tilt") for b in band)),
        here.worst + 1, float(here.fine[here.year.argmax()]),
        float(here.fine[here.month.argmax()]), float(here.fine[best[0]]), float(turns[best[1]]),
        _loss(own.sum(), here.year.max()), _loss(own.sum(), whole.max()),
        _loss(own[here.worst], here.month.max()),
    )  # fmt: skip


def _at(light: AngleMap, tilt: float, azimuth: float) -> _Slice:
    first = float(light.azimuths[0])
    turned = first + float(np.mod(azimuth - first, 2 * np.pi))
    at = CubicSpline(light.azimuths, light.energy, axis=1)(
        _inside(light.azimuths, turned, "azimuth")
    )
    spline = CubicSpline(light.tilts, at, axis=0)
    fine = np.arange(light.tilts[0], light.tilts[-1] + STEP / 2, STEP)
    worst = int(np.argmin(spline(_inside(light.tilts, tilt, "tilt"))))
    return _Slice(spline, fine, spline(fine), worst)


def _band(here: _Slice, low: float, high: float) -> Band:
    months = here.spline(np.linspace(low, high, 201))
    month, year = months[:, here.worst], months.sum(axis=1)
    return Band(
        low, high, _loss(year.min(), here.year.max()), _loss(month.min(), here.month.max()),
        _loss(month.min(), month.max()),
    )  # fmt: skip


def _inside(angles: Array, angle: float, name: str) -> float:
    if not angles[0] - 1e-9 <= angle <= angles[-1] + 1e-9:
        low, high, seen = np.degrees([angles[0], angles[-1], angle])
        raise RangeError(
            f"{name} of {seen:.0f}° is outside the angle map, {low:.0f}° to {high:.0f}°. Its costs "
            "are not worked out."
        )
    return angle


def _loss(less: float, best: float) -> float:
    """Share lost; 0 where there is no light at all, and where a spline overshoots by a hair."""
    return max(0.0, float(1 - less / best)) if best > 0 else 0.0
