"""Lengths in words for messages of the cutting."""

from __future__ import annotations

from plumbrail import units
from plumbrail.stock.records import SIXTEENTH

INCH = 16 * SIXTEENTH


def show(length: float, grid: float) -> str:
    """A length [m] as feet and inches on an inch grid, else metric."""
    steps = INCH / grid
    system = "us" if abs(steps - round(steps)) < 1e-6 else "metric"
    return units.show(length, "length", system)
