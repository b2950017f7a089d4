"""Loads on members: fixed-end forces, self weight, superposition."""

from __future__ import annotations

import numpy as np

from plumbrail.frame.element import Elements
from plumbrail.frame.model import Array, Frame, FrameError, IntArray, Loads, Points, Spans

GAUSS_AT = np.array([0.5 - np.sqrt(0.15), 0.5, 0.5 + np.sqrt(0.15)])
GAUSS_WEIGHT = np.array([5.0, 8.0, 5.0]) / 18.0
"""Three-point Gauss rule on 0 to 1; exact to degree five, a linear load times a cubic is four."""


def self_weight(frame: Frame, g: float, case: int = 0) -> Spans:
    """Weight of every member, downwards, as loads of one case; ``g`` in m/s²."""
    members = np.arange(len(frame.member_ids))
    length = frame.length
    down = np.array([0.0, 0.0, -g])
    w = frame.mass_per_length[..., None] * down
    return Spans(np.full(members.shape, case), members, np.zeros_like(length), length, w, w)


def combine(factors: Array, values: Array, axis: int = 1) -> Array:
    """Superpose: ``factors`` (combinations, cases) over the case axis of ``values``."""
    factors = np.asarray(factors, dtype=float)
    values = np.moveaxis(values, axis, 1) if axis != 1 else values
    if factors.shape[1] != values.shape[1]:
        raise FrameError(f"factors for {factors.shape[1]} load cases, there are {values.shape[1]}")
    out = factors @ values.reshape(*values.shape[:2], -1)
    out = out.reshape(values.shape[0], len(factors), *values.shape[2:])
    return np.moveaxis(out, 1, axis) if axis != 1 else out


def total(case: IntArray, member: IntArray, values: Array, cases: int, members: int) -> Array:
    """Sum entries (candidates, k, ...) into (candidates, cases, members, ...)."""
    out = np.zeros((len(values), cases * members, *values.shape[2:]))
    place = case * members + member
    turn = occurrence(place)
    first = turn == 0
    out[:, place[first]] = values[:, first]
    for n in range(1, int(turn.max(initial=0)) + 1):
        out[:, place[turn == n]] += values[:, turn == n]
    return out.reshape(len(values), cases, members, *values.shape[2:])


def occurrence(keys: IntArray) -> IntArray:
    """(k,) how many earlier entries have the same key."""
    order = np.argsort(keys, kind="stable")
    _, starts, counts = np.unique(keys[order], return_index=True, return_counts=True)
    out = np.empty_like(keys)
    out[order] = np.arange(len(keys)) - np.repeat(starts, counts)
    return out


def fixed_end_forces(frame: Frame, loads: Loads, members: Elements) -> Array:
    """Forces of rigidly held ends on the loaded members, local, before any release.

    (candidates, cases, members, 12). Raises :class:`FrameError` for a load off its member.
    """
    shape = len(loads.case_ids), len(frame.member_ids)
    out = np.zeros((1, *shape, 12))
    spans, points = loads.spans, loads.points
    if spans.case.size:
        out = out + total(spans.case, spans.member, _of_spans(frame, spans, members), *shape)
    if points.case.size:
        out = out + total(points.case, points.member, _of_points(frame, points, members), *shape)
    return out


def _of_spans(frame: Frame, spans: Spans, members: Elements) -> Array:
    """(candidates, k, 12) by Gauss points, exact for a linear load."""
    _on_member(frame, spans.member, spans.a, spans.b)
    L, axes = members.length[:, spans.member], members.axes[:, spans.member]
    a, b = np.atleast_2d(spans.a), np.atleast_2d(spans.b)
    if (b <= a).any():
        raise FrameError("a load span ends before it begins: b must be greater than a")
    w_a, w_b = (to_local(axes, w) for w in (spans.w_a, spans.w_b))
    out = np.zeros(12)
    for at, weight in zip(GAUSS_AT, GAUSS_WEIGHT, strict=True):
        force = (w_a + (w_b - w_a) * at) * ((b - a) * weight)[..., None]
        out = out + _held(force, np.zeros(3), (a + (b - a) * at) / L, L)
    return out


