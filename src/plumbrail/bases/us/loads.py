"""What every load standard of the basis answers, and load combinations spread over load cases."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plumbrail.errors import RangeError
from plumbrail.trace import Certainty

Array = NDArray[np.float64]

NATURES = ("D", "S", "W", "E_h", "E_v")
"""Dead, snow, wind, horizontal earthquake, vertical earthquake (downward for +)."""
_SUMMED = frozenset({"D", "E_v"})
"""Natures whose cases act together; of the others one case acts at a time."""
METHODS = ("ASD", "LRFD")


@dataclass(frozen=True)
class Combination:
    """One combination of a standard as printed, with a factor per nature."""

    id: str
    text: str
    source: str
    certainty: Certainty
    factors: Mapping[str, float]
    leading: tuple[str, ...]
    """Natures that must be present; the other variable loads may also be absent."""


@dataclass(frozen=True)
class LoadCase:
    """A load case: its id, and its nature, one of ``NATURES``."""

    id: str
    nature: str


@dataclass(frozen=True)
class Factors:
    """Factors of load cases in every combination, ready to multiply with case results."""

    ids: tuple[str, ...]
    texts: tuple[str, ...]
    sources: tuple[str, ...]
    certainties: tuple[Certainty, ...]
    cases: tuple[str, ...]
    array: Array
    """Shape (combinations, cases)."""


@dataclass(frozen=True)
class Importance:
    """Importance factors of a risk category, 0-d arrays [-]; I_s is 1 in an edition without."""

    risk_category: str
    I_s: Array
    I_e: Array


class LoadStandard(Protocol):
    """One edition of the load standard. Numbers are SI; arrays broadcast."""

    @property
    def title(self) -> str:
        """As cited, e.g. ``ASCE 7-16``."""

    def velocity_pressure(
        self, *, V: ArrayLike, exposure: str, z: ArrayLike,
        K_zt: ArrayLike, K_e: ArrayLike, K_d: ArrayLike,
    ) -> Array:  # fmt: skip
        """Velocity pressure [Pa] at height z [m] for wind speed V [m/s].

        ASCE 7-16 includes K_d, ASCE 7-22 does not: carry the standard with the result.
        """

    def component_velocity_pressure(
        self, *, V: ArrayLike, exposure: str, z: ArrayLike,
        K_zt: ArrayLike, K_e: ArrayLike, K_d: ArrayLike,
    ) -> Array:  # fmt: skip
        """Velocity pressure [Pa] for components (modules, clamps, rails)."""

    def net_pressure(self, q: ArrayLike, K_d: ArrayLike, G: ArrayLike, C_N: ArrayLike) -> Array:
        """Net pressure [Pa] of a plane (C_N) or bar (C_f); K_d enters once in either edition."""

    def flat_snow(
        self, *, p_g: ArrayLike, C_e: ArrayLike, C_t: ArrayLike, risk_category: str
    ) -> Array:
        """Flat roof snow load p_f [Pa]."""

    def sloped_snow(
        self, *, p_g: ArrayLike, C_e: ArrayLike, C_t: ArrayLike, risk_category: str,
        theta: ArrayLike, slippery: bool,
    ) -> Array:  # fmt: skip
        """Snow load [Pa] on the horizontal projection, with the minimum of slopes under 15 deg."""

    def thermal_factor(self) -> Array:
        """C_t of a structure in open air [-]."""

    def snow_for_seismic(self, p_f: ArrayLike) -> Array:
        """Snow [Pa of horizontal projection] that counts as seismic weight."""

    def base_shear_coefficient(self, *, S_DS: ArrayLike, risk_category: str, rigid: bool) -> Array:
        """Horizontal seismic force over seismic weight [-]."""

    def importance(self, risk_category: str) -> Importance:
        """Importance factors; raises TableError for a category that is not I to IV."""

    def combinations(self, method: str) -> tuple[Combination, ...]:
        """Combinations of ``ASD`` or ``LRFD``; raises RangeError for another method."""


def expand(combinations: Sequence[Combination], cases: Sequence[LoadCase]) -> Factors:
    """Spread combinations over load cases.

    Dead and vertical earthquake cases add up. Of wind, snow and horizontal earthquake one case
    acts at a time, so a combination is repeated for each; it is left out when a leading nature
    has no case, and repeated without each load that only accompanies. Rows that say the same are
    kept once. Raises RangeError for an unknown nature, a missing dead load, or a horizontal
    earthquake case without a vertical one.
    """
    _check(cases)
    rows: dict[tuple[float, ...], tuple[str, Combination]] = {}
    for combination in combinations:
        for chosen in _choices(combination, cases):
            row = tuple(_factor(combination, case, chosen) for case in cases)
            name = " + ".join(case.id for case in chosen)
            rows.setdefault(row, (f"{combination.id} · {name}" if name else combination.id,
                                  combination))  # fmt: skip
    used = [combination for _, combination in rows.values()]
    return Factors(
        tuple(name for name, _ in rows.values()),
        tuple(c.text for c in used),
        tuple(c.source for c in used),
        tuple(c.certainty for c in used),
        tuple(case.id for case in cases),
        np.array(list(rows), dtype=float).reshape(len(rows), len(cases)),
    )


def _check(cases: Sequence[LoadCase]) -> None:
    natures = {case.nature for case in cases}
    if unknown := natures - set(NATURES):
        raise RangeError(f"load case of nature {min(unknown)!r}; use one of {', '.join(NATURES)}")
    if len({case.id for case in cases}) != len(cases):
        raise RangeError("two load cases have the same id; give each its own")
    if "D" not in natures:
        raise RangeError("no load case of nature D: add the dead load")
    if "E_h" in natures and "E_v" not in natures:
        raise RangeError(
            "a case of nature E_h without one of nature E_v: add the vertical earthquake effect "
            "0.2 S_DS D"
        )


def _choices(combination: Combination, cases: Sequence[LoadCase]) -> Iterator[tuple[LoadCase, ...]]:
    """Every way to pick one case, or none for a companion, of each nature that does not add up."""
    options: list[list[LoadCase | None]] = []
    for nature in ("W", "E_h", "S"):
        if combination.factors.get(nature, 0.0) == 0.0:
            continue
        here: list[LoadCase | None] = [case for case in cases if case.nature == nature]
        options.append(here if nature in combination.leading else [*here, None])
    for picked in product(*options):
        yield tuple(case for case in picked if case is not None)


def _factor(combination: Combination, case: LoadCase, chosen: tuple[LoadCase, ...]) -> float:
    acts = case.nature in _SUMMED or case in chosen
    return combination.factors.get(case.nature, 0.0) if acts else 0.0
