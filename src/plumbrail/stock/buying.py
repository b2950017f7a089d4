"""What to buy, with prices and weights."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from plumbrail.errors import CuttingError
from plumbrail.stock.records import CutPlan


@dataclass(frozen=True)
class Line:
    """One line: section, stick length [m], count, price each and together, mass [kg]."""

    section: str
    length: float
    count: int
    price: float
    cost: float
    mass_each: float
    mass: float


@dataclass(frozen=True)
class BuyingList:
    """All lines, and what they come to."""

    lines: tuple[Line, ...]

    @property
    def cost(self) -> float:
        """Price of everything."""
        return sum(line.cost for line in self.lines)

    @property
    def mass(self) -> float:
        """Mass of everything [kg]: what the lorry carries, offcuts and chips included."""
        return sum(line.mass for line in self.lines)

    @property
    def heaviest(self) -> float:
        """Mass of the heaviest single stick [kg]: what has to be lifted."""
        return max((line.mass_each for line in self.lines), default=0.0)


def buying_list(plan: CutPlan, mass_per_length: float) -> BuyingList:
    """Sticks to buy for one plan; ``mass_per_length`` of its section [kg/m]."""
    if not mass_per_length > 0:
        raise CuttingError(f"{plan.section} needs a mass per length above 0, in kg/m here")
    return BuyingList(
        tuple(
            Line(plan.section, b.length, b.count, b.price, b.count * b.price,
                 b.length * mass_per_length, b.count * b.length * mass_per_length)
            for b in plan.bought
        )
    )  # fmt: skip


def together(lists: Iterable[BuyingList]) -> BuyingList:
    """One list of several."""
    return BuyingList(tuple(line for one in lists for line in one.lines))
