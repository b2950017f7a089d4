"""Sway of a frame of three posts with invented drifts: B2 by hand after AISC 360 Appendix 8."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from plumbrail.checks.sway import Story, stories, sway_amplifier, sway_cases

LOADS = np.array([[5e3, 10e3, 15e3], [20e3, 15e3, 10e3], [-30e3, 5e3, 5e3]])
"""Upward at the three feet in three combinations: 30 kN, 45 kN, and 20 kN of uplift."""
ALONG, ACROSS = (2e-5, 4e-5, 6e-5), (1e-5, 1e-5, 1e-5)
"""Drift [m] of each top under 1 N on every top."""


def combined(method: str = "LRFD") -> Any:
    return SimpleNamespace(method=method, ids=("C1", "C2", "C3"))


def response(method: str = "LRFD") -> Any:
    """Feet at 0, -0.3 and 0 m, tops at 2, 1.6 and 3 m: the middle post of 1.9 m is the shortest."""
    xyz = np.zeros((6, 3))
    xyz[:, 2] = [2.0, 0.0, -0.3, 1.6, 3.0, 0.0]
    base, top = np.array([1, 2, 5]), np.array([0, 3, 4])
    moved = np.full((1, 4, 6, 6), 9.0)
    moved[0, 2, top, 0], moved[0, 3, top, 1] = ALONG, ACROSS
    strength = combined(method)

    def upward(nodes: Any, of: Any) -> Any:
        assert nodes is base and of is strength
        return LOADS

    return SimpleNamespace(
        framing=SimpleNamespace(frame=SimpleNamespace(xyz=xyz), base=base, top=top),
        actions=SimpleNamespace(cases=("D", "S")), strength=strength, upward=upward,
        solution=SimpleNamespace(displacements=moved),
    )  # fmt: skip


def both() -> tuple[Story, Story]:
    made = response()
    return stories(made, made.strength)


def test_what_the_sway_of_either_direction_depends_on() -> None:
    """Sum of loads, unit force on three tops, shortest post, mean drift under its own unit case."""
    along, across = both()
    for one in (along, across):
        assert one.P_story == pytest.approx([30e3, 45e3, 0.0], abs=1e-6)
        assert one.P_story[2] > 0.0, "uplift is a trace of load, never a negative one"
        assert (3.0, pytest.approx(1.9)) == (one.H, one.L)
    assert (along.Delta_H, across.Delta_H) == (pytest.approx(4e-5), pytest.approx(1e-5))


@pytest.mark.parametrize(("method", "alpha"), [("LRFD", 1.0), ("ASD", 1.6)])
def test_the_amplifier_by_hand(method: str, alpha: float) -> None:
    """A-8-7: P_e = 0.85 H L / drift = 0.85 x 3 N x 1.9 m / 40 um; A-8-6: 1/(1 - alpha P/P_e)."""
    P_e = 0.85 * 3 * 1.9 / 4e-5
    B_2 = 1 / (1 - alpha * np.array([30e3, 45e3, 0.0]) / P_e)
    along, across = both()
    assert along.amplifier(combined(method)) == pytest.approx(B_2)
    assert float(along.amplifier(combined(method), 0)) == pytest.approx(B_2[0])
    assert across.amplifier(combined(method)) == pytest.approx(
        1 / (1 - alpha * np.array([30e3, 45e3, 0.0]) / (4 * P_e))
    )


def test_the_larger_amplifier_of_both_directions_counts() -> None:
    made = response()
    P_e = 0.85 * 3 * 1.9 / 4e-5
    assert sway_amplifier(made, made.strength) == pytest.approx(
        [1 / (1 - 30e3 / P_e), 1 / (1 - 45e3 / P_e), 1.0]
    )


def test_each_direction_is_checked_in_its_worst_combination() -> None:
    """App. 7.2.1: B2 over 1.5, in the combination of 45 kN; its own record gives the same."""
    P_e = 0.85 * 3 * 1.9 / 4e-5
    along, across = sway_cases(response())
    for case, words, load in ((along, "along", P_e), (across, "across", 4 * P_e)):
        ratio = 1 / (1 - 45e3 / load) / 1.5
        assert (case.id, case.subject, case.combination) == (
            f"frame.sway-{words}-the-row", f"whole frame, {words} the row", "C2")  # fmt: skip
        assert case.ratio == pytest.approx(ratio)
        assert float(np.asarray(case.run())) == pytest.approx(ratio)
