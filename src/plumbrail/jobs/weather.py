"""The year of weather that a plan asks for."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from plumbrail.energy.clear import clear_year
from plumbrail.energy.means import of_hours
from plumbrail.energy.synthesis import battery_year, battery_years
from plumbrail.errors import PlanError, Problem, WeatherError
from plumbrail.jobs.located import located
from plumbrail.plan.energy import Weather
from plumbrail.plan.models import Plan
from plumbrail.plan.reader import LoadedPlan, locate_problems
from plumbrail.plan.zones import time_zone
from plumbrail.site.sun import Place
from plumbrail.weather.distance import far_from
from plumbrail.weather.files import read_year
from plumbrail.weather.year import NEW_YEAR, YEAR, WeatherYear

Array = NDArray[np.float64]

SEED = 1
"""Of the order of clear and dull days: always the same, so that a plan always gives one result."""
MADE = 20
"""Years made from monthly means for a battery, the one of SEED among them."""
CALM = 1.0
"""Wind at the modules where nobody states it [m/s]: that of the NOCT test. Cautious."""
_NO_SECTION = (
    "The plan has no [energy] section: weather and losses are not stated. A sky without any cloud "
    "and usual losses are taken; real years give much less."
)


def weather_of(loaded: LoadedPlan) -> WeatherYear:
    """The plan's weather file, else a year from its monthly means, else one without any cloud.

    Raises PlanError at ``energy.weather.file`` for a file that is missing or no whole year, and
    PlacedRangeError for monthly means that cannot be.
    """
    plan = loaded.plan
    said = plan.energy.weather if plan.energy else Weather()
    if said.file is not None:
        year = _from_file(loaded, said.file)
    else:
        with located(loaded):
            year = _made(plan, said)
    return year if plan.energy else replace(year, notes=(_NO_SECTION, *year.notes))


def other_years(plan: Plan) -> tuple[WeatherYear, ...]:
    """The made years besides the one of :func:`weather_of`; none where the year is no made one."""
    said = plan.energy.weather if plan.energy else Weather()
    if said.file is not None or said.sun is None or said.air is None:
        return ()
    place = Place(plan.site.latitude, plan.site.longitude, plan.site.elevation)
    return battery_years(
        place, standard_offset(plan), np.asarray(said.sun), np.asarray(said.air),
        CALM if said.wind is None else said.wind,
        None if said.albedo is None else np.asarray(said.albedo), range(SEED + 1, SEED + MADE),
    )  # fmt: skip


def standard_offset(plan: Plan) -> float:
    """Standard time of the site less UTC [s]: the least of the calendar year, so without summer
    time."""
    zone = time_zone(plan.site.timezone)
    days = (datetime(YEAR, 1, 1, tzinfo=UTC) + timedelta(days=k) for k in range(365))
    return min(_offset(day.astimezone(zone)) for day in days)


def clock_ahead(plan: Plan, year: WeatherYear) -> Array:
    """(8760,) seconds by which the site's clock is ahead of the time that the weather is in."""
    zone = time_zone(plan.site.timezone)
    first = NEW_YEAR - year.utc_offset
    # The clocks change in the small hours; a whole day goes by its noon.
    noons = (datetime.fromtimestamp(first + 86400 * day + 43200, zone) for day in range(365))
    return np.repeat([_offset(noon) for noon in noons], 24) - year.utc_offset


def _offset(moment: datetime) -> float:
    found = moment.utcoffset()
    return 0.0 if found is None else found.total_seconds()


def _from_file(loaded: LoadedPlan, name: str) -> WeatherYear:
    plan = loaded.plan
    path = Path(loaded.source).parent / name
    if not path.is_file():
        raise _at_file(loaded, f'there is no file "{name}" beside the plan; put it there, or give '
                       "the monthly means sun and air in its place")  # fmt: skip
    try:
        year = read_year(path)
    except WeatherError as error:
        raise _at_file(loaded, str(error)) from None
    site = plan.site
    warning = far_from(year, site.latitude, site.longitude, site.elevation)
    notes = year.notes if warning is None else (warning, *year.notes)
    albedo = plan.energy.weather.albedo if plan.energy else None
    if albedo is None:
        return replace(year, notes=notes)
    own = tuple(n for n in notes if not n.startswith("Albedo"))
    words = "Albedo from the plan, in place of the file's."
    return replace(year, albedo=of_hours(np.asarray(albedo)), notes=(*own, words))


def _at_file(loaded: LoadedPlan, words: str) -> PlanError:
    problem = Problem("energy.weather.file", words)
    return PlanError(locate_problems([problem], loaded.text), loaded.source)


def _made(plan: Plan, said: Weather) -> WeatherYear:
    place = Place(plan.site.latitude, plan.site.longitude, plan.site.elevation)
    offset = standard_offset(plan)
    wind = CALM if said.wind is None else said.wind
    albedo = None if said.albedo is None else np.asarray(said.albedo)
    if said.sun is None or said.air is None:
        year = clear_year(place, offset, None, wind, albedo)
    else:
        year = battery_year(
            place, offset, np.asarray(said.sun), np.asarray(said.air), wind, albedo, SEED
        )
    if said.wind is None:
        words = f"Wind: none stated, {CALM:g} m/s at the modules taken, which keeps them warm."
        return replace(year, notes=(*year.notes, words))
    return year
