"""What every section of the plan shares."""

from __future__ import annotations

from typing import Annotated, Any, Self

from pydantic import BaseModel, ConfigDict, Field, GetJsonSchemaHandler, model_validator
from pydantic_core import CoreSchema

from plumbrail.plan import fields as f

Price = Annotated[f.Number, Field(ge=0, le=1_000_000)]
StickPrice = Annotated[f.Number, Field(gt=0, le=1_000_000)]


class Section(BaseModel):
    """A section of the plan."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)

    @classmethod
    def __get_pydantic_json_schema__(
        cls, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        """The schema, with defaults written as in a plan instead of in SI."""
        own = handler.resolve_ref_schema(handler(schema))
        for entry in own.get("properties", {}).values():
            if entry.get("default") is not None and "examples" in entry:
                entry["default"] = entry["examples"][0]
        return own


class Sticks(Section):
    """Lengths on offer, each with its price."""

    lengths: tuple[f.PositiveLength, ...] = Field(
        min_length=1,
        description="Stick lengths the yard sells. Ask the yard.",
        examples=[["21 ft", "24 ft"]],
    )
    prices: tuple[StickPrice, ...] = Field(
        min_length=1,
        description="Price of a stick of each length, in the same order, in your own money.",
        examples=[[168.0, 194.0]],
    )

    @model_validator(mode="after")
    def _pairs(self) -> Self:
        if len(self.lengths) != len(self.prices):
            raise ValueError(
                f"lengths lists {len(self.lengths)} and prices lists {len(self.prices)}; "
                "every length needs its price, in the same order"
            )
        if len(set(self.lengths)) != len(self.lengths):
            raise ValueError("lengths names the same length twice; keep one of them")
        return self


class SawnSticks(Sticks):
    """Sticks that are cut on site."""

    kerf: f.Kerf = Field(
        description="Width of the saw cut; measure the blade.", examples=["1/8 in"]
    )
    trim: f.Depth = Field(
        0.0, description="Cut away from each stick to square its ends.", examples=["0 in"]
    )
