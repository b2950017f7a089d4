"""Everything needed to stake out the holes of a model and to check them with tape and rod."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.model.parts import Model
from plumbrail.plan.models import SetOut
from plumbrail.setout import tapes
from plumbrail.setout.base import BaseLine, base_line
from plumbrail.setout.lines import Lines, lines

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

TAPE_READING = 0.0015875
"""Standard deviation of one tape reading: 1/16 in [m]. A judgement, no published source."""
LEAST_ANGLE, MOST_ANGLE = np.radians(40.0), np.radians(140.0)
"""Tapes that cross flatter or steeper than this fix a hole poorly. Own derivation."""
ON_THE_LINE = 0.001
"""A hole nearer than this [m] to the line through both pins cannot be fixed by two tapes."""
SAME_TAPE = 0.0008
"""Level and slope distance that differ by less than this [m] (1/32 in) are one reading."""


@dataclass(frozen=True)
class Tapes:
    """Distances from the two pins. Axes: hole, pin."""

    level: Array
    """(holes, 2) horizontal."""
    slope: Array
    """(holes, 2) along straight ground from the ground at the pin to the ground at the hole."""
    angle: Array
    """(holes,) between the two tapes at the hole [rad], 0 to pi."""
    error: Array
    """(holes,) expected position error for 1/16 in on each tape; infinite without a fix."""
    fix: tuple[str, ...]
    """``good``, ``poor`` (tapes cross below 40° or above 140°), ``none`` (on the pins' line)."""

    @property
    def same(self) -> Mask:
        """(holes, 2) true where level and slope distance are one tape reading."""
        return np.asarray(self.slope - self.level < SAME_TAPE)


@dataclass(frozen=True)
class RodPoint:
    """One kind of point under or over the laser plane. Axis: hole."""

    height: Array
    """Above the top of pin 1."""
    reading: Array
    """What to read, never negative: down from the laser line, or up from it where ``up``."""
    up: Mask
    """The point is above the laser plane: no rod reading, measure up from the laser line."""


@dataclass(frozen=True)
class Levels:
    """Heights at every hole for one laser set-up, above the top of pin 1. Axis: hole."""

    laser: float
    """Laser plane above the top of pin 1."""
    pin_ground: Array
    """(2,) ground at the pins."""
    pin_2_top: RodPoint
    """Axis of one: a check on the set-up before any hole is dug."""
    ground: RodPoint
    hole_bottom: RodPoint
    post_top: RodPoint
    hole_depth: Array
    """Below grade at the hole."""
    post_above_ground: Array
    post_length: Array
    """Cut length."""


@dataclass(frozen=True)
class Stakes:
    """Setting out of every hole, front row first. Axis: hole."""

    ids: tuple[str, ...]
    xy: Array
    """(holes, 2) plan positions from hole F1: along the row, to the back."""
    along: Array
    """Distance along the base line from pin 1; negative before it."""
    across: Array
    """Distance from the base line, positive as ``base.across`` points."""
    base: BaseLine
    tapes: Tapes
    levels: Levels
    lines: Lines
    warnings: tuple[str, ...]


def stake(model: Model, setout: SetOut) -> Stakes:
    """Set out a model from the pins and the laser of its plan.

    Raises RangeError for pins that coincide or stand in a hole; a hole that two tapes cannot fix
    well is marked in ``tapes.fix`` and named in ``warnings``.
    """
    base = base_line(model, setout)
    offsets = base.offsets(model.posts.xy)
    measured = _tapes(model, base, offsets)
    levels = _levels(model, base, setout.laser_height)
    return Stakes(
        model.posts.ids, model.posts.xy, offsets[:, 0], offsets[:, 1], base, measured, levels,
        lines(model), _warnings(model, base, measured, levels),
    )  # fmt: skip


def _tapes(model: Model, base: BaseLine, offsets: Array) -> Tapes:
    step = model.posts.xy[:, None] - base.pins
    level = tapes.level_distance(step[..., 0], step[..., 1])
    slope = tapes.slope_distance(level, model.posts.ground[:, None] - base.ground)
    cross = step[:, 0, 0] * step[:, 1, 1] - step[:, 0, 1] * step[:, 1, 0]
    angle = np.arctan2(np.abs(cross), (step[:, 0] * step[:, 1]).sum(axis=-1))
    none = np.abs(offsets[:, 1]) < ON_THE_LINE
    sd = np.array(TAPE_READING)
    error = np.where(none, np.inf, tapes.radial_rms(sd, sd, np.where(none, 1.0, angle)))
    poor = (angle < LEAST_ANGLE) | (angle > MOST_ANGLE)
    fix = tuple(np.select([none, poor], ["none", "poor"], "good").tolist())
    return Tapes(level, slope, angle, error, fix)


def _levels(model: Model, base: BaseLine, laser_height: float) -> Levels:
    posts, zero = model.posts, base.zero
    laser = tapes.laser_plane(np.array(0.0), np.array(laser_height))

    def rod(height: Array) -> RodPoint:
        down = tapes.below_laser(laser, height - zero)
        return RodPoint(height - zero, np.abs(down), down < 0)

    return Levels(
        float(laser), base.ground - zero, rod(base.top[1:]), rod(posts.ground),
        rod(model.piers.bottom), rod(posts.top), model.piers.depth, posts.out_of_ground,
        posts.length,
    )  # fmt: skip


def _warnings(model: Model, base: BaseLine, measured: Tapes, levels: Levels) -> tuple[str, ...]:
    ids = np.array(model.posts.ids)
    fix = np.array(measured.fix)
    beyond = model.terrain.outside(base.pins[:, 0], base.pins[:, 1])
    beside = np.linalg.norm(model.posts.xy[:, None] - base.pins, axis=-1).min(axis=1)
    near = beside < 0.5 * model.piers.diameter + 0.3
    notes = (
        (fix == "none", "Two tapes cannot fix {}: on the line through both pins. Measure along the "
         "base line, or move a pin off that line."),
        (fix == "poor", "The tapes cross too flat or too steep at {}: below 40° or above 140°. "
         "Check with a diagonal, or move the pins further off or further apart."),
        (near, "A pin stands within arm's reach of {}: digging may disturb it. Move it, or set a "
         "reference pin."),
        (levels.ground.up, "The laser plane is below the ground at {}: the beam would not pass. "
         "Raise the laser (setout.laser_height) or set pin 1 higher up."),
    )  # fmt: skip
    found = [words.format(_list(ids[mask])) for mask, words in notes if mask.any()]
    if beyond.any():
        names = " and ".join(f"pin {i + 1}" for i in np.flatnonzero(beyond))
        found.append(f"The ground at {names} lies beyond the survey points: slope distances and "
                     "rod readings there are a guess. Survey the pins.")  # fmt: skip
    return tuple(found)


def _list(ids: Array) -> str:
    if len(ids) <= 6:
        return ", ".join(ids)
    return f"{', '.join(ids[:5])} and {len(ids) - 5} more"
