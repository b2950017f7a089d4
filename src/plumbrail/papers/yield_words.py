"""Sentences about the yield, for screens and papers.

They are made in English, as screens and JSON have them; papers tell them in their language.
"""

from __future__ import annotations

from calendar import month_name
from math import ceil, degrees, floor

import numpy as np
from numpy.typing import NDArray

from plumbrail.energy.angle_band import Band
from plumbrail.energy.parts import Culprit
from plumbrail.energy.sizing import Sizing
from plumbrail.papers.words import later, say
from plumbrail.papers.yield_facts import Facts, Island
from plumbrail.units import show
from plumbrail.weather.year import Origin, WeatherYear

Array = NDArray[np.float64]

KWH = 3.6e6
MONTHS = tuple(month_name[1:])
SHORT_MONTHS = (
    later("Jan"), later("Feb"), later("Mar"), later("Apr"), later("May"), later("Jun"),
    later("Jul"), later("Aug"), later("Sep"), later("Oct"), later("Nov"), later("Dec"),
)  # fmt: skip
COMPASS = {
    0: later("N"), 45: later("NE"), 90: later("E"), 135: later("SE"), 180: later("S"),
    225: later("SW"), 270: later("W"), 315: later("NW"),
}  # fmt: skip
"""Names of bearings [deg]."""
_MOSTLY = 0.5
_NAMED = 3
_NOTHING = 0.5 * KWH
_FLAT_YEAR = 0.005
_LOUD = ("The weather was measured", "The plan has no [energy] section")
"""Beginnings of notes that stand on top."""
SINGLE_YEARS = (
    "One year differs from the next: single years lie within about 10 % of a typical one "
    "(common practice, no published source)."
)


def short_months() -> tuple[str, ...]:
    """The twelve, as tables and axes have them, in the language spoken."""
    return tuple(say(m) for m in SHORT_MONTHS)


def bearing_words(degrees_: int) -> str:
    """``SE 135°``, or only the angle where it has no name, in the language spoken."""
    whole_ = degrees_ % 360
    return f"{say(COMPASS[whole_])} {whole_}°" if whole_ in COMPASS else f"{whole_}°"


def kwh(energy: float) -> str:
    """Energy in whole kWh; small ones to a tenth."""
    value = energy / KWH
    if 0 < abs(value) < 9.95:
        return f"{value:.1f} kWh"
    return f"{value + 0.0:,.0f} kWh"


def percent(share: float, decimals: int = 0) -> str:
    """A share; never shown as nothing when it is something."""
    value = 100.0 * share
    least = 10.0**-decimals
    if 0 < abs(value) < 0.5 * least:
        return f"under {least:.{decimals}f} %"
    return f"{value + 0.0:.{decimals}f} %"


def lost_share(share: float) -> str:
    """The same for a loss, which is never rounded up to all or down to nothing."""
    return "over 99.9 %" if 0.9995 < share < 1 else percent(share, 1)


def clean_words(energy: float) -> str:
    """``costs 264 kWh a year``, or that it costs nothing to speak of."""
    return f"costs {kwh(energy)} a year" if energy >= _NOTHING else "costs next to nothing"


def culprit_words(c: Culprit) -> str:
    """What one thing costs, and when."""
    when = when_words(c.month) if c.energy >= _NOTHING else ""
    return f"{c.name} {clean_words(c.energy)}{f', {when}' if when else ''}"


def when_words(month: Array) -> str:
    """In which months most of it falls."""
    total = float(month.sum())
    if total <= 0:
        return ""
    order = np.argsort(-month, kind="stable")
    reach = np.cumsum(month[order]) / total
    count = int(np.searchsorted(reach, _MOSTLY)) + 1
    if count > _NAMED:
        return "spread over the year" if count >= 5 else "spread over several months"
    named = [MONTHS[k] for k in order[:count]]
    return f"mostly in {_listed(_around(named))}"


def _around(named: list[str]) -> list[str]:
    """In the order of the year, with winter in one piece: December before January."""
    at = sorted(MONTHS.index(n) for n in named)
    gap = max(range(len(at)), key=lambda i: (at[i] - at[i - 1]) % 12 or 12)
    return [MONTHS[k] for k in (*at[gap:], *at[:gap])]


def _listed(words: list[str]) -> str:
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def angle(radians: float) -> str:
    """Whole degrees, or one decimal where it is not whole."""
    value = round(degrees(radians), 1)
    return f"{value:.0f}°" if value == int(value) else f"{value:.1f}°"


def whole(radians: float) -> str:
    """Whole degrees."""
    return f"{degrees(radians):.0f}°"


