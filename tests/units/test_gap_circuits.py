"""Circuits where a slip would leave a wire, a device or a length too small, worked out by hand.

The module of the demo gives 14 A in short circuit, 17.5 A by 690.8(A). Sizes are those of NFPA 70
Tables 310.16 and 240.6(A) as public copies print them.
"""

from __future__ import annotations

import numpy as np
import pytest

from plumbrail.check import Status
from wirings import LOW, check, wire

FOOT = 0.3048
SWITCH = {
    "disconnect.voltage": "600 V", "disconnect.current": "60 A", "disconnect.poles": 2,
    "disconnect.interrupting": "1000 A", "disconnect.load_break": True, "disconnect.lockable": True,
}  # fmt: skip


def test_a_string_gets_the_wire_that_its_fuse_asks_for() -> None:
    """A 25 A fuse: 240.4(D) allows 15 A on 14 AWG and 20 A on 12 AWG, so 10 AWG (30 A) it is."""
    found = wire({"conductors.array_size": "14 AWG"})
    assert found.circuits[0].device == "25 A fuse"
    assert found.circuits[0].size == "10 AWG"
    assert check(found, "S1.small-conductor").ratio == pytest.approx(25 / 30)


def test_the_run_is_measured_from_the_farthest_box() -> None:
    """Geometry: the run of 140 ft starts at the box on the right, the left one is farther away."""
    found = wire({**LOW, "combiners.count": 2})
    left, right = found.boxes
    apart = float(np.hypot(*(right - left)[:2]))
    assert apart > 1.0
    assert found.circuits[1].length >= 140 * FOOT + apart - 1e-9
    (way,) = [p.length for p in found.paths if p.id == "C1 run"]
    assert found.circuits[1].length == pytest.approx(140 * FOOT + way)


def test_a_run_that_others_feed_with_more_than_it_carries_gets_a_device() -> None:
    """690.9(A): three boxes of two strings on one input.

    Own current 2 x 17.5 = 35 A, four other strings 70 A. 8 AWG in one conduit with six wires at
    54.7 degC carries 55 x .76 x .8 = 33.4 A, 6 AWG 45.6 A: less than 70 A. The device is rated
    1.25 x 35 = 43.75 A, next standard size 45 A.
    """
    found = wire({**LOW, "combiners.count": 3})
    assert found.circuits[1].i_max == pytest.approx(35.0)
    assert found.circuits[1].device == "45 A device"
    # The device guards the run, so nothing is compared with the wire's own ampacity.
    assert not [c for c in found.checks if c.id == "run.fed-back"]


def test_a_module_that_just_bears_what_comes_back_needs_no_fuse() -> None:
    """690.9(A)(1): two strings, 17.5 A back into a module that allows 17.5 A: not above it."""
    found = wire({"per_string": 9}, {"module.max_series_fuse": "17.5 A"})
    one = check(found, "S1.fuse")
    assert (one.status, one.ratio) == (Status.PASS, pytest.approx(1.0))
    assert found.circuits[0].device == "none required"


def test_a_metric_run_that_the_plan_fixes_stays_as_it_is() -> None:
    """10 AWG is 5.26 mm2, so 6 mm2: 3.39 ohm/km at 20 degC by IEC 60228 class 5, tinned.

    39.6 A over 42.7 m there and back lose 11.5 V cold already, more than 2 % of some 270 V.
    """
    found = wire({"basis.code": "IEC", "conductors.run_size": "10 AWG"})
    assert found.circuits[1].size == "6 mm2"
    assert found.circuits[1].drop > 2 * 39.6 * 140 * FOOT * 3.39e-3
    assert check(found, "run.drop").status is Status.FAIL


def test_a_string_of_iec_carries_one_string() -> None:
    assert wire({"basis.code": "IEC"}).circuits[0].i_sc == pytest.approx(14.0)


def test_the_disconnect_of_a_grounded_pole_names_the_other_wire() -> None:
    """From memory, NFPA 70 690.13 and 690.15: the wire that is grounded is not opened."""
    solid = check(wire(SWITCH | {"disconnect.poles": 1, "grounding.system": "solid"}),
                  "disconnect.poles")  # fmt: skip
    assert solid.note.startswith("the wire of a run that is not grounded")
    assert check(wire(SWITCH), "disconnect.poles").note.startswith("both wires of a run")


def test_a_disconnect_under_iec_cites_no_american_code() -> None:
    found = wire(SWITCH | {"basis.code": "IEC"})
    for one in found.checks:
        if one.family == "disconnect":
            assert "NFPA" not in one.clause, one.id
    assert "NFPA 70 690.13" in check(wire(SWITCH), "disconnect.poles").clause


def test_the_fuse_of_iec_is_compared_with_the_modules_own_limit() -> None:
    """IEC 62548: above 1.5 x 14 = 21 A the next rating is 25 A; the module allows 20 A."""
    none = check(wire({"basis.code": "IEC"}, {"module.max_series_fuse": "20 A"}), "S1.fuse")
    assert (none.status, none.ratio) == (Status.FAIL, pytest.approx(25 / 20))


def test_what_the_equipment_pushes_back_is_open_under_iec() -> None:
    """IEC 62548 counts the other strings only: 14 A of 25 A; no word about the equipment."""
    two = {"basis.code": "IEC", "per_string": 9}
    still, fed = wire(two), wire({**two, "equipment.backfeed": "5 A"})
    assert check(still, "S1.fuse").ratio == pytest.approx(14 / 25)
    assert not [c for c in still.checks if c.id == "S1.backfeed"]
    assert check(fed, "S1.backfeed").status is Status.NOT_CHECKED
