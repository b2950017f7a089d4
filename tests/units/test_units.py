"""Reading, converting and showing quantities, one behaviour at a time."""

from __future__ import annotations

import math
import subprocess
import sys

import numpy as np
import pytest

from plumbrail import units
from plumbrail.errors import QuantityError
from plumbrail.units import KINDS, UNITS, from_si, parse, show, show_length_inches, si_unit, to_si

INCH, FOOT = 0.0254, 0.3048
CONTRACT = """
m mm cm km in ft yd mi deg rad m2 mm2 in2 ft2 m3 ft3 yd3 in3 L gal mm3 in4 m4 mm4 N kN lbf kip
N*m kN*m lbf*ft lbf*in kip*ft kip*in Pa kPa MPa GPa psf psi ksi N/m kN/m plf lbf/in kip/ft Pa/m
kPa/m psf/ft pcf kN/m3 N/m3 kg g lb ton t kg/m lb/ft kg/m3 lb/ft3 m/s km/h mph ft/s degC degF K
s min h day V mV kV A mA W kW MW Wh kWh Ah ohm mohm kohm %/K %/degC 1/K - %
"""


class TestConversion:
    def test_every_unit_of_the_contract_is_there(self):
        assert set(CONTRACT.split()) <= set(UNITS)

    @pytest.mark.parametrize(
        ("unit", "si"),
        [("psf", "Pa"), ("ft", "m"), ("in3", "m**3"), ("in4", "m**4"), ("plf", "N/m"),
         ("psf/ft", "Pa/m"), ("pcf", "N/m**3"), ("deg", "rad"), ("-", "-"), ("%", "-"),
         ("mph", "m/s"), ("lb/ft", "kg/m"), ("lbf*ft", "N*m"), ("degC", "K"), ("Ah", "C"),
         ("kWh", "J"), ("%/degC", "1/K"), ("lb/ft3", "kg/m**3"), ("mohm", "ohm")],
    )  # fmt: skip
    def test_si_unit(self, unit, si):
        assert si_unit(unit) == si
        assert si_unit(si) == si

    def test_dimensionless_is_the_same_object(self):
        array = np.array([1.0, 2.0])
        assert to_si(array, "-") is array
        assert from_si(array, "-") is array

    def test_arrays_keep_their_shape_and_are_not_changed(self):
        feet = np.array([[0.0, 1.0], [10.0, -2.5]])
        metres = to_si(feet, "ft")
        np.testing.assert_allclose(metres, feet * FOOT, rtol=1e-15)
        assert feet[0, 1] == 1.0
        np.testing.assert_allclose(from_si(metres, "ft"), feet, rtol=1e-15)

    @pytest.mark.parametrize(("value", "unit", "si"), [
        (320, "mm", 0.32), (6, "in", 0.1524), (21, "%", 0.21), (1722, "mm", 1.722),
        (24, "ft", 7.3152),
    ])  # fmt: skip
    def test_decimal_factors_give_the_nearest_float(self, value, unit, si):
        assert to_si(value, unit) == si

    def test_spellings_of_papers_are_understood(self):
        assert to_si(1.0, "lbf·ft") == to_si(1.0, "lbf*ft")
        assert to_si(1.0, "m**3") == to_si(1.0, "m³") == 1.0
        assert to_si(50.0, "°F") == to_si(50.0, "degF")

    def test_unknown_unit_lists_near_names(self):
        with pytest.raises(QuantityError, match=r'unknown unit "psff"; near names: .*\bpsf\b'):
            to_si(1.0, "psff")
        with pytest.raises(QuantityError, match=r'unknown unit "\?"; units: .*\bft\b'):
            si_unit("?")

    @pytest.mark.parametrize("unit", ["MV", "PA", "Kn", "MHO"])
    def test_capitals_that_change_a_prefix_are_not_guessed(self, unit):
        with pytest.raises(QuantityError):
            to_si(1.0, unit)

    def test_import_is_light(self):
        code = (
            "import sys; before = set(sys.modules); import plumbrail.units;"
            "print({'numpy', 'pint', 'pydantic'} & (set(sys.modules) - before))"
        )
        run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
        assert run.stdout.strip() == "set()", run.stderr


