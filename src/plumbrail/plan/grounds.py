"""Sections on what is buried and where the property ends."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from plumbrail.plan import fields as f
from plumbrail.plan.polygons import GroundLine, Outline
from plumbrail.plan.section import Section

ServiceKind = Literal["power", "gas", "communication", "water", "reclaimed", "sewer"]
LocatedBy = Literal["potholed", "locator", "record drawing", "memory"]
SURE: tuple[LocatedBy, ...] = ("potholed", "locator")
"""Ways of locating that found the thing itself, not only what somebody wrote or remembers."""
USUAL_TOLERANCE = 0.6096
"""24 in to each side of a buried service: many states' dig laws say 18 or 24 in. Common practice;
the law of the state decides."""
USUAL_UNCERTAINTY: dict[LocatedBy, float] = {
    "potholed": 0.0762, "locator": 0.1524, "record drawing": 1.524, "memory": 3.048,
}  # fmt: skip
"""3 in, 6 in, 5 ft, 10 ft to each side. Common practice, no published source."""
_FROM = (
    "measured from hole F1: [along the row to the right, to the back], seen from the front. "
    "Negative is to the left and to the front."
)
Factor = Annotated[f.Number, Field(ge=0.1, le=100.0)]


class Service(Section):
    """Something buried: a cable, pipe or drain, live or not."""

    name: f.Text = Field(
        min_length=1, max_length=40, description="What to call it.", examples=["Well line"]
    )
    kind: ServiceKind = Field(
        description="power: electric power, lighting; gas: gas, oil, steam, fuel; communication: "
        "telephone, signal, fibre; water: drinking water; reclaimed: irrigation, slurry; sewer: "
        "sewer, drain. As the colours of public marking paint.",
        examples=["water"],
    )
    points: GroundLine = Field(
        description=f"Its line over the ground, two points or more, {_FROM}",
        examples=[[["-20 ft", "26 ft"], ["60 ft", "22 ft"]]],
    )
    located_by: LocatedBy = Field(
        description="How its place is known. potholed: dug up by hand and seen; locator: traced "
        "with an instrument and marked; record drawing; memory. Only the first two count as known.",
        examples=["locator"],
    )
    uncertainty: f.Depth | None = Field(
        None,
        description="How far to each side of these points it may really lie, 19 times in 20. Left "
        "out: 3 in potholed, 6 in by a locator, 5 ft by a record drawing, 10 ft by memory "
        "(common practice, no published source).",
        examples=["6 in"],
    )
    tolerance: f.Depth | None = Field(
        None,
        description="Width of the zone that is dug by hand, to each side from its outer edge. Left "
        "out: 24 in, as many states have it; others say 18 in. Ask the locate centre. Once it is "
        "potholed, the clear distance that its owner asks for.",
        examples=["24 in"],
    )
    diameter: f.PositiveLength | None = Field(
        None,
        description="Its outer width. Left out: counted as nothing, and the checks say so.",
        examples=["1 1/4 in"],
    )
    depth: f.Depth | None = Field(
        None,
        description="Of its top below the ground, where somebody saw it. Marks on the ground give "
        "no depth.",
        examples=["4 ft"],
    )
    state: Literal["live", "abandoned", "unknown"] = Field(
        "unknown",
        description="abandoned counts as live too, until its owner has shown it dead.",
        examples=["unknown"],
    )

    @property
    def within(self) -> float:
        """Half width of where it may lie about its points [m]."""
        return USUAL_UNCERTAINTY[self.located_by] if self.uncertainty is None else self.uncertainty

    @property
    def by_hand(self) -> float:
        """Tolerance zone beyond its outer edge [m]."""
        return USUAL_TOLERANCE if self.tolerance is None else self.tolerance

    @property
    def sure(self) -> bool:
        """Its place was found on the ground."""
        return self.located_by in SURE


class Locate(Section):
    """The answer to the request to have everything buried located and marked."""

    answered: f.Day = Field(
        description="Day on which the last owner of services had answered and marked. In the US "
        "call 811 two to three working days before the first hole; the law of the state decides. "
        "Marks and tickets expire.",
        examples=["2026-04-27"],
    )
    ticket: f.Text | None = Field(
        None, max_length=40, description="Number of the request.", examples=["26-0431177"]
    )
    own_lines: f.Flag = Field(
        description="true once the owner's own lines are found too: from the meter on, well, "
        "septic, propane, irrigation, feeders. No locate centre marks those.",
        examples=[True],
    )


class Boundary(Section):
    """Where the property ends, and how far off the building department wants the array."""

    points: Outline = Field(
        description=f"Its corners in order, {_FROM}",
        examples=[[["-80 ft", "-60 ft"], ["120 ft", "-60 ft"], ["120 ft", "90 ft"],
                   ["-80 ft", "90 ft"]]],
    )  # fmt: skip
    known_by: Literal["survey", "markers found", "fence", "map"] = Field(
        description="survey: set out by a surveyor; markers found: the corner markers of the deed "
        "were found; fence and map do not count as known.",
        examples=["markers found"],
    )
    setback: f.Depth = Field(
        description="Distance that the building or fire department wants between array and "
        'boundary; "0 ft" when they want none. Ask them.',
        examples=["20 ft"],
    )
    easements_read: f.Flag = Field(
        description="true once the title report or the county's records were read and every "
        "easement stands in site.easements.",
        examples=[True],
    )


class Easement(Section):
    """A strip or area where somebody else has rights and nothing is built."""

    name: f.Text = Field(
        min_length=1, max_length=40, description="What to call it.", examples=["Utility strip"]
    )
    points: Outline = Field(
        description=f"Its corners in order, {_FROM}",
        examples=[[["-80 ft", "-60 ft"], ["120 ft", "-60 ft"], ["120 ft", "-50 ft"],
                   ["-80 ft", "-50 ft"]]],
    )  # fmt: skip


class Region(Section):
    """Ground that digs otherwise than the rest, or that nobody digs in."""

    name: f.Text = Field(
        min_length=1, max_length=40, description="What to call it.", examples=["Yard paving"]
    )
    kind: Literal["paving", "rock", "roots", "keep out"] = Field(
        description="paving, rock, roots: digging costs more there; keep out: no hole, no trench.",
        examples=["paving"],
    )
    points: Outline = Field(
        description=f"Its corners in order, {_FROM}",
        examples=[[["45 ft", "0 ft"], ["57 ft", "0 ft"], ["57 ft", "40 ft"], ["45 ft", "40 ft"]]],
    )
    dig_factor: Factor | None = Field(
        None,
        description="Cost of a trench there over that in open ground, your own estimate; not for "
        "keep out.",
        examples=[4.0],
    )

    @model_validator(mode="after")
    def _priced(self) -> Self:
        if self.kind == "keep out" and self.dig_factor is not None:
            raise ValueError("nobody digs in a keep out area; leave dig_factor out")
        if self.kind != "keep out" and self.dig_factor is None:
            raise ValueError(
                f"give dig_factor: what a trench in {self.kind} costs over one in open ground, "
                "for example 4.0"
            )
        return self


def refuse_twins(names: Iterable[str]) -> None:
    """Raise ValueError when two things of a site have one name."""
    seen: set[str] = set()
    for name in names:
        if name in seen:
            raise ValueError(f'two things are called "{name}"; give each its own name')
        seen.add(name)
