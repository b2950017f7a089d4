"""Every kind of sentence that proving says and that papers tell in another language."""

from __future__ import annotations

from plumbrail.notebook.proof_entries import Probe
from plumbrail.plan.proving import Proving
from plumbrail.proving import wanted
from plumbrail.proving.calendar import DUTIES
from plumbrail.proving.care import USUAL, USUAL_KELVINS, budget
from plumbrail.proving.cautions import CAUTIONS, STEPS
from plumbrail.proving.faults import CHECKS, WORDS
from proving_told import TOLD

_FUNCTIONS = (*wanted.FUNCTIONS, wanted._GROUND_FAULT, wanted._ARC, wanted._INVERTER,
              wanted._CONTROLLER, wanted._POWER)  # fmt: skip
_SAID = (
    "single diode fitted to the module's data sheet",
    "data sheet translated by IEC 60891; for the single diode module.cells is missing",
    "module frames and rails of S1", "box C1", "disconnect", "equipment",
    "box C1, strings, 10 AWG", "box C1, run, 8 AWG", "disconnect, 8 AWG", "equipment, 8 AWG",
    "grounding lugs, 10 AWG", "hottest joint or cell over the others, loaded",
    "all readings of it together", "marked on the part", "statistics of the readings",
    "ends to ground", "not recorded: serial numbers", "not recorded: photos",
    "fail: S2, open-circuit voltage", "not measured: T1, torque",
    "too uncertain to say: S1, insulation", "IEC 62446-1",
    "441.9 V read, 438.8 V expected: +0.7 %, give or take 1.3 %, 5 % allowed",
    "nothing suspected", "one module missing would stand out by 23 standard uncertainties",
    "plus and minus are right",
    "meter 7 is not in the plan; common accuracy of its kind (voltmeter) assumed",
    "meter 7 is in the plan as ammeter, not as voltmeter; common accuracy of its kind (voltmeter) "
    "assumed",
    "this looks like the site notebook, not a sheet of tests; `plumbrail true` takes it",
    "185 Mohm, at least 1 Mohm at 1000 V", "likeliest: nothing is wrong",
)  # fmt: skip


def proving_said() -> tuple[str, ...]:
    """In English, with names of strings filled in."""
    return (
        *CAUTIONS, *STEPS, *(d.words for d in DUTIES), *(p.words for p in budget(Proving())),
        *_FUNCTIONS, *TOLD, *USUAL, *USUAL_KELVINS, *(k.value for k in Probe),
        *CHECKS.values(), *_SAID,
        *(words.format(strings="S1") for words in WORDS.values()),
    )  # fmt: skip
