"""Shares of the sky that things hide, and shadows, against view factors and plane geometry.

Siegel and Howell, Thermal Radiation Heat Transfer, 4th edition, pp. 842-843: view factors from a
strip of a plane to a rectangle parallel to it and to one square to it; the two numbers are those of
worked examples in the open help pages of a library of heat-transfer functions, which names those
pages of the book as its source.

The rest follows from Lambert's cosine law in a few lines, written out at each check.

Our sky is a sum over some thousand cells. The tolerances are those of that sum, stated in
docs/method/energy-shade.md: 0.001 of the whole sky.
"""

from __future__ import annotations

import numpy as np
import pytest

from plumbrail.energy.rays import blocked
from plumbrail.energy.shading import shade
from plumbrail.plan.shade import Box, OtherArray, Shade, Tree
from plumbrail.site.surroundings import surroundings
from plumbrail.site.terrain import Plane

BOOK = "Siegel and Howell, Thermal Radiation Heat Transfer, 4th ed."
LAMBERT = "Lambert's cosine law"
SUM = 0.001


def world(**things):
    return surroundings(Shade.model_construct(**things), Plane(0.0, 0.0), np.radians(90.0))


def seen(points, things, tilt=0.0):
    """Shares of the dome's light at points on planes tilted toward -y."""
    normal = np.array([0.0, -np.sin(tilt), np.cos(tilt)])
    none = np.zeros((0, 3))
    return shade(points, normal, things, none, np.zeros(0, int), np.zeros(0, bool)).dome


def strip(length, count=40):
    x = (np.arange(count) + 0.5) / count * length
    return np.column_stack([x, np.zeros(count), np.zeros(count)])


def long_wall(height, distance):
    return Box.model_construct(
        name="wall", at=(0.0, -distance - 0.5), size=(1e5, 1.0), turn=0.0, height=height
    )


def test_strip_below_a_parallel_rectangle(published):
    # Rectangle 3 by 2, 0.5 above the plane of the strip, which lies under one of its sides of 2.
    sheet = OtherArray.model_construct(
        name="lid", at=(1.0, 0.0), row_length=2.0, slope_length=3.0, tilt=0.0,
        azimuth=np.pi, low_edge=0.5,
    )  # fmt: skip
    hidden = 1.0 - seen(strip(2.0), world(arrays=(sheet,))).mean()
    published(BOOK, "p. 842: strip to a parallel rectangle, a = 3, b = 2, c = 0.5", 0.3886, hidden,
              SUM, certainty="second_hand")  # fmt: skip


def test_strip_before_a_wall(published):
    # Wall 1 high and 2 long, 0.5 before the strip along it.
    wall = Box.model_construct(name="w", at=(1.0, -1.0), size=(2.0, 1.0), turn=0.0, height=1.0)
    hidden = 1.0 - seen(strip(2.0), world(boxes=(wall,))).mean()
    published(BOOK, "p. 843: strip to a rectangle square to it, a = 1, b = 2, c = 0.5", 0.2153,
              hidden, SUM, certainty="second_hand")  # fmt: skip


@pytest.mark.parametrize("tilt", [0.0, 20.0, 32.0, 60.0])
@pytest.mark.parametrize("height", [5.0, 15.0, 35.0])
def test_a_wall_without_end(published, tilt, height):
    # In the plane square to the wall, a strip of sky between angles p and q off the plane's normal
    # gives (sin q - sin p) / 2. At the back the plane itself is the limit, -90° from its normal; in
    # front the wall's top stands at 90° - tilt - height: (1 + cos(tilt + height)) / 2 is left, of
    # (1 + cos tilt) / 2.
    t, h = np.radians(tilt), np.radians(height)
    wall = long_wall(10.0 * np.tan(h), 10.0)
    share = seen(np.zeros((1, 3)), world(boxes=(wall,)), t)[0]
    published(LAMBERT, f"endless wall {height:g}° high before a plane tilted {tilt:g}°",
              (1 + np.cos(t + h)) / (1 + np.cos(t)), share, SUM, certainty="derived")  # fmt: skip


@pytest.mark.parametrize("height", [2.0, 10.0, 30.0, 60.0])
def test_level_plane_in_a_bowl(published, height):
    # 2 sin z cos z dz from the zenith to 90° - height is cos² height.
    e = np.radians(height)
    share = seen(np.zeros((1, 3)), world(horizon=((0.0, e),)))[0]
    published(LAMBERT, f"horizon {height:g}° high all around a level plane", np.cos(e) ** 2, share,
              SUM, certainty="derived")  # fmt: skip


@pytest.mark.parametrize("angle", [5.0, 12.0, 25.0])
def test_ball_over_a_level_plane(published, angle):
    # A ball at height b whose half angle is a hides sin² a cos(90° - b) of a plane that sees all
    # of it (a disc of that size on the sky, weighed by the cosine to its middle).
    a, b = np.radians(angle), np.radians(50.0)
    radius = 20.0 * np.sin(a)
    middle = np.array([0.0, -20.0 * np.cos(b), 20.0 * np.sin(b)])
    ball = Tree.model_construct(
        name="ball", at=(0.0, middle[1]), height=middle[2] + radius, crown_from=middle[2] - radius,
        radius=radius, crown="round", light_through=0.0, bare_months=None, light_through_bare=0.0,
    )  # fmt: skip
    hidden = 1.0 - seen(np.zeros((1, 3)), world(trees=(ball,)))[0]
    published(LAMBERT, f"ball of half angle {angle:g}° at 50°", np.sin(a) ** 2 * np.sin(b), hidden,
              SUM, certainty="derived")  # fmt: skip


@pytest.mark.parametrize("height", [10.0, 33.0, 60.0])
def test_length_of_the_shadow_of_a_wall(published, height):
    # h / tan(height of the sun), found by halving where shade begins.
    things = world(boxes=(long_wall(3.0, 0.0),))
    h = np.radians(height)
    sun = np.array([[0.0, -np.cos(h), np.sin(h)]])
    near, far = 0.0, 100.0
    while far - near > 1e-6:
        y = 0.5 * (near + far)
        dark = blocked(things, 0, np.array([[0.0, y, 0.0]]), sun)[0, 0]
        near, far = (y, far) if dark else (near, y)
    published("Plane geometry", f"shadow of a wall of 3 m with the sun at {height:g}°",
              3.0 / np.tan(h), near, 1e-5, unit="m", certainty="derived")  # fmt: skip
