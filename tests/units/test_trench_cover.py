"""What the check of the cover says first."""

from __future__ import annotations

import numpy as np
import pytest
from tests.plans import plan_with

from plumbrail.check import Check, Status, reason
from plumbrail.papers.words import speaking, tell
from plumbrail.trench.checking import depth_checks
from plumbrail.trench.parts import Profile

ASKED = 18 * 0.0254
"""[m]"""


def cover(*top: float) -> Check:
    at = np.arange(len(top)) * 3.048
    flat = np.zeros(len(top))
    line = Profile(at, flat, flat + ASKED, np.array(top), flat + 0.6, False)
    [found] = depth_checks(line, (), plan_with({}))
    return found


def test_a_cover_that_is_short_says_by_how_much_before_what_to_do() -> None:
    found = cover(ASKED, 15 * 0.0254, ASKED)
    assert (found.status, found.ratio) == (Status.FAIL, pytest.approx(18 / 15))
    assert reason(found.note) == (
        '3" of cover are missing 10\' 0" along the route: 1\' 3" there, 1\' 6" asked for'
    )
    assert found.note.endswith("measure it before the trench is closed")
    with speaking("es", "us"):
        assert tell(found.note).startswith('faltan 3" de recubrimiento a 10\' 0" de recorrido')


def test_enough_cover_is_still_to_be_measured() -> None:
    found = cover(ASKED, 2 * ASKED)
    assert found.status is Status.PASS and found.note == "measure it before the trench is closed"
