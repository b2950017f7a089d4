"""What the checks of the trench pass, fail and leave open, with ratios worked out by hand."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from plumbrail.check import Check, Status
from plumbrail.plan.models import Boundary, Locate, Trench
from plumbrail.site.grounds import Grounds, _buried
from plumbrail.trench import checking
from plumbrail.trench.parts import Bundle, Crossing, Direction, Leg, Profile, Wires
from wirings import wired_plan

INCH = 0.0254
TRENCH = Trench.model_validate(
    {"clearance": "3 ft", "pier_clearance": "3 ft", "roots": "go round"}
)  # fmt: skip
WIRES = Wires(np.zeros(3), "C1", "PVC 40", "PVC 80", "1", 0.3,
              (Bundle(2, "4 AWG", "THWN-2", "copper"),), 40.0, 0.1)  # fmt: skip
CROSSED = Crossing("X1", "Gas line", "gas", 5.0, (5.0, 0.0), 1.5, True, (4.0, 6.0), 0.8, 0.1,
                   0.4, True, 0.3, 0.24)  # fmt: skip
"""0.3 m between them, 0.24 m asked for."""
POINTS = [["0 ft", "0 ft"], ["90 ft", "0 ft"], ["90 ft", "90 ft"], ["0 ft", "90 ft"]]


def by_id(found: list[Check]) -> dict[str, Check]:
    return {c.id: c for c in found}


def place(locate: dict[str, Any] | None, known_by: str | None, length: float = 30.0) -> Any:
    line = {"points": POINTS, "known_by": known_by, "setback": "0 ft", "easements_read": True}
    found = Grounds(
        _buried(()), None if locate is None else Locate.model_validate(locate),
        None if known_by is None else Boundary.model_validate(line), (),
    )  # fmt: skip
    return by_id(checking.place_checks(wired_plan(), TRENCH, found, (), length, WIRES))


def test_nobody_marked_anything_stays_open_until_the_own_lines_are_found_too() -> None:
    nobody = place(None, "survey")["trench.located"]
    assert (nobody.status, "nobody has marked" in nobody.note) == (Status.NOT_CHECKED, True)
    half = place({"answered": "2026-04-27", "own_lines": False}, "survey")["trench.located"]
    assert (half.status, "own lines" in half.title) == (Status.NOT_CHECKED, True)
    assert "trench.located" not in place({"answered": "2026-04-27", "own_lines": True}, "survey")


@pytest.mark.parametrize(("known_by", "words"), [
    (None, "give site.boundary"), ("fence", "a fence is not"), ("map", "a map is not"),
    ("survey", ""), ("markers found", ""),
])  # fmt: skip
def test_only_a_survey_or_its_markers_tell_the_boundary(known_by: str | None, words: str) -> None:
    found = place(None, known_by)
    assert ("trench.boundary" in found) is bool(words)
    if words:
        assert found["trench.boundary"].status is Status.NOT_CHECKED
        assert words in found["trench.boundary"].note


def test_the_wires_are_sized_for_no_less_than_the_route() -> None:
    short, long = (place(None, None, length)["trench.length"] for length in (30.0, 50.0))
    assert (short.status, short.ratio) == (Status.PASS, pytest.approx(30 / 40))
    assert (long.status, long.ratio) == (Status.FAIL, pytest.approx(50 / 40))


def gap(**changes: Any) -> dict[str, Check]:
    flat = np.full(3, 0.5)
    line = Profile(np.arange(3.0), np.zeros(3), flat, flat, flat + 0.2, False)
    passed = (replace(CROSSED, **changes),)
    return by_id(checking.depth_checks(line, passed, wired_plan()))


def test_the_gap_at_a_service_is_judged_and_what_is_not_known_stays_open() -> None:
    kept, tight = gap()["X1.gap"], gap(gap=0.2)["X1.gap"]
    assert (kept.status, kept.ratio) == (Status.PASS, pytest.approx(0.24 / 0.3))
    assert (tight.status, tight.ratio) == (Status.FAIL, pytest.approx(0.24 / 0.2))
    assert kept.note == "the conduit passes over it"
    assert gap(over=False)["X1.gap"].note == "the conduit passes under it"
    assert "counts as nothing" in gap(width=0.0)["X1.gap"].note
    unknown = gap(gap=None, over=None, top=None)["X1.gap"]
    assert (unknown.status, "dig it up" in unknown.note) == (Status.NOT_CHECKED, True)
    assert "X1.place" not in gap()
    assert gap(sure=False)["X1.place"].status is Status.NOT_CHECKED


class Three:
    """Three wires that jam by a given ratio."""

    def __init__(self, ratio: float, count: int = 3) -> None:
        self.ratio, self.count = ratio, count

    def jam(self) -> Any:
        return np.asarray(self.ratio)


@pytest.mark.parametrize(("ratio", "status"), [
    (2.79, Status.PASS), (2.81, Status.FAIL), (3.0, Status.FAIL), (3.19, Status.FAIL),
    (3.21, Status.PASS),
])  # fmt: skip
def test_three_wires_jam_from_2_8_to_3_2(ratio: float, status: Status) -> None:
    """Cable makers' pulling guides, from memory."""
    plan = wired_plan()
    (one,) = checking.pull_checks((), Three(ratio), TRENCH, 0.3, plan)  # type: ignore[arg-type]
    assert (one.id, one.status) == ("pull.jam", status)
    assert not checking.pull_checks((), Three(ratio, 4), TRENCH, 0.3, plan)  # type: ignore[arg-type]


def test_bends_are_judged_without_the_wires_too() -> None:
    """NFPA 70 352.26: 360 degrees between pulling points; here 405 and 270."""
    none = np.zeros(1)
    way = (Direction("equipment", none, none), Direction("array", none, none))
    found = by_id(checking.pull_checks(
        (Leg("leg1", "C1", "PB1", (), 2.25 * np.pi, 9.0, way, 0),
         Leg("leg2", "PB1", "wall", (), 1.5 * np.pi, 9.0, way, 0)),
        "no weight", TRENCH, 0.3, wired_plan()))  # fmt: skip
    assert (found["leg1.bends"].status, found["leg1.bends"].ratio) == (
        Status.FAIL, pytest.approx(405 / 360))  # fmt: skip
    assert (found["leg2.bends"].status, found["leg2.bends"].ratio) == (
        Status.PASS, pytest.approx(270 / 360))  # fmt: skip
    for id in ("leg1.tension", "leg1.sidewall", "leg2.tension"):
        assert (found[id].status, found[id].note) == (Status.NOT_CHECKED, "no weight")
