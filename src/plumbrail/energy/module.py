"""A module's diode from the values on its data sheet."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

import numpy as np
from scipy.optimize import least_squares

from plumbrail.energy.diode import (
    BOLTZMANN,
    CHARGE,
    RATED_LIGHT,
    RATED_WARMTH,
    Diode,
    best_point,
)
from plumbrail.errors import PlanError, Problem
from plumbrail.plan.models import Module
from plumbrail.trace import Array

NEEDED = {
    "pmax": "the rated power",
    "voc": "the open-circuit voltage", "isc": "the short-circuit current",
    "vmp": "the voltage at rated power", "imp": "the current at rated power",
    "voc_coefficient": "the temperature coefficient of the open-circuit voltage",
    "isc_coefficient": "the temperature coefficient of the short-circuit current",
    "pmax_coefficient": "the temperature coefficient of the rated power",
    "cells": "the number of cells in series; of a module cut in two halves, of one half",
}  # fmt: skip
CLOSE = 1e-3
"""How well the diode must meet each nameplate value."""
SHORT = 0.025
"""How far it may miss isc alone where no diode meets all four values. About one sheet in five asks
for more squareness than its own isc leaves room for; voltage and current at the best power count
for the yield, isc does not."""
_TIGHT = 1e3
"""Shunt in such a case, in units of voc/isc: as good as none."""
ROUNDING = 5e-3
"""How far pmax may stand from vmp times imp: each is rounded by itself."""
SLOPE = 0.02
"""How well it must meet the coefficient of power, as a share of it."""
COLD, WARM = 263.15, 323.15
"""-10 and 50 °C: the mean slope of power between them is held against the data sheet's [K]."""
_ENOUGH = 1e-8
"""Sum of squares of what is missed, above which the sheet is not met."""
_MET = 1e-16
"""Half that sum at which no other start is tried."""
_BIT = 2.0
"""Warming by which the coefficient of voltage is applied [K]."""


@dataclass(frozen=True)
class FittedModule:
    """A module's diode and what of the data sheet goes with it."""

    diode: Diode
    rated: float
    """[W]"""
    imp: float
    """[A]"""
    strips: int
    """Strips of cells in series, each with a bypass diode."""
    halves: int
    adjust: float
    """By this share the coefficients of voltage and current were adjusted for that of power."""
    short: float
    """By this share the diode's short-circuit current is above that of the sheet; mostly 0."""


def fitted(module: Module) -> FittedModule:
    """The single diode that meets the data sheet of ``module``.

    Raises PlanError that names the missing fields, or the values that contradict each other.
    """
    sheet = _Sheet(module)
    x = sheet.solve()
    if np.square(sheet.misses(x)).sum() > _ENOUGH:
        x = sheet.solve(tight=True)
    diode = sheet.diode(x)
    sheet.prove(diode)
    return FittedModule(diode, sheet.pmax, sheet.imp, module.bypass, module.halves,
                        float(x[3]), float(x[4]))  # fmt: skip


def _refuse(fields: tuple[str, ...], words: str) -> PlanError:
    return PlanError([Problem(f"module.{', '.join(fields)}", words)])


