"""Lengths and angles as drawings write them, in the units of the job."""

from __future__ import annotations

from dataclasses import dataclass
from math import degrees, isinf
from typing import Literal

from plumbrail.papers.words import figures, later, say
from plumbrail.units import show


@dataclass(frozen=True, slots=True)
class JobInfo:
    """What every sheet says about the job."""

    name: str
    units: Literal["us", "metric"]
    plan_hash: str
    """Short hash of the plan the drawing was made from."""
    version: str
    """Of the program."""

    @property
    def unit(self) -> str:
        """:attr:`unit_note` in the language spoken."""
        return say(self.unit_note)

    def length(self, value: float) -> str:
        """Feet-inches to 1/16, or whole millimetres without a unit, which a note names."""
        if isinf(value):
            return "–"
        if self.units == "us":
            return show(value, "length", "us", 16)
        return f"{round(1000.0 * value):d}"

    def said(self, value: float) -> str:
        """A length inside a sentence: never broken over lines, millimetres with their unit."""
        words = self.length(value) + ("" if self.units == "us" else " mm")
        return words.replace(" ", "\u00a0")

    def fine(self, value: float) -> str:
        """A small length: to 1/16 in, or to 1 mm, never shown as nothing when it is something."""
        if isinf(value):
            return say("no fix")
        least = 0.0254 / 16 if self.units == "us" else 0.001
        if 0 < abs(value) < 0.5 * least:
            return f"< {self.length(least)}"
        return self.length(value)

    def rod(self, reading: float, up: bool) -> str:
        """A rod reading, or the measure up from the laser line."""
        length = self.length(reading)
        return say("up {length}", length=length) if up else length

    @property
    def unit_note(self) -> str:
        """How to read the numbers of a sheet."""
        return later("feet and inches to 1/16") if self.units == "us" else later("millimetres")


def stations(first: int, last: int) -> str:
    """``stations 1 to 4`` of indices that begin at 0."""
    return say("stations {first} to {last}", first=first + 1, last=last + 1)


def angle(radians: float) -> str:
    """Degrees to one decimal."""
    return figures(f"{degrees(radians):.1f}°")


def bearing(radians: float) -> str:
    """Degrees clockwise from true north, three figures before the point."""
    turned = round(degrees(radians), 1) % 360.0
    return figures(f"{turned:05.1f}°")
