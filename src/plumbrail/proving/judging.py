"""Pass, fail or too uncertain to say: a value, its limits and its uncertainty."""

from __future__ import annotations

from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from numpy.typing import ArrayLike

from plumbrail.notebook.proof_entries import CURRENTS, Probe
from plumbrail.plan.proving import Proving
from plumbrail.proving import shares
from plumbrail.proving.expecting import MOST, against_expected
from plumbrail.proving.parts import Array, Expected, Judged, Outcome, Readings, TestedString
from plumbrail.trace import Certainty

TITLES = {
    Probe.OPEN: "open-circuit voltage", Probe.SHORT: "short-circuit current",
    Probe.WORKING_CURRENT: "operating current", Probe.WORKING_VOLTAGE: "operating voltage",
}  # fmt: skip
WORD = {
    Probe.OPEN: "voltage", Probe.SHORT: "current", Probe.WORKING_CURRENT: "working-current",
    Probe.WORKING_VOLTAGE: "working-voltage",
}  # fmt: skip
_ALIKE = "IEC 62446-1, strings alike within 5 %"
_CODES = (Outcome.PASS, Outcome.UNSURE, Outcome.FAIL)


def factor(confidence: float) -> float:
    """Standard uncertainties on either side that hold a share of all errors."""
    return NormalDist().inv_cdf(0.5 * (1.0 + confidence))


def outcomes(off: ArrayLike, uncertainty: ArrayLike, limit: ArrayLike) -> list[Outcome]:
    """Inside with all of the uncertainty: pass; outside with all of it: fail; else unsure."""
    d, U, L = np.broadcast_arrays(np.abs(off), uncertainty, limit)
    code = np.where(d + U <= L, 0, np.where(d - U > L, 2, 1))
    return [_CODES[int(c)] for c in np.atleast_1d(code)]


def limit_of(plan: Proving, kind: Probe) -> float:
    """Most that a reading may lie off its expected value, a share."""
    return plan.current_limit if kind in CURRENTS else plan.voltage_limit


def against(plan: Proving, r: Readings) -> tuple[Judged, ...]:
    """Every reading of a string against its expected value."""
    rows = (*r.rows, *r.beyond)
    if not rows:
        return ()
    wide = spread_of(plan, r)
    limits = np.array([limit_of(plan, x.proof.kind) for x in rows])
    found = outcomes([x.ratio for x in rows], wide, limits)
    return tuple(_judged(x, found[i], float(wide[i]), float(limits[i]))
                 for i, x in enumerate(rows))  # fmt: skip


def _judged(x: Expected, outcome: Outcome, U: float, L: float) -> Judged:
    unit = "A" if x.proof.kind in CURRENTS else "V"
    room = max(L - U, 0.0)
    read = x.value * (1.0 + x.ratio)
    words = (f"{read:.4g} {unit} read, {x.value:.4g} {unit} expected: {100 * x.ratio:+.1f} %, give "
             f"or take {100 * U:.1f} %, {100 * L:.0f} % allowed")  # fmt: skip
    if room == 0.0:
        words += "; the meters are too uncertain for a pass by themselves"
    if x.ratio > MOST:
        words += ("; that is more than any fault of one string gives: a slip of number or unit, "
                  "several strings in one, or other light than was written")  # fmt: skip
    elif x.proof.kind is Probe.WORKING_CURRENT and x.ratio < -L:
        words += "; or the equipment held it back: a full battery, a limit, still starting"
    words += f"; {x.words}" if x.words else ""
    source = "IEC 62446-1" if unit == "V" else "common practice"
    return Judged(
        f"{x.proof.place}.{WORD[x.proof.kind]}", x.proof.place, TITLES[x.proof.kind], outcome,
        words, read, x.value, x.value * (1 - room) if room else None,
        x.value * (1 + room) if room else None, x.value * U, unit, x.proof.line, source,
        Certainty.SECOND_HAND if unit == "V" else Certainty.PRACTICE, light=x.proof.light,
        warmth=x.warmth,
    )  # fmt: skip


def alike(
    plan: Proving, r: Readings, strings: tuple[TestedString, ...], doubted: frozenset[str]
) -> tuple[Judged, ...]:
    """Strings of as many modules against each other, each brought to the same conditions.

    ``doubted`` strings are compared with the others, never the others with them.
    """
    return tuple(
        _alike(plan, r, c) for kind in TITLES for c in comparisons(r, strings, kind, doubted)
    )


@dataclass(frozen=True)
class Comparison:
    """One string beside others alike, each against its own expected value."""

    row: int
    others: tuple[int, ...]
    """Rows of the others."""
    middle: float
    """Median of their ratios: measured over expected, less 1."""
    own: float
    """Mean of their own standard uncertainties."""


def comparisons(
    r: Readings, strings: tuple[TestedString, ...], kind: Probe, doubted: frozenset[str]
) -> list[Comparison]:
    """Every string that has others alike, by kind; currents of strings of any length are alike."""
    rows = [i for s in strings if (i := r.of(s.id, kind)) is not None]
    counts = {s.id: 0 if kind in CURRENTS else s.count for s in strings}
    found = []
    for n in sorted(set(counts.values())):
        group = [i for i in rows if counts[r.rows[i].proof.place] == n]
        good = [i for i in group if r.rows[i].proof.place not in doubted]
        found += [_beside(r, i, tuple(k for k in good if k != i)) for i in group
                  if set(good) - {i}]  # fmt: skip
    return found


def _beside(r: Readings, i: int, rest: tuple[int, ...]) -> Comparison:
    return Comparison(i, rest, float(np.median([r.rows[k].ratio for k in rest])),
                      float(np.mean([r.rows[k].own for k in rest])))  # fmt: skip


def _alike(plan: Proving, r: Readings, c: Comparison) -> Judged:
    x, limit = r.rows[c.row], plan.alike
    one = np.asarray
    off = float(shares.off_the_others(one(x.ratio), one(c.middle))) if c.middle > -1.0 else np.inf
    U = factor(plan.confidence) * float(
        shares.share_of_two(one(x.own), one(c.own), one(float(len(c.others))))
    )
    (outcome,) = outcomes(off, U, limit)
    share = f"{100 * off:+.1f} %" if np.isfinite(off) else "far"
    words = (f"{share} off the middle of {len(c.others)} other, all at the same light and warmth, "
             f"give or take {100 * U:.1f} %, {100 * limit:.0f} % allowed")  # fmt: skip
    kind = x.proof.kind
    volts = kind not in CURRENTS
    return Judged(
        f"{x.proof.place}.{WORD[kind]}-alike", x.proof.place, f"{TITLES[kind]}, strings alike",
        outcome, words, line=x.proof.line, source=_ALIKE,
        certainty=Certainty.CONFIRMED if volts else Certainty.MEMORY,
    )  # fmt: skip


def spread_of(plan: Proving, r: Readings) -> Array:
    """(n,) uncertainty of each row, those beyond last, at the confidence of the plan."""
    return factor(plan.confidence) * against_expected(r)
