"""Tests of finished arrays: test voltages, translations, torques, against printed values."""

from __future__ import annotations

import numpy as np
import pytest

from plumbrail.bases.iec.insulation import (
    least_resistance,
    stepping_voltage,
    tier_of,
    voltage_of_test,
)
from plumbrail.bases.iec.translation import (
    current_at_rated,
    current_expected,
    voltage_at_rated,
    voltage_at_rated_warmth,
    voltage_expected,
)
from plumbrail.bases.us.nec.torque import torque

one = np.asarray
POSTER = "IEC 62446-1, poster of a maker of testers"
HAND = "IEC 60891, worked by hand"
LBF_IN = 0.1129848290276167


@pytest.mark.parametrize(("voc", "volts"), [(80.0, 250.0), (400.0, 500.0), (450.0, 1000.0)])
def test_voltage_of_the_insulation_test(published, voc, volts):
    # 1.25 x 80 = 100 V, 1.25 x 400 = 500 V, 1.25 x 450 = 562.5 V
    step = stepping_voltage(one(voc))
    ours = voltage_of_test(tier_of(step))
    published(POSTER, f"test voltage, open voltage {voc:g} V", volts, ours, 0.0, "V")


@pytest.mark.parametrize(("tier", "mohm"), [("under 120 V", 0.5), ("120 V to 500 V", 1.0),
                                            ("over 500 V", 1.0)])  # fmt: skip
def test_least_resistance(published, tier, mohm):
    published("IEC 62446-1, from memory", f"least resistance, {tier}", mohm,
              least_resistance(tier) / 1e6, 0.0, "Mohm", "memory")  # fmt: skip


def test_translation_of_a_current(published):
    ours = current_at_rated(one(7.36), one(800.0), one(318.15), one(0.0005))
    published(HAND, "7.36 A at 800 W/m2, 45 degC, +.05 %/K", 9.109, ours, 0.001, "A", "derived")
    back = current_expected(one(9.109), one(800.0), one(318.15), one(0.0005))
    published(HAND, "the same the other way", 7.36, back, 0.001, "A", "derived")


def test_translation_of_a_voltage(published):
    warm = voltage_at_rated_warmth(one(36.0), one(318.15), one(-0.003))
    published(HAND, "36.0 V at 45 degC, -.30 %/K, warmth alone", 38.298, warm, 0.002, "V",
              "derived")  # fmt: skip
    args = (one(800.0), one(318.15), one(-0.003), one(0.06))
    lit = voltage_at_rated(one(36.0), *args)
    published(HAND, "the same at 800 W/m2 with k = .06", 38.642, lit, 0.002, "V", "derived")
    back = voltage_expected(one(38.642), *args)
    published(HAND, "the same the other way", 36.0, back, 0.002, "V", "derived")


@pytest.mark.parametrize(("size", "screw", "printed"), [
    ("10 AWG", "large slot", 35), ("10 AWG", "small slot", 20), ("6 AWG", "split bolt", 165),
])  # fmt: skip
def test_torque_by_the_table(published, size, screw, printed):
    published("NFPA 70 Annex I Table I.1, a maker's manual", f"{size}, {screw}", printed,
              torque(size, screw) / LBF_IN, 0.5, "lbf*in")  # fmt: skip
