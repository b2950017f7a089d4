"""The steps behind a verdict: what was read, what it is held against, and every uncertainty."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from plumbrail.errors import RecordError
from plumbrail.notebook.proof_entries import CURRENTS, Probe
from plumbrail.proving import shares
from plumbrail.proving.judging import WORD, comparisons
from plumbrail.proving.parts import Judged, Outcome
from plumbrail.proving.record_steps import (
    confidence,
    expectation,
    expected,
    read,
    share,
    used,
)
from plumbrail.proving.records_other import OTHERS
from plumbrail.proving.run import Proved, doubted_of
from plumbrail.trace import Certainty, Record, given, recording

_KINDS = {word: kind for kind, word in WORD.items()}
_CLOSE = 1e-9
ON_THE_SHEET = (800.0, 318.15)
"""Light [W/m2] and warmth of the cells [K] at which a test not made is explained."""


def record_of(p: Proved, j: Judged) -> Record | None:
    """The steps of a verdict; None for one that rests on words alone.

    Raises RecordError when the steps do not give the numbers of the verdict.
    """
    word = j.id.rpartition(".")[2]
    run = _runner(p, j, word)
    if run is None:
        return None
    with recording() as record:
        run()
    wrong = [s.provision.name for s in record.steps if not s.holds(_CLOSE)]
    if wrong:
        raise RecordError(f"{j.id}: the printed formula does not give the value of {wrong}")
    return record if record.steps else None


def has_steps(j: Judged) -> bool:
    """Whether numbers stand behind the verdict."""
    word = j.id.rpartition(".")[2]
    if word == "pattern" and j.outcome is Outcome.UNMEASURED:
        return False
    return word in OTHERS or word.removesuffix("-alike") in _KINDS


def _runner(p: Proved, j: Judged, word: str) -> Callable[[], object] | None:
    if word in _KINDS:
        return lambda: _reading(p, j, _KINDS[word])
    if word.removesuffix("-alike") in _KINDS:
        return lambda: _alike(p, j, _KINDS[word.removesuffix("-alike")])
    other = OTHERS.get(word)
    return None if other is None else lambda: other(p, j)


def _reading(p: Proved, j: Judged, kind: Probe) -> None:
    """A voltage or current: expected, off by, give or take, allowed, used up."""
    rows = (*p.readings.rows, *p.readings.beyond)
    row = next((x for x in rows if x.proof.place == j.subject and x.proof.kind is kind), None)
    count = next(s.count for s in p.subject.strings if s.id == j.subject)
    if row is None:
        G, T = (given("taken for the sheet, as nothing was measured", name, value,
                      Certainty.PRACTICE, words)
                for name, value, words in (("G [W/m**2]", ON_THE_SHEET[0], "light"),
                                           ("T [K]", ON_THE_SHEET[1], "cells, 45 °C")))  # fmt: skip
        expected(p, kind, count, G, T)
        return
    e = expectation(p, row, count)
    U = shares.either_side(confidence(p), e.standard)
    if j.uncertainty is None or not np.isclose(U * row.value, j.uncertainty, rtol=_CLOSE):
        raise RecordError(f"{j.id}: its steps give an uncertainty of {U * row.value}")
    limit, name = (
        (p.subject.rules.current_limit, "current_limit") if kind in CURRENTS
        else (p.subject.rules.voltage_limit, "voltage_limit")
    )  # fmt: skip
    A = share(p, name, "A [-]", limit)
    ends = ((shares.lowest_current, shares.highest_current) if kind in CURRENTS
            else (shares.lowest_voltage, shares.highest_voltage))  # fmt: skip
    for end in ends:
        end(e.value, A, U)
    used(e.off, U, A)


def _alike(p: Proved, j: Judged, kind: Probe) -> None:
    """A string beside the others."""
    r = p.readings
    every = comparisons(r, p.subject.strings, kind, doubted_of(p.suspicions))
    c = next(x for x in every if r.rows[x.row].proof.place == j.subject)
    x = r.rows[c.row]
    names = ", ".join(r.rows[k].proof.place for k in c.others)
    words = f"its share off the expected value; steps: {j.subject}.{WORD[kind]}"
    own = given(read(x.proof), "d_s [-]", x.ratio, Certainty.DERIVED, words)
    middle = given(f"tests of {names}", "d_m [-]", c.middle, Certainty.DERIVED,
                   "middle of the shares of the others")  # fmt: skip
    sure = Certainty.PRACTICE
    o = given("repeats, light, warmth at its own moment", "o [-]", x.own, sure)
    o_m = given("the same of the others, their mean", "o_m [-]", c.own, sure)
    n = given("strings compared with", "n [-]", float(len(c.others)), Certainty.DERIVED)
    off = shares.off_the_others(own, middle)
    U = shares.either_side(confidence(p), shares.share_of_two(o, o_m, n))
    used(off, U, share(p, "alike", "A [-]", p.subject.rules.alike))
