"""What a string should read in the light and warmth at hand, with its uncertainty."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from plumbrail.bases.iec.translation import G_RATED
from plumbrail.notebook.proof_entries import CURRENTS, LIT, Probe, Proof
from plumbrail.plan.proving import Proving
from plumbrail.proving import care, shares
from plumbrail.proving.parts import Array, Expected, ModuleModel, Readings, TestedString

UNKNOWN_LIGHT = 600.0
"""Taken for a voltage without its light [W/m2]; 300 to 1000 W/m2 are as likely."""
WORKING = (Probe.WORKING_CURRENT, Probe.WORKING_VOLTAGE)
UNKNOWN = 0.35
"""Standard deviation of ln of such a light."""
DARK = 50.0
"""Light under which a voltage is not judged either [W/m2]."""
MOST = 1.5
"""A reading over its expected value by more than this share is no reading of one string: two
strings in one another give 1, and no light is written wrong by so much by accident."""
LEAST_SOURCE = "IEC 62446-1, conditions of the current test, from memory"


def expected_value(
    m: ModuleModel, kind: Probe, count: int, light: float, warmth: float
) -> float:  # fmt: skip
    """Expected voltage or current of a string of ``count`` modules [V or A]."""
    G, T = np.asarray(light), np.asarray(warmth)
    match kind:
        case Probe.OPEN:
            return count * float(m.open(G, T))
        case Probe.SHORT:
            return float(m.short(G, T))
        case Probe.WORKING_VOLTAGE:
            return count * float(m.best_voltage(G, T))
        case Probe.WORKING_CURRENT:
            return float(m.best_current(G, T))
    raise ValueError(kind)


def fall(m: ModuleModel, light: float, warmth: float) -> float:
    """Share by which the open voltage falls per ln of the light."""
    T = np.asarray(warmth)
    high, low = (m.open(np.asarray(x * light), T) for x in (1.1, 1 / 1.1))
    return float(shares.fall_per_light(high, low))


def cell_warmth(plan: Proving, proof: Proof, light: float) -> float:
    """Warmth of the cells from the one that was read [K]."""
    assert proof.warmth is not None
    if plan.temperature_at == "cell":
        return proof.warmth
    return float(shares.cells_behind(np.asarray(proof.warmth), np.asarray(light)))


def readings(
    plan: Proving, m: ModuleModel, strings: Sequence[TestedString], proofs: Sequence[Proof]
) -> Readings:
    """Every voltage and current of a string against what it should be.

    ``proofs``: one of each kind and string, those that count.
    """
    counts = {s.id: s.count for s in strings}
    reversed_ = {p.place for p in proofs if p.kind is Probe.POLARITY and p.value == -1.0}
    last = {(p.place, p.kind): p for p in proofs if p.kind in LIT and p.place in counts}
    why = {key: _refusal(plan, p) for key, p in last.items()}
    kept = [p for key, p in last.items() if not why[key]]
    meters = list(dict.fromkeys((p.kind in CURRENTS, p.instrument.casefold()) for p in kept))
    names = (care.VOLTS, care.AMPERES, care.LIGHT, care.WARMTH, care.LOW_LIGHT, care.FILL,
             *(name for _, name in meters))  # fmt: skip
    spread = [
        plan.module_voltage / 3**0.5, plan.module_current / 3**0.5,
        care.sensor(plan, "light sensor").standard, care.sensor(plan, "thermometer").standard,
        care.SLOPE, care.FILLING,
        *(care.meter_of(plan, Probe.SHORT if amps else Probe.OPEN, name).standard
          for amps, name in meters),
    ]  # fmt: skip
    rows = [_row(plan, m, counts[p.place], p, p.place in reversed_, meters) for p in kept]
    refused = tuple((p, why[key]) for key, p in last.items() if why[key])
    return Readings(tuple(x for x in rows if x.ratio <= MOST), names, np.array(spread), refused,
                    tuple(x for x in rows if x.ratio > MOST))  # fmt: skip


def _refusal(plan: Proving, p: Proof) -> str:
    """Why a reading cannot be judged; empty when it can."""
    if p.kind in (*CURRENTS, Probe.WORKING_VOLTAGE) and (p.light or 0.0) < plan.least_light:
        return (
            f"light of {p.light or 0.0:.0f} W/m2 is under {plan.least_light:.0f} W/m2: no "
            f"{p.kind.value} is judged ({LEAST_SOURCE}); test it again in more sun"
        )
    if p.light is not None and p.light < DARK:
        return (f"light of {p.light:.0f} W/m2 is under {DARK:.0f} W/m2: too dark for a voltage "
                "too; test it again by day")  # fmt: skip
    return ""


def _row(
    plan: Proving, m: ModuleModel, count: int, p: Proof, turned: bool,
    meters: list[tuple[bool, str]],
) -> Expected:  # fmt: skip
    G = UNKNOWN_LIGHT if p.light is None else p.light
    T = cell_warmth(plan, p, G)
    value = expected_value(m, p.kind, count, G, T)
    amps = p.kind in CURRENTS
    assert p.value is not None
    read = abs(p.value) if amps else -abs(p.value) if turned else p.value
    k = fall(m, G, T)
    away = np.log(G / G_RATED)
    warm = m.alpha if amps else float(
        shares.change_per_kelvin(np.asarray(m.beta), np.asarray(T))
    )  # fmt: skip
    common = np.array([
        not amps, amps, -1.0 if amps else -k, -warm, 0.0 if amps else away,
        p.kind is Probe.WORKING_VOLTAGE,
        *((amps, p.instrument.casefold()) == meter for meter in meters),
    ], dtype=float)  # fmt: skip
    return Expected(
        p, value, read / value - 1.0, _own(p, amps, k, warm),
        care.SPREAD * (1.0 if amps else count**-0.5), common,
        "" if p.light is not None else "light not written: 300 to 1000 W/m2 taken", T,
    )  # fmt: skip


def _own(p: Proof, amps: bool, k: float, warm: float) -> float:
    """Standard uncertainty of one reading alone."""
    one = np.asarray
    unknown = UNKNOWN if p.light is None else 0.0
    tracking = care.TRACKING if p.kind in WORKING else 0.0
    return float(shares.own_share(one(care.DIGIT), one(warm), one(care.GRADIENT),
                                  one(1.0 if amps else k), one(care.FLICKER), one(unknown),
                                  one(tracking)))  # fmt: skip


def covariance(r: Readings, wider: Array | None = None) -> Array:
    """(n, n) covariance of the ratios about a sound array; ``wider`` (k,) in place of spread."""
    A = np.array([x.common for x in r.rows])
    spread = r.spread if wider is None else wider
    own = np.array([x.own**2 + x.modules**2 for x in r.rows])
    return np.asarray((A * spread**2) @ A.T + np.diag(own))


def against_expected(r: Readings) -> Array:
    """(n,) standard uncertainty of each ratio, without what good modules may be off by.

    Axis: rows, then those beyond.
    """
    rows = (*r.rows, *r.beyond)
    A = np.array([x.common for x in rows]).reshape(len(rows), len(r.names))
    measuring = np.array([n not in (care.VOLTS, care.AMPERES) for n in r.names])
    own = np.array([x.own for x in rows])
    return np.sqrt(np.square(A * r.spread * measuring).sum(axis=1) + own**2)
