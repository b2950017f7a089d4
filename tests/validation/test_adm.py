"""Aluminum Design Manual: allowable stresses of common extrusions.

The allowable stresses and the modulus are from memory; F_tu and F_ty of the alloys were read in
second-hand copys. The two safety factors are compared with the Aluminum Construction
Manual of 1968, the predecessor of the manual, in a public copy (24 CFR 200).
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from plumbrail.bases.us.adm import rails
from plumbrail.bases.us.adm.thrust import buckling_intercept, buckling_slope, elastic_limit
from plumbrail.bases.us.common import factor
from plumbrail.units import from_si

Published = Callable[..., None]
BOOK = "Aluminum Design Manual"
STRENGTHS = {"6005A-T61": (38, 35), "6061-T6": (38, 35), "6063-T6": (30, 25)}
ALLOWABLE = {"6005A-T61": (21.2, 19.5, 12.7), "6061-T6": (21.2, 19.5, 12.7),
             "6063-T6": (15.2, 15.4, 9.1)}  # fmt: skip
ONE = np.array(1.0)
KSI = 6894757.293168361


@pytest.mark.parametrize("name", STRENGTHS)
def test_alloy_strengths(name: str, published: Published) -> None:
    """Table A.4.3 by second-hand copy."""
    ours, (F_tu, F_ty) = rails.alloy(name), STRENGTHS[name]
    published(BOOK, f"{name} F_tu", F_tu, from_si(ours.F_tu, "ksi"), 1e-9, "ksi", "second_hand")
    published(BOOK, f"{name} F_ty", F_ty, from_si(ours.F_ty, "ksi"), 1e-9, "ksi", "second_hand")


@pytest.mark.parametrize("name", ALLOWABLE)
def test_al1_allowable_stresses(name: str, published: Published) -> None:
    """Allowable strength of a section with S = 1 and A = 1 is the allowable stress; from memory."""
    a, (yielding, rupture, shear) = rails.alloy(name), ALLOWABLE[name]
    cases = (
        ("F_ty/1.65", yielding, rails.allowable_moment(
            rails.yield_moment(a.F_ty, ONE), factor("adm", "safety", "yielding", "ASD"))),
        ("F_tu/1.95", rupture, rails.allowable_moment(
            rails.rupture_moment(a.F_tu, ONE), factor("adm", "safety", "rupture", "ASD"))),
        ("0.6 F_ty/1.65", shear, rails.allowable_force(
            rails.shear_strength(a.F_ty, ONE), factor("adm", "factors", "shear yielding", "ASD"))),
    )  # fmt: skip
    for item, printed, ours in cases:
        stress = from_si(float(ours), "ksi")
        published(BOOK, f"{name} {item}", printed, stress, 0.05, "ksi", "memory")


def test_modulus(published: Published) -> None:
    """E = 10,100 ksi, from memory."""
    ours = from_si(rails.alloy("6005A-T61").E, "ksi")
    published(BOOK, "E", 10_100, ours, 1e-6, "ksi", "memory")


@pytest.mark.parametrize(("state", "printed"), [("yielding", 1.65), ("rupture", 1.95)])
def test_safety_factors(state: str, printed: float, published: Published) -> None:
    """Aluminum Construction Manual 1968, 1.3.1, building type structures."""
    ours = factor("adm", "safety", state, "ASD")
    published("Aluminum Construction Manual 1968, 1.3.1", state, printed, ours, 1e-12)


@pytest.mark.parametrize(
    ("alloy", "F_cy", "B_c", "D_c", "C_c"),
    [("6061-T6", 35.0, 39.4, 0.246, 66.0), ("6063-T6", 25.0, 27.6, 0.145, 78.0)],
)
def test_buckling_constants(published, alloy, F_cy, B_c, D_c, C_c):
    """Aluminum Design Manual, design aid of buckling constants for columns; from memory."""
    document = "Aluminum Design Manual"
    intercept = buckling_intercept(np.array(F_cy * KSI))
    slope = buckling_slope(intercept, np.array(10100 * KSI))
    cases = (
        ("B_c", B_c, intercept / KSI, 0.05, "ksi"),
        ("D_c", D_c, slope / KSI, 0.0005, "ksi"),
        ("C_c", C_c, elastic_limit(intercept, slope), 0.5, "-"),
    )
    for symbol, printed, ours, tolerance, unit in cases:
        published(document, f"{alloy} {symbol}", printed, ours, tolerance, unit, "memory")
