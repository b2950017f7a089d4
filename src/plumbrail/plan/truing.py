"""Truing the frame: tolerances, instruments, and what may be moved how far."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import Field, model_validator

from plumbrail.plan import fields as f
from plumbrail.plan.section import Section


class Tolerances(Section):
    """How far from the plan the frame may be when it is trued; your own choice."""

    straight: f.PositiveLength = Field(
        description="Beam off a straight line from its first to its last post, seen from above and "
        "from the side.",
        examples=["1/4 in"],
    )
    level: f.PositiveLength = Field(
        description="Beam at any post above or below its own middle height.", examples=["1/4 in"]
    )
    parallel: f.PositiveLength = Field(
        description="Beams off parallel: height, plan and distance of the back beam from the front "
        "beam at any station, against their average over the row.",
        examples=["1/4 in"],
    )
    plumb: f.SmallAngle = Field(description="Posts off plumb.", examples=["0.5 deg"])
    plane: f.PositiveLength = Field(
        description="Beams over any post off the plane that fits them all best.",
        examples=["3/8 in"],
    )
    spacing: f.PositiveLength | None = Field(
        None,
        description="Distance of neighbouring posts along a beam, and from beam to beam, off the "
        "plan. Left out, it is not checked.",
        examples=["1/2 in"],
        json_schema_extra=f.STARTER,
    )
    square: f.PositiveLength | None = Field(
        None,
        description="Back post not straight behind its front post. Left out, it is not checked.",
        examples=["1/2 in"],
        json_schema_extra=f.STARTER,
    )
    height: f.PositiveLength | None = Field(
        None,
        description="Beams above or below their planned height over pin 1. Left out, it is not "
        "checked.",
        examples=["1 in"],
        json_schema_extra=f.STARTER,
    )


class Instrument(Section):
    """How well an instrument reads. What is left out comes from common practice."""

    kind: Literal["laser", "tape", "string", "level", "angle gauge"] = Field(
        description="What it is.", examples=["tape"]
    )
    error: f.PositiveLength | None = Field(
        None,
        description="Standard deviation of one reading of a laser, tape or string: two readings "
        "in three are this close.",
        examples=["1/16 in"],
    )
    error_angle: f.SmallAngle | None = Field(
        None,
        description="Standard deviation of one reading of a level or an angle gauge, in place of "
        "error.",
        examples=["0.1 deg"],
    )
    per_length: f.Share | None = Field(
        None,
        description="Further standard deviation: of a tape, as a share of the length taped; of a "
        "laser, of the distance from pin 1.",
        examples=["0.01 %"],
    )
    weight: f.LinearMass | None = Field(
        None,
        description="Mass of the string per length, for its sag. Weigh a length of it.",
        examples=["0.0005 lb/ft"],
    )
    pull: f.Force | None = Field(
        None, description="Pull on the string, for its sag.", examples=["10 lbf"]
    )
    temperature: f.Temperature | None = Field(
        None,
        description="Temperature of a steel tape while it is used; it is right at 68 degF.",
        examples=["68 degF"],
    )

    @model_validator(mode="after")
    def _own_fields(self) -> Self:
        """A field that its kind does not use would be passed over in silence."""
        for name, kinds in _USED_BY.items():
            if getattr(self, name) is not None and self.kind not in kinds:
                instead = _INSTEAD.get((name, self.kind))
                advice = f"write {instead}" if instead else "take it out"
                raise ValueError(
                    f"{name} is for {_list(kinds)}, and this is {_article(self.kind)}; {advice}"
                )
        return self


_LENGTHS, _ANGLES = ("laser", "tape", "string"), ("level", "angle gauge")
_USED_BY: dict[str, tuple[str, ...]] = {
    "error": _LENGTHS, "error_angle": _ANGLES, "per_length": ("laser", "tape"),
    "weight": ("string",), "pull": ("string",), "temperature": ("tape",),
}  # fmt: skip
_INSTEAD = {("error", kind): 'error_angle, for example error_angle = "0.1 deg"' for kind in _ANGLES}
_INSTEAD |= {("error_angle", kind): 'error, for example error = "1/16 in"' for kind in _LENGTHS}


def _article(kind: str) -> str:
    return f"{'an' if kind[0] in 'aeiou' else 'a'} {kind}"


def _list(kinds: tuple[str, ...]) -> str:
    named = [_article(kind) for kind in kinds]
    return " or ".join(filter(None, [", ".join(named[:-1]), named[-1]]))


class Truing(Section):
    """How the frame is measured and moved."""

    confidence: f.Confidence = Field(
        0.95,
        description="How sure plumbrail has to be before it says inside or outside.",
        examples=["95 %"],
    )
    lean: f.Depth = Field(
        0.0254,
        description="How far the top of a post may be pushed sideways once its foot has set.",
        examples=["1 in"],
    )
    lift: f.Depth = Field(
        0.0508,
        description="How far a loose post may be raised or lowered from where it stands.",
        examples=["2 in"],
    )
    base_shift: f.Depth | None = Field(
        None,
        description="How far a loose post may be shifted in its hole; left out, as far as 3 in of "
        "concrete stay around it.",
        examples=["3 in"],
    )
    instruments: dict[str, Instrument] = Field(
        default_factory=dict,
        description="Instruments that you know better than common practice does, by the name the "
        "readings use.",
        examples=["tape"],
    )
