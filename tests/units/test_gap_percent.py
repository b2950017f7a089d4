"""The share of a limit that is printed agrees with the verdict beside it, on screen and paper."""

from __future__ import annotations

import pytest

from plumbrail.app.strip import share
from plumbrail.check import ALMOST_ONE, percent
from plumbrail.cli.show import used as printed
from plumbrail.papers.pages_calculation import used as on_paper


@pytest.mark.parametrize(
    ("ratio", "whole"),
    [(0.0, 0), (0.994, 99), (0.996, 100), (1.0, 100), (1.0000000000000002, 100),
     (ALMOST_ONE, 100), (1.0 + 2e-9, 101), (1.004, 101), (1.02, 102), (2.357, 236)],
)  # fmt: skip
def test_what_passes_is_never_over_100_percent_and_what_fails_always(ratio, whole):
    assert percent(ratio) == whole
    assert printed(ratio) == on_paper(ratio) == f"{whole} %"
    assert share(ratio) == f"{whole} % used"
