"""The wiring where it meets the site: grounding, disconnect, warmth, kinds of wire, remedies.

Sizes are those of the clause named beside them, as public copies print it, or worked out by hand
from it; the tables themselves are compared with published values in tests/validation.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from plumbrail.check import Status
from plumbrail.checks.remedies import _WIRING, remedy
from plumbrail.errors import PlanError
from plumbrail.jobs.output import CheckOut
from plumbrail.trace import Certainty
from plumbrail.wiring.parts import Wired
from wirings import LOW, check, wire


@cache
def plain() -> Wired:
    return wire()


@cache
def low() -> Wired:
    return wire(LOW)


GROUND = {
    "grounding.system": "functional", "grounding.electrode": "rod",
    "grounding.service_conductor": "2/0 AWG", "grounding.array_electrode": "rod",
}  # fmt: skip
SWITCH = {
    "disconnect.voltage": "600 V", "disconnect.current": "60 A", "disconnect.poles": 2,
    "disconnect.interrupting": "1000 A", "disconnect.load_break": True, "disconnect.lockable": True,
}  # fmt: skip


def test_the_electrode_conductor_names_what_is_missing() -> None:
    note = check(plain(), "grounding.building").note
    assert "wiring.grounding.service_conductor" in note
    assert "wiring.grounding.electrode" in note
    assert "wiring.grounding.system" in check(plain(), "grounding.system").note
    assert [e.size for e in plain().electrodes] == ["", ""]
    assert not [c for c in plain().checks if c.id == "grounding.array-electrode"]


@pytest.mark.parametrize(
    ("service", "metal", "electrode", "size"),
    [("2 AWG", "copper", "other", "8 AWG"), ("1/0 AWG", "copper", "other", "6 AWG"),
     ("2/0 AWG", "copper", "other", "4 AWG"), ("350 kcmil", "copper", "other", "2 AWG"),
     ("500 kcmil", "copper", "other", "1/0 AWG"), ("250 kcmil", "aluminium", "other", "4 AWG"),
     ("500 kcmil", "copper", "rod", "6 AWG"),
     ("500 kcmil", "copper", "concrete-encased", "4 AWG")],
)  # fmt: skip
def test_the_electrode_conductor_is_that_of_the_table(
    service: str, metal: str, electrode: str, size: str
) -> None:
    """NFPA 70 Table 250.66 as a public copy prints it, and the caps of 250.66(A) and (B)."""
    changes = GROUND | {
        "grounding.service_conductor": service, "grounding.service_metal": metal,
        "grounding.electrode": electrode,
    }  # fmt: skip
    found = wire(changes)
    assert found.electrodes[0].size == size
    one = check(found, "grounding.building")
    assert one.status is Status.NOT_CHECKED
    assert f"{size} copper at least (NFPA 70 250.66)" in one.note


def test_an_electrode_conductor_that_is_there_is_compared() -> None:
    thin = check(wire(GROUND | {"grounding.electrode_conductor": "8 AWG"}), "grounding.building")
    assert (thin.status, thin.ratio) == (Status.FAIL, pytest.approx(26240 / 16510))
    assert "electrode" in remedy(thin)
    fits = check(wire(GROUND | {"grounding.electrode_conductor": "6 AWG"}), "grounding.building")
    assert (fits.status, fits.ratio) == (Status.PASS, pytest.approx(1.0))


def test_an_electrode_at_the_array_is_sized_and_bought() -> None:
    found = wire(GROUND | {"grounding.array_electrode_wire": "6 ft"})
    own = next(e for e in found.electrodes if e.id == "array-electrode")
    assert own.size == "6 AWG"
    assert "8 AWG at least" in own.words
    assert check(found, "grounding.array-electrode").ratio == pytest.approx(16510 / 26240)
    item = next(i for i in found.buying if i.what == "grounding electrode conductor, 6 AWG copper")
    assert (item.unit, item.amount) == ("m", pytest.approx(1.1 * 6 * 0.3048))
    assert next(i.amount for i in found.buying if i.what.startswith("ground rod")) == 2
    unknown = wire(GROUND)
    assert any("array_electrode_wire" in i.note for i in unknown.buying)


def test_a_solidly_grounded_array_goes_by_its_own_wires() -> None:
    """250.166: the run's 4 AWG, but not above the 6 AWG of a single rod."""
    solid = GROUND | {"grounding.system": "solid"}
    rod = wire(solid)
    assert rod.circuits[1].size == "4 AWG"
    assert rod.electrodes[1].size == "6 AWG"
    assert wire(solid | {"grounding.electrode": "other"}).electrodes[1].size == "4 AWG"
    assert check(wire(GROUND), "grounding.system").status is Status.PASS
    assert "690.47(A)" in check(wire(GROUND), "grounding.system").clause


