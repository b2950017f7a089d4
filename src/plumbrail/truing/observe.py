"""What readings would read for given points, and how they change with them.

Each kind is a pure function of the coordinates of its points, (k, 3) each, that returns values (k,)
and slopes (k, 3 points, 3). Checked against finite differences.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.truing.parts import Array, IntArray, Mask

Slopes = NDArray[np.float64]
DISTANCE, LEVEL_DISTANCE, ROD, SIDE, HEIGHT, LEAN, TILT = range(7)
"""Codes of the formulas; a diagonal is a distance."""


@dataclass(frozen=True)
class Rows:
    """Readings as numbers. Axis: reading."""

    formula: IntArray
    points: IntArray
    """(readings, 3) start, end and the point at a string, as rows of the coordinates; unused
    places repeat the first. A lean runs from base to head."""
    rise: Array
    """(readings, 3) height of the place read above each of these points [m]."""
    setup: IntArray
    """Index of the laser set-up, -1 for other kinds."""
    axis: IntArray
    """0 or 1 for a lean along or across, else 0."""
    sign: Array
    """-1 where a string side counts against the left of the string, else 1."""
    curve: Array
    """Weight over twice the pull of a string [1/m], 0 where its sag is not corrected."""
    scale: Array
    """What a tape reads per length, by its temperature; else 1."""

    def __len__(self) -> int:
        return len(self.formula)

    def take(self, which: Mask | IntArray) -> Rows:
        """Some of the rows."""
        return Rows(
            self.formula[which], self.points[which], self.rise[which], self.setup[which],
            self.axis[which], self.sign[which], self.curve[which], self.scale[which],
        )  # fmt: skip


def read_off(rows: Rows, xyz: Array, heights: Array) -> tuple[Array, Array]:
    """Computed readings (m,) and their slopes (m, 3 points + set-ups).

    ``xyz`` (points, 3), ``heights`` (set-ups,) of the laser planes.
    """
    m, places = len(rows), xyz[rows.points].copy()
    places[:, :, 2] += rows.rise
    value, slopes = np.zeros(m), np.zeros((m, 3, 3))
    for code, formula in FORMULAS.items():
        mask = rows.formula == code
        if mask.any():
            value[mask], slopes[mask] = formula(rows.take(mask), places[mask])
    matrix = np.zeros((m, xyz.size + len(heights)))
    columns = 3 * rows.points[:, :, None] + np.arange(3)
    np.add.at(matrix, (np.arange(m)[:, None, None], columns), slopes)
    rods = np.flatnonzero(rows.setup >= 0)
    value[rods] += heights[rows.setup[rods]]
    matrix[rods, xyz.size + rows.setup[rods]] = 1.0
    return value, matrix


@dataclass(frozen=True)
class Reader:
    """Rows taken apart once, to be read off at many places. ``unknown`` (n,) are the places of the
    unknowns among all coordinates and set-ups."""

    groups: tuple[tuple[int, IntArray, Rows], ...]
    """Formula, its rows, the same as numbers."""
    where: IntArray
    """(m, 3, 3) of each coordinate among all coordinates and set-ups."""
    rise: Array
    rods: IntArray
    planes: IntArray
    """Of each rod's laser plane among all coordinates and set-ups."""
    felt: NDArray[np.bool_]
    """(9 m,) slopes that belong to an unknown,"""
    spot: IntArray
    """and their places in the flat design."""
    blank: Array
    """(m + b, n) the slopes of the laser planes, then rows that stay as they are."""

    @classmethod
    def of(
        cls, rows: Rows, coordinates: int, unknown: IntArray, size: int, below: Array | None = None
    ) -> Reader:
        """``size`` counts coordinates and set-ups; ``below`` (b, n) follows every design."""
        m, n = len(rows), len(unknown)
        column = np.full(size, -1)
        column[unknown] = np.arange(n)
        groups = tuple((code, at, rows.take(at)) for code in FORMULAS
                       if len(at := np.flatnonzero(rows.formula == code)))  # fmt: skip
        where = 3 * rows.points[:, :, None] + np.arange(3)
        rods = np.flatnonzero(rows.setup >= 0)
        planes = coordinates + rows.setup[rods]
        used = np.array([_USED[int(code)] for code in rows.formula], dtype=np.int64)
        part = np.arange(3)[:, None] < used[:, None, None]
        felt = (part & (column[where] >= 0)).ravel()
        spot = (n * np.arange(m)[:, None, None] + column[where]).ravel()[felt]
        under = np.zeros((0, n)) if below is None else below
        blank = np.vstack([np.zeros((m, n)), under])
        blank[rods, column[planes]] = 1.0
        return cls(groups, where, rows.rise, rods, planes, felt, spot, blank)

    def values(self, full: Array) -> Array:
        """Computed readings (..., m) at places (..., size), without slopes."""
        places = full[..., self.where]
        places[..., 2] += self.rise
        value = np.empty(places.shape[:-2])
        for code, at, rows in self.groups:
            value[..., at] = VALUES[code](rows, places[..., at, :, :])
        value[..., self.rods] += full[..., self.planes]
        return value

    def slopes(self, full: Array) -> tuple[Array, Array]:
        """Computed readings (m,) and their slopes (m + b, n) at one place (size,)."""
        places = full[self.where]
        places[..., 2] += self.rise
        value, slopes = np.empty(len(places)), np.zeros(places.shape)
        for code, at, rows in self.groups:
            value[at], slopes[at] = FORMULAS[code](rows, places[at])
        value[self.rods] += full[self.planes]
        matrix = self.blank.copy()
        np.add.at(matrix.ravel(), self.spot, slopes.ravel()[self.felt])
        return value, matrix


