"""Where a beam may be spliced when its moments would allow it anywhere."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from plans import INCH, plan_with
from plumbrail.checks.splices import STEP, Envelope, _zones
from plumbrail.model.build import build


def test_a_zone_keeps_off_every_post_even_where_the_beam_hardly_bends() -> None:
    """The plan's own rule, stock.splices.clear_of_posts: 10 in here; geometry by hand."""
    plan = plan_with({"stock.splices.clear_of_posts": "10 in"})
    model = build(plan)
    supports, long = model.beams.supports[0], model.beams.length
    # Only the very end of the overhang bends: everywhere else the moment share is kept.
    x = np.array([0.0, 0.01, 0.02, long])
    M = np.array([[1.0, 1.0, 0.1, 0.1]])
    zones = _zones(plan, model, 0, Envelope(x, M, M))
    clear = 10 * INCH
    wanted = [(a + clear, b - clear) for a, b in pairwise(supports)]
    assert len(zones) == len(wanted)
    for (low, high), (first, last) in zip(zones, wanted, strict=True):
        assert (low, high) == (pytest.approx(first, abs=STEP), pytest.approx(last, abs=STEP))
        assert low >= first - 1e-9 and high <= last + 1e-9


def test_a_moment_of_just_the_share_still_makes_a_zone() -> None:
    """Half of the largest moment where the plan allows half: nothing is above it."""
    plan = plan_with({"stock.splices.moment_share": 0.5})
    model = build(plan)
    x = np.array([0.0, 0.01, 0.02, model.beams.length])
    for moment, some in ((0.5, True), (0.51, False)):
        M = np.array([[1.0, 1.0, moment, moment]])
        assert bool(_zones(plan, model, 1, Envelope(x, M, M))) is some
