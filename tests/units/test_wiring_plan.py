"""The wiring of a plan, from voltages to the buying list.

Numbers that a person worked out from the quoted clause stand beside the clause; the clauses and
tables themselves are compared with published values in tests/validation.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from plumbrail.check import Status
from plumbrail.errors import PlanError
from plumbrail.model.build import build, build_planned
from plumbrail.plan.models import Plan
from plumbrail.trace import PROVISIONS
from plumbrail.wiring.parts import Wired
from plumbrail.wiring.run import wired
from plumbrail.wiring.volts import hot_cell
from wirings import LOW, check, wire, wired_plan


@cache
def plain() -> Wired:
    return wire()


@cache
def low() -> Wired:
    return wire(LOW)


def test_both_cold_voltages_are_shown_and_the_larger_counts() -> None:
    """38.9 V x (1 + 0.0025 x 49) and 38.9 V x 1.20 (Table 690.7(A), -24 degC)."""
    volts = plain().volts
    assert volts.cold_by_coefficient == pytest.approx(38.9 * 1.1225)
    assert volts.cold_by_table == pytest.approx(38.9 * 1.20)
    assert volts.cold == volts.cold_by_table
    assert wire({"basis.cold_voltage": "coefficient"}).volts.cold == pytest.approx(38.9 * 1.1225)
    colder = wire({"basis.extreme_low": "-31 degC", "basis.cold_voltage": "table"})
    assert colder.volts.cold == pytest.approx(38.9 * 1.23)


def test_below_the_table_the_coefficient_counts_or_the_plan_is_asked() -> None:
    volts = wire({"basis.extreme_low": "-45 degC"}).volts
    assert volts.cold_by_table is None
    assert volts.cold_by_coefficient == pytest.approx(38.9 * (1 + 0.0025 * 70))
    assert volts.cold == pytest.approx(38.9 * 1.25)  # the table's last factor, which is more
    own = wire({"basis.extreme_low": "-45 degC", "basis.cold_voltage": "coefficient"}).volts
    assert own.cold == pytest.approx(38.9 * (1 + 0.0025 * 70))
    with pytest.raises(PlanError, match=r"cold_voltage"):
        wire({"basis.extreme_low": "-45 degC", "basis.cold_voltage": "table"})


def test_hot_voltage_by_noct_by_hand() -> None:
    """38 degC + (44 - 20) / 800 x 1000 = 68 degC; -0.29 - 0.045 = -0.335 %/K over 43 K."""
    volts = wire(elsewhere={"module.noct": "44 degC"}).volts
    assert volts.hot == pytest.approx(32.6 * (1 - 0.00335 * 43))


@pytest.mark.parametrize("field", ["pmax", "voc", "isc", "vmp", "imp", "voc_coefficient"])
def test_a_missing_figure_is_asked_for_by_name(field: str) -> None:
    plan = wired_plan()
    bare = plan.model_copy(update={"module": plan.module.model_copy(update={field: None})})
    with pytest.raises(PlanError, match=rf"module\.{field}: .* write for example"):
        wired(bare, build(plan))


def test_figures_that_disagree_are_refused() -> None:
    with pytest.raises(PlanError, match=r"module\.pmax.*a slip"):
        wire(elsewhere={"module.pmax": "300 W"})


def test_a_plan_without_wiring_is_told_so() -> None:
    plan = wired_plan()
    with pytest.raises(PlanError, match="wiring"):
        wired(plan.model_copy(update={"wiring": None}), build(plan))


def test_the_best_grouping_uses_all_modules_with_room_in_the_cold() -> None:
    best = plain().chosen
    assert (best.per_string, best.strings, best.left_over) == (8, 3, 0)
    assert best.cold == pytest.approx(8 * 38.9 * 1.2)
    assert best is plain().groupings[0]
    assert "uses all 24 modules" in best.merits


def test_every_reason_against_a_grouping_is_told() -> None:
    by_length = {(g.per_string, g.strings): g for g in plain().groupings}
    assert any("coldest morning" in r for r in by_length[10, 2].reasons)  # 466.8 V over 450 V
    assert any("working window" in r for r in by_length[3, 8].reasons)  # 83 V under 90 V
    assert any("the input stands 60 A" in r for r in by_length[6, 4].reasons)  # 70 A
    small = wire({"equipment.max_array": "9 kW"})
    assert any("largest array" in r for g in small.groupings for r in g.reasons)


def test_the_bound_of_the_cold_is_sharp() -> None:
    """Nine modules give 420.12 V (38.9 V x 1.2 x 9)."""

    def longest(limit: str) -> int:
        found = wire({"equipment.max_voltage": limit, "equipment.working": ["90 V", "400 V"]})
        return max(
            g.per_string for g in found.groupings if not any("coldest" in r for r in g.reasons)
        )

    assert longest("420.13 V") == 9
    assert longest("420.11 V") == 8


def test_clipping_is_a_note_and_no_reason() -> None:
    found = wire({"equipment.max_current": "30 A"})
    three = next(g for g in found.groupings if (g.per_string, g.strings) == (8, 3))
    assert three.feasible
    assert any("lost" in n for n in three.notes)
    fixed = wire({"equipment.max_current": "30 A", "per_string": 8})
    assert check(fixed, "input.working-current").status is Status.NOT_CHECKED


def test_a_length_that_the_plan_fixes_and_that_will_not_do_fails_its_checks() -> None:
    found = wire({"per_string": 12})
    assert found.chosen.per_string == 12
    assert "wiring.per_string asks for it, but" in found.why
    assert check(found, "S1.cold").status is Status.FAIL
    assert check(found, "array.grouping").status is Status.FAIL
    with pytest.raises(PlanError, match="per_string"):
        wire({"per_string": 30})


def test_no_string_fuses_for_two_in_parallel() -> None:
    """17.5 A back into a module that allows 25 A, 690.9(A)(1)."""
    found = wire({"per_string": 9})
    assert found.chosen.strings == 2
    assert found.circuits[0].device == "none required"
    assert check(found, "S1.fuse").demand == pytest.approx(17.5)
    assert check(found, "S1.fed-back").status is Status.PASS
    assert not any("fuse" in i.what for i in found.buying)


def test_three_in_parallel_need_the_fuse_that_the_module_just_allows() -> None:
    """35 A back; 1.5625 x 14 A = 21.875 A, next size 25 A, which is the module's largest."""
    assert plain().circuits[0].device == "25 A fuse"
    assert check(plain(), "S1.fuse").ratio == pytest.approx(1.0)
    said = check(plain(), "S1.fuse").note
    assert "35.0 A can be driven back" in said
    assert "21.9 A at least" in said
    (fuses,) = [i for i in plain().buying if "fuse" in i.what]
    assert fuses.amount == 3