def compass(azimuth: float) -> str:
    """A direction from true north, as on the map of angles."""
    return f"{round(degrees(azimuth)) % 360:.0f}°"


def month_of_band(f: Facts) -> str:
    """The month that the sentences about angles speak of."""
    return MONTHS[f.band.worst_month - 1]


def tilt_words(f: Facts) -> tuple[str, ...]:
    """How little or how much the angle matters."""
    b = f.band
    month = month_of_band(f)
    low, high = ceil(degrees(b.flat.low) - 1e-6), floor(degrees(b.flat.high) + 1e-6)
    flat = (
        f"Anywhere from {low}° to {high}° costs less than "
        f"{percent(b.share)} of the year, but up to {percent(b.flat.month_within)} of {month}."
    )
    said = [flat]
    if b.planned is not None and b.planned.high > b.planned.low:
        said.append(f"The plan's band, {angle(b.planned.low)} to {angle(b.planned.high)}, costs "
                    f"{_band(b.planned, month)}.")  # fmt: skip
    said.append(
        f"The plan's tilt of {angle(f.model.plane.tilt)} gives {_off(b.tilt_cost)} the year's best "
        f"({whole(b.best_tilt)}) and {_off(b.month_cost)} the best for {month} "
        f"({whole(b.best_month_tilt)}). Best of all angles: {whole(b.map_tilt)} toward "
        f"{compass(b.map_azimuth)}; the plan's {compass(f.model.plane.azimuth)} with its tilt "
        f"gives {_off(b.map_cost)} that. Light on the open plane, without shade and snow."
    )
    return tuple(said)


def _band(band: Band, month: str) -> str:
    year = "less than 1 %" if band.year < 0.01 else percent(band.year)
    return f"{year} of the year at the most, and {percent(band.month_within)} of {month}"


def _off(cost: float) -> str:
    return f"{percent(cost, 1)} less than" if cost >= _FLAT_YEAR / 10 else "as much as"


def weather_words(year: WeatherYear) -> str:
    """Where the weather comes from, in one line."""
    if year.origin is Origin.FILE:
        return f"Weather: {year.source}"
    if year.origin is Origin.MONTHS:
        return "Weather: made from the twelve monthly means of the plan"
    return "Weather: none stated, a sky without any cloud all year"


def weather_warnings(year: WeatherYear) -> tuple[str, ...]:
    """Notes about the weather that must not be overlooked."""
    return tuple(n for n in year.notes if n.startswith(_LOUD))


def error_words(year: WeatherYear) -> str:
    """How far the numbers may be off, because of the weather."""
    if year.origin is Origin.FILE:
        return f"A typical year as measured there. {SINGLE_YEARS}"
    if year.origin is Origin.MONTHS:
        return (
            "Light of the year on a tilted plane within 3 %, of a month within 3 to 15 %, the most "
            "beyond 50° of latitude (three typical years made again from their own means); what "
            f"the means themselves are off comes on top. {SINGLE_YEARS}"
        )
    return (
        "UPPER BOUND: no real year gives this. Measured light on level ground is smaller by a "
        "factor of 1.2 (sunny coast) to 1.9 (cloudy coast). Give energy.weather.file, or the "
        "monthly means sun and air."
    )


def headline(f: Facts, worst: int, daily: float) -> tuple[str, ...]:
    """The first three numbers: the year, its worst month, what shade takes."""
    bound = "at most " if f.year.origin is Origin.CLEAR else ""
    shade = float(f.shade.cost.sum())
    if f.shading is None:
        lost = "Lost to shade: not checked; the plan says nothing of what stands around"
    else:
        when = when_words(f.shade.cost) if shade >= _NOTHING else ""
        bare = float(f.shade.open.sum())
        share = percent(shade / bare, 1) if bare > 0 else "0 %"
        lost = f"Lost to shade: {kwh(shade)} a year ({share}){f', {when}' if when else ''}"
    return (
        f"Yield: {bound}{kwh(f.energy)} a year",
        f"Worst month: {MONTHS[worst - 1]}, {bound}{kwh(daily)} a day",
        lost,
    )


def shade_rest(f: Facts) -> str:
    """Why what the single things cost does not add up to all of the shade."""
    parts = sum(c.energy for c in f.found.culprits)
    rest = float(f.shade.cost.sum()) - parts
    if len(f.found.culprits) < 2 or abs(rest) < _NOTHING:
        return ""
    if rest > 0:
        return (f"Where two hide the same sun neither alone costs it: {kwh(rest)} more are lost to "
                "them together.")  # fmt: skip
    return f"Taken away one by one they add up to {kwh(-rest)} more than all together."