class TestLengths:
    @pytest.mark.parametrize(
        ("text", "inches"),
        [("12 ft", 144), ("10 ft 6 in", 126), ("10' 6 1/2\"", 126.5), ("10'-6 1/2\"", 126.5),
         ("10' - 6 1/2\"", 126.5), ("10'6-1/2\"", 126.5), ("10ft6in", 126), ("3 1/2 in", 3.5),
         ("3-1/2 in", 3.5), ("1/2 in", 0.5), ("-6 in", -6), ("-10' 6\"", -126), ("+6 in", 6),
         ("− 6 in", -6), ("10′ 6½″", 126.5), ("10’ 6 ¾”", 126.75), ("3½ in", 3.5), ("⅝ in", 0.625),
         ("⅛\"", 0.125), ("3-⅞\"", 3.875), ("10 feet 6 inches", 126), ("10 ft. 6 in.", 126),
         ("10 ft, 6 in", 126), ("10 FT 6 IN", 126), ("10' 6''", 126), ("1,200 ft", 14400),
         ("10.5 ft", 126), ("2 yd 1 ft 3 in", 87), (".5 in", 0.5), ("5/4 in", 1.25),
         ("10\u00a0ft\u202f6\u2009in", 126), ("1e2 in", 100), ("  9 ft ", 108), ("0 ft", 0)],
    )  # fmt: skip
    def test_feet_and_inches(self, text, inches):
        assert parse(text, "length") == pytest.approx(inches * INCH, rel=1e-15)

    @pytest.mark.parametrize(
        ("text", "metres"),
        [("3.2 m", 3.2), ("320 mm", 0.32), ("1 m 20 cm", 1.2), ("1722 mm", 1.722), ("2 km", 2e3)],
    )
    def test_metric_is_read_to_the_nearest_float(self, text, metres):
        assert parse(text, "length") == metres

    def test_spellings_of_one_length_are_one_float(self):
        texts = ["10 ft 6 in", "126 in", "10.5 ft", "3.5 yd", "3.2004 m", "3200.4 mm", "10'-6\""]
        assert len({parse(text, "length") for text in texts}) == 1

    def test_zero_has_no_sign(self):
        assert math.copysign(1, parse("-0 in", "length")) == 1

    @pytest.mark.parametrize(
        ("text", "message"),
        [("30", "30 has no unit; write for example \"9 ft\", \"10 ft 6 in\" or \"3.2 m\""),
         (30, "30 has no unit; write for example \"9 ft\", \"10 ft 6 in\" or \"3.2 m\""),
         (2.5, "2.5 has no unit; write for example"),
         ("30 psf", "\"30 psf\" is a pressure, not a length; write for example \"9 ft\""),
         ("10 ft 14 in", "14 in where less than 12 belongs"),
         ("10' 6", "ends in a number without a unit, 6"),
         ("10.5 ft 6 in", "has a fraction of ft and in besides"),
         ("6 in 10 ft", "has ft after in"),
         ("3 5/4 in", "fraction 5/4, which is not less than 1"),
         ("1,5 m", "comma that groups no thousands"),
         ("1/0 in", "is not a finite number"),
         ("1e999 m", "is not a finite number"),
         ("30 fet", "unknown unit \"fet\" (near names: ft"),
         ("", "nothing is written where a length is needed"),
         ("   ", "nothing is written"),
         ("ft", "is not a length"),
         ("nan ft", "is not a length"),
         ("inf", "is not a length"),
         (math.nan, "nan is not a finite number"),
         (math.inf, "inf is not a finite number"),
         (True, "True is not a length"),
         (None, "None is not a length"),
         (["9 ft"], "is not a length"),
         ("9" * 200 + " ft", "is too long to be a length")],
    )  # fmt: skip
    def test_refusals_say_what_was_read_and_what_to_write(self, text, message):
        with pytest.raises(QuantityError) as caught:
            parse(text, "length")
        assert message in str(caught.value)
        assert "write for example" in str(caught.value)

    @pytest.mark.parametrize(
        "text",
        ["--6 in", "10 ft --6 in", "10 ft +6 in", "10 ft -", "1 2 ft", "½2 in", "5² ft", "1.2.3 m",
         "3 - 1/2 in", "1½½ in", "3/4/5 in", "10 ft 6 in 3", "12,00 ft", "1,2345 ft", "0.5½ in",
         "1e9999999 m", "10 ft of pipe", "10 ft 3 m", "١٢ ft", "9 ft\n9 ft", "0x10 ft"],
    )  # fmt: skip
    def test_unclear_text_is_refused(self, text):
        with pytest.raises(QuantityError):
            parse(text, "length")


