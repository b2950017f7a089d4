"""Setting out with tapes: published slope taping, and plane geometry worked by hand."""

from __future__ import annotations

import numpy as np
import pytest

from plumbrail.setout import tapes

# The textbook's own examples 2.12 and 2.15, as worked in the public companion to it.
COMPANION = "Scilab Textbook Companion 3908, Surveying and Levelling, ch. 2"
GEOMETRY = "Plane geometry, worked by hand"
SQUARING = "3-4-5 triangle for a square corner"
INCH = 0.0254


def test_slope_taping(published):
    alpha = np.radians(5.65)
    published(COMPANION, "ex. 2.12 (i): 500.65 m along 5.65 deg", 498.218,
              tapes.horizontal_distance(np.array(500.65), alpha), 0.0005, "m")  # fmt: skip
    grade = np.arctan(1 / 18)
    published(COMPANION, "ex. 2.12 (ii): 700.35 m at 1 in 18", 699.272,
              tapes.horizontal_distance(np.array(700.35), grade), 0.0005, "m")  # fmt: skip
    rise = 400 * 2.56 / 20
    published(COMPANION, "ex. 2.12 (iii): 400 m, 2.56 m rise in each 20 m of tape", 396.710,
              tapes.horizontal_from_rise(np.array(400.0), np.array(rise)), 0.0005, "m")  # fmt: skip


def test_off_line_and_grade(published):
    off_line = tapes.horizontal_from_rise(np.array(30.0), np.array(0.6))
    published(COMPANION, "ex. 2.15 (i): 30 m tape end 0.6 m off line, correction", 6.0,
              1000 * (30.0 - off_line), 0.05, "mm")  # fmt: skip
    level = tapes.horizontal_distance(off_line, np.arctan(1 / 12))
    published(COMPANION, "ex. 2.15 (ii): then on a grade of 1 in 12", 29.890, level, 0.0005, "m")


@pytest.mark.parametrize(
    ("legs", "slope"), [((3.0, 4.0), 5.0), ((5.0, 12.0), 13.0), ((8.0, 15.0), 17.0)]
)
def test_right_triangles(published, legs, slope):
    d, h = (np.array(v) for v in legs)
    item = f"right triangle {legs[0]:g}, {legs[1]:g}"
    published(GEOMETRY, item, slope, tapes.slope_distance(d, h), 1e-12, "m", "derived")
    published(GEOMETRY, item + " in plan", slope, tapes.level_distance(d, h), 1e-12, "m", "derived")


def test_square_corner_by_two_tapes(published):
    # Common practice, no published source: 3 along the base line, 4 and 5 on the tapes.
    x = tapes.along_from_tapes(np.array(4.0), np.array(5.0), np.array(3.0))
    published(SQUARING, "along the base line", 0.0, x, 1e-12, "-", "practice")
    y = tapes.across_from_tapes(np.array(4.0), x)
    published(SQUARING, "square to the base line", 4.0, y, 1e-12, "-", "practice")


@pytest.mark.parametrize(
    ("base", "r_1", "r_2", "degrees", "sd_x", "sd_y"),
    [(30, 40, 50, 36.9, 0.133, 0.0625), (40, 25, 25, 106.3, 0.055, 0.074),
     (40, 21, 21, 144.5, 0.046, 0.145), (10, 40, 40, 14.4, 0.354, 0.045)],
)  # fmt: skip
def test_error_of_two_tapes(published, base, r_1, r_2, degrees, sd_x, sd_y):
    """Standard deviations along x and y worked by hand from the inverse of the tape directions."""
    x = float(tapes.along_from_tapes(*(np.array(float(v)) for v in (r_1, r_2, base))))
    y = float(tapes.across_from_tapes(np.array(float(r_1)), np.array(x)))
    gamma = abs(np.arctan2(y, x) - np.arctan2(y, x - base))
    item = f"base {base}, tapes {r_1} and {r_2}"
    published(GEOMETRY, f"{item}: angle", degrees, np.degrees(gamma), 0.05, "deg", "derived")
    sd = np.array(INCH / 16)
    ours = tapes.radial_rms(sd, sd, gamma) / INCH
    published(GEOMETRY, f"{item}: radial error", np.hypot(sd_x, sd_y), ours, 0.001, "in", "derived")


@pytest.mark.parametrize(("slide", "difference"), [(0.125, 0.239), (0.25, 0.479)])
def test_diagonals_of_a_sheared_frame(published, slide, difference):
    a, b = np.array(480.0), np.array(144.0)
    D = np.hypot(a, b)
    item = f"40 by 12 ft, diagonals {difference} in apart: side slid"
    # half the last digit of the difference, turned into a slide
    tolerance = 0.0005 * float(D / (2 * a))
    ours = tapes.slide_from_diagonals(D, np.array(difference), a)
    published(GEOMETRY, item, slide, ours, tolerance, "in", "derived")
    exact = np.hypot(a + slide, b) - np.hypot(a - slide, b)
    ours = tapes.slide_from_diagonals(D, exact, a)
    published(GEOMETRY, f"{item}, from exact lengths", slide, ours, 1e-5, "in", "derived")


def test_rod_below_a_laser(published):
    # Common practice, no published source: height of instrument less rod reading is the height.
    plane = tapes.laser_plane(np.array(100.0), np.array(4.5))
    published("Levelling by height of instrument", "laser 4.5 over a mark at 100", 104.5, plane,
              1e-12, "ft", "practice")  # fmt: skip
    rod = tapes.below_laser(plane, np.array(98.2))
    published("Levelling by height of instrument", "rod on ground at 98.2", 6.3, rod, 1e-9, "ft",
              "practice")  # fmt: skip
