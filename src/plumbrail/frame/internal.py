"""Stress resultants and deflections along the members, exact for the loads.

Each member is followed from end i: the end forces and end displacements there, and repeated
integrals of what lies between end i and the station, give every quantity in closed form.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from plumbrail.frame.element import local_axes
from plumbrail.frame.loading import GAUSS_AT, GAUSS_WEIGHT, combine, to_local, total
from plumbrail.frame.model import (
    Array,
    BoolArray,
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


CHUNK = 8
"""Candidates followed together; the intermediate arrays of more do not stay in fast memory."""


def internal_forces(
    frame: Frame, loads: Loads, solution: Solution, at: int | ArrayLike = 21,
    factors: ArrayLike | None = None,
) -> InternalForces:  # fmt: skip
    """N, V_y, V_z, T, M_y, M_z and deflections at ``at`` places (a number, or fractions).

    The places where loads begin or end are added (both sides of point loads), so every value is
    exact and every jump has both its sides. Between two stations h apart a moment can exceed the
    larger of the two by at most w h² / 8, w the largest load per length there. Members that have
    fewer load steps than others repeat their last station. With ``factors`` (combinations, cases)
    the results are those of the combinations.
    """
    place = stations(frame, loads, at)
    many = len(solution.end_forces)
    parts = []
    for first in range(0, many, CHUNK):
        piece = slice(first, first + CHUNK)
        end = solution.end_forces[piece], solution.end_displacements[piece]
        inner = _followed(frame.at(piece), loads.at(piece), *end, place.at(piece))
        parts.append(inner if factors is None else _superposed(inner, np.asarray(factors)))
    if len(parts) == 1:
        return parts[0]
    along = {n: np.concatenate([getattr(p, n) for p in parts]) for n in RESULTS}
    return InternalForces(x=place.x, **along)


RESULTS = ("N", "V_y", "V_z", "T", "M_y", "M_z", "deflection")


def _superposed(inner: InternalForces, factors: Array) -> InternalForces:
    return replace(inner, **{n: combine(factors, getattr(inner, n)) for n in RESULTS})


def _followed(
    frame: Frame, loads: Loads, end_forces: Array, end_displacements: Array, place: Stations
) -> InternalForces:  # fmt: skip
    """Equilibrium of the piece between end i and each station, and its integrated strains."""
    axes, length = local_axes(frame)
    carried = _carried(loads, axes, length, place)
    start = end_forces[..., :6, None]
    q, m, x = carried.force, carried.moment, place.x[:, None]
    return InternalForces(
        x=place.x,
        N=-start[..., 0, :] - q[..., 0, :],
        V_y=-start[..., 1, :] - q[..., 1, :],
        V_z=-start[..., 2, :] - q[..., 2, :],
        T=-start[..., 3, :] - carried.twist,
        M_y=-start[..., 4, :] - start[..., 2, :] * x - m[..., 2, :],
        M_z=-start[..., 5, :] + start[..., 1, :] * x + m[..., 1, :],
        deflection=_deflection(frame, start, end_displacements, carried, x) @ axes[:, None],
    )


def _deflection(
    frame: Frame, start: Array, displacements: Array, carried: _Carried, x: Array
) -> Array:  # fmt: skip
    """(candidates, cases, members, stations, 3) local, by integrating the strains from end i."""
    EA, EI_y, EI_z = (
        np.atleast_2d(frame.E * p)[:, None, :, None] for p in (frame.A, frame.I_y, frame.I_z)
    )
    d, half = displacements[..., :6, None], x * x / 2
    out = np.empty((*np.broadcast_shapes(start.shape[:-2], x.shape[:-1]), x.shape[-1], 3))
    out[..., 0] = d[..., 0, :] - (start[..., 0, :] * x + carried.moment[..., 0, :]) / EA
    bend = half * (start[..., 1, :] * x / 3 - start[..., 5, :]) + carried.bend[..., 1, :]
    out[..., 1] = d[..., 1, :] + d[..., 5, :] * x + bend / EI_z
    bend = half * (start[..., 2, :] * x / 3 + start[..., 4, :]) + carried.bend[..., 2, :]
    out[..., 2] = d[..., 2, :] - d[..., 4, :] * x + bend / EI_y
    return out


def _carried(loads: Loads, axes: Array, length: Array, place: Stations) -> _Carried:
    members, count = place.x.shape[1:]
    both = np.zeros((1, 1, members, 3, 3, count))
    twist = np.zeros((1, 1, members, count))
    size = len(loads.case_ids), members
    spans, points = loads.spans, loads.points
    if spans.case.size:
        own = _span_integrals(spans, axes, place)
        both = both + total(spans.case, spans.member, own, *size)
    if points.case.size:
        passed = _passed(points, length, place)
        own = _point_integrals(points, axes, place, passed)
        both = both + total(points.case, points.member, own, *size)
        torque = to_local(axes[:, points.member], points.moment)[..., :1] * passed
        twist = total(points.case, points.member, torque, *size)
    return _Carried(both[..., 0, :, :], both[..., 1, :, :], both[..., 2, :, :], twist)


def _span_integrals(spans: Spans, axes: Array, place: Stations) -> Array:
    """Integrals n = 0, 1, 3 as (candidates, k, 3, 3, stations), by Gauss points up to the station.

    The load is linear and the kernel at most cubic, so that three points are exact.
    """
    x = place.x[:, spans.member]
    a, b = (np.atleast_2d(v)[..., None] for v in (spans.a, spans.b))
    reach = np.minimum(np.maximum(x - a, 0.0), b - a)
    basis = np.zeros((*reach.shape[:2], 3, 2, reach.shape[2]))
    for at, weight in zip(GAUSS_AT, GAUSS_WEIGHT, strict=True):
        share, arm = at * reach / (b - a), x - a - at * reach
        piece = reach * weight
        for n, kernel in enumerate((1.0, arm, arm * arm / 6)):
            piece = piece * kernel
            basis[..., n, 1, :] += piece * share
            basis[..., n, 0, :] += piece
    basis[..., 0, :] -= basis[..., 1, :]
    R = axes[:, spans.member]
    w = np.stack([to_local(R, spans.w_a), to_local(R, spans.w_b)], axis=-1)
    return np.asarray(w[:, :, None] @ basis)


def _passed(points: Points, length: Array, place: Stations) -> BoolArray:
    """(candidates, k, stations) whether the station lies beyond the point load."""
    x, after = place.x[:, points.member], place.after[:, points.member]
    a, near = np.atleast_2d(points.a)[..., None], SAME * length[:, points.member, None]
    return np.asarray((x > a + near) | (after & (np.abs(x - a) <= near)))


def _point_integrals(points: Points, axes: Array, place: Stations, passed: BoolArray) -> Array:
    """Integrals n = 0, 1, 3 as (candidates, k, 3, 3, stations).

    A moment turns the piece like a pair of forces: it enters one power lower than a force.
    """
    arm = np.maximum(place.x[:, points.member] - np.atleast_2d(points.a)[..., None], 0.0)
    R = axes[:, points.member]
    f, m = (to_local(R, v)[..., None] for v in (points.force, points.moment))
    pair = np.concatenate([np.zeros_like(m[..., 2:, :]), -m[..., 2:, :], m[..., 1:2, :]], axis=-2)
    beyond, arm = passed[..., None, :], arm[..., None, :]
    parts = [f * beyond, f * arm + pair * beyond, f * arm**3 / 6 + pair * arm**2 / 2]
    return np.stack(np.broadcast_arrays(*parts), axis=-3)