def _between(start: Array, end: Array, none: Array | float = 0.0) -> Array:
    """Slopes (k, 3, 3) from those with start, end and the third point."""
    return np.stack([start, end, np.broadcast_to(none, start.shape)], axis=1)


def _distance(rows: Rows, p: Array) -> tuple[Array, Slopes]:
    d = p[:, 1] - p[:, 0]
    length = np.linalg.norm(d, axis=1)
    u = d / length[:, None] * rows.scale[:, None]
    return length * rows.scale, _between(-u, u)


def _level_distance(rows: Rows, p: Array) -> tuple[Array, Slopes]:
    flat = p * np.array([1.0, 1.0, 0.0])
    return _distance(rows, flat)


def _rod(rows: Rows, p: Array) -> tuple[Array, Slopes]:
    """Less the height of the point; the laser plane is added by the caller."""
    slopes = np.zeros((len(rows), 3, 3))
    slopes[:, 0, 2] = -1.0
    return -p[:, 0, 2], slopes


def _side(rows: Rows, p: Array) -> tuple[Array, Slopes]:
    d, r = (p[:, 1] - p[:, 0])[:, :2], (p[:, 2] - p[:, 0])[:, :2]
    length = np.hypot(d[:, 0], d[:, 1])
    off = (d[:, 0] * r[:, 1] - d[:, 1] * r[:, 0]) / length
    at = np.column_stack([-d[:, 1], d[:, 0]]) / length[:, None]
    turned = np.column_stack([r[:, 1], -r[:, 0]]) / length[:, None]
    end = turned - (off / length**2)[:, None] * d
    slopes = np.zeros((len(rows), 3, 3))
    slopes[:, :, :2] = np.stack([-at - end, end, at], axis=1)
    return rows.sign * off, rows.sign[:, None, None] * slopes


