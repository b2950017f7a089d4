"""NFPA 70, 240.4, 240.6 and 690.9: overcurrent devices of strings."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plumbrail.errors import RangeError
from plumbrail.trace import Certainty, provision, require

from . import current
from .answers import EDITIONS, Ruling
from .lookup import SLACK, IntArray, first_that_holds, number, picked, table

Array = NDArray[np.float64]
S = Certainty.SECOND_HAND
TEN_AMPERES = "since NEC 2023"


@provision(
    "NFPA 70 690.9(A)(1)", "I_back [A]", "(N_p - 1)*F*I_sc + I_other", S,
    constants={"F": (1.25, "-")}, N_p="-", I_sc="A", I_other="A",
)  # fmt: skip
def backfeed_current(N_p: Array, I_sc: Array, I_other: Array) -> Array:
    """Current that the other strings and other sources can drive into one faulted string."""
    return (N_p - 1) * 1.25 * I_sc + I_other


@dataclass(frozen=True)
class FuseAnswer:
    """Whether each string needs a fuse, and which."""

    required: bool | None
    """None: what the equipment can push back is not known."""
    backfeed: float | None
    """[A] that the string's conductors and modules must bear without a fuse."""
    least: float
    """1.25 times the largest current [A]."""
    rating: float | None
    """Smallest standard rating that complies [A]; None where none does or none is required."""
    compliant: bool | None
    """False: the module allows no fuse that is large enough. None: not known."""
    words: str
    steps: tuple[Ruling, ...]


def standard_rating(I: ArrayLike, edition: str) -> Array:  # noqa: E741
    """Smallest standard rating of a breaker or fuse not below a current [A]; same shape.

    10 A belongs to the main list from the 2023 edition on. Raises RangeError beyond the list.
    """
    uses = {"all", TEN_AMPERES} if _knows(edition) >= EDITIONS.index("NEC 2023") else {"all"}
    return _next(I, uses, edition)


def fuse_rating(I: ArrayLike, edition: str) -> Array:  # noqa: E741
    """Smallest standard rating of a fuse: as for breakers, with 1, 3, 6, 10 and 601 A as well."""
    _knows(edition)
    return _next(I, {"all", "fuse"}, edition)


def small_conductor_cap(size: str, metal: str) -> Array:
    """Largest device on a small conductor [A] by 240.4(D); 0-d, infinite where it names none."""
    found = table("small_caps")
    keys = zip(found.words["size"], found.words["metal"], strict=True)
    if (size, metal) not in keys:
        return np.asarray(np.inf)
    return number("small_caps", "cap", size=size, metal=metal)


def fuse_for(
    I_sc: float, I_module_max: float, strings_parallel: int, backfeed: float | None, edition: str
) -> FuseAnswer:
    """Whether strings in parallel need fuses by 690.9(A), and the smallest that complies.

    ``backfeed`` is what the equipment can push back [A], None where its maker has not said.
    Raises RangeError for currents that are not above zero and for an unknown edition.
    """
    least_value = float(np.finfo(float).tiny)
    require("the short-circuit current", least_value, I_sc, 1e4, "NFPA 70 690.8", "See its sheet.")
    require("the module's largest fuse", least_value, I_module_max, 1e4, "NFPA 70 690.9",
            "See the module's data sheet.")  # fmt: skip
    require("strings in parallel", 1, strings_parallel, 1e4, "NFPA 70 690.9", "Give 1 or more.")
    need, strings = _need(I_sc, I_module_max, strings_parallel, backfeed)
    least = float(current.required_device(current.source_current(np.asarray(I_sc))))
    known = None if backfeed is None else strings
    if need.holds:
        return FuseAnswer(False, known, least, None, True, "none required", (need,))
    rating = float(fuse_rating(least, edition))
    fits = rating <= I_module_max * (1 + SLACK)
    steps = (need, *_choice(least, rating, I_module_max, fits))
    if need.holds is None:
        text = "not checked: ask the maker what current the equipment can push back"
        return FuseAnswer(None, None, least, rating if fits else None, None, text, steps)
    text = f"{rating:g} A fuse" if fits else "no compliant fuse"
    return FuseAnswer(True, known, least, rating if fits else None, fits, text, steps)


def _need(
    I_sc: float, I_module_max: float, strings: int, backfeed: float | None
) -> tuple[Ruling, float]:
    """690.9(A)(1) against the module's largest fuse, with the current found [A]."""
    found = float(
        backfeed_current(np.asarray(strings), np.asarray(I_sc), np.asarray(backfeed or 0.0))
    )
    holds: bool | None = found <= I_module_max * (1 + SLACK)
    if holds and backfeed is None:
        holds = None
    text = "currents of all other sources against the largest fuse that the module allows"
    return Ruling("690.9(A)(1)", text, found, I_module_max, "A", holds, S), found


def _choice(least: float, rating: float, largest: float, fits: bool) -> tuple[Ruling, Ruling]:
    up = Ruling("690.9(B), 240.6(A)", "1.25 times the largest current, next standard size up",
                least, rating, "A", True, S)  # fmt: skip
    limit = Ruling("690.9(A), module listing", "not above the largest fuse that the module allows",
                   rating, largest, "A", fits, Certainty.CONFIRMED)  # fmt: skip
    return up, limit


def _next(I: ArrayLike, uses: set[str], edition: str) -> Array:  # noqa: E741
    found = table("ratings")
    listed = np.flatnonzero([use in uses for use in found.words["use"]])
    order: IntArray = listed[np.argsort(found.numbers["rating"][listed], kind="stable")]
    wanted = np.asarray(I, dtype=float)
    place = first_that_holds(
        found.numbers["rating"][order], wanted * (1 - SLACK), "current in A", found, 0.0
    )
    return picked(found, "rating", order[place], edition)


def _knows(edition: str) -> int:
    """Place of an edition in time; raises RangeError for another."""
    if edition not in EDITIONS:
        raise RangeError(f"The edition is {edition!r}; write {', '.join(EDITIONS)}.")
    return EDITIONS.index(edition)