class TestOtherKinds:
    @pytest.mark.parametrize("kind", KINDS.values(), ids=lambda kind: kind.name)
    def test_examples_parse_and_units_have_the_si_unit_of_the_kind(self, kind):
        for example in kind.examples:
            assert math.isfinite(parse(example, kind.name))
        for unit in kind.units:
            # a slope given as an angle becomes its tangent; Pa/m and N/m3 are one dimension
            same = {"rad", "-"} if kind.name == "slope" else {kind.si}
            same |= {"Pa/m", "N/m**3"} if kind.si in {"Pa/m", "N/m**3"} else set()
            assert UNITS[unit].si in same

    @pytest.mark.parametrize(
        ("text", "value"),
        [("4 %", 0.04), ("-1 %", -0.01), ("1:12", 1 / 12), ("4 in 12", 1 / 3), ("-1:50", -0.02),
         ("1/4 in per ft", 0.25 / 12), ("1/4 in/ft", 0.25 / 12), ('1/4" per foot', 0.25 / 12),
         ("20 mm per m", 0.02), ("3 in per 10 ft", 0.025), ("2.3 deg", math.tan(math.radians(2.3))),
         ("0.04 rad", math.tan(0.04)), ("1½:12", 0.125)],
    )  # fmt: skip
    def test_slopes_are_rise_over_run(self, text, value):
        assert parse(text, "slope") == pytest.approx(value, rel=1e-14)

    @pytest.mark.parametrize("text", [4, "0.04", "90 deg", "1:0", "1:", "3 ft", "1/4 in per psf"])
    def test_slopes_refused(self, text):
        with pytest.raises(QuantityError, match="write for example"):
            parse(text, "slope")

    @pytest.mark.parametrize("text", ["21 %", "0.21", 0.21, np.float64(0.21), "21%"])
    def test_ratio_takes_percent_or_a_bare_number(self, text):
        assert parse(text, "ratio") == 0.21

    @pytest.mark.parametrize(
        ("text", "kind", "value"),
        [("32°", "angle", math.radians(32)), ("-120.60 deg", "angle", math.radians(-120.6)),
         ("12,000 lbf", "force", 12000 * 4.4482216152605), ("105 MPH", "speed", 46.9392),
         ("-24 degC", "temperature", 249.15), ("-24 °C", "temperature", 249.15),
         ("18 degF", "temperature_difference", 10.0), ("10 °C", "temperature_difference", 10.0),
         ("-0.25 %/K", "temperature_coefficient", -0.0025),
         ("-0.25 %/°C", "temperature_coefficient", -0.0025),
         ("1 h 30 min", "time", 5400.0), ("28 days", "time", 28 * 86400.0),
         ("850 ft-lb", "moment", 850 * 1.3558179483314004), ("2 MΩ", "resistance", 2e6),
         ("2 MW", "power", 2e6), ("4", "number", 4.0), (4, "number", 4.0),
         ("150 pcf", "unit_weight", 150 * 157.08746384624618),
         ("150 pcf", "pressure_gradient", 150 * 157.08746384624618),
         ("2.5 cu yd", "volume", 2.5 * 0.764554857984)],
    )  # fmt: skip
    def test_values(self, text, kind, value):
        assert parse(text, kind) == pytest.approx(value, rel=1e-14)

    @pytest.mark.parametrize(
        ("text", "kind", "message"),
        [("30 lb", "force", '"30 lb" is a mass, not a force; write for example "1200 lbf"'),
         ("150 pcf", "density", "a pressure per depth or a unit weight, not a density"),
         ("10 ft 6 in", "pressure", '"10 ft 6 in" is a length, not a pressure'),
         ("3 ft", "number", '"3 ft" is a length, not a plain number'),
         ("5 %", "angle", '"5 %" is a slope or a ratio, not an angle'),
         ("-300 degC", "temperature", "is below absolute zero"),
         ("1 h 90 min", "time", "90 min where less than 60 belongs")],
    )  # fmt: skip
    def test_wrong_kind_is_named(self, text, kind, message):
        with pytest.raises(QuantityError) as caught:
            parse(text, kind)
        assert message in str(caught.value)

    def test_wrong_kind_name_is_a_mistake_in_the_program(self):
        with pytest.raises(ValueError, match="no kind of quantity 'lenght'; kinds: length"):
            parse("9 ft", "lenght")


