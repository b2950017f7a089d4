"""How an answer that several clauses decide shows each of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from plumbrail.trace import Certainty

Edition = Literal["NEC 2014", "NEC 2017", "NEC 2020", "NEC 2023"]
EDITIONS: tuple[str, ...] = ("NEC 2014", "NEC 2017", "NEC 2020", "NEC 2023")
"""Editions in order of time."""
Metal = Literal["copper", "aluminium"]
Column = Literal["60 degC", "75 degC", "90 degC"]
COLUMNS: tuple[Column, ...] = ("60 degC", "75 degC", "90 degC")


@dataclass(frozen=True)
class Ruling:
    """What one clause asks, and whether it is met."""

    clause: str
    words: str
    demand: float
    capacity: float
    """Infinite where the clause sets no limit."""
    unit: str
    holds: bool | None
    """None where a number is missing: not checked."""
    certainty: Certainty
