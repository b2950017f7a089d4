"""What a phone needs to take readings: the points of the frame and what to read, in the order of
the paper field sheet; and which row of the store each line of the notebook is.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from plumbrail.app.office import At, Office

if TYPE_CHECKING:
    from plumbrail.store.records import Row
    from plumbrail.truing.parts import Wanted
    from plumbrail.truing.points import Points


def field(office: Office, at: At) -> dict[str, Any]:
    """GET /api/jobs/{job}/field: points with their planned places [m], and groups of readings.

    Raises PlanError for a plan that cannot be worked out.
    """
    from plumbrail.jobs.located import located
    from plumbrail.jobs.truing import pin_tops
    from plumbrail.model.build import build_planned
    from plumbrail.truing.points import points_of
    from plumbrail.truing.scheme import sheet_readings

    loaded = office.loaded(at)
    with located(loaded):
        model = build_planned(loaded.plan)
        points = points_of(model, pin_tops(loaded.plan, model))
    return {
        "job": at.step.job, "name": loaded.plan.job.name, "units": loaded.plan.job.units,
        "revision": at.step.revision, "stations": points.stations,
        "points": _points(points), "instruments": _instruments(),
        "groups": _groups(sheet_readings(points)),
    }  # fmt: skip


def _points(points: Points) -> list[dict[str, Any]]:
    from plumbrail.truing.points import Place

    return [
        {"id": id, "sort": Place(int(points.place[i])).name.lower(), "row": int(points.row[i]),
         "station": int(points.station[i]), "planned": [float(c) for c in points.planned[i]]}
        for i, id in enumerate(points.ids)
    ]  # fmt: skip


def _instruments() -> dict[str, str]:
    """The usual instrument of every kind of reading."""
    from plumbrail.notebook.kinds import FORMS

    return {str(kind): form.instrument for kind, form in FORMS.items() if form.instrument}


def _groups(wanted: Sequence[Wanted]) -> list[dict[str, Any]]:
    """Readings of one kind from one set-up, numbered as on the paper field sheet."""
    from plumbrail.papers.field_rows import HINTS, groups

    return [
        {"title": group.title, "hint": HINTS[group.kind],
         "rows": [{"number": number, **wanted_out(w)} for number, w in group.rows]}
        for group in groups(wanted)
    ]  # fmt: skip


def wanted_out(w: Wanted) -> dict[str, str]:
    """A reading to take, in the cells of the notebook; ``axis`` is empty but for plumb."""
    return {
        "kind": str(w.kind), "start": w.start, "end": w.end, "at_point": w.at,
        "axis": "" if w.axis is None else str(w.axis), "setup": w.setup, "words": w.words,
    }  # fmt: skip


def uids_of_lines(rows: Iterable[Row]) -> dict[str, str]:
    """Uid of the row on each line of the CSV that the store writes of these rows, by number."""
    from plumbrail.store.notebook_csv import is_comment

    written = [row for row in rows if not (row.strikes and not row.value.strip())]
    head = 0
    while head < len(written) and is_comment(written[head]):
        head += 1
    # lines count from 1, and the names of the columns stand after the comments at the head
    return {str(i + (1 if i < head else 2)): row.uid for i, row in enumerate(written)}