def test_the_disconnect_asks_for_everything_it_does_not_know() -> None:
    names = {
        "voltage": "373 V", "current": "52.5 A", "poles": "both wires", "lockable": "lockable",
        "load-break": "under load", "fault": "wiring.disconnect.interrupting",
    }  # fmt: skip
    for name, words in names.items():
        one = check(plain(), f"disconnect.{name}")
        assert one.status is Status.NOT_CHECKED
        assert words in one.note
        assert "wiring.disconnect." in one.note


def test_a_disconnect_is_judged_by_its_sheet() -> None:
    good = wire(SWITCH)
    assert all(c.status is Status.PASS for c in good.checks if c.family == "disconnect")
    assert check(good, "disconnect.voltage").ratio == pytest.approx(373.44 / 600)
    assert check(good, "disconnect.fault").demand == pytest.approx(52.5)
    for field, value in {
        "voltage": "300 V", "current": "50 A", "poles": 1, "interrupting": "40 A",
        "load_break": False, "lockable": False,
    }.items():  # fmt: skip
        bad = wire(SWITCH | {f"disconnect.{field}": value})
        failing = [c for c in bad.checks if c.status is Status.FAIL]
        assert [c.family for c in failing] == ["disconnect"], field
        assert remedy(failing[0])


def test_a_pole_that_is_grounded_is_not_opened_and_backfeed_counts_as_fault() -> None:
    solid = wire(SWITCH | {"disconnect.poles": 1, "grounding.system": "solid"})
    assert check(solid, "disconnect.poles").status is Status.PASS
    fed = wire(SWITCH | {"equipment.backfeed": "900 A", "disconnect.interrupting": "500 A"})
    assert check(fed, "disconnect.fault").demand == pytest.approx(900.0)
    assert check(fed, "disconnect.fault").status is Status.FAIL
    unknown = check(wire(SWITCH | {"equipment.backfeed": None}), "disconnect.fault")
    assert unknown.status is Status.NOT_CHECKED
    assert "wiring.equipment.backfeed" in unknown.note


def test_an_isolator_below_30_amperes_is_left_to_the_inspector() -> None:
    found = wire(SWITCH | {"disconnect.load_break": False, "per_string": 12,
                           "equipment.max_voltage": "600 V", "equipment.inputs": 2})  # fmt: skip
    one = check(found, "disconnect.load-break")
    assert one.status is Status.NOT_CHECKED
    assert "690.13" in one.note


def test_warm_air_behind_modules_costs_ampacity() -> None:
    """10 AWG, 40 A in the 90 degC column, six wires .80: 38 + 15 = 53 degC .76, 38 degC .91."""
    cold = check(wire({"conductors.module_air": "0 K"}), "S1.ampacity")
    assert cold.capacity == pytest.approx(40 * 0.91 * 0.80)
    warm = check(plain(), "S1.ampacity")
    assert warm.capacity == pytest.approx(40 * 0.76 * 0.80)
    assert warm.certainty is Certainty.PRACTICE
    assert any("module_air (common practice, not stated)" in n for n in plain().notes)
    stated = wire({"conductors.module_air": "20 K"})
    assert check(stated, "S1.ampacity").capacity == pytest.approx(40 * 0.71 * 0.80)
    assert any(n.endswith("wiring.conductors.module_air.") for n in stated.notes)
    shade = check(wire({"run.sun_rise": "0 K"}), "run.ampacity")
    assert shade.capacity == pytest.approx(95 * 0.91)
    deep = wire({"run.sun_rise": "0 K", "run.ground_temperature": "45 degC"})
    assert check(deep, "run.ampacity").capacity == pytest.approx(95 * 0.87)


def test_iec_names_no_american_wire_or_raceway() -> None:
    for changes in ({}, {"run.method": "EMT", "combiners.count": 2}):
        found = wire({"basis.code": "IEC", **changes})
        flat = " ".join((
            *(f"{c.insulation} {c.device} {c.grounding}" for c in found.circuits),
            *(f"{c.method} {' '.join(c.contents)}" for c in found.conduits),
            *(f"{i.what} {i.note}" for i in found.buying), *found.notes,
            *(f"{c.clause} {c.note} {c.subject}" for c in found.checks),
        ))  # fmt: skip
        for word in ("PV wire", "USE-2", "THWN", "PVC", "EMT", "RMC", "AWG", "NFPA", "trade size",
                     "placard"):  # fmt: skip
            assert word not in flat, word
        assert "plastic conduit" in flat or "steel conduit" in flat


def test_use_2_stays_outside() -> None:
    with pytest.raises(PlanError, match=r"wiring\.conductors\.run_type: USE-2 is not allowed"):
        wire({"conductors.run_type": "USE-2"})
    out = {"run.ends": "outside", "conductors.run_type": "USE-2"}
    found = wire(out)
    assert check(found, "run.kind").status is Status.PASS
    assert check(found, "run.ampacity").capacity == pytest.approx(95 * 0.76)
    assert "run_diameter" in check(found, "run.conduit").note
    direct = wire(out | {"run.method": "direct burial"})
    assert check(direct, "run.direct-burial").status is Status.PASS