class TestShow:
    @pytest.mark.parametrize(
        ("inches", "fraction", "text"),
        [(126.5, 16, "10' 6 1/2\""), (3.5, 16, '3 1/2"'), (-0.25, 16, '-1/4"'), (0, 16, '0"'),
         (71 + 31 / 32, 16, "6' 0\""), (12.625, 16, "1' 0 5/8\""), (-126, 16, "-10' 6\""),
         (1 / 32, 16, '1/16"'), (-1 / 32, 16, '-1/16"'), (1 / 33, 16, '0"'), (-1 / 33, 16, '0"'),
         (15000, 16, "1,250' 0\""), (3.3, 1, '3"'), (3.3, 4, '3 1/4"'), (3.3, 64, '3 19/64"')],
    )  # fmt: skip
    def test_feet_and_inches(self, inches, fraction, text):
        assert show(inches * INCH, "length", fraction=fraction) == text

    @pytest.mark.parametrize(
        ("value", "text"),
        [(3.2004, "3.200 m"), (0.32, "320 mm"), (0.00635, "6.4 mm"), (0.99996, "1.000 m"),
         (-1e-9, "0 mm"), (1280.16, "1280.160 m"), (-0.5, "-500 mm")],
    )  # fmt: skip
    def test_metric_lengths(self, value, text):
        assert show(value, "length", "metric") == text

    @pytest.mark.parametrize(
        ("text", "kind", "us", "metric"),
        [("1200 lbf", "force", "1,200 lbf", "5.338 kN"),
         ("120 kip", "force", "120 kip", "533.8 kN"),
         ("30 psf", "pressure", "30 psf", "1.436 kPa"), ("500 N", "force", "112.4 lbf", "500 N"),
         ("2500 psi", "strength", "2,500 psi", "17.24 MPa"), ("35 ksi", "strength", "35 ksi",
          "241.3 MPa"), ("850 lbf*ft", "moment", "850 lbf·ft", "1.152 kN·m"),
         ("21.5 kg", "mass", "47.4 lb", "21.5 kg"), ("105 mph", "speed", "105 mph", "46.94 m/s"),
         ("38 degC", "temperature", "100.4 °F", "38 °C"), ("32 deg", "angle", "32.0°", "32.0°"),
         ("4 %", "slope", "4.0 %", "4.0 %"), ("120 ft2", "area", "120 ft²", "11.15 m²"),
         ("2.254 in2", "area", "2.254 in²", "1454 mm²"),
         ("27 ft3", "volume", "27 ft³", "0.7646 m³"),
         ("90 min", "time", "1 h 30 min", "1 h 30 min"), ("7 day", "time", "7 days", "7 days"),
         ("30 s", "time", "30 s", "30 s"), ("59.9996 s", "time", "1 min", "1 min"),
         ("25 K", "temperature_difference", "45 °F", "25 K"), ("1 Mohm", "resistance", "1 MΩ",
          "1 MΩ"), ("21 %", "ratio", "21 %", "21 %"), ("12345 lb", "mass", "12,345 lb", "5600 kg"),
         ("0 N", "force", "0 lbf", "0 N"), ("0.85", "number", "0.85", "0.85"),
         ("-0.0000000001 lbf", "force", "0 lbf", "0 N")],
    )  # fmt: skip
    def test_other_kinds(self, text, kind, us, metric):
        assert show(parse(text, kind), kind) == us
        assert show(parse(text, kind), kind, "metric") == metric

    @pytest.mark.parametrize(
        ("inches", "text"), [(5 / 16, '5/16"'), (14.375, '14 3/8"'), (-0.5, '-1/2"'), (0, '0"')]
    )
    def test_inches_only(self, inches, text):
        assert show_length_inches(inches * INCH) == text

    def test_inches_only_to_an_eighth(self):
        assert show_length_inches(0.3 * INCH, 8) == '1/4"'

    @pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, 1e300])
    @pytest.mark.parametrize("kind", ["length", "force", "time"])
    def test_what_cannot_be_shown_is_refused(self, value, kind):
        with pytest.raises(QuantityError, match=r"cannot be shown|too large"):
            show(value, kind)

    def test_mistakes_in_the_program(self):
        with pytest.raises(ValueError, match="no system of units 'si'"):
            show(1.0, "length", "si")
        with pytest.raises(ValueError, match="no kind of quantity"):
            show(1.0, "width")
        with pytest.raises(ValueError, match="inches are split in"):
            show(1.0, "length", fraction=10)


def test_public_names_exist():
    assert all(hasattr(units, name) for name in units.__all__)