def _of_points(frame: Frame, points: Points, members: Elements) -> Array:
    """(candidates, k, 12)."""
    _on_member(frame, points.member, points.a, points.a)
    L, axes = members.length[:, points.member], members.axes[:, points.member]
    force, moment = (to_local(axes, v) for v in (points.force, points.moment))
    return _held(force, moment, points.a / L, L)


def _on_member(frame: Frame, member: IntArray, a: Array, b: Array) -> None:
    if member.min() < 0 or member.max() >= len(frame.member_ids):
        raise FrameError("a member load points to a member that does not exist")
    length = frame.length[..., member]
    off = np.atleast_2d((a < -1e-9 * length) | (b > length * (1 + 1e-9)) | (b < a))
    if off.any():
        name = frame.member_ids[member[int(np.argmax(off.any(axis=0)))]]
        raise FrameError(f"member {name}: a load lies outside 0 to its length; check a and b")


def to_local(axes: Array, vectors: Array) -> Array:
    """(candidates, k, 3) local from *(k, 3) global with axes (candidates, k, 3, 3)."""
    return np.asarray((axes @ vectors[..., None])[..., 0])


def _held(force: Array, moment: Array, xi: Array, L: Array) -> Array:
    """Forces of held ends on a member with a force and moment at ``xi`` = x / L, local."""
    shape = np.broadcast_shapes(force.shape[:-1], moment.shape[:-1], xi.shape)
    out = np.empty((*shape, 12))
    rest = 1 - xi
    out[..., 0], out[..., 6] = -force[..., 0] * rest, -force[..., 0] * xi
    out[..., 3], out[..., 9] = -moment[..., 0] * rest, -moment[..., 0] * xi
    near, far = rest * rest * (1 + 2 * xi), xi * xi * (1 + 2 * rest)
    turn_near, turn_far = L * xi * rest * rest, -L * xi * xi * rest
    slope, slope_near, slope_far = 6 * xi * rest / L, rest * (1 - 3 * xi), xi * (3 * xi - 2)
    for v, r, sign in ((1, 5, 1.0), (2, 4, -1.0)):
        f, m = force[..., v], sign * moment[..., r - 3]
        out[..., v], out[..., v + 6] = -f * near + m * slope, -f * far - m * slope
        out[..., r] = -sign * (f * turn_near + m * slope_near)
        out[..., r + 6] = -sign * (f * turn_far + m * slope_far)
    return out


def load_size(loads: Loads, size: Array) -> Array:
    """(candidates, cases) sum of the amounts of all loads, N; moments over ``size`` [m]."""
    nodal = np.abs(loads.nodal if loads.nodal.ndim == 4 else loads.nodal[None]).sum(axis=2)
    out = nodal[..., :3].sum(axis=-1) + nodal[..., 3:].sum(axis=-1) / size[:, None]
    s, p = loads.spans, loads.points
    if s.case.size:
        amount = 0.5 * (np.abs(s.w_a) + np.abs(s.w_b)).sum(axis=-1) * (s.b - s.a)
        out = out + _per_case(s.case, amount, len(loads.case_ids))
    if p.case.size:
        amount = np.abs(p.force).sum(axis=-1)
        out = out + _per_case(p.case, amount, len(loads.case_ids))
        amount = np.abs(p.moment).sum(axis=-1)
        out = out + _per_case(p.case, amount, len(loads.case_ids)) / size[:, None]
    return np.asarray(out)


def _per_case(case: IntArray, amount: Array, cases: int) -> Array:
    which: Array = (case[:, None] == np.arange(cases)).astype(float)
    return np.asarray(np.atleast_2d(amount) @ which)
