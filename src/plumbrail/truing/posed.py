"""A network of readings as the adjustment wants it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from plumbrail.truing.determined import span
from plumbrail.truing.gather import Gathered, Pseudo
from plumbrail.truing.observe import Reader
from plumbrail.truing.parts import Array, IntArray, Mask


@dataclass(frozen=True)
class Observer:
    """Computes rows: readings taken apart once, then linear conditions."""

    reader: Reader
    start: Array
    """(size,)"""
    unknown: IntArray
    linear: Array
    """(conditions, unknowns)"""
    constant: Array
    """(conditions,) what the coordinates that are known add."""

    def __call__(self, x: Array, /) -> tuple[Array, Array]:
        """Computed rows and their slopes (rows, unknowns)."""
        full = self.start.copy()
        full[self.unknown] = x
        value, slopes = self.reader.slopes(full)
        return np.append(value, self.linear @ x + self.constant), slopes

    def values(self, places: Array) -> Array:
        """Computed rows (k, rows) at many places (k, unknowns), without slopes."""
        full = np.tile(self.start, (len(places), 1))
        full[:, self.unknown] = places
        conditions = places @ self.linear.T + self.constant
        return np.hstack([self.reader.values(full), conditions])


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

    @cached_property
    def observe(self) -> Observer:
        """Computed rows and their slopes (rows, unknowns) at unknowns x (unknowns,)."""
        network = self.network
        linear = self.pseudo.matrix[:, network.unknown]
        return Observer(
            Reader.of(network.rows, network.places.size, network.unknown, network.size, linear),
            network.start, network.unknown, linear,
            self.pseudo.matrix @ network.start - linear @ self.start,
        )  # fmt: skip


def posed(network: Gathered, kept: Mask | None = None) -> Posed:
    """With one condition for each direction that the readings kept leave loose.

    Those that all readings leave loose come first, so that every row keeps its place.
    """
    loose, now = network.loose(), network.loose(kept)
    more = span(now - loose @ (loose.T @ now))
    return Posed(network, network.known.joined(network.assumed(np.hstack([loose, more]))))
