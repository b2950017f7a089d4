"""Rails by what the maker states: a moment, or a line load by span; and deflection limits."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, ClassVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plumbrail.batch import Batch
from plumbrail.errors import RangeError, TableError
from plumbrail.trace import Certainty, given, provision, require
from plumbrail.units import show

from ..common import TINY, moment_ratio, moment_size
from ..entered import FRAME, MODEL, UNSTATED, Origin, Quantity, entered

Array = NDArray[np.float64]
Q = Quantity
D = Certainty.DERIVED
ORIGINS: Mapping[str, Origin] = {"frame": FRAME, "model": MODEL, "maker": UNSTATED}


@provision("size of a signed number", "w_r [N/m]", "abs(w)", D, w="N/m")
def line_load_size(w: Array) -> Array:
    """Line load without its sense."""
    return np.abs(w)


@provision("demand over capacity", "ratio [-]", "w_r/w_a", D, w_r="N/m", w_a="N/m")
def line_load_ratio(w_r: Array, w_a: Array) -> Array:
    """Line load on a rail over the allowable one."""
    return w_r / w_a


@provision("mechanics: simple span", "delta [m]", "5*w*L**4/(384*E*I)", D,
           w="N/m", L="m", E="Pa", I="m**4")  # fmt: skip
def simple_span_deflection(w: Array, L: Array, E: Array, I: Array) -> Array:  # noqa: E741
    """Midspan deflection of a simple span under uniform load."""
    return 5 * w * L**4 / (384 * E * I)


@provision("serviceability limit set in the plan", "delta_max [m]", "L/n", D, L="m", n="-")
def deflection_limit(L: Array, n: Array) -> Array:
    """Largest deflection: the span over the number in the plan."""
    return L / n


@provision("demand over capacity", "ratio [-]", "delta_r/delta_max", D,
           delta_r="m", delta_max="m")  # fmt: skip
def deflection_ratio(delta_r: Array, delta_max: Array) -> Array:
    """Size of a deflection over its limit."""
    return delta_r / delta_max


def _both(length: float) -> str:
    if not np.isfinite(length):
        return f"{length:g}"
    return f"{show(length, 'length', 'us')} ({show(length, 'length', 'metric')})"


@dataclass(frozen=True)
class SpanTable:
    """A maker's allowable line loads by span: ``spans`` [m] rising, ``loads`` [N/m]."""

    spans: Array
    loads: Array
    source: str
    certainty: Certainty

    def __post_init__(self) -> None:
        if self.spans.ndim != 1 or self.spans.shape != self.loads.shape or self.spans.size < 2:
            raise TableError(f"{self.source}: give two or more spans with one load each")
        if not (np.diff(self.spans, prepend=0.0) > 0).all() or not (self.loads > 0).all():
            raise TableError(f"{self.source}: spans must rise and loads must be above zero")

    def allowable(self, span: ArrayLike) -> Array:
        """Allowable line load [N/m] at spans [m], between the maker's spans; any shape.

        Straight on logarithmic axes: strength falls as 1/L, 1/L² or 1/L³, each a straight line
        there, and the least of them lies on or above the chord. A chord on plain axes would lie
        above the curve, on the unsafe side. Raises RangeError outside the maker's spans.
        """
        wanted = np.asarray(span, dtype=float)
        low, high = float(self.spans[0]), float(self.spans[-1])
        if not ((wanted >= low - 1e-9) & (wanted <= high + 1e-9)).all():
            raise RangeError(
                f"a rail span of {_both(wanted.max())} is outside the maker's table "
                f"({self.source}), which runs from {_both(low)} to {_both(high)}. Move the beams "
                "or give the maker's figure for this span."
            )
        within = np.clip(wanted, low, high)
        found = np.exp(np.interp(np.log(within), np.log(self.spans), np.log(self.loads)))
        return given(f"{self.source} (span interpolated)", "w_a [N/m]", found, self.certainty,
                     "allowable line load by span")  # fmt: skip


@dataclass(frozen=True)
class StatedMoments(Batch):
    """Moments in rails and the allowable moment from the maker's letter, SI."""

    axes: ClassVar[tuple[str, ...]] = ("rail", "combination", "station")

    M: Annotated[Array, Q("N*m", "frame", "moment about the strong axis")]
    M_stated: Annotated[Array, Q("N*m", "maker", "moment capacity stated for the method used")]


@dataclass(frozen=True)
class LineLoads(Batch):
    """Line loads on rails and their spans, SI."""

    axes: ClassVar[tuple[str, ...]] = ("rail", "combination")

    w: Annotated[Array, Q("N/m", "frame", "line load normal to the modules")]
    span: Annotated[Array, Q("m", "model", "longest span of the rail between beams")]


def moment_ratios(moments: StatedMoments, origins: Mapping[str, Origin] = ORIGINS) -> Array:
    """Moment over the maker's moment, (rail, combination, station); for the maker's method."""
    require("M_stated", TINY, moments.M_stated, np.inf, "maker's letter",
            "Give the moment capacity from the maker, above zero.")  # fmt: skip
    m = entered(moments, origins)
    return np.broadcast_to(moment_ratio(moment_size(m.M), m.M_stated), moments.shape)


def load_ratios(
    loads: LineLoads, table: SpanTable, origins: Mapping[str, Origin] = ORIGINS
) -> Array:
    """Line load over the maker's allowable one at the span, (rail, combination)."""
    e = entered(loads, origins)
    ratio = line_load_ratio(line_load_size(e.w), table.allowable(loads.span))
    return np.broadcast_to(ratio, loads.shape)
