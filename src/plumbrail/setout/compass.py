"""Magnetic declination by the World Magnetic Model: a check on the shadow, not in place of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np

from plumbrail.errors import RangeError
from plumbrail.site.sun import Place

MODEL = "WMM2025"
FIRST, LAST = 2025.0, 2030.0
"""Years in which the model holds; it is refused outside them, never extrapolated."""
WEAK, USELESS = 6000.0, 2000.0
"""Horizontal field [nT] below which a compass is unsure, or of no use (the model's own report)."""
DISAGREE = float(np.radians(3.0))
"""A compass and a shadow further apart than this have a mistake in one of them. A judgement:
8 sd of the model's own error, or 2 to 3 of a hand compass read beside no steel."""
_STEP = 0.01


@dataclass(frozen=True)
class Field:
    """The earth's magnetic field at a place and day."""

    north: float
    """Part toward true north [nT]."""
    east: float
    """Part toward the east [nT]."""
    down: float
    """[nT]"""
    declination: float
    """Magnetic north from true north [rad], east positive."""
    yearly: float
    """Change of the declination [rad per year]."""
    sd: float
    """Standard deviation of the declination by the model's own error model [rad]."""

    @property
    def horizontal(self) -> float:
        """Horizontal strength [nT]."""
        return float(np.hypot(self.north, self.east))

    @property
    def weak(self) -> bool:
        """So near a magnetic pole that a compass hardly settles."""
        return self.horizontal < WEAK

    def compass(self, bearing: float) -> float:
        """What a compass reads [rad] along a true bearing, clockwise from magnetic north."""
        return float(np.mod(bearing - self.declination, 2 * np.pi))


def field_on(place: Place, day: date) -> Field:
    """The field on a day; raises RangeError outside the model's years and at a magnetic pole."""
    found = field_at(place, decimal_year(day))
    if found.horizontal < USELESS:
        raise RangeError(
            f"the horizontal magnetic field is {found.horizontal:.0f} nT here, under "
            f"{USELESS:.0f} nT: so near a magnetic pole a compass is of no use. Use the shadow "
            "alone."
        )
    return found


def field_at(place: Place, year: float) -> Field:
    """What the model says at a decimal year; raises RangeError outside its years.

    The model counts heights from the ellipsoid; that it is given the height above sea level, up to
    100 m off, is not felt in a declination.
    """
    if not FIRST <= year <= LAST:
        raise RangeError(
            f"the magnetic model {MODEL} holds from {FIRST} to {LAST} and the day is {year:.1f}: "
            "no declination is given. Use the shadow alone, or a chart of that year."
        )
    from pygeomag import GeoMag  # type: ignore[import-untyped]
    from pygeomag.wmm.wmm_2025 import WMM_2025  # type: ignore[import-untyped]

    model = GeoMag(coefficients_data=WMM_2025)
    where = (float(np.degrees(place.latitude)), float(np.degrees(place.longitude)),
             place.elevation / 1000)  # fmt: skip
    now = model.calculate(*where, year)
    other = year - _STEP if year + _STEP > LAST else year + _STEP
    change = (model.calculate(*where, other).d - now.d + 180) % 360 - 180
    return Field(
        now.x, now.y, now.z, float(np.radians(now.d)), float(np.radians(change / (other - year))),
        float(np.radians(now.calculate_uncertainty().d)),
    )  # fmt: skip


def decimal_year(day: date) -> float:
    """2026-07-02 is about 2026.5."""
    start, end = date(day.year, 1, 1), date(day.year + 1, 1, 1)
    return day.year + (day - start).days / (end - start).days
