"""Bag sizes and the density of concrete, from the tables of common practice."""

from __future__ import annotations

from dataclasses import dataclass

from plumbrail.tables.loader import load
from plumbrail.trace import Certainty, given


@dataclass(frozen=True)
class BagSize:
    """One size of bagged dry mix: name, mass [kg], concrete from one bag [m3], how sure."""

    name: str
    mass: float
    volume: float
    certainty: Certainty


def bag_sizes() -> tuple[BagSize, ...]:
    """All sizes in the table, heaviest first."""
    table = load("practice", "concrete_bags")
    rows = zip(
        table.words["bag"], table.numbers["mass"], table.numbers["yield"],
        table.words["certainty"], strict=True,
    )  # fmt: skip
    return tuple(
        BagSize(
            name, float(mass),
            float(given(f"{table.source} ({name})", "V_bag [m**3]", volume,
                        Certainty[word.upper()], table.title)),
            Certainty[word.upper()],
        )
        for name, mass, volume, word in rows
    )  # fmt: skip


def concrete_density() -> float:
    """Density of normal-weight concrete [kg/m3]."""
    table = load("practice", "concrete_mass")
    return float(table.value("density", concrete="normal weight"))