class _Sheet:
    """Data sheet values, all there and in order, and the equations they make."""

    def __init__(self, module: Module) -> None:
        gone = [name for name in NEEDED if getattr(module, name) is None]
        if gone:
            raise PlanError([
                Problem(f"module.{name}", f"the yield needs {NEEDED[name]}; it stands on the "
                        "module's data sheet, at standard test conditions")
                for name in gone
            ])  # fmt: skip
        self.pmax, self.voc, self.isc, self.vmp, self.imp, beta, alpha, gamma, self.cells = (
            float(getattr(module, name)) for name in NEEDED
        )
        self.beta, self.alpha, self.gamma = beta * self.voc, alpha * self.isc, gamma
        self._sane(beta)

    def _sane(self, beta: float) -> None:
        if not self.vmp < self.voc:
            raise _refuse(("vmp", "voc"), "vmp must be lower than voc; are they swapped?")
        if not self.imp < self.isc:
            raise _refuse(("imp", "isc"), "imp must be lower than isc; are they swapped?")
        if abs(self.vmp * self.imp / self.pmax - 1.0) > ROUNDING:
            raise _refuse(
                ("pmax", "vmp", "imp"),
                f"vmp times imp is {self.vmp * self.imp:.4g} W and pmax {self.pmax:.4g} W; they "
                f"may differ by {100 * ROUNDING:g} % of rounding: read them again",
            )
        if not (self.gamma < 0.0 and beta < 0.0):
            raise _refuse(
                ("pmax_coefficient", "voc_coefficient"),
                "power and voltage fall as a module warms: write them with a minus",
            )

    def solve(self, tight: bool = False) -> Array:
        """ln a, ln R_s, ln R_sh, adjustment, excess of isc: the best of several starts.

        ``tight`` frees isc in place of the shunt.
        """
        thermal = BOLTZMANN * RATED_WARMTH / CHARGE * self.cells
        ohm = self.voc / self.isc
        third = (0.0, 4.0 * SHORT) if tight else (np.log(5.0 * ohm), np.log(1e6 * ohm))
        low = (np.log(0.4 * thermal), np.log(1e-6 * ohm), third[0], -0.9)
        high = (np.log(3.0 * thermal), np.log(0.5 * ohm), third[1], 0.9)

        def whole(x: Array) -> Array:
            if tight:
                return np.array([x[0], x[1], np.log(_TIGHT * ohm), x[3], x[2]])
            return np.append(x, 0.0)

        def miss(x: Array) -> Array:
            return self.misses(whole(x))

        best = None
        for n, series, shunt in product((1.0, 1.3), (0.02, 0.004), (40.0, 400.0)):
            start = [np.log(n * thermal), np.log(series * ohm), np.log(shunt * ohm), 0.0]
            start[2] = 0.5 * SHORT if tight else start[2]
            found = least_squares(miss, start, bounds=(low, high), xtol=1e-14, ftol=1e-14,
                                  gtol=1e-14, max_nfev=100)  # fmt: skip
            if best is None or found.cost < best.cost:
                best = found
            if best.cost < _MET:
                break
        assert best is not None
        return whole(best.x)

    def diode(self, x: Array) -> Diode:
        """The diode that meets isc (1 + x_4) and voc with ln a, ln R_s, ln R_sh, adjustment."""
        a, series, shunt = np.exp(x[:3])
        isc = self.isc * (1.0 + x[4])
        short = np.expm1(isc * series / a)
        opened = np.expm1(self.voc / a)
        saturation = (isc * (1.0 + series / shunt) - self.voc / shunt) / (opened - short)
        light = saturation * opened + self.voc / shunt
        return Diode(float(light), float(saturation), float(series), float(shunt), float(a),
                     self.alpha * (1.0 - float(x[3])))  # fmt: skip

    def misses(self, x: Array) -> Array:
        """What the other four equations lack: point and top of power, both coefficients."""
        d = self.diode(x)
        if d.saturation <= 0.0:
            return np.full(4, 1e3 * (1.0 - 1e3 * d.saturation))  # away from here
        across = self.vmp + self.imp * d.series
        e = d.saturation * np.exp(across / d.ideality)
        current = d.light - e + d.saturation - across / d.shunt
        g = e / d.ideality + 1.0 / d.shunt
        top = g / (1.0 + g * d.series) * self.vmp / self.imp
        return np.array([
            current / self.imp - 1.0,
            top - 1.0,
            0.1 * (self._warmer_voltage(d, float(x[3])) / self.beta - 1.0),
            0.1 * (slope(d) / self.gamma - 1.0),
        ])  # fmt: skip

    def _warmer_voltage(self, d: Diode, adjust: float) -> float:
        """Coefficient of the open-circuit voltage that the diode has, without the adjustment."""
        T = np.asarray(RATED_WARMTH + _BIT)
        c = d.under(RATED_LIGHT, T)
        V = np.asarray(self.voc)
        for _ in range(6):
            e = c.I_0 * np.exp(V / c.a)
            V = V + (c.I_L - e + c.I_0 - V * c.G_sh) / (e / c.a + c.G_sh)
        return (float(V) - self.voc) / _BIT / (1.0 + adjust)

    def prove(self, d: Diode) -> None:
        """Raise unless the diode gives the nameplate back."""
        top = best_point(d.under(RATED_LIGHT, RATED_WARMTH))
        isc = _short_circuit(d)
        if not (abs(top.voltage / self.vmp - 1.0) <= CLOSE
                and abs(top.current / self.imp - 1.0) <= CLOSE
                and isc / self.isc - 1.0 <= SHORT):  # fmt: skip
            raise _refuse(
                ("voc", "isc", "vmp", "imp"),
                f"no module has these together: with voc {self.voc:.4g} V the closest gives vmp "
                f"{float(top.voltage):.4g} V (sheet {self.vmp:.4g} V), imp {float(top.current):.4g}"
                f" A (sheet {self.imp:.4g} A) and isc {isc:.4g} A (sheet {self.isc:.4g} A). Read "
                "all four again, from the same column of the data sheet",
            )
        found = slope(d)
        if abs(found / self.gamma - 1.0) > SLOPE:
            raise _refuse(
                ("pmax_coefficient", "voc_coefficient", "cells"),
                f"with this voltage, its coefficient and {self.cells:g} cells in series the power "
                f"would change by {100 * found:.3f} %/K, the sheet says {100 * self.gamma:.3f} %/K."
                " Read the coefficients again, and count the cells in series",
            )


def _short_circuit(d: Diode) -> float:
    """Current at no voltage, by Newton."""
    current = d.light
    for _ in range(20):
        across = current * d.series
        e = d.saturation * np.exp(across / d.ideality)
        lack = d.light - e + d.saturation - across / d.shunt - current
        current += lack / (1.0 + d.series * (e / d.ideality + 1.0 / d.shunt))
    return float(current)


def slope(d: Diode) -> float:
    """Mean change of the best power from -10 to 50 °C, as a share of the rated [1/K]."""
    power = best_point(d.under(RATED_LIGHT, np.array([COLD, RATED_WARMTH, WARM]))).power
    return float((power[2] - power[0]) / (WARM - COLD) / power[1])
