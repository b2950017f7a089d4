"""IEC 62548, IEC 60228, IEC 60364-5-52 and BS 7671: strings and cables."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from plumbrail.bases.iec import cables, strings
from plumbrail.units import from_si, to_si

Published = Callable[..., None]
ARTICLE = "article on sizing of string fuses by IEC 62548 (solarsaarthi.com)"
MAKER = "cable maker's table from IEC 60228 (uecables.com)"


def mm2(area: float) -> float:
    return float(to_si(area, "mm2"))


def kelvin(celsius: float) -> float:
    return float(to_si(celsius, "degC"))


def test_two_strings_need_none(published: Published) -> None:
    """Isc 12.28 A, module fuse 20 A, 2 strings: 12.28 A comes back."""
    answer = strings.fuse_for(12.28, 20.0, 2)
    published(ARTICLE, "2 strings", 12.28, answer.reverse, 0.005, "A")
    assert not answer.required
    assert answer.words == "none required"


def test_four_strings_take_20_amperes(published: Published) -> None:
    """4 strings: 36.84 A > 20 A; window 18.42 to 29.47 A, and 20 A at the most."""
    reverse = strings.reverse_current(np.array(4.0), np.array(12.28))
    published(ARTICLE, "4 strings", 36.84, reverse, 0.005, "A")
    low = strings.fuse_over(np.array(12.28), np.array(1.5))
    high = strings.fuse_under(np.array(12.28), np.array(2.4))
    published(ARTICLE, "lower end of the window", 18.42, low, 0.005, "A")
    published(ARTICLE, "upper end of the window", 29.47, high, 0.005, "A")
    answer = strings.fuse_for(12.28, 20.0, 4)
    published(ARTICLE, "fuse", 20, answer.rating, 0, "A")
    assert (answer.over, answer.under) == (float(low), float(high))


@pytest.mark.parametrize(
    ("celsius", "printed"),
    [(5, 1.064), (10, 1.042), (15, 1.020), (25, 0.980), (30, 0.962), (35, 0.943), (40, 0.926),
     (45, 0.909), (50, 0.893), (60, 0.862), (70, 0.833), (80, 0.806), (90, 0.781), (100, 0.758)],
)  # fmt: skip
def test_temperature_correction(celsius: float, printed: float, published: Published) -> None:
    """The factor brings a reading at a temperature to 20 degC: one over our ratio.

    25 degC is printed .980 for 1/1.02 = .9804; all others are within half a digit.
    """
    ratio = cables.resistance_at(np.array(1.0), np.array(0.004), np.array(kelvin(celsius)))
    published(MAKER, f"{celsius} degC", printed, 1 / ratio, 0.0005, "-")


@pytest.mark.parametrize(
    ("area", "printed"), [(1.5, 13.7), (2.5, 8.21), (4, 5.09), (6, 3.39), (10, 1.95), (16, 1.24),
                          (25, 0.795), (35, 0.565), (50, 0.393), (70, 0.277)]
)  # fmt: skip
def test_resistance_of_class_5(area: float, printed: float, published: Published) -> None:
    """Tinned copper, class 5, 20 degC; a second maker's table agrees."""
    ours = from_si(cables.resistance(mm2(area), kelvin(20)), "ohm/km")
    published("cable engineering page (mycableengineering.com)", f"{area:g} mm2", printed, ours,
              1e-9, "ohm/km")  # fmt: skip


def test_6_square_millimetres_over_30_metres(published: Published) -> None:
    """7.3 mV/A/m, 32 A, 30 m: 7.008 V, 3.05 % of 230 V."""
    ours = cables.drop_by_table(
        cables.drop_per_length(mm2(6), "PVC 70 degC two-core"), np.array(32.0), np.array(30.0)
    )
    item = "32 A, 30 m, 6 mm2"
    published("BS 7671 drop table (squotipedia.co.uk)", item, 7.008, ours, 0.001, "V", "derived")
    share = 100 * ours / 230
    published("BS 7671 drop table (squotipedia.co.uk)", f"{item}, share of 230 V", 3.05, share,
              0.005, "%", "derived")  # fmt: skip


@pytest.mark.parametrize(
    ("cable", "area", "printed"),
    [("PVC 70 degC two-core", 1.5, 29), ("PVC 70 degC two-core", 2.5, 18),
     ("PVC 70 degC two-core", 4, 11), ("PVC 70 degC two-core", 10, 4.4),
     ("flexible 90 degC", 6, 8.5), ("flexible 90 degC", 10, 5.1), ("flexible 90 degC", 16, 3.2),
     ("flexible 90 degC", 25, 1.80)],
)  # fmt: skip
def test_drop_is_that_of_the_resistance(
    cable: str, area: float, printed: float, published: Published
) -> None:
    """Twice the class 5 resistance at the cable's temperature is near the printed drop.

    Within 15 %: the printed tables hold for other conductor classes and are rounded up or down.
    """
    ours = from_si(cables.drop_per_length(mm2(area), cable), "ohm/km")
    published("BS 7671 Appendix 4", f"{cable}, {area:g} mm2", printed, ours, 1e-9, "mV/A/m",
              "confirmed" if cable.startswith("PVC") else "second_hand")  # fmt: skip
    hot = kelvin(70 if cable.startswith("PVC") else 90)
    twice = 2 * from_si(cables.resistance(mm2(area), hot), "ohm/km")
    assert float(twice) == pytest.approx(printed, rel=0.15)


@pytest.mark.parametrize(
    ("method", "printed"),
    [("B2 three loaded PVC", {4: 27, 6: 34, 10: 46, 16: 62, 25: 80, 35: 99, 50: 118}),
     ("C three loaded PVC", {4: 32, 6: 41, 10: 57, 16: 76, 25: 96, 35: 119})],
)  # fmt: skip
def test_capacities(method: str, printed: dict[float, float], published: Published) -> None:
    for area, value in printed.items():
        published("compressor manuals quoting IEC 60364-5-52", f"{method}, {area} mm2", value,
                  cables.capacity(mm2(area), method), 0, "A")  # fmt: skip


@pytest.mark.parametrize(("area", "printed"), [(4, 55), (6, 70)])
def test_solar_cable_from_memory(area: float, printed: float, published: Published) -> None:
    ours = cables.capacity(mm2(area), "solar cable, single in free air at 60 degC")
    published("EN 50618 / IEC 62930", f"{area} mm2, from memory", printed, ours, 0, "A", "memory")