def test_no_compliant_fuse_is_an_answer() -> None:
    found = wire(elsewhere={"module.max_series_fuse": "20 A"})
    assert found.circuits[0].device == "no compliant fuse"
    one = check(found, "S1.fuse")
    assert one.status is Status.FAIL
    assert one.ratio == pytest.approx(25 / 20)


def test_what_the_maker_has_not_said_is_not_checked() -> None:
    found = wire(
        {
            "equipment.backfeed": None,
            "equipment.arc_fault": None,
            "equipment.ground_fault": None,
            "per_string": 9,
            "run.straight": None,
            "equipment.start_voltage": None,
            "equipment.max_short_circuit": None,
        }
    )
    for id in (
        "S1.backfeed",
        "S1.fed-back",
        "run.fed-back",
        "rules.arc-fault",
        "rules.ground-fault",
        "S1.start",
        "input.short-circuit",
        "riser.growth",
        "S1.cold-module",
        "run.cover",
    ):
        assert check(found, id).status is Status.NOT_CHECKED, id
        assert check(found, id).note, id
    assert found.circuits[0].device.startswith("not checked")
    assert "needs no string fuses" not in found.why


def test_a_breaker_that_the_runs_wires_do_not_take_is_told() -> None:
    """One string: 1.5625 x 14 A asks for 25 A; 12 AWG takes 20 A, 240.4(D), 10 AWG 30 A."""
    one = {"per_string": 6, "equipment.inputs": 4, "run.length": "60 ft"}
    thin, thick = (wire({**one, "conductors.run_size": size}) for size in ("12 AWG", "8 AWG"))
    words = "would have to be 25 A at least, and 12 AWG takes 20 A at most"
    assert any(words in note for note in thin.notes)
    assert not any("takes" in note and "at most" in note for note in thick.notes)


