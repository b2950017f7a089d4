"""Solving many candidates of one frame: one banded factorisation per candidate.

The stiffness is scaled to a unit diagonal, factorised by banded Cholesky, and every load case of
the candidate is solved with that factor. One extra right-hand side tells how close the frame is to
a mechanism. The balance of every node is checked from the member end forces afterwards.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from scipy.linalg.lapack import dpbtrf, dpbtrs

from plumbrail.errors import PlumbrailError
from plumbrail.frame.element import (
    Elements,
    condense_loads,
    elements,
    member_displacements,
    turn,
)
from plumbrail.frame.loading import fixed_end_forces, load_size
from plumbrail.frame.mechanism import SOFT, Band, refuse_mechanism
from plumbrail.frame.model import Array, Frame, FrameError, Loads, Solution
from plumbrail.frame.numbering import Gather, Numbering, band_places, node_places, number

RESIDUAL = 1e-9
"""Largest unbalanced share of the load that a solution may have."""
REFINE = 1e-12
"""Above this one step of iterative refinement is made."""
CHUNK = 32
"""Candidates solved together; more only costs memory."""


class UnbalancedError(PlumbrailError):
    """The solution does not balance the loads well enough to be shown."""


@dataclass(frozen=True)
class _Problem:
    """One chunk of candidates, ready to solve."""

    frame: Frame
    members: Elements
    numbering: Numbering
    fixed_end: Array
    """(candidates, cases, members, 12) local, before the releases."""
    condensed: Array
    """The same after the releases."""
    nodal: Array
    """(candidates, cases, nodes * 6) global loads on the nodes, by balance."""
    scale: Array
    """(candidates, unknowns) 1 / sqrt of the diagonal."""
    factor: Array
    """(candidates, unknowns, width + 1) Cholesky factor of the scaled stiffness."""


@dataclass(frozen=True)
class _State:
    """Displacements of a chunk with the forces that belong to them."""

    u: Array
    """(candidates, cases, nodes, 6) global."""
    local: Array
    """(candidates, cases, members, 12) displacements of the members' nodes, local."""
    end_forces: Array
    """(candidates, cases, members, 12) local."""
    unbalance: Array
    """(candidates, cases, nodes * 6) load that nothing but a support could carry."""


def solve(frame: Frame, loads: Loads) -> Solution:
    """Displacements, reactions and member end forces for all candidates and load cases.

    Raises :class:`plumbrail.errors.MechanismError` when the frame can move without being stressed,
    :class:`UnbalancedError` when the unbalanced share of a load exceeds 1e-9, and
    :class:`FrameError` when the loads do not fit the frame.
    """
    if loads.nodal.shape[-2] != len(frame.node_ids):
        raise FrameError("Loads.nodal is for another number of nodes than the frame has")
    if len({frame.candidates, loads.candidates} - {1}) > 1:
        raise FrameError("the frame and its loads have different numbers of candidates")
    candidates = max(frame.candidates, loads.candidates)
    numbering = number(frame)
    if candidates <= CHUNK:
        return _solve_chunk(frame, loads, numbering, 0)
    pieces = (slice(i, i + CHUNK) for i in range(0, candidates, CHUNK))
    return _whole([_solve_chunk(frame.at(p), loads.at(p), numbering, p.start) for p in pieces])


def _solve_chunk(frame: Frame, loads: Loads, numbering: Numbering, first: int) -> Solution:
    problem = _prepare(frame, loads, numbering, first)
    size = np.linalg.norm(np.ptp(frame.xyz.reshape(-1, *frame.xyz.shape[-2:]), axis=1), axis=-1)
    weight = load_size(loads, size)
    state = _state(problem, np.zeros((*problem.nodal.shape[:2], *problem.numbering.group.shape)))
    for _ in range(2):
        state = _state(problem, state.u + _moved(problem, state.unbalance))
        residual = _residual(problem.numbering, state.unbalance, weight, size)
        if (residual <= REFINE).all():
            break
    if not (residual <= RESIDUAL).all():
        raise UnbalancedError(
            f"the frame is too ill-conditioned to solve: {residual.max():.1e} of a load is left "
            "unbalanced. Look for very short members, very unequal stiffnesses, and beams that "
            "reach far beyond the last post (array.columns against frame.posts, frame.spacing)."
        )
    return _solution(problem, state, residual)


