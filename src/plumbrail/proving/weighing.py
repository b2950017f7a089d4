"""How well a fault, or several at once, explain all readings together.

The ratios of measured to expected are taken as jointly normal: every reading has an error of its
own, and all share those of the modules' delivery, the light sensor, the thermometer and the meters.
A fault shifts the mean. So a light sensor that is off moves all currents together and points at no
string, while one string off the others stands out far below the sensor's own error.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import numpy as np

from plumbrail.notebook.proof_entries import Probe
from plumbrail.proving import faults as f
from plumbrail.proving.care import LIGHT, WARMTH
from plumbrail.proving.expecting import covariance, fall
from plumbrail.proving.parts import Array, ModuleModel, Readings, TestedString

WIDE = {"sensor": (LIGHT, 0.3), "thermometer": (WARMTH, 20.0)}
"""Standard deviation of a common error when it is what is wrong."""
NOTHING = 0.03
"""Standard deviation of what an open string still reads, as a share."""
_STEPS = 12
_SAME = 1e-9
"""Scores that differ by less are equal: the order of the explanations rounds differently."""
_PAIRS_AMONG = 8
"""Strings that stand out most, among which pairs are tried."""


@dataclass(frozen=True)
class Shift:
    """One explanation put on top of sound strings."""

    name: str
    strings: tuple[int, ...]
    log_weight: float
    move: Array
    """(n,) change of every ratio."""
    size: float | None = None
    free: tuple[int, ...] = ()
    """Rows whose reading may be anything."""
    dead: tuple[int, ...] = ()
    """Rows that read about nothing: they share no error with the others."""
    turned: tuple[int, ...] = ()
    """Rows with their sign exchanged."""


@dataclass(frozen=True)
class State:
    """A set of explanations with its score."""

    everywhere: str
    """``sensor`` or ``thermometer``; empty for none."""
    shifts: tuple[Shift, ...]
    score: float


@dataclass(frozen=True)
class Field:
    """All that is weighed: readings, covariances, and every fault of every string."""

    readings: Readings
    strings: tuple[TestedString, ...]
    rows: tuple[tuple[int, ...], ...]
    """Rows of each string."""
    ratio: Array
    wide: dict[str, Array]
    """Covariance for each common error that may be wrong; ``""``: none is."""
    shifts: tuple[tuple[Shift, ...], ...]
    """Of each string alone."""
    sound: float
    """Log weight of a string without fault."""
    roots: dict[str, Array]
    """Inverse of the Cholesky factor of each covariance."""

    def score(self, everywhere: str, shifts: tuple[Shift, ...]) -> float:
        """Log of weight times likelihood."""
        rest = self.ratio - sum((s.move for s in shifts), np.zeros(len(self.ratio)))
        turned = [i for s in shifts for i in s.turned]
        rest[turned] = -2.0 - self.ratio[turned]
        root = self._root(everywhere, shifts)
        z = root @ rest
        likely = -0.5 * float(z @ z) + float(np.log(np.diag(root)).sum())
        hit = {k for s in shifts for k in s.strings}
        own = sum(s.log_weight for s in shifts) + (len(self.strings) - len(hit)) * self.sound
        common = np.log(f.EVERYWHERE[everywhere]) if everywhere else np.log(
            1.0 - sum(f.EVERYWHERE.values())
        )  # fmt: skip
        return likely + own + float(common)

    def _root(self, everywhere: str, shifts: tuple[Shift, ...]) -> Array:
        free = [i for s in shifts for i in s.free]
        dead = [i for s in shifts for i in s.dead]
        if not free and not dead:
            return self.roots[everywhere]
        C = self.wide[everywhere].copy()
        C[free, free] += f.OTHER**2
        C[dead, :] = 0.0
        C[:, dead] = 0.0
        C[dead, dead] = NOTHING**2
        return _root_of(C)

    def state(self, everywhere: str, shifts: tuple[Shift, ...]) -> State:
        """The explanations with their score."""
        return State(everywhere, shifts, self.score(everywhere, shifts))


def field_of(m: ModuleModel, strings: tuple[TestedString, ...], r: Readings) -> Field:
    """Everything to weigh. ``r`` has at least one row."""
    names = [x.proof.place for x in r.rows]
    kept = tuple(s for s in strings if s.id in names)
    rows = tuple(tuple(i for i, n in enumerate(names) if n == s.id) for s in kept)
    wide = {"": covariance(r)}
    for key, (name, sd) in WIDE.items():
        spread = r.spread.copy()
        spread[r.names.index(name)] = sd
        wide[key] = covariance(r, spread)
    shifts = tuple(_alone(m, s, k, rows[k], r) for k, s in enumerate(kept))
    sound = float(np.log(1.0 - sum(f.WEIGHTS.values())))
    roots = {key: _root_of(C) for key, C in wide.items()}
    return Field(r, kept, rows, np.array([x.ratio for x in r.rows]), wide, shifts, sound, roots)


def _root_of(C: Array) -> Array:
    return np.asarray(np.linalg.inv(np.linalg.cholesky(C)))


def _alone(
    m: ModuleModel, s: TestedString, k: int, rows: tuple[int, ...], r: Readings
) -> tuple[Shift, ...]:
    lit = [x.proof for x in (r.rows[i] for i in rows)]
    light = next((p.light for p in lit if p.light), 800.0)
    warm = next((p.warmth for p in lit if p.warmth is not None), 298.15)
    kinds = [p.kind for p in lit]
    found = []
    for fault in f.library(s.count, m.strips, fall(m, light, warm)):
        effect = f.vector(fault.effect, kinds)
        if not effect.any() and not fault.other:
            continue  # what was measured cannot show it
        move = np.zeros(len(r.rows))
        move[list(rows)] = effect
        found.append(Shift(fault.name, (k,), float(np.log(fault.weight)), move, fault.size,
                           rows if fault.other else (), rows if fault.name == "open" else (),
                           _turned(fault.name, rows, kinds)))  # fmt: skip
    return tuple(found)


def _turned(name: str, rows: tuple[int, ...], kinds: list[Probe]) -> tuple[int, ...]:
    volts = (Probe.OPEN, Probe.WORKING_VOLTAGE)
    return tuple(i for i, k in zip(rows, kinds, strict=True) if name == "polarity" and k in volts)


def pairs(field: Field, everywhere: str) -> tuple[Shift, ...]:
    """Faults of two strings at once, among those that stand out most."""
    own = np.sqrt(np.diag(field.wide[everywhere]))
    stands = [max(abs(field.ratio[i] / own[i]) for i in rows) for rows in field.rows]
    order = sorted(np.argsort(stands)[::-1][:_PAIRS_AMONG].tolist())
    found: list[Shift] = []
    for a, b in combinations(order, 2):
        found += _pair(field, a, b)
    return tuple(found)


def _pair(field: Field, a: int, b: int) -> list[Shift]:
    n, m = field.strings[a].count, field.strings[b].count
    effects: list[tuple[str, float, float, float]] = [
        ("crossed", -1.0, -1.0, -1.0),
        ("wrong string", -1.0 / n, 1.0 / m, 0.0), ("wrong string", 1.0 / n, -1.0 / m, 0.0),
        ("swapped", m / n - 1.0, n / m - 1.0, 0.0),
    ]  # fmt: skip
    found = []
    for name, first, second, amps in effects:
        move = np.zeros(len(field.ratio))
        for k, volts in ((a, first), (b, second)):
            for i in field.rows[k]:
                kind = field.readings.rows[i].proof.kind
                move[i] = volts if kind in (Probe.OPEN, Probe.WORKING_VOLTAGE) else amps
        if move.any():  # what was measured can show it; strings of one length exchanged it cannot
            weight = float(np.log(f.PAIRED[name] / (2 if name == "wrong string" else 1)))
            dead = (*field.rows[a], *field.rows[b]) if name == "crossed" else ()
            found.append(Shift(name, (a, b), weight, move, dead=dead))
    return found


def best(field: Field) -> State:
    """The explanations with the highest score, found by adding one at a time.

    What was added first also made up for what came later: each is looked at again after every step.
    """
    ends = [_grown(field, everywhere) for everywhere in field.wide]
    return max(ends, key=lambda s: s.score)


def _grown(field: Field, everywhere: str) -> State:
    now = field.state(everywhere, ())
    both = pairs(field, everywhere)
    for _ in range(_STEPS):
        hit = {k for s in now.shifts for k in s.strings}
        tries = [s for own in field.shifts for s in own if not hit & set(s.strings)]
        tries += [s for s in both if not hit & set(s.strings)]
        better = max((field.state(everywhere, (*now.shifts, s)) for s in tries),
                     key=lambda s: s.score, default=now)  # fmt: skip
        if better.score <= now.score:
            break
        now = _settled(field, better, both) if now.shifts else better  # alone it is the likeliest
    return now


def _settled(field: Field, now: State, both: tuple[Shift, ...]) -> State:
    """Each explanation exchanged for the likeliest of its strings, or for none, until all stay."""
    while True:
        tries = [now]
        for i, one in enumerate(now.shifts):
            same = field.shifts[one.strings[0]] if len(one.strings) == 1 else tuple(
                s for s in both if s.strings == one.strings)  # fmt: skip
            before, behind = now.shifts[:i], now.shifts[i + 1 :]
            tries.append(field.state(now.everywhere, before + behind))
            tries += [field.state(now.everywhere, (*before, s, *behind)) for s in same]
        better = max(tries, key=lambda s: s.score)
        if better.score <= now.score + _SAME:
            return now
        now = better


def rivals(field: Field, top: State, strings: tuple[int, ...]) -> list[State]:
    """Every other explanation of the same strings, the rest of ``top`` kept."""
    rest = tuple(s for s in top.shifts if not set(s.strings) & set(strings))
    found = []
    for everywhere in field.wide:
        found.append(field.state(everywhere, rest))
        if everywhere != top.everywhere:
            continue
        for k in strings:
            found += [field.state(everywhere, (*rest, s)) for s in field.shifts[k]]
        hit = {k for s in rest for k in s.strings}
        found += [field.state(everywhere, (*rest, s)) for s in pairs(field, everywhere)
                  if set(s.strings) & set(strings) and not hit & set(s.strings)]  # fmt: skip
    if len(strings) == 2:  # each by itself, the first one again once the second is explained
        a = _top_of(field, top, rest, strings[0])
        b = _top_of(field, top, (*rest, a), strings[1])
        a = _top_of(field, top, (*rest, b), strings[0])
        found.append(field.state(top.everywhere, (*rest, a, b)))
    return found


def _top_of(field: Field, top: State, rest: tuple[Shift, ...], k: int) -> Shift:
    return max(field.shifts[k], key=lambda s: field.score(top.everywhere, (*rest, s)))


def separation(field: Field, k: int) -> float:
    """How many standard deviations one missing module of string ``k`` would stand out by."""
    shift = next((s for s in field.shifts[k] if s.name == "missing"), None)
    if shift is None:
        return 0.0
    return float(np.sqrt(shift.move @ np.linalg.solve(field.wide[""], shift.move)))