def test_the_array_gets_the_largest_grounding_conductor_of_its_circuits() -> None:
    """690.45: 25 A assumed, 10 AWG; with the run it need not pass 12 AWG, 250.122(A)."""
    found = wire({"per_string": 6, "equipment.inputs": 4, "conductors.run_size": "12 AWG"})
    assert [c.grounding for c in found.circuits] == ["10 AWG", "12 AWG"]
    item = next(i for i in found.buying if i.what.startswith("array grounding"))
    assert item.what.endswith("10 AWG")
    assert "6 AWG at least, or in conduit" in item.note


def test_the_covering_that_the_fill_leaves_out_is_told() -> None:
    rhw = wire({"conductors.run_type": "RHW-2"})
    assert any("without an outer covering" in note for note in rhw.notes)
    assert not any("outer covering" in note for note in plain().notes)


def test_pvc_above_its_temperature_is_told() -> None:
    hot = wire({}, elsewhere={"site.hottest": "51 degC"})
    assert any("PVC conduit is made for places up to 50 °C" in note for note in hot.notes)
    assert not any("50 °C" in note for note in plain().notes)


def test_backfeed_from_the_equipment_counts() -> None:
    """17.5 A and 10 A are over the module's 25 A: two strings need fuses then."""
    found = wire({"equipment.backfeed": "10 A", "per_string": 9})
    assert found.circuits[0].device == "25 A fuse"
    strong = wire({"equipment.backfeed": "300 A", "per_string": 9})
    assert strong.circuits[1].device.endswith("A device")
    assert any("device" in i.what for i in strong.buying)


def test_the_run_passes_both_tests_of_690_8() -> None:
    """42 A: 52.5 A corrected, 65.625 A at the terminals; 4 AWG is 85 A at 75 degC."""
    run = plain().circuits[1]
    assert (run.i_sc, run.i_max) == pytest.approx((42.0, 52.5))
    assert run.size == "4 AWG"
    assert check(plain(), "run.terminals").demand == pytest.approx(65.625)
    assert check(plain(), "run.terminals").capacity == pytest.approx(85.0)
    # 38 degC and 30 degF of sun are 54.7 degC: .76
    assert check(plain(), "run.ampacity").capacity == pytest.approx(95 * 0.76)


def test_the_run_grows_for_the_voltage_lost_where_the_plan_leaves_it_free() -> None:
    tight, fixed = wire({"conductors.voltage_drop": "1 %"}), wire({"conductors.run_size": "6 AWG"})
    assert tight.circuits[1].size != plain().circuits[1].size
    assert check(tight, "run.drop").status is Status.PASS
    assert fixed.circuits[1].size == "6 AWG"
    hopeless = wire({"conductors.voltage_drop": "0.05 %"})
    assert check(hopeless, "run.drop").status is Status.FAIL


def test_a_run_that_the_plan_fixes_too_thin_fails() -> None:
    found = wire({"conductors.run_size": "10 AWG"})
    assert found.circuits[1].size == "10 AWG"
    assert check(found, "run.terminals").status is Status.FAIL


def test_the_voltage_lost_by_hand() -> None:
    """Within the span of the table's 75 degC value and that of a wire no warmer than 90 degC."""
    run = plain().circuits[1]
    at_75 = 2 * 39.6 * 140 * 0.308e-3  # ohm per kft, feet
    assert at_75 * 0.85 < run.drop < at_75 * 1.05


def test_share_lost_is_what_the_wires_lose_over_what_the_modules_give() -> None:
    string, run = plain().circuits
    most = (3 * 13.2 * string.drop + 39.6 * run.drop) / (24 * 430)
    least = 39.6 * run.drop / (24 * 430)
    assert least < plain().share_lost <= most


def test_two_inputs_split_the_run() -> None:
    found = wire({"equipment.inputs": 2, "per_string": 6})
    assert found.chosen.per_input == (2, 2)
    assert found.circuits[1].count == 2
    assert found.circuits[1].i_sc == pytest.approx(28.0)
    assert found.conduits[0].contents[0].startswith("4 x")


def test_boxes_that_meet_at_one_input_still_count_as_parallel() -> None:
    """Six strings over two boxes: 5 x 17.5 A come back into a string."""
    found = wire({**LOW, "combiners.count": 2})
    assert len(found.boxes) == 2
    assert found.circuits[0].device == "25 A fuse"
    assert check(found, "run.fed-back").demand == pytest.approx(52.5)
    assert {p.id for p in found.paths} >= {"C1 run", "C2 run"}


