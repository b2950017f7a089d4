"""Sections on what can be bought, and how."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from plumbrail.plan import fields as f
from plumbrail.plan.section import Price, SawnSticks, Section, StickPrice, Sticks

OWN = "Pieces you have already, to be used up free of charge before any stick is bought."


class PipePrices(Sticks):
    """Lengths and prices of one pipe, where they differ from the general list."""

    own: tuple[f.PositiveLength, ...] | None = Field(
        None, min_length=1, description=OWN, examples=[["7 ft 2 in"]]
    )


class PipeStock(SawnSticks):
    """Pipe lengths on offer; sections not listed by name use the general list."""

    sections: dict[str, PipePrices] = Field(
        default_factory=dict,
        description="Other lengths or prices for a named pipe.",
        examples=["NPS 4 STD"],
    )


class RailStock(SawnSticks):
    """Rail lengths on offer."""

    own: tuple[f.PositiveLength, ...] | None = Field(
        None, min_length=1, description=OWN, examples=[["16 ft"]]
    )

    lengths: tuple[f.PositiveLength, ...] = Field(
        min_length=1,
        description="Rail lengths the supplier sells. Ask the supplier.",
        examples=[["17 ft"]],
    )
    prices: tuple[StickPrice, ...] = Field(
        min_length=1,
        description="Price of a rail of each length, in the same order, in your own money.",
        examples=[[96.0]],
    )


class SpliceRules(Section):
    """Where beam splices may fall."""

    moment_share: f.Share = Field(
        description="A splice may fall where the envelope moment is at most this share of the "
        "largest moment anywhere in that beam. An engineer's choice.",
        examples=["50 %"],
    )
    clear_of_posts: f.Depth = Field(
        description="Least distance of a splice from a post, so that joint and fitting do not "
        "meet.",
        examples=["6 in"],
    )
    shortest_piece: f.PositiveLength = Field(
        description="Shortest length of beam to be joined.", examples=["4 ft"]
    )
    front: tuple[f.PositiveLength, ...] | None = Field(
        None,
        description="Splices you have decided on, from the left end of the front beam; left out, "
        "the cut list chooses.",
        examples=[["14 ft 6 in"]],
    )
    back: tuple[f.PositiveLength, ...] | None = Field(
        None,
        description="Splices you have decided on, from the left end of the back beam.",
        examples=[["14 ft 6 in"]],
    )


class ConcreteStock(Section):
    """How concrete is bought."""

    bag: Literal["40 lb", "50 lb", "60 lb", "80 lb"] = Field(
        description="Bag size.", examples=["80 lb"]
    )
    bag_price: Price = Field(description="Price of a bag, in your own money.", examples=[6.5])
    over_break: f.Share = Field(
        description="Extra concrete for holes dug wider than drawn.", examples=["10 %"]
    )
    holding_height: f.PositiveLength = Field(
        description="Height of the first small pour that holds a post while the frame is trued.",
        examples=["12 in"],
    )


class Stock(Section):
    """What can be bought."""

    pipe: PipeStock
    rail: RailStock
    splices: SpliceRules
    concrete: ConcreteStock