def _prepare(frame: Frame, loads: Loads, numbering: Numbering, first: int) -> _Problem:
    members = elements(frame)
    fixed_end = fixed_end_forces(frame, loads, members)
    many = max(frame.candidates, loads.candidates)
    nodal = loads.nodal if loads.nodal.ndim == 4 else loads.nodal[None]
    nodal = _balances(numbering, np.broadcast_to(nodal, (many, *nodal.shape[1:])))
    band = _band(frame, numbering, members)
    scale = _scale(frame, numbering, members, band)
    _apply_scale(band, scale)
    factor = _factorise(frame, Band(band, scale, numbering), first)
    condensed = condense_loads(members, fixed_end)
    return _Problem(frame, members, numbering, fixed_end, condensed, nodal, scale, factor)


def _band(frame: Frame, numbering: Numbering, members: Elements) -> Array:
    """(candidates, unknowns, width + 1) lower band of the stiffness, column by column."""
    k, R = members.stiffness, members.axes[:, :, None]
    for _ in range(2):  # k R, then its transpose times R: Rᵀ k R, as k is symmetric
        k = np.swapaxes((k.reshape(*k.shape[:3], 4, 3) @ R).reshape(k.shape), -1, -2)
    k = k.reshape(len(k), -1)
    springs = frame.springs.reshape(-1, numbering.unknown.size)
    band = np.zeros((max(len(k), len(springs)), numbering.count * (numbering.width + 1)))
    band_places(frame, numbering).add(k, band)
    own = numbering.unknown.reshape(-1)
    keep = np.flatnonzero((own < numbering.count) & springs.any(axis=0))
    Gather.to(own[keep] * (numbering.width + 1), keep).add(springs, band)
    return band.reshape(len(band), numbering.count, numbering.width + 1)


def _scale(frame: Frame, numbering: Numbering, members: Elements, band: Array) -> Array:
    """1 / sqrt of the diagonal; of the stiffest direction at the node where it (almost) vanishes.

    A released direction leaves only rounding on the diagonal; dividing by that would hide it.
    """
    local = np.einsum("cmii->cmi", members.full).reshape(*members.full.shape[:2], 4, 3).max(axis=-1)
    local = local.repeat(3, axis=-1).reshape(len(local), -1)
    own = numbering.of_members(frame).reshape(-1)
    order = np.argsort(own, kind="stable")
    unknowns, starts = np.unique(own[order], return_index=True)
    stiffest = np.ones((len(local), numbering.count + 1))
    stiffest[:, unknowns] = np.maximum.reduceat(local[:, order], starts, axis=1)
    stiffest = stiffest[:, :-1]
    diagonal = band[:, :, 0]
    return np.asarray(1 / np.sqrt(np.where(diagonal < 1e-9 * stiffest, stiffest, diagonal)))


def _apply_scale(band: Array, scale: Array) -> None:
    """Scale rows and columns in place."""
    width = band.shape[2]
    padded = np.concatenate([scale, np.zeros((len(scale), width))], axis=1)
    rows = np.lib.stride_tricks.sliding_window_view(padded, width, axis=1)[:, : band.shape[1]]
    band *= rows
    band *= scale[:, :, None]


def _factorise(frame: Frame, stiffness: Band, first: int) -> Array:
    """Cholesky factors; each proved to be far from a mechanism by inverse iteration."""
    factor = stiffness.band.copy()
    n = factor.shape[1]
    start = np.cos(np.arange(n) * 2.4) + 0.1  # no symmetry of a frame is orthogonal to this
    for c in range(len(factor) if n else 0):
        _, info = dpbtrf(factor[c].T, lower=1, overwrite_ab=1)
        once, _ = dpbtrs(factor[c].T, start, lower=1)
        twice, _ = dpbtrs(factor[c].T, once, lower=1)
        # their ratio approaches the smallest eigenvalue; written so that NaN is refused as well
        if info != 0 or not np.linalg.norm(once) > SOFT * np.linalg.norm(twice):
            refuse_mechanism(frame, stiffness, c, first + c)
    return factor


