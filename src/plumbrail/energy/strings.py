"""Strings whose modules do not all get the same light.

A strip of cells is guarded by a bypass diode. A string carries one current: strips whose light does
not reach for it are bypassed. Its power is therefore looked for over currents: those at which each
level of light in it is at its best, then finer about the best of them. Strings side by side on one
input share a voltage, which is looked for in the same way.

The two halves of a strip of half cells lie side by side under one bypass diode. Light current and
shunt add up in them, so the strip acts as one under the mean light of its halves; only the voltage
lost in the series resistance differs.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.energy.diode import Curve, Diode, best_point

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
BYPASS = 0.5
"""Voltage lost in a bypass diode that carries the string's current [V]; common practice."""
_LEVELS = 12
"""Levels of light looked at in one string."""
_FINER = np.array([0.985, 0.9925, 1.0075, 1.015, 1.03])
_BETWEEN = np.array([0.25, 0.5, 0.75])
_CLOSER = np.array([0.4, 0.8])
_SPREAD = np.linspace(-0.25, 1.25, 13)
_NARROW = 8
_CHUNK = 200_000
"""Numbers worked on at once, so that they stay close to the processor."""


@dataclass(frozen=True)
class StringYear:
    """Best power and its current of each string. Axes: string, hour."""

    power: Array
    current: Array


@dataclass(frozen=True)
class _Samples:
    """Points of the curve of one string: (hours, points), by falling current."""

    current: Array
    voltage: Array
    under: Curve
    strips: int


def string_power(
    diode: Diode, strips: int, light: Array, warmth: Array, string: IntArray, count: int
) -> StringYear:
    """Each string at its own best point.

    ``light`` (hours, strips of all modules) [W/m2], ``warmth`` (hours,) [K], ``string`` (strips of
    all modules,) index of the string or -1; ``strips`` of one module.
    """
    found = [_curve(diode, strips, light[:, string == s], warmth) for s in range(count)]
    best = [_best(c) for c in found]
    return StringYear(
        np.array([c.voltage[_rows(c), b] * c.current[_rows(c), b]
                  for c, b in zip(found, best, strict=True)]),
        np.array([c.current[_rows(c), b] for c, b in zip(found, best, strict=True)]),
    )  # fmt: skip


def shared_power(
    diode: Diode, strips: int, light: Array, warmth: Array, string: IntArray, group: IntArray
) -> StringYear:
    """As :func:`string_power`, but the strings of one ``group`` share the voltage of its best.

    ``group`` (strings,) index of the input each string feeds. No string pushes current back into
    another: above its open voltage it gives nothing.
    """
    found = [
        _curve(diode, strips, light[:, string == s], warmth, whole=True) for s in range(len(group))
    ]
    power, current = np.zeros((2, len(group), len(warmth)))
    for g in np.unique(group):
        members = np.flatnonzero(group == g)
        own = [found[s] for s in members]
        volts = _common_voltage(own)
        for s, curve in zip(members, own, strict=True):
            current[s] = _solved_current(curve, volts)
            power[s] = volts * current[s]
    return StringYear(power, current)


def _rows(samples: _Samples) -> IntArray:
    return np.arange(len(samples.current))


def _best(samples: _Samples) -> IntArray:
    return np.argmax(samples.current * samples.voltage, axis=1)


def _curve(diode: Diode, strips: int, light: Array, warmth: Array, whole: bool = False) -> _Samples:
    """Points of one string's curve where its power may be best.

    ``whole`` adds those between which the rest of the curve is nearly straight: where a level of
    light gives all its current, and just beyond, where its strips are bypassed.
    """
    under = diode.under(light, warmth[:, None])
    at_best = best_point(under).current
    order = np.argsort(-at_best, axis=1)
    pick = np.unique(np.linspace(0, order.shape[1] - 1, _LEVELS).round().astype(int))
    coarse = np.take_along_axis(at_best, order[:, pick], axis=1)
    found = _Samples(coarse, _voltage(under, strips, coarse), under, strips)
    middle = _near_best(found, 0)
    more = [middle * _FINER, *_between(found, _BETWEEN)]
    if whole:
        full = np.take_along_axis(under.I_L, order[:, pick], axis=1)
        more += [0.9 * coarse, 0.5 * (coarse + full), full, np.zeros_like(middle)]
    found = _joined(found, more)
    return _joined(found, _between(found, _CLOSER))


def _near_best(samples: _Samples, step: int) -> Array:
    """(hours, 1) current of the point that many places after the best."""
    place = np.clip(_best(samples)[:, None] + step, 0, samples.current.shape[1] - 1)
    return np.take_along_axis(samples.current, place, axis=1)


