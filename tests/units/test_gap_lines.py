"""Check measurements between the holes, the words for the sides of a string, and warnings."""

from __future__ import annotations

from datetime import date, time
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from plumbrail.errors import RangeError
from plumbrail.setout import direction as dr
from plumbrail.setout.lines import EQUAL, Lines, lines
from plumbrail.setout.sides import Sides, sides
from plumbrail.site.sun import Place

HOLES = np.array([[0.0, 0], [3, 0], [6, 0], [0.5, 4], [3, 4], [6, 4]])
"""Front F1 to F3, back B1 to B3; B1 has slid half a metre to the right."""
GROUND = np.array([0.0, 0.1, 0.2, 1.0, 1.1, 1.2])


def checks(holes: Any = HOLES) -> Lines:
    stations = len(holes) // 2
    ids = tuple(f"{row}{k + 1}" for row in "FB" for k in range(stations))
    posts = SimpleNamespace(xy=np.asarray(holes, dtype=float), ground=GROUND[: len(holes)], ids=ids)
    model: Any = SimpleNamespace(stations=stations, posts=posts)
    return lines(model)


def test_every_measurement_by_hand() -> None:
    """Rows, overall diagonals, front to back at each station, and both diagonals of each bay."""
    found = checks()
    hand = {
        "F1–F3": ("row", 6.0, "B1–B3"), "B1–B3": ("row", 5.5, "F1–F3"),
        "F1–B3": ("diagonal", np.hypot(6, 4), "F3–B1"),
        "F3–B1": ("diagonal", np.hypot(5.5, 4), "F1–B3"),
        "F1–B1": ("front to back", np.hypot(0.5, 4), "F3–B3"),
        "F2–B2": ("front to back", 4.0, "F1–B1"), "F3–B3": ("front to back", 4.0, "F1–B1"),
        "F1–B2": ("bay diagonal", 5.0, "F2–B1"),
        "F2–B1": ("bay diagonal", np.hypot(2.5, 4), "F1–B2"),
        "F2–B3": ("bay diagonal", 5.0, "F3–B2"), "F3–B2": ("bay diagonal", 5.0, "F2–B3"),
    }  # fmt: skip
    assert set(found.ids) == set(hand)
    height = dict(zip(("F1", "F2", "F3", "B1", "B2", "B3"), GROUND, strict=True))
    names = list(height)
    for i, name in enumerate(found.ids):
        kind, level, twin = hand[name]
        one, two = name.split("–")
        assert (found.kind[i], found.ids[found.twin[i]]) == (kind, twin), name
        assert (names[found.start[i]], names[found.end[i]]) == (one, two)
        assert found.level[i] == pytest.approx(level)
        assert found.slope[i] == pytest.approx(np.hypot(level, height[two] - height[one]))
        assert found.level_difference[i] == pytest.approx(level - hand[twin][1])
        assert found.slope_difference[i] == pytest.approx(
            found.slope[i] - found.slope[list(found.ids).index(twin)]
        )
    assert not found.rectangular


def test_a_layout_of_one_bay_has_no_bay_diagonals() -> None:
    found = checks([[0, 0], [3, 0], [0, 4], [3, 4]])
    assert found.ids == ("F1–F2", "B1–B2", "F1–B2", "F2–B1", "F1–B1", "F2–B2")
    assert found.rectangular
    assert found.slide == pytest.approx(5 / 6)  # derived: the diagonal over twice the row


def test_less_than_a_micrometre_makes_no_other_shape() -> None:
    off = np.array([[0.0, 0], [3, 0], [0, 4], [3, 4 + 0.9 * EQUAL]])
    assert checks(off).rectangular
    off[3, 1] = 4 + 1.5 * EQUAL
    assert not checks(off).rectangular


def test_how_far_a_row_slid_by_its_diagonals() -> None:
    """By hand: 10 mm of slide of the back row along itself, and what the diagonals differ by."""
    square = checks([[0, 0], [6, 0], [0, 4], [6, 4]])
    slid = checks([[0, 0], [6, 0], [0.01, 4], [6.01, 4]])
    one, two = slid.of("diagonal")
    differ = slid.level[one] - slid.level[two]
    assert differ * square.slide == pytest.approx(0.01, rel=1e-3)


