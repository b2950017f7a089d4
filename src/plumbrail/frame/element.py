"""The straight Euler-Bernoulli member: axes, stiffness, released ends.

The twelve directions of a member are [u_x u_y u_z r_x r_y r_z] of end i, then of end j, in local
axes: x from i to j, z the part of ``up`` normal to it, y = z × x.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from plumbrail.errors import MechanismError
from plumbrail.frame.model import Array, BoolArray, Frame, FrameError, IntArray


@dataclass(frozen=True)
class Release:
    """Members that share one pattern of released ends."""

    members: IntArray
    """(m,)"""
    free: IntArray
    """(r,) released directions of the twelve."""
    flexibility: Array
    """(candidates, m, r, r) inverse of the stiffness among the released directions."""


@dataclass(frozen=True)
class Elements:
    """All members of all candidates; the candidate axis is 1 where nothing varies."""

    length: Array
    """(candidates, members) m."""
    axes: Array
    """(candidates, members, 3, 3) rows are the local axes in global directions."""
    full: Array
    """(candidates, members, 12, 12) stiffness with both ends rigidly joined, local."""
    stiffness: Array
    """(candidates, members, 12, 12) stiffness with the released directions condensed, local."""
    releases: tuple[Release, ...]


def elements(frame: Frame) -> Elements:
    """Axes and stiffness of every member.

    Raises :class:`MechanismError` when a member can move alone because of its releases.
    """
    axes, length = local_axes(frame)
    full = _full_stiffness(frame, length)
    releases = _release_groups(frame, full)
    return Elements(length, axes, full, _condensed(full, releases), releases)


def local_axes(frame: Frame) -> tuple[Array, Array]:
    """Local axes (candidates, members, 3, 3) and lengths (candidates, members)."""
    xyz = frame.xyz if frame.xyz.ndim == 3 else frame.xyz[None]
    span = xyz[:, frame.ends[:, 1]] - xyz[:, frame.ends[:, 0]]
    length = np.sqrt((span * span).sum(axis=-1))
    x = span / length[..., None]
    up = frame.up / np.maximum(np.linalg.norm(frame.up, axis=-1), 1e-300)[:, None]
    z = up - (up * x).sum(axis=-1)[..., None] * x
    size = np.sqrt((z * z).sum(axis=-1))
    if (size < 1e-6).any():
        member = frame.member_ids[int(np.argmax((size < 1e-6).any(axis=0)))]
        raise FrameError(f"member {member}: `up` is parallel to the member; choose another")
    z /= size[..., None]
    y = _cross(z, x)
    return np.stack([x, y, z], axis=-2), length


def _cross(a: Array, b: Array) -> Array:
    """Vector product along the last axis; np.cross costs several times as much."""
    out = np.empty(np.broadcast_shapes(a.shape, b.shape))
    for i, j, k in ((0, 1, 2), (1, 2, 0), (2, 0, 1)):
        out[..., i] = a[..., j] * b[..., k] - a[..., k] * b[..., j]
    return out


def _full_stiffness(frame: Frame, L: Array) -> Array:
    """(candidates, members, 12, 12) local stiffness without releases."""
    sections = np.broadcast(frame.E, frame.G, frame.A, frame.I_y, frame.I_z, frame.J)
    k = np.zeros((*np.broadcast_shapes(L.shape, sections.shape), 12, 12))
    for i, value in ((0, frame.E * frame.A / L), (3, frame.G * frame.J / L)):
        j = i + 6
        k[..., i, i] = k[..., j, j] = value
        k[..., i, j] = k[..., j, i] = -value
    # bending in local x-y (u_y with r_z) and in local x-z (u_z with -r_y)
    for v, r, sign, stiff in ((1, 5, 1.0, frame.E * frame.I_z), (2, 4, -1.0, frame.E * frame.I_y)):
        w, s = v + 6, r + 6
        shear, turn = 12 * stiff / L**3, sign * 6 * stiff / L**2
        k[..., v, v] = k[..., w, w] = shear
        k[..., v, w] = k[..., w, v] = -shear
        k[..., v, r] = k[..., r, v] = k[..., v, s] = k[..., s, v] = turn
        k[..., w, r] = k[..., r, w] = k[..., w, s] = k[..., s, w] = -turn
        k[..., r, r] = k[..., s, s] = 4 * stiff / L
        k[..., r, s] = k[..., s, r] = 2 * stiff / L
    return k


def _release_groups(frame: Frame, full: Array) -> tuple[Release, ...]:
    """Members grouped by what they release, with the inverse needed to condense it."""
    loose = np.flatnonzero(frame.releases.any(axis=1))
    if not loose.size:
        return ()
    patterns, which = np.unique(frame.releases[loose], axis=0, return_inverse=True)
    groups: list[Release] = []
    for g, pattern in enumerate(patterns):
        members = loose[which.reshape(-1) == g]
        _refuse_loose_member(pattern, frame.member_ids[members[0]])
        free = np.flatnonzero(pattern)
        among = full[:, members[:, None, None], free[:, None], free]
        groups.append(Release(members, free, np.asarray(np.linalg.inv(among), dtype=float)))
    return tuple(groups)


_ALONE = (
    ((0, 6), 1, "slide along its own axis"),
    ((3, 9), 1, "spin about its own axis"),
    ((1, 5, 7, 11), 2, "move in its local x-y plane"),
    ((2, 4, 8, 10), 2, "move in its local x-z plane"),
)
"""Directions that work together, how many can be released, what happens beyond."""


def _refuse_loose_member(pattern: BoolArray, member: str) -> None:
    """A member whose own releases leave it unheld; follows from the pattern alone."""
    for together, most, words in _ALONE:
        released = [d for d in together if pattern[d]]
        both_shear = len(together) == 4 and pattern[together[0]] and pattern[together[2]]
        if len(released) > most or both_shear:
            raise MechanismError(
                f"member {member} can {words}: too much of its two ends is released"
            )


def _condensed(full: Array, releases: tuple[Release, ...]) -> Array:
    """Stiffness seen by the nodes: K - K_:r K_rr⁻¹ K_r:, with exact zeros where released."""
    if not releases:
        return full
    k = full.copy()
    for group in releases:
        own = full[:, group.members]
        rows = own[:, :, group.free, :]
        own = own - np.swapaxes(rows, -1, -2) @ group.flexibility @ rows
        own[:, :, group.free, :] = 0.0
        own[:, :, :, group.free] = 0.0
        k[:, group.members] = own
    return k


def condense_loads(members: Elements, fixed_end: Array) -> Array:
    """Fixed-end forces (candidates, cases, members, 12) after letting the released ends go."""
    if not members.releases:
        return fixed_end
    many = max(len(fixed_end), len(members.full))
    out = np.array(np.broadcast_to(fixed_end, (many, *fixed_end.shape[1:])))
    for group in members.releases:
        own = fixed_end[:, :, group.members]
        coupling = members.full[:, group.members][..., group.free] @ group.flexibility
        own = own - np.einsum("cmdr,ckmr->ckmd", coupling, own[..., group.free])
        own[..., group.free] = 0.0
        out[:, :, group.members] = own
    return out


def member_displacements(members: Elements, at_nodes: Array, fixed_end: Array) -> Array:
    """End displacements of the members themselves (candidates, cases, members, 12), local.

    ``at_nodes`` are those of their nodes, ``fixed_end`` the forces before condensation. A released
    end moves so that its released forces vanish.
    """
    out = at_nodes.copy() if members.releases else at_nodes
    for group in members.releases:
        own = at_nodes[:, :, group.members]
        own[..., group.free] = 0.0
        rows = members.full[:, group.members][:, :, group.free, :]
        force = np.einsum("cmrd,ckmd->ckmr", rows, own)
        force = force + fixed_end[:, :, group.members][..., group.free]
        own[..., group.free] = -np.einsum("cmrs,ckms->ckmr", group.flexibility, force)
        out[:, :, group.members] = own
    return out


def turn(axes: Array, vectors: Array, back: bool = False) -> Array:
    """Global to local (or ``back``) for vectors (candidates, cases, members, 3 n)."""
    shape = np.broadcast_shapes(axes.shape[:1], vectors.shape[:1])
    parts = vectors.reshape(*vectors.shape[:-1], -1, 3)
    turned = parts @ (axes if back else np.swapaxes(axes, -1, -2))[:, None]
    return np.asarray(turned.reshape(*shape, *vectors.shape[1:]))
