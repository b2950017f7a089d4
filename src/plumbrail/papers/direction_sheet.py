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
from plumbrail.setout.compass import DISAGREE, MODEL
from plumbrail.setout.direction import Direction
from plumbrail.setout.shadow import CARE
from plumbrail.setout.shadow_day import FASTEST, HIGHEST, LOWEST, UNSURE
from plumbrail.setout.sides import sides

Array = NDArray[np.float64]

NO_DAY = "Direction by the sun's shadow: not worked out: no day is stated; add setout.day or --day."
EYES = "Never look into the sun, not through a level or a camera either: look at the shadow only."
STILL = (
    "Only a plumb line gives the direction, never the shadow of a post or pole that may lean. Let "
    "the bob hang still, in a bucket of water, out of the wind."
)
TITLE = "Setting out: direction by the sun's shadow"
_GAP = 6.0


def direction_sheets(of: Direction, job: JobInfo, page: Page) -> list[Sheet]:
    """Sheets without their numbers: how it is done, and the table on the rest or on its own."""
    whole = drawing_area(page)
    how, low = _how(of, job, whole)
    table = shadow_table(of, job)
    rest = replace(whole, top=low)
    if len(flow([table], rest)) == 1 and _fits(table, rest):
        return [_sheet(how + flow([table], rest)[0], job, page)]
    said, room = notes(whole, (EYES, STILL))
    return [_sheet(m, job, page) for m in (how, *(said + m for m in flow([table], room)))]


def _sheet(items: list[Item], job: JobInfo, page: Page) -> Sheet:
    return finished(TITLE, page, job, None, (), items)


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
            f"{degrees(float(s.errors.total[i])):.2f}°", job.fine(float(s.over_row[i])), s.use[i],
        )
        for i, clock in enumerate(s.clock)
    )  # fmt: skip
    heads = (
        "Clock", "Sun\nheight", "Shadow from\ntrue north", "Shadow from\nthe row",
        "Clockwise\nfrom pin 2", "Mark from pin 1: along\nand square to the string",
        f"Shadow of\n{job.said(of.rig.plumb)}", "Likely\nerror", "Over\nthe row", "Use",
    )  # fmt: skip
    return Table(f"Shadow of a plumb line over pin 1, {of.day}, {of.clock}", heads, rows, (1, 5))


def from_line(turn: float) -> str:
    """A turn clockwise from the row to the right, as the angle off its nearer end.

    ``right, 42.3° back``.
    """
    end = "right" if abs(turn) <= 0.5 * np.pi else "left"
    off = min(abs(turn), np.pi - abs(turn))
    return f"{end}, {angle(off)} {'front' if turn > 0 else 'back'}"


def mark_words(legs: Array, ways: tuple[str, str], said: Callable[[float], str]) -> str:
    """A place from pin 1: ``10' right, 3' 2" back``; ``said`` puts a length in words."""
    return ", ".join(f"{said(abs(float(leg)))} {way}" for leg, way in zip(legs, ways, strict=True))


def direction_notes(of: Direction, job: JobInfo) -> tuple[str, ...]:
    """Cautions, how to do it, what the errors hold, and the compass."""
    reach, band = job.said(of.rig.reach), (degrees(LOWEST), degrees(HIGHEST))
    return (
        EYES,
        STILL,
        f"Hang the plumb line over pin 1, its upper end {job.said(of.rig.plumb)} or more over the "
        "ground. At the stroke of the clock mark both edges of the shadow and take their middle, "
        f"as far out as it is sharp; lengthen the line to the square of {reach} and measure level.",
        "Best: the smallest error of the day. Poor: turns faster than "
        f"{degrees(FASTEST) * 60:.1f}° a minute, or unsure by more than "
        f"{degrees(UNSURE):.1f}°. Sun under {band[0]:.0f}° or over {band[1]:.0f}°: left out. "
        "Take the mean of several marks.",
        f"Likely error, one standard deviation: clock {CARE.clock:.0f} s, position "
        f"{degrees(CARE.position):.2f}°, {job.said(CARE.mark)} at every mark and pin, middle of "
        "the blurred shadow to a sixth of the blur (0.0093 of the distance from the string).",
        *of.warnings,
        *compass_notes(of),
    )


def compass_notes(of: Direction) -> tuple[str, ...]:
    """What a compass should read, or why that is not said."""
    if of.field is None:
        return (f"Compass: not worked out: {of.no_field}",)
    f, base = of.field, of.base
    east = "east" if f.declination >= 0 else "west"
    weak = " The field is weak here: the needle hardly settles." if f.weak else ""
    return (
        f"A compass well away from steel should read {bearing(f.compass(base.row_bearing))} along "
        f"the row to the right and {bearing(f.compass(base.bearing))} from pin 1 to pin 2 (true "
        f"{bearing(base.row_bearing)} and {bearing(base.bearing)}); if it differs from the shadow "
        f"by more than {degrees(DISAGREE):.0f}°, something is wrong. {MODEL}: declination "
        f"{angle(abs(f.declination))} {east}, {degrees(f.yearly):+.2f}° a year, likely error "
        f"{degrees(f.sd):.2f}°.{weak}",
    )


def no_shadow() -> tuple[str, ...]:
    """What stands where there is no table."""
    return (
        f"At no half hour of this day the sun stands between {degrees(LOWEST):.0f}° and "
        f"{degrees(HIGHEST):.0f}°: there is no shadow to use. Take another day.",
    )


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
        f"Seen from above, the row to the right. Shown: {s.clock[i]}, shadow at "
        f"{bearing(float(s.bearing[i]))} from true north, {where} of pin 1.",
        "Right, left, front, back: as seen standing before the array. The string runs from pin 1 "
        "to pin 2.",
    )
