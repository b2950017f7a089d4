"""NFPA 70, 110.14(C), 310.15, 310.16, Chapter 9: what a conductor carries and loses."""

from __future__ import annotations

from typing import cast

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plumbrail.errors import RangeError
from plumbrail.trace import Certainty, given, provision, require
from plumbrail.units import print_words

from .answers import COLUMNS, Column
from .lookup import first_that_holds, number, picked, table

Array = NDArray[np.float64]
C = Certainty.CONFIRMED
S = Certainty.SECOND_HAND
T_TABLE = 348.15
"""75 degC [K], the temperature of Chapter 9 Table 8."""
SMALL_CIRCUIT = 100.0
"""[A] up to which terminals count as 60 degC unless marked otherwise."""
CIRCULAR_MIL = np.pi / 4 * (0.001 * 0.0254) ** 2
"""Area of one circular mil [m**2]."""


@provision("NFPA 70 310.15(B), 310.15(C)", "I_z [A]", "I_t*f_a*f_n", C,
           I_t="A", f_a="-", f_n="-")  # fmt: skip
def corrected_ampacity(I_t: Array, f_a: Array, f_n: Array) -> Array:
    """Ampacity of the table, corrected for ambient temperature and adjusted for bundling."""
    return I_t * f_a * f_n


@provision(
    "NFPA 70 Table 310.15(B)(1)(1), its formula", "f_a [-]",
    "sqrt((T_c - T_a)/(T_c - T_b))", C, constants={"T_b": (303.15, "K")},
    ranges={"T_c": (350, 365), "T_a": (300, 340)}, T_c="K", T_a="K",
)  # fmt: skip
def ambient_formula(T_c: Array, T_a: Array) -> Array:
    """Correction for ambient temperature of insulation rated T_c, base 30 °C."""
    return np.sqrt((T_c - T_a) / (T_c - 303.15))


@provision(
    "NFPA 70 Chapter 9 Table 8 note 2", "R [ohm/m]", "R_75*(1 + alpha*(T - T_75))", C,
    constants={"T_75": (T_TABLE, "K")}, ranges={"alpha": (0.003, 0.004), "T": (270, 370)},
    R_75="ohm/m", alpha="1/K", T="K",
)  # fmt: skip
def resistance_at(R_75: Array, alpha: Array, T: Array) -> Array:
    """Resistance per length at a conductor temperature."""
    return R_75 * (1 + alpha * (T - T_TABLE))


@provision("Ohm's law, there and back", "V_d [V]", "2*I*R*L", Certainty.DERIVED,
           I="A", R="ohm/m", L="m")  # fmt: skip
def voltage_drop(I: Array, R: Array, L: Array) -> Array:  # noqa: E741
    """Voltage lost in both conductors of a direct-current circuit of one-way length L."""
    return 2 * I * R * L


@provision("NFPA 70 310.15, 240.4: the lower of both", "I_u [A]", "minimum(I_z, I_term)", S,
           I_z="A", I_term="A")  # fmt: skip
def usable_ampacity(I_z: Array, I_term: Array) -> Array:
    """Corrected ampacity, not above that of the terminals' column."""
    return np.minimum(I_z, I_term)


def ampacity(size: str, metal: str, column: str) -> Array:
    """Ampacity of Table 310.16 [A]: 30 degC, not more than three current-carrying; 0-d."""
    return number("ampacity", "ampacity", size=size, metal=metal, column=column)


def ambient_factor(T_a: ArrayLike, column: str) -> Array:
    """Factor of Table 310.15(B)(1)(1) at ambient temperatures [K]; same shape.

    Between two printed rows the hotter one counts. Raises RangeError where the insulation of
    that column may not be used any more.
    """
    found = table("ambient")
    rows = np.flatnonzero(found.rows(column=column))
    place = first_that_holds(found.numbers["top"][rows], T_a, f"the ambient temperature in K "
                             f"for the column of {column}", found, 1e-6)  # fmt: skip
    return picked(found, "factor", rows[place], f"column {column}")