def island_lines(i: Island) -> tuple[str, ...]:
    """The battery in words, the verdict first."""
    asked, run, alone = i.asked, i.run, i.alone
    enough = "MET" if i.reliable else "NOT MET"
    lines = [
        f"Reliability {enough}: {_in_years(i)}sun and battery alone serve {_exact(i.met)} of the "
        f"load, the plan asks for {_exact(asked.reliability)}. Unmet without a generator: "
        f"{kwh(float(alone.unmet.sum()))} in {_hours(alone.short_hours)}.",
        *_spread(i),
    ]
    if asked.generator is not None:
        unmet = float(run.unmet.sum())
        lines.append(
            f"Generator of {show(asked.generator.power, 'power')}: {_hours(run.generator_hours)}, "
            f"{kwh(float(run.generator.sum()))} a year; unmet with it: {kwh(unmet)}"
            f"{f' in {_hours(run.short_hours)}' if run.short_hours else ''}."
        )
    lines.append(
        f"Load {kwh(float(run.load.sum()))} a year; spilled with the battery full "
        f"{kwh(float(run.spilled.sum()))}, lost in the battery {kwh(float(run.lost.sum()))}."
    )
    cover = i.worst.cover
    if cover is not None:
        lines.append(f"Tightest month: {MONTHS[i.worst.month - 1]}, when the array gives "
                     f"{percent(cover)} of the load.")  # fmt: skip
    return tuple(lines)


def _in_years(i: Island) -> str:
    """In how many of the made years the load is met; empty for a single year."""
    count = len(i.met_each)
    if count == 1:
        return ""
    return (f"in {i.met_years} of {count} made years as much of the load is served as the plan "
            f"asks for, which must be so in {_exact(i.asked.years_share)} of them. In the year "
            "shown here ")  # fmt: skip


def _spread(i: Island) -> tuple[str, ...]:
    """Mean and spread over the made years; nothing for a single year."""
    met, hours = i.met_each, i.hours_each
    if len(met) == 1:
        return ()
    return (
        f"Over all {len(met)} made years sun and battery alone serve {_exact(float(met.mean()))} "
        f"of the load in the mean, {_exact(float(met.min()))} in the worst (standard deviation "
        f"{100 * float(met.std(ddof=1)):.2f} %); {float(hours.mean()):.0f} hours are short in the "
        f"mean, {int(hours.min())} to {int(hours.max())} (standard deviation "
        f"{float(hours.std(ddof=1)):.0f}).",
    )


def battery_weather(year: WeatherYear) -> str:
    """What made days mean for a battery; nothing for a measured year."""
    if year.origin is not Origin.MONTHS:
        return ""
    return (
        "The order of bright and dull days is made, not measured, in every one of these years, and "
        "all of them have the same monthly means: real years differ by more. For a battery that "
        "must last take a weather file, or several."
    )


def sizing_lines(i: Island) -> tuple[str, ...]:
    """The smallest that will do."""
    s, found = i.sizing, []
    for a, b in s.corners.tolist():
        found.append(f"{_modules(int(i.modules[a]))} with {kwh(float(s.batteries[b]))}")
    if not found:
        return (
            f"No pair of up to {_modules(int(i.modules[-1]))} and "
            f"{kwh(float(s.batteries[-1]))} serves {_exact(s.reliability)} of the load without a "
            f"generator{_of_years(s)}.",
        )
    step = int(np.diff(i.modules).max()) if len(i.modules) > 1 else 1
    size = float(np.diff(s.batteries).max()) if len(s.batteries) > 1 else 0.0
    return (
        f"Smallest array and battery that serve {_exact(s.reliability)} of the load without a "
        f"generator{_of_years(s)}, any of: {'; '.join(found)}.",
        f"Looked at in steps of {_modules(step)} and {kwh(size)}; a larger array is taken to be "
        "shaded like this one, with equipment to match. "
        + ("One year of weather: a" if len(s.each_share) == 1 else "A")
        + " harder winter will come.",
    )


def _of_years(s: Sizing) -> str:
    count = len(s.each_share)
    if count == 1:
        return ""
    return f" in at least {int(np.ceil(s.years_share * count - 1e-9))} of {count} made years"


def _modules(count: int) -> str:
    return f"{count} module{'' if count == 1 else 's'}"


def _hours(count: int) -> str:
    return f"{count:,} hour{'' if count == 1 else 's'}"


def _exact(share: float) -> str:
    """To a hundredth of a percent, never rounded up to all."""
    if 0.99995 <= share < 1.0:
        return "99.99 %"
    text = f"{100 * share:.2f}".rstrip("0").rstrip(".")
    return f"{text} %"
