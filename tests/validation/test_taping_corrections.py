"""Corrections of tapes and strings against published worked examples."""

from __future__ import annotations

import numpy as np
import pytest

from plumbrail.tables.loader import load
from plumbrail.truing import taping

# Lecture notes on taping by J. Mahun, part E, page 4: inputs read in public; units of the notes.
MAHUN = "Mahun, Open Access Surveying Library, Taping E, example"
# The textbook's own examples, as worked in the public companion to it.
COMPANION = "Scilab Textbook Companion 3908, Surveying and Levelling, ch. 2"
REGULATIONS = "SI 2016/1153, schedule 1I, material measures of length"
GEOMETRY = "Parabola of a shallow string, worked by hand"


def value(*numbers):
    return (np.array(float(n)) for n in numbers)


def test_taping_example_in_feet_and_pounds(published):
    """Provisions are the same in any coherent units: here feet, pounds-force and Fahrenheit."""
    length = 436.48
    temperature = taping.temperature_correction(*value(6.5e-6, length, 50, 70))
    published(MAHUN, "temperature", -0.0567, temperature, 0.00005, "ft")
    pull = taping.pull_correction(*value(15, 23, length, 0.004, 2.9e7))
    published(MAHUN, "pull", -0.0301, pull, 0.00005, "ft")
    weight = 2.2 / 102
    full = taping.sag_correction(*value(weight, 100, 15))
    published(MAHUN, "sag of a full length", -0.0861, full, 0.0001, "ft")
    part = taping.sag_correction(*value(weight, 36.48, 15))
    published(MAHUN, "sag of 36.48 ft", -0.0042, part, 0.00005, "ft")
    published(MAHUN, "sag, all bays", -0.1765, 2 * full + part, 0.0001, "ft")
    standard = length * 0.004 / 100  # the tape is 100.004 ft long at its standard
    total = length + standard + temperature + pull + 2 * full + part
    published(MAHUN, "corrected length", 436.234, total, 0.0005, "ft")


def test_one_tape_with_all_corrections(published):
    area, weight = 4e-6, 78600.0 * 4e-6
    item = "ex. 2.16, 30 m tape"
    heat = taping.temperature_correction(*value(11.5e-6, 30, 45, 20))
    published(COMPANION, f"{item}: temperature", 8.625, 1e3 * heat, 0.0005, "mm")
    pull = taping.pull_correction(*value(150, 100, 30, area, 200e9))
    published(COMPANION, f"{item}: pull", 1.875, 1e3 * pull, 0.0005, "mm")
    published(COMPANION, f"{item}: weight", 9.432, weight * 30, 0.0005, "N")
    sag = taping.sag_correction(*value(weight, 30, 150))
    published(COMPANION, f"{item}: sag", -4.942, 1e3 * sag, 0.0005, "mm")
    published(COMPANION, f"{item}: together", 5.558, 1e3 * (heat + pull + sag), 0.001, "mm")


def test_temperature_and_sag_alone(published):
    heat = taping.temperature_correction(*value(12e-6, 368.64, 42, 20))
    published(COMPANION, "ex. 2.13, 368.64 m at 42 °C", 97.3, 1e3 * heat, 0.05, "mm")
    sag = taping.sag_correction(*value(10 / 30, 30, 120))
    published(COMPANION, "ex. 2.14, tape of 10 N pulled with 120 N", -8.68, 1e3 * sag, 0.005, "mm")


@pytest.mark.parametrize(
    ("feet", "pull", "inches", "last"), [(50, 10, 0.19, 0.005), (100, 20, 0.375, 0.0005)]
)
def test_sag_of_a_string_midway(published, feet, pull, inches, last):
    # Weight of 0.0005 lb/ft: from memory; the rest is mechanics.
    sag = taping.string_sag(*value(0.0005, feet / 2, feet, pull))
    published(GEOMETRY, f"{feet} ft of string at {pull} lb", inches, 12 * sag, last, "in",
              "derived")  # fmt: skip


def test_our_tape_is_not_better_than_its_class_allows(published):
    """Greatest permissible error of class II: 0.3 mm + 0.2 mm for each metre."""
    table = load("practice", "instruments")
    share = float(table.value("per_length", reading="tape"))
    published(REGULATIONS, "class II, per metre", 0.2, 1e3 * share, 0.05, "mm")
    most = 0.3 + 1e3 * share * 30
    published(REGULATIONS, "class II, 30 m", 6.3, most, 0.05, "mm")
    assert float(table.value("error", reading="tape")) > 0.3e-3


def test_a_steel_tape_is_right_at_20_degrees(published):
    scale = taping.tape_scale(np.array([293.15, 303.15]))
    published(REGULATIONS, "temperature of reference, tape reads", 1.0, scale[0], 1e-12)
    # From memory: 6.45e-6 per °F is the figure of the handbooks.
    published("steel, from memory", "expansion", 6.45, 1e6 * taping.STEEL * 5 / 9, 0.01, "1e-6/°F",
              "memory")  # fmt: skip
    assert scale[1] < 1
