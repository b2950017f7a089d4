"""The wind cases of a tilted plane, by name, and its coefficients in all of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plumbrail.bases.us.asce7.wind import CASES, FLOWS, halves, monoslope_coefficients
from plumbrail.errors import RangeError

Array = NDArray[np.float64]


@dataclass(frozen=True)
class WindCase:
    """One wind case: direction gamma in degrees, load case A or B, flow under the plane."""

    id: str
    """For example ``W0A-clear``: gamma 0, case A, clear flow."""
    gamma: int
    case: str
    flow: str


@dataclass(frozen=True)
class PlaneCoefficients:
    """Net coefficients of both halves in every case; arrays (cases, ...) over the tilt's shape."""

    ids: tuple[str, ...]
    C_low: Array
    C_high: Array


def across_cases(flows: Sequence[str]) -> tuple[WindCase, ...]:
    """Wind across the slope: gamma 0 and 180, cases A and B, for each flow given."""
    return _cases((0, 180), flows)


def along_cases(flows: Sequence[str]) -> tuple[WindCase, ...]:
    """Wind along the row: gamma 90 (first post windward) and 270 (last), cases A and B."""
    return _cases((90, 270), flows)


def plane_coefficients(theta: ArrayLike, cases: Sequence[WindCase]) -> PlaneCoefficients:
    """C_N of the low and the high half for tilt [rad] in every case of wind across the slope."""
    pairs = [halves(c.gamma, monoslope_coefficients(theta, c.flow, c.gamma, c.case)) for c in cases]
    return PlaneCoefficients(
        tuple(c.id for c in cases),
        np.array([p.C_low for p in pairs]),
        np.array([p.C_high for p in pairs]),
    )


def _cases(gammas: tuple[int, int], flows: Sequence[str]) -> tuple[WindCase, ...]:
    if not flows or set(flows) - set(FLOWS):
        raise RangeError(f"flow under the array is {list(flows)}; write one or both of {FLOWS}")
    return tuple(
        WindCase(f"W{gamma}{case}-{flow}", gamma, case, flow)
        for flow, gamma, case in product(flows, gammas, CASES)
    )
