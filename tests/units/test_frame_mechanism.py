"""Frames that cannot stand are refused with the joint and the direction in words."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from plumbrail.errors import MechanismError
from plumbrail.frame import Frame, Loads, mechanism, solve


def make(xyz, ends, fixed=(), releases=(), springs=(), ids=None, up=(0, 0, 1)) -> Frame:
    """A steel frame; ``fixed`` {node: dofs}, ``releases`` {member: dofs}, ``springs`` triples."""
    nodes, m = len(xyz), len(ends)
    support = np.zeros((nodes, 6), dtype=bool)
    for node, dofs in dict(fixed).items():
        support[node, list(dofs)] = True
    release = np.zeros((m, 12), dtype=bool)
    for member, dofs in dict(releases).items():
        release[member, list(dofs)] = True
    spring = np.zeros((nodes, 6))
    for node, dof, k in springs:
        spring[node, dof] = k
    ups = np.tile(np.array(up, dtype=float), (m, 1))
    along = np.array([np.subtract(xyz[j], xyz[i]) for i, j in ends], dtype=float)
    ups[np.abs((along * ups).sum(axis=1)) > 0.99 * np.linalg.norm(along, axis=1)] = (1, 0, 0)
    section = [np.full(m, v) for v in (2e11, 8e10, 1.2e-3, 7e-7, 6e-7, 1.3e-6, 9.0)]
    return Frame(
        ids or tuple(f"J{i}" for i in range(nodes)), tuple(f"M{i}" for i in range(m)),
        np.array(ends), np.array(xyz, dtype=float), *section, ups, release, support, spring,
    )  # fmt: skip


def refusal(frame: Frame) -> str:
    loads = Loads(("up",), np.zeros((1, len(frame.node_ids), 6)))
    with pytest.raises(MechanismError) as caught:
        solve(frame, loads)  # even without any load on it
    return str(caught.value)


PORTAL = [(0, 0, 0), (0, 0, 2.4), (3, 0, 2.4), (3, 0, 0)]
PORTAL_ENDS = [(0, 1), (1, 2), (3, 2)]


def test_pinned_posts_with_hinged_beam_sway_along_the_row() -> None:
    frame = make(PORTAL, PORTAL_ENDS, {0: (0, 1, 2, 3, 5), 3: (0, 1, 2, 3, 5)},
                 {1: (4, 10)}, ids=("A", "F3", "F4", "D"))  # fmt: skip
    words = refusal(frame)
    assert words.startswith("joint F3 can move along the row: nothing holds it")


def test_a_brace_cures_it() -> None:
    frame = make(PORTAL, [*PORTAL_ENDS, (0, 2)], {0: (0, 1, 2, 3, 5), 3: (0, 1, 2, 3, 5)},
                 {1: (4, 10), 3: (4, 5, 10, 11)})  # fmt: skip
    answer = solve(frame, Loads(("push",), np.eye(6)[0] * np.ones((1, 4, 1)) * 100))
    assert answer.residual.max() < 1e-9


def test_one_node_free_to_swing_across() -> None:
    frame = make(PORTAL, PORTAL_ENDS, {0: (0, 1, 2, 4, 5), 3: (0, 1, 2, 4, 5)})
    assert "can move across the row: nothing holds it" in refusal(frame)


def test_unsupported_frame() -> None:
    assert "nothing holds it" in refusal(make(PORTAL, PORTAL_ENDS))


def test_joint_where_every_member_is_hinged() -> None:
    frame = make(
        [(0, 0, 0), (3, 0, 0), (3, 0, -2), (6, 0, 0)], [(0, 1), (2, 1), (1, 3)],
        {0: range(6), 2: range(6), 3: range(6)}, {0: (10,), 1: (10,), 2: (4,)},
        ids=("a", "mid", "b", "c"),
    )  # fmt: skip
    words = refusal(frame)
    assert words.startswith("joint mid can turn about the direction across the row: nothing holds")


def test_joint_hinged_about_a_slanted_axis() -> None:
    """Released in axes that are not global, so that only the null vector shows it."""
    tilt = np.radians(32)
    up = np.array([0, -np.sin(tilt), np.cos(tilt)])
    along = np.array([0, np.cos(tilt), np.sin(tilt)])
    frame = make([-2 * along, (0, 0, 0), 2 * along], [(0, 1), (1, 2)],
                 {0: range(6), 2: range(6)}, {0: (11,), 1: (5,)}, up=up)  # fmt: skip
    words = refusal(frame)
    assert words.startswith("joint J1 can turn about")
    assert "a vertical axis" in words


def test_overhang_hinged_at_its_root() -> None:
    frame = make([(0, 0, 0), (0, 3, 0), (0, 4, 0)], [(0, 1), (1, 2)],
                 {0: range(6), 1: (0, 1, 2)}, {1: (4,)}, ids=("base", "B1", "tip"))  # fmt: skip
    assert refusal(frame).startswith("joint tip can move up and down")


def test_member_that_can_spin_is_named() -> None:
    frame = make(PORTAL, PORTAL_ENDS, {0: range(6), 3: range(6)}, {1: (3, 9)})
    assert "member M1 can spin about its own axis" in refusal(frame)


@pytest.mark.parametrize("dofs", [(0, 6), (1, 7), (1, 5, 7), (2, 8), (2, 4, 10), (4, 8, 10)])
def test_member_released_too_much(dofs: tuple[int, ...]) -> None:
    frame = make(PORTAL, PORTAL_ENDS, {0: range(6), 3: range(6)}, {1: dofs})
    assert refusal(frame).startswith("member M1 can")


def test_hardly_held_is_refused_and_said_so() -> None:
    """A ground spring of a millionth of a newton per metre is a wrong unit, not a support."""
    frame = make(PORTAL, PORTAL_ENDS, {0: (1, 2, 3, 4, 5), 3: (1, 2, 3, 4, 5)},
                 springs=[(0, 0, 1e-6)])  # fmt: skip
    words = refusal(frame)
    assert "can move along the row: it is held so softly" in words
    assert "check springs, their units" in words


def test_soft_but_sound_springs_are_solved() -> None:
    frame = make(PORTAL, PORTAL_ENDS, {0: (1, 2, 3, 4, 5), 3: (1, 2, 3, 4, 5)},
                 springs=[(0, 0, 10.0)])  # fmt: skip
    answer = solve(frame, Loads(("push",), np.eye(6)[0] * np.ones((1, 4, 1)) * 2.5))
    assert answer.displacements[0, 0, 0, 0] == pytest.approx(1.0, rel=1e-6)


def test_very_unequal_lengths_are_no_mechanism() -> None:
    """A 5 mm piece in an 8 m cantilever still gives P L³ / 3 E I."""
    x = [0.0, 4.0, 4.005, 8.0]
    frame = make([(v, 0, 0) for v in x], [(0, 1), (1, 2), (2, 3)], {0: range(6)})
    nodal = np.zeros((1, 4, 6))
    nodal[0, 3, 2] = -100.0
    tip = solve(frame, Loads(("p",), nodal)).displacements[0, 0, 3, 2]
    assert tip == pytest.approx(-100 * 8.0**3 / (3 * 2e11 * 7e-7), rel=1e-6)


def test_the_failing_candidate_is_named() -> None:
    frame = make(PORTAL, PORTAL_ENDS, {0: (1, 2, 3, 4, 5), 3: (1, 2, 3, 4, 5)},
                 springs=[(0, 0, 1e5)])  # fmt: skip
    springs = np.repeat(frame.springs[None], 70, axis=0)
    springs[52] = 0.0
    with pytest.raises(MechanismError, match=r"along the row.*candidate 53\)"):
        solve(replace(frame, springs=springs), Loads(("up",), np.zeros((1, 4, 6))))


def test_a_joint_without_any_member() -> None:
    frame = make([*PORTAL, (9, 9, 9)], PORTAL_ENDS, {0: range(6), 3: range(6)})
    assert "joint J4 can" in refusal(frame)


@pytest.mark.parametrize("soft", [0.0, 1e-2])
def test_a_long_frame_is_refused_in_the_same_words_as_by_all_eigenvectors(
    monkeypatch: pytest.MonkeyPatch, soft: float
) -> None:
    """LAPACK's whole decomposition against the single vector that long frames are asked for."""
    bays = 20
    xyz = [(3.0 * i, 0, z) for i in range(bays + 1) for z in (0, 2.4)]
    posts = [(2 * i, 2 * i + 1) for i in range(bays + 1)]
    beams = [(2 * i + 1, 2 * i + 3) for i in range(bays)]
    slides = {2 * i: (1, 2, 3, 4, 5) for i in range(bays + 1)}
    frame = make(xyz, posts + beams, slides, springs=[(0, 0, soft)])
    words = refusal(frame)
    monkeypatch.setattr(mechanism, "_SMALL", 0)
    assert words == refusal(frame)
    assert "joint J0 can move along the row" in words
    assert ("it is held so softly" if soft else "nothing holds it") in words
