"""A network of readings as the adjustment wants it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from plumbrail.truing.gather import Gathered, Pseudo
from plumbrail.truing.observe import read_off
from plumbrail.truing.parts import Array, Mask


@dataclass(frozen=True)
class Posed:
    """A network as the adjustment wants it: readings first, then conditions."""

    network: Gathered
    pseudo: Pseudo

    @property
    def observed(self) -> Array:
        """(rows,)"""
        return np.append(self.network.observed, self.pseudo.value)

    @property
    def sd(self) -> Array:
        """(rows,)"""
        return np.append(self.network.sd, self.pseudo.sd)

    @property
    def start(self) -> Array:
        """(unknowns,)"""
        return self.network.start[self.network.unknown]

    def full(self, x: Array) -> Array:
        """(size,) all coordinates and laser heights."""
        found = self.network.start.copy()
        found[self.network.unknown] = x
        return found

    def observe(self, x: Array) -> tuple[Array, Array]:
        """Computed rows and their slopes (rows, unknowns)."""
        full, spots = self.full(x), self.network.places.size
        value, matrix = read_off(self.network.rows, full[:spots].reshape(-1, 3), full[spots:])
        slopes = np.vstack([matrix, self.pseudo.matrix])[:, self.network.unknown]
        return np.append(value, self.pseudo.matrix @ full), slopes


def posed(network: Gathered, kept: Mask | None = None) -> Posed:
    """With one condition for each direction that the readings kept leave loose."""
    return Posed(network, network.known.joined(network.assumed(network.loose(kept))))