def test_pv_wire_in_conduit_is_filled_by_its_diameter() -> None:
    own = {"conductors.run_type": "PV wire", "conductors.run_size": "4 AWG",
           "conductors.run_diameter": "0.42 in"}  # fmt: skip
    found = wire(own)
    pipe = next(c for c in found.conduits if c.id == "run.conduit")
    area = 2 * np.pi / 4 * 0.42**2 + 0.0366
    assert pipe.trade == "1-1/4"  # what the riser of PVC 80 needs: .3137 of .688 in2 is too much
    assert pipe.fill == pytest.approx(area / 1.453)
    same = wire({"conductors.run_type": "PV wire", "conductors.run_size": "10 AWG",
                 "conductors.array_diameter": "0.27 in", "per_string": 12,
                 "equipment.max_voltage": "600 V", "equipment.inputs": 2})  # fmt: skip
    assert check(same, "run.conduit").status is Status.PASS
    buried = check(wire(own | {"run.method": "direct burial"}), "run.direct-burial")
    assert (buried.status, "direct burial" in buried.note) == (Status.NOT_CHECKED, True)
    with pytest.raises(PlanError, match="run_size"):
        wire({"conductors.run_type": "PV wire", "conductors.run_diameter": "0.42 in"})
    with pytest.raises(PlanError, match="leave the diameter out"):
        wire({"conductors.run_diameter": "0.42 in", "conductors.run_size": "4 AWG"})


def test_clips_and_glands_name_the_wire() -> None:
    found = wire({"conductors.array_diameter": "0.27 in"})
    wires = sum(p.length for p in found.paths if p.kind in ("home run", "jumper"))
    clips = next(i for i in found.buying if i.what.startswith("clip for wire"))
    assert clips.amount == np.ceil(wires / 0.6096)
    assert '1/4"' in clips.note
    assert "outer diameter" in next(i for i in plain().buying if i.what.startswith("clip")).note


def test_a_fuse_is_explained_from_the_modules_current() -> None:
    """1.5625 x 14 A = 21.875 A: 25 A fuse; IEC 1.5 x 14 = 21 A: 25 A."""
    for id in ("S1.fuse", "S1.device"):
        one = check(plain(), id)
        assert one.replay is not None
        values = [float(s.value) for s in one.replay().steps]
        for wanted in (14.0, 17.5, 21.875, 25.0):
            assert any(v == pytest.approx(wanted) for v in values), (id, wanted)
    iec = check(wire({"basis.code": "IEC"}), "S1.fuse")
    assert iec.replay is not None
    values = [float(s.value) for s in iec.replay().steps]
    assert any(v == pytest.approx(21.0) for v in values)
    assert any(v == pytest.approx(33.6) for v in values)
    assert iec.ratio == pytest.approx(1.0)


REMEDIES = (
    {"per_string": 20}, {"per_string": 2}, {"equipment.max_short_circuit": "20 A", "per_string": 8},
    {"equipment.max_array": "5 kW", "per_string": 8}, {"conductors.run_size": "14 AWG"},
    {"run.method": "direct burial"}, {"equipment.arc_fault": False},
    {"equipment.ground_fault": False}, {"equipment.start_voltage": "400 V", "per_string": 8},
    {"conductors.run_size": "10 AWG", "run.length": "400 ft"},
)  # fmt: skip


def test_every_failure_has_a_remedy() -> None:
    seen = set()
    for changes in REMEDIES:
        for one in wire(changes).checks:
            assert bool(remedy(one)) == (one.status is Status.FAIL), one.id
            if one.status is Status.FAIL:
                seen.add((one.family, one.title))
                assert "wiring." in remedy(one) or "equipment" in remedy(one), one.id
    assert {family for family, _ in seen} >= {"string", "input", "array", "run", "rules"}


def test_every_title_that_has_a_remedy_is_the_title_of_a_check() -> None:
    made = [plain(), low(), wire(SWITCH | GROUND), wire({"run.method": "direct burial"})]
    made += [wire({"per_string": 9}), wire({"per_string": 20}), wire({"basis.code": "IEC"}),
             wire({"combiners.count": 3, "equipment.backfeed": "60 A",
                   "run.length": "30 ft"})]  # fmt: skip
    there = {(c.family, c.title) for found in made for c in found.checks}
    assert set(_WIRING) <= there


def test_the_families_of_the_output_are_all_named() -> None:
    described = CheckOut.model_fields["family"].description or ""
    made = (plain(), wire(SWITCH | GROUND), wire({"per_string": 20}), wire({"basis.code": "IEC"}),
            wire({"run.straight": None}))  # fmt: skip
    families = {c.family for found in made for c in found.checks}
    assert all(family in described for family in families), families
