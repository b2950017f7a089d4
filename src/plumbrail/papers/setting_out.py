"""The setting-out papers: a plan of holes, and tables of distances, levels and checks."""

from __future__ import annotations

from collections.abc import Sequence

from plumbrail.model.parts import Model
from plumbrail.papers.direction_sheet import NO_DAY, direction_sheets
from plumbrail.papers.furniture import drawing_area, finished, notes, numbered
from plumbrail.papers.plan_view import plan_views
from plumbrail.papers.sheet import Page, Sheet
from plumbrail.papers.tables import Table, flow
from plumbrail.papers.wording import JobInfo, angle
from plumbrail.papers.words import later, say, tell
from plumbrail.setout.direction import Direction
from plumbrail.setout.stakes import RodPoint, Stakes

SERVICES = later(
    "Call before you dig: have buried services located and marked before the first hole, and dig "
    "by hand near the marks."
)

HOLES = later("An open hole is a trap: cover or fence every hole until it is filled.")


def setting_out_plan(
    model: Model, stakes: Stakes, job: JobInfo, page: Page, direction: Direction | None = None,
    cautions: Sequence[Sequence[str]] = (),
) -> tuple[Sheet, ...]:  # fmt: skip
    """Sheets in order: the plan, the tables on as many pages as they need, the shadows of a day.

    ``cautions`` says for each hole what to mind there; it goes to the foot of the plan.
    Raises ValueError when the page is too small for the plan at any standard scale.
    """
    minded = tuple(_minded(h, c) for h, c in zip(stakes.ids, cautions, strict=False) if c)
    items, area = notes(drawing_area(page), minded + _plan_notes(stakes, job))
    title = say("Setting out: plan of holes")
    plans = [
        finished(title, page, job, plan.scale, plan.views, items + plan.items)
        for plan in plan_views(model, stakes, job, area)
    ]
    without = () if direction else (say(NO_DAY),)
    said, room = notes(drawing_area(page), _table_notes(stakes, job) + without)
    tables = [distances(stakes, job), levels(stakes, job), checks(stakes, job)]
    title = say("Setting out: distances, levels, checks")
    rest = [finished(title, page, job, None, (), said + marks) for marks in flow(tables, room)]
    sun = [] if direction is None else direction_sheets(direction, job, page)
    return numbered(plans + rest + sun)


def _minded(hole: str, cautions: Sequence[str]) -> str:
    """One line for a hole."""
    return f"{hole}: {'; '.join(tell(c) for c in cautions)}."


def distances(stakes: Stakes, job: JobInfo) -> Table:
    """Where each hole is: coordinates, offsets, two tapes."""
    t, ft = stakes.tapes, job.length
    rows = tuple(
        (
            name, ft(stakes.xy[i, 0]), ft(stakes.xy[i, 1]), ft(stakes.along[i]),
            ft(stakes.across[i]), *_tape(stakes, job, i, 0), *_tape(stakes, job, i, 1),
            angle(float(t.angle[i])), tell(t.fix[i]), job.fine(float(t.error[i])),
        )
        for i, name in enumerate(stakes.ids)
    )  # fmt: skip
    off = say(
        "Off base,\nto the back" if stakes.base.across[1] > 1e-9 else "Off base,\nto the right"
    )
    heads = (
        say("Hole"), say("Along row\nfrom F1"), say("To the back\nfrom F1"),
        say("Along base\nfrom pin 1"), off, say("Pin 1,\nlevel"), say("Pin 1,\non ground"),
        say("Pin 2,\nlevel"), say("Pin 2,\non ground"), say("Tapes\ncross at"), say("Fix"),
        say("Likely\nerror"),
    )  # fmt: skip
    return Table(say("Distances to hole centres"), heads, rows, (1, 5))


def _tape(stakes: Stakes, job: JobInfo, hole: int, pin: int) -> tuple[str, ...]:
    t = stakes.tapes
    level, slope = (job.length(float(d[hole, pin])) for d in (t.level, t.slope))
    return level, say("same") if t.same[hole, pin] or level == slope else slope


