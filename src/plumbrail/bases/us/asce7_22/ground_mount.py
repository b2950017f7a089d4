"""Engineer-supplied coefficients of ASCE 7-22 29.4.5, ground-mounted fixed-tilt arrays.

The figures of 29.4.5 are not in this program: they were not obtained. An engineer may enter the
coefficients with a citation. Fig. 27.3-4 stays the floor unless the plan says otherwise.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.bases.us.asce7.resultant import Resultant
from plumbrail.errors import RangeError
from plumbrail.trace import Certainty, provision

Array = NDArray[np.float64]


@provision(
    "ASCE 7-22 29.4.5",
    "p [Pa]",
    "q * K_d * GC_n",
    Certainty.MEMORY,
    q="Pa", K_d="-", GC_n="-",
)  # fmt: skip
def ground_mount_pressure(q: Array, K_d: Array, GC_n: Array) -> Array:
    """Net pressure from engineer-supplied coefficients.

    A second-hand copy prints it without K_d; K_d is applied here because in ASCE 7-22 it has left
    the velocity pressure for every pressure equation. To be checked against the standard.
    """
    return q * K_d * GC_n


@dataclass(frozen=True)
class GroundMountCoefficients:
    """Coefficients an engineer entered, by zone: arrays (zones, ...) [-], with their citation.

    ``GC_gn`` normal force, positive down; ``GC_gm`` moment about mid-chord over the chord,
    positive when positive pressure sits on the windward half.
    """

    zones: tuple[str, ...]
    GC_gn: Array
    GC_gm: Array
    citation: str

    def __post_init__(self) -> None:
        if not self.citation.strip():
            raise RangeError(
                "engineer-supplied ground-mount coefficients have no citation; write where they "
                "come from: document, figure, zone, and who checked that the array is inside its "
                "limits"
            )
        for name in ("GC_gn", "GC_gm"):
            array = getattr(self, name)
            if array.shape[:1] != (len(self.zones),) or not np.isfinite(array).all():
                raise RangeError(f"{name} needs one finite number for each zone of {self.zones}")


@dataclass(frozen=True)
class Governed:
    """The coefficients to use, where the figure's were kept, and what to print beside them."""

    used: Resultant
    force_from_figure: NDArray[np.bool_]
    moment_from_figure: NDArray[np.bool_]
    note: str
    """Empty, or by how much the coefficients are below the figure's."""


def governed(
    engineer: GroundMountCoefficients, figure: Resultant, reduce_below_figure: bool
) -> Governed:
    """Engineer's coefficients with Fig. 27.3-4 as floor; arrays broadcast (zones, ...).

    Unless ``reduce_below_figure``, a coefficient that is smaller than the figure's is replaced by
    the figure's, and one of the other sign is refused (RangeError): it belongs to another wind
    case. When it is set, every engineer's coefficient is used and the note says how far it goes
    below the figure.
    """
    low_force = _below(engineer.GC_gn, figure.GC_n)
    low_moment = _below(engineer.GC_gm, figure.GC_m)
    if reduce_below_figure:
        none = np.zeros_like(low_force), np.zeros_like(low_moment)
        note = _note(engineer, figure, low_force, low_moment)
        return Governed(Resultant(engineer.GC_gn, engineer.GC_gm), *none, note)
    _same_sign("GC_gn", engineer.GC_gn, figure.GC_n)
    _same_sign("GC_gm", engineer.GC_gm, figure.GC_m)
    used = Resultant(
        np.where(low_force, figure.GC_n, engineer.GC_gn),
        np.where(low_moment, figure.GC_m, engineer.GC_gm),
    )
    return Governed(used, low_force, low_moment, "")


def _below(engineer: Array, figure: Array) -> NDArray[np.bool_]:
    """Where the engineer's number pushes less in the figure's direction than the figure."""
    return np.asarray(engineer * np.sign(figure) < np.abs(figure))


def _same_sign(name: str, engineer: Array, figure: Array) -> None:
    other = engineer * figure < 0.0
    if other.any():
        mine, theirs = np.broadcast_arrays(engineer, figure)
        place = int(other.argmax())
        raise RangeError(
            f"{name} of {mine.flat[place]:g} has the other sign than Fig. 27.3-4 "
            f"({theirs.flat[place]:.2f}) for the same wind case; enter it for the case it belongs "
            "to, or let the plan say reduce_below_figure"
        )


def _note(
    engineer: GroundMountCoefficients,
    figure: Resultant,
    low_force: NDArray[np.bool_],
    low_moment: NDArray[np.bool_],
) -> str:
    parts = [
        _gap("force", engineer.GC_gn, figure.GC_n, low_force),
        _gap("moment", engineer.GC_gm, figure.GC_m, low_moment),
    ]
    said = "; ".join(part for part in parts if part)
    if not said:
        return ""
    return f"below ASCE 7 Fig. 27.3-4 by order of the plan ({engineer.citation}): {said}"


def _gap(word: str, engineer: Array, figure: Array, low: NDArray[np.bool_]) -> str:
    if not low.any():
        return ""
    mine, theirs = np.broadcast_arrays(engineer, figure)
    short = np.where(low, np.abs(mine - theirs), 0.0)
    worst = int(short.argmax())
    return (
        f"{word} coefficient in {int(low.sum())} of {low.size} places, at most by "
        f"{short.flat[worst]:.2f} ({mine.flat[worst]:.2f} instead of {theirs.flat[worst]:.2f})"
    )
