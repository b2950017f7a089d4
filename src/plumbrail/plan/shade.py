"""Sections on what shades the array: horizon, buildings, trees, another array."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from plumbrail.plan import fields as f
from plumbrail.plan.polygons import Place
from plumbrail.plan.section import Section

HorizonPoint = tuple[f.Azimuth, f.HorizonAngle]
Month = Annotated[f.Count, Field(ge=1, le=12)]
_AT = (
    "measured from hole F1: along the row to the right, and to the back, seen from the front. "
    "Negative is to the left and to the front."
)


class Box(Section):
    """A building, wall or tank: an upright block."""

    name: f.Text = Field(min_length=1, description="What to call it.", examples=["Cold store"])
    at: Place = Field(description=f"Middle of its footprint, {_AT}", examples=[["70 ft", "20 ft"]])
    size: tuple[f.PositiveLength, f.PositiveLength] = Field(
        description="Its footprint: along the row and to the back, before it is turned.",
        examples=[["40 ft", "60 ft"]],
    )
    turn: f.Turn = Field(
        0.0,
        description="Turned about its middle, clockwise seen from above.",
        examples=["0 deg"],
    )
    height: f.PositiveLength = Field(
        description="Top above the ground under it.", examples=["18 ft"]
    )


class Tree(Section):
    """A tree: a cone or a ball of leaves on a bare stem."""

    name: f.Text = Field(
        min_length=1, description="What to call it.", examples=["North-west spruce"]
    )
    at: Place = Field(description=f"Its stem, {_AT}", examples=[["-25 ft", "40 ft"]])
    height: f.PositiveLength = Field(
        description="Top above the ground under it.", examples=["45 ft"]
    )
    crown_from: f.Depth = Field(
        0.0, description="Height at which the crown begins.", examples=["0 ft"]
    )
    radius: f.PositiveLength = Field(description="Radius of the crown.", examples=["9 ft"])
    trunk: f.Trunk | None = Field(
        None,
        description="Diameter of its stem 4 ft 6 in above the ground; its roots are spared by it.",
        examples=["16 in"],
    )
    crown: Literal["cone", "round"] = Field(
        "cone", description="cone: spruce, fir; round: oak, apple.", examples=["cone"]
    )
    light_through: f.Share = Field(
        0.0,
        description="Share of the light that comes through the crown in leaf; nothing unless you "
        "say otherwise.",
        examples=["0 %"],
    )
    bare_months: tuple[Month, ...] | None = Field(
        None, description="Months without leaves, 1 is January.", examples=[[11, 12, 1, 2, 3]]
    )
    light_through_bare: f.Share = Field(
        0.0, description="Share of the light that comes through then.", examples=["0 %"]
    )

    @model_validator(mode="after")
    def _crown(self) -> Self:
        if self.crown_from >= self.height:
            raise ValueError("crown_from is at or above the height; the crown begins below the top")
        return self


class OtherArray(Section):
    """Another array that stands near: a tilted sheet."""

    name: f.Text = Field(min_length=1, description="What to call it.", examples=["Old array"])
    at: Place = Field(description=f"Middle of its low edge, {_AT}", examples=[["13 ft", "-40 ft"]])
    row_length: f.PositiveLength = Field(description="Along its row.", examples=["24 ft"])
    slope_length: f.PositiveLength = Field(description="Up its slope.", examples=["11 ft"])
    tilt: f.Tilt = Field(description="Tilt from horizontal.", examples=["30 deg"])
    azimuth: f.Azimuth = Field(
        description="Direction it faces, clockwise from true north.", examples=["178 deg"]
    )
    low_edge: f.Depth = Field(
        description="Its low edge above the ground under it.", examples=["2 ft"]
    )


class Shade(Section):
    """What stands around the array. Left out: nothing does, and the papers say so."""

    horizon: tuple[HorizonPoint, ...] | None = Field(
        None,
        description="Skyline of the land: [direction from true north, height above level], in "
        "order of direction; straight between. Sight it with a level app over a compass made true.",
        examples=[[["90 deg", "4 deg"], ["180 deg", "2 deg"], ["270 deg", "7 deg"]]],
    )
    boxes: tuple[Box, ...] = Field((), description="Buildings, walls, tanks.")
    trees: tuple[Tree, ...] = Field((), description="Trees.")
    arrays: tuple[OtherArray, ...] = Field((), description="Other arrays that stay.")

    @model_validator(mode="after")
    def _told_apart(self) -> Self:
        things: tuple[Box | Tree | OtherArray, ...] = (*self.boxes, *self.trees, *self.arrays)
        names = [o.name for o in things]
        twice = sorted({n for n in names if names.count(n) > 1})
        if twice:
            raise ValueError(f'two things are called "{twice[0]}"; give each its own name')
        around = [p[0] for p in self.horizon or ()]
        if any(b <= a for a, b in pairwise(around)):
            raise ValueError("horizon must list its directions in rising order, each once")
        if around and around[-1] - around[0] >= 2 * math.pi - 1e-9:
            raise ValueError("horizon names the same direction twice, 0 deg and 360 deg")
        return self
