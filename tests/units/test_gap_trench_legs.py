"""The conduit in pieces, its pull both ways, and where a pull box has to part it.

Formulas are those of cable makers' pulling guides: after a straight piece T + w*L*(sin + mu*cos),
after a bend T*exp(mu*angle), pressure T/R; NFPA 70 352.26: 360 degrees between pulling points.
"""

from __future__ import annotations

from math import atan2, cos, exp, hypot, pi, sin
from typing import Any

import numpy as np
import pytest

from plumbrail.trench import legs
from plumbrail.trench.parts import Bend, Bundle, Element, Leg, Profile, Wires

QUARTER = pi / 2
NAMES = ("C1", "wall")


class Cable:
    """Wires of 10 N/m with a friction of 0.4 in bends of 0.5 m."""

    def __init__(self, count: int = 2, limit: float = 1e6, correction: float = 1.0) -> None:
        self.count, self._limit, self._correction = count, limit, correction

    def weight(self) -> Any:
        return np.asarray(10.0)

    def friction(self) -> Any:
        return np.asarray(0.4)

    def correction(self) -> Any:
        return np.asarray(self._correction)

    def radius(self) -> Any:
        return np.asarray(0.5)

    def limit(self) -> Any:
        return np.asarray(self._limit)


def straight(start: float, long: float, slope: float = 0.0) -> Element:
    return Element("straight", start, start + long, long, slope, 0.0)


def bend(at: float, angle: float = QUARTER) -> Element:
    return Element("bend", at, at, 0.0, 0.0, angle)


def snake(inner: int) -> tuple[Element, ...]:
    """Two risers with their sweeps, and so many quarter bends 10 m apart between them."""
    way: list[Element] = [straight(0.0, 1.0, -QUARTER), bend(0.0), straight(0.0, 10.0)]
    for k in range(inner):
        way += [bend(10.0 * (k + 1)), straight(10.0 * (k + 1), 10.0)]
    end = 10.0 * (inner + 1)
    return (*way, bend(end), straight(end, 3.0, QUARTER))


def cut(parts: tuple[Element, ...], cable: Any, sidewall: float = 1e9) -> tuple[Any, ...]:
    return legs.legs(parts, cable, sidewall, NAMES)


def test_a_pull_adds_up_piece_by_piece_both_ways() -> None:
    parts = (straight(0.0, 30.0, 0.2), bend(30.0), straight(30.0, 5.0))
    to = legs.pull(Cable(), parts, "equipment")  # type: ignore[arg-type]
    up = 300 * (sin(0.2) + 0.4 * cos(0.2))
    turned = up * exp(0.4 * QUARTER)
    assert to.tension == pytest.approx([up, turned, turned + 20])
    assert to.sidewall == pytest.approx([0.0, turned / 0.5, 0.0])
    back = legs.pull(Cable(), parts, "array")  # type: ignore[arg-type]
    turned = 20 * exp(0.4 * QUARTER)
    assert back.tension == pytest.approx(
        [20.0, turned, turned + 300 * (-sin(0.2) + 0.4 * cos(0.2))]
    )


def test_three_wires_press_as_if_cradled() -> None:
    """(3*W_c - 2)/3*T/R, from memory: with W_c 1.2 that is 1.6/3 of T/R."""
    three = legs.pull(Cable(3, correction=1.2), (straight(0.0, 10.0), bend(10.0)), "equipment")  # type: ignore[arg-type]
    T = 100 * 0.4 * 1.2 * exp(0.4 * 1.2 * QUARTER)
    assert three.sidewall[1] == pytest.approx(1.6 / 3 * T / 0.5)


def test_the_weaker_pull_is_the_better_one() -> None:
    up = (straight(0.0, 30.0, 0.2),)
    down = (straight(0.0, 30.0, -0.2),)
    for parts, toward in ((up, "array"), (down, "equipment")):
        ((leg,), _, _) = cut(parts, Cable())
        assert leg.directions[leg.better].toward == toward


