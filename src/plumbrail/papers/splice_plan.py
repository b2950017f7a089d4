"""The splice plan: both beams with posts, rails, joints, and where joints may fall."""

from __future__ import annotations

from dataclasses import replace

from plumbrail.errors import RangeError
from plumbrail.model.parts import Model
from plumbrail.papers import strips as st
from plumbrail.papers.furniture import Area, drawing_area, finished, notes, numbered, scale_bar
from plumbrail.papers.sheet import Item, Page, Scale, Sheet
from plumbrail.papers.splice_plan_strip import (
    Joints,
    SpliceJob,
    SpliceStrip,
    inside,
    nearest_rail,
)
from plumbrail.papers.tables import Table, flow
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import later, say, tell

_BAND = 9.0
_PITCH = 9.0
_MOST_PAGES = 8


def splice_plan(model: Model, joints: Joints, job: JobInfo, page: Page) -> tuple[Sheet, ...]:
    """Both beams to scale, long ones in strips, then tables of splices and pieces.

    Raises RangeError for a splice off its beam, ValueError when the page is too small.
    """
    task = SpliceJob(model, _sorted(model, joints), job)
    said, area = notes(drawing_area(page), _notes(task))
    room = replace(area, bottom=area.bottom + _BAND)

    def make(scale: Scale, count: int) -> list[SpliceStrip]:
        bays = model.stations - 1
        return [SpliceStrip(task, r, scale, a, b) for r in (0, 1) for a, b in st.cuts(bays, count)]

    found = st.pages(make, model.stations - 1, room, job.units, _PITCH, _MOST_PAGES)
    sheets = [_sheet(strips, job, page, said, area, room) for strips in found]
    lines, left = notes(drawing_area(page), (say(_NEAREST),))
    sheets += [
        finished(say("Splice plan: splices and pieces"), page, job, None, (), lines + marks)
        for marks in flow([_splices(task), _pieces(task)], left)
    ]
    return numbered(sheets)


_NEAREST = later(
    "Nearest rail: where it comes nearer than the sleeve reaches, see that its clamp and the "
    "splice's screws do not meet."
)


def _sheet(
    strips: list[SpliceStrip], job: JobInfo, page: Page, said: list[Item], area: Area, room: Area
) -> Sheet:
    drawn, scale = st.placed(strips, room), strips[0].scale
    items = [*said, *drawn.items, *scale_bar((area.left + 6, area.bottom + 2.0), scale, job)]
    return finished(say("Splice plan"), page, job, scale, drawn.views, items)


def _sorted(model: Model, joints: Joints) -> Joints:
    for row, places in enumerate(joints.splices):
        if any(not 0 < s < model.beams.length for s in places):
            raise RangeError(
                f"a splice of the {model.beams.ids[row]} lies off the beam, which is "
                f"{model.beams.length:.3f} m long; give distances from its left end"
            )
    front, back = (tuple(sorted(places)) for places in joints.splices)
    return replace(joints, splices=(front, back))


def _notes(task: SpliceJob) -> tuple[str, ...]:
    joints, job = task.joints, task.job
    found = [
        say("Left end at the left, as seen from the front. Lengths in {unit}, along the beam; "
            "places of splices from its left end. Thick marks over a beam: posts; short marks "
            "under it: rails, R1 the first from the left.", unit=job.unit),
        say("Hatched: where a splice may fall by the bending of the beam and its distance from "
            "posts." if joints.zones
            else "Where a splice may fall was not given: not drawn, not checked here."),
    ]  # fmt: skip
    if not any(joints.splices):
        one = say("No splices: both beams are in one piece, or no cut list was given.")
        return (*found, one)
    if joints.insertion is None:
        letter = say("Sleeve and its length were not given: by the splice maker's letter.")
        return (*found, letter)
    return (
        *found,
        say("Sleeve{name} {long} long, {inside} in each beam end (dashed). Mark that depth on the "
            "sleeve before it goes in.", name=f" {joints.sleeve}" if joints.sleeve else "",
            long=job.said(2 * joints.insertion), inside=job.said(joints.insertion)),
    )  # fmt: skip


def _splices(task: SpliceJob) -> Table:
    job = task.job
    rows: list[tuple[str, ...]] = []
    for row, beam in enumerate(task.model.beams.ids):
        for i, s in enumerate(task.joints.splices[row]):
            name, at = task.nearest_post(row, s)
            rail, away = nearest_rail(task.model, row, s)
            zones = task.joints.zones
            zone = inside(zones[row], s) if zones else None
            said = _range(zone, job) if zone else say(
                "not given" if zones is None else "OUTSIDE every zone")  # fmt: skip
            rows.append((
                f"{len(rows) + 1}", say("{beam}, splice {n}", beam=tell(beam), n=i + 1),
                job.length(s),
                say("{length} right of {post}" if s > at else "{length} left of {post}",
                    length=job.length(abs(s - at)), post=name),
                said, say("{length} to {rail}", length=job.length(away), rail=rail),
                say("not given") if task.joints.insertion is None
                else job.length(task.joints.insertion),
            ))  # fmt: skip
    heads = (
        say("No."), say("Splice"), say("From\nleft end"), say("From the\nnearest post"),
        say("Zone it lies in"), say("Nearest\nrail"), say("Sleeve in\neach end"),
    )  # fmt: skip
    return Table(say("Splices"), heads, tuple(rows))


def _range(zone: tuple[float, float], job: JobInfo) -> str:
    return say("{low} to {high}", low=job.length(zone[0]), high=job.length(zone[1]))


def _pieces(task: SpliceJob) -> Table:
    rows: list[tuple[str, ...]] = []
    for row, beam in enumerate(task.model.beams.ids):
        edges = task.edges(row)
        parts = len(edges) - 1
        for i in range(parts):
            label = (
                tell(beam)
                if parts == 1
                else say("{beam} part {n} of {parts}", beam=tell(beam), n=i + 1, parts=parts)
            )
            lengths = (edges[i + 1] - edges[i], edges[i], edges[i + 1])
            rows.append((f"{len(rows) + 1}", label, *map(task.job.length, lengths)))
    heads = (say("No."), say("Piece"), say("Cut\nlength"), say("Left end\nfrom left"),
             say("Right end\nfrom left"))  # fmt: skip
    return Table(say("Pieces of the beams"), heads, tuple(rows))
