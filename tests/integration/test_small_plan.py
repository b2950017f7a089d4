"""A small array by hand: two posts a row, one row of two modules, level ground, no snow.

Formulas: simple statics; ASCE 7-16 Eq. 26.10-1 and Fig. 30.7-1 (coefficients typed below);
IBC 1807.3.2.1 Eq. 18-1; AISC 360-22 Appendix 8. Pipe NPS 3 STD: AISC Manual Table 1-14.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from plans import FOOT, INCH, KSI, PSF, G, plan_with, response_with
from plumbrail.checks.foundations import grade_forces
from plumbrail.checks.framing import Kind
from plumbrail.checks.run import run_checks
from plumbrail.checks.sway import sway_amplifier

LB = 0.45359237
TILT = np.radians(32.0)
SLOPE, WIDE = 1.722, 1.134
CHANGES = {
    "frame.posts": 2, "frame.spacing": "5 ft", "frame.post": "NPS 3 STD", "array.rows": 1,
    "array.columns": 2, "array.orientation": "portrait", "site.ground_snow": "0 psf",
    "site.ground.slope_across": "0 %", "site.ground.slope_along": "0 %",
    "piers.diameter": "16 in", "piers.depth": "5 ft", "site.wind_flow": "clear",
    "frame.connections.clamp_uplift": "800 lbf",
}  # fmt: skip
D_PIPE, I_PIPE, W_PIPE = 3.5 * INCH, 2.85 * INCH**4, 7.58 * LB / FOOT * G
POST_X = 0.5 * 5 * FOOT
RAIL_X = np.array([-1, -1, 1, 1]) * (0.010 + 0.5 * WIDE) + WIDE * np.array([-0.28, 0.28] * 2)


@cache
def small():
    plan = plan_with(CHANGES)
    model, response = response_with(plan)
    return plan, model, response, run_checks(plan, model, response, ((), ()))


def q_G() -> float:
    K_z, K_e = 2.01 * (15 / 900) ** (2 / 9.5), np.exp(-0.000119 * 4200 * FOOT)
    return float(0.00256 * K_z * 0.85 * K_e * 105**2 * PSF * 0.85)


def statics(R: float, w: float) -> tuple[float, float]:
    """Moment over a post and at midspan of a beam on two posts; R at each rail, w own weight."""
    half = np.abs(RAIL_X).max() + 3 * INCH
    over = np.maximum(np.abs(RAIL_X) - POST_X, 0.0)[0]
    M_post = -(R * over + w * (half - POST_X) ** 2 / 2)
    inner, outer = np.sort(np.abs(RAIL_X))[[0, -1]]
    post = 2 * R + w * half  # by symmetry, half of everything
    M_mid = post * POST_X - R * (inner + outer) - w * half**2 / 2
    return M_post, M_mid


def test_beam_moments_are_those_of_statics() -> None:
    """Own weight; a rail stands off its beams, so its weight leans a little toward the front."""
    _, model, response, _ = small()
    rail = 2 * 21.5 * G / 4 + 1.9 * SLOPE * G
    lean = (0.050 + D_PIPE / 2) * np.sin(TILT) / (0.58 * SLOPE * np.cos(TILT))
    for row in (0, 1):
        M_post, M_mid = statics(rail * (0.5 + (lean, -lean)[row]), W_PIPE)
        members = response.framing.members(Kind.BEAM, row)
        x = response.places(members)
        M = -response.internal.M_y[0, 0][members]  # sagging positive
        middle = 0.5 * model.beams.length
        at_post = M[np.abs(x - model.beams.supports[row, 0]) < 1e-9]
        at_mid = np.interp(middle, x.ravel(), M.ravel())
        np.testing.assert_allclose(at_post, M_post, rtol=0.03)
        assert at_mid == pytest.approx(M_mid, rel=0.02)


def test_post_foot_moment_is_shear_times_height() -> None:
    """A pinned top passes no moment: M at grade = V h - w h²/2 with the drag w on the post."""
    _, model, response, _ = small()
    drag = 1.2 * q_G() * D_PIPE
    case = [c.id for c in response.actions.cases].index("W-front-clear-B")
    for p, base in enumerate(response.framing.base):
        R = response.solution.reactions[0, case, base]
        h = float(model.posts.beam_centre[p] - model.posts.ground[p])
        V = -R[1]  # toward the back, just like the wind
        assert R[3] == pytest.approx(V * (h + FOOT) - drag * h * h / 2, rel=1e-4)


def converged(P: float, M: float, b: float, s: float) -> float:
    """IBC Eq. 18-1 by plain repetition."""
    d = 1.0
    for _ in range(200):
        A = 2.34 * P / (s * d / 3 * b)
        d = 0.5 * A * (1 + np.sqrt(1 + 4.36 * (M / P) / A))
    return d


def test_embedment_by_hand() -> None:
    """ASD 7 with wind from the front: shear and moment at grade, then Eq. 18-1 at 150 psf/ft."""
    _, model, response, checks = small()
    s = 150 * PSF / FOOT
    for p, post in enumerate(model.posts.ids):
        base = response.framing.base[p]
        depths = []
        sway = sway_amplifier(response, response.service)
        for row, B_2 in zip(response.service.matrix, sway, strict=True):
            R = np.einsum("c,cd->d", row, response.solution.reactions[0, :, base])
            # from the foot, 1 ft down, up to grade
            M_x, M_y = R[3] + R[1] * FOOT, R[4] - R[0] * FOOT
            P, M = np.hypot(R[0], R[1]), B_2 * np.hypot(M_x, M_y)
            depths.append(converged(P, M, 16 * INCH, s) if P > 1e-6 else 0.0)
        check = checks.find(f"{post}.sideways-hold-in-the-soil")
        assert check.ratio == pytest.approx(max(depths) / (5 * FOOT), rel=1e-6)
        assert check.combination == response.service.ids[int(np.argmax(depths))]


def test_pier_uplift_by_hand() -> None:
    """0.6 D + 0.6 W against 0.6 times the weight of the pier at 150 lb/ft³, nothing else."""
    _, model, response, checks = small()
    W = 150 * LB / FOOT**3 * G * np.pi / 4 * (16 * INCH) ** 2 * 5 * FOOT
    ids = [c.id for c in response.actions.cases]
    back = [i for i, c in enumerate(ids) if c.startswith("W-back")]
    own = W_PIPE * FOOT  # a foot of post hangs below grade
    for p, post in enumerate(model.posts.ids):
        R = response.solution.reactions[0, :, response.framing.base[p], 2]
        lifts = -(0.6 * (R[0] - own) + 0.6 * R[back])
        check = checks.find(f"{post}.uplift")
        assert check.combination == f"ASD 7 · {ids[back[int(lifts.argmax())]]}"
        assert check.ratio == pytest.approx(lifts.max() / (0.6 * W), rel=1e-4)


def test_total_uplift_by_hand() -> None:
    """Mean coefficient (2.5 + 0.5) / 2 near 30 deg, on two modules, against their weight."""
    _, _, response, _ = small()
    force, _ = grade_forces(response, response.service)
    k = response.service.ids.index("ASD 7 · W-back-clear-B")
    t = 2.0 / 7.5
    mean = 0.5 * ((2.5 - 0.1 * t) + (0.5 + 0.1 * t))
    wind = mean * q_G() * SLOPE * 2 * WIDE * np.cos(TILT)
    heights = response.framing.frame.xyz[response.framing.top, 2].sum()
    beams = 2 * 2 * (np.abs(RAIL_X).max() + 3 * INCH)
    dead = 2 * 21.5 * G + 4 * SLOPE * 1.9 * G + (heights + beams) * W_PIPE
    assert force[:, k, 2].sum() == pytest.approx(0.6 * wind - 0.6 * dead, rel=1e-3)


def test_module_pressures_by_hand() -> None:
    """1.95 m² lies between a² and 4 a² (a = 3 ft): zone 3 counts as zone 2 of Fig. 30.7-1."""
    checks = small()[3]
    own = 21.5 * G / (SLOPE * WIDE) * np.cos(TILT)
    up, down = -3.8 + 0.3 * 2 / 15, 3.9
    lift = abs(0.6 * own + 0.6 * q_G() * up)
    press = own + 0.6 * q_G() * down
    found = checks.find("module.pressure-from-below")
    assert found.ratio == pytest.approx(lift / 2400, rel=1e-6)
    assert found.demand == pytest.approx(lift, rel=1e-6)
    assert checks.find("module.pressure-from-above").ratio == pytest.approx(press / 3600, rel=1e-6)


def test_clamp_force_by_hand() -> None:
    """A clamp between two modules holds half of each over half the width: 0.98 m², over a²."""
    found = small()[3].find("joint.clamp-uplift")
    own = 21.5 * G / (SLOPE * WIDE) * np.cos(TILT)
    up = -3.8 + 0.3 * 2 / 15
    force = abs(0.6 * own + 0.6 * q_G() * up) * SLOPE * WIDE / 2
    assert found.demand == pytest.approx(force, rel=1e-6)


def test_clamp_of_many_rails_takes_the_corner_zone() -> None:
    """Four rails: a clamp holds 0.61 m² at most, under a² = 0.84 m², so zone 3 of Fig. 30.7-1."""
    plan = plan_with(CHANGES | {"frame.rails_per_column": 4})
    model, response = response_with(plan)
    found = run_checks(plan, model, response, ((), ())).find("joint.clamp-uplift")
    inset, step = 0.22, 0.56 / 3
    strip = max(inset + step / 2, step) * WIDE
    own = 21.5 * G / (SLOPE * WIDE) * np.cos(TILT)
    up = -5.0 + 0.4 * 2 / 15
    force = abs(0.6 * own + 0.6 * q_G() * up) * strip * SLOPE
    assert found.demand == pytest.approx(force, rel=1e-6)


def test_sway_amplifier_by_hand() -> None:
    """B_2 = 1 / (1 - 1.6 P / P_e), P_e = 0.85 H L / drift of cantilevers.

    Along the row each row sways by itself, which is softer than both together across it.
    """
    _, model, response, _ = small()
    h = model.posts.beam_centre - model.posts.ground + FOOT
    P_e = 0.85 * 4 * h.min() / (h**3 / (3 * 29000 * KSI * I_PIPE)).mean()
    B_2 = sway_amplifier(response, response.strength)
    vertical = response.solution.reactions[0][:, response.framing.base, 2].sum(axis=1)
    for k, row in enumerate(response.strength.matrix):
        P = row @ vertical
        hand = 1 / (1 - 1.6 * max(P, 0.0) / P_e)
        assert B_2[k] == pytest.approx(hand, abs=0.03 * (hand - 1) + 1e-9)
    assert B_2.max() > 1.001
