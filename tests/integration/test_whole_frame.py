"""The whole frame of the Alder Creek demo against hand formulas.

Pipe weights are those of the AISC Manual, Table 1-14; wind coefficients those of ASCE 7-16
Fig. 27.3-4, 27.3-7 and 29.4-2 as typed below (the last and the minimum of 16 psf from memory);
the geometry is worked out anew from the plan.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pytest

from plans import FOOT, INCH, PSF, G, alder, plan_with, response_with
from plumbrail.checks.actions import loads_of
from plumbrail.checks.foundations import grade_forces
from plumbrail.checks.framing import Kind
from plumbrail.checks.response import Response
from plumbrail.errors import MechanismError
from plumbrail.frame import Frame, solve
from plumbrail.plan.demos import demo_plan_names

LB = 0.45359237
TILT = np.radians(32.0)
SLOPE = 4 * 1.134 + 3 * 0.020
"""Slope length: four modules and three gaps [m]."""
ALONG = 6 * 1.722
"""Module width carried along the row, without gaps."""
ROW = ALONG + 5 * 0.020
SPACING = 9 * FOOT
BELOW = 0.100 + 0.5 * 3.5 * INCH
"""Rail height and half a beam."""
NORMAL = np.array([0.0, -np.sin(TILT), np.cos(TILT)])
RAIL_X = np.concatenate([
    4.5 * FOOT * 3 - ROW / 2 + c * 1.742 + np.array([0.22, 0.78]) * 1.722 for c in range(6)
])  # fmt: skip


@dataclass(frozen=True)
class Heights:
    """Of the beam centres and of the ground at each post, front row first."""

    beam: np.ndarray
    ground: np.ndarray
    middle: float
    """Middle of the module plane over the ground."""

    @property
    def free(self) -> np.ndarray:
        return self.beam - self.ground


def heights() -> Heights:
    """Ground rises 4 % to the back and falls 1 % to the right; z = 0 at F1."""
    s = np.array([0.21, 0.79]) * SLOPE
    low_y = -(s[0] * np.cos(TILT) + BELOW * np.sin(TILT))
    x_left = 1.5 * SPACING - ROW / 2
    low_z = -0.01 * x_left + 0.04 * low_y + 30 * INCH
    beam_z = low_z + s * np.sin(TILT) - BELOW * np.cos(TILT)
    beam_y = low_y + s * np.cos(TILT) + BELOW * np.sin(TILT)
    x = np.tile(np.arange(4) * SPACING, 2)
    y = np.repeat(beam_y, 4)
    mid_y = low_y + 0.5 * SLOPE * np.cos(TILT)
    middle = low_z + 0.5 * SLOPE * np.sin(TILT) - (-0.01 * 1.5 * SPACING + 0.04 * mid_y)
    return Heights(np.repeat(beam_z, 4), -0.01 * x + 0.04 * y, middle)


def beam_length() -> float:
    return RAIL_X.max() - RAIL_X.min() + 2 * 3 * INCH


def steel_mass() -> float:
    """Posts from 1 ft below grade, NPS 4 STD 10.8 lb/ft; beams NPS 3 STD 7.58 lb/ft."""
    posts = (heights().free + FOOT).sum() * 10.8 * LB / FOOT
    return float(posts + 2 * beam_length() * 7.58 * LB / FOOT)


def dead() -> float:
    return G * (steel_mass() + 12 * SLOPE * 1.9 + 24 * 21.5)


def velocity_pressure() -> float:
    """105 mph, exposure C under 15 ft, 4200 ft above the sea: ASCE 7-16 Eq. 26.10-1 [Pa]."""
    K_z = 2.01 * (15 / 900) ** (2 / 9.5)
    K_e = np.exp(-0.000119 * 4200 * FOOT)
    return float(0.00256 * K_z * 0.85 * K_e * 105**2 * PSF)


def interpolated(at_30: float, at_37: float) -> float:
    return at_30 + (at_37 - at_30) * 2.0 / 7.5


HALVES = {
    "back-clear-A": ((-1.8, -1.8), (-1.8, -1.8)), "back-clear-B": ((-2.5, -2.4), (-0.5, -0.6)),
    "back-obstructed-A": ((-1.5, -1.5), (-1.8, -1.8)),
    "back-obstructed-B": ((-2.3, -2.2), (-1.1, -1.1)),
    "front-clear-A": ((2.1, 2.1), (2.1, 2.2)), "front-clear-B": ((2.6, 2.7), (1.0, 1.1)),
    "front-obstructed-A": ((0.6, 0.7), (-1.0, -0.9)),
    "front-obstructed-B": ((1.6, 1.9), (0.1, 0.3)),
}  # fmt: skip
"""Windward and leeward half at 30 and 37.5 deg, ASCE 7-16 Fig. 27.3-4."""


def low_and_high(name: str) -> tuple[float, float]:
    windward, leeward = (interpolated(*pair) for pair in HALVES[name])
    return (leeward, windward) if name.startswith("back") else (windward, leeward)


def pipe_areas() -> tuple[float, float]:
    """Shown by the posts above ground, and by the beams [m²]."""
    return float(heights().free.sum() * 4.5 * INCH), 2 * beam_length() * 3.5 * INCH


def load(response: Response, case: str) -> np.ndarray:
    """Total load of a case, from the reactions (3,)."""
    c = [c.id for c in response.actions.cases].index(case)
    return -response.solution.reactions[0, c, :, :3].sum(axis=0)


def agree(ours: np.ndarray, hand: np.ndarray, rtol: float = 1e-4) -> None:
    """``rtol`` covers pipe weights and diameters typed in as printed."""
    assert np.abs(ours - hand).max() <= rtol * np.abs(hand).max(), (ours, hand)


def test_geometry_by_hand() -> None:
    _, model, _ = alder()
    np.testing.assert_allclose(model.posts.beam_centre, heights().beam, rtol=1e-9)
    np.testing.assert_allclose(model.posts.ground, heights().ground, rtol=0, atol=1e-9)
    np.testing.assert_allclose(model.rails.x, RAIL_X, rtol=0, atol=1e-9)


def test_dead_load() -> None:
    agree(load(alder()[2], "D"), np.array([0.0, 0.0, -dead()]), 1e-3)


def test_snow_load() -> None:
    """0.7 C_e C_t I_s p_g, no slope reduction under 45 deg, on the horizontal projection."""
    p_s = 0.7 * 1.0 * 1.2 * 1.0 * 30 * PSF
    agree(load(alder()[2], "S"), np.array([0, 0, -p_s * SLOPE * np.cos(TILT) * ALONG]))


@pytest.mark.parametrize("name", HALVES)
def test_wind_across(name: str) -> None:
    q, half = velocity_pressure() * 0.85, 0.5 * SLOPE * ALONG
    normal = -q * half * sum(low_and_high(name)) * NORMAL
    toward = np.array([0.0, -1.0 if name.startswith("back") else 1.0, 0.0])
    drag = 1.2 * q * sum(pipe_areas()) * toward
    agree(load(alder()[2], f"W-{name}"), normal + drag)


STEPS = {
    "clear-A": (-0.8, -0.6, -0.3), "obstructed-A": (-1.2, -0.9, -0.6),
    "clear-B": (0.8, 0.5, 0.3), "obstructed-B": (0.5, 0.5, 0.3),
}  # fmt: skip


@pytest.mark.parametrize("name", STEPS)
@pytest.mark.parametrize("side", ["left", "right"])
def test_wind_along_the_row(name: str, side: str) -> None:
    """Fig. 27.3-7 by distance from the windward end, plus every rail, module edge and post."""
    q, h = velocity_pressure() * 0.85, heights().middle
    from_end = RAIL_X - (1.5 * SPACING - ROW / 2)
    if side == "right":
        from_end = ROW - from_end
    C = np.select([from_end <= h, from_end <= 2 * h], STEPS[name][:2], STEPS[name][2])
    normal = -q * (C * 0.861 * SLOPE).sum() * NORMAL
    flat = 2.0 * q * SLOPE * (12 * 0.100 + 2 * 0.030)
    drag = (flat + 1.2 * q * pipe_areas()[0]) * np.array([1.0 if side == "left" else -1.0, 0, 0])
    agree(load(alder()[2], f"W-{side}-{name}"), normal + drag)


def test_least_wind() -> None:
    """16 psf on what the wind sees, horizontal."""
    p, (posts, beams) = 16 * PSF, pipe_areas()
    across = p * (SLOPE * np.sin(TILT) * ALONG + posts + beams)
    along = p * (SLOPE * (12 * 0.100 + 2 * 0.030) + posts)
    response = alder()[2]
    for side, hand in {"back": (0, -across, 0), "front": (0, across, 0), "left": (along, 0, 0),
                       "right": (-along, 0, 0)}.items():  # fmt: skip
        agree(load(response, f"W-{side}-least"), np.array(hand))


def test_earthquake() -> None:
    """C_s = S_DS / (R / I_e) = 0.40 / 1.25; p_f = 25.2 psf is under 30, so no snow counts."""
    response, W = alder()[2], dead()
    V = 0.40 / 1.25 * W
    for side, hand in {"right": (V, 0, 0), "left": (-V, 0, 0), "back": (0, V, 0),
                       "front": (0, -V, 0), "down": (0, 0, -0.2 * 0.40 * W)}.items():  # fmt: skip
        agree(load(response, f"E-{side}"), np.array(hand), 1e-3)


def test_heavy_snow_counts_in_the_earthquake() -> None:
    """p_f = 0.7 x 1.2 x 50 = 42 psf is over 30: a fifth of it joins the seismic weight."""
    _, response = response_with(plan_with({"site.ground_snow": "50 psf"}))
    snow = 0.2 * 0.84 * 50 * PSF * SLOPE * np.cos(TILT) * ALONG
    agree(load(response, "E-right"), np.array([0.32 * (dead() + snow), 0, 0]), 1e-3)
    agree(load(response, "E-down"), np.array([0, 0, -0.08 * dead()]), 1e-3)


def test_wind_on_parts() -> None:
    """Fig. 30.7-1 at 32 deg: span 2.67 m, its third 0.89 m: 2.37 m² is between a² and 4 a², a 3 ft.

    So the corner counts as zone 2: 3.9 down, -3.8 at 30 deg and -3.5 at 45 deg up.
    """
    q, area = velocity_pressure() * 0.85, SLOPE * ALONG
    down, up = 3.9, -3.8 + 0.3 * 2 / 15
    agree(load(alder()[2], "W-part-down"), -q * down * area * NORMAL)
    agree(load(alder()[2], "W-part-up"), -q * up * area * NORMAL)


def test_wind_meets_the_right_half() -> None:
    """The moment about the middle of the plane has the size and the sign of the two halves."""
    _, model, response = alder()
    middle = model.plane.point(1.5 * SPACING, 0.5 * SLOPE, 0.05)
    axis = np.array([1.0, 0.0, 0.0])
    for name in ("back-clear-B", "front-clear-B"):
        c = [case.id for case in response.actions.cases].index(f"W-{name}")
        R = response.solution.reactions[0, c]
        arms = response.framing.frame.xyz - middle
        total = -(np.cross(arms, R[:, :3]) + R[:, 3:]).sum(axis=0) @ axis
        low, high = low_and_high(name)
        q = velocity_pressure() * 0.85
        # A force -p n on a half, a quarter of the slope up or down, turns about the row axis.
        hand = q * (low - high) * (0.5 * SLOPE * ALONG) * 0.25 * SLOPE
        sign = 1.0 if name.startswith("front") else -1.0
        _, beams = pipe_areas()
        free = heights()
        bars = 0.0
        for p in range(8):
            mid = 0.5 * (free.beam[p] + free.ground[p])
            bars -= sign * 1.2 * q * free.free[p] * 4.5 * INCH * (mid - middle[2])
        for row in (0, 4):
            bars -= sign * 1.2 * q * 0.5 * beams * (free.beam[row] - middle[2])
        assert total == pytest.approx(hand + bars, rel=2e-3), name


@pytest.mark.parametrize("demo", demo_plan_names())
def test_equilibrium_closes(demo: str) -> None:
    _, response = response_with(plan_with(base=demo))
    assert response.solution.residual.max() <= 1e-9
    R = response.solution.reactions[0]
    for c, case in enumerate(response.actions.cases):
        applied = applied_load(response, c)
        left = R[c, :, :3].sum(axis=0) + applied
        assert np.abs(left).max() <= 1e-9 * np.abs(applied).max(), case.id


def applied_load(response: Response, c: int) -> np.ndarray:
    """Sum of the line loads of a case (3,)."""
    framing, actions = response.framing, response.actions
    bars = (actions.bars[c] * framing.frame.length[:, None]).sum(axis=0)
    rail = framing.kind == Kind.RAIL
    slope = (framing.offset + framing.frame.length)[rail].max()
    return bars + actions.rails[c].sum(axis=(0, 1)) * 0.5 * slope


@pytest.mark.parametrize("demo", demo_plan_names())
def test_uplift_comes_with_wind_at_the_high_edge(demo: str) -> None:
    model, response = response_with(plan_with(base=demo))
    force, _ = grade_forces(response, response.service)
    lift = force[..., 2]
    n = model.stations
    k = int(lift.max(axis=0).argmax())
    assert lift[:, k].max() > 0
    assert "ASD 7 · W-back" in response.service.ids[k]
    assert lift[n:, k].max() > lift[:n, k].max(), "back posts are lifted most"
    for k, name in enumerate(response.service.ids):
        if name.startswith("ASD 5 · W-front-clear"):
            assert (lift[:n, k] < 0).all(), f"{name}: front posts are pressed down"


def across(response: Response, row: int, case: str) -> float:
    """Share of a row in the thrust across the slope [N]."""
    c = [c.id for c in response.actions.cases].index(case)
    n = len(response.framing.base) // 2
    base = response.framing.base[row * n : (row + 1) * n]
    return float(response.solution.reactions[0, c, base, 1].sum())


def sliding(frame: Frame, response: Response, rows: tuple[int, ...]) -> Frame:
    """The same frame whose rails slide along the slope on the beams of some rows."""
    stubs = np.isin(response.framing.stub_row, rows)
    releases = frame.releases.copy()
    releases[stubs, 1] = True
    return replace(frame, releases=releases)


def test_rows_share_the_thrust() -> None:
    """Rails tie the rows: both move together, and the stiffer (shorter) front row takes more."""
    _, model, response = alder()
    framing, frame = response.framing, response.framing.frame
    case = "W-front-clear-B"
    c = [x.id for x in response.actions.cases].index(case)
    loads = loads_of(model, framing, response.actions)
    alone = solve(sliding(frame, response, (1,)), loads)
    n = len(framing.top) // 2
    up = model.plane.up_slope

    def moved(solution, row: int) -> float:
        tops = framing.top[row * n : (row + 1) * n]
        return float((solution.displacements[0, c, tops, :3] @ up).mean())

    front, back = moved(response.solution, 0), moved(response.solution, 1)
    assert back == pytest.approx(front, rel=0.15)  # beams bow between the rails
    assert abs(moved(alone, 1) - moved(alone, 0)) > 0.5 * abs(front)
    apart = [float(alone.reactions[0, c, framing.base[r * n : (r + 1) * n], 1].sum())
             for r in (0, 1)]  # fmt: skip
    together = [across(response, r, case) for r in (0, 1)]
    assert sum(apart) == pytest.approx(sum(together), rel=1e-9)
    assert together[0] / sum(together) > 0.8
    assert abs(together[0] - apart[0]) > 0.15 * abs(sum(together))


def test_rails_that_slide_on_both_beams_are_a_mechanism() -> None:
    _, model, response = alder()
    loose = sliding(response.framing.frame, response, (0, 1))
    with pytest.raises(MechanismError, match=r"joint R\d+ \(\w+\) can move"):
        solve(loose, loads_of(model, response.framing, response.actions))


def test_posts_hinged_at_both_ends_are_a_mechanism() -> None:
    """Pinned tops need fixed feet; the refusal names a joint of the frame."""
    _, model, response = alder()
    frame, framing = response.framing.frame, response.framing
    fixed = frame.fixed.copy()
    fixed[framing.base, 3:5] = False
    with pytest.raises(MechanismError, match=r"joint .+ can move .*nothing holds it"):
        solve(replace(frame, fixed=fixed), loads_of(model, framing, response.actions))


def test_beams_do_not_turn_on_their_saddles() -> None:
    """The nominal spring that keeps a beam from spinning on pinned tops carries nothing."""
    _, _, response = alder()
    top = response.framing.top
    moments = response.solution.reactions[0, :-2, top, 3]
    assert np.abs(moments).max() < 1.0
