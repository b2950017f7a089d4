"""Readings that could be taken next, as rows of a network that is already there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import count

import numpy as np

from plumbrail.notebook.entries import Kind
from plumbrail.truing.gather import Gathered
from plumbrail.truing.naming import named
from plumbrail.truing.observe import read_off
from plumbrail.truing.parts import Array, Wanted
from plumbrail.truing.rows import make_rows
from plumbrail.truing.scheme import field_readings, readings_of


@dataclass(frozen=True)
class Candidates:
    """Axis: candidate. Columns: the unknowns of the network, then the heights of new set-ups."""

    wanted: tuple[Wanted, ...]
    pattern: Array
    sd: Array
    setup: tuple[str, ...]
    """A set-up that the network does not have yet; empty for all others."""
    new: int
    """Number of new set-ups."""


def usual(network: Gathered) -> tuple[Wanted, ...]:
    """The readings of a careful crew, with its rods from one new laser set-up."""
    letters = (chr(ord("A") + i % 26) + str(i // 26 or "") for i in count())
    setup = next(name for name in letters if name not in network.setups)
    found = dict.fromkeys(
        replace(w, setup=setup if w.kind is Kind.ROD else "")
        for w in field_readings(network.points)
    )
    return tuple(found)


def candidate_rows(network: Gathered, wanted: Sequence[Wanted]) -> Candidates:
    """Rows at the level places; what cannot be read (no such point or string) is left out."""
    readings = readings_of(wanted)
    made, _ = make_rows(network.points, network.versions, readings, network.truing)
    first = readings[0].line if readings else 0
    kept = [wanted[r.line - first] for r in made.readings]
    fresh = [name for name in made.setups if name not in network.setups]
    heights = np.zeros(len(made.setups))
    _, matrix = read_off(made.rows, network.level_places, heights)
    spots = network.level_places.size
    full = np.zeros((len(kept), network.size + len(fresh)))
    full[:, :spots] = matrix[:, :spots]
    for k, name in enumerate(made.setups):
        old = name in network.setups
        place = network.setups.index(name) + spots if old else network.size + fresh.index(name)
        full[:, place] = matrix[:, spots + k]
    columns = np.append(network.unknown, network.size + np.arange(len(fresh)))
    return Candidates(
        tuple(w if w.words else replace(w, words=named(w)) for w in kept), full[:, columns],
        made.sd, tuple(w.setup if w.setup in fresh and w.kind is Kind.ROD else "" for w in kept),
        len(fresh),
    )  # fmt: skip
