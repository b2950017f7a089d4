"""The sheet that finds the direction of the row by the sun's shadow: table, sketch, cautions."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import degrees

import numpy as np
from numpy.typing import NDArray

from plumbrail.papers.furniture import Area, drawing_area, finished, notes
from plumbrail.papers.shadow_sketch import SIDE, example, sketch
from plumbrail.papers.sheet import Item, Page, Sheet, Text
from plumbrail.papers.tables import ROW, Table, flow
from plumbrail.papers.wording import JobInfo, angle, bearing
from plumbrail.papers.words import figures, later, say, tell
from plumbrail.setout.compass import DISAGREE, MODEL
from plumbrail.setout.direction import Direction
from plumbrail.setout.shadow import CARE
from plumbrail.setout.shadow_day import FASTEST, HIGHEST, LOWEST, UNSURE
from plumbrail.setout.sides import sides

Array = NDArray[np.float64]

NO_DAY = later(
    "Direction by the sun's shadow: not worked out: no day is stated; add setout.day or --day."
)
EYES = later(
    "Never look into the sun, not through a level or a camera either: look at the shadow only."
)
STILL = later(
    "Only a plumb line gives the direction, never the shadow of a post or pole that may lean. Let "
    "the bob hang still, in a bucket of water, out of the wind."
)
TITLE = later("Setting out: direction by the sun's shadow")
_GAP = 6.0


def direction_sheets(of: Direction, job: JobInfo, page: Page) -> list[Sheet]:
    """Sheets without their numbers: how it is done, and the table on the rest or on its own."""
    whole = drawing_area(page)
    how, low = _how(of, job, whole)
    table = shadow_table(of, job)
    rest = replace(whole, top=low)
    if len(flow([table], rest)) == 1 and _fits(table, rest):
        return [_sheet(how + flow([table], rest)[0], job, page)]
    said, room = notes(whole, (say(EYES), say(STILL)))
    return [_sheet(m, job, page) for m in (how, *(said + m for m in flow([table], room)))]


def _sheet(items: list[Item], job: JobInfo, page: Page) -> Sheet:
    return finished(say(TITLE), page, job, None, (), items)


def _fits(table: Table, room: Area) -> bool:
    high = sum(part.head_height + ROW * len(part.rows) + 2.5 for part in table.split(room.width))
    return not table.rows or high <= room.height


def shadow_table(of: Direction, job: JobInfo) -> Table:
    """Shadows through the day."""
    s, named = of.shadows, sides(of.base)
    rows = tuple(
        (
            clock, angle(float(s.sun.height[i])), bearing(float(s.bearing[i])),
            from_line(float(s.from_row[i])), angle(float(s.from_base[i])),
            mark_words(s.legs[i], named.of(s.legs[i]), job.length), job.length(float(s.length[i])),
            _hundredths(float(s.errors.total[i])), job.fine(float(s.over_row[i])), tell(s.use[i]),
        )
        for i, clock in enumerate(s.clock)
    )  # fmt: skip
    heads = (
        say("Clock"), say("Sun\nheight"), say("Shadow from\ntrue north"),
        say("Shadow from\nthe row"), say("Clockwise\nfrom pin 2"),
        say("Mark from pin 1: along\nand square to the string"),
        say("Shadow of\n{height}", height=job.said(of.rig.plumb)), say("Likely\nerror"),
        say("Over\nthe row"), say("Use"),
    )  # fmt: skip
    clock = tell(of.clock) if "clocks change" in of.clock else of.clock  # else names only
    title = say("Shadow of a plumb line over pin 1, {day}, {clock}", day=of.day, clock=clock)
    return Table(title, heads, rows, (1, 5))


def _hundredths(radians: float) -> str:
    return figures(f"{degrees(radians):.2f}°")


def from_line(turn: float) -> str:
    """A turn clockwise from the row to the right, as the angle off its nearer end.

    ``right, 42.3° back``.
    """
    end = tell("right" if abs(turn) <= 0.5 * np.pi else "left")
    off = min(abs(turn), np.pi - abs(turn))
    return f"{end}, {angle(off)} {tell('front' if turn > 0 else 'back')}"


def mark_words(legs: Array, ways: tuple[str, str], said: Callable[[float], str]) -> str:
    """A place from pin 1: ``10' right, 3' 2" back``; ``said`` puts a length in words."""
    pairs = zip(legs, ways, strict=True)
    return ", ".join(f"{said(abs(float(leg)))} {tell(way)}" for leg, way in pairs)