def test_grounding_conductor_by_the_device_or_the_assumed_one() -> None:
    """25 A: 10 AWG; 65.625 A without a device: 70 A assumed, 8 AWG (Table 250.122, 690.45)."""
    string, run = plain().circuits
    assert (string.grounding, run.grounding) == ("10 AWG", "8 AWG")


def test_conduits_are_filled_no_more_than_the_table_allows() -> None:
    """2 x .0824 + .0366 in2 (THWN-2) in a 1 in PVC 40 of .832 in2."""
    under = next(c for c in plain().conduits if c.id == "run.conduit")
    assert under.trade == "1"
    assert under.fill == pytest.approx((2 * 0.0824 + 0.0366) / 0.832)
    assert under.cover == pytest.approx(18 * 0.0254)
    assert sum(c.length for c in plain().conduits) == pytest.approx(140 * 0.3048)


def test_cable_in_the_ground_must_be_made_for_it() -> None:
    found = wire({"run.method": "direct burial"})
    assert check(found, "run.direct-burial").status is Status.FAIL
    assert check(found, "run.conduit").status is Status.NOT_CHECKED
    under = wire(
        {
            "run.method": "direct burial",
            "run.surface": "under building",
            "conductors.run_type": "RHW-2",
        }
    )
    assert check(under, "run.cover").status is Status.FAIL
    assert check(under, "run.direct-burial").status is Status.NOT_CHECKED


def test_growth_of_the_conduit_buys_a_fitting_only_where_it_is_needed() -> None:
    """PVC, 62 + 16.7 K: 1/4 in is reached at 1.33 m (4.35 ft)."""
    assert any("expansion" in i.what for i in plain().buying)
    short = wire({"run.straight": "4 ft"})
    assert not any("expansion" in i.what for i in short.buying)
    assert any("needs no fitting" in n for n in short.notes)


def test_rules_follow_where_the_run_ends() -> None:
    assert check(plain(), "rules.rapid-shutdown").status is Status.NOT_CHECKED
    outside = wire({"run.ends": "outside"})
    assert not [
        c for c in outside.checks if c.id in ("rules.rapid-shutdown", "rules.metal-raceway")
    ]
    assert any("rapid shutdown" in n for n in outside.notes)
    assert check(wire({"equipment.arc_fault": False}), "rules.arc-fault").status is Status.FAIL


def test_the_placard_names_the_largest_voltage() -> None:
    sign = next(p for p in plain().placards if "voltage" in p.text)
    assert sign.values == "largest voltage: 373 V"
    assert sign.clause == "NFPA 70 690.7(D)"


def test_the_buying_list_adds_slack_to_the_paths() -> None:
    wires = sum(p.length for p in plain().paths if p.kind in ("home run", "jumper"))
    item = next(i for i in plain().buying if i.what.startswith("PV wire 10 AWG"))
    assert item.amount == pytest.approx(1.1 * wires)
    assert item.price == pytest.approx(1.6 * item.amount)
    pairs = next(i for i in plain().buying if i.what == "pair of connectors")
    assert (pairs.amount, pairs.price) == (6, pytest.approx(27.0))
    run = next(i for i in plain().buying if i.what.startswith("THWN-2"))
    assert run.amount == pytest.approx(1.1 * 2 * 140 * 0.3048)


def test_iec_checks_what_it_can_and_says_the_rest() -> None:
    """Window 1.5 x 14 = 21 A to 2.4 x 14 = 33.6 A, and at most 25 A."""
    found = wire({"basis.code": "IEC"})
    assert found.volts.cold_by_table is None
    assert found.circuits[0].device == "25 A fuse"
    assert found.circuits[0].size == "6 mm2"
    assert check(found, "S1.fuse").status is Status.PASS
    for id in ("S1.cold-code", "run.ampacity", "run.cover", "run.conduit", "rules.iec-1"):
        assert check(found, id).status is Status.NOT_CHECKED
    assert not found.placards
    assert check(found, "run.drop").status is Status.PASS
    none = wire({"basis.code": "IEC"}, {"module.max_series_fuse": "20 A"})
    assert check(none, "S1.fuse").status is Status.FAIL


