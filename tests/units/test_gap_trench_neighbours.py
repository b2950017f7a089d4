"""A service beside a road or beside another one: the gap that is judged is the gap that is drawn.

18 in of cover in a yard and 24 under a road (NFPA 70 Table 300.5(A)), ramps of one in three, a
conduit 4 cm wide, 12 in asked for to every service; geometry by hand.
"""

from __future__ import annotations

import numpy as np
import pytest

from plumbrail.check import Status
from plumbrail.model.build import build
from plumbrail.plan.models import Service, Trench
from plumbrail.site.grounds import _buried
from plumbrail.trench.checking import depth_checks
from plumbrail.trench.parts import Bundle, Crossing, Piece, Profile, Wires
from plumbrail.trench.profile import Depths, crossings, settled
from wirings import wired_plan

INCH = 0.0254
ROUTE = np.array([[0.0, 0.0], [20.0, 0.0]])
PLAN = wired_plan()
TRENCH = Trench.model_validate(
    {"clearance": "3 ft", "pier_clearance": "3 ft", "roots": "go round", "service_gap": "12 in"}
)
WIRES = Wires(np.zeros(3), "C1", "PVC 40", "PVC 80", "", 0.3,
              (Bundle(2, "4 AWG", "THWN-2", "copper"),), 30.0, 0.1)  # fmt: skip


def line(x: float, depth: str, diameter: str = "4 in") -> Service:
    return Service.model_validate({
        "name": f"Line {x}", "kind": "gas", "located_by": "locator", "depth": depth,
        "diameter": diameter, "points": [[f"{x} m", "-5 m"], [f"{x} m", "5 m"]],
    })  # fmt: skip


def laid(*services: Service, road: float = 20.0) -> tuple[tuple[Crossing, ...], Profile]:
    pieces = [Piece(0.0, road, 1.0, False, (), ())]
    if road < 20.0:
        pieces.append(Piece(road, 20.0, 1.0, False, (), ("paving",)))
    depths = Depths(PLAN, TRENCH, WIRES, 0.04, tuple(pieces))
    passed = crossings(ROUTE, _buried(services), depths)
    return settled(ROUTE, build(PLAN), passed, depths)


def drawn_gap(c: Crossing, p: Profile) -> float:
    """Upright, between the conduit of the profile and a service, over the service's width."""
    assert c.top is not None
    about = np.linspace(c.at - 0.5 * c.width, c.at + 0.5 * c.width, 41)
    top = np.interp(about, p.at, p.top)
    return float(np.maximum(c.top - top - 0.04, top - c.top - c.width).min())


def test_a_ramp_under_one_service_does_not_cut_through_the_next() -> None:
    """The second is passed under, at 25 + 4 + 12 = 41 in. A metre before it, less half its width
    and the 0.3 m that are level, the ramp is 0.65/3 m higher, at 32.5 in: its lower side lies at
    34.1 in, in the first service, whose top at 34 in would have been far enough from 18 in."""
    (first, second), p = laid(line(5.0, "34 in"), line(6.0, "25 in"))
    assert (first.over, second.over) == (False, False)
    assert first.conduit == pytest.approx((34 + 4 + 12) * INCH)
    for c in (first, second):
        assert drawn_gap(c, p) >= 12 * INCH - 1e-6
        assert c.gap == pytest.approx(drawn_gap(c, p))
    alone, _ = laid(line(5.0, "34 in"))
    assert alone[0].over is True
    assert alone[0].gap == pytest.approx((34 - 18) * INCH - 0.04)


def test_the_gap_that_is_just_kept_passes_over_and_a_hair_less_passes_under() -> None:
    """18 in of cover, 4 cm of conduit and 12 in: what is passed over also passes its check."""
    just = (18 + 12) * INCH + 0.04
    for short, over in ((0.0, True), (5e-10, False), (5e-7, False)):
        (one,), p = laid(line(5.0, f"{just - short:.12f} m"))
        assert one.over is over, short
        checks = {c.id: c.status for c in depth_checks(p, (one,), PLAN)}
        assert checks["X1.gap"] is Status.PASS


@pytest.mark.parametrize(("x", "over"), [(11.0, True), (11.7, False), (12.0, False)])
def test_a_service_at_the_edge_of_a_road_counts_with_the_ramp(x: float, over: bool) -> None:
    """32 in: 18 + 1.6 + 12 in go over it. At 0.3 m before the road the ramp is at 20 in already."""
    (one,), p = laid(line(x, "32 in"), road=12.0)
    assert one.over is over
    assert drawn_gap(one, p) >= 12 * INCH - 1e-6
    checks = {c.id: c for c in depth_checks(p, (one,), PLAN)}
    assert checks["X1.gap"].status is Status.PASS
    assert checks["X1.gap"].capacity == pytest.approx(drawn_gap(one, p), abs=1e-6)


def test_a_wide_line_crossed_at_a_flat_angle_is_kept_off_to_its_far_edges() -> None:
    """Geometry: 36 in wide, 1 in 20 to the route, it lies over 18 in / sin = 9.16 m each way."""
    flat = Service.model_validate({
        "name": "Wide sewer", "kind": "sewer", "located_by": "locator", "depth": "20 in",
        "diameter": "36 in", "points": [["0 m", "-0.5 m"], ["20 m", "0.5 m"]],
    })  # fmt: skip
    (one,), p = laid(flat)
    assert one.over is False
    half = 18 * INCH * np.hypot(20.0, 1.0)
    assert half == pytest.approx(9.16, abs=0.01)
    top = np.interp(np.linspace(10.0 - half, 10.0 + half, 201), p.at, p.top)
    assert top.min() - (20 + 36) * INCH >= 12 * INCH - 1e-6
    assert one.gap == pytest.approx(top.min() - (20 + 36) * INCH)