def _height(rows: Rows, p: Array) -> tuple[Array, Slopes]:
    """Above the string, a parabola below its chord: curve L² t (1 - t) at the share t of it."""
    d, r = (p[:, 1] - p[:, 0]), (p[:, 2] - p[:, 0])
    flat, reach = d[:, :2], (d[:, :2] ** 2).sum(axis=1)
    t = (r[:, :2] * flat).sum(axis=1) / reach
    sag = rows.curve * reach * t * (1 - t)
    per_t = rows.curve * reach * (1 - 2 * t) - d[:, 2]
    at_t = flat / reach[:, None]
    end_t = (r[:, :2] - 2 * t[:, None] * flat) / reach[:, None]
    stretch = (2 * rows.curve * t * (1 - t))[:, None] * flat
    at = per_t[:, None] * at_t
    end = per_t[:, None] * end_t + stretch
    slopes = np.zeros((len(rows), 3, 3))
    slopes[:, :, :2] = np.stack([-at - end, end, at], axis=1)
    slopes[:, :, 2] = np.column_stack([t - 1, -t, np.ones_like(t)])
    return r[:, 2] - t * d[:, 2] + sag, slopes


def _lean(rows: Rows, p: Array) -> tuple[Array, Slopes]:
    d = p[:, 1] - p[:, 0]
    k = np.arange(len(rows))
    off, rise = d[k, rows.axis], d[:, 2]
    square = off**2 + rise**2
    u = np.zeros((len(rows), 3))
    u[k, rows.axis] = rise / square
    u[:, 2] = -off / square
    return np.arctan2(off, rise), _between(-u, u)


def _tilt(rows: Rows, p: Array) -> tuple[Array, Slopes]:
    d = p[:, 1] - p[:, 0]
    level, rise = np.hypot(d[:, 0], d[:, 1]), d[:, 2]
    square = level**2 + rise**2
    u = -d * (rise / (level * square))[:, None]
    u[:, 2] = level / square
    return np.arctan2(rise, level), _between(-u, u)


FORMULAS: dict[int, Callable[[Rows, Array], tuple[Array, Slopes]]] = {
    DISTANCE: _distance, LEVEL_DISTANCE: _level_distance, ROD: _rod, SIDE: _side,
    HEIGHT: _height, LEAN: _lean, TILT: _tilt,
}  # fmt: skip
_USED = {DISTANCE: 2, LEVEL_DISTANCE: 2, ROD: 1, SIDE: 3, HEIGHT: 3, LEAN: 2, TILT: 2}
"""How many of the three points each formula sees."""


def _span(p: Array) -> tuple[Array, Array]:
    """(..., 3) from start to end, and its level length."""
    d = p[..., 1, :] - p[..., 0, :]
    return d, np.hypot(d[..., 0], d[..., 1])


def _distance_value(rows: Rows, p: Array) -> Array:
    d, _ = _span(p)
    return np.asarray(np.sqrt((d**2).sum(axis=-1)) * rows.scale)


def _side_value(rows: Rows, p: Array) -> Array:
    d, length = _span(p)
    r = p[..., 2, :] - p[..., 0, :]
    return np.asarray(rows.sign * (d[..., 0] * r[..., 1] - d[..., 1] * r[..., 0]) / length)


def _height_value(rows: Rows, p: Array) -> Array:
    d, _ = _span(p)
    r = p[..., 2, :] - p[..., 0, :]
    reach = (d[..., :2] ** 2).sum(axis=-1)
    t = (r[..., :2] * d[..., :2]).sum(axis=-1) / reach
    return np.asarray(r[..., 2] - t * d[..., 2] + rows.curve * reach * t * (1 - t))


def _lean_value(rows: Rows, p: Array) -> Array:
    d, _ = _span(p)
    return np.asarray(np.arctan2(d[..., np.arange(len(rows)), rows.axis], d[..., 2]))


def _tilt_value(_: Rows, p: Array) -> Array:
    d, level = _span(p)
    return np.asarray(np.arctan2(d[..., 2], level))


VALUES: dict[int, Callable[[Rows, Array], Array]] = {
    DISTANCE: _distance_value,
    LEVEL_DISTANCE: lambda rows, p: _span(p)[1] * rows.scale,
    ROD: lambda _, p: -p[..., 0, 2],
    SIDE: _side_value, HEIGHT: _height_value, LEAN: _lean_value, TILT: _tilt_value,
}  # fmt: skip
"""The same formulas without slopes, over places (..., k, 3, 3)."""
