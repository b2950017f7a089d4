"""What each thing that shades costs, by taking it away."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np
from numpy.typing import NDArray

from plumbrail.energy.parts import Culprit
from plumbrail.energy.shading import MonthlyShading, Traced

Array = NDArray[np.float64]


def shade_without(traced: Traced) -> Iterator[tuple[str, MonthlyShading]]:
    """Name of each thing, and the shading with all others standing; one at a time in memory."""
    for k, name in enumerate(traced.names):
        yield name, traced.without(k)


def culprits(
    traced: Traced, energy: Callable[[MonthlyShading], Array], whole: Array | None = None
) -> tuple[Culprit, ...]:
    """What each thing costs in a year, worst first.

    ``energy`` gives the (12,) monthly energies [J] of a shading, ``whole`` those with everything
    standing, if they are known already. Where two things hide the same sun, neither alone costs
    it: the costs add up to less than all of them together.
    """
    stands = energy(traced.all()) if whole is None else whole
    found = []
    for name, shading in shade_without(traced):
        month = energy(shading) - stands
        found.append(Culprit(name, float(np.sum(month)), month))
    return tuple(sorted(found, key=lambda c: -c.energy))
