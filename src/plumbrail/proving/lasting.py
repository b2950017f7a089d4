"""Tests made more than once: which row counts, and that nobody overlooks the other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plumbrail.notebook.proof_entries import Probe, Proof

_MANY = (Probe.SERIAL, Probe.PHOTO)
"""Kinds of which a place may have several."""


@dataclass(frozen=True)
class Repeated:
    """A test with a row that no longer counts."""

    earlier: Proof
    counts: Proof

    @property
    def words(self) -> str:
        """Both rows with their values."""
        one, two = self.earlier, self.counts
        return (f"{two.place}, {two.kind.value}: line {one.line} says {one.text}, line {two.line} "
                f"says {two.text}; line {two.line} counts")  # fmt: skip


def latest(proofs: Sequence[Proof]) -> tuple[tuple[Proof, ...], tuple[Repeated, ...]]:
    """The rows that count, in their order, and those that a later one replaces.

    The later by its time counts where both rows have one, else the one further down.
    """
    last: dict[tuple[str, Probe], Proof] = {}
    kept: list[Proof] = []
    again: list[Repeated] = []
    for p in proofs:
        if p.kind in _MANY:
            kept.append(p)
            continue
        old = last.get((p.place, p.kind))
        new = p if old is None or not _before(p, old) else old
        if old is not None:
            again.append(Repeated(old if new is p else p, new))
        last[p.place, p.kind] = new
    kept += last.values()
    return tuple(sorted(kept, key=lambda p: p.line)), tuple(again)


def _before(p: Proof, other: Proof) -> bool:
    """Whether ``p`` was tested before ``other`` by their times."""
    one, two = (x.time.replace("T", " ").replace("t", " ") for x in (p, other))
    return bool(one and two) and one < two
