"""The direction of the row by shadow and compass on a terminal."""

from __future__ import annotations

from math import degrees

from rich.console import Console

from plumbrail.papers import direction_sheet as sheet
from plumbrail.papers.tables import Table
from plumbrail.papers.wording import JobInfo, angle, bearing
from plumbrail.setout.direction import Answer, Direction
from plumbrail.setout.sides import sides
from plumbrail.setout.swing import SURE, Swing


def show_answer(out: Console, of: Direction, answer: Answer, job: JobInfo) -> None:
    """One clock time: the shadow, and by a measured one the base line as it lies."""
    s = answer.shadow
    where = sheet.mark_words(s.legs[0], sides(of.base).of(s.legs[0]), job.said)
    out.print(f"{s.clock[0]} on {of.day}, {of.clock}: the sun stands {angle(s.sun.height[0])} "
              f"high, its bearing turns {abs(degrees(s.sun.rate[0])) * 60:.2f}° a minute",
              style="bold", markup=False)  # fmt: skip
    lines = [
        f"The shadow of a plumb line over pin 1 points to {bearing(s.bearing[0])}, clockwise from "
        "true north.",
        f"Against the row: {sheet.from_line(s.from_row[0])}; clockwise from pin 2: "
        f"{angle(s.from_base[0])}.",
        f"From pin 1 it passes {where}, along and square to "
        "the string between the pins, measured level.",
        f"Likely error, one standard deviation: {degrees(s.errors.total[0]):.2f}°, "
        f"{job.said(s.over_row[0])} over the row. This time is {s.use[0]} for it.",
    ]
    for line in lines:
        out.print(line, markup=False)
    if answer.swing is not None:
        _show_swing(out, of, answer.swing, job)
    for note in (*answer.notes, *of.warnings, *sheet.compass_notes(of)):
        out.print(note, markup=False)
    for caution in (sheet.EYES, sheet.STILL):
        out.print(caution, style="bold", markup=False)


def _show_swing(out: Console, of: Direction, found: Swing, job: JobInfo) -> None:
    sd = degrees(found.sd)
    out.print(f"By the measured shadow the base line lies at {_fine(found.bearing)} ± {sd:.2f}°; "
              f"the plan has {_fine(of.base.bearing)}.", style="bold", markup=False)  # fmt: skip
    if not found.told:
        out.print(f"They agree: {abs(degrees(found.turn)):.2f}° apart, within {SURE:g} times the "
                  "likely error. Leave pin 2, or measure again at a better time.",
                  markup=False)  # fmt: skip
        return
    side = sides(of.base).across[int(found.across < 0)]
    out.print(f"Swing it {abs(degrees(found.turn)):.2f}° "
              f"{'clockwise' if found.turn > 0 else 'counter-clockwise'}: pin 1 stays, pin 2 goes "
              f"{job.said(found.move)} to the {side}, ± {job.said(found.sd * of.base.length)}, at "
              "the same distance from pin 1. Then measure again.", markup=False)  # fmt: skip
    if found.large:
        out.print("That is more than pins are usually off: check the clock (daylight-saving time), "
                  "the side, the day and the site's latitude, longitude and zone first.",
                  style="bold", markup=False)  # fmt: skip


def _fine(radians: float) -> str:
    return f"{round(degrees(radians), 2) % 360:06.2f}°"


def direction_parts(of: Direction | None, job: JobInfo) -> tuple[Table | None, tuple[str, ...]]:
    """The table of shadows and the words below it."""
    if of is None:
        return None, (sheet.NO_DAY,)
    table = sheet.shadow_table(of, job)
    if not table.rows:
        return None, (*sheet.no_shadow(), *of.warnings, *sheet.compass_notes(of))
    return table, sheet.direction_notes(of, job)
