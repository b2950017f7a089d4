"""NFPA 70 310.15, 310.16, 250.122, 250.66 and Chapter 9 Table 8: conductors.

The rows are typed from a second copy than the one that filled the tables.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from plumbrail.bases.us.nec import conductors, grounding, torque
from plumbrail.tables.loader import load
from plumbrail.units import from_si, to_si

Published = Callable[..., None]
COPY = "public copy of Table 310.16, 2023 (wiresizes.com)"
RECORD = "readings of NFPA 70-2023 in an online viewer"
COLUMNS = ("60 degC", "75 degC", "90 degC")
AMPACITIES = """
14 AWG     15 20 25
12 AWG     20 25 30  15 20 25
10 AWG     30 35 40  25 30 35
8 AWG      40 50 55  -- 40 45
6 AWG      55 65 75  40 50 55
4 AWG      70 85 95  55 65 75
3 AWG      85 100 115  65 75 85
2 AWG      95 115 130  75 90 100
1 AWG      110 130 145  85 100 115
1/0 AWG    125 150 170  100 120 135
2/0 AWG    145 175 195  115 135 150
3/0 AWG    165 200 225  130 155 175
4/0 AWG    195 230 260  150 180 205
250 kcmil  215 255 290  170 205 230
300 kcmil  240 285 320  195 230 260
350 kcmil  260 310 350  210 250 280
400 kcmil  280 335 380  225 270 305
500 kcmil  320 380 430  260 310 350
"""
ROWS = [line.split() for line in AMPACITIES.strip().splitlines()]


def kelvin(celsius: float) -> float:
    return float(to_si(celsius, "degC"))


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row[0]} {row[1]}")
def test_ampacities(row: list[str], published: Published) -> None:
    """Every cell, except aluminium 8 AWG at 60 degC, where the copies disagree."""
    size, printed = f"{row[0]} {row[1]}", row[2:]
    metals = [("copper", c) for c in COLUMNS] + [("aluminium", c) for c in COLUMNS]
    for (metal, column), value in zip(metals, printed, strict=False):
        if value != "--":
            ours = conductors.ampacity(size, metal, column)
            published(COPY, f"{size} {metal} {column}", float(value), ours, 0, "A", "second_hand")


def test_copies_disagree_on_two_cells_and_the_lower_is_used() -> None:
    """Aluminium 8 AWG 60 degC: 35 or 30 A; 6 AWG 90 degC: 55 or 60 A."""
    assert float(conductors.ampacity("8 AWG", "aluminium", "60 degC")) == min(35, 30)
    assert float(conductors.ampacity("6 AWG", "aluminium", "90 degC")) == min(55, 60)


@pytest.mark.parametrize(
    ("top", "printed"),
    [(10, "1.29 1.20 1.15"), (15, "1.22 1.15 1.12"), (20, "1.15 1.11 1.08"),
     (25, "1.08 1.05 1.04"), (30, "1.00 1.00 1.00"), (35, ".91 .94 .96"), (40, ".82 .88 .91"),
     (45, ".71 .82 .87"), (50, ".58 .75 .82"), (55, ".41 .67 .76")],
)  # fmt: skip
def test_ambient_factors(top: float, printed: str, published: Published) -> None:
    """Table 310.15(B)(1)(1), base 30 degC, from a second copy."""
    for column, value in zip(COLUMNS, printed.split(), strict=True):
        ours = conductors.ambient_factor(kelvin(top), column)
        published("public copy of Table 310.15(B)(1) (wiresizes.com)", f"{top} degC, {column}",
                  float(value), ours, 1e-9, "-")  # fmt: skip


def test_hot_cells_follow_the_formula(published: Published) -> None:
    """All cells above 30 degC equal sqrt((Tc - Ta)/(Tc - 30)) at the top of their row."""
    cells = load("nec", "ambient")
    count = 0
    for column, top, factor in zip(
        cells.words["column"], cells.numbers["top"], cells.numbers["factor"], strict=True
    ):
        if top > kelvin(30.5):
            limit = kelvin(float(column.split()[0]))
            ours = conductors.ambient_formula(np.asarray(limit), top)
            published("formula in a code forum (forums.mikeholt.com 2559475)",
                      f"{column}, {top - 273.15:.0f} degC", factor, ours, 0.005, "-")  # fmt: skip
            count += 1
    assert count == 24


@pytest.mark.parametrize(
    ("n", "factor"), [(3, 1.0), (4, 0.80), (6, 0.80), (9, 0.70), (20, 0.50), (30, 0.45),
                      (40, 0.40), (41, 0.35)]
)  # fmt: skip
def test_bundle_factors(n: int, factor: float, published: Published) -> None:
    """Table 310.15(C)(1), ends of the printed rows, from a second copy."""
    published("public copy of Table 310.15(C)(1) (wiresizes.com)", f"{n} conductors", factor,
              conductors.bundle_factor(n), 1e-9, "-")  # fmt: skip


def test_10_awg_in_the_heat(published: Published) -> None:
    """10 AWG, 90 degC wire, 45 degC, 6 current-carrying: 27.84 A; 8 AWG has 38.28 A."""
    page = "public do-it-yourself knowledge page, arithmetic confirmed"
    for size, printed, sure in (("10 AWG", 27.84, "confirmed"), ("8 AWG", 38.28, "derived")):
        ours = conductors.corrected_ampacity(
            conductors.ampacity(size, "copper", "90 degC"),
            conductors.ambient_factor(kelvin(45), "90 degC"),
            conductors.bundle_factor(6),
        )
        published(page, f"{size}, 45 degC, 6 conductors", printed, ours, 0.005, "A", sure)


def test_12_awg_with_four_to_six_conductors(published: Published) -> None:
    """12 AWG, 75 degC column, 30 degC, 4 to 6 current-carrying: 20.0 A."""
    ours = conductors.corrected_ampacity(
        conductors.ampacity("12 AWG", "copper", "75 degC"),
        conductors.ambient_factor(kelvin(30), "75 degC"),
        conductors.bundle_factor(5),
    )
    published(RECORD, "12 AWG, 4-6 conductors", 20.0, ours, 1e-9, "A", "second_hand")


def test_both_tests_and_the_cap(published: Published) -> None:
    """Isc 22 A in 45 degC: 10 AWG passes 690.8(B); with a 35 A device its cap asks for 8 AWG."""
    args = (kelvin(45), 6, "copper", "90 degC", ("75 degC",), "14 AWG", "NEC 2023")
    free = conductors.smallest_conductor(27.5, None, *args)
    assert free.size == "10 AWG"
    before, after = free.steps
    document = "NFPA 70 690.8(B), by rule"
    published(document, "(B)(1) needs", 34.375, before.demand, 1e-9, "A", "derived")
    published(document, "(B)(1) has", 35, before.capacity, 1e-9, "A", "derived")
    published(document, "(B)(2) needs", 27.5, after.demand, 1e-9, "A", "derived")
    published(document, "(B)(2) has", 27.84, after.capacity, 0.005, "A", "derived")
    fused = conductors.smallest_conductor(27.5, 35.0, *args)
    assert fused.size == "8 AWG"
    ten = next(t for t in fused.tried if t.size == "10 AWG")
    assert [s.clause for s in ten.steps if not s.holds] == ["240.4(B)", "240.4(D)"]


@pytest.mark.parametrize(
    ("size", "printed"),
    [("14 AWG", 3.14), ("12 AWG", 1.98), ("10 AWG", 1.24), ("8 AWG", 0.778), ("6 AWG", 0.491),
     ("4 AWG", 0.308), ("2 AWG", 0.194), ("1 AWG", 0.154)],
)  # fmt: skip
def test_resistance_of_copper(size: str, printed: float, published: Published) -> None:
    """Chapter 9 Table 8, stranded, uncoated, 75 degC."""
    ours = from_si(conductors.resistance(size, "copper", kelvin(75)), "ohm/kft")
    published(RECORD, f"{size} copper", printed, ours, 1e-9, "ohm/kft", "second_hand")


@pytest.mark.parametrize(("metal", "K"), [("copper", 12.9), ("aluminium", 21.2)])
def test_resistance_times_area_is_one_constant(metal: str, K: float, published: Published) -> None:
    """K = R x cmil/1000 of the usual drop formula, at every size: a misprint would show.

    Within half a per cent: R is printed to three figures and stranding differs by size.
    """
    for size in conductors.sizes_from("14 AWG"):
        R = from_si(conductors.resistance(size, metal, kelvin(75)), "ohm/kft")
        ours = R * conductors.circular_mils(size) / 1000
        sure = "memory" if (size, metal) == ("14 AWG", "aluminium") else "confirmed"
        published("voltage-drop constant K (stuvia.com 6113095)", f"{size} {metal}", K, ours,
                  0.005 * K, "ohm-cmil/ft", sure)  # fmt: skip


def test_resistance_at_20_degrees(published: Published) -> None:
    """10 AWG copper at 20 degC: 1.0197 ohm/kft, 82 % of the table."""
    R_75 = to_si(1.24, "ohm/kft")
    ours = conductors.resistance_at(R_75, np.array(0.00323), np.array(kelvin(20)))
    published("NFPA 70 Chapter 9 Table 8 note 2 (table-ideas.netlify.app)", "10 AWG at 20 degC",
              1.0197, from_si(ours, "ohm/kft"), 0.0005, "ohm/kft", "derived")  # fmt: skip
    table = conductors.resistance("10 AWG", "copper", kelvin(20))
    assert float(table) == pytest.approx(float(ours), rel=1e-12)


@pytest.mark.parametrize(
    ("size", "volts", "amps", "feet", "drop", "percent"),
    [("10 AWG", 12, 10, 25, 0.621, 5.18), ("6 AWG", 12, 10, 25, 0.246, 2.05),
     ("10 AWG", 240, 20.8, 80, 4.14, 1.72)],
)  # fmt: skip
def test_voltage_drop(
    size: str, volts: float, amps: float, feet: float, drop: float, percent: float,
    published: Published,
) -> None:  # fmt: skip
    """The page uses K = 12.9, which is up to .4 % over R of the table: so far it may differ."""
    ours = conductors.voltage_drop(
        amps, conductors.resistance(size, "copper", kelvin(75)), to_si(feet, "ft")
    )
    page = "public do-it-yourself knowledge page, K = 12.9"
    published(page, f"{volts} V, {amps} A, {feet} ft, {size}", drop, ours,
              0.0005 + 0.004 * drop, "V")  # fmt: skip
    published(page, f"{volts} V, {amps} A, {feet} ft, {size}, share", percent,
              100 * ours / volts, 0.005 + 0.004 * percent, "%")  # fmt: skip


def test_voltage_drop_by_share(published: Published) -> None:
    """400 V, 10 A, 200 ft, 10 AWG at 1.24 ohm/kft: 1.24 %."""
    ours = conductors.voltage_drop(
        10.0, conductors.resistance("10 AWG", "copper", kelvin(75)), to_si(200.0, "ft")
    )
    published("voltage-drop formula (stuvia.com 6113095)", "400 V, 10 A, 200 ft", 1.24,
              100 * ours / 400, 0.001, "%", "derived")  # fmt: skip


HOLT = {15: "14", 20: "12", 25: "10", 60: "10", 70: "8", 100: "8", 110: "6", 200: "6", 225: "4",
        300: "4", 350: "3", 400: "3", 450: "2", 500: "2", 600: "1", 700: "1/0", 800: "1/0",
        1000: "2/0", 1200: "3/0"}  # fmt: skip


@pytest.mark.parametrize(("rating", "size"), HOLT.items())
def test_equipment_grounding(rating: float, size: str, published: Published) -> None:
    """Table 250.122, copper, both ends of the ranges that a code teacher prints for 2017."""
    cmil = conductors.circular_mils(f"{size} AWG")
    ours = conductors.circular_mils(grounding.equipment_conductor(rating, "copper"))
    published("newsletter on 250.122 (mikeholt.com, letter 2080)", f"{rating} A: {size} AWG",
              float(cmil), ours, 0, "cmil")  # fmt: skip


@pytest.mark.parametrize(
    ("edition", "rating", "size"),
    [("NEC 2023", 15, "14 AWG"), ("NEC 2020", 15, "14 AWG"), ("NEC 2014", 11.5, "14 AWG")],
)
def test_grounding_of_a_circuit_without_device(
    edition: str, rating: float, size: str, published: Published
) -> None:
    """Isc 9.2 A and no device: 15 A is assumed; by the 2014 text the largest current itself."""
    ours = grounding.assumed_device(11.5, edition)
    sure = "confirmed" if edition == "NEC 2014" else "second_hand"
    published("NFPA 70 690.45", f"{edition}, Isc 9.2 A", rating, ours, 1e-9, "A", sure)
    assert grounding.equipment_conductor(float(ours), "copper") == size


def test_grounding_grown_with_its_circuit(published: Published) -> None:
    """6 to 4 AWG with a 10 AWG grounding conductor: 16511.4 (cut off) cmil > 8 AWG."""
    area = {s: conductors.circular_mils(s) for s in ("10 AWG", "6 AWG", "4 AWG")}
    ours = grounding.increased_grounding(area["10 AWG"], area["4 AWG"], area["6 AWG"])
    published("NFPA 70 250.122(B) with Table 8", "6 to 4 AWG", 16511.4, ours, 0.1, "cmil",
              "derived")  # fmt: skip
    assert grounding.size_of_area(float(ours)) == "6 AWG"


@pytest.mark.parametrize(
    ("largest", "of", "copper", "aluminium"),
    [("2 AWG", "copper", "8 AWG", "6 AWG"), ("1/0 AWG", "copper", "6 AWG", "4 AWG"),
     ("3/0 AWG", "copper", "4 AWG", "2 AWG"), ("4/0 AWG", "copper", "2 AWG", "1/0 AWG"),
     ("500 kcmil", "copper", "1/0 AWG", "3/0 AWG"), ("1 AWG", "aluminium", "8 AWG", "6 AWG"),
     ("250 kcmil", "aluminium", "4 AWG", "2 AWG")],
)  # fmt: skip
def test_electrode_conductor(
    largest: str, of: str, copper: str, aluminium: str, published: Published
) -> None:
    """Table 250.66 as a dealer's service table prints it."""
    for metal, size in (("copper", copper), ("aluminium", aluminium)):
        ours = grounding.electrode_conductor(largest, of, metal, "other")  # type: ignore[arg-type]
        published("service grounding table (cooper-electric.com)", f"{largest} {of}: {metal}",
                  float(conductors.circular_mils(size)), conductors.circular_mils(ours), 0,
                  "cmil")  # fmt: skip