@provision(
    "NFPA 70 Table 310.15(B)(1)(1), the row at or above", "f_a [-]",
    "where(T_a <= T_top + e, f_t, 0)", C, constants={"e": (1e-5, "K")},
    ranges={"T_a": (300, 330), "T_top": (310, 340)}, T_a="K", T_top="K", f_t="-",
)  # fmt: skip
def factor_of_row(T_a: Array, T_top: Array, f_t: Array) -> Array:
    """Factor of the row whose hottest temperature T_top is the next at or above T_a."""
    return np.where(T_a <= T_top + 1e-5, f_t, 0.0)


def ambient_factor_at(T_a: Array, column: str) -> Array:
    """As :func:`ambient_factor` for one temperature [K], with the row that it was read in; 0-d."""
    found = table("ambient")
    tops = np.sort(found.numbers["top"][found.rows(column=column)])
    factor = ambient_factor(T_a, column)
    top = tops[np.searchsorted(tops, float(T_a) - 1e-6, side="left")]
    where = f"{found.source} (column {print_words(column)}), hottest of the row"
    row = given(where, "T_top [K]", top, found.certainty)
    return factor_of_row(T_a, row, factor)


def bundle_factor(n: ArrayLike) -> Array:
    """Factor of Table 310.15(C)(1) for numbers of current-carrying conductors; same shape."""
    return counted("bundle", "factor", n)


def counted(name: str, column: str, n: ArrayLike) -> Array:
    """Number of the row whose least count is not above ``n``; shape of ``n``."""
    found = table(name)
    require("number of conductors", 1, n, 1e6, found.source, found.advice)
    least = found.numbers["least"][::-1]
    place = first_that_holds(-least, -np.asarray(n, dtype=float), "conductors", found, 0.0)
    return picked(found, column, least.size - 1 - place, "by number")


def terminal_column(size_or_current: str | float, marked: str | None) -> Column:
    """Column that the terminals allow by 110.14(C)(1).

    Circuits up to 100 A, or sizes 14 to 1 AWG, count as 60 degC and larger ones as 75 degC unless
    the equipment is marked; a mark of 90 degC counts as 75 degC. The lowest of all ends governs.
    """
    if marked is not None:
        if marked not in COLUMNS:
            raise RangeError(f"Terminals are marked {marked!r}; write {', '.join(COLUMNS)}.")
        return "60 degC" if marked == "60 degC" else "75 degC"
    if isinstance(size_or_current, str):
        small = circular_mils(size_or_current) <= circular_mils("1 AWG")
    else:
        small = np.asarray(size_or_current <= SMALL_CIRCUIT)
    return "60 degC" if small else "75 degC"


def lowest_column(columns: tuple[str, ...]) -> Column:
    """The lowest of the columns of all ends."""
    if not columns or set(columns) - set(COLUMNS):
        raise RangeError(f"Terminal columns are {columns}; write {', '.join(COLUMNS)}.")
    return cast(Column, min(columns))


def resistance(size: str, metal: str, T: ArrayLike) -> Array:
    """Resistance per length [ohm/m] of a stranded uncoated conductor at temperatures [K]."""
    R_75 = number("resistance", "R", size=size, metal=metal)
    alpha = number("resistance_coefficient", "alpha", metal=metal)
    return resistance_at(R_75, alpha, np.asarray(T, dtype=float))


def circular_mils(size: str) -> Array:
    """Area of a conductor in circular mils; 0-d."""
    return number("wire", "cmil", size=size)


def sizes_from(smallest: str) -> tuple[str, ...]:
    """The sizes of the tables from one on, rising."""
    listed = table("wire").words["size"]
    if smallest not in listed:
        raise RangeError(f"The smallest size is {smallest!r}; write one of {', '.join(listed)}.")
    return listed[listed.index(smallest) :]
