"""The section on the drilled concrete piers."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import AfterValidator, BeforeValidator, Field, model_validator

from plumbrail.plan import fields as f
from plumbrail.plan.section import Section

_LEAST_STRENGTH = 17e6


def _no_flag(value: object) -> object:
    """Python holds true for 1; a plan that says true means something else."""
    if isinstance(value, bool):
        raise ValueError(f"{str(value).lower()} will not do; write 1 or 2")
    return value


def _structural(value: float) -> float:
    """Concrete of a foundation: ACI 318-19 19.2.1.1, from memory; 17 MPa in its metric edition."""
    if value < _LEAST_STRENGTH:
        raise ValueError(
            "is under 2500 psi (17 MPa), the least for concrete of a foundation (ACI 318-19, "
            "19.2.1.1, from memory); order a stronger mix, or is it a slip of unit?"
        )
    return value


class Piers(Section):
    """Drilled concrete piers."""

    diameter: f.PositiveLength = Field(
        description="Diameter of the hole; the auger the rental yard has.", examples=["24 in"]
    )
    depth: f.OneOrPair = Field(
        description="Depth of the hole below grade; one length, or [front, back].",
        examples=["7 ft", ["7 ft", "6 ft"]],
    )
    strength: Annotated[f.Strength, AfterValidator(_structural)] = Field(
        description="Concrete strength at 28 days, from the bag or the ready-mix ticket; at least "
        "2500 psi (17 MPa). Nothing is worked out from it: the pier's own steel and concrete are "
        "not checked.",
        examples=["2500 psi"],
    )
    cover_below_post: f.Depth = Field(
        description="Concrete between post foot and hole bottom.", examples=["3 in"]
    )
    post_foot: Literal["closed", "open"] = Field(
        "closed",
        description="closed: the foot of the post is capped or flattened and the pipe stays empty; "
        "open: it fills with concrete. Counts in the concrete to buy.",
        examples=["closed"],
    )
    above_grade: f.Depth = Field(0.0, description="Concrete above grade.", examples=["0 in"])
    isolated_pole_factor: Annotated[Literal[1, 2], BeforeValidator(_no_flag)] = Field(
        description="2 doubles the lateral soil pressure where 1/2 in of movement at grade does no "
        "harm (IBC 1806.3.4); whether an array qualifies is a judgement. 1 is the cautious choice.",
        examples=[1],
    )
    uplift_friction: f.PositivePressure | None = Field(
        None,
        description="Ultimate friction of the shaft against uplift, counted below frost only. Left "
        "out, only weight resists.",
        examples=["250 psf"],
    )
    uplift_factor: Annotated[f.Number, Field(ge=1.5, le=4.0)] | None = Field(
        None,
        description="Safety factor on uplift friction: 2 by analysis, 1.5 by test, 3 otherwise.",
        examples=[3.0],
    )
    friction_source: f.Text | None = Field(
        None,
        min_length=1,
        description="Where the uplift friction comes from.",
        examples=["Letter of the soil engineer, 9 April"],
    )

    @model_validator(mode="after")
    def _stated(self) -> Self:
        stated = (self.uplift_friction, self.uplift_factor, self.friction_source)
        if len({value is None for value in stated}) == 2:
            raise ValueError("uplift_friction, uplift_factor and friction_source go together")
        return self

    @model_validator(mode="after")
    def _post_in_pier(self) -> Self:
        depths = self.depth if isinstance(self.depth, tuple) else (self.depth,)
        if self.cover_below_post >= min(depths):
            raise ValueError("cover_below_post is as deep as the hole; no post would stand in it")
        return self
