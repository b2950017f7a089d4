"""Where along the members results are wanted, with both sides of every step in them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from plumbrail.frame.loading import occurrence
from plumbrail.frame.model import Array, BoolArray, Frame, FrameError, IntArray, Loads

SAME = 1e-9
"""Two places closer than this share of the member are one."""


@dataclass(frozen=True)
class Stations:
    """Places along the members; a member with fewer steps repeats its end."""

    x: Array
    """(1 or candidates, members, stations) m from end i, never falling."""
    after: BoolArray
    """Same shape: just after a point load at this place, else just before it."""

    def at(self, candidates: slice) -> Stations:
        """Some of the candidates."""
        if len(self.x) == 1:
            return self
        return Stations(self.x[candidates], self.after[candidates])


@dataclass(frozen=True)
class _Steps:
    """Places where loads change, in no order."""

    member: IntArray
    """(k,)"""
    fraction: Array
    """(1 or candidates, k) share of the length."""
    after: BoolArray
    """(k,)"""


def stations(frame: Frame, loads: Loads, wanted: int | ArrayLike) -> Stations:
    """``wanted`` evenly spaced places, or these fractions of the length, and every load step.

    The places where a load begins or ends are added once, those of point loads twice (just before
    and just after). Raises :class:`FrameError` for fractions outside 0 to 1.
    """
    grid = _fractions(wanted)
    L = frame.length.reshape(-1, len(frame.member_ids))
    steps = _without_repeats(_steps(L, loads), grid)
    if steps is None:
        x = grid * L[..., None]
        return Stations(x, np.ones_like(x, dtype=bool))
    slot = len(grid) + occurrence(steps.member)
    shape = (max(len(L), len(steps.fraction)), len(frame.member_ids), int(slot.max()) + 1)
    fraction, after = np.full(shape, grid[-1]), np.ones(shape, dtype=bool)
    fraction[..., : len(grid)] = grid
    fraction[:, steps.member, slot] = steps.fraction
    after[:, steps.member, slot] = steps.after
    order = np.argsort(fraction + SAME * 1e-3 * after, axis=-1, kind="stable")
    fraction = np.take_along_axis(fraction, order, axis=-1)
    return Stations(fraction * L[..., None], np.take_along_axis(after, order, axis=-1))


def _fractions(wanted: int | ArrayLike) -> Array:
    if isinstance(wanted, int):
        if wanted < 2:
            raise FrameError("stations: write 2 or more, so that both ends are among them")
        return np.linspace(0.0, 1.0, wanted)
    fractions = np.unique(np.asarray(wanted, dtype=float))
    if not fractions.size or not (0 <= fractions[0] <= fractions[-1] <= 1):
        raise FrameError("stations: fractions of the length lie between 0 and 1")
    return fractions


def _steps(L: Array, loads: Loads) -> list[_Steps]:
    """Both ends of every span and both sides of every point load."""
    spans, points = loads.spans, loads.points
    places = ((spans.member, spans.a, True), (spans.member, spans.b, True),
              (points.member, points.a, False), (points.member, points.a, True))  # fmt: skip
    out = []
    for member, place, after in places:
        fraction = np.clip(place / L[:, member], 0.0, 1.0)
        out.append(_Steps(member, fraction, np.full(member.shape, after)))
    return out


def _without_repeats(parts: list[_Steps], grid: Array) -> _Steps | None:
    """Steps that no other step and no wanted place covers for every candidate."""
    many = max(len(p.fraction) for p in parts)
    columns = [np.broadcast_to(p.fraction, (many, len(p.member))) for p in parts]
    fraction = np.concatenate(columns, axis=1)
    member = np.concatenate([p.member for p in parts])
    after = np.concatenate([p.after for p in parts])
    near = np.abs(
        grid[np.clip(np.searchsorted(grid, fraction - SAME), 0, len(grid) - 1)] - fraction
    )
    new = np.flatnonzero(~(after & (near <= SAME).all(axis=0)))
    if not new.size:
        return None
    key = np.vstack([member[new], after[new], np.round(fraction[:, new] / SAME)])
    _, first = np.unique(key, axis=1, return_index=True)
    keep = new[first]
    return _Steps(member[keep], fraction[:, keep], after[keep])
