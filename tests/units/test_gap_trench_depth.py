"""How deep the conduit lies at what is buried, and what is said and asked at each depth.

Depths are those of NFPA 70 Table 300.5(A) in inches: nonmetallic 18 in a yard, 24 under a road.
"""

from __future__ import annotations

from math import asin, atan, pi
from typing import Any

import numpy as np
import pytest

from plumbrail.errors import RangeError
from plumbrail.model.build import build
from plumbrail.plan.models import Service, Trench
from plumbrail.site.grounds import Grounds, _buried
from plumbrail.trench import safety
from plumbrail.trench.along import met
from plumbrail.trench.parts import Bundle, Crossing, Piece, Wires
from plumbrail.trench.profile import Depths, crossings, kicks, profile
from wirings import wired_plan

INCH, FOOT = 0.0254, 0.3048
ROUTE = np.array([[0.0, 0.0], [20.0, 0.0]])
TRENCH = Trench.model_validate(
    {"clearance": "3 ft", "pier_clearance": "3 ft", "roots": "go round", "service_gap": "12 in"}
)


def wires(method: str = "PVC 40") -> Wires:
    bundles = (Bundle(2, "4 AWG", "THWN-2", "copper"),)
    return Wires(np.zeros(3), "C1", method, "PVC 80", "", 0.3, bundles, 30.0, 0.1)


def depths(outer: float = 0.04, kinds: tuple[str, ...] = (), **changes: Any) -> Depths:
    pieces = (
        Piece(0.0, 12.0, 1.0, False, (), ()),
        Piece(12.0, 20.0, 1.0, False, (), kinds),
    )
    return Depths(wired_plan(), TRENCH, wires(**changes), outer, pieces)


def service(depth: str | None, diameter: str | None = None, x: float = 5.0) -> Service:
    said: dict[str, Any] = {
        "name": "Gas line", "kind": "gas", "located_by": "locator",
        "points": [[f"{x} m", "-5 m"], [f"{x} m", "5 m"]],
    }  # fmt: skip
    said |= {} if depth is None else {"depth": depth}
    said |= {} if diameter is None else {"diameter": diameter}
    return Service.model_validate(said)


def crossed(depth: str | None, diameter: str | None = None) -> Crossing:
    (one,) = crossings(ROUTE, _buried((service(depth, diameter),)), depths())
    return one


def test_a_service_that_bends_on_the_route_is_crossed_once() -> None:
    """Geometry: whatever the direction, a line from one side to the other crosses once."""
    rng = np.random.default_rng(5)
    for _ in range(300):
        bend, way = rng.uniform(-20, 20, 2), rng.normal(size=2)
        side = np.array([-way[1], way[0]])
        line = np.array([bend + 3 * side - way, bend, bend - 2 * side - 1.5 * way])
        assert len(met(np.array([bend - 2 * way, bend + 4 * way]), line)) == 1


def test_two_places_where_a_service_is_crossed_stay_two() -> None:
    line = np.array([[2.0, -1.0], [2.0, 1.0], [8.0, 1.0], [9.0, -1.0]])
    (first, square), (second, slant) = met(ROUTE, line)
    assert (first, second) == pytest.approx((2.0, 8.5))
    assert (square, slant) == pytest.approx((pi / 2, asin(2 / 5**0.5)))


def test_a_service_along_the_wall_where_the_route_ends_is_crossed() -> None:
    """Geometry: start and end of a route count, and a bend on a service counts once."""
    bent = np.array([[0.0, 0.0], [5.0, 0.0], [9.0, 3.0]])
    for x in (0.0, 5.0, 9.0):
        assert len(met(bent, np.array([[x, -4.0], [x, 7.0]]))) == 1, x
    assert not met(bent, np.array([[9.001, -4.0], [9.001, 7.0]]))


def test_the_conduit_goes_over_where_the_gap_is_just_kept_else_under() -> None:
    """18 in of cover, 0.04 m of conduit and 12 in of gap: 30 in and 4 cm to pass over."""
    just = (18 + 12) * INCH + 0.04
    over, under = crossed(f"{just} m", "4 in"), crossed(f"{just - 0.002} m", "4 in")
    assert (over.over, under.over) == (True, False)
    assert (over.conduit, over.gap) == pytest.approx((18 * INCH, 12 * INCH))
    # Under it: its top, its 4 in of width and the gap of 12 in.
    assert under.conduit == pytest.approx(just - 0.002 + 16 * INCH)
    assert under.gap == pytest.approx(12 * INCH)
    shallow = crossed("1 in", "1 in")
    # 1 + 1 + 12 = 14 in would do, but the cover asks for 18 in: 16 in are left between them.
    assert (shallow.conduit, shallow.gap) == pytest.approx((18 * INCH, 16 * INCH))
    unknown = crossed(None)
    assert (unknown.over, unknown.gap, unknown.top) == (None, None, None)


def test_paving_counts_as_a_road_and_the_conduit_goes_down_to_it() -> None:
    there = depths(kinds=("paving",))
    assert [there.cover(p) for p in there.pieces] == pytest.approx([18 * INCH, 24 * INCH])
    p = profile(ROUTE, build(wired_plan()), (), there)
    assert (p.top >= p.cover - 1e-9).all()
    # A ramp of one in three: 6 in deeper take 18 in of way before the road begins at 12 m.
    before = 12.0 - 18 * INCH
    tops = np.interp([before - 0.3, before, before + 9 * INCH, 12.0], p.at, p.top)
    assert tops == pytest.approx(np.array([18, 18, 21, 24]) * INCH)
    assert p.bottom == pytest.approx(p.top + 0.04 + 3 * INCH)
    down, level = kicks(p)
    assert (down.way, level.way) == ("down", "up")
    assert (down.at, level.at) == pytest.approx((before, 12.0))
    assert (down.angle, level.angle) == pytest.approx((atan(1 / 3), atan(1 / 3)))


def test_bare_cable_under_a_building_has_no_cover() -> None:
    plan = wired_plan({"run.surface": "under building"})
    with pytest.raises(RangeError, match=r"wiring\.run\.surface"):
        Depths(plan, TRENCH, wires("direct burial"), 0.0, ()).cover(
            Piece(0.0, 1.0, 1.0, False, (), ())
        )


@pytest.mark.parametrize(("feet", "asked"), [
    (3.99, ()), (4.0, ("ladder",)), (4.99, ("ladder",)), (5.0, ("ladder", "nobody goes in")),
    (20.0, ("ladder", "nobody goes in")), (20.01, ("ladder", "nobody goes in", "engineer")),
])  # fmt: skip
def test_each_depth_is_told_what_the_law_asks(feet: float, asked: tuple[str, ...]) -> None:
    """29 CFR 1926.651(c)(2) from 4 ft, 652(a) from 5 ft, App. F above 20 ft."""
    said = " ".join(safety.cautions(feet * FOOT))
    for word in ("ladder", "nobody goes in", "engineer"):
        assert (word in said) is (word in asked), word
    assert ("Less than 5 ft" in said) is (feet < 5)


def test_crossings_are_dug_up_by_hand_and_roots_as_the_plan_says() -> None:
    nothing = Grounds(_buried(()), None, None, ())
    there, none = (safety.checklist(TRENCH, nothing, c) for c in ((crossed("2 ft"),), ()))
    assert any("Dig up every crossing by hand" in s for s in there)
    assert not any("crossing by hand" in s for s in none)
    assert any("Stay out of the root zones" in s for s in none)
    roots = TRENCH.model_copy(update={"roots": "dig by hand"})
    assert any("tunnel under them" in s for s in safety.checklist(roots, nothing, ()))
