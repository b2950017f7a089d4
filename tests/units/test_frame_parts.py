"""Released ends, ties, stations, springs and superposition against results by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from plumbrail.frame import (
    Frame,
    FrameError,
    Loads,
    Points,
    Spans,
    UnbalancedError,
    combine,
    internal_forces,
    self_weight,
    solve,
    solver,
)
from plumbrail.frame.loading import total
from plumbrail.frame.stations import stations

E, IY, IZ, AREA, J, G = 2e11, 7e-7, 5e-7, 1e-3, 1e-6, 8e10
L, W = 4.0, 100.0


def line(xyz, ends, up=(0.0, 0.0, 1.0), **fixed) -> Frame:
    m, n = len(ends), len(xyz)
    support = np.zeros((n, 6), dtype=bool)
    for node, dofs in fixed.items():
        support[int(node[1:]), list(dofs)] = True
    section = [np.full(m, v) for v in (E, G, AREA, IY, IZ, J, W / 10)]
    return Frame(tuple(f"n{i}" for i in range(n)), tuple(f"m{i}" for i in range(m)), np.array(ends),
                 np.array(xyz, dtype=float), *section, np.tile(up, (m, 1)),
                 np.zeros((m, 12), dtype=bool), support, np.zeros((n, 6)))  # fmt: skip


def clamped(released: list[int]) -> tuple[Frame, Loads]:
    frame = line([(0, 0, 0), (L, 0, 0)], [(0, 1)], n0=range(6), n1=range(6))
    frame = replace(frame, releases=np.isin(np.arange(12), released)[None])
    return frame, Loads(("g",), np.zeros((1, 2, 6)), self_weight(frame, 10.0))


def test_hinged_at_both_ends_is_a_simple_beam() -> None:
    frame, loads = clamped([4, 10])
    answer = solve(frame, loads)
    inner = internal_forces(frame, loads, answer, 3)
    assert -inner.M_y[0, 0, 0] == pytest.approx([0, W * L**2 / 8, 0], abs=1e-9)
    assert -inner.deflection[0, 0, 0, 1, 2] == pytest.approx(5 * W * L**4 / (384 * E * IY))
    slope = W * L**3 / (24 * E * IY)
    assert answer.end_displacements[0, 0, 0, [4, 10]] == pytest.approx([slope, -slope])
    assert not answer.displacements.any()


def test_hinged_at_one_end_is_a_propped_cantilever() -> None:
    frame, loads = clamped([10])
    answer = solve(frame, loads)
    assert answer.reactions[0, 0, :, 2] == pytest.approx([5 * W * L / 8, 3 * W * L / 8])
    assert abs(answer.reactions[0, 0, 0, 4]) == pytest.approx(W * L**2 / 8)


def test_slide_at_one_end_is_a_cantilever_from_the_other() -> None:
    """The member leaves its node: its deflection starts at the released end, not at the node."""
    frame, loads = clamped([2, 4])
    inner = internal_forces(frame, loads, solve(frame, loads), 3)
    assert -inner.deflection[0, 0, 0, 0, 2] == pytest.approx(W * L**4 / (8 * E * IY))
    assert inner.deflection[0, 0, 0, -1, 2] == pytest.approx(0.0, abs=1e-12)


def test_right_hand_bending_in_both_planes() -> None:
    """Positive M_y lifts no end: a load along local +z sags a simple beam with M_y > 0."""
    frame = line([(0, 0, 0), (L, 0, 0)], [(0, 1)], n0=(0, 1, 2, 3), n1=(1, 2))
    w = np.array([[0.0, 30.0, 50.0]])
    spans = Spans(np.zeros(1, int), np.zeros(1, int), np.zeros(1), np.full(1, L), w, w)
    loads = Loads(("w",), np.zeros((1, 2, 6)), spans)
    inner = internal_forces(frame, loads, solve(frame, loads), 3)
    assert inner.M_y[0, 0, 0, 1] == pytest.approx(50 * L**2 / 8)
    assert inner.M_z[0, 0, 0, 1] == pytest.approx(-30 * L**2 / 8)
    assert inner.deflection[0, 0, 0, 1] == pytest.approx(
        [0, 5 * 30 * L**4 / (384 * E * IZ), 5 * 50 * L**4 / (384 * E * IY)]
    )


def test_tension_and_torsion() -> None:
    frame = line([(0, 0, 0), (L, 0, 0)], [(0, 1)], n0=range(6))
    nodal = np.zeros((1, 2, 6))
    nodal[0, 1, [0, 3]] = 900.0, 70.0
    loads = Loads(("pull",), nodal)
    answer = solve(frame, loads)
    inner = internal_forces(frame, loads, answer, 2)
    assert inner.N[0, 0, 0] == pytest.approx([900, 900])
    assert inner.T[0, 0, 0] == pytest.approx([70, 70])
    assert answer.displacements[0, 0, 1, [0, 3]] == pytest.approx(
        [900 * L / (E * AREA), 70 * L / (G * J)]
    )


def test_point_loads_show_both_sides_of_each_step() -> None:
    frame = line([(0, 0, 0), (L, 0, 0)], [(0, 1)], n0=(0, 1, 2, 3), n1=(1, 2))
    points = Points(
        np.zeros(2, int),
        np.zeros(2, int),
        np.array([1.0, 3.0]),
        np.array([[50.0, 0, -80], [0, 0, 0]]),
        np.array([[20.0, 0, 0], [0, 60, 0]]),
    )
    loads = Loads(("p",), np.zeros((1, 2, 6)), points=points)
    inner = internal_forces(frame, loads, solve(frame, loads), 3)
    x = inner.x[0, 0]
    first, second = np.flatnonzero(x == 1.0), np.flatnonzero(x == 3.0)
    assert len(first) == len(second) == 2
    assert np.diff(inner.N[0, 0, 0, first]) == pytest.approx(-50)
    assert np.diff(inner.V_z[0, 0, 0, first]) == pytest.approx(80)
    assert np.diff(inner.T[0, 0, 0, first]) == pytest.approx(-20)
    assert np.diff(inner.M_y[0, 0, 0, second]) == pytest.approx(-60)
    assert inner.M_y[0, 0, 0, -1] == pytest.approx(0.0, abs=1e-9)


def test_rail_runs_on_over_a_beam_but_is_hinged_about_it() -> None:
    """A tie keeps the rail's own moment at the beam and gives the beam no torsion."""
    a, b = 0.8, 1.6
    rail_y = [-a, 0.0, b, b + a]
    xyz = [(0, y, 0) for y in rail_y] + [(x, y, 0) for y in (0.0, b) for x in (-1.5, 0.0, 1.5)]
    ends = [(0, 1), (1, 2), (2, 3), (4, 5), (5, 6), (7, 8), (8, 9)]
    frame = line(xyz, ends, n4=range(6), n6=range(6), n7=range(6), n9=range(6))
    frame = replace(frame, ties=np.array([[5, 1], [8, 2]]),
                    tied=np.tile([True, True, True, False, True, True], (2, 1)))  # fmt: skip
    loads = Loads(("g",), np.zeros((1, 10, 6)), self_weight(frame, 10.0))
    answer = solve(frame, loads)
    inner = internal_forces(frame, loads, answer, 3)
    assert abs(inner.M_y[0, 0, 0, -1]) == pytest.approx(W * a**2 / 2)  # over the beam
    assert np.abs(inner.T[0, 0, 3:]).max() < 1e-9
    assert np.abs(answer.displacements[0, 0, [5, 8]] - answer.displacements[0, 0, [1, 2]])[
        :, [0, 1, 2, 4, 5]
    ].max() == 0  # fmt: skip
    assert abs(answer.displacements[0, 0, 1, 3]) > 1e-6
    assert answer.reactions[0, 0, :, 2].sum() == pytest.approx(W * (b + 2 * a + 6.0))
    assert not answer.reactions[0, 0, [1, 2, 5, 8]].any()


