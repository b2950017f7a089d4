"""Section on the frame as it was measured to stand after the pour."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from plumbrail.plan import fields as f
from plumbrail.plan.section import Section

Coordinate = Annotated[float, f.Quantity("length", slip="20000 ft")]
Place = tuple[Coordinate, Coordinate, Coordinate]
_SHA256 = 64


class AsBuiltPost(Section):
    """Where one post stands: along, across, up, in the axes of the planned hole F1."""

    head: Place = Field(
        description="Centre line of the beam over the post: along, across, up, in the axes of the "
        "planned hole F1.",
        examples=[["0 in", "0.12 in", "50.31 in"]],
    )
    base: Place = Field(
        description="Centre of the post at grade, in the same axes; its height is the ground's.",
        examples=[["0.06 in", "0 in", "0 in"]],
    )


class AsBuilt(Section):
    """The frame as it was measured to stand once the concrete is hard; checks then judge that."""

    readings: f.Text = Field(
        min_length=1,
        max_length=80,
        description="What the places come from: the SHA-256 checksum of the readings, or words.",
        examples=["1a2b3c4d5e6f708192a3b4c5d6e7f8091a2b3c4d5e6f708192a3b4c5d6e7f809"],
    )
    measured: f.Day | None = Field(
        None, description="Day of the last reading: year-month-day.", examples=["2026-05-20"]
    )
    pins_tie: f.Flag = Field(
        False,
        description="The readings reach both pins, so that the direction of the row is known too. "
        "Left out, the planned azimuth is kept.",
        examples=[False],
    )
    posts: dict[str, AsBuiltPost] = Field(
        default_factory=dict,
        description="Every post of the plan, by its name; without one of them it is refused.",
        examples=["F1"],
    )

    @property
    def readings_short(self) -> str:
        """The readings in few letters: the head of a checksum, or the words."""
        text = self.readings
        checksum = len(text) == _SHA256 and set(text.lower()) <= set("0123456789abcdef")
        return text[:8] if checksum else text
