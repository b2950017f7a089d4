"""IEC 62548 and 60364-7-712: voltage, current and fuses of strings."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plumbrail.errors import RangeError
from plumbrail.trace import Certainty, given, provision, require

from .lookup import table, with_row_certainty

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
C = Certainty.CONFIRMED
M = Certainty.MEMORY
SLACK = 1e-9
T_RATING = 298.15
"""25 degC [K]."""
EDITION = "IEC 62548"
NOT_COVERED = (
    "largest voltage on or in buildings",
    "depth and protection of cables in the ground",
    "earthing, bonding and lightning protection",
    "arc-fault detection, disconnectors and switching devices",
    "signs and labels",
    "filling and growth of conduit",
    "torque of terminals",
    "fuses that protect several strings together",
)
"""Topics for which no values are at hand: shown as not checked."""


@provision(
    "IEC 60364-7-712, maker's coefficient", "V_c [V]", "V_oc*(1 + beta*(T_min - T_r))", M,
    constants={"T_r": (T_RATING, "K")}, ranges={"beta": (-0.004, -0.002), "T_min": (230, 290)},
    V_oc="V", beta="1/K", T_min="K",
)  # fmt: skip
def module_voltage(V_oc: Array, beta: Array, T_min: Array) -> Array:
    """Open-circuit voltage of a module at the lowest temperature."""
    return V_oc * (1 + beta * (T_min - T_RATING))


@provision("IEC 60364-7-712, coefficient not known", "V_c [V]", "k_U*V_oc", M,
           constants={"k_U": (1.2, "-")}, V_oc="V")  # fmt: skip
def module_voltage_unknown(V_oc: Array) -> Array:
    """Open-circuit voltage of a module in the cold where its coefficient is not known."""
    return 1.2 * V_oc


@provision("IEC 60364-7-712", "I_max [A]", "k_I*I_sc", M, constants={"k_I": (1.25, "-")},
           I_sc="A")  # fmt: skip
def source_current(I_sc: Array) -> Array:
    """Largest current of strings in parallel, from the sum of their short-circuit currents."""
    return 1.25 * I_sc


@provision("IEC 62548 string overcurrent protection", "I_r [A]", "(N_s - 1)*I_sc", C,
           N_s="-", I_sc="A")  # fmt: skip
def reverse_current(N_s: Array, I_sc: Array) -> Array:
    """Current that the other strings drive into a faulted one; no factor, unlike NFPA 70."""
    return (N_s - 1) * I_sc


@provision("IEC 62548 string overcurrent protection", "I_1 [A]", "k_1*I_sc", C,
           k_1="-", I_sc="A")  # fmt: skip
def fuse_over(I_sc: Array, k_1: Array) -> Array:
    """Current that the rating of a string fuse must be above."""
    return k_1 * I_sc


@provision("IEC 62548 string overcurrent protection", "I_2 [A]", "k_2*I_sc", C,
           k_2="-", I_sc="A")  # fmt: skip
def fuse_under(I_sc: Array, k_2: Array) -> Array:
    """Current that the rating of a string fuse must be below."""
    return k_2 * I_sc


def most_modules(V_limit: ArrayLike, V_module: ArrayLike) -> IntArray:
    """Most modules in series under a limit [V], rounded down; an exact fit counts."""
    limit, module = np.asarray(V_limit, dtype=float), np.asarray(V_module, dtype=float)
    if not ((limit > 0).all() and (module > 0).all()):
        raise RangeError("Give a voltage limit and a module voltage above zero.")
    return np.floor(limit / module * (1 + SLACK)).astype(np.int64)


@dataclass(frozen=True)
class StringFuse:
    """Whether each string needs a fuse, and which ratings will do."""

    required: bool
    reverse: float
    """Current of the other strings [A]."""
    over: float
    """The rating must be above this [A] ..."""
    under: float
    """... below this [A] ..."""
    most: float
    """... and not above the largest fuse that the module allows [A]."""
    rating: float | None
    """Smallest preferred rating in the window [A]; None where none is required or none fits."""
    words: str
    clause: str
    certainty: Certainty


def fuse_for(I_sc: float, I_module_max: float, strings_parallel: int) -> StringFuse:
    """Whether strings in parallel need fuses, and the smallest preferred rating that complies.

    Raises RangeError for currents that are not above zero and for fewer than one string.
    """
    tiny = float(np.finfo(float).tiny)
    require("the short-circuit current", tiny, I_sc, 1e4, EDITION, "See the module's data sheet.")
    require("the module's largest fuse", tiny, I_module_max, 1e4, EDITION, "See its data sheet.")
    require("strings in parallel", 1, strings_parallel, 1e4, EDITION, "Give 1 or more.")
    current = np.asarray(float(I_sc))
    reverse = float(reverse_current(np.asarray(float(strings_parallel)), current))
    over = float(fuse_over(current, window("least")))
    under = float(fuse_under(current, window("most")))
    if reverse <= I_module_max * (1 + SLACK):
        return StringFuse(False, reverse, over, under, I_module_max, None, "none required", EDITION,
                          C)  # fmt: skip
    rating = _rating(over, under, I_module_max)
    words = "no compliant fuse" if rating is None else f"{rating:g} A fuse"
    return StringFuse(True, reverse, over, under, I_module_max, rating, words, EDITION, M)


def window(column: str) -> Array:
    """Factor of the fuse window, ``least`` or ``most``; 0-d."""
    return with_row_certainty("fuse_window", column, edition=EDITION)


def rating_above(over: ArrayLike) -> Array | None:
    """Smallest preferred rating above a current [A]; 0-d, None beyond the last one."""
    found = table("ratings")
    ratings = np.sort(found.numbers["rating"])
    fits = ratings[ratings > float(np.asarray(over)) * (1 + SLACK)]
    if not fits.size:
        return None
    return given(found.source, "I_s [A]", fits[0], found.certainty, found.title)


def _rating(over: float, under: float, most: float) -> float | None:
    """Smallest preferred rating strictly inside the window and not above ``most``."""
    for rating in np.sort(table("ratings").numbers["rating"]):
        if over * (1 + SLACK) < rating < under * (1 - SLACK) and rating <= most * (1 + SLACK):
            return float(rating)
    return None
