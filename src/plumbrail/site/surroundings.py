"""All that stands around the array and can shade it, in local axes: docs/method/energy-shade.md."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from plumbrail.plan.shade import Box, OtherArray, Shade, Tree
from plumbrail.site.boxes import Boxes, boxes
from plumbrail.site.crowns import Crowns, crowns
from plumbrail.site.horizon import Horizon, horizon
from plumbrail.site.sheets import Sheets, sheets
from plumbrail.site.terrain import Terrain

Array = NDArray[np.float64]

HORIZON = "Horizon of the land"


class Kind(StrEnum):
    """What something is that shades."""

    BOX = "building"
    TREE = "tree"
    SHEET = "other array"
    HORIZON = "horizon"


@dataclass(frozen=True)
class Surroundings:
    """Axis: thing that shades; boxes, trees, other arrays, and the horizon last if there is one."""

    boxes: Boxes
    crowns: Crowns
    sheets: Sheets
    horizon: Horizon | None
    """None: nobody said, and the horizon is taken as level."""
    row_bearing: float
    """True bearing of the x axis [rad]."""
    notes: tuple[str, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """What each is called."""
        last = () if self.horizon is None else (HORIZON,)
        return (*self.boxes.names, *self.crowns.names, *self.sheets.names, *last)

    @property
    def kinds(self) -> tuple[Kind, ...]:
        """What each is."""
        return tuple(self.place(k)[0] for k in range(len(self.names)))

    @property
    def light(self) -> Array:
        """(things, 12) share of the light that comes through each, January to December."""
        light = np.zeros((len(self.names), 12))
        first = len(self.boxes.names)
        light[first : first + len(self.crowns.names)] = self.crowns.light
        return light

    def place(self, k: int) -> tuple[Kind, int]:
        """Kind of the k-th thing, and its index among its kind; raises IndexError beyond."""
        if not 0 <= k < len(self.names):
            raise IndexError(f"{len(self.names)} things shade; there is no number {k}")
        for kind, names in (
            (Kind.BOX, self.boxes.names),
            (Kind.TREE, self.crowns.names),
            (Kind.SHEET, self.sheets.names),
        ):
            if k < len(names):
                return kind, k
            k -= len(names)
        return Kind.HORIZON, 0

    def footprint(self, k: int) -> Array:
        """(corners, 2) of a convex polygon in plan that holds the k-th thing; not the horizon."""
        kind, i = self.place(k)
        return self._solid(kind).footprint(i)

    def top(self, k: int) -> float:
        """Height of the top of the k-th thing; not the horizon."""
        kind, i = self.place(k)
        return float(self._solid(kind).top[i])

    def _solid(self, kind: Kind) -> Boxes | Crowns | Sheets:
        if kind is Kind.BOX:
            return self.boxes
        return self.crowns if kind is Kind.TREE else self.sheets


def surroundings(shade: Shade | None, ground: Terrain, row_bearing: float) -> Surroundings:
    """What stands around; ``row_bearing`` is the true bearing of the x axis [rad].

    Each thing stands on the ground at its place. None: nothing does, and a note says so.
    """
    said = shade or Shade()
    return Surroundings(
        boxes(said.boxes, ground), crowns(said.trees, ground),
        sheets(said.arrays, ground, row_bearing), horizon(said.horizon), row_bearing,
        _notes(shade, said, ground),
    )  # fmt: skip


def _notes(shade: Shade | None, said: Shade, ground: Terrain) -> tuple[str, ...]:
    things: tuple[Box | Tree | OtherArray, ...] = (*said.boxes, *said.trees, *said.arrays)
    notes = []
    if shade is None:
        notes.append("The plan says nothing of what stands around (site.shade): no shade at all.")
    elif not said.horizon:
        notes.append("The plan gives no horizon (site.shade.horizon): taken as level all around.")
    beyond = [t.name for t in things if bool(ground.outside(*t.at))]
    if beyond:
        notes.append(
            f"Beyond the survey points, on the plane through all of them: {', '.join(beyond)}."
        )
    return tuple(notes)
