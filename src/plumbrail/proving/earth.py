"""Where a string touches ground, from the voltages of its two ends to ground.

The meter's own resistance R_m takes the place of nothing else: with a fault of resistance R_f at x
modules from the negative end, the ends read V_p = V_oc (n - x)/n · R_m/(R_m + R_f) and
V_n = V_oc x/n · R_m/(R_m + R_f). Their ratio gives the place, their sum the resistance.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from plumbrail.notebook.proof_entries import Probe, Proof
from plumbrail.proving.parts import Array, EarthFault, Outcome, TestedString
from plumbrail.trace import Certainty, provision

METER = 10e6
"""Resistance of the usual digital voltmeter [ohm]; common practice, no published source."""
DRIFT = 0.02
"""Share of the open voltage that ends to ground may show on a sound string by stray charge."""
D = Certainty.DERIVED


@provision("voltages of both ends to ground", "x [-]", "n*V_n/(V_p + V_n)", D,
           V_p="V", V_n="V", n="-")  # fmt: skip
def fault_place(V_p: Array, V_n: Array, n: Array) -> Array:
    """Modules between the negative end and the fault."""
    return n * V_n / (V_p + V_n)


@provision("voltages of both ends to ground", "R_f [ohm]", "R_m*(V_oc/(V_p + V_n) - 1)", D,
           ranges={"V_oc": (3.0, 5.0), "V_p": (0.5, 1.0), "V_n": (0.5, 1.0)},
           V_p="V", V_n="V", V_oc="V", R_m="ohm")  # fmt: skip
def fault_resistance(V_p: Array, V_n: Array, V_oc: Array, R_m: Array) -> Array:
    """Resistance of the fault to ground, read with a meter of a known resistance."""
    return R_m * (V_oc / (V_p + V_n) - 1)


def earth_faults(
    strings: Sequence[TestedString],
    proofs: Sequence[Proof],
    open_volts: dict[str, float],
    least: float,
) -> tuple[EarthFault, ...]:
    """One entry for each string whose two ends were measured to ground.

    ``open_volts``: open-circuit voltage of each string, measured or expected.
    """
    last = {(p.place, p.kind): p for p in proofs}
    found = []
    for s in strings:
        ends = [last.get((s.id, kind)) for kind in (Probe.PLUS_TO_GROUND, Probe.MINUS_TO_GROUND)]
        if ends[0] is None or ends[1] is None or s.id not in open_volts:
            continue
        plus, minus = (abs(p.value or 0.0) for p in ends if p is not None)
        found.append(_fault(s, plus, minus, open_volts[s.id], least))
    return tuple(found)


def _fault(
    s: TestedString, plus: float, minus: float, volts: float, least: float
) -> EarthFault:  # fmt: skip
    total = plus + minus
    if total <= DRIFT * volts:
        return EarthFault(
            s.id,
            0.0,
            np.inf,
            least,
            Outcome.PASS,
            f"{s.id}: both ends read almost nothing to ground: no path to ground",
            volts,
        )
    one = np.asarray
    x = float(fault_place(one(plus), one(minus), one(float(s.count))))
    R = max(float(fault_resistance(one(plus), one(minus), one(volts), one(METER))), 0.0)
    if total > 1.1 * volts:
        words = (
            f"{s.id}: the ends read {total:.0f} V to ground together, more than the open "
            f"voltage of {volts:.0f} V: wait until both stand still, and measure again"
        )
        return EarthFault(s.id, x, R, least, Outcome.UNSURE, words, volts)
    sound = least * 1.5 <= R
    outcome = Outcome.PASS if sound else Outcome.FAIL if least > R else Outcome.UNSURE
    near = _near(s, x)
    words = (f"{s.id}: {plus:.0f} V and {minus:.0f} V to ground: a path of about {_ohms(R)} to "
             f"ground {x:.1f} modules from the negative end, {near}")  # fmt: skip
    return EarthFault(s.id, x, R, least, outcome, words, volts)


def _near(s: TestedString, x: float) -> str:
    """The joint or module at x modules from the negative end."""
    names = s.modules[::-1]
    whole = round(x)
    if abs(x - whole) > 0.25:
        return f"inside {names[min(int(x), s.count - 1)]}"
    if whole == 0:
        return "at its negative home run"
    if whole >= s.count:
        return "at its positive home run"
    return f"between {names[whole - 1]} and {names[whole]}"


def _ohms(R: float) -> str:
    return f"{R / 1e6:.2g} Mohm" if R >= 1e5 else f"{R / 1e3:.2g} kohm" if R >= 1e3 else "0 ohm"
