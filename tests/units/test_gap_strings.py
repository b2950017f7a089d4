"""What a grouping of the demo's modules asks of its equipment, worked out by hand.

430 W, 38.9 V open, 32.6 V and 13.2 A at best power, 14 A in short circuit; three strings of eight.
"""

from __future__ import annotations

from typing import Any

import pytest

from plumbrail.check import Check, Status
from plumbrail.trace import Certainty
from wirings import check, wire

EIGHT = {"per_string": 8}


def sources(one: Check) -> set[str]:
    assert one.replay is not None
    record: Any = one.replay()
    return {s.provision.source for s in record.steps}


def test_the_array_is_compared_with_the_most_that_the_maker_allows() -> None:
    found = wire(EIGHT)
    one = check(found, "array.power")
    assert (one.demand, one.capacity) == (pytest.approx(24 * 430), pytest.approx(12000))
    # 10 kW take two strings only: 16 modules of 430 W.
    small = wire({**EIGHT, "equipment.max_array": "10 kW"})
    assert (small.chosen.strings, small.chosen.left_over) == (2, 8)
    assert check(small, "array.power").ratio == pytest.approx(0.688)


def test_the_voltages_of_a_string_against_each_limit() -> None:
    """Table 690.7(A): 1.20 from -21 to -25 degC."""
    cold = {**EIGHT, "basis.extreme_low": "-25 degC", "basis.cold_voltage": "table"}
    found = wire(cold, {"module.max_system_voltage": "1000 V"})
    for id, limit in (("S1.cold", 450), ("S1.cold-code", 1000), ("S1.cold-module", 1000)):
        assert check(found, id).ratio == pytest.approx(8 * 1.20 * 38.9 / limit), id
    assert check(found, "S1.rated").ratio == pytest.approx(8 * 32.6 / 430)
    dwelling = wire({**cold, "run.building": "dwelling"})
    assert check(dwelling, "S1.cold-code").ratio == pytest.approx(8 * 1.20 * 38.9 / 600)


def test_the_record_of_the_cold_names_the_field_it_came_from() -> None:
    by_sheet = {**EIGHT, "basis.cold_voltage": "coefficient"}
    own, site = wire({**by_sheet, "basis.extreme_low": "-25 degC"}), wire(by_sheet)
    assert "wiring.basis.extreme_low" in sources(check(own, "S1.cold"))
    assert "site.coldest" in sources(check(site, "S1.cold"))
    assert "wiring.basis.extreme_low" not in sources(check(site, "S1.cold"))


def test_current_is_lost_only_above_what_the_input_uses() -> None:
    """Two inputs with one string each: 13.2 A at its rating."""
    one = {"per_string": 12, "equipment.max_voltage": "600 V", "equipment.inputs": 2}
    just = check(wire({**one, "equipment.max_current": "13.2 A"}), "input.working-current")
    assert (just.status, just.ratio) == (Status.PASS, pytest.approx(1.0))
    less = check(wire({**one, "equipment.max_current": "13 A"}), "input.working-current")
    assert less.status is Status.NOT_CHECKED
    assert "no pass or fail" in less.note


def test_limits_of_equipment_and_wires_govern_and_the_plans_own_choices_do_not() -> None:
    """A met rule never governs: only where the plan itself or the frame of the code chooses."""
    found = wire({**EIGHT, "grounding.electrode": "rod", "grounding.system": "functional",
                  "grounding.service_conductor": "2/0 AWG",
                  "grounding.electrode_conductor": "6 AWG"})  # fmt: skip
    for id in ("S1.cold", "S1.cold-code", "input.short-circuit", "S1.ampacity", "run.ampacity",
               "run.terminals", "array.power", "S1.fuse"):  # fmt: skip
        assert not check(found, id).rule, id
    for id in ("run.drop", "input.working-current", "grounding.building", "grounding.system"):
        assert check(found, id).rule, id


def test_backfeed_that_nobody_stated_is_less_sure() -> None:
    """Counted as none, from memory; stated, it is the maker's word."""
    two = {"per_string": 9, "equipment.backfeed": None}
    assert check(wire(two), "S1.fuse").certainty is Certainty.MEMORY