@pytest.mark.parametrize(
    ("along", "across", "words"),
    [
        ((1.0, 0.0), (0.0, 1.0), (("right", "left"), ("back", "front"))),
        ((-1.0, 0.0), (0.0, 1.0), (("left", "right"), ("back", "front"))),
        ((0.6, -0.8), (0.8, 0.6), (("right", "left"), ("back", "front"))),
        ((0.0, 1.0), (1.0, 0.0), (("back", "front"), ("right", "left"))),
        ((0.0, -1.0), (1.0, 0.0), (("front", "back"), ("right", "left"))),
    ],
)
def test_the_four_ways_from_pin_1(
    along: tuple[float, float], across: tuple[float, float], words: Any
) -> None:
    """x is to the right, y to the back, standing before the array."""
    base: Any = SimpleNamespace(along=np.array(along), across=np.array(across))
    found = sides(base)
    assert (found.along, found.across) == words


def test_lengths_to_a_side() -> None:
    """Nothing written: toward pin 2, and to the back; zero is on neither other side."""
    s = Sides(("right", "left"), ("back", "front"))
    assert s.of(np.array([2.0, -1.0])) == ("right", "front")
    assert s.of(np.array([-2.0, 1.0])) == ("left", "back")
    assert s.of(np.zeros(2)) == ("right", "back")
    assert [s.signed(3.0, w, True) for w in ("", "right", "left")] == [3.0, 3.0, -3.0]
    assert [s.signed(3.0, w, False) for w in ("", "back", "front")] == [3.0, 3.0, -3.0]
    with pytest.raises(RangeError, match=r'"back" is no way along the string .* right or left'):
        s.signed(3.0, "back", True)
    with pytest.raises(RangeError, match=r'"left" is no way square to that .* back or front'):
        s.signed(3.0, "left", False)


@pytest.mark.parametrize(
    ("hour", "warned"), [(12.75, False), (9.5, False), (16.0, False), (9.25, True), (16.25, True)]
)
def test_solar_noon_far_from_that_of_the_clock(
    monkeypatch: pytest.MonkeyPatch, hour: float, warned: bool
) -> None:
    """3 h 15 min either side of 12:45 is the widest that longitude and zone may be apart."""
    seconds = 5e8 + np.arange(0, 24.25, 0.25) * 3600
    place = Place(0.7, -2.0, 0.0)
    monkeypatch.setattr(
        dr, "sun_at",
        lambda p, s: SimpleNamespace(height=-np.abs(s - 5e8 - hour * 3600)) if p is place else None,
    )  # fmt: skip
    moments: Any = SimpleNamespace(seconds=seconds)
    found = dr._warnings(place, moments)
    assert bool(found) is warned
    if warned:
        assert f"highest about {hour:.1f} h after midnight" in found[0]


@pytest.mark.parametrize(("degrees", "down"), [(1.001, False), (0.999, True), (-10.0, True)])
def test_a_sun_under_one_degree_gives_no_shadow(
    monkeypatch: pytest.MonkeyPatch, degrees: float, down: bool
) -> None:
    sun = SimpleNamespace(height=np.radians([degrees]))
    moments = SimpleNamespace(clock=("06:30",), seconds=np.zeros(1))
    monkeypatch.setattr(dr, "sun_at", lambda place, seconds: sun)
    monkeypatch.setattr(dr.cl, "at_clock", lambda day, clock, zone: moments)
    monkeypatch.setattr(dr.cl, "twice", lambda day, clock, zone: day.month == 11)
    monkeypatch.setattr(dr, "shadows", lambda *given: given)
    monkeypatch.setattr(dr, "swing", lambda base, sun, mark: ("swing", base, mark))
    for day in (date(2026, 5, 4), date(2026, 11, 1)):
        of: Any = SimpleNamespace(day=day, zone=None, clock="PDT", place="place", base="base",
                                  rig="rig", shadows=SimpleNamespace(least=0.2))  # fmt: skip
        if down:
            with pytest.raises(RangeError, match="no shadow") as error:
                dr.ask(of, time(6, 30), None)
            assert f"the sun stands {degrees:.1f}° over the horizon" in str(error.value)
            continue
        found = dr.ask(of, time(6, 30), None)
        assert found.shadow == ("place", "base", moments, "rig", 0.2)
        assert found.swing is None
        assert bool(found.notes) is (day.month == 11)
        mark = np.array([1.0, 2.0])
        assert dr.ask(of, time(6, 30), mark).swing == ("swing", "base", mark)