def test_springs_react_by_their_shortening() -> None:
    frame = line([(0, 0, 0), (L, 0, 0)], [(0, 1)], n0=(0, 1, 3, 5))
    springs = np.zeros((2, 6))
    springs[0, 2], springs[1, 2] = 5e4, 2e4
    frame = replace(frame, springs=springs)
    loads = Loads(("g",), np.zeros((1, 2, 6)), self_weight(frame, 10.0))
    answer = solve(frame, loads)
    assert answer.reactions[0, 0, :, 2] == pytest.approx([W * L / 2, W * L / 2])
    assert answer.displacements[0, 0, :, 2] == pytest.approx([-W * L / 1e5, -W * L / 4e4])


def test_fully_supported_frame_has_no_unknowns() -> None:
    frame, loads = clamped([])
    answer = solve(frame, loads)
    assert answer.reactions[0, 0, :, 2] == pytest.approx([W * L / 2, W * L / 2])
    assert answer.residual.max() == 0


def test_stations_hold_every_load_step_once() -> None:
    frame = line([(0, 0, 0), (L, 0, 0), (2 * L, 0, 0)], [(0, 1), (1, 2)], n0=range(6))
    w = np.zeros((3, 3))
    spans = Spans(np.zeros(3, int), np.zeros(3, int), np.array([0.0, 1.3, 1.3]),
                  np.array([1.3, 2.0, 3.1]), w, w)  # fmt: skip
    points = Points(np.zeros(1, int), np.ones(1, int), np.array([0.5]), w[:1], w[:1])
    place = stations(frame, Loads(("a",), np.zeros((1, 3, 6)), spans, points), 3)
    assert place.x[0, 0].tolist() == pytest.approx([0, 1.3, 2.0, 3.1, 4.0])
    assert place.x[0, 1].tolist() == pytest.approx([0, 0.5, 0.5, 2.0, 4.0])
    assert place.after[0, 1].tolist() == [True, False, True, True, True]