TORQUES = """
10 AWG 20 35 80 75
8 AWG 25 40 80 75
6 AWG 35 45 165 110
4 AWG 35 45 165 110
3 AWG 35 50 275 150
2 AWG 40 50 275 150
1 AWG -- 50 275 150
2/0 AWG -- 50 385 180
4/0 AWG -- 50 500 250
350 kcmil -- 50 650 325
"""


@pytest.mark.parametrize("line", TORQUES.strip().splitlines())
def test_torques(line: str, published: Published) -> None:
    """Annex I Table I.1 as a generator maker's manual prints it."""
    number, unit, *printed = line.split()
    for connector, value in zip(("small slot", "large slot", "split bolt", "other"), printed,
                                strict=True):  # fmt: skip
        if value != "--":
            ours = from_si(torque.torque(f"{number} {unit}", connector), "lbf*in")
            item = f"{number} {unit}, {connector}"
            published("generator installation manual TP-6906, Fig. 1-8", item, float(value), ours,
                      1e-6, "lbf-in")  # fmt: skip


@pytest.mark.parametrize(("across", "printed"), [("1/8 in", 45), ("3/16 in", 120), ("3/8 in", 375)])
def test_socket_torques(across: str, printed: float, published: Published) -> None:
    """Annex I Table I.3; 3/16 in is also on an exam-practice page."""
    ours = from_si(torque.socket_torque(across), "lbf*in")
    published("generator installation manual TP-6906, Fig. 1-7", across, printed, ours, 1e-6,
              "lbf-in")  # fmt: skip
