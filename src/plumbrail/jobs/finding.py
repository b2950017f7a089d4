"""The direction of the row: a day, a clock time and a measured shadow as people write them."""

from __future__ import annotations

import re
from datetime import date, datetime, time

import numpy as np
from numpy.typing import NDArray

from plumbrail.errors import PlumbrailError, QuantityError
from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan
from plumbrail.setout.base import BaseLine
from plumbrail.setout.direction import Answer, Direction, ask, direction
from plumbrail.setout.shadow_day import Rig
from plumbrail.setout.sides import sides
from plumbrail.units import parse

Array = NDArray[np.float64]

NO_DAY = "no day is stated; add setout.day to the plan or --day, for example --day 2026-05-04"
_MARK = re.compile(r"(?P<length>.*?)[\s,]*(?:to the )?(?P<side>back|front|left|right)?\s*")
_SECONDS = re.compile(r"[0-9]{1,2}:[0-9]{2}(:[0-9]{2})?")
_RIGS = {"us": (6 * 0.3048, 10 * 0.3048), "metric": (2.0, 3.0)}
"""Height of the plumb line and half-width of the square of marks [m]: lengths that a tape shows."""


def direction_of(plan: Plan, model: Model, base: BaseLine, day: date | None) -> Direction | None:
    """Direction by shadow and compass on a day, else on the plan's own; None without a day."""
    when = day or plan.setout.day
    if when is None:
        return None
    plumb, reach = _RIGS[plan.job.units]
    ends = model.posts.xy[[0, model.stations - 1]]
    return direction(
        plan.site, base, when, Rig(plumb, reach, float(np.hypot(*(ends[1] - ends[0]))))
    )


def answer(of: Direction | None, clock: str, shadow: str | None, over: str | None) -> Answer:
    """The shadow at a clock time, and what a measured one says of the base line."""
    if of is None:
        raise PlumbrailError(NO_DAY)
    if (shadow is None) != (over is None):
        raise PlumbrailError(
            '--shadow and --over go together, for example --shadow "3 ft 2 in back" --over "10 ft"'
        )
    mark = None
    if shadow is not None and over is not None:
        named = sides(of.base)
        along, across = _leg(over, "--over"), _leg(shadow, "--shadow")
        try:
            if not across[1]:
                raise QuantityError(f"say to which side, {' or '.join(named.across)}")
            mark = np.array([named.signed(*along, True), named.signed(*across, False)])
        except (QuantityError, ValueError) as error:
            raise PlumbrailError(f"--shadow and --over: {error}") from None
    return ask(of, read_clock(clock), mark)


def read_day(text: str) -> date:
    """A day written year-month-day; raises PlumbrailError in words."""
    try:
        return datetime.strptime(text.strip(), "%Y-%m-%d").date()
    except ValueError:
        raise PlumbrailError(
            f'--day "{text}" is not a day; write year-month-day, for example 2026-05-04'
        ) from None


def read_clock(text: str) -> time:
    """A clock time of 24 hours, with seconds if wanted; raises PlumbrailError in words."""
    try:
        if _SECONDS.fullmatch(text.strip()):
            hour, minute, second = [*map(int, text.strip().split(":")), 0][:3]
            return time(hour, minute, second)
    except ValueError:
        pass
    raise PlumbrailError(
        f'--clock "{text}" is not a clock time; write hours and minutes of 24, for example 10:40 '
        "or 16:05"
    )


def _leg(text: str, option: str) -> tuple[float, str]:
    """A length (m) and the side that it is measured to, empty when none is named."""
    found = _MARK.fullmatch(text.strip())
    assert found is not None  # the pattern matches any text
    try:
        length = parse(found["length"], "length")
        if length < 0:
            raise QuantityError("a measured length is not negative; name the other side")
    except QuantityError as error:
        raise PlumbrailError(f"{option}: {error}") from None
    return length, found["side"] or ""
