"""Saying in plain words how a frame can move when it cannot be solved."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NoReturn

import numpy as np
from scipy.linalg import eigh
from scipy.sparse import csc_array, dia_array
from scipy.sparse.linalg import eigsh

from plumbrail.errors import MechanismError
from plumbrail.frame.element import elements, turn
from plumbrail.frame.model import Array, Frame
from plumbrail.frame.numbering import Numbering

SOFT = 1e-11
"""Smallest eigenvalue of the stiffness scaled to a unit diagonal that is still solved: five digits
of the displacements are then certain. A true mechanism has some 1e-16."""
_SMALL = 600
"""Unknowns up to which all eigenvectors are as quick to find as one."""
STRAINLESS = 1e-6
"""A member whose ends move relative to a rigid motion by less than this share is not strained."""

_WORDS = (
    "move along the row", "move across the row", "move up and down",
    "turn about the direction of the row", "turn about the direction across the row",
    "turn about a vertical axis",
)  # fmt: skip


@dataclass(frozen=True)
class Band:
    """The scaled stiffness of all candidates."""

    band: Array
    """(candidates, unknowns, width + 1) lower band, column by column."""
    scale: Array
    """(candidates, unknowns) 1 / sqrt of the diagonal before scaling."""
    numbering: Numbering

    def sparse(self, candidate: int) -> csc_array:
        """(unknowns, unknowns), both triangles."""
        n, width = self.band.shape[1:]
        band = self.band[candidate]
        lower = dia_array((band.T, -np.arange(width)), shape=(n, n))
        own = dia_array((band[None, :, 0], [0]), shape=(n, n))
        return csc_array(lower + lower.T - own)

    def softest(self, candidate: int) -> tuple[float, Array]:
        """Smallest eigenvalue and its vector (unknowns,)."""
        stiffness = self.sparse(candidate)
        n = stiffness.shape[0]
        if n < _SMALL:
            values, vectors = eigh(stiffness.toarray(), subset_by_index=[0, 0])
        else:
            start = np.random.default_rng(0).standard_normal(n)
            values, vectors = eigsh(stiffness, 1, sigma=-SOFT, v0=start)
        return float(values[0]), vectors[:, 0]


def refuse_mechanism(frame: Frame, stiffness: Band, c: int, candidate: int) -> NoReturn:
    """Raise :class:`MechanismError` that names the joint that moves most, and how.

    ``c`` counts within ``stiffness``, ``candidate`` among all candidates.
    """
    value, vector = stiffness.softest(c)
    numbering = stiffness.numbering
    motion = np.append(vector * stiffness.scale[c], 0.0)[numbering.unknown]
    own = frame.at(c)
    where = f" (candidate {candidate + 1})" if frame.candidates > 1 or candidate else ""
    if strain(own, motion) > STRAINLESS:
        raise MechanismError(
            f"{_movement(own, motion)}: it is held so softly beside the rest of the frame that no "
            f"answer can be trusted (ratio {abs(value):.0e}); check springs, their units, and "
            f"very short members{where}"
        )
    raise MechanismError(
        f"{_movement(own, motion)}: nothing holds it; add a brace or a support there, or release "
        f"less{where}"
    )


def strain(frame: Frame, motion: Array) -> float:
    """Largest strain of any member or spring of one frame in a motion (nodes, 6), without unit.

    The root of the energy stored over that of the same ends moved one at a time: zero for a
    mechanism, whatever the stiffness of the member is.
    """
    members = elements(frame)
    k, L = members.stiffness[0], members.length[0]
    ends = turn(members.axes, motion[frame.ends].reshape(1, 1, -1, 12))[0, 0]
    typical = float(L.mean())
    shift, spin = np.abs(motion[:, :3]), np.abs(motion[:, 3:]) * typical
    most = max(shift.max(), spin.max())
    alone = np.tile(np.repeat([0.0, 1.0], 3), 2)
    amounts = most / L[:, None] ** alone
    against = np.einsum("mii,mi->m", k, amounts**2)
    stored = np.abs(np.einsum("mi,mij,mj->m", ends, k, ends))
    members_share = np.sqrt(stored / np.maximum(against, 1e-300)).max(initial=0.0)
    sprung = np.hstack([shift, spin])[frame.springs > 0].max(initial=0.0) / most
    return float(max(members_share, sprung))


def _movement(frame: Frame, motion: Array) -> str:
    """The joint that moves most and its direction; a turn only where nothing shifts."""
    shift, spin = np.abs(motion[:, :3]), np.abs(motion[:, 3:])
    turns = bool(shift.max() < 0.02 * float(frame.length.mean()) * spin.max())
    amount = spin if turns else shift
    node, axis = np.unravel_index(int((amount > 0.999 * amount.max()).argmax()), amount.shape)
    return f"joint {frame.node_ids[int(node)]} can {_WORDS[int(axis) + 3 * turns]}"
