"""NFPA 70 690.7, 690.8, 690.9 and 240.6: voltage, current and devices of strings.

Worked examples come from an installer's exam paper and its study sheets, trade articles and forum
answers that cite a code column; each is named beside its value. Where only the rule was confirmed
and the number follows from it, the certainty is "derived".
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from plumbrail.bases.us.nec import conductors, current, devices, voltage
from plumbrail.units import to_si

Published = Callable[..., None]
EXAM = "installer exam paper (wixlib.com/document/14626)"
STUDY = "photovoltaic study set (quizwizapp.com, final review)"
ARTICLE = "trade magazine article on PV circuit sizing (homepower.com, current calculations)"
CODE = "NFPA 70"
DIGEST = "second-hand digest of Table 690.7(A)"


def kelvin(celsius: float) -> float:
    return float(to_si(celsius, "degC"))


@pytest.mark.parametrize(
    ("celsius", "factor"),
    [(24, 1.02), (20, 1.02), (19, 1.04), (14, 1.06), (9, 1.08), (4, 1.10), (0, 1.10), (-1, 1.12),
     (-5, 1.12), (-6, 1.14), (-10, 1.14), (-11, 1.16), (-16, 1.18), (-20, 1.18), (-21, 1.20),
     (-25, 1.20), (-26, 1.21), (-31, 1.23), (-36, 1.25), (-40, 1.25)],
)  # fmt: skip
def test_table_690_7(celsius: float, factor: float, published: Published) -> None:
    """Both ends of the printed rows."""
    ours = voltage.table_factor(kelvin(celsius))
    published(DIGEST, f"{celsius} degC", factor, ours, 1e-9, "-", "second_hand")


@pytest.mark.parametrize(("celsius", "factor"), [(-5.5, 1.14), (25, 1.00)])
def test_between_and_above_the_rows(celsius: float, factor: float, published: Published) -> None:
    """Our reading of gaps: the colder row; at the rating temperature there is no correction."""
    ours = voltage.table_factor(kelvin(celsius))
    published(DIGEST, f"{celsius} degC, between rows", factor, ours, 1e-9, "-", "derived")


def test_37_volts_at_minus_24_by_table(published: Published) -> None:
    """37.0 V, -24 degC, 600 V; printed 44.40 V and 13 modules, 577.2 V."""
    cold = voltage.table_voltage(37.0, voltage.table_factor(kelvin(-24)))
    published(EXAM, "37.0 V at -24 degC", 44.40, cold, 0.005, "V")
    count = voltage.most_modules(600.0, cold)
    published(EXAM, "modules in 600 V", 13, count, 0, "-")
    published(EXAM, "13 modules", 577.2, voltage.string_voltage(count, cold), 0.05, "V")


def test_the_same_module_by_coefficient_and_by_table(published: Published) -> None:
    """37.8 V, -0.30 %/degC, -37 degC, 550 V: 12 modules by coefficient, 11 by table."""
    cold = voltage.module_voltage(37.8, -0.0030, kelvin(-37))
    published(STUDY, "37.8 V at -37 degC by coefficient", 44.83, cold, 0.005, "V")
    published(STUDY, "modules in 550 V", 12, voltage.most_modules(550.0, cold), 0, "-")
    twelve = voltage.string_voltage(np.array(12.0), cold)
    published(STUDY, "12 modules", 538.0, twelve, 0.05, "V")
    by_table = voltage.table_voltage(37.8, voltage.table_factor(kelvin(-37)))
    published(CODE, "the same by Table 690.7(A)", 47.25, by_table, 0.005, "V", "derived")
    published(CODE, "modules by the table", 11, voltage.most_modules(550.0, by_table), 0, "-",
              "derived")  # fmt: skip


def test_44_volts_at_minus_10(published: Published) -> None:
    """44.0 V, -0.30 %/degC, -10 degC; inputs of a practice test, answer by the rule."""
    cold = voltage.module_voltage(44.0, -0.0030, kelvin(-10))
    published("licence practice test (peerlessinstitute.com)", "44.0 V at -10 degC", 48.62, cold,
              0.005, "V", "derived")  # fmt: skip


def test_corrected_worksheet(published: Published) -> None:
    """50.8 V, -0.26 %/degC, -12 degC, 600 V: 10 modules; the worksheet itself says 11 (see N5)."""
    cold = voltage.module_voltage(50.8, -0.0026, kelvin(-12))
    sheet = "worksheet (scribd 504328218), corrected"
    published(sheet, "50.8 V at -12 degC", 55.687, cold, 0.001, "V", "derived")
    published(sheet, "modules in 600 V", 10, voltage.most_modules(600.0, cold), 0, "-", "derived")


@pytest.mark.parametrize(("building", "volts"), [("dwelling", 600), ("other", 1000)])
def test_voltage_limits(building: str, volts: float, published: Published) -> None:
    """690.7, 2023 edition by digest and 2020 edition by another copy."""
    ours = voltage.voltage_limit(building)
    published(CODE, f"690.7 limit, {building}", volts, ours, 0, "V", "second_hand")


def test_8_8_amperes(published: Published) -> None:
    """Isc 8.8 A: 11.0 A, 13.75 A, 14 AWG at 75 degC terminals (20 A)."""
    largest = current.source_current(8.8)
    published(ARTICLE, "Isc 8.8 A: Imax", 11.0, largest, 1e-9, "A")
    published(ARTICLE, "times 1.25 again", 13.75, current.ampacity_before(largest), 1e-9, "A")
    published(ARTICLE, "14 AWG, 75 degC column", 20,
              conductors.ampacity("14 AWG", "copper", "75 degC"), 0, "A")  # fmt: skip
    answer = conductors.smallest_conductor(
        float(largest), 15.0, kelvin(30), 2, "copper", "90 degC", ("75 degC",), "14 AWG",
        "NEC 2023",
    )  # fmt: skip
    assert answer.size == "14 AWG"


def test_9_2_amperes(published: Published) -> None:
    """Isc 9.2 A: 11.5 A, 14.375 A (printed 14.4)."""
    manual = "inverter owner's manual, p. 39"
    largest = current.source_current(9.2)
    published(manual, "Isc 9.2 A: Imax", 11.5, largest, 0.05, "A")
    published(manual, "times 1.25 again", 14.4, current.ampacity_before(largest), 0.05, "A")


@pytest.mark.parametrize(("isc", "least", "rating"), [(9.60, 15.00, 15), (9.61, 15.016, 20)])
def test_knife_edge_of_1_5625(
    isc: float, least: float, rating: float, published: Published
) -> None:
    """9.60 A needs exactly 15 A; 9.61 A needs 20 A, where 1.56 would still say 15 A."""
    need = current.required_device(current.source_current(isc))
    published(CODE, f"690.9(B), Isc {isc} A", least, need, 0.0005, "A", "derived")
    ours = devices.standard_rating(need, "NEC 2023")
    published(CODE, f"240.6(A), Isc {isc} A", rating, ours, 0, "A", "derived")
    assert 1.56 * 9.61 < 15 < float(current.required_device(current.source_current(9.61)))


def test_three_strings_without_fuses(published: Published) -> None:
    """3 strings, Isc 5 A, module fuse 15 A: 12.5 A comes back, no fuses."""
    forum = "forum answer citing a code column (forum.solar-electric.com 14477)"
    back = devices.backfeed_current(np.array(3.0), np.array(5.0), np.array(0.0))
    published(forum, "3 strings, Isc 5 A", 12.5, back, 1e-9, "A")
    answer = devices.fuse_for(5.0, 15.0, 3, 0.0, "NEC 2023")
    assert answer.required is False
    assert answer.words == "none required"


def test_four_strings_of_10_amperes_have_no_compliant_fuse(published: Published) -> None:
    """Isc 10 A, module fuse 15 A, 4 strings: 15.625 A is needed; the published 15 A is N4."""
    answer = devices.fuse_for(10.0, 15.0, 4, 0.0, "NEC 2023")
    published(CODE, "690.9(B), Isc 10 A", 15.625, answer.least, 1e-9, "A", "derived")
    assert (answer.required, answer.compliant, answer.rating) == (True, False, None)
    assert answer.words == "no compliant fuse"


LADDER = [15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250,
          300, 350, 400, 450, 500, 600]  # fmt: skip


def test_ladder_of_standard_ratings(published: Published) -> None:
    """240.6(A) as a trade magazine lists it; each rating is its own next size up."""
    for rating in LADDER:
        ours = devices.standard_rating(float(rating), "NEC 2020")
        published("trade magazine Q&A on 240.6(A) (ecmweb.com 20904390)", f"{rating} A", rating,
                  ours, 0, "A")  # fmt: skip


@pytest.mark.parametrize(("edition", "rating"), [("NEC 2020", 15), ("NEC 2023", 10)])
def test_10_amperes_since_2023(edition: str, rating: float, published: Published) -> None:
    """10 A moved into the main list in 2023."""
    ours = devices.standard_rating(9.0, edition)
    published("NEC 2023 course (expertce.com)", f"next size over 9 A, {edition}", rating, ours, 0,
              "A")  # fmt: skip


@pytest.mark.parametrize(
    ("size", "metal", "cap"),
    [("14 AWG", "copper", 15), ("12 AWG", "copper", 20), ("10 AWG", "copper", 30),
     ("12 AWG", "aluminium", 15), ("10 AWG", "aluminium", 25)],
)  # fmt: skip
def test_small_conductor_caps(size: str, metal: str, cap: float, published: Published) -> None:
    """240.4(D) as a wire maker prints it under its ampacity table."""
    published("wire maker's ampacity page (alanwire.com)", f"{size} {metal}", cap,
              devices.small_conductor_cap(size, metal), 0, "A")  # fmt: skip
