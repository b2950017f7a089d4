"""One pier cut open: hole, post, concrete in two pours, ground and frost line."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from plumbrail.model.parts import Model
from plumbrail.papers.chain import side_dimension
from plumbrail.papers.layers import on
from plumbrail.papers.lettering import width
from plumbrail.papers.names import ASLANT, named
from plumbrail.papers.shapes import box
from plumbrail.papers.sheet import (
    Dimension,
    Hatch,
    Item,
    Line,
    Point,
    Polyline,
    Text,
)
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import figures, say

SIDE = 32.0
"""Room for dimensions at each side of a section [mm]."""
ABOVE = 6.0
_GROUND = 0.2
"""Ground drawn beyond the hole, at each side [m]."""
_STUMP = 0.45
"""Post drawn over the ground [m]."""


@dataclass(frozen=True)
class Kind:
    """Piers that are alike, by their index; the first is drawn."""

    name: str
    posts: tuple[int, ...]


class PierSection:
    """The section in metres: y to the right, z up from the ground at the post."""

    def __init__(
        self, model: Model, frost_depth: float | None, holding: float, job: JobInfo, kind: Kind
    ) -> None:
        self.model, self.frost, self.holding, self.job, self.kind = (
            model, frost_depth, holding, job, kind,
        )  # fmt: skip
        self.post = kind.posts[0]
        piers = model.piers
        self.depth = float(piers.depth[self.post])
        self.foot = float(model.posts.foot[self.post] - model.posts.ground[self.post])
        self.half = 0.5 * piers.diameter
        self.across, self.along = self._slopes()

    @property
    def name(self) -> str:
        """Of the pier that is drawn."""
        return self.model.posts.ids[self.post]

    @property
    def width(self) -> float:
        """Of what is drawn [m]."""
        return 2 * (self.half + _GROUND)

    @property
    def low(self) -> float:
        """Lowest of what is drawn."""
        steep = (self.half + _GROUND) * abs(self.across)
        under = 0.0 if self.frost is None else self.frost + steep
        return -max(self.depth, under, steep)

    @property
    def height(self) -> float:
        """Of what is drawn [m]."""
        return self.top - self.low

    @property
    def top(self) -> float:
        """Where the post is broken off."""
        collar = self.model.piers.above_grade
        steep = (self.half + _GROUND) * abs(self.across)
        out = float(self.model.posts.out_of_ground[self.post])
        return min(max(_STUMP, collar + 0.25, steep + 0.15), max(out, collar + 0.1))

    def _slopes(self) -> Point:
        """Rise of the ground at the post to the back, and to the right, over 0.5 m each way."""
        x, y = (float(v) for v in self.model.posts.xy[self.post])
        z = self.model.terrain.height(np.array([x, x, x - 0.5, x + 0.5]),
                                      np.array([y - 0.5, y + 0.5, y, y]))  # fmt: skip
        return float(z[1] - z[0]), float(z[3] - z[2])

    def words(self, section: str) -> list[str]:
        """What stands under the section."""
        posts, piers, job = self.model.posts, self.model.piers, self.job
        index = list(self.kind.posts)
        ids = posts.ids
        names = say("{first} to {last}", first=ids[index[0]], last=ids[index[-1]])
        low, high = (job.said(float(v)) for v in (posts.length[index].min(),
                                                  posts.length[index].max()))  # fmt: skip
        long = say("cut {length}", length=low) if low == high else (
            say("cut {low} to {high}, see table", low=low, high=high)
        )  # fmt: skip
        shallow = self.frost is not None and self.frost > self.depth
        warned = [say("THE HOLE ENDS ABOVE THE FROST LINE: see the checks")] if shallow else []
        return [
            f"{self.kind.name}: {names}",
            say("drawn: {name}, post {pipe}, {cut}", name=self.name, pipe=section, cut=long),
            say("ground at {name}: {across}, {along}", name=self.name,
                across=_to_the_back(self.across), along=_to_the_right(self.along)),
            say("hole {width} wide; concrete over ground {height}", width=job.said(piers.diameter),
                height=job.said(piers.above_grade)),
            *warned,
        ]  # fmt: skip

    def names(self) -> tuple[Text, ...]:
        """The pier at the ground."""
        return named([self.name], [(0.0, 0.0)], ASLANT)

    def drawn(self, k: float) -> list[Item]:
        """Everything, for ``k`` mm to the metre."""
        return [*self._soil(), *self._concrete(), *self._steel(k), *self._left(k),
                *self._right(k), *self._wide(k)]  # fmt: skip

    def _surface(self) -> tuple[Point, Point]:
        reach = self.half + _GROUND
        return (-reach, -reach * self.across), (reach, reach * self.across)

    def _soil(self) -> list[Item]:
        a, b = self._surface()
        items: list[Item] = []
        for (y0, z0), (y1, z1) in ((a, (-self.half, -self.half * self.across)),
                                   ((self.half, self.half * self.across), b)):  # fmt: skip
            deep = 0.06
            items += [Hatch(((y0, z0), (y1, z1), (y1, z1 - deep), (y0, z0 - deep)), "ground"),
                      *on("ground", [Line((y0, z0), (y1, z1), "medium")])]  # fmt: skip
        if self.frost is not None:
            items.append(Line((a[0], a[1] - self.frost), (b[0], b[1] - self.frost), "frost"))
        return items

    def _concrete(self) -> list[Item]:
        top = self.model.piers.above_grade
        pier = box(0.0, 2 * self.half, -self.depth, top)
        joint = -self.depth + self.holding
        outline = on("piers", [Polyline(pier, "medium", True, "paper")])
        items: list[Item] = [*outline, Hatch(pier, "concrete")]
        if 0.0 < self.holding < self.depth:
            items.append(Line((-self.half, joint), (self.half, joint), "hidden"))
        if self.frost is not None and self.frost < self.depth:
            ends = [(y, y * self.across - self.frost) for y in (-self.half, self.half)]
            items.append(Line(ends[0], ends[1], "frost"))
        return items

    def _steel(self, k: float) -> list[Item]:
        pipe = self.model.posts.section
        post = box(0.0, pipe.OD, self.foot, self.top)
        half, w = 0.5 * pipe.OD, 1.2 / k
        zigzag = ((-half - 2 * w, self.top), (-0.5 * w, self.top), (0.0, self.top + w),
                  (0.0, self.top - w), (0.5 * w, self.top), (half + 2 * w, self.top))  # fmt: skip
        inner = [Line((s * 0.5 * pipe.bore, self.foot), (s * 0.5 * pipe.bore, self.top), "thin")
                 for s in (-1, 1)]  # fmt: skip
        return [*on("posts", [Polyline(post, "medium", True, "paper"), *inner]), Polyline(zigzag)]

    def _left(self, k: float) -> list[Item]:
        """Cover under the post, post below ground; the whole depth outside of these."""
        x = -(self.half + _GROUND)
        marks = [-self.depth, self.foot, 0.0]
        inner = 5.0
        items, reach = self._chain(x, marks, inner, k)
        whole = self.job.length(self.depth)
        outer = inner + max(reach, 6.5) + 2.0
        return [*items, side_dimension((x, -self.depth), (x, 0.0), outer, whole, k)]

    def _right(self, k: float) -> list[Item]:
        """The two pours and the collar; the frost depth outside of these."""
        x, piers = self.half + _GROUND, self.model.piers
        joint = -self.depth + self.holding
        marks = sorted({-self.depth, joint, 0.0} if self.holding else {-self.depth, 0.0})
        if piers.above_grade > 1e-9:
            marks.append(piers.above_grade)
        items, reach = self._chain(x, marks, -5.0, k)
        names = [(0.5 * self.holding - self.depth, say("holding"), self.holding),
                 (0.5 * joint, say("rest"), -joint)]  # fmt: skip
        clear = self.half - 0.5 * self.model.posts.section.OD
        for z, name, high in names if 0.0 < self.holding < self.depth else ():
            tall = high * k
            if width(name, 2.5) + 2.0 <= clear * k and tall > 4.5:
                at = (self.half - 0.5 * clear, z - 1.25 / k)
                items.append(Text(at, name, align="middle", clear=True))
        if self.frost is not None:
            outer = -(5.0 + max(reach, 6.5) + 2.0)
            words = say("frost: {depth}", depth=self.job.length(self.frost))
            items.append(side_dimension((x, -self.frost), (x, 0.0), outer, words, k))
        return items

    def _chain(
        self, x: float, marks: list[float], offset: float, k: float
    ) -> tuple[list[Item], float]:
        """Upright dimensions in a row, and how far their words reach beyond their line [mm].

        One whose words would run into its neighbour's is left to the caption and the table.
        """
        items: list[Item] = []
        reach, last = 0.0, -1e9
        for low, high in pairwise(marks):
            if high - low < 1e-9:
                continue
            words = self.job.length(high - low)
            one = side_dimension((x, low), (x, high), offset, words, k)
            half = 0.5 * (4.2 if one.turned else width(words, 2.5) + 1.0)
            middle = 0.5 * (low + high) * k
            if middle - half < last:
                one = Dimension((x, low), (x, high), offset, "")
            else:
                last = middle + half
                reach = max(reach, width(words, 2.5) + 3.0 if one.turned else 3.6)
            items.append(one)
        return items, reach

    def _wide(self, k: float) -> list[Item]:
        z = -self.depth
        words = self.job.length(2 * self.half)
        return [side_dimension((-self.half, z), (self.half, z), -6.0, words, k)]


def _to_the_back(rise: float) -> str:
    if abs(rise) < 5e-4:
        return say("level to the back")
    return say("rises {share} % to the back" if rise > 0 else "falls {share} % to the back",
               share=figures(f"{100 * abs(rise):.1f}"))  # fmt: skip


def _to_the_right(rise: float) -> str:
    if abs(rise) < 5e-4:
        return say("level to the right")
    return say("rises {share} % to the right" if rise > 0 else "falls {share} % to the right",
               share=figures(f"{100 * abs(rise):.1f}"))  # fmt: skip
