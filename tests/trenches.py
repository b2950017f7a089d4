"""Small fields for the tests of the trench."""

from __future__ import annotations

import numpy as np

from plumbrail.trench import planar
from plumbrail.trench.field import Crossed, Field, Obstacle, Patch
from plumbrail.trench.graph import Rates, door
from plumbrail.trench.routing import Way, route


def box(x, y, wide, high, clear=0.0, name="box"):
    corners = [[x, y], [x + wide, y], [x + wide, y + high], [x, y + high]]
    return Obstacle(name, "building", planar.area(corners), clear)


def patch(corners, factor=1.0, hand=False, name="patch"):
    return Patch(name, "rock", planar.area(corners), factor, hand)


def service(points, zone=0.75, kind="power", name="line"):
    """The line and the ground about it that is dug by hand."""
    line = np.array(points, dtype=float)
    return Crossed(name, kind, line, zone), Patch(
        name, "service zone", planar.about_line(line, zone), 1.0, True
    )


def rates(field, hand=4.0, square=0.0, turn=0.0):
    ground = np.array([f * (hand if by_hand else 1.0) for f, by_hand in field.grounds])
    return Rates(ground, np.full(len(field.crossed), square), turn)


def way(field: Field, start, end, **given) -> Way | None:
    return route(
        field,
        door(np.array(start, dtype=float)),
        door(np.array(end, dtype=float)),
        rates(field, **given),
    )


def cost(field, points, **given):
    """Of a joined line, with its bends."""
    at, r = np.array(points, dtype=float), rates(field, **given)
    steps = r.cost(field.features(at[:-1], at[1:])).sum()
    ways = np.diff(at, axis=0)
    angles = np.unwrap(np.arctan2(ways[:, 1], ways[:, 0]))
    return float(steps + r.turn * np.abs(np.diff(angles)).sum())


def busy(seed, obstacles=30, services=20):
    """A crowded place of 120 m by 76 m."""
    rng = np.random.default_rng(seed)
    fixed = [
        box(*rng.uniform([5, 5], [115, 70]), *rng.uniform(1, 5, 2), 0.6, f"o{i}")
        for i in range(obstacles)
    ]
    lines, zones = [], []
    for i in range(services):
        p = rng.uniform([0, 0], [120, 76], (3, 2))
        line, zone = service(p[np.argsort(p[:, i % 2])], name=f"s{i}")
        lines.append(line)
        zones.append(zone)
    zones += [
        patch([[30, 10], [50, 12], [48, 40], [28, 36]], 3.0, name="rock"),
        patch([[70, 20], [90, 20], [90, 60], [70, 60]], 2.0, name="paving"),
    ]
    return Field(tuple(fixed), tuple(zones), tuple(lines))