def test_aluminium_and_other_editions() -> None:
    found = wire({"conductors.run_metal": "aluminium", "basis.code": "NEC 2017"})
    assert found.circuits[1].metal == "aluminium"
    assert check(found, "run.terminals").status is Status.PASS
    assert found.circuits[1].size != "14 AWG"


def test_every_rated_check_replays_and_has_no_loose_numbers() -> None:
    for found in (plain(), low(), wire({"basis.code": "IEC"})):
        for one in found.checks:
            if one.replay is not None:
                record = one.replay()
                assert record.misfits() == [], one.id
                assert record.loose() == [], one.id


def test_every_provision_of_the_wiring_is_used() -> None:
    used = set()
    switch = {
        "disconnect.poles": 2, "disconnect.interrupting": "1000 A",
        "combiners.count": 3, "grounding.array_electrode": "rod",
    }  # fmt: skip
    for found in (plain(), low(), wire(elsewhere={"module.noct": "44 degC"}), wire(switch),
                  wire({"basis.code": "IEC"})):  # fmt: skip
        for one in found.checks:
            if one.replay is not None:
                used |= {s.provision.name for s in one.replay().steps}
    own = {name for name in PROVISIONS if name.startswith("plumbrail.wiring.")}
    assert own <= used


def test_shade_moves_modules() -> None:
    plan = wired_plan()
    model = build(plan)
    shade = np.where(model.modules.column <= 2, 0.25, 0.0)
    found = wired(plan, model, shade)
    for s in range(3):
        assert np.ptp(shade[found.strings.string == s]) == 0.0
    assert not any("Shade was not looked at" in n for n in found.notes)
    with pytest.raises(ValueError, match="24 modules"):
        wired(plan, model, np.zeros(5))


def test_the_smallest_array_is_wired_too() -> None:
    """Three modules one above the other, in one string."""
    found = wire(
        {"equipment.working": ["50 V", "140 V"], "equipment.start_voltage": None,
         "equipment.max_voltage": "150 V"},
        {"array.rows": 3, "array.columns": 1, "frame.posts": 2, "frame.spacing": "3 ft"},
    )  # fmt: skip
    assert (found.chosen.per_string, found.chosen.strings) == (3, 1)
    assert (found.strings.string == 0).all()
    assert all(p.length > 0 for p in found.paths)


def as_stood(seed: int) -> Wired:
    """The plan with heads of posts up to 20 mm off their places."""
    plan = wired_plan({**LOW, "combiners.count": 2})
    posts = build_planned(plan).posts
    heads = posts.head + np.random.default_rng(seed).uniform(-0.02, 0.02, posts.head.shape)
    data = plan.model_dump(mode="json", exclude_none=True)
    data["as_built"] = {"readings": "a" * 64, "posts": {
        name: {"head": [f"{v!r} m" for v in map(float, heads[i])],
               "base": [f"{v!r} m" for v in map(float, posts.base[i])]}
        for i, name in enumerate(posts.ids)
    }}  # fmt: skip
    made = Plan.model_validate(data)
    return wired(made, build(made))


@pytest.mark.parametrize("seed", [1, 2, 3, 4])
def test_a_frame_as_built_is_wired_along_its_own_beams(seed: int) -> None:
    planned, built = wire({**LOW, "combiners.count": 2}), as_stood(seed)
    lengths = {p.id: p.length for p in planned.paths}
    assert {p.id for p in built.paths} == set(lengths)
    moved = [abs(p.length - lengths[p.id]) for p in built.paths]
    assert 0.0 < max(moved) < 0.2


def test_no_loss_at_all_is_refused_by_name() -> None:
    with pytest.raises(PlanError, match=r"wiring\.conductors\.voltage_drop"):
        wire({"conductors.voltage_drop": "0 %"})


def test_a_thin_aluminium_run_is_refused_by_name() -> None:
    with pytest.raises(PlanError, match=r"wiring\.conductors\.run_size"):
        wire({"conductors.run_metal": "aluminium", "conductors.run_size": "14 AWG"})


def test_the_reason_names_the_next_best() -> None:
    assert "next best are 3 strings of 7: 3 of 24 modules are in no string" in plain().why
    assert "no other number" in wire(
        {"equipment.max_voltage": "100 V", "equipment.working": ["50 V", "90 V"],
         "equipment.start_voltage": None, "equipment.max_short_circuit": None}
    ).why  # fmt: skip


