"""What may be wrong, the likeliest first, and what would tell the likeliest apart."""

from __future__ import annotations

from collections import defaultdict

import numpy as np

from plumbrail.notebook.proof_entries import Probe
from plumbrail.proving import faults as f
from plumbrail.proving.parts import (
    Candidate,
    ModuleModel,
    Outcome,
    Readings,
    Suspicion,
    TestedString,
)
from plumbrail.proving.weighing import Field, State, best, field_of, rivals, separation

SUSPECT = 0.5
"""Probability of a sound string under which it is suspected."""
SURE = 0.1
"""Under which it fails."""
SEEN = 3.29
"""Standard deviations at which one fault in twenty, and one sound string in twenty, are missed."""
_SHOWN = 0.03
_APART = 0.95
_MOST = 5
_ASK = {
    Probe.OPEN: "the open-circuit voltage", Probe.SHORT: "the short-circuit current",
    Probe.WORKING_VOLTAGE: "the operating voltage",
    Probe.WORKING_CURRENT: "the operating current",
}  # fmt: skip


def suspicions(
    m: ModuleModel, strings: tuple[TestedString, ...], r: Readings
) -> tuple[tuple[Suspicion, ...], dict[str, float]]:
    """What is suspected, and for each string by how much a missing module would stand out."""
    if not r.rows:
        return (), {}
    field = field_of(m, strings, r)
    top = best(field)
    found = [_of_strings(m, field, top, s.strings) for s in top.shifts]
    if top.everywhere:
        found.insert(0, _everywhere(field, top))
    power = {s.id: separation(field, k) for k, s in enumerate(field.strings)}
    return tuple(s for s in found if s.sound < SUSPECT), power


def _of_strings(
    m: ModuleModel, field: Field, top: State, strings: tuple[int, ...]
) -> Suspicion:  # fmt: skip
    states = rivals(field, top, strings)
    chance = _chances([s.score for s in states])
    ids = tuple(field.strings[k].id for k in strings)
    summed: dict[tuple[str, tuple[str, ...]], float] = defaultdict(float)
    sizes: dict[tuple[str, tuple[str, ...]], tuple[float, float | None]] = {}
    sound = 0.0
    for state, p in zip(states, chance, strict=True):
        mine = [s for s in state.shifts if set(s.strings) & set(strings)]
        if not mine and state.everywhere == top.everywhere:
            sound += p
            continue
        name = mine[0].name if mine else state.everywhere or "healthy"
        who = tuple(field.strings[k].id for s in mine for k in s.strings) if mine else ()
        summed[name, who] += p
        if p >= sizes.get((name, who), (-1.0, None))[0]:
            sizes[name, who] = p, mine[0].size if mine else None
    ranked = sorted(summed.items(), key=lambda item: -item[1])
    kept = [item for item in ranked if item[1] >= _SHOWN][:_MOST]
    found = tuple(_candidate(name, who, p, sizes[name, who][1]) for (name, who), p in kept)
    return Suspicion(ids, sound, found, _evidence(field, strings), _apart(m, field, found, strings))


def _everywhere(field: Field, top: State) -> Suspicion:
    plain = max(
        (field.state("", ()), field.state("", top.shifts)), key=lambda s: s.score
    )  # fmt: skip
    states = [plain, *(field.state(name, top.shifts) for name in f.EVERYWHERE)]
    chance = _chances([s.score for s in states])
    found = [_candidate(name, (), p, None)
             for name, p in zip(f.EVERYWHERE, chance[1:], strict=True) if p >= _SHOWN]  # fmt: skip
    found.sort(key=lambda c: -c.probability)
    rows = tuple(range(len(field.strings)))
    apart = "" if found and found[0].probability >= _APART else (
        "cannot tell these apart: measure light and warmth again with other meters"
    )  # fmt: skip
    return Suspicion((), chance[0], tuple(found), _evidence(field, rows)[:_MOST], apart)


def _chances(scores: list[float]) -> list[float]:
    weight = np.exp(np.array(scores) - max(scores))
    return [float(p) for p in weight / weight.sum()]


def _candidate(name: str, who: tuple[str, ...], p: float, size: float | None) -> Candidate:
    return Candidate(name, who, p, f.WORDS[name].format(strings=_list(who)), f.CHECKS[name], size)


def _list(names: tuple[str, ...]) -> str:
    return " and ".join(filter(None, [", ".join(names[:-1]), *names[-1:]]))


def _evidence(field: Field, strings: tuple[int, ...]) -> tuple[str, ...]:
    """The readings of the strings in words, furthest off first."""
    rows = [i for k in strings for i in field.rows[k]]
    own = np.sqrt(np.diag(field.wide[""]))
    rows.sort(key=lambda i: -abs(field.ratio[i]) / own[i])
    return tuple(
        f"{field.readings.rows[i].proof.place}: {field.readings.rows[i].proof.kind.value} "
        f"{100 * field.ratio[i]:+.1f} % (line {field.readings.rows[i].proof.line})"
        for i in rows
    )


def _apart(
    m: ModuleModel, field: Field, found: tuple[Candidate, ...], strings: tuple[int, ...]
) -> str:
    """What to measure so that the likeliest two part; empty when one is sure."""
    if len(found) < 2 or found[0].probability >= _APART * sum(c.probability for c in found):
        return ""
    k = strings[0]
    have = {field.readings.rows[i].proof.kind for i in field.rows[k]}
    lib = {x.name: x for x in f.library(field.strings[k].count, m.strips, 0.04)}
    one, two = (lib.get(c.fault) for c in found[:2])
    for kind, words in _ASK.items():
        if kind in have or one is None or two is None:
            continue
        if abs(one.effect.get(kind, 0.0) - two.effect.get(kind, 0.0)) > 0.03:
            return f"cannot tell these apart: measure {words} of the string too"
    return f"cannot tell these apart: {found[0].check}; and {found[1].check}"


def outcome_of(sound: float, power: float) -> Outcome:
    """Of the pattern of one string."""
    if sound < SURE:
        return Outcome.FAIL
    return Outcome.UNSURE if sound < SUSPECT or power < SEEN else Outcome.PASS