def _balances(numbering: Numbering, at_nodes: Array) -> Array:
    """Sum (candidates, cases, nodes, 6) over tied directions: (candidates, cases, nodes * 6)."""
    flat = at_nodes.reshape(*at_nodes.shape[:2], -1)
    group = numbering.group.reshape(-1)
    if (group == np.arange(group.size)).all():
        return np.array(flat)
    out = np.zeros_like(flat)
    rows = out.shape[0] * out.shape[1]
    sums = Gather.to(group, np.arange(group.size))
    sums.add(flat.reshape(rows, -1), out.reshape(rows, -1))
    return out


def _moved(problem: _Problem, unbalance: Array) -> Array:
    """Displacements (candidates, cases, nodes, 6) under a load given by balances."""
    numbering, factor, scale = problem.numbering, problem.factor, problem.scale
    group = numbering.group.reshape(-1)
    unknown = numbering.unknown.reshape(-1)
    place = np.zeros(numbering.count + 1, dtype=np.int64)
    place[unknown] = group
    load = unbalance[..., place[:-1]] * scale[:, None]
    out = np.zeros((*load.shape[:2], numbering.count + 1))
    for c in range(len(load) if numbering.count else 0):
        own = factor[c if len(factor) > 1 else 0]
        out[c, :, :-1] = dpbtrs(own.T, load[c].T, lower=1, overwrite_b=1)[0].T
    out[..., :-1] *= scale[:, None]
    return out[..., numbering.unknown]


def _state(problem: _Problem, u: Array) -> _State:
    """Member forces at the displacements ``u``, and what they leave unbalanced."""
    frame, members, numbering = problem.frame, problem.members, problem.numbering
    many, cases = u.shape[:2]
    local = turn(members.axes, u[:, :, frame.ends].reshape(many, cases, -1, 12))
    elastic = np.swapaxes(local, 1, 2) @ members.stiffness
    end_forces = np.swapaxes(elastic, 1, 2) + problem.condensed
    pull = turn(members.axes, end_forces, back=True)
    unbalance = np.zeros_like(problem.nodal)
    node_places(frame, numbering).add(
        pull.reshape(many * cases, -1), unbalance.reshape(many * cases, -1)
    )
    springs = frame.springs if frame.springs.ndim == 3 else frame.springs[None]
    if springs.any():
        unbalance += _balances(numbering, u * springs[:, None])
    np.subtract(problem.nodal, unbalance, out=unbalance)
    return _State(u, local, end_forces, unbalance)


def _residual(numbering: Numbering, unbalance: Array, weight: Array, size: Array) -> Array:
    """(candidates, cases) largest unbalanced force, or moment over ``size``, per load."""
    own = numbering.unknown < numbering.count
    left = np.abs(unbalance).reshape(*unbalance.shape[:2], *own.shape) * own
    force, moment = left[..., :3].max(axis=(2, 3)), left[..., 3:].max(axis=(2, 3))
    worst = np.maximum(force, moment / size[:, None])
    return np.where(worst == 0, 0.0, worst / np.where(weight > 0, weight, 1e-300))


def _solution(problem: _Problem, state: _State, residual: Array) -> Solution:
    frame = problem.frame
    support = -state.unbalance.reshape(state.u.shape) * frame.fixed
    springs = frame.springs if frame.springs.ndim == 3 else frame.springs[None]
    own = member_displacements(problem.members, state.local, problem.fixed_end)
    reactions = support - springs[:, None] * state.u + 0.0  # no -0
    return Solution(state.u, reactions, state.end_forces, own, residual)


def _whole(parts: list[Solution]) -> Solution:
    names = [f.name for f in fields(Solution)]
    return Solution(**{n: np.concatenate([getattr(p, n) for p in parts]) for n in names})
