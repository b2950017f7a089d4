"""What the frame dataclasses refuse, and how candidates are cut out and lists joined."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from plumbrail.frame import Frame, FrameError, Loads, Points, Spans, self_weight, solve


@pytest.fixture
def frame() -> Frame:
    section = [np.full(2, v) for v in (2e11, 8e10, 1e-3, 7e-7, 6e-7, 1e-6, 9.0)]
    fixed = np.zeros((3, 6), dtype=bool)
    fixed[0] = True
    return Frame(("a", "b", "c"), ("M1", "M2"), np.array([[0, 1], [1, 2]]),
                 np.array([[0.0, 0, 0], [2, 0, 0], [3, 0, 0]]), *section,
                 np.tile([0.0, 0, 1], (2, 1)), np.zeros((2, 12), dtype=bool), fixed,
                 np.zeros((3, 6)))  # fmt: skip


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"E": np.ones(3)}, "Frame.E has the shape"),
        ({"xyz": np.zeros((3, 3))}, "member M1 has no length"),
        ({"xyz": np.array([[0.0, 0, 0], [2, 0, 0], [2, 0, 0]])}, "member M2 has no length"),
        ({"I_y": np.array([1e-6, 0.0])}, "member M2 needs I_y greater than 0"),
        ({"J": np.array([[1e-6, 1e-6], [1e-6, -1.0]])}, "member M2 needs J greater than 0"),
        ({"A": np.array([np.nan, 1.0])}, "Frame.A holds a value that is not a number"),
        ({"ends": np.array([[0, 1], [1, 3]])}, "node that does not exist"),
        ({"springs": -np.ones((3, 6))}, "cannot be negative"),
        ({"A": np.ones((4, 2)), "G": np.ones((5, 2))}, "numbers of candidates differ"),
        ({"ties": np.array([[0, 1]]), "tied": np.ones((1, 6), bool)}, "node b is tied to a node"),
    ],
)
def test_refused_frames(frame: Frame, change: dict[str, np.ndarray], words: str) -> None:
    with pytest.raises(FrameError, match=words):
        replace(frame, **change)


def test_up_along_the_member_is_refused(frame: Frame) -> None:
    bad = replace(frame, up=np.array([[0.0, 0, 1], [1, 0, 0]]))
    with pytest.raises(FrameError, match="member M2: `up` is parallel"):
        solve(bad, Loads(("x",), np.zeros((1, 3, 6))))


def one_span(member: int, a: float, b: float, case: int = 0) -> Spans:
    w = np.array([[0.0, 0, -1]])
    return Spans(np.array([case]), np.array([member]), np.array([a]), np.array([b]), w, w)


@pytest.mark.parametrize(
    ("member", "a", "b", "words"),
    [(1, 0.0, 1.2, "member M2: a load lies outside"), (0, -0.1, 1.0, "member M1: a load lies"),
     (0, 1.0, 1.0, "ends before it begins"), (0, 1.5, 0.5, "member M1"),
     (2, 0.0, 1.0, "member that does not exist")],
)  # fmt: skip
def test_refused_spans(frame: Frame, member: int, a: float, b: float, words: str) -> None:
    with pytest.raises(FrameError, match=words):
        solve(frame, Loads(("x",), np.zeros((1, 3, 6)), one_span(member, a, b)))


def test_point_off_its_member(frame: Frame) -> None:
    point = Points(np.zeros(1, int), np.ones(1, int), np.array([1.1]), np.ones((1, 3)),
                   np.zeros((1, 3)))  # fmt: skip
    with pytest.raises(FrameError, match="member M2"):
        solve(frame, Loads(("x",), np.zeros((1, 3, 6)), points=point))


def test_unknown_case_is_refused() -> None:
    with pytest.raises(FrameError, match="load case that does not exist"):
        Loads(("x",), np.zeros((1, 3, 6)), one_span(0, 0.0, 1.0, case=1))


def test_loads_for_another_frame(frame: Frame) -> None:
    with pytest.raises(FrameError, match="another number of nodes"):
        solve(frame, Loads(("x",), np.zeros((1, 4, 6))))
    many = replace(frame, A=np.full((3, 2), 1e-3))
    with pytest.raises(FrameError, match="different numbers of candidates"):
        solve(many, Loads(("x",), np.zeros((2, 1, 3, 6))))


def test_self_weight_follows_each_candidate(frame: Frame) -> None:
    many = replace(frame, mass_per_length=np.array([[9.0, 9], [18.0, 9]]))
    loads = Loads(("g",), np.zeros((1, 3, 6)), self_weight(many, 9.80665))
    lifted = solve(many, loads).reactions[:, 0, :, 2].sum(axis=1)
    np.testing.assert_allclose(lifted, [9.80665 * 27, 9.80665 * 45], rtol=1e-12)


def test_joined_lists_keep_candidates() -> None:
    end, w, first = np.array([[1.0], [2], [3]]), np.ones((1, 3)), np.zeros(1, int)
    varying = Spans(first, first, np.zeros((3, 1)), end, w, w)
    both = Spans.joined(Spans.none(), one_span(1, 0.2, 0.5), varying)
    assert both.candidates == 3
    assert both.member.tolist() == [1, 0]
    assert both.b.tolist() == [[0.5, 1.0], [0.5, 2.0], [0.5, 3.0]]
    assert both.at(2).b.tolist() == [0.5, 3.0]
    assert Points.joined(Points.none()).case.size == 0


def test_one_candidate_is_cut_out(frame: Frame) -> None:
    many = replace(frame, E=np.array([[1e11, 1e11], [2e11, 2e11]]))
    assert many.candidates == 2
    assert many.at(1).candidates == 1
    assert many.at(1).E.tolist() == [2e11, 2e11]
    assert many.at(slice(0, 1)).E.shape == (1, 2)


def test_nodal_loads_of_another_shape() -> None:
    with pytest.raises(FrameError, match=r"Loads.nodal needs the axes"):
        Loads(("x",), np.zeros(6))
    with pytest.raises(FrameError, match=r"Loads.nodal has the shape"):
        Loads(("x",), np.zeros((2, 3, 6)))
    with pytest.raises(FrameError, match="not a number"):
        Loads(("x",), np.full((1, 3, 6), np.nan))
