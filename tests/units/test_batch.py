"""Arrays with named axes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np
import pytest

from plumbrail.batch import Array, Batch


@dataclass(frozen=True)
class Loads(Batch):
    axes: ClassVar[tuple[str, ...]] = ("member", "case")
    P: Array
    L: Array


def test_shape_is_the_common_one():
    assert Loads(np.ones((3, 4)), np.ones((3, 1))).shape == (3, 4)


def test_every_field_needs_every_axis():
    with pytest.raises(ValueError, match=r"Loads\.L needs the axes"):
        Loads(np.ones((3, 4)), np.ones(3))


def test_fields_must_broadcast():
    with pytest.raises(ValueError, match="shape"):
        Loads(np.ones((3, 4)), np.ones((2, 1)))


def test_one_case_keeps_its_axes():
    loads = Loads(np.arange(12.0).reshape(3, 4), np.arange(3.0)[:, None])
    one = loads.at(member=2, case=1)
    assert one.shape == (1, 1)
    assert (one.P.item(), one.L.item()) == (9.0, 2.0)
    assert loads.at(member=1).shape == (1, 4)


def test_governing_is_the_largest():
    ratio = np.array([[0.1, 0.9], [0.95, 0.2]])
    assert Loads.governing(ratio) == {"member": 1, "case": 0}


def test_not_a_number_never_hides():
    with pytest.raises(ValueError, match="not a number"):
        Loads.governing(np.array([[0.1, np.nan]]))
