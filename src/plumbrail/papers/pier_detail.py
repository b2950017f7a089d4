"""The pier detail: one pier of each kind in section, dimensioned, and a table of all piers."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from plumbrail.errors import RangeError
from plumbrail.model.parts import Array, Model
from plumbrail.papers.furniture import Area, drawing_area, finished, notes, numbered, scale_bar
from plumbrail.papers.lettering import wrap
from plumbrail.papers.pier_detail_section import (
    ABOVE,
    SIDE,
    Kind,
    PierSection,
)
from plumbrail.papers.sheet import Item, Page, Sheet, Text, View, best_scale
from plumbrail.papers.tables import Table, flow
from plumbrail.papers.wording import JobInfo
from plumbrail.units import show

_BAND = 9.0
_CAPTION = 4.6
_NARROW = 105.0
"""A section with less room than this [mm] gets a sheet of its own."""
_CAUTION = (
    "An open hole is a trap: cover or fence it until it is filled. Fresh concrete burns skin and "
    "eyes: gloves, boots, goggles; wash off at once.",
    "Pour the holding height first, true the frame, then pour the rest: not before the frame is "
    "found ready to pour. No concrete on frozen or flooded ground.",
)


@dataclass(frozen=True)
class PierFacts:
    """What the model does not say. Lengths [m]."""

    section: str
    """Name of the posts' pipe."""
    holding: float
    """Height of the first pour over the bottom of the hole."""
    frost_depth: float | None = None
    volume: Array | None = None
    """(2, posts) concrete of the holding pour and of the rest, over-break counted [m3]."""
    bags: Array | None = None
    """(2, posts) bags, likewise; whole numbers."""
    bag: str = ""
    """What a bag is: ``80 lb``."""

    def checked(self, model: Model) -> PierFacts:
        """Itself; raises RangeError for what does not go with the model."""
        posts = len(model.posts.ids)
        for name, table in (("volume", self.volume), ("bags", self.bags)):
            if table is not None and np.shape(table) != (2, posts):
                raise RangeError(f"{name} of the pier detail must have 2 rows of {posts} piers")
        if not 0 <= self.holding <= float(model.piers.depth.min()) + 1e-9:
            raise RangeError("the holding pour must not be higher than a hole is deep")
        return self


def pier_detail(model: Model, facts: PierFacts, job: JobInfo, page: Page) -> tuple[Sheet, ...]:
    """Sections of the front and of the back piers (one where they are alike), then the table.

    Raises RangeError for facts that do not fit the model, ValueError for a small page.
    """
    facts = facts.checked(model)
    said, area = notes(drawing_area(page), (*_notes(facts, job), *_CAUTION))
    kinds = _kinds(model)
    room = replace(area, bottom=area.bottom + _BAND)
    sections = [PierSection(model, facts.frost_depth, facts.holding, job, kind) for kind in kinds]
    together = room.width / len(sections) >= _NARROW
    groups = [sections] if together else [[one] for one in sections]
    first = [_sheet(group, facts, room, page, said) for group in groups]
    lines, left = notes(drawing_area(page), _CAUTION)
    rest = [
        finished("Pier detail: all piers", page, job, None, (), lines + marks)
        for marks in flow([table(model, facts, job)], left)
    ]
    return numbered([*first, *rest])


def _sheet(
    sections: list[PierSection], facts: PierFacts, room: Area, page: Page, said: list[Item]
) -> Sheet:
    """Sections side by side, one scale for all, words under each."""
    job, part = sections[0].job, room.width / len(sections)
    words = [_wrapped(s.words(facts.section), part - 4.0) for s in sections]
    under = _CAPTION * max(len(w) for w in words)
    inner = (part - 2 * SIDE, room.height - ABOVE - under - 8.0)
    wide, high = max(s.width for s in sections), max(s.height for s in sections)
    scale = best_scale(wide, high, inner, job.units)
    k = 1000.0 / scale.ratio
    views: list[View] = []
    items = [*said, *scale_bar((room.left + 6, room.bottom - _BAND + 2.0), scale, job)]
    for i, (one, lines) in enumerate(zip(sections, words, strict=True)):
        middle = room.left + (i + 0.5) * part
        spare = 0.5 * (inner[1] - one.height * k)
        foot = room.bottom + under + 9.0 + spare - one.low * k
        view = View(f"pier {one.name}", scale.ratio, (middle, foot), tuple(one.drawn(k)))
        views.append(view)
        top = foot + one.low * k - 9.0
        items += [
            Text((middle, top - _CAPTION * (n + 1) + 1.5), w, align="middle", bold=n == 0)
            for n, w in enumerate(lines)
        ]
    return finished("Pier detail", page, job, scale, tuple(views), items)


def _wrapped(lines: list[str], room: float) -> list[str]:
    head = wrap(lines[0], room / 1.2, 2.5)
    return [*head, *(w for line in lines[1:] for w in wrap(line, room, 2.5))]


def _kinds(model: Model) -> list[Kind]:
    """Rows whose holes are alike go together."""
    n, piers = model.stations, model.piers
    if np.ptp(piers.depth) < 1e-9:
        return [Kind("Front and back piers", tuple(range(2 * n)))]
    return [Kind("Front piers", tuple(range(n))), Kind("Back piers", tuple(range(n, 2 * n)))]


def _notes(facts: PierFacts, job: JobInfo) -> tuple[str, ...]:
    frost = (
        "Frost depth was not given: no frost line is drawn, depth under frost is not checked here."
        if facts.frost_depth is None else f"Frost line {job.said(facts.frost_depth)} below grade."
    )  # fmt: skip
    return (
        f"Section square to the row, seen from the right end: front at the left. Lengths in "
        f"{job.unit_note}; depths from the ground at the post. {frost}",
        "At the left: the whole hole, the post below ground, the concrete under its foot. At the "
        f"right: the holding pour, {job.said(facts.holding)} high up to the dashed line, the rest "
        "over it, the frost depth.",
    )


def table(model: Model, facts: PierFacts, job: JobInfo) -> Table:
    """A row for every pier."""
    posts, piers = model.posts, model.piers
    heads = ["Pier", "Hole\ndiameter", "Hole\ndepth", "Post cut\nlength", "Post out\nof ground",
             "Post in\nconcrete", "Concrete\nover ground"]  # fmt: skip
    if facts.volume is not None:
        heads += ["Holding\npour", "Rest"]
    if facts.bags is not None:
        heads += [f"Bags {facts.bag},\nholding", "Bags,\nrest"]
    rows = []
    for i, name in enumerate(posts.ids):
        inside = float(posts.ground[i] + piers.above_grade - posts.foot[i])
        row = [name, *map(job.length, (
            piers.diameter, float(piers.depth[i]), float(posts.length[i]),
            float(posts.out_of_ground[i]), inside, piers.above_grade,
        ))]  # fmt: skip
        if facts.volume is not None:
            row += [show(float(v), "volume", job.units) for v in facts.volume[:, i]]
        if facts.bags is not None:
            row += [f"{int(n)}" for n in facts.bags[:, i]]
        rows.append(tuple(row))
    return Table("All piers", tuple(heads), tuple(rows), (1,))