def levels(stakes: Stakes, job: JobInfo) -> Table:
    """Heights and rod readings for one laser set-up."""
    v, ft = stakes.levels, job.length

    def rod(point: RodPoint, i: int) -> str:
        return job.rod(float(point.reading[i]), bool(point.up[i]))

    rows = tuple(
        (
            name, ft(v.ground.height[i]), rod(v.ground, i), ft(v.hole_depth[i]),
            ft(v.hole_bottom.height[i]), rod(v.hole_bottom, i), ft(v.post_above_ground[i]),
            ft(v.post_top.height[i]), rod(v.post_top, i), ft(v.post_length[i]),
        )
        for i, name in enumerate(stakes.ids)
    )  # fmt: skip
    heads = (
        say("Hole"), say("Ground\nover pin 1"), say("Rod on\nground"), say("Hole\ndepth"),
        say("Bottom\nover pin 1"), say("Rod on\nbottom"), say("Post top\nover ground"),
        say("Post top\nover pin 1"), say("Rod on\npost top"), say("Post cut\nlength"),
    )  # fmt: skip
    title = say("Levels, laser {height} over the top of pin 1", height=job.said(v.laser))
    return Table(title, heads, rows, (1, 6))


def checks(stakes: Stakes, job: JobInfo) -> Table:
    """Distances between holes, each with the one that must be as long."""
    c = stakes.lines
    rows = tuple(
        (
            name, tell(c.kind[i]), job.length(float(c.level[i])), job.length(float(c.slope[i])),
            c.ids[c.twin[i]], job.fine(abs(float(c.level_difference[i]))),
            job.fine(abs(float(c.slope_difference[i]))),
        )
        for i, name in enumerate(c.ids)
    )  # fmt: skip
    heads = (
        say("Holes"), say("What"), say("Level"), say("On ground"), say("Compare\nwith"),
        say("Differ,\nlevel"), say("Differ,\non ground"),
    )  # fmt: skip
    return Table(say("Check distances between hole centres"), heads, rows)


def _plan_notes(stakes: Stakes, job: JobInfo) -> tuple[str, ...]:
    known = [
        say(SERVICES),
        say(HOLES),
        say("Lengths in {unit}, level, to hole centres. Measure each row from its first post, not "
            "bay by bay.", unit=job.unit),
    ]  # fmt: skip
    n = len(stakes.ids) // 2
    corners = {stakes.tapes.fix[i] for i in (0, n - 1, n, 2 * n - 1)}
    if n > 2 and corners == {"good"}:
        known.append(say(
            "Set the four corner holes from the pins and check both diagonals; then measure the "
            "holes between them along a string."
        ))  # fmt: skip
    known += [tell(w) for w in stakes.warnings]
    c = stakes.lines
    pair = c.of("diagonal")
    if c.rectangular:
        one, unit = (0.0254, tell("1 in")) if job.units == "us" else (0.01, "10 mm")
        known.append(say(
            "Square check: {one} and {two} are both {length} level. If they come out {apart} "
            "apart, slide one row by {slide} so that the longer one shortens.",
            one=c.ids[pair[0]], two=c.ids[pair[1]], length=job.said(float(c.level[pair[0]])),
            apart=unit, slide=job.said(one * c.slide),
        ))  # fmt: skip
    uneven = abs(float(c.slope_difference[pair[0]]))
    if uneven >= 0.0008:
        known.append(say(
            "With the tape on this ground these two differ by {length} although the layout is "
            "square: compare level lengths, or the on-ground lengths in the table.",
            length=job.said(uneven),
        ))  # fmt: skip
    return tuple(known)


def _table_notes(stakes: Stakes, job: JobInfo) -> tuple[str, ...]:
    second = stakes.levels.pin_2_top
    rod = job.rod(float(second.reading[0]), bool(second.up[0]))
    return (
        say(SERVICES),
        say("Level: tape held horizontal and plumbed down. On ground: tape lying on straight "
            "ground from the ground at the pin; same: no difference to be read."),
        say("Likely error: of a hole set by two tapes, for 1/16 in (1.6 mm) on each. Poor: tapes "
            "cross below 40° or above 140°. None: on the line of the pins, measure along it."),
        say("Over pin 1: above the top of pin 1; minus is below it. up: the point is above the "
            "laser, measure up from its line. Check the set-up before digging: rod on pin 2 reads "
            "{reading}.", reading=rod),
    )  # fmt: skip
