"""What must hold for every frame: balance, superposition, symmetry, reciprocity, invariance."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from plumbrail.errors import MechanismError
from plumbrail.frame import (
    Frame,
    InternalForces,
    Loads,
    Points,
    Solution,
    Spans,
    combine,
    internal_forces,
    solve,
)
from plumbrail.frame.element import elements, local_axes, turn

seeds = st.integers(0, 2**32 - 1)
quick = settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def random_frame(rng: np.random.Generator, candidates: int = 0) -> Frame:
    """A frame with hinges, springs, a tie and random axes; stable by trial."""
    n = int(rng.integers(4, 9))
    lead = (candidates,) if candidates else ()
    xyz = np.arange(n)[:, None] * [1.4, 0.2, 0.1] + rng.uniform(-1, 1, (*lead, n, 3))
    chain = [(i, i + 1) for i in range(n - 1)]
    extra = [(i, j) for i in range(n) for j in range(i + 2, n)]
    picks = rng.choice(len(extra), size=n - 2, replace=len(extra) < n - 2)
    xyz[..., n - 1, :] = xyz[..., n - 2, :]  # the last node is tied to the one before
    ends = np.array(chain[:-1] + [(0, n - 1), (1, n - 1)] + [extra[p] for p in picks])
    ends = np.array([e for e in ends if tuple(e) != (n - 2, n - 1)])
    m = len(ends)
    fixed = np.zeros((n, 6), dtype=bool)
    fixed[0, :5] = True
    fixed[1, :3] = True
    springs = rng.uniform(1e4, 1e6, (*lead, n, 6)) * (rng.random((n, 6)) < 0.3)
    releases = np.zeros((m, 12), dtype=bool)
    for i in range(m):
        if rng.random() < 0.4:
            releases[
                i, rng.choice([[4], [5], [4, 5], [10, 11], [3], [9], [7], [0]][rng.integers(8)])
            ] = True
    section = [
        rng.uniform(low, high, (*lead, m))
        for low, high in (
            (6e10, 2e11),
            (2e10, 8e10),
            (5e-4, 3e-3),
            (2e-7, 4e-6),
            (2e-7, 4e-6),
            (4e-7, 6e-6),
        )
    ]
    tied = np.array([[True, True, True, bool(rng.integers(2)), True, True]])
    return Frame(
        tuple(f"n{i}" for i in range(n)), tuple(f"m{i}" for i in range(m)), ends, xyz, *section,
        rng.uniform(1, 20, m), rng.normal(size=(m, 3)), releases, fixed, springs,
        np.array([[n - 2, n - 1]]), tied,
    )  # fmt: skip


def random_loads(
    frame: Frame, rng: np.random.Generator, cases: int = 2, vary: bool = False
) -> Loads:
    lead = (frame.candidates,) if vary else ()
    n, m, k = len(frame.node_ids), len(frame.member_ids), 7
    member, at = rng.integers(0, m, k), rng.integers(0, m, 4)
    L = frame.length
    a, b = np.sort(rng.uniform(0, 1, (2, k)), axis=0)
    w = rng.normal(size=(2, *lead, k, 3)) * 500
    spans = Spans(rng.integers(0, cases, k), member, a * L[..., member], b * L[..., member], *w)
    points = Points(rng.integers(0, cases, 4), at, rng.uniform(0, 1, 4) * L[..., at],
                    *rng.normal(size=(2, *lead, 4, 3)) * 400)  # fmt: skip
    nodal = rng.normal(size=(*lead, cases, n, 6)) * 300
    return Loads(tuple(f"c{i}" for i in range(cases)), nodal, spans, points)


def stable(rng: np.random.Generator, candidates: int = 0) -> Frame:
    """A random frame that stands; with fewer releases if need be."""
    frame = random_frame(rng, candidates)
    try:
        solve(frame, Loads(("t",), np.zeros((1, len(frame.node_ids), 6))))
    except MechanismError:
        frame = replace(frame, releases=np.zeros_like(frame.releases))
    return frame


def same(
    one: Solution | InternalForces, other: Solution | InternalForces, rtol: float = 1e-8
) -> None:
    for f in fields(one):
        if f.name != "residual":
            a, b = getattr(one, f.name), getattr(other, f.name)
            np.testing.assert_allclose(a, b, rtol=0, atol=rtol * max(np.abs(b).max(), 1e-12))


def applied(frame: Frame, loads: Loads) -> tuple[np.ndarray, np.ndarray]:
    """Sum of all forces (cases, 3), and their moment about the origin, of one candidate."""
    cases, xyz = len(loads.case_ids), frame.xyz
    force = loads.nodal[..., :3].sum(axis=1)
    moment = loads.nodal[..., 3:].sum(axis=1) + np.cross(xyz, loads.nodal[..., :3]).sum(axis=1)
    axes, _ = local_axes(frame)
    start = xyz[frame.ends[:, 0]]
    s, p = loads.spans, loads.points
    for k in range(len(s.case)):
        span = s.b[k] - s.a[k]
        total = (s.w_a[k] + s.w_b[k]) * span / 2
        # first moment of a linear load about its beginning, vector by vector
        lever = (s.w_a[k] + 2 * s.w_b[k]) * span**2 / 6
        x = axes[0, s.member[k], 0]
        force[s.case[k]] += total
        moment[s.case[k]] += np.cross(start[s.member[k]] + s.a[k] * x, total) + np.cross(x, lever)
    for k in range(len(p.case)):
        place = start[p.member[k]] + p.a[k] * axes[0, p.member[k], 0]
        force[p.case[k]] += p.force[k]
        moment[p.case[k]] += p.moment[k] + np.cross(place, p.force[k])
    assert force.shape == (cases, 3)
    return force, moment


@quick
@given(seeds)
def test_reactions_carry_the_loads(seed: int) -> None:
    """Sum of forces and of moments about the origin, every case, to 1e-9 of the loads."""
    rng = np.random.default_rng(seed)
    frame = stable(rng)
    loads = random_loads(frame, rng)
    answer = solve(frame, loads)
    assert answer.residual.max() <= 1e-9
    force, moment = applied(frame, loads)
    R = answer.reactions[0]
    scale = np.abs(loads.nodal).sum() + 1.0
    assert np.abs(R[..., :3].sum(axis=1) + force).max() <= 1e-9 * scale
    turned = R[..., 3:].sum(axis=1) + np.cross(frame.xyz, R[..., :3]).sum(axis=1) + moment
    assert np.abs(turned).max() <= 1e-9 * scale * np.abs(frame.xyz).max()


@quick
@given(seeds)
def test_every_joint_balances(seed: int) -> None:
    rng = np.random.default_rng(seed)
    frame = stable(rng)
    loads = random_loads(frame, rng)
    answer = solve(frame, loads)
    pull = turn(local_axes(frame)[0], answer.end_forces, back=True)[0]
    left = loads.nodal + answer.reactions[0]
    for member, (i, j) in enumerate(frame.ends):
        left[:, i] -= pull[:, member, :6]
        left[:, j] -= pull[:, member, 6:]
    (leader, follower), tied = frame.ties[0], frame.tied[0]
    left[:, leader, tied] += left[:, follower, tied]
    left[:, follower, tied] = 0.0
    assert np.abs(left).max() <= 1e-9 * np.abs(loads.nodal).sum() * 10


@quick
@given(seeds)
def test_every_member_balances_and_joins(seed: int) -> None:
    """Forces at the last station are those of end j, deflections those of its ends."""
    rng = np.random.default_rng(seed)
    frame = stable(rng)
    loads = random_loads(frame, rng)
    answer = solve(frame, loads)
    inner = internal_forces(frame, loads, answer, 5)
    last = np.stack(
        [getattr(inner, q)[..., -1] for q in ("N", "V_y", "V_z", "T", "M_y", "M_z")], -1
    )
    scale = np.abs(answer.end_forces).max()
    assert np.abs(last - answer.end_forces[..., 6:]).max() <= 1e-8 * scale
    own = turn(local_axes(frame)[0], answer.end_displacements, back=True)
    big = np.abs(inner.deflection).max()
    assert np.abs(inner.deflection[..., 0, :] - own[..., :3]).max() <= 1e-8 * big
    assert np.abs(inner.deflection[..., -1, :] - own[..., 6:9]).max() <= 1e-7 * big
    kept = ~frame.releases
    at_nodes = turn(local_axes(frame)[0], answer.displacements[:, :, frame.ends].reshape(
        1, len(loads.case_ids), -1, 12))  # fmt: skip
    assert np.abs((answer.end_displacements - at_nodes) * kept).max() <= 1e-12
    assert not (answer.end_forces * frame.releases).any()


@quick
@given(seeds)
def test_moment_is_the_integral_of_shear(seed: int) -> None:
    rng = np.random.default_rng(seed)
    frame = stable(rng)
    loads = replace(random_loads(frame, rng), points=Points.none())
    inner = internal_forces(frame, loads, solve(frame, loads), 401)
    x, scale = inner.x[:, None], np.abs(inner.M_y).max() + np.abs(inner.M_z).max()
    for M, V, sign in ((inner.M_y, inner.V_z, 1), (inner.M_z, inner.V_y, -1)):
        ramps = np.abs(loads.spans.w_a - loads.spans.w_b).sum()
        error = (frame.length.max() / 400) ** 2 / 12 * ramps  # of the trapezoidal rule
        area = np.cumsum(np.diff(x) * (V[..., 1:] + V[..., :-1]) / 2, axis=-1) * sign
        assert np.abs(M[..., 1:] - M[..., :1] - area).max() <= error + 1e-9 * scale


@quick
@given(seeds)
def test_superposition(seed: int) -> None:
    """Combining results is the same as analysing the combined load."""
    rng = np.random.default_rng(seed)
    frame = stable(rng)
    loads = random_loads(frame, rng)
    factors = rng.uniform(-2, 2, (1, 2))
    answer = solve(frame, loads)
    s, p = loads.spans, loads.points
    f, g = factors[0][s.case][:, None], factors[0][p.case][:, None]
    together = Loads(
        ("sum",), combine(factors, loads.nodal[None])[0],
        replace(s, case=np.zeros_like(s.case), w_a=s.w_a * f, w_b=s.w_b * f),
        replace(p, case=np.zeros_like(p.case), force=p.force * g, moment=p.moment * g),
    )  # fmt: skip
    whole = solve(frame, together)
    for q in ("displacements", "reactions", "end_forces", "end_displacements"):
        ours = combine(factors, getattr(answer, q))
        scale = np.abs(getattr(answer, q)).max()
        assert np.abs(ours - getattr(whole, q)).max() <= 1e-9 * scale
    parts, one = (
        internal_forces(frame, loads, answer, 7),
        internal_forces(frame, together, whole, 7),
    )
    for q in ("N", "V_y", "V_z", "T", "M_y", "M_z", "deflection"):
        ours = combine(factors, getattr(parts, q))
        scale = np.abs(getattr(parts, q)).max()
        assert np.abs(ours - getattr(one, q)).max() <= 1e-8 * scale


@quick
@given(seeds)
def test_stiffness_is_symmetric_with_six_rigid_motions(seed: int) -> None:
    """Each member by itself, and the whole frame, have exactly six motions without force."""
    rng = np.random.default_rng(seed)
    frame = random_frame(rng)
    members = elements(frame)
    for k in (members.full, members.stiffness):
        assert np.abs(k - np.swapaxes(k, -1, -2)).max() <= 1e-12 * np.abs(k).max()
    x, xyz, ends = members.axes, frame.xyz, frame.ends
    for d in range(6):
        motion = np.zeros((len(xyz), 6))
        motion[:, d] = 1.0
        if d >= 3:
            motion[:, :3] = np.cross(np.eye(3)[d - 3], xyz)
        local = turn(x, motion[ends].reshape(1, 1, -1, 12))[0, 0]
        force = np.einsum("mij,mj->mi", members.stiffness[0], local)
        assert np.abs(force).max() <= 1e-9 * np.abs(members.full).max()
    own = members.full[0, 0]
    unit = 1 / np.sqrt(np.diag(own))
    values = np.linalg.eigvalsh(own * unit * unit[:, None])
    assert (values[:6] < 1e-10).all()
    assert values[6] > 1e-7


@quick
@given(seeds)
def test_reciprocity(seed: int) -> None:
    """Betti: the work of load 1 on displacement 2 is that of load 2 on displacement 1."""
    rng = np.random.default_rng(seed)
    frame = stable(rng)
    nodal = rng.normal(size=(2, len(frame.node_ids), 6))
    u = solve(frame, Loads(("a", "b"), nodal)).displacements[0]
    one, two = (nodal[0] * u[1]).sum(), (nodal[1] * u[0]).sum()
    assert one == pytest.approx(two, rel=1e-8, abs=1e-9 * np.abs(nodal[0] * u[1]).sum())


@quick
@given(seeds)
def test_turning_everything_leaves_local_forces(seed: int) -> None:
    rng = np.random.default_rng(seed)
    frame = stable(rng)
    frame = replace(frame, springs=np.zeros_like(frame.springs), tied=np.ones((1, 6), dtype=bool),
                    fixed=frame.fixed | (np.arange(len(frame.node_ids)) == 0)[:, None])  # fmt: skip
    loads = random_loads(frame, rng)
    Q, _ = np.linalg.qr(rng.normal(size=(3, 3)))
    Q *= np.linalg.det(Q)
    spin = replace(frame, xyz=frame.xyz @ Q.T, up=frame.up @ Q.T)
    s, p = loads.spans, loads.points
    pairs = loads.nodal.reshape(*loads.nodal.shape[:2], 2, 3) @ Q.T
    turned = Loads(
        loads.case_ids, pairs.reshape(loads.nodal.shape),
        replace(s, w_a=s.w_a @ Q.T, w_b=s.w_b @ Q.T),
        replace(p, force=p.force @ Q.T, moment=p.moment @ Q.T),
    )  # fmt: skip
    try:
        before = solve(frame, loads)
    except MechanismError:
        assume(False)
    after = solve(spin, turned)
    scale = np.abs(before.end_forces).max()
    assert np.abs(before.end_forces - after.end_forces).max() <= 1e-8 * scale
    one = internal_forces(frame, loads, before, 5).deflection @ Q.T
    two = internal_forces(spin, turned, after, 5).deflection
    assert np.abs(one - two).max() <= 1e-8 * np.abs(one).max()


@quick
@given(seeds)
def test_batch_is_the_loop_in_any_order(seed: int) -> None:
    rng = np.random.default_rng(seed)
    frame = stable(rng, candidates=5)
    loads = random_loads(frame, rng, vary=True)
    whole = solve(frame, loads)
    inner = internal_forces(frame, loads, whole, 5)
    order = rng.permutation(5)
    shuffled = replace(frame, **{
        f.name: getattr(frame, f.name)[order] for f in fields(frame)
        if f.name in {"xyz", "E", "G", "A", "I_y", "I_z", "J", "springs"}
    })  # fmt: skip
    s, p = loads.spans, loads.points
    mixed = replace(
        loads, nodal=loads.nodal[order],
        spans=replace(s, a=s.a[order], b=s.b[order], w_a=s.w_a[order], w_b=s.w_b[order]),
        points=replace(p, a=p.a[order], force=p.force[order], moment=p.moment[order]),
    )  # fmt: skip
    other = solve(shuffled, mixed)
    for f in fields(whole):
        expected = getattr(whole, f.name)[order]
        np.testing.assert_array_equal(getattr(other, f.name), expected)
    for c in range(5):
        own, load = frame.at(c), loads.at(c)
        alone = solve(own, load)
        same(alone, Solution(*(getattr(whole, f.name)[c : c + 1] for f in fields(whole))))
        cut = InternalForces(*(getattr(inner, f.name)[c : c + 1] for f in fields(inner)))
        same(internal_forces(own, load, alone, 5), cut)


def dense_stiffness(frame: Frame) -> np.ndarray:
    """Stiffness among the unknowns, assembled member by member without any of the band code."""
    members, n = elements(frame), len(frame.node_ids)
    K = np.diag(np.ravel(frame.springs))
    for m, (i, j) in enumerate(frame.ends):
        R = np.kron(np.eye(4), members.axes[0, m])
        where = np.r_[6 * i : 6 * i + 6, 6 * j : 6 * j + 6]
        K[np.ix_(where, where)] += R.T @ members.stiffness[0, m] @ R
    join = np.eye(6 * n)
    (leader, follower), tied = frame.ties[0], frame.tied[0]
    for d in np.flatnonzero(tied):
        join[6 * follower + d] = join[6 * leader + d]
    free = ~frame.fixed.ravel()
    free[6 * follower + np.flatnonzero(tied)] = False
    join = join[:, free]
    return join.T @ K @ join


@settings(quick, max_examples=150)
@given(seeds)
def test_refused_exactly_when_something_can_move(seed: int) -> None:
    """With every stiffness set to one, a mechanism is a zero eigenvalue, decided densely."""
    rng = np.random.default_rng(seed)
    frame = random_frame(rng)
    keep = rng.random(frame.fixed.shape) < 0.8
    springs = frame.springs * (rng.random(frame.springs.shape) < 0.3)
    frame = replace(frame, fixed=frame.fixed & keep, springs=springs)
    one = np.ones(len(frame.member_ids))
    plain = replace(frame, E=one, G=one, A=one, I_y=one, I_z=one, J=one,
                    springs=(springs > 0).astype(float))  # fmt: skip
    values = np.linalg.eigvalsh(dense_stiffness(plain))
    moves = bool(values[0] < 1e-10)
    assume(moves or values[0] > 1e-6)
    loads = Loads(("none",), np.zeros((1, len(frame.node_ids), 6)))
    if moves:
        with pytest.raises(MechanismError, match="nothing holds it"):
            solve(frame, loads)
    else:
        solve(frame, loads)


@quick
@given(seeds)
def test_band_solution_is_the_dense_one(seed: int) -> None:
    rng = np.random.default_rng(seed)
    frame = stable(rng)
    nodal = rng.normal(size=(1, len(frame.node_ids), 6)) * 100
    u = solve(frame, Loads(("a",), nodal)).displacements[0, 0]
    (leader, follower), tied = frame.ties[0], frame.tied[0]
    free = ~frame.fixed.copy()
    free[follower, tied] = False
    force = nodal[0].copy()
    force[leader, tied] += force[follower, tied]
    expected = np.linalg.solve(dense_stiffness(frame), force[free])
    assert np.abs(u[free] - expected).max() <= 1e-7 * np.abs(expected).max()
