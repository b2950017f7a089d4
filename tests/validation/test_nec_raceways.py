"""NFPA 70 Chapter 9 Tables 1, 4, 5; 300.5, 314.28, 352.44: raceways and the ground."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from plumbrail.bases.us.nec import burial, raceway
from plumbrail.tables.loader import load
from plumbrail.units import from_si, to_si

Published = Callable[..., None]
SECOND = "second public copy of the 2023 tables (github.com AndrewTing89/CEC-Lang)"


def inches(square: object) -> float:
    return float(from_si(np.asarray(square, dtype=float), "in2"))


def test_40_areas_are_of_their_diameters(published: Published) -> None:
    """Areas and diameters come from separate copies; pi/4 ID^2 joins them."""
    table = load("nec", "raceway")
    for method, trade, area, diameter, sure in zip(
        table.words["method"], table.words["trade"], table.numbers["area"],
        table.numbers["diameter"], table.words["certainty"], strict=True,
    ):  # fmt: skip
        published("NFPA 70 Chapter 9 Table 4", f"{trade} {method}", inches(area),
                  inches(raceway.area_of_diameter(diameter)), 0.005, "in2", sure)  # fmt: skip
    assert table.numbers["area"].size == 40


@pytest.mark.parametrize(
    ("method", "printed"),
    [("EMT", ".304 .533 .864 1.496 2.036 3.356 5.858 8.846 11.545 14.753"),
     ("PVC 40", ".285 .508 .832 1.453 1.986 3.291 4.695 7.268 9.737 12.554")],
)  # fmt: skip
def test_areas_in_a_second_copy(method: str, printed: str, published: Published) -> None:
    trades = ["1/2", "3/4", "1", "1-1/4", "1-1/2", "2", "2-1/2", "3", "3-1/2", "4"]
    for trade, value in zip(trades, printed.split(), strict=True):
        ours = inches(raceway.inner_area(method, trade))
        published(SECOND, f"{trade} {method}", float(value), ours, 1e-9, "in2", "second_hand")


@pytest.mark.parametrize(
    ("insulation", "size", "area"),
    [("THWN-2", "14 AWG", 0.0097), ("THWN-2", "10 AWG", 0.0211), ("THWN-2", "8 AWG", 0.0366),
     ("THWN-2", "6 AWG", 0.0507), ("THWN-2", "4 AWG", 0.0824), ("THWN-2", "2/0 AWG", 0.2223),
     ("THWN-2", "250 kcmil", 0.397), ("THWN-2", "500 kcmil", 0.7073), ("XHHW-2", "6 AWG", 0.059),
     ("XHHW-2", "4 AWG", 0.0814), ("XHHW-2", "1/0 AWG", 0.1825), ("RHW-2", "10 AWG", 0.0333),
     ("RHW-2", "6 AWG", 0.0726)],
)  # fmt: skip
def test_wire_areas_in_a_second_copy(
    insulation: str, size: str, area: float, published: Published
) -> None:
    ours = inches(raceway.conductor_area(size, insulation))
    published(SECOND, f"{size} {insulation}", area, ours, 1e-9, "in2", "second_hand")


@pytest.mark.parametrize(("n", "share"), [(1, 0.53), (2, 0.31), (3, 0.40), (9, 0.40)])
def test_fill_limits(n: int, share: float, published: Published) -> None:
    published("readings of NFPA 70-2023 in an online viewer", f"{n} conductors", share,
              raceway.fill_limit(n), 1e-9, "-", "second_hand")  # fmt: skip


def test_one_cable_of_an_inch_and_a_half(published: Published) -> None:
    """1.767/.53 = 3.334 in2 is just over 2 in PVC 40 (3.291): 2-1/2 in."""
    forum = "code forum (forums.mikeholt.com 2578128)"
    area = raceway.area_of_diameter(to_si(1.5, "in"))
    published(forum, "area of a 1.5 in cable", 1.767, inches(area), 0.0005, "in2")
    published(forum, "raceway it needs", 3.334, inches(area) / 0.53, 0.001, "in2")
    assert raceway.smallest_raceway([float(area)], "PVC 40").trade == "2-1/2"


def test_three_big_cables(published: Published) -> None:
    """3 x 1.60 in: 6.03 in2; 40 % of 4 in RMC is 5.15 in2: too small."""
    area = float(raceway.area_of_diameter(to_si(1.6, "in")))
    published("trade magazine, Nov 2001 (scribd 452831696)", "3 x 1.60 in", 6.03, inches(3 * area),
              0.005, "in2")  # fmt: skip
    answer = raceway.smallest_raceway([area] * 3, "RMC")
    assert answer.trade is None
    assert 0.4 * inches(answer.inner) == pytest.approx(5.15, abs=0.005)


def test_six_wires_in_emt(published: Published) -> None:
    """3 x 8 AWG and 3 x 6 AWG THWN: .2619 in2, 1 in EMT."""
    wires = [float(raceway.conductor_area(s, "THWN-2")) for s in ("8 AWG", "6 AWG") for _ in "123"]
    answer = raceway.smallest_raceway(wires, "EMT")
    published("fill example of a cable calculator page", "3 x 8 AWG + 3 x 6 AWG", 0.2619,
              inches(answer.area), 0.00005, "in2")  # fmt: skip
    assert answer.trade == "1"


@pytest.mark.parametrize(("method", "percent"), [("PVC 40", 17.8), ("PVC 80", 21.5)])
def test_share_of_seven_wires(method: str, percent: float, published: Published) -> None:
    """6 x 10 AWG and a 10 AWG grounding conductor, THWN-2: .1477 in2 in 1 in conduit."""
    total = 7 * raceway.conductor_area("10 AWG", "THWN-2")
    share = raceway.fill_share(total, raceway.inner_area(method, "1"))
    published("NFPA 70 Chapter 9", f"7 x 10 AWG in 1 in {method}", percent, 100 * share, 0.05,
              "%", "derived")  # fmt: skip


@pytest.mark.parametrize(
    ("feet", "fahrenheit", "printed", "tolerance", "document"),
    [(100, 100, 4.1, 0.05, "conduit maker's table 4.1"),
     (90, 120, 4.38, 0.005, "conduit maker's worked example"),
     (380, 140, 21.58, 0.01, "conduit maker's inputs, by the printed coefficient")],
)  # fmt: skip
def test_growth_of_pvc(
    feet: float, fahrenheit: float, printed: float, tolerance: float, document: str,
    published: Published,
) -> None:  # fmt: skip
    grown = raceway.pvc_growth(to_si(float(feet), "ft"), to_si(float(fahrenheit), "delta_degF"))
    sure = "derived" if feet == 380 else "confirmed"
    published(document, f"{feet} ft, {fahrenheit} degF", printed, from_si(grown, "in"), tolerance,
              "in", sure)  # fmt: skip


def test_growth_of_steel(published: Published) -> None:
    grown = raceway.steel_growth(to_si(100.0, "ft"), to_si(100.0, "delta_degF"))
    published("expansion tables (scribd 136217885)", "100 ft, 100 degF", 0.78, from_si(grown, "in"),
              0.005, "in")  # fmt: skip


def test_quarter_inch_at_six_feet(published: Published) -> None:
    """1/4 in is reached at 6.16 ft for 100 degF."""
    per_foot = raceway.pvc_growth(to_si(1.0, "ft"), to_si(100.0, "delta_degF"))
    published("NFPA 70 352.44", "length that grows 1/4 in over 100 degF", 6.16,
              raceway.FITTING_FROM / per_foot, 0.005, "ft", "derived")  # fmt: skip
    assert not raceway.needs_expansion_fitting(6.16 * per_foot)
    assert raceway.needs_expansion_fitting(6.17 * per_foot)


def test_pull_boxes(published: Published) -> None:
    """3 in straight 24 in; 3 and 2 in at an angle 20 in, spacing 18 in; 4 in straight 32 in."""
    page = "pull box examples (ehow.com how_7589496; teacherscollegesj.org)"
    three, two, four = to_si(np.array([3.0, 2.0, 4.0]), "in")
    published(page, "3 in straight", 24, from_si(raceway.pull_box_straight(three), "in"), 1e-9,
              "in")  # fmt: skip
    published(page, "4 in straight", 32, from_si(raceway.pull_box_straight(four), "in"), 1e-9,
              "in")  # fmt: skip
    published(page, "3 + 2 in angle", 20, from_si(raceway.pull_box_angle(three, two), "in"), 1e-9,
              "in")  # fmt: skip
    published(page, "spacing", 18, from_si(raceway.pull_box_spacing(three), "in"), 1e-9, "in")


COVERS = {
    "direct burial": [24, 18, None, 18, 24, 18, 18],
    "RMC": [6, 6, 0, 4, 24, 18, 18],
    "PVC 40": [18, 12, 0, 4, 24, 18, 18],
    "PVC 80": [18, 12, 0, 4, 24, 18, 18],
}
SURFACES = ["yard", "under 2 in concrete", "under building", "under 4 in slab", "road",
            "dwelling driveway", "airfield"]  # fmt: skip


@pytest.mark.parametrize("method", COVERS)
def test_cover(method: str, published: Published) -> None:
    """Table 300.5(A), all rows of three columns."""
    for surface, printed in zip(SURFACES, COVERS[method], strict=True):
        if printed is not None:
            ours = from_si(burial.least_cover(method, surface), "in")
            published("public copy of 300.5 (up.codes)", f"{method}, {surface}", printed, ours,
                      1e-9, "in")  # fmt: skip
