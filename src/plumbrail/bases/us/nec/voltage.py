"""NFPA 70, 690.7: the largest voltage of strings of modules."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plumbrail.errors import RangeError
from plumbrail.trace import Certainty, provision

from .lookup import SLACK, first_that_holds, number, picked, table

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
T_RATING = 298.15
"""25 degC [K], the temperature that modules are rated at."""
DEGREE_SLACK = 1e-6
"""Rounding of a temperature [K] that must not change the row."""


@provision(
    "NFPA 70 690.7(A)(1)", "V_c [V]", "V_oc*(1 + beta*(T_min - T_r))", Certainty.SECOND_HAND,
    constants={"T_r": (T_RATING, "K")},
    ranges={"beta": (-0.004, -0.002), "T_min": (230, 290)},
    V_oc="V", beta="1/K", T_min="K",
)  # fmt: skip
def module_voltage(V_oc: Array, beta: Array, T_min: Array) -> Array:
    """Open-circuit voltage of a module at the lowest expected ambient temperature."""
    return V_oc * (1 + beta * (T_min - T_RATING))


@provision("NFPA 70 690.7(A)(2)", "V_c [V]", "f_T*V_oc", Certainty.SECOND_HAND,
           V_oc="V", f_T="-")  # fmt: skip
def table_voltage(V_oc: Array, f_T: Array) -> Array:
    """Open-circuit voltage of a crystalline silicon module in the cold by the code's table."""
    return f_T * V_oc


@provision("series connection", "V_s [V]", "N*V", Certainty.DERIVED, N="-", V="V")
def string_voltage(N: Array, V: Array) -> Array:
    """Voltage of N modules in series; strings in parallel do not add to it."""
    return N * V


def table_factor(T_min: ArrayLike) -> Array:
    """Factor of Table 690.7(A) at ambient temperatures [K]; same shape.

    The printed rows are whole degrees: a temperature between two rows takes the colder one. At
    25 degC and above it is 1. Raises RangeError below -40 degC, where the table ends.
    """
    found = table("voltage_factor")
    coldest = found.numbers["coldest"]
    wanted = np.asarray(T_min, dtype=float)
    if not (wanted >= coldest[-1] - DEGREE_SLACK).all():
        shown = float(np.min(wanted)) - 273.15
        raise RangeError(
            f"The lowest temperature is {shown:.4g} °C; {found.source} ends at -40 °C. "
            f"{found.advice}"
        )
    rows = first_that_holds(-coldest, -wanted, "temperature in K", found, DEGREE_SLACK)
    return picked(found, "factor", rows, "by temperature")


def most_modules(V_limit: ArrayLike, V_module: ArrayLike) -> IntArray:
    """Most modules in series under a limit [V], always rounded down; arguments broadcast.

    An exact fit counts. Raises RangeError unless both are above zero.
    """
    limit, module = np.asarray(V_limit, dtype=float), np.asarray(V_module, dtype=float)
    if not ((limit > 0).all() and (module > 0).all()):
        raise RangeError("Give a voltage limit and a module voltage above zero.")
    return np.floor(limit / module * (1 + SLACK)).astype(np.int64)


def voltage_limit(building: str) -> Array:
    """Largest voltage [V] allowed on or in a building; 0-d.

    ``building``: dwelling, other, solar only, or none when no circuit is on or in a building.
    """
    return number("voltage_limit", "voltage", building=building)
