"""What a conduit profile shows: plain figures, and the ends of the run in metres."""

from __future__ import annotations

from dataclasses import dataclass, fields
from math import isfinite, sqrt

from plumbrail.errors import RangeError
from plumbrail.papers.chain import side_dimension
from plumbrail.papers.layers import on
from plumbrail.papers.names import named
from plumbrail.papers.shapes import bar
from plumbrail.papers.sheet import Circle, Hatch, Item, Line, Point, Polyline, Text
from plumbrail.papers.wording import JobInfo

SHOWN = 1.2
"""Trench drawn at each end [m]."""
_BACK = 0.35
"""Ground drawn behind a riser [m]."""
_PIPE = 0.06
_BEND = 0.25


@dataclass(frozen=True)
class ConduitRun:
    """The run from the array to the equipment. Lengths [m]."""

    length: float
    """Of conduit, with both risers."""
    cover: float
    """Least, from the top of the conduit to the finished ground."""
    start_height: float
    """Where it begins at the array, over the ground."""
    end_height: float
    """Where it ends at the equipment, over the ground."""
    method: str
    riser: str
    ribbon: float
    """Warning ribbon this far over the conduit."""
    trade: str = ""
    """Trade size; empty: not known."""
    surface: str = "yard"
    start: str = "box at the array"
    end: str = "equipment wall"
    rise: float | None = None
    """Ground at the equipment over that at the array; None: not known, drawn level."""
    bends: int | None = None
    """Quarter bends between pulling points; None: not known, two at least."""
    expansion: bool | None = None
    """An expansion fitting is needed in a riser; None: not checked."""

    def __post_init__(self) -> None:
        for f in fields(self):
            value = getattr(self, f.name)
            if isinstance(value, float) and not isfinite(value):
                raise RangeError(f"conduit profile: {f.name} must be a finite length")
        least = min(self.cover, self.start_height, self.end_height)
        if least <= 0 or self.ribbon < 0:
            raise RangeError("conduit profile: cover and heights must be above 0, ribbon 0 or more")
        if self.bends is not None and self.bends < 0:
            raise RangeError("conduit profile: bends must be 0 or more")
        if self.trench <= abs(self.rise or 0.0):
            raise RangeError(
                f"conduit profile: of {self.length:.2f} m both risers take "
                f"{self.length - self.trench:.2f} m; what is left does not reach the equipment"
            )

    @property
    def trench(self) -> float:
        """Length in the ground, along it."""
        return self.length - self.start_height - self.end_height - 2 * self.cover

    @property
    def level(self) -> float:
        """Level distance of the risers."""
        return sqrt(self.trench**2 - (self.rise or 0.0) ** 2)

    @property
    def slope(self) -> float:
        """Rise of the ground over its level length."""
        return (self.rise or 0.0) / self.level

    @property
    def ribbon_depth(self) -> float | None:
        """Of the ribbon under the ground; None where the cover is too small for it."""
        deep = self.cover - self.ribbon
        return deep if deep > 0.05 else None