def _between(samples: _Samples, shares: Array) -> list[Array]:
    """Currents between the best point and either neighbour, at these shares of the way to it."""
    middle = _near_best(samples, 0)
    return [end + (middle - end) * shares for end in (_near_best(samples, k) for k in (-1, 1))]


def _joined(samples: _Samples, more: list[Array]) -> _Samples:
    """With points at more currents (hours, n), by falling current."""
    extra = np.concatenate(more, axis=1)
    current = np.concatenate([samples.current, extra], axis=1)
    volts = _voltage(samples.under, samples.strips, extra)
    voltage = np.concatenate([samples.voltage, volts], axis=1)
    order = np.argsort(-current, axis=1, kind="stable")
    return _Samples(
        np.take_along_axis(current, order, axis=1), np.take_along_axis(voltage, order, axis=1),
        samples.under, samples.strips,
    )  # fmt: skip


def _voltage(under: Curve, strips: int, current: Array) -> Array:
    """(hours, points) voltage of the string at these currents, bypassed strips included."""
    found = np.empty_like(current)
    width = under.I_L.shape[1] * current.shape[1]
    step = max(1, _CHUNK // max(1, width))
    for start in range(0, len(current), step):
        part = slice(start, start + step)
        some = Curve(under.I_L[part, None, :], under.I_0[part, None, :], under.a[part, None, :],
                     under.G_sh[part, None, :], under.R_s)  # fmt: skip
        each = some.voltage(current[part, :, None]) / strips
        found[part] = np.maximum(each, -BYPASS).sum(axis=2)
    return np.maximum(found, 0.0)


def _common_voltage(curves: list[_Samples]) -> Array:
    """(hours,) voltage at which the strings together give most."""
    own = np.stack([c.voltage[_rows(c), _best(c)] for c in curves], axis=1)
    spread = np.quantile(own, [0.0, 1.0], axis=1).T @ np.array([1.0 - _SPREAD, _SPREAD])
    tries = np.concatenate([own, own * 0.98, spread], axis=1)
    total = np.zeros_like(tries)
    for k in range(tries.shape[1]):
        total[:, k] = tries[:, k] * sum(_current_at(c, tries[:, k]) for c in curves)
    pick = np.argmax(total, axis=1)[:, None]
    return np.take_along_axis(tries, pick, axis=1)[:, 0]


@dataclass(frozen=True)
class _Bracket:
    """Neighbouring points of a curve about a voltage; (hours,) each."""

    V0: Array
    V1: Array
    I0: Array
    I1: Array
    above: NDArray[np.bool_]
    """The voltage is above the open voltage."""

    def straight(self, volts: Array) -> Array:
        """Current on the chord."""
        wide = self.V1 > self.V0
        share = np.clip((volts - self.V0) / np.where(wide, self.V1 - self.V0, 1.0), 0.0, 1.0)
        chord = np.where(wide, self.I0 + share * (self.I1 - self.I0), self.I1)
        return np.where(self.above, 0.0, chord)


def _bracket(curve: _Samples, volts: Array) -> _Bracket:
    last = curve.voltage.shape[1] - 1
    below = (curve.voltage < volts[:, None]).sum(axis=1)  # voltage rises along the row
    high = np.minimum(below, last)[:, None]
    low = np.maximum(high - 1, 0)

    def at(values: Array, index: IntArray) -> Array:
        return np.take_along_axis(values, index, axis=1)[:, 0]

    return _Bracket(at(curve.voltage, low), at(curve.voltage, high), at(curve.current, low),
                    at(curve.current, high), below > last)  # fmt: skip


def _current_at(curve: _Samples, volts: Array) -> Array:
    """(hours,) current of a string at a voltage, straight between the points of its curve."""
    return _bracket(curve, volts).straight(volts)


def _solved_current(curve: _Samples, volts: Array) -> Array:
    """As :func:`_current_at`, narrowed down on the curve itself; never too high."""
    b = _bracket(curve, volts)
    for step in range(_NARROW):
        middle = b.straight(volts) if step % 2 else 0.5 * (b.I0 + b.I1)
        V = _voltage(curve.under, curve.strips, middle[:, None])[:, 0]
        more = volts > V  # too much current
        b = _Bracket(
            np.where(more, V, b.V0), np.where(more, b.V1, V),
            np.where(more, middle, b.I0), np.where(more, b.I1, middle), b.above,
        )  # fmt: skip
    return np.where(b.above, 0.0, b.I1)
