"""Width of the zone that is dug by hand, as laws of single states print it."""

from __future__ import annotations

import numpy as np

from plumbrail.checks.ground_holes import hand_dig_zone
from plumbrail.plan.grounds import USUAL_TOLERANCE

INCH = 0.0254
OHIO = "Ohio Revised Code 3781.25"
PRACTICE = "Common practice, no published source"


def zone(width, each_side):
    """Whole width of the zone [in] of a service whose place is known exactly."""
    half = hand_dig_zone(np.array(width * INCH), np.array(each_side * INCH), np.array(0.0))
    return 2.0 * float(half) / INCH


def test_ohio_counts_its_18_in_from_each_outer_edge(published):
    # "the width of the underground utility facility plus eighteen inches on each side"
    published(OHIO, "width beyond that of the facility", 36, zone(0, 18), 1e-9, "in")
    published(OHIO, "zone of a facility 12 in wide", 12 + 36, zone(12, 18), 1e-9, "in",
              "derived")  # fmt: skip


def test_what_is_counted_when_nobody_says(published):
    published(PRACTICE, "tolerance zone of several states, to each side", 24,
              USUAL_TOLERANCE / INCH, 1e-9, "in", "practice")  # fmt: skip
