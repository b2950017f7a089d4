"""The setting-out papers: a plan of holes, and tables of distances, levels and checks."""

from __future__ import annotations

from plumbrail.model.parts import Model
from plumbrail.papers.direction_sheet import NO_DAY, direction_sheets
from plumbrail.papers.furniture import drawing_area, finished, notes, numbered
from plumbrail.papers.plan_view import plan_views
from plumbrail.papers.sheet import Page, Sheet
from plumbrail.papers.tables import Table, flow
from plumbrail.papers.wording import JobInfo, angle
from plumbrail.setout.direction import Direction
from plumbrail.setout.stakes import RodPoint, Stakes

SERVICES = (
    "Call before you dig: have buried services located and marked before the first hole, and dig "
    "by hand near the marks."
)

HOLES = "An open hole is a trap: cover or fence every hole until it is filled."


def setting_out_plan(
    model: Model, stakes: Stakes, job: JobInfo, page: Page, direction: Direction | None = None
) -> tuple[Sheet, ...]:
    """Sheets in order: the plan, the tables on as many pages as they need, the shadows of a day.

    Raises ValueError when the page is too small for the plan at any standard scale.
    """
    items, area = notes(drawing_area(page), _plan_notes(stakes, job))
    title = "Setting out: plan of holes"
    plans = [
        finished(title, page, job, plan.scale, plan.views, items + plan.items)
        for plan in plan_views(model, stakes, job, area)
    ]
    without = () if direction else (NO_DAY,)
    said, room = notes(drawing_area(page), _table_notes(stakes, job) + without)
    tables = [distances(stakes, job), levels(stakes, job), checks(stakes, job)]
    rest = [
        finished("Setting out: distances, levels, checks", page, job, None, (), said + marks)
        for marks in flow(tables, room)
    ]
    sun = [] if direction is None else direction_sheets(direction, job, page)
    return numbered(plans + rest + sun)


def distances(stakes: Stakes, job: JobInfo) -> Table:
    """Where each hole is: coordinates, offsets, two tapes."""
    t, ft = stakes.tapes, job.length
    rows = tuple(
        (
            name, ft(stakes.xy[i, 0]), ft(stakes.xy[i, 1]), ft(stakes.along[i]),
            ft(stakes.across[i]), *_tape(stakes, job, i, 0), *_tape(stakes, job, i, 1),
            angle(float(t.angle[i])), t.fix[i], job.fine(float(t.error[i])),
        )
        for i, name in enumerate(stakes.ids)
    )  # fmt: skip
    side = "to the back" if stakes.base.across[1] > 1e-9 else "to the right"
    heads = (
        "Hole", "Along row\nfrom F1", "To the back\nfrom F1", "Along base\nfrom pin 1",
        f"Off base,\n{side}", "Pin 1,\nlevel", "Pin 1,\non ground", "Pin 2,\nlevel",
        "Pin 2,\non ground", "Tapes\ncross at", "Fix", "Likely\nerror",
    )  # fmt: skip
    return Table("Distances to hole centres", heads, rows, (1, 5))


def _tape(stakes: Stakes, job: JobInfo, hole: int, pin: int) -> tuple[str, ...]:
    t = stakes.tapes
    level, slope = (job.length(float(d[hole, pin])) for d in (t.level, t.slope))
    return level, "same" if t.same[hole, pin] or level == slope else slope


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
        "Hole", "Ground\nover pin 1", "Rod on\nground", "Hole\ndepth", "Bottom\nover pin 1",
        "Rod on\nbottom", "Post top\nover ground", "Post top\nover pin 1", "Rod on\npost top",
        "Post cut\nlength",
    )  # fmt: skip
    return Table(f"Levels, laser {job.said(v.laser)} over the top of pin 1", heads, rows, (1, 6))


def checks(stakes: Stakes, job: JobInfo) -> Table:
    """Distances between holes, each with the one that must be as long."""
    c = stakes.lines
    rows = tuple(
        (
            name, c.kind[i], job.length(float(c.level[i])), job.length(float(c.slope[i])),
            c.ids[c.twin[i]], job.fine(abs(float(c.level_difference[i]))),
            job.fine(abs(float(c.slope_difference[i]))),
        )
        for i, name in enumerate(c.ids)
    )  # fmt: skip
    heads = (
        "Holes", "What", "Level", "On ground", "Compare\nwith", "Differ,\nlevel",
        "Differ,\non ground",
    )  # fmt: skip
    return Table("Check distances between hole centres", heads, rows)


def _plan_notes(stakes: Stakes, job: JobInfo) -> tuple[str, ...]:
    known = [
        SERVICES,
        HOLES,
        f"Lengths in {job.unit_note}, level, to hole centres. Measure each row from its first "
        "post, not bay by bay.",
    ]
    n = len(stakes.ids) // 2
    corners = {stakes.tapes.fix[i] for i in (0, n - 1, n, 2 * n - 1)}
    if n > 2 and corners == {"good"}:
        known.append(
            "Set the four corner holes from the pins and check both diagonals; then measure the "
            "holes between them along a string."
        )
    known += stakes.warnings
    c = stakes.lines
    pair = c.of("diagonal")
    if c.rectangular:
        one, unit = (0.0254, "1 in") if job.units == "us" else (0.01, "10 mm")
        known.append(
            f"Square check: {c.ids[pair[0]]} and {c.ids[pair[1]]} are both "
            f"{job.said(float(c.level[pair[0]]))} level. If they come out {unit} "
            f"apart, slide one row by {job.said(one * c.slide)} so that the longer one shortens."
        )
    uneven = abs(float(c.slope_difference[pair[0]]))
    if uneven >= 0.0008:
        known.append(
            f"With the tape on this ground these two differ by {job.said(uneven)} although the "
            "layout is square: compare level lengths, or the on-ground lengths in the table."
        )
    return tuple(known)


def _table_notes(stakes: Stakes, job: JobInfo) -> tuple[str, ...]:
    second = stakes.levels.pin_2_top
    rod = job.rod(float(second.reading[0]), bool(second.up[0]))
    return (
        SERVICES,
        "Level: tape held horizontal and plumbed down. On ground: tape lying on straight ground "
        "from the ground at the pin; same: no difference to be read.",
        "Likely error: of a hole set by two tapes, for 1/16 in (1.6 mm) on each. Poor: tapes cross "
        "below 40° or above 140°. None: on the line of the pins, measure along it.",
        "Over pin 1: above the top of pin 1; minus is below it. up: the point is above the laser, "
        f"measure up from its line. Check the set-up before digging: rod on pin 2 reads {rod}.",
    )
