"""Presumptive soil values (Table 1806.2) and what follows from them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.tables.loader import load
from plumbrail.trace import Certainty, provision

Array = NDArray[np.float64]
C = Certainty.CONFIRMED
HIGHEST_FRICTION = 500 * 4.4482216152605 / 0.3048**2
"""500 psf in Pa."""


@dataclass(frozen=True, slots=True)
class Soil:
    """Allowable vertical pressure [Pa] and lateral pressure per depth [Pa/m]."""

    name: str
    vertical: float
    lateral: float
    source: str
    certainty: Certainty


def soil(soil_class: str) -> Soil:
    """The presumptive values of class ``1`` to ``5``; raises TableError for another class."""
    table = load("ibc", "soil")
    i = int(table.rows(soil_class=soil_class).argmax())
    return Soil(
        f"class {soil_class}, {table.words['material'][i]}", float(table.numbers["vertical"][i]),
        float(table.numbers["lateral"][i]), f"{table.source}, class {soil_class}",
        table.certainty,
    )  # fmt: skip


@provision(
    "IBC 1810.3.3.1.4", "f_s [Pa]", "minimum(q/6, f_max)", C,
    constants={"f_max": (HIGHEST_FRICTION, "Pa")}, ranges={"q": (1e5, 2e5)}, q="Pa",
)  # fmt: skip
def presumptive_friction(q: Array) -> Array:
    """Allowable shaft friction of uncased cast-in-place concrete, in compression.

    The code gives it for compression; its use for uplift is common practice, not code text.
    """
    return np.minimum(q / 6, HIGHEST_FRICTION)


@provision(
    "IBC 1810.3.3.1.5", "f_s [Pa]", "f_u/SF", C, f_u="Pa", SF="-",
)  # fmt: skip
def friction_from_ultimate(f_u: Array, SF: Array) -> Array:
    """Allowable shaft friction in uplift from the ultimate one."""
    return f_u / SF


def uplift_factor(load_kind: str, method: str) -> Array:
    """Safety factor on ultimate uplift, 0-d.

    ``load_kind`` is ``wind or seismic`` or ``other``, ``method`` is ``analysis`` or ``load test``.
    """
    return load("ibc", "uplift").value("factor", load=load_kind, method=method)
