"""Rules of NFPA 70 right at their limits; "above" and "not less than" as public copies print it."""

from __future__ import annotations

import pytest

from plumbrail.bases.us.nec.answers import EDITIONS
from plumbrail.bases.us.nec.applicability import Applies, applicability
from plumbrail.bases.us.nec.grounding import array_electrode
from wirings import check, wire


def rules(volts: float, amperes: float, edition: str = "NEC 2023") -> dict[str, Applies]:
    return {a.topic: a for a in applicability(edition, "other", "inside", volts, amperes)}


@pytest.mark.parametrize("edition", ["NEC 2017", "NEC 2020", "NEC 2023"])
def test_some_rules_apply_to_every_array(edition: str) -> None:
    """690.13, 690.15, 690.31(B) and 690.43 name no voltage and no current."""
    found = rules(20.0, 5.0, edition)
    for topic in ("system disconnect", "equipment disconnect", "separate raceways",
                  "bonding of frame and rails"):  # fmt: skip
        assert found[topic].applies is True, topic


@pytest.mark.parametrize(("topic", "limit", "at"), [
    ("arc-fault protection", 80.0, True),  # 690.11: 80 V or greater
    ("open wires within reach", 30.0, False),  # 690.31(A): greater than 30 V
    ("metal raceway indoors", 30.0, False),  # 690.31(D): exceeding 30 V or 8 A
    ("ground-fault protection", 30.0, False),  # 690.41(B): exceeding 30 V or 8 A
    ("deeper burial above 1000 V", 1000.0, False),  # 300.5: up to 1000 V; from memory
])  # fmt: skip
def test_a_rule_begins_at_its_voltage(topic: str, limit: float, at: bool) -> None:
    assert rules(limit - 0.01, 8.0)[topic].applies is False
    assert rules(limit, 8.0)[topic].applies is at
    assert rules(limit + 0.01, 8.0)[topic].applies is True


def test_more_than_8_amperes_count_at_any_voltage() -> None:
    for topic in ("metal raceway indoors", "ground-fault protection"):
        assert rules(20.0, 8.0)[topic].applies is False
        assert rules(20.0, 8.01)[topic].applies is True


def test_above_30_amperes_the_equipment_switch_breaks_the_load() -> None:
    """690.15: an isolator up to 30 A."""
    words = {amperes: rules(400.0, amperes)["equipment disconnect"].words for amperes in (30, 30.1)}
    assert "Up to 30 A an isolator" in words[30]
    assert "must be able to break the load" in words[30.1]


def test_the_tables_coldest_degree_is_still_in_it() -> None:
    """Table 690.7(A): 1.25 from -36 to -40 degC; 38.9 V of the demo's module."""
    for said in ("-40 degC", "-40 degF"):
        found = wire({"basis.cold_voltage": "table", "basis.extreme_low": said})
        assert found.volts.cold == pytest.approx(1.25 * 38.9)


def test_the_coefficient_alone_counts_where_the_plan_asks_for_it() -> None:
    """Derived: at the 25 degC that the module is rated at, its own 38.9 V and nothing more."""
    plain = wire({"basis.cold_voltage": "coefficient", "basis.extreme_low": "25 degC"})
    assert plain.volts.cold == pytest.approx(38.9)
    cold = check(plain, "S1.cold")
    assert cold.demand == pytest.approx(38.9 * plain.chosen.per_string)


def test_what_the_fill_takes_for_the_grounding_conductor_is_told_where_it_is_taken() -> None:
    """Chapter 9 Table 5 has no USE-2, so another kind stands for it: common practice, no published
    source."""
    words = "The grounding conductor beside USE-2 counts as"
    use = wire({"run.ends": "outside", "conductors.run_type": "USE-2"})
    assert any(note.startswith(words) for note in use.notes)
    assert not any(note.startswith("The grounding conductor beside") for note in wire().notes)


def test_wire_outside_raceway_is_not_told_of_raceway() -> None:
    """338.10 and 338.12, from memory, speak of USE-2 in raceway; THWN-2 is made for it."""
    use = {"run.ends": "outside", "conductors.run_type": "USE-2"}
    assert check(wire(use), "run.kind").title == "kind of wire in raceway"
    for changes in ({}, use | {"run.method": "direct burial"}):
        assert not [c for c in wire(changes).checks if c.id == "run.kind"]


def test_conduit_in_the_sun_grows_over_the_range_of_the_air_and_30_degrees_more() -> None:
    """Table 352.44 for 140 degF: 5.68 in on 100 ft of PVC, 11.5 mm on 8 ft."""
    found = wire({}, {"site.hottest": "100 degF", "site.coldest": "-10 degF"})
    assert any("grows by 11.5 mm" in note and "needs an expansion" in note for note in found.notes)


def test_an_electrode_at_the_array_is_required_in_2014_only() -> None:
    """690.47(D) of 2014, 690.47(B) after it; 2017 from memory."""
    asked = {e: array_electrode(e).required for e in EDITIONS}
    assert asked == {"NEC 2014": True, "NEC 2017": False, "NEC 2020": False, "NEC 2023": False}
