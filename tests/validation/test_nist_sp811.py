"""NIST Special Publication 811 (2008), Guide for the Use of the SI: conversion factors.

Appendix B.8 lists factors to seven digits; those in bold type are exact. Tolerance: half the last
printed digit, or one part in 1e15 (floating point) where exact. ``second_hand``: read in public
files that quote the table, not in the table itself; ``memory``: typed from memory.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from plumbrail.units import from_si, to_si

DOCUMENT = "NIST SP 811 (2008)"

# unit of plumbrail, entry as listed, printed factor to SI, exact, certainty
FACTORS = [
    ("ft", "foot to meter", "3.048 E-01", True, "second_hand"),
    ("in", "inch to meter", "2.54 E-02", True, "second_hand"),
    ("yd", "yard to meter", "9.144 E-01", True, "second_hand"),
    ("mi", "mile to meter", "1.609 344 E+03", True, "second_hand"),
    ("psi", "psi to pascal", "6.894 757 E+03", False, "second_hand"),
    ("psf", "pound-force per square foot to pascal", "4.788 026 E+01", False, "second_hand"),
    ("lbf*ft", "pound-force foot to newton meter", "1.355 818 E+00", False, "second_hand"),
    ("lbf*in", "pound-force inch to newton meter", "1.129 848 E-01", False, "second_hand"),
    ("lb/ft3", "pound per cubic foot to kg/m3", "1.601 846 E+01", False, "second_hand"),
    ("Wh", "watt hour to joule", "3.6 E+03", True, "second_hand"),
    ("kWh", "kilowatt hour to joule", "3.6 E+06", True, "second_hand"),
    ("lbf", "pound-force to newton", "4.448 222 E+00", False, "memory"),
    ("kip", "kip (1 kip = 1000 lbf) to newton", "4.448 222 E+03", False, "memory"),
    ("ksi", "kip per square inch to pascal", "6.894 757 E+06", False, "memory"),
    ("plf", "pound-force per foot to newton per meter", "1.459 390 E+01", False, "memory"),
    ("lbf/in", "pound-force per inch to newton per meter", "1.751 268 E+02", False, "memory"),
    ("lb", "pound (avoirdupois) to kilogram", "4.535 924 E-01", False, "memory"),
    ("lb/ft", "pound per foot to kilogram per meter", "1.488 164 E+00", False, "memory"),
    ("ton", "ton, short (2000 lb) to kilogram", "9.071 847 E+02", False, "memory"),
    ("in2", "square inch to square meter", "6.4516 E-04", True, "memory"),
    ("ft2", "square foot to square meter", "9.290 304 E-02", True, "memory"),
    ("in3", "cubic inch to cubic meter", "1.638 706 E-05", False, "memory"),
    ("ft3", "cubic foot to cubic meter", "2.831 685 E-02", False, "memory"),
    ("yd3", "cubic yard to cubic meter", "7.645 549 E-01", False, "memory"),
    ("gal", "gallon (U.S.) to cubic meter", "3.785 412 E-03", False, "memory"),
    ("in4", "inch to the fourth power to meter to the fourth", "4.162 314 E-07", False, "memory"),
    ("mph", "mile per hour to meter per second", "4.4704 E-01", True, "memory"),
    ("km/h", "kilometer per hour to meter per second", "2.777 778 E-01", False, "memory"),
    ("ft/s", "foot per second to meter per second", "3.048 E-01", True, "memory"),
    ("Ah", "ampere hour to coulomb", "3.6 E+03", True, "memory"),
    ("deg", "degree (angle) to radian", "1.745 329 E-02", False, "memory"),
]


@pytest.mark.parametrize(("unit", "entry", "text", "exact", "certainty"), FACTORS)
def test_factor(published, unit, entry, text, exact, certainty):
    printed = Decimal(text.replace(" ", ""))
    half_digit = Decimal(5).scaleb(printed.as_tuple().exponent - 1)
    tolerance = 1e-15 * float(printed) if exact else float(half_digit)
    published(
        DOCUMENT, f"Appendix B.8, {entry}", float(printed), to_si(1.0, unit), tolerance,
        f"SI unit per {unit}", certainty,
    )  # fmt: skip


def test_pound_force_from_the_exact_pound_and_standard_gravity(published):
    # Appendix B.8, footnotes: 0.453 592 37 kg and 4.448 221 615 260 5 N, both exact.
    published(
        DOCUMENT, "Appendix B.8 footnote, pound-force exactly", 4.4482216152605,
        to_si(1.0, "lbf"), 1e-15, "N", "second_hand",
    )  # fmt: skip
    published(
        DOCUMENT, "Appendix B.8 footnote, avoirdupois pound exactly", 0.45359237,
        to_si(1.0, "lb"), 1e-16, "kg", "second_hand",
    )  # fmt: skip


@pytest.mark.parametrize("reading", [-40.0, 32.0, 68.0, 100.4])
def test_fahrenheit_to_kelvin(published, reading):
    # Appendix B.8: T/K = (t/degF + 459.67)/1.8
    published(
        DOCUMENT, f"Appendix B.8, T = (t + 459.67)/1.8 at {reading:g} degF",
        (reading + 459.67) / 1.8, to_si(reading, "degF"), 1e-12, "K", "second_hand",
    )  # fmt: skip


@pytest.mark.parametrize("reading", [-24.0, 0.0, 38.0])
def test_celsius_to_kelvin(published, reading):
    # Appendix B.8: T/K = t/degC + 273.15
    published(
        DOCUMENT, f"Appendix B.8, T = t + 273.15 at {reading:g} degC",
        reading + 273.15, to_si(reading, "degC"), 1e-12, "K", "second_hand",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("unit", "printed"),
    [("min", 60.0), ("h", 3600.0), ("day", 86400.0), ("L", 1e-3), ("t", 1000.0)],
)
def test_units_accepted_for_use_with_the_si(published, unit, printed):
    published(DOCUMENT, f"Table 6, {unit}", printed, to_si(1.0, unit), 0.0,
              f"SI unit per {unit}", "second_hand")  # fmt: skip


def test_celsius_and_fahrenheit_agree_where_they_meet():
    assert from_si(to_si(-40.0, "degC"), "degF") == pytest.approx(-40.0, abs=1e-10)
