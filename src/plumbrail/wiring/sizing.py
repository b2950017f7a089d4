"""The conductor of a circuit: its size by every test of the code, and what it loses."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from plumbrail.bases.iec import cables as iec
from plumbrail.bases.us.nec import conductors as nec
from plumbrail.errors import RangeError
from plumbrail.tables.loader import load
from plumbrail.trace import Certainty
from plumbrail.wiring.parts import Array
from plumbrail.wiring.provisions import warmer_air, wire_temperature
from plumbrail.wiring.volts import entry

HOT_COLUMN = "90 degC"
"""Column of every insulation that the plan can name: PV wire, USE-2, THWN-2, XHHW-2, RHW-2."""
HOT = 363.15
"""90 degC [K]."""
SQUARE = 1e-6


@dataclass(frozen=True)
class Laying:
    """How a circuit is laid and what its ends stand."""

    ambient: float
    """Of the site or the ground [K]."""
    ambient_field: str
    """Field of the plan that it comes from."""
    rise: float
    """How much warmer it is about the wires [K]."""
    rise_field: str
    """Field of the plan that this comes from; empty for none."""
    bundled: int
    """Current-carrying conductors side by side or in one raceway."""
    metal: str
    insulation: str
    terminals: tuple[str, ...]
    """Columns of both ends as marked."""
    edition: str
    rise_certainty: Certainty = Certainty.PLAN
    """Common practice where the plan leaves the field out."""

    @property
    def air(self) -> float:
        """About the wires [K]."""
        return self.ambient + self.rise


@dataclass(frozen=True)
class Wire:
    """A conductor that was chosen, with what it carries [A]."""

    laying: Laying
    size: str
    """``10 AWG`` or ``6 mm2``; empty where none will do."""
    column: str
    """Column of its terminals."""
    terminal: float
    corrected: float
    usable: float
    """The lower of both; nan where it is not known."""
    section: float | None
    """Cross-section [m2] of a metric size, else None."""
    trial: nec.ConductorTrial | None
    """What each clause says of it."""


def nec_wire(
    laying: Laying, largest: float, device: float | None, least: str, fixed: bool
) -> Wire:  # fmt: skip
    """The smallest conductor from ``least`` on that passes, or ``least`` itself when ``fixed``.

    ``largest`` is the circuit's largest current, ``device`` the rating of its device [A].
    """
    _ambient_factor(laying)  # tells the fields where the air is too hot for any wire
    columns = tuple(nec.terminal_column(largest, marked) for marked in laying.terminals)
    answer = nec.smallest_conductor(
        largest, device, laying.air, laying.bundled, laying.metal, HOT_COLUMN, columns, least,
        laying.edition,
    )  # fmt: skip
    trial = answer.tried[0] if fixed else answer.tried[-1]
    size = trial.size if fixed or answer.size is not None else ""
    return Wire(laying, size, answer.terminal_column, trial.terminal, trial.corrected,
                trial.ampacity, None, trial)  # fmt: skip


def stepped(wire: Wire, largest: float, device: float | None) -> Wire | None:
    """The next size up that passes; None after the last."""
    later = nec.sizes_from(wire.size)[1:]
    return nec_wire(wire.laying, largest, device, later[0], False) if later else None


def metric_wire(laying: Laying, area: float) -> Wire | None:
    """The smallest metric conductor not under an area [m2]; None where the table ends."""
    listed = np.sort(load("iec", "resistance").numbers["area"])
    fits = listed[listed >= area * (1.0 - 1e-9)]
    if not fits.size:
        return None
    section = float(fits[0])
    nan = float("nan")
    return Wire(laying, f"{section / SQUARE:g} mm2", "", nan, nan, nan, section, None)


def area_of(size: str) -> float:
    """Cross-section [m2] of a size in AWG or kcmil."""
    return float(nec.circular_mils(size)) * nec.CIRCULAR_MIL


def air(laying: Laying) -> Array:
    """Temperature about the wires [K]; 0-d, with its steps."""
    site = entry(laying.ambient_field, "T_a [K]", laying.ambient)
    if not laying.rise_field:
        return site
    return warmer_air(site, entry(laying.rise_field, "dT [K]", laying.rise,
                                  laying.rise_certainty))  # fmt: skip


def corrected(wire: Wire) -> Array:
    """Ampacity corrected and adjusted [A]; 0-d, with its steps."""
    laying = wire.laying
    return nec.corrected_ampacity(
        nec.ampacity(wire.size, laying.metal, HOT_COLUMN),
        _ambient_factor(laying),
        nec.bundle_factor(laying.bundled),
    )


def _ambient_factor(laying: Laying) -> Array:
    """Correction for the air about the wires; RangeError names the fields that make it."""
    try:
        return nec.ambient_factor_at(air(laying), HOT_COLUMN)
    except RangeError:
        warmer = f" with {laying.rise_field}" if laying.rise_field else ""
        raise RangeError(
            f"{laying.ambient_field}: the air about the wires comes to {laying.air - 273.15:.4g} "
            f"degC{warmer}, beyond NFPA 70 Table 310.15(B)(1)(1) (85 degC for the best insulation);"
            " write a lower temperature, or lead the wires where it is cooler"
        ) from None


def usable(wire: Wire) -> Array:
    """Ampacity that counts for devices and for what is fed back [A]; 0-d."""
    return nec.usable_ampacity(
        corrected(wire), nec.ampacity(wire.size, wire.laying.metal, wire.column)
    )


def resistance(wire: Wire, current: Array) -> Array:
    """Resistance per length [ohm/m] at the temperature that a current [A] gives it; 0-d."""
    limit = entry("limit of the insulation", "T_r [K]", HOT, Certainty.CONFIRMED)
    if wire.section is not None:
        return iec.resistance(wire.section, limit)
    warm = wire_temperature(air(wire.laying), limit, current, corrected(wire))
    return nec.resistance(wire.size, wire.laying.metal, warm)


def drop(wire: Wire, current: Array, length: float) -> Array:
    """Voltage lost [V] in both conductors of one-way length [m]; 0-d."""
    way = entry("model, wiring.run.length: one way", "L [m]", length, Certainty.DERIVED)
    lose = nec.voltage_drop if wire.section is None else iec.voltage_drop
    return lose(current, resistance(wire, current), way)


def without_size(wire: Wire) -> Wire:
    """The same, with no size that will do."""
    return replace(wire, size="")
