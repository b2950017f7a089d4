"""Values of a notebook: signs, directions, units, and slips."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plumbrail.errors import PlumbrailError, QuantityError
from plumbrail.notebook.entries import Axis, Hold, Kind
from plumbrail.notebook.values import hold, move, reading_value, slide

IN, FT, DEG = 0.0254, 0.3048, math.pi / 180
EIGHTH = math.atan(0.125 / 48)  # a gap of 1/8 in at the end of a level of 4 ft


@pytest.mark.parametrize(
    ("kind", "text", "amount", "axis"),
    [
        (Kind.ROD, "4 ft 3 1/2 in", 51.5 * IN, None),
        (Kind.ROD, "4' 3 1/2\"", 51.5 * IN, None),
        (Kind.ROD, "4′ 3½″", 51.5 * IN, None),
        (Kind.ROD, "1.31 m", 1.31, None),
        (Kind.ROD, "6 in up", -6 * IN, None),
        (Kind.ROD, "up 6 in", -6 * IN, None),
        (Kind.ROD, "6 in above", -6 * IN, None),
        (Kind.ROD, "-6 in", -6 * IN, None),
        (Kind.ROD, "6 in down", 6 * IN, None),
        (Kind.ROD, "below 6 in", 6 * IN, None),
        (Kind.ROD, "0 in up", 0.0, None),
        (Kind.TAPE, "12 ft 4 in", 148 * IN, None),
        (Kind.LEVEL_TAPE, "1000 ft", 1000 * FT, None),
        (Kind.DIAGONAL, "31 ft", 31 * FT, None),
        (Kind.STRING_SIDE, "3/8 in back", 0.375 * IN, Axis.ACROSS),
        (Kind.STRING_SIDE, "3/8in Front", -0.375 * IN, Axis.ACROSS),
        (Kind.STRING_SIDE, "3/8 in toward the front", -0.375 * IN, Axis.ACROSS),
        (Kind.STRING_SIDE, "9 mm to the left", -0.009, Axis.ALONG),
        (Kind.STRING_SIDE, "right 9 mm", 0.009, Axis.ALONG),
        (Kind.STRING_SIDE, "-9 mm", -0.009, None),
        (Kind.STRING_SIDE, "0 in", 0.0, None),
        (Kind.STRING_HEIGHT, "1/4 in up", 0.25 * IN, Axis.UP),
        (Kind.STRING_HEIGHT, "1/4 in below", -0.25 * IN, Axis.UP),
        (Kind.STRING_HEIGHT, "-1/4 in", -0.25 * IN, None),
        (Kind.PLUMB, "0.3 deg back", 0.3 * DEG, Axis.ACROSS),
        (Kind.PLUMB, "0.3° front", -0.3 * DEG, Axis.ACROSS),
        (Kind.PLUMB, "left 0.3 deg", -0.3 * DEG, Axis.ALONG),
        (Kind.PLUMB, "0 deg across", 0.0, Axis.ACROSS),
        (Kind.PLUMB, "0 deg along", 0.0, Axis.ALONG),
        (Kind.PLUMB, "1/8 in / 4 ft back", EIGHTH, Axis.ACROSS),
        (Kind.PLUMB, "1/8 in/4 ft back", EIGHTH, Axis.ACROSS),
        (Kind.PLUMB, "1/8 in in 4 ft back", EIGHTH, Axis.ACROSS),
        (Kind.PLUMB, "1/8 in back in 4 ft", EIGHTH, Axis.ACROSS),
        (Kind.PLUMB, "1/8\" per 4' right", EIGHTH, Axis.ALONG),
        (Kind.PLUMB, "1/8 in / 48 in front", -EIGHTH, Axis.ACROSS),
        (Kind.PLUMB, "3 mm / 1.2 m left", -math.atan(3 / 1200), Axis.ALONG),
        (Kind.PLUMB, "0 in / 4 ft across", 0.0, Axis.ACROSS),
        (Kind.PLUMB, "1/2 in / 4 ft 1 1/2 in back", math.atan(0.5 / 49.5), Axis.ACROSS),
        (Kind.TILT, "32.1 deg", 32.1 * DEG, None),
        (Kind.TILT, "32.1°", 32.1 * DEG, None),
        (Kind.TILT, "-1 deg", -DEG, None),
    ],
)  # fmt: skip
def test_readings(kind: Kind, text: str, amount: float, axis: Axis | None) -> None:
    value = reading_value(kind, text)
    assert value.amount == pytest.approx(amount, rel=1e-12, abs=1e-15)
    assert math.copysign(1, value.amount) == math.copysign(1, amount)
    assert value.axis is axis


@pytest.mark.parametrize(
    ("kind", "text", "words"),
    [
        (Kind.ROD, "4.3", "4.3 has no unit; write for example"),
        (Kind.ROD, "4 ft back", "6 in up for a point above the laser"),
        (Kind.ROD, "51 ft", "more than 50 ft: a slip"),
        (Kind.ROD, "-6 in up", "has a minus and a direction; leave the minus out"),
        (Kind.ROD, "4 ft up down", "names two directions"),
        (Kind.ROD, "32 deg", "is an angle or a slope, not a length"),
        (Kind.ROD, "", "nothing is written"),
        (Kind.ROD, "=3+4", "this is a formula"),
        (Kind.ROD, "#REF!", "type the value again"),
        (Kind.ROD, "8-Jan", "made a date of a fraction"),
        (Kind.ROD, "1/8/2026", "made a date of a fraction"),
        (Kind.ROD, "1,31 m", "has a comma in a number"),
        (Kind.ROD, "1,250 mm", "has a comma in a number"),
        (Kind.TAPE, "-3 ft", "write a length above zero"),
        (Kind.TAPE, "0 ft", "write a length above zero"),
        (Kind.TAPE, "3 ft up", "write the length alone"),
        (Kind.TAPE, "1001 ft", "more than 1000 ft: a slip of unit"),
        (Kind.TAPE, "1/0 in", "not a finite number"),
        (Kind.TAPE, "9 9/8 in", "not less than 1"),
        (Kind.STRING_SIDE, "1/4 in up", "for example 3/8 in back"),
        (Kind.STRING_SIDE, "0 in across", "for example 3/8 in back"),
        (Kind.STRING_HEIGHT, "1/4 in back", "for example 1/4 in up"),
        (Kind.STRING_HEIGHT, "51 ft up", "more than 50 ft"),
        (Kind.STRING_SIDE, "-1/4 in left", "has a minus and a direction"),
        (Kind.PLUMB, "0.3 deg", "which way the top leans"),
        (Kind.PLUMB, "0.3", "which way the top leans"),
        (Kind.PLUMB, "0.3 back", "0.3 has no unit; write for example 0.3 deg back"),
        (Kind.PLUMB, "0.3 deg up", "which way the top leans"),
        (Kind.PLUMB, "0.3 deg across", "back or front, left or right"),
        (Kind.PLUMB, "10.1 deg back", "a lean of more than 10°"),
        (Kind.PLUMB, "3 ft / 4 ft back", "a lean of more than 10°"),
        (Kind.PLUMB, "-0.3 deg back", "has a minus and a direction"),
        (Kind.PLUMB, "1/8 in / 0 ft back", "the length of the level"),
        (Kind.PLUMB, "1/8 in / 21 ft back", "the length of the level, at most 20 ft"),
        (Kind.PLUMB, "1/8 in / 4 back", "4 has no unit"),
        (Kind.TILT, "32.1", "32.1 has no unit"),
        (Kind.TILT, "61 deg", "steeper than 60°"),
        (Kind.TILT, "32 deg back", "write the slope alone"),
    ],
)  # fmt: skip
def test_refusals(kind: Kind, text: str, words: str) -> None:
    with pytest.raises(QuantityError) as caught:
        reading_value(kind, text)
    assert words in str(caught.value)


def test_moves() -> None:
    assert (move("5/16 in up").amount, move("5/16 in up").axis) == (0.3125 * IN, Axis.UP)
    assert move("1/4 in front").amount == pytest.approx(-0.25 * IN)
    assert move("to the left 1/4 in").axis is Axis.ALONG
    refused = {
        "1 in": "which way", "1 in across": "which way", "0 in up": "how far",
        "11 ft up": "more than 10 ft", "-1 in up": "leave the minus",
    }  # fmt: skip
    for text, words in refused.items():
        with pytest.raises(QuantityError, match=words):
            move(text)


@pytest.mark.parametrize(
    ("text", "least", "most", "axis"),
    [
        ("1 in", -1, 1, None), ("1 in up", 0, 1, Axis.UP), ("1/2 in down", -0.5, 0, Axis.UP),
        ("1 in up, 1/2 in down", -0.5, 1, Axis.UP), ("1/2 in down and 1 in up", -0.5, 1, Axis.UP),
        ("3 in; 0 in", 0, 0, "refused"), ("2 in left", -2, 0, Axis.ALONG), ("0 in", 0, 0, None),
        ("1 in up, 2 in up", 0, 0, "refused"), ("1 in up, 2 in left", 0, 0, "refused"),
        ("-1 in", 0, 0, "refused"), ("1 in across", 0, 0, "refused"),
        ("11 ft", 0, 0, "refused"), ("1", 0, 0, "refused"),
    ],
)  # fmt: skip
def test_slides(text: str, least: float, most: float, axis: Axis | str | None) -> None:
    if axis == "refused":
        with pytest.raises(QuantityError):
            slide(text)
        return
    found = slide(text)
    assert (found.least, found.most) == pytest.approx((least * IN, most * IN))
    assert found.axis is axis


def test_holds() -> None:
    assert [hold(t) for t in ("loose", " Set ", "CONCRETED")] == list(Hold)
    with pytest.raises(QuantityError, match="write loose"):
        hold("poured")


SIXTEENTHS = st.integers(1, 16 * 120).map(lambda n: n / 16)


@given(st.sampled_from(["back", "front", "left", "right"]), SIXTEENTHS, st.booleans())
def test_opposite_words_are_opposite_signs(word: str, inches: float, before: bool) -> None:
    other = {"back": "front", "front": "back", "left": "right", "right": "left"}[word]

    def told(way: str) -> str:
        return f"{way} {inches!r} in" if before else f"{inches!r} in {way}"

    one, two = (reading_value(Kind.STRING_SIDE, told(w)) for w in (word, other))
    assert one.amount == -two.amount
    assert abs(one.amount) == pytest.approx(inches * IN, rel=1e-12)
    assert one.axis is two.axis


WORDS = st.sampled_from(
    ["up", "down", "back", "left", "across", "1/8", "4", "in", "ft", "deg", "/", "per", "-", "'",
     '"', ",", "=", "#", "½", "′", "the", "to", "and", "9" * 30, "1e300", "nan", "\u00a0", "\0"]
)  # fmt: skip


@given(st.sampled_from(list(Kind)), st.lists(WORDS, max_size=7).map(" ".join) | st.text())
def test_any_text_is_a_value_or_refused(kind: Kind, text: str) -> None:
    for read in (lambda t: reading_value(kind, t).amount, lambda t: move(t).amount,
                 lambda t: slide(t).most):  # fmt: skip
        try:
            value = read(text)
        except PlumbrailError:
            continue
        assert math.isfinite(value)