def test_one_full_turn_needs_no_box_and_a_quarter_more_does() -> None:
    whole, cuts, _ = cut(snake(2), None)
    assert (len(whole), cuts, whole[0].bends) == (1, (), pytest.approx(2 * pi))
    parted, cuts, whys = cut(snake(3), None)
    assert whys == ("more than one full turn of bends",)
    # The middle one of the five bends becomes the box: two quarters are left to either side.
    assert [snake(3)[k].start for k in cuts] == [20.0]
    assert [leg.bends for leg in parted] == pytest.approx([pi, pi])
    assert [(leg.start, leg.end) for leg in parted] == [("C1", "PB1"), ("PB1", "wall")]
    assert sum(leg.length for leg in parted) == pytest.approx(1 + 4 * 10 + 3)


def test_a_box_parts_uneven_bends_as_evenly_as_can_be() -> None:
    """6.44 rad in all: the second bend leaves 2.57 before it and 2.87 after, no other less."""
    parts = list(snake(4))
    for k, angle in zip((3, 5, 7, 9), (1.0, 1.0, 1.0, 0.3), strict=True):
        parts[k] = bend(parts[k].start, angle)
    found, cuts, _ = cut(tuple(parts), None)
    assert cuts == (5,)
    assert [leg.bends for leg in found] == pytest.approx([QUARTER + 1.0, 1.3 + QUARTER])


def most(leg: Leg, what: str) -> float:
    return float(getattr(leg.directions[leg.better], what).max())


@pytest.mark.parametrize(("what", "words"), [("tension", "too strong"), ("sidewall", "pressure")])
def test_a_pull_that_the_wires_do_not_stand_gets_a_box(what: str, words: str) -> None:
    ((leg,), _, _) = cut(snake(2), Cable())
    there = most(leg, what)
    for share, boxes in ((1.001, False), (0.999, True)):
        limit = {"tension": (share * there, 1e9), "sidewall": (1e6, share * there)}[what]
        found, cuts, whys = cut(snake(2), Cable(limit=limit[0]), limit[1])
        assert bool(cuts) is boxes
        assert all(words in why for why in whys)
        assert all(most(x, what) < there for x in found) is boxes


def test_the_way_goes_down_and_up_with_the_conduit_not_with_the_ground_alone() -> None:
    """Geometry: 4 m along, the ground rises 1 m and the conduit sinks 4 m below it: 3-4-5."""
    at, zero = np.array([0.0, 4.0, 8.0]), np.zeros(3)
    p = Profile(at, np.array([0.0, 1.0, 1.0]), zero, np.array([0.5, 4.5, 4.5]), zero, False)
    found = legs.elements(p, (Bend(4.0, 0.7, "up"),), 1.0, 3.0)
    assert [e.what for e in found] == [
        "straight", "bend", "straight", "bend", "straight", "bend", "straight"]  # fmt: skip
    assert [e.long for e in found] == pytest.approx([1.0, 0, hypot(4, 3), 0, 4.0, 0, 3.0])
    assert found[2].slope == pytest.approx(atan2(-3, 4))
    assert (found[0].slope, found[-1].slope) == (pytest.approx(-QUARTER), pytest.approx(QUARTER))
    assert [e.angle for e in found if e.what == "bend"] == pytest.approx([QUARTER, 0.7, QUARTER])


@pytest.mark.parametrize(("trade", "size", "inches"), [
    ("1-1/4", "4 AWG", 7.5), ("3/4", "4 AWG", 4.5), ("2", "1/0 AWG", 12.0), ("2", "6 AWG", None),
    ("", "4 AWG", None),
])  # fmt: skip
def test_a_box_is_six_trade_sizes_long_from_4_awg_on(
    trade: str, size: str, inches: float | None
) -> None:
    """NFPA 70 314.28(A)(2): six times the trade size for an angle pull, from 4 AWG on."""
    ground = Bundle(1, "8 AWG", "THWN-2", "copper", True)
    wires = Wires(np.zeros(3), "C1", "PVC 40", "PVC 80", trade, 0.3,
                  (ground, Bundle(2, size, "THWN-2", "copper")), 40.0, 0.1)  # fmt: skip
    line = np.array([[0.0, 0.0], [40.0, 0.0]])
    (box,) = legs.boxes((straight(0.0, 20.0), bend(20.0)), (1,), ("why",), line, (), wires)
    assert box.least == (None if inches is None else pytest.approx(inches * 0.0254))