def test_steps_that_move_with_the_candidate_are_sorted_for_each() -> None:
    frame = line([(0, 0, 0), (L, 0, 0)], [(0, 1)], n0=range(6))
    w = np.zeros((1, 3))
    spans = Spans(np.zeros(1, int), np.zeros(1, int), np.zeros(1), np.array([[1.0], [3.0]]), w, w)
    place = stations(frame, Loads(("a",), np.zeros((1, 2, 6)), spans), [0.0, 0.5, 1.0])
    assert place.x[:, 0].tolist() == [[0, 1, 2, 4], [0, 2, 3, 4]]


@pytest.mark.parametrize("wanted", [1, [], [0.0, 1.1], [-0.1]])
def test_refused_stations(wanted) -> None:
    frame, loads = clamped([])
    with pytest.raises(FrameError, match="stations"):
        stations(frame, loads, wanted)


def test_combinations_along_the_case_axis() -> None:
    values = np.arange(2 * 3 * 4, dtype=float).reshape(2, 3, 4)
    factors = np.array([[1.0, 0, 0], [0.5, -1, 2]])
    out = combine(factors, values)
    assert out.shape == (2, 2, 4)
    np.testing.assert_allclose(out[:, 1], 0.5 * values[:, 0] - values[:, 1] + 2 * values[:, 2])
    with pytest.raises(FrameError, match="factors for 2 load cases, there are 3"):
        combine(np.ones((1, 2)), values)


def test_combined_inside_is_combined_outside() -> None:
    frame, loads = clamped([4])
    loads = replace(loads, case_ids=("g", "p"), nodal=np.ones((2, 2, 6)))
    answer = solve(frame, loads)
    factors = np.array([[1.2, 0.5], [0.9, -1.0], [1.0, 0.0]])
    inside = internal_forces(frame, loads, answer, 4, factors)
    outside = internal_forces(frame, loads, answer, 4)
    np.testing.assert_allclose(inside.M_y, combine(factors, outside.M_y), atol=1e-12)
    assert inside.deflection.shape == (1, 3, 1, 4, 3)


def test_many_loads_on_one_member_add_up() -> None:
    values = np.arange(1.0, 7.0).reshape(1, 6)
    case, member = np.array([0, 0, 1, 0, 0, 1]), np.array([1, 1, 0, 1, 0, 0])
    assert total(case, member, values, 2, 2)[0].tolist() == [[5.0, 7.0], [9.0, 0.0]]


@pytest.mark.parametrize("candidates", [1, 31, 33, 70])
def test_chunks_do_not_show(candidates: int) -> None:
    frame, loads = clamped([4])
    frame = replace(frame, E=np.linspace(1e11, 2e11, candidates)[:, None])
    answer = solve(frame, loads)
    inner = internal_forces(frame, loads, answer, 3)
    assert inner.deflection.shape == (candidates, 1, 1, 3, 3)
    expected = W * L**4 / (192 * frame.E[:, 0] * IY)  # fixed and hinged, at the middle
    np.testing.assert_allclose(-inner.deflection[:, 0, 0, 1, 2], expected, rtol=1e-9)


def test_an_unbalanced_answer_is_never_given(monkeypatch: pytest.MonkeyPatch) -> None:
    frame = line([(0, 0, 0), (L / 3, 0.2, 0), (L, 0, 0.1)], [(0, 1), (1, 2)], n0=range(6))
    loads = Loads(("g",), np.ones((1, 3, 6)))
    assert 0 < solve(frame, loads).residual.max() <= 1e-12
    monkeypatch.setattr(solver, "RESIDUAL", 1e-30)
    with pytest.raises(UnbalancedError, match="left unbalanced"):
        solve(frame, loads)
