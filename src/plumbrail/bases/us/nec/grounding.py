"""NFPA 70, 250 and 690 part V: equipment grounding and electrode conductors."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.errors import RangeError
from plumbrail.trace import Certainty, provision

from .answers import Metal
from .current import required_device
from .devices import standard_rating
from .lookup import first_that_holds, sureness, table, words
from .wire import circular_mils

Array = NDArray[np.float64]
C = Certainty.CONFIRMED
M = Certainty.MEMORY
S = Certainty.SECOND_HAND


@provision("NFPA 70 250.122(B)", "A_g [-]", "A_e*A/A_r", S, A_e="-", A="-", A_r="-")
def increased_grounding(A_e: Array, A: Array, A_r: Array) -> Array:
    """Circular mils of a grounding conductor that grows with its circuit's conductors.

    ``A_e``: of the table; ``A``: of the conductors used; ``A_r``: of those required. Circuits of
    solar modules need not grow for voltage drop (690.45).
    """
    return A_e * A / A_r


def size_of_area(cmil: float) -> str:
    """The smallest size whose area is not below some circular mils, without any tolerance."""
    found = table("wire")
    place = first_that_holds(found.numbers["cmil"], cmil, "circular mils", found, 0.0)
    return found.words["size"][int(place)]


def equipment_conductor(I_device: float, metal: Metal) -> str:
    """Least equipment grounding conductor by Table 250.122 for a device rating [A].

    It need not be larger than the circuit's own conductors, 250.122(A). RangeError above 1200 A.
    """
    _known(metal)
    found = table("equipment_grounding")
    place = first_that_holds(found.numbers["rating"], I_device, "the device's rating in A", found,
                             1e-9)  # fmt: skip
    return found.words[metal][int(place)]


def assumed_device(I_max: float, edition: str) -> Array:
    """Device that 690.45 assumes for a circuit without one [A], from its largest current; 0-d.

    From the 2017 edition on one rated by 690.9(B); in 2014 the largest current itself.
    """
    rule = words("assumed_device", "rule", edition=edition)
    if rule == "largest current":
        return np.asarray(float(I_max))
    return standard_rating(required_device(np.asarray(float(I_max))), edition)


def assumed_device_certainty(edition: str) -> Certainty:
    """How sure the rule of that edition is."""
    return sureness("assumed_device", edition=edition)


def electrode_conductor(largest: str, of: Metal, metal: Metal, electrode: str) -> str:
    """Grounding electrode conductor by 250.66 for the largest circuit conductor.

    ``of`` is that conductor's metal, ``metal`` the electrode conductor's. ``electrode``: rod (a
    rod, pipe or plate alone: need not exceed 6 AWG copper or 4 AWG aluminium), concrete-encased
    (4 AWG copper), or other. RangeError for anything else.
    """
    _known(of)
    _known(metal)
    found = table("electrode")
    place = first_that_holds(found.numbers[f"{of}_to"], float(circular_mils(largest)),
                             "circular mils", found, 0.0)  # fmt: skip
    size = found.words[metal][int(place)]
    return _capped(size, metal, electrode)


_CAPS: dict[str, dict[str, str]] = {
    "rod": {"copper": "6 AWG", "aluminium": "4 AWG"}, "concrete-encased": {"copper": "4 AWG"},
    "other": {},
}  # fmt: skip


def _capped(size: str, metal: str, electrode: str) -> str:
    """Not larger than a single electrode of that kind asks for."""
    if electrode not in _CAPS:
        raise RangeError(f"The electrode is {electrode!r}; write {', '.join(_CAPS)}.")
    if electrode == "concrete-encased" and metal == "aluminium":
        raise RangeError("No size of aluminium is known here for concrete-encased: use copper.")
    cap = _CAPS[electrode].get(metal, size)
    return min(size, cap, key=lambda s: float(circular_mils(s)))


def direct_current_electrode_conductor(largest: str, metal: Metal, electrode: str) -> str:
    """Grounding electrode conductor of a solidly grounded direct-current system, 250.166.

    Not smaller than the largest conductor supplied, nor than 8 AWG copper or 6 AWG aluminium;
    the caps for single electrodes are as in :func:`electrode_conductor`.
    """
    _known(metal)
    least = "8 AWG" if metal == "copper" else "6 AWG"
    return _capped(max(largest, least, key=lambda s: float(circular_mils(s))), metal, electrode)


@dataclass(frozen=True)
class ElectrodeFact:
    """Something to know about electrodes at the array."""

    words: str
    clause: str
    certainty: Certainty


ELECTRODE_FACTS = (
    ElectrodeFact("Pipe legs set in concrete touch no earth: they are no rod or pipe electrode.",
                  "250.52(A)(5)", M),
    ElectrodeFact("A concrete-encased electrode needs 20 ft of 4 AWG bare copper or 1/2 in "
                  "reinforcing bar in the concrete.", "250.52(A)(3)", C),
    ElectrodeFact("Metal of a structure is an electrode only with 10 ft of it upright in direct "
                  "contact with the earth.", "250.52(A)(2)", C),
    ElectrodeFact("A rod is 8 ft long and 5/8 in thick unless listed.", "250.52(A)(5)", C),
    ElectrodeFact("A pipe electrode is 3/4 in trade size at least and galvanized.",
                  "250.52(A)(5)", M),
    ElectrodeFact("A single rod needs 25 ohm or a second one, 6 ft away at least.",
                  "250.53(A)", C),
    ElectrodeFact("A rod at the array belongs to the one grounding electrode system; left by "
                  "itself it is a hazard, and it never replaces the equipment grounding "
                  "conductor.", "250.54, 250.50", C),
)  # fmt: skip
"""For the papers, whatever the edition."""


@dataclass(frozen=True)
class ArrayElectrode:
    """Whether an electrode at the array is asked for."""

    required: bool | None
    clause: str
    words: str
    certainty: Certainty


_OPTIONAL = "An electrode at the array is allowed and not required."
_BY_EDITION = {
    "NEC 2014": ArrayElectrode(True, "690.47(D)", "An electrode at the array is required.", C),
    "NEC 2017": ArrayElectrode(False, "690.47(B)", _OPTIONAL, M),
    "NEC 2020": ArrayElectrode(False, "690.47(B)", _OPTIONAL, S),
    "NEC 2023": ArrayElectrode(False, "690.47(B)", _OPTIONAL, S),
}


def array_electrode(edition: str) -> ArrayElectrode:
    """Whether 690.47 asks for an electrode at the array; required is None when not known."""
    unknown = ArrayElectrode(None, "690.47", "Not checked: this edition is not known here.", M)
    return _BY_EDITION.get(edition, unknown)


def _known(metal: str) -> None:
    if metal not in ("copper", "aluminium"):
        raise RangeError(f"The metal is {metal!r}; write copper or aluminium.")
