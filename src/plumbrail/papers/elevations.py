"""Front and back elevation, each with the figures of its posts underneath."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from plumbrail.errors import RangeError
from plumbrail.model.parts import Array, Model
from plumbrail.papers import strips as st
from plumbrail.papers.elevation_strip import ElevationJob, ElevationStrip, figures
from plumbrail.papers.furniture import (
    Area,
    drawing_area,
    finished,
    notes,
    numbered,
    scale_bar,
)
from plumbrail.papers.sheet import Item, Page, Scale, Sheet
from plumbrail.papers.tables import Table, flow
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import say

_BAND = 9.0
_PITCH = 12.0
_MOST_PAGES = 8
_WORTH = 1.3
"""How much smaller a drawing may be that has its figures under the posts."""
NO_SPLICES: tuple[tuple[float, ...], tuple[float, ...]] = ((), ())


def elevations(
    model: Model, job: JobInfo, page: Page, frost_depth: float | None = None,
    splices: tuple[Sequence[float], Sequence[float]] = NO_SPLICES,
) -> tuple[Sheet, ...]:  # fmt: skip
    """Both rows to scale, long rows in strips.

    ``splices``: distances [m] from the left end of the front and of the back beam. Raises
    RangeError for a splice off the beam, ValueError when the page is too small.
    """
    places = (_splices(model, splices, 0), _splices(model, splices, 1))
    task = ElevationJob(model, job, frost_depth, places)
    said, area = notes(drawing_area(page), _notes(job, frost_depth, splices))
    apart = replace(task, tabled=True)
    found = _pages(apart, area)
    try:
        under = _pages(task, area)
        if under[0][0].scale.ratio <= _WORTH * found[0][0].scale.ratio:
            found, apart = under, task
    except ValueError:  # posts too close together for figures under each
        pass
    task = apart
    sheets = [_sheet(strips, job, page, said, area) for strips in found]
    if task.tabled:
        bands = figures(model, job, np.arange(len(model.posts.ids)))
        rows = tuple(zip(*(band.words for band in bands), strict=True))
        table = Table(say("Posts"), tuple(band.name for band in bands), rows)
        sheets += [
            finished(say("Elevations: posts"), page, job, None, (), said + marks)
            for marks in flow([table], area)
        ]
    return numbered(sheets)


def _pages(task: ElevationJob, area: Area) -> list[list[ElevationStrip]]:
    bays = task.model.stations - 1
    room = replace(area, bottom=area.bottom + _BAND)

    def make(scale: Scale, count: int) -> list[ElevationStrip]:
        return [
            ElevationStrip(task, row, scale, a, b)
            for row in (0, 1)
            for a, b in st.cuts(bays, count)
        ]

    return st.pages(make, bays, room, task.job.units, _PITCH, _MOST_PAGES)


def _sheet(
    strips: list[ElevationStrip], job: JobInfo, page: Page, said: list[Item], area: Area
) -> Sheet:
    room = replace(area, bottom=area.bottom + _BAND)
    drawn, scale = st.placed(strips, room), strips[0].scale
    items = [*said, *drawn.items, *scale_bar((area.left + 6, area.bottom + 2.0), scale, job)]
    return finished(say("Elevations"), page, job, scale, drawn.views, items)


def _splices(model: Model, splices: tuple[Sequence[float], Sequence[float]], row: int) -> Array:
    places = np.sort(np.asarray(splices[row], dtype=float))
    if ((places <= 0) | (places >= model.beams.length)).any():
        raise RangeError(
            f"a splice of the {model.beams.ids[row]} lies off the beam, which is "
            f"{model.beams.length:.3f} m long; give distances from its left end"
        )
    return places


def _notes(
    job: JobInfo, frost_depth: float | None, splices: tuple[Sequence[float], Sequence[float]]
) -> tuple[str, ...]:
    frost = (
        say("Frost depth was not given: no frost line is drawn.") if frost_depth is None
        else say("Frost line {depth} below grade.", depth=job.said(frost_depth))
    )  # fmt: skip
    joints = say(
        "Splices: distance from the left end of the beam."
        if any(len(s) for s in splices) else "No splices were given for this drawing."
    )  # fmt: skip
    return (
        say("Both rows are seen from the front, left end at the left. Lengths in {unit}. "
            "Ground over F1: ground height at the post above that at F1, minus is below.",
            unit=job.unit),
        f"{frost} {joints}",
    )  # fmt: skip