def direction_notes(of: Direction, job: JobInfo) -> tuple[str, ...]:
    """Cautions, how to do it, what the errors hold, and the compass."""
    reach, band = job.said(of.rig.reach), (degrees(LOWEST), degrees(HIGHEST))
    return (
        say(EYES),
        say(STILL),
        say("Hang the plumb line over pin 1, its upper end {height} or more over the ground. At "
            "the stroke of the clock mark both edges of the shadow and take their middle, as far "
            "out as it is sharp; lengthen the line to the square of {reach} and measure level.",
            height=job.said(of.rig.plumb), reach=reach),
        say("Best: the smallest error of the day. Poor: turns faster than {turn} a minute, or "
            "unsure by more than {unsure}. Sun under {low}° or over {high}°: left out. Take the "
            "mean of several marks.", turn=figures(f"{degrees(FASTEST) * 60:.1f}°"),
            unsure=figures(f"{degrees(UNSURE):.1f}°"), low=f"{band[0]:.0f}", high=f"{band[1]:.0f}"),
        say("Likely error, one standard deviation: clock {clock} s, position {position}, {mark} at "
            "every mark and pin, middle of the blurred shadow to a sixth of the blur ({blur} of "
            "the distance from the string).", clock=f"{CARE.clock:.0f}",
            position=_hundredths(CARE.position), mark=job.said(CARE.mark), blur=figures("0.0093")),
        *(tell(w) for w in of.warnings),
        *compass_notes(of),
    )  # fmt: skip


def compass_notes(of: Direction) -> tuple[str, ...]:
    """What a compass should read, or why that is not said."""
    if of.field is None:
        return (say("Compass: not worked out: {why}", why=tell(of.no_field)),)
    f, base = of.field, of.base
    told = say(
        "A compass well away from steel should read {row} along the row to the right and {pins} "
        "from pin 1 to pin 2 (true {true_row} and {true_pins}); if it differs from the shadow by "
        "more than {most}°, something is wrong. {model}: declination {declination} {side}, "
        "{yearly} a year, likely error {error}.",
        row=bearing(f.compass(base.row_bearing)), pins=bearing(f.compass(base.bearing)),
        true_row=bearing(base.row_bearing), true_pins=bearing(base.bearing),
        most=f"{degrees(DISAGREE):.0f}", model=MODEL, declination=angle(abs(f.declination)),
        side=say("east" if f.declination >= 0 else "west"),
        yearly=figures(f"{degrees(f.yearly):+.2f}°"), error=_hundredths(f.sd),
    )  # fmt: skip
    weak = say("The field is weak here: the needle hardly settles.")
    return (f"{told} {weak}" if f.weak else told,)


def no_shadow() -> tuple[str, ...]:
    """What stands where there is no table."""
    return (
        say("At no half hour of this day the sun stands between {low}° and {high}°: there is no "
            "shadow to use. Take another day.", low=f"{degrees(LOWEST):.0f}",
            high=f"{degrees(HIGHEST):.0f}"),
    )  # fmt: skip


def _how(of: Direction, job: JobInfo, room: Area) -> tuple[list[Item], float]:
    """The sketch with what it shows and how it is done beside it, and the height of its foot."""
    items = sketch(of, room.left, room.top, job.said(of.rig.reach))
    beside = Area(room.left + SIDE + _GAP, 0.0, room.right, room.top)
    words, used = notes(beside, (*direction_notes(of, job), *_sketch_words(of, job)))
    shift = room.top - used.bottom - 2.0
    moved = [replace(t, at=(t.at[0], t.at[1] + shift)) for t in words if isinstance(t, Text)]
    return [*items, *moved], min(room.top - SIDE, room.top - used.bottom) - _GAP


def _sketch_words(of: Direction, job: JobInfo) -> tuple[str, ...]:
    if not of.shadows.clock:
        return no_shadow()
    i = example(of)
    s = of.shadows
    where = mark_words(s.legs[i], sides(of.base).of(s.legs[i]), job.said)
    return (
        say("Seen from above, the row to the right. Shown: {clock}, shadow at {bearing} from true "
            "north, {where} of pin 1.", clock=s.clock[i], bearing=bearing(float(s.bearing[i])),
            where=where),
        say("Right, left, front, back: as seen standing before the array. The string runs from "
            "pin 1 to pin 2."),
    )  # fmt: skip
