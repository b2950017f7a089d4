"""The pier detail: one pier of each kind in section, dimensioned, and a table of all piers."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from plumbrail.errors import RangeError
from plumbrail.model.parts import Array, Model
from plumbrail.papers.furniture import Area, drawing_area, finished, notes, numbered, scale_bar
from plumbrail.papers.layers import resting
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
from plumbrail.papers.words import figures, later, say
from plumbrail.units import show

_BAND = 9.0
_CAPTION = 4.6
_NARROW = 105.0
"""A section with less room than this [mm] gets a sheet of its own."""
_CAUTION = (
    later("An open hole is a trap: cover or fence it until it is filled. Fresh concrete burns skin "
          "and eyes: gloves, boots, goggles; wash off at once."),
    later("Pour the holding height first, true the frame, then pour the rest: not before the frame "
          "is found ready to pour. No concrete on frozen or flooded ground."),
)  # fmt: skip


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
    cautions = tuple(say(c) for c in _CAUTION)
    said, area = notes(drawing_area(page), (*_notes(facts, job), *cautions))
    kinds = _kinds(model)
    room = replace(area, bottom=area.bottom + _BAND)
    sections = [PierSection(model, facts.frost_depth, facts.holding, job, kind) for kind in kinds]
    together = room.width / len(sections) >= _NARROW
    groups = [sections] if together else [[one] for one in sections]
    first = [_sheet(group, facts, room, page, said) for group in groups]
    lines, left = notes(drawing_area(page), cautions)
    rest = [
        finished(say("Pier detail: all piers"), page, job, None, (), lines + marks)
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
        view = View(say("pier {name}", name=one.name), scale.ratio, (middle, foot),
                    resting("posts", one.drawn(k)), one.names())  # fmt: skip
        views.append(view)
        top = foot + one.low * k - 9.0
        items += [
            Text((middle, top - _CAPTION * (n + 1) + 1.5), w, align="middle", bold=n == 0)
            for n, w in enumerate(lines)
        ]
    return finished(say("Pier detail"), page, job, scale, tuple(views), items)


def _wrapped(lines: list[str], room: float) -> list[str]:
    head = wrap(lines[0], room / 1.2, 2.5)
    return [*head, *(w for line in lines[1:] for w in wrap(line, room, 2.5))]


def _kinds(model: Model) -> list[Kind]:
    """Rows whose holes are alike go together."""
    n, piers = model.stations, model.piers
    if np.ptp(piers.depth) < 1e-9:
        return [Kind(say("Front and back piers"), tuple(range(2 * n)))]
    return [Kind(say("Front piers"), tuple(range(n))),
            Kind(say("Back piers"), tuple(range(n, 2 * n)))]  # fmt: skip


def _notes(facts: PierFacts, job: JobInfo) -> tuple[str, ...]:
    frost = (
        say("Frost depth was not given: no frost line is drawn, depth under frost is not checked "
            "here.")
        if facts.frost_depth is None
        else say("Frost line {depth} below grade.", depth=job.said(facts.frost_depth))
    )  # fmt: skip
    return (
        say("Section square to the row, seen from the right end: front at the left. Lengths in "
            "{unit}; depths from the ground at the post. {frost}", unit=job.unit, frost=frost),
        say("At the left: the whole hole, the post below ground, the concrete under its foot. At "
            "the right: the holding pour, {height} high up to the dashed line, the rest over it, "
            "the frost depth.", height=job.said(facts.holding)),
    )  # fmt: skip


def table(model: Model, facts: PierFacts, job: JobInfo) -> Table:
    """A row for every pier."""
    posts, piers = model.posts, model.piers
    heads = [say("Pier"), say("Hole\ndiameter"), say("Hole\ndepth"), say("Post cut\nlength"),
             say("Post out\nof ground"), say("Post in\nconcrete"),
             say("Concrete\nover ground")]  # fmt: skip
    if facts.volume is not None:
        heads += [say("Holding\npour"), say("Rest")]
    if facts.bags is not None:
        heads += [say("Bags {bag},\nholding", bag=facts.bag), say("Bags,\nrest")]
    rows = []
    for i, name in enumerate(posts.ids):
        inside = float(posts.ground[i] + piers.above_grade - posts.foot[i])
        row = [name, *map(job.length, (
            piers.diameter, float(piers.depth[i]), float(posts.length[i]),
            float(posts.out_of_ground[i]), inside, piers.above_grade,
        ))]  # fmt: skip
        if facts.volume is not None:
            row += [figures(show(float(v), "volume", job.units)) for v in facts.volume[:, i]]
        if facts.bags is not None:
            row += [f"{int(n)}" for n in facts.bags[:, i]]
        rows.append(tuple(row))
    return Table(say("All piers"), tuple(heads), tuple(rows), (1,))
