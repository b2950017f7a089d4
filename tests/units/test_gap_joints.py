"""Ends of braces and rigid post tops: demands found again from the resultants along the members.

The program reads the forces at the nodes; here they come from the stress resultants at the
stations, which are another way through the same solution. Statics, derived.
"""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
import pytest

from plans import FOOT, LBF, plan_with, response_with
from plumbrail.check import Case
from plumbrail.checks.framing import Kind
from plumbrail.checks.joints import joint_cases, joints_not_checked
from plumbrail.checks.sway import sway_amplifier

BRACE = {"direction": "across", "stations": [2], "low": "6 in", "high": "6 in"}
FRAME = {
    "frame.post_top": "rigid", "frame.brace": "NPS 1-1/2 STD", "frame.braces": [BRACE],
    "frame.connections.brace_end": "2000 lbf",
    "frame.connections.post_top_moment": "1500 lbf*ft",
}  # fmt: skip


@cache
def stiff() -> tuple[Any, Any, dict[str, Case]]:
    plan = plan_with(FRAME)
    model, response = response_with(plan)
    assert not joints_not_checked(plan)
    return model, response, {c.id: c for c in joint_cases(plan, model, response)}


def test_a_brace_end_takes_the_push_and_pull_of_the_brace_as_the_frame_sways() -> None:
    model, response, cases = stiff()
    braces = response.framing.members(Kind.BRACE)
    N = response.forces(braces, response.strength).N
    B_2 = sway_amplifier(response, response.strength)
    assert B_2.max() > 1.0
    ends = np.abs(N[..., [0, -1]]).max(axis=-1)  # (members, combinations)
    found = cases["joint.brace-end"]
    assert found.ratio == pytest.approx((ends * B_2).max() / (2000 * LBF), rel=1e-6)
    assert any(id in found.subject for id in model.braces.ids)


def test_a_rigid_post_top_takes_the_moment_of_the_post_under_it() -> None:
    _, response, cases = stiff()
    framing = response.framing
    tops = np.array([framing.members(Kind.POST, p)[-1] for p in range(len(framing.grade))])
    f = response.forces(tops, response.strength)
    M = np.hypot(f.M_y, f.M_z)[..., -1]
    B_2 = sway_amplifier(response, response.strength)
    wanted = (M * B_2).max() / (1500 * LBF * FOOT)
    assert wanted > 0.01
    assert cases["joint.post-top-moment"].ratio == pytest.approx(wanted, rel=1e-6)


@pytest.mark.parametrize("id", ["joint.brace-end", "joint.post-top-moment"])
def test_they_are_told_with_their_own_step(id: str) -> None:
    one = stiff()[2][id]
    assert one.step == ("moment_ratio" if "moment" in id else "force_ratio")
    assert float(one.run()) == pytest.approx(one.ratio)
