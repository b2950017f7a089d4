"""NFPA 70, 690.8(B) and 240.4: the smallest conductor that passes every test.

The tables and provisions that it rests on (:mod:`wire`) are offered here too.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from plumbrail.errors import RangeError
from plumbrail.trace import Certainty, require

from .answers import Column, Ruling
from .current import ampacity_before
from .devices import small_conductor_cap, standard_rating
from .lookup import SLACK, sureness
from .wire import (
    CIRCULAR_MIL,
    ambient_factor,
    ambient_factor_at,
    ambient_formula,
    ampacity,
    bundle_factor,
    circular_mils,
    corrected_ampacity,
    lowest_column,
    resistance,
    resistance_at,
    sizes_from,
    terminal_column,
    usable_ampacity,
    voltage_drop,
)

__all__ = [
    "CIRCULAR_MIL",
    "ConductorAnswer",
    "ConductorTrial",
    "ambient_factor",
    "ambient_factor_at",
    "ambient_formula",
    "ampacity",
    "bundle_factor",
    "circular_mils",
    "corrected_ampacity",
    "lowest_column",
    "resistance",
    "resistance_at",
    "sizes_from",
    "smallest_conductor",
    "terminal_column",
    "usable_ampacity",
    "voltage_drop",
]
S = Certainty.SECOND_HAND
HIGHEST_TERMINAL = "75 degC"
"""Column that no terminal passes by 110.14(C)(1), however it is marked."""
NEXT_SIZE_UP = 800.0
"""[A] up to which 240.4(B) allows the next standard size above the ampacity."""


@dataclass(frozen=True)
class ConductorTrial:
    """One size with what each clause says of it."""

    size: str
    terminal: float
    """Ampacity of the terminals' column, without correction [A]."""
    corrected: float
    """Ampacity of the insulation's column, corrected and adjusted [A]."""
    ampacity: float
    """The lower of both [A]."""
    steps: tuple[Ruling, ...]

    @property
    def passes(self) -> bool:
        """Every clause is met."""
        return all(step.holds for step in self.steps)


@dataclass(frozen=True)
class ConductorAnswer:
    """The smallest size that passes, and every size that was tried."""

    size: str | None
    """None: no listed size will do."""
    ampacity: float | None
    corrected: float | None
    terminal: float | None
    terminal_column: Column
    ambient: float
    """Correction for ambient temperature."""
    bundle: float
    """Adjustment for bundling."""
    steps: tuple[Ruling, ...]
    """Of the size chosen, or of the largest tried."""
    tried: tuple[ConductorTrial, ...]
    words: str
    certainty: Certainty


@dataclass(frozen=True)
class _Asked:
    """What every size is tried against."""

    I_max: float
    I_device: float | None
    metal: str
    insulation: str
    terminals: Column
    f_a: float
    f_n: float
    edition: str


def smallest_conductor(
    I_max: float, I_device: float | None, T_a: float, n_bundle: int, metal: str,
    insulation_column: str, terminal_columns: tuple[str, ...], min_size: str, edition: str,
) -> ConductorAnswer:  # fmt: skip
    """The smallest size from ``min_size`` on that passes 690.8(B)(1), (B)(2) and 240.4.

    ``T_a`` is the ambient temperature [K], ``terminal_columns`` one column per end; the lowest of
    them, of the insulation and 75 degC counts for the first test. Without a
    device 240.4 is not asked; then see that the conductor bears what the other sources feed back.
    Raises RangeError for input outside the tables.
    """
    require("the largest current", float(np.finfo(float).tiny), I_max, 1e4, "NFPA 70 690.8",
            "Give the current of the circuit in A.")  # fmt: skip
    asked = _Asked(
        I_max, I_device, metal, insulation_column,
        lowest_column((lowest_column(terminal_columns), insulation_column, HIGHEST_TERMINAL)),
        float(ambient_factor(T_a, insulation_column)), float(bundle_factor(n_bundle)), edition,
    )  # fmt: skip
    tried: list[ConductorTrial] = []
    for size in _sizes(min_size, metal):
        tried.append(_trial(size, asked))
        if tried[-1].passes:
            break
    return _answer(asked, tuple(tried))


def _answer(asked: _Asked, tried: tuple[ConductorTrial, ...]) -> ConductorAnswer:
    last = tried[-1]
    sure = max(
        sureness("ampacity", size=last.size, metal=asked.metal, column=asked.insulation),
        sureness("ampacity", size=last.size, metal=asked.metal, column=asked.terminals),
        *(step.certainty for step in last.steps),
    )
    passes = last.passes
    return ConductorAnswer(
        last.size if passes else None, last.ampacity if passes else None,
        last.corrected if passes else None, last.terminal if passes else None,
        asked.terminals, asked.f_a, asked.f_n, last.steps, tried,
        f"{last.size} {asked.metal}" if passes
        else f"no single conductor up to {last.size} will do: take parallel circuits", sure,
    )  # fmt: skip


def _sizes(min_size: str, metal: str) -> tuple[str, ...]:
    listed = sizes_from(min_size)
    if metal not in ("copper", "aluminium"):
        raise RangeError(f"The metal is {metal!r}; write copper or aluminium.")
    return tuple(s for s in listed if not (metal == "aluminium" and s == "14 AWG"))


def _trial(size: str, asked: _Asked) -> ConductorTrial:
    terminal = ampacity(size, asked.metal, asked.terminals)
    corrected = corrected_ampacity(
        ampacity(size, asked.metal, asked.insulation), np.asarray(asked.f_a), np.asarray(asked.f_n)
    )
    usable = float(usable_ampacity(corrected, terminal))
    steps = _currents(asked, float(terminal), float(corrected))
    if asked.I_device is not None:
        steps += _device(size, asked.metal, usable, asked.I_device, asked.edition)
    return ConductorTrial(size, float(terminal), float(corrected), usable, steps)


def _currents(asked: _Asked, terminal: float, corrected: float) -> tuple[Ruling, ...]:
    """The two tests of 690.8(B), each on its own; the conductor must pass both."""
    before = float(ampacity_before(np.asarray(asked.I_max)))
    return (
        Ruling("690.8(B)(1), 110.14(C)",
               f"1.25 times the largest current, {asked.terminals} column, uncorrected",
               before, terminal, "A", _holds(before, terminal), S),
        Ruling("690.8(B)(2)", "the largest current, corrected and adjusted ampacity",
               asked.I_max, corrected, "A", _holds(asked.I_max, corrected), S),
    )  # fmt: skip


def _device(
    size: str, metal: str, usable: float, I_device: float, edition: str
) -> tuple[Ruling, Ruling]:
    """240.4(B) and (C) against the usable ampacity, and the caps of 240.4(D)."""
    largest = usable
    if I_device <= NEXT_SIZE_UP:
        largest = float(standard_rating(usable, edition))
    cap = float(small_conductor_cap(size, metal))
    return (
        Ruling("240.4(B)" if I_device <= NEXT_SIZE_UP else "240.4(C)",
               "the device against the ampacity, next standard size up where allowed",
               I_device, largest, "A", _holds(I_device, largest), S),
        Ruling("240.4(D)", "the device against the cap of small conductors", I_device, cap, "A",
               _holds(I_device, cap), Certainty.CONFIRMED),
    )  # fmt: skip


def _holds(demand: float, capacity: float) -> bool:
    return demand <= capacity * (1 + SLACK)
