"""Direction of the row without a compass beside steel: shadows of a day, with a compass check."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, time
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from plumbrail.errors import RangeError
from plumbrail.plan.models import Site
from plumbrail.setout import clock as cl
from plumbrail.setout.base import BaseLine
from plumbrail.setout.compass import Field, field_on
from plumbrail.setout.shadow_day import STEP, Rig, Shadows, day_of_shadows, shadows
from plumbrail.setout.swing import Swing, swing
from plumbrail.site.sun import Place, sun_at

Array = NDArray[np.float64]

ODD_NOON = 3.25
"""Solar noon further than this [h] from 12:45 by the clock: longitude and zone hardly belong
together. A judgement; the widest zones reach 3 h."""


@dataclass(frozen=True)
class Direction:
    """What there is to find the direction of the row with on one day."""

    day: date
    clock: str
    """Which clock: ``PDT, UTC-7:00``."""
    zone: ZoneInfo
    place: Place
    base: BaseLine
    rig: Rig
    shadows: Shadows
    """Every half hour by the clock."""
    field: Field | None
    no_field: str
    """Why there is no declination; empty when there is."""
    warnings: tuple[str, ...]


@dataclass(frozen=True)
class Answer:
    """The shadow at one clock time, and the base line by a measured one."""

    shadow: Shadows
    """Axis of one."""
    swing: Swing | None
    notes: tuple[str, ...]


def direction(site: Site, base: BaseLine, day: date, rig: Rig) -> Direction:
    """Shadows and declination of a day; raises RangeError for a day too far off."""
    zone = cl.zone_of(site.timezone)
    place = Place(site.latitude, site.longitude, site.elevation)
    moments = cl.through_the_day(day, zone, STEP)
    field, no_field = None, ""
    try:
        field = field_on(place, day)
    except RangeError as refused:
        no_field = str(refused)
    return Direction(
        day, cl.clock_words(day, zone), zone, place, base, rig,
        day_of_shadows(place, base, moments, rig), field, no_field, _warnings(place, moments),
    )  # fmt: skip


def ask(of: Direction, clock: time, mark: Array | None) -> Answer:
    """The shadow at a clock time, and what a mark (2,) in it says of the base line.

    Raises RangeError when the clock never shows that time or the sun is down.
    """
    moments = cl.at_clock(of.day, clock, of.zone)
    sun = sun_at(of.place, moments.seconds)
    if sun.height[0] <= np.radians(1.0):
        raise RangeError(
            f"at {moments.clock[0]} on {of.day} ({of.clock}) the sun stands "
            f"{np.degrees(sun.height[0]):.1f}° over the horizon: no shadow. Check clock, day, "
            "site.timezone and the sign of site.longitude."
        )
    found = shadows(of.place, of.base, moments, of.rig, of.shadows.least)
    notes = []
    if cl.twice(of.day, clock, of.zone):
        notes.append(f"The clock shows {moments.clock[0]} twice on this day; the first is meant.")
    return Answer(found, None if mark is None else swing(of.base, sun, mark), tuple(notes))


def _warnings(place: Place, moments: cl.Moments) -> tuple[str, ...]:
    height = sun_at(place, moments.seconds).height
    noon = float(moments.seconds[int(np.argmax(height))] - moments.seconds[0]) / 3600
    if abs(noon - 12.75) <= ODD_NOON:
        return ()
    return (
        f"The sun stands highest about {noon:.1f} h after midnight by this clock: check "
        "site.timezone and the sign of site.longitude (west of Greenwich is minus).",
    )
