"""Force and moment of the two halves of a plane, and back: statics of Fig. 27.3-4."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plumbrail.bases.us.asce7.wind import Coefficients
from plumbrail.trace import Certainty, provision

Array = NDArray[np.float64]
_HALVES = "statics of two equal halves, ASCE 7 Fig. 27.3-4"


@dataclass(frozen=True)
class Resultant:
    """Force and moment coefficients, gust included; the moment turns about mid-chord.

    Force per area q K_d GC_n; moment per area q K_d GC_m L_c, positive when the positive
    pressure sits on the windward half. Carry both: an offset is undefined where GC_n is 0.
    """

    GC_n: Array
    GC_m: Array


@provision(
    _HALVES,
    "GC_n [-]",
    "G * (C_NW + C_NL) / 2",
    Certainty.DERIVED,
    G="-", C_NW="-", C_NL="-",
)  # fmt: skip
def mean_coefficient(G: Array, C_NW: Array, C_NL: Array) -> Array:
    """Normal force coefficient of the whole plane."""
    return G * (C_NW + C_NL) / 2.0


@provision(
    _HALVES,
    "GC_m [-]",
    "G * (C_NW - C_NL) / 8",
    Certainty.DERIVED,
    G="-", C_NW="-", C_NL="-",
)  # fmt: skip
def moment_coefficient(G: Array, C_NW: Array, C_NL: Array) -> Array:
    """Moment coefficient about mid-chord: two halves of L_c/2 with an arm of L_c/4 each."""
    return G * (C_NW - C_NL) / 8.0


@provision(
    _HALVES,
    "GC_NW [-]",
    "GC_n + 4 * GC_m",
    Certainty.DERIVED,
    GC_n="-", GC_m="-",
)  # fmt: skip
def windward_coefficient(GC_n: Array, GC_m: Array) -> Array:
    """Gust times coefficient of the windward half that gives this force and moment."""
    return GC_n + 4.0 * GC_m


@provision(
    _HALVES,
    "GC_NL [-]",
    "GC_n - 4 * GC_m",
    Certainty.DERIVED,
    GC_n="-", GC_m="-",
)  # fmt: skip
def leeward_coefficient(GC_n: Array, GC_m: Array) -> Array:
    """Gust times coefficient of the leeward half that gives this force and moment."""
    return GC_n - 4.0 * GC_m


def figure_resultant(G: ArrayLike, figure: Coefficients) -> Resultant:
    """Force and moment coefficients of Fig. 27.3-4; G broadcasts with the figure's arrays."""
    gust = np.asarray(G, dtype=float)
    pair = figure.C_NW, figure.C_NL
    return Resultant(mean_coefficient(gust, *pair), moment_coefficient(gust, *pair))


def halves_of(resultant: Resultant) -> Coefficients:
    """The two halves, gust included, that give a force and moment; use them with G = 1."""
    pair = resultant.GC_n, resultant.GC_m
    return Coefficients(windward_coefficient(*pair), leeward_coefficient(*pair))
