"""Sections on the trench from the array to the equipment."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from plumbrail.plan import fields as f
from plumbrail.plan.section import Price, Section

Hours = Annotated[f.Number, Field(ge=0.0, le=100.0)]
Friction = Annotated[f.Number, Field(ge=0.05, le=1.0)]
Surface = Literal[
    "yard", "under 2 in concrete", "under building", "under 4 in slab", "road",
    "dwelling driveway", "airfield",
]  # fmt: skip


class Digging(Section):
    """How fast the crew works. Left out: common practice, no published source; put in your own."""

    machine: f.PositiveLength = Field(
        9.144,
        description="Trench that a machine digs in an hour in open ground.",
        examples=["30 ft"],
    )
    hand: f.PositiveLength = Field(
        1.524,
        description="Trench that one hour of hand digging gives, in a tolerance zone, between "
        "roots, or under the modules.",
        examples=["5 ft"],
    )
    lay: f.PositiveLength = Field(
        12.192,
        description="Conduit laid and bedded in an hour. Filling the trench is not in it: that is "
        "backfill in [works.rates].",
        examples=["40 ft"],
    )
    quarter_bend: Hours = Field(
        0.25,
        description="Hours that a quarter bend costs; smaller bends in proportion.",
        examples=[0.25],
    )
    swell: f.Share = Field(
        0.25,
        description="How much looser spoil is than the ground it came from.",
        examples=["25 %"],
    )


class Crossings(Section):
    """Hours to dig up by hand, hold and pass one buried service, crossed square on.

    Left out: common practice, no published source. A crossing at an angle costs more, by one over
    the sine of the angle.
    """

    power: Hours = Field(1.5, description="Electric power.", examples=[1.5])
    gas: Hours = Field(2.0, description="Gas, oil, steam, fuel.", examples=[2.0])
    communication: Hours = Field(1.0, description="Telephone, signal, fibre.", examples=[1.0])
    water: Hours = Field(1.0, description="Drinking water.", examples=[1.0])
    reclaimed: Hours = Field(0.5, description="Irrigation, slurry.", examples=[0.5])
    sewer: Hours = Field(1.0, description="Sewer, drain.", examples=[1.0])


class Pull(Section):
    """Pulling the wires in."""

    friction: Friction = Field(
        0.5,
        description="Friction of the wires in the conduit: 0.5 dry; lubricated less, see the "
        "maker of the lubricant.",
        examples=[0.5],
    )
    grip: Literal["eye", "basket"] = Field(
        "basket",
        description="eye: the conductors themselves are pulled; basket: a woven grip over the "
        "jacket, which stands 1000 lbf.",
        examples=["basket"],
    )
    sidewall: f.LineLoad = Field(
        4378.170881161909,
        description="Pressure of the wires against the inside of a bend that they may stand, per "
        "length of its radius. Left out: 300 lbf/ft; the maker of the wire may allow more.",
        examples=["300 lbf/ft"],
    )
    bend_radius: f.PositiveLength | None = Field(
        None,
        description="Radius of the bends to their centre line. Left out: the least that the code "
        "has for bends made in the field.",
        examples=["13 in"],
    )
    wire_weight: f.LinearMass | None = Field(
        None,
        description="Weight of all wires of the run together. Left out: worked out from their "
        "metal and their size.",
        examples=["0.5 lb/ft"],
    )


class TrenchPrices(Section):
    """Prices, in your own money. What is left out stays without a price."""

    conduit: Price | None = Field(None, description="Conduit, per metre.", examples=[4.2])
    wire: Price | None = Field(None, description="Wire of the run, per metre.", examples=[2.9])
    bend: Price | None = Field(None, description="A bend.", examples=[6.5])
    tape: Price | None = Field(None, description="Warning tape, per metre.", examples=[0.3])
    sand: Price | None = Field(None, description="Bedding, per cubic metre.", examples=[48.0])
    box: Price | None = Field(None, description="A pull box.", examples=[85.0])
    machine_hour: Price | None = Field(
        None, description="An hour of the machine with whoever drives it.", examples=[95.0]
    )
    hour: Price | None = Field(None, description="An hour of hand work.", examples=[35.0])


class Trench(Section):
    """The trench from the array to the equipment wall."""

    clearance: f.Depth = Field(
        description="Least distance of its middle from buildings, other arrays, stems, keep-out "
        "areas, easements and the boundary. Ask the building department, and whoever knows how "
        "the building is founded: a trench beside a footing must not undermine it.",
        examples=["3 ft"],
    )
    pier_clearance: f.Depth = Field(
        description="Least distance of its middle from the edge of a pier of the array. The soil "
        "beside a pier holds it: ask the engineer.",
        examples=["3 ft"],
    )
    roots: Literal["go round", "dig by hand"] = Field(
        description="What to do about the root zone of a tree: go round it, or dig by hand "
        "between the roots, none of them cut.",
        examples=["go round"],
    )
    root_rule: Literal["US", "BS 5837"] = Field(
        "US",
        description="US: a foot of radius for each inch of stem, or the crown where that is wider; "
        "BS 5837: twelve times the stem, 15 m at the most.",
        examples=["US"],
    )
    paved_as: Surface | None = Field(
        None,
        description="What paving regions are, for the cover under them. Left out, and the route "
        "runs under paving: counted as a road, and the papers say so.",
        examples=["dwelling driveway"],
    )
    width: f.PositiveLength = Field(
        0.3048, description="Width of the trench: of the bucket.", examples=["12 in"]
    )
    bedding: f.Depth = Field(
        0.0762,
        description="Sand or fine soil under the conduit, and as much over it. Left out: 3 in, "
        "common practice.",
        examples=["3 in"],
    )
    service_gap: f.PositiveLength = Field(
        0.3048,
        description="Gap kept between the conduit and a service that it passes over or under. "
        "Left out: 12 in, common practice; ask the owner of the service.",
        examples=["12 in"],
    )
    least_angle: Annotated[float, f.Quantity("angle", least="0 deg", most="90 deg")] = Field(
        1.0471975511965976,
        description="A crossing flatter than this is named on the papers.",
        examples=["60 deg"],
    )
    wall_height: f.PositiveLength = Field(
        2.4384,
        description="How high up the wall the conduit ends. Left out: 8 ft, as far as it is "
        "protected.",
        examples=["8 ft"],
    )
    digging: Digging = Field(default_factory=Digging)
    crossings: Crossings = Field(default_factory=Crossings)
    pull: Pull = Field(default_factory=Pull)
    prices: TrenchPrices = Field(default_factory=TrenchPrices)
