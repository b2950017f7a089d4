"""Stress resultants and deflections along the members, exact for the loads.

Each member is followed from end i: the end forces and end displacements there, and repeated
integrals of what lies between end i and the station, give every quantity in closed form.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from plumbrail.frame.element import local_axes
from plumbrail.frame.loading import GAUSS_AT, GAUSS_WEIGHT, to_local, total
from plumbrail.frame.model import (
    Array,
    Frame,
    InternalForces,
    Loads,
    Points,
    Solution,
    Spans,
)
from plumbrail.frame.stations import SAME, Stations, stations


@dataclass(frozen=True)
class _Carried:
    """Load between end i and each station, local axes: (candidates, cases, members, 3, stations).

    Integrals of the load times (x - place)^n / n!; a moment is carried as the slope of a load.
    """

    force: Array
    """n = 0, N."""
    moment: Array
    """n = 1, N·m; the axial row counts forces only."""
    bend: Array
    """n = 3, N·m³."""
    twist: Array
    """(candidates, cases, members, stations) point torques passed, N·m."""


def internal_forces(
    frame: Frame, loads: Loads, solution: Solution, at: int | ArrayLike = 21
) -> InternalForces:
    """N, V_y, V_z, T, M_y, M_z and deflections at ``at`` places (a number, or fractions).

    The places where loads begin or end are added (both sides of point loads), so every value is
    exact and every jump has both its sides. Between two stations h apart a moment can exceed the
    larger of the two by at most w h² / 8, w the largest load per length there. Members that have
    fewer load steps than others repeat their last station.
    """
    axes, length = local_axes(frame)
    place = stations(frame, loads, at)
    carried = _carried(loads, axes, length, place, len(frame.member_ids))
    N, V_y, V_z, T, M_y, M_z = _forces(solution.end_forces, carried, place.x)
    deflection = _deflection(frame, axes, solution, carried, place.x)
    return InternalForces(place.x, N, V_y, V_z, T, M_y, M_z, deflection)  # fmt: skip


def _forces(end: Array, carried: _Carried, x: Array) -> tuple[Array, ...]:
    """The six stress resultants from equilibrium of the piece between end i and x."""
    start = end[..., :6, None]
    q, m = carried.force, carried.moment
    x = x[:, None]
    N, V_y, V_z = (-start[..., d, :] - q[..., d, :] for d in range(3))
    T = -start[..., 3, :] - carried.twist
    M_y = -start[..., 4, :] - start[..., 2, :] * x - m[..., 2, :]
    M_z = -start[..., 5, :] + start[..., 1, :] * x + m[..., 1, :]
    return N, V_y, V_z, T, M_y, M_z


def _deflection(
    frame: Frame, axes: Array, solution: Solution, carried: _Carried, x: Array
) -> Array:  # fmt: skip
    """(candidates, cases, members, stations, 3) global, by integrating the strains from end i."""
    EA, EI_y, EI_z = (
        np.atleast_2d(frame.E * p)[:, None, :, None] for p in (frame.A, frame.I_y, frame.I_z)
    )
    x = x[:, None]
    f, d = solution.end_forces[..., :6, None], solution.end_displacements[..., :6, None]
    u = d[..., 0, :] - (f[..., 0, :] * x + carried.moment[..., 0, :]) / EA
    bend = x * x * (f[..., 1, :] * x / 6 - f[..., 5, :] / 2) + carried.bend[..., 1, :]
    v = d[..., 1, :] + d[..., 5, :] * x + bend / EI_z
    bend = x * x * (f[..., 2, :] * x / 6 + f[..., 4, :] / 2) + carried.bend[..., 2, :]
    w = d[..., 2, :] - d[..., 4, :] * x + bend / EI_y
    return np.stack([u, v, w], axis=-1) @ axes[:, None]


def _carried(
    loads: Loads, axes: Array, length: Array, place: Stations, members: int
) -> _Carried:  # fmt: skip
    cases, count = len(loads.case_ids), place.x.shape[-1]
    zero = np.zeros((1, 1, members, 3, count))
    force, moment, bend, twist = zero, zero, zero, zero[..., 0, :]
    if loads.spans.case.size:
        spans = loads.spans
        parts = [
            total(spans.case, spans.member, p, cases, members)
            for p in _span_integrals(spans, axes, length, place)
        ]
        force, moment, bend = parts
    if loads.points.case.size:
        points = loads.points
        more = [
            total(points.case, points.member, p, cases, members)
            for p in _point_integrals(points, axes, length, place)
        ]
        force, moment, bend = force + more[0], moment + more[1], bend + more[2]
        twist = more[3]
    return _Carried(force, moment, bend, twist)


def _span_integrals(
    spans: Spans, axes: Array, length: Array, place: Stations
) -> tuple[Array, ...]:  # fmt: skip
    """Integrals n = 0, 1, 3 as (candidates, k, 3, stations), by Gauss points up to the station.

    The load is linear and the kernel at most cubic, so that three points are exact.
    """
    x = place.x[:, spans.member]
    a, b = (np.atleast_2d(v)[..., None] for v in (spans.a, spans.b))
    reach = np.minimum(np.maximum(x - a, 0.0), b - a)
    basis = np.zeros((3, 2, *np.broadcast_shapes(reach.shape, a.shape)))
    for at, weight in zip(GAUSS_AT, GAUSS_WEIGHT, strict=True):
        share, arm = at * reach / (b - a), x - a - at * reach
        piece = np.ones(())
        for n, kernel in enumerate((reach * weight, arm, arm * arm / 6)):
            piece = piece * kernel
            basis[n, 1] += piece * share
            basis[n, 0] += piece
    basis[:, 0] -= basis[:, 1]
    R = axes[:, spans.member]
    w = np.stack([to_local(R, spans.w_a), to_local(R, spans.w_b)], axis=-1)
    lead = np.broadcast_shapes(w.shape[:1], basis.shape[2:3])
    ends = np.broadcast_to(w, (*lead, *w.shape[1:]))
    parts = [ends @ np.moveaxis(n, 0, -2) for n in basis]
    return parts[0], parts[1], parts[2]


def _point_integrals(
    points: Points, axes: Array, length: Array, place: Stations
) -> tuple[Array, ...]:  # fmt: skip
    """Integrals n = 0, 1, 3 as (candidates, k, 3, stations), and torques (candidates, k, stations).

    A moment about local z turns like a force in -x times (x - a): it enters one power lower.
    """
    x, after = place.x[:, points.member], place.after[:, points.member]
    a, near = np.atleast_2d(points.a)[..., None], SAME * length[:, points.member, None]
    arm = np.maximum(x - a, 0.0)
    passed = (x > a + near) | (after & (np.abs(x - a) <= near))
    R = axes[:, points.member]
    f, m = (to_local(R, v)[..., None] for v in (points.force, points.moment))
    across = np.concatenate([np.zeros_like(m[..., 2:, :]), -m[..., 2:, :], m[..., 1:2, :]], axis=-2)
    passed, arm = passed[..., None, :], arm[..., None, :]
    force = f * passed
    moment = f * arm + across * passed
    bend = f * arm**3 / 6 + across * arm**2 / 2
    return force, moment, bend, (m * passed)[..., 0, :]