@dataclass(frozen=True)
class End:
    """One end of the run: x from its riser, to the right; z from the ground there."""

    run: ConduitRun
    job: JobInfo
    last: bool

    @property
    def way(self) -> float:
        """1 where the trench leaves to the right, -1 to the left."""
        return -1.0 if self.last else 1.0

    @property
    def height(self) -> float:
        """Of the riser over the ground."""
        return self.run.end_height if self.last else self.run.start_height

    @property
    def across(self) -> Point:
        """Least and greatest x that is drawn."""
        return (-SHOWN, _BACK) if self.last else (-_BACK, SHOWN)

    def ground(self, x: float) -> float:
        """Height of the ground."""
        return self.run.slope * x

    @property
    def upright(self) -> Point:
        """Least and greatest z that is drawn."""
        ends = [self.ground(x) for x in self.across]
        return min(ends) - self.run.cover - _PIPE, max(self.height + 0.15, *ends)

    def spots(self) -> list[tuple[str, Point]]:
        """Numbers of the key and what they point at."""
        mid = 0.72 * SHOWN * self.way
        found = [("1", (0.0, 0.6 * self.height)),
                 ("2", (0.0, -self.run.cover - 0.5 * _PIPE)),
                 ("3", (mid, self.ground(mid) - self.run.cover - 0.5 * _PIPE))]  # fmt: skip
        if self.run.ribbon_depth is not None:
            x = 0.5 * SHOWN * self.way
            found.append(("4", (x, self.ground(x) - self.run.ribbon_depth)))
        if self.run.expansion:
            found.append(("5", (0.0, 0.3 * self.height)))
        return found

    def names(self) -> tuple[Text, ...]:
        """The box or the equipment where its conduit ends."""
        return named([self.run.end if self.last else self.run.start], [(0.0, self.height)])

    def drawn(self, k: float) -> list[Item]:
        """Ground, conduit, box or wall, dimensions."""
        return [*self._soil(), *self._conduit(), *self._holder(), *self._lengths(k)]

    def _soil(self) -> list[Item]:
        a, b = self.across
        line = ((a, self.ground(a)), (b, self.ground(b)))
        under = tuple((x, z - 0.08) for x, z in reversed(line))
        items: list[Item] = [Hatch(line + under, "ground"),
                             *on("ground", [Line(*line, "medium")])]  # fmt: skip
        if self.run.ribbon_depth is not None:
            end = SHOWN * self.way
            deep = self.run.ribbon_depth
            items.append(Line((0.1 * self.way, self.ground(0.1 * self.way) - deep),
                              (end, self.ground(end) - deep), "hidden"))  # fmt: skip
        return items

    def _conduit(self) -> list[Item]:
        deep, end = -self.run.cover - 0.5 * _PIPE, SHOWN * self.way
        low = (0.0, deep + _BEND)
        start = (_BEND * self.way, deep + self.ground(_BEND * self.way))
        stop = (end, deep + self.ground(end))
        pieces = [bar((0.0, self.height), low, _PIPE), bar(low, start, _PIPE),
                  bar(start, stop, _PIPE)]  # fmt: skip
        items: list[Item] = [Polyline(p, "medium", True, "paper") for p in pieces]
        if self.run.expansion:
            z = 0.3 * self.height
            items.append(Polyline(bar((0.0, z - 0.12), (0.0, z + 0.12), 2 * _PIPE), "medium", True,
                                  "light"))  # fmt: skip
        z, w = stop[1], 0.05
        items.append(Polyline(((end, z - 3 * w), (end, z - w), (end + w, z - w / 2),
                               (end - w, z + w / 2), (end, z + w), (end, z + 3 * w))))  # fmt: skip
        return list(on("trenches", items))

    def _holder(self) -> list[Item]:
        """A box on its post, or the wall with its box."""
        h, w = self.height, 0.12
        box = ((-w, h), (w, h), (w, h + 0.15), (-w, h + 0.15))
        back = -self.way * (_PIPE + 0.04)
        foot = self.ground(back)
        hold = bar((back, foot), (back, h + 0.15), 0.06 if not self.last else 0.08)
        found: list[Item] = [Polyline(hold, "medium", True, "light"),
                             Polyline(box, "medium", True, "paper"),
                             Circle((0.0, h + 0.07), 0.02, "thin", "dark")]  # fmt: skip
        return list(on("equipment", found))

    def _lengths(self, k: float) -> list[Item]:
        behind = -_BACK * self.way
        far, out = 0.92 * SHOWN * self.way, SHOWN * self.way
        z = self.ground(far)
        up = side_dimension((behind, 0.0), (behind, self.height), 6.0 * self.way,
                            self.job.length(self.height), k)  # fmt: skip
        aside = -(abs(out - far) * k + 5.0) * self.way
        cover = side_dimension((far, z - self.run.cover), (far, z), aside,
                               self.job.length(self.run.cover), k)  # fmt: skip
        return [up, cover]