def module(voc: float, isc: float, fuse: str = "25 A") -> dict[str, str]:
    """Figures of a module with the working point that goes with them."""
    vmp, imp = 0.83 * voc, 0.94 * isc
    return {
        "module.voc": f"{voc} V", "module.isc": f"{isc} A", "module.vmp": f"{vmp} V",
        "module.imp": f"{imp} A", "module.pmax": f"{vmp * imp} W",
        "module.max_series_fuse": fuse, "module.max_system_voltage": "1000 V",
    }  # fmt: skip


def most_in_string(found: Wired) -> int:
    return max(g.per_string for g in found.groupings
               if not any("coldest" in r for r in g.reasons))  # fmt: skip


def test_a_printed_string_length_by_the_table() -> None:
    """Study guide to a trade examination for installers: 37.0 V, -24 degC, 600 V: 13 modules."""
    found = wire({"basis.cold_voltage": "table", "equipment.max_voltage": "1000 V",
                  "run.building": "dwelling"}, module(37.0, 9.0))  # fmt: skip
    assert found.volts.cold == pytest.approx(44.40)
    assert most_in_string(found) == 13


def test_a_printed_string_length_by_the_coefficient() -> None:
    """Final review of a college course: 37.8 V, -0.30 %/K, -37 degC, 550 V: 12 modules."""
    figures = {**module(37.8, 9.0), "module.voc_coefficient": "-0.30 %/K"}
    changes = {"basis.cold_voltage": "coefficient", "basis.extreme_low": "-37 degC",
               "equipment.max_voltage": "550 V"}  # fmt: skip
    assert most_in_string(wire(changes, figures)) == 12
    # the table allows one fewer: 1.25 x 37.8 V; derived, nothing printed
    assert most_in_string(wire({**changes, "basis.cold_voltage": "table"}, figures)) == 11


def test_three_strings_that_need_no_fuses() -> None:
    """A trade column on the code, no. 125: 5 A, three strings, 15 A: 12.5 A, no fuses."""
    found = wire(elsewhere=module(38.9, 5.0, "15 A"))
    assert found.chosen.strings == 3
    assert check(found, "S1.fuse").demand == pytest.approx(12.5)
    assert found.circuits[0].device == "none required"


def test_where_no_conductor_will_do_that_is_the_answer() -> None:
    """Twelve strings: 262.5 A at terminals of 60 degC, and 500 kcmil aluminium has 260 A."""
    found = wire({
        **LOW, "per_string": 2, "conductors.run_metal": "aluminium", "basis.code": "NEC 2020",
        "equipment.terminals": "60 degC", "equipment.max_short_circuit": None,
        "equipment.working": ["40 V", "230 V"], "equipment.start_voltage": None,
    })  # fmt: skip
    assert found.circuits[1].i_max * 1.25 == pytest.approx(262.5)
    assert found.circuits[1].size == ""
    assert check(found, "run.ampacity").status is Status.FAIL
    for id in ("run.drop", "run.conduit"):
        assert check(found, id).status is Status.NOT_CHECKED
    assert np.isnan(found.share_lost)


def test_a_printed_answer_that_breaks_the_rule() -> None:
    """A public page takes a 15 A fuse for 10 A and a module of 15 A; 15.625 A are needed."""
    found = wire(LOW, module(38.9, 10.0, "15 A"))
    assert found.chosen.strings == 6
    assert found.circuits[0].device == "no compliant fuse"


def test_printed_iec_fuses() -> None:
    """A public guide to string fuses: 12.28 A and a module of 20 A: two need none, four 20 A."""
    four = wire({**LOW, "basis.code": "IEC", "per_string": 5}, module(38.9, 12.28, "20 A"))
    assert four.chosen.strings == 4
    assert four.circuits[0].device == "20 A fuse"
    two = wire({"basis.code": "IEC", "per_string": 9}, module(38.9, 12.28, "20 A"))
    assert two.chosen.strings == 2
    assert two.circuits[0].device == "none required"


def test_the_cell_without_a_noct_is_that_of_a_reference_library() -> None:
    """Against pvlib.temperature.faiman with its own defaults."""
    from pvlib.temperature import faiman

    plan = wired_plan()
    cell = float(hot_cell(plan))
    assert cell - 273.15 == pytest.approx(faiman(1000.0, 38.0, 1.0), rel=1e-12)
