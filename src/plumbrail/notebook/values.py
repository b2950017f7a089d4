"""Values of a notebook: text with a unit in, SI with the signs of ``Reading.value`` out.

Every function raises QuantityError, saying what was read and what to write.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from plumbrail.errors import QuantityError
from plumbrail.notebook.entries import Axis, Hold, Kind
from plumbrail.units import parse

FOOT = 0.3048
LONGEST_TAPE = 1000 * FOOT
LONGEST_ROD = 50 * FOOT
"""Either way of the laser plane."""
FARTHEST_STRING = 50 * FOOT
FARTHEST_MOVE = 10 * FOOT
LONGEST_LEVEL = 20 * FOOT
MOST_LEAN = math.radians(10)
MOST_TILT = math.radians(60)

_WAYS = {
    "up": (Axis.UP, 1), "above": (Axis.UP, 1), "down": (Axis.UP, -1), "below": (Axis.UP, -1),
    "back": (Axis.ACROSS, 1), "front": (Axis.ACROSS, -1),
    "right": (Axis.ALONG, 1), "left": (Axis.ALONG, -1),
    "across": (Axis.ACROSS, 0), "along": (Axis.ALONG, 0),
}  # fmt: skip
_WAY = re.compile(
    rf"(?:\b(?:to|towards?)\s+)?(?:\bthe\s+)?(?<![A-Za-z])({'|'.join(_WAYS)})(?![A-Za-z])",
    re.IGNORECASE,
)
_OVER = re.compile(
    r"(?P<rise>.*[A-Za-z\"'.])(?:\s+(?:in|per|over|on)\s+|\s*/\s*)(?P<run>[0-9.].*)", re.DOTALL
)
_COMMA = re.compile(r"[0-9],[0-9]")
_FROM_A_SPREADSHEET = (
    (re.compile(r"="), "this is a formula; write the value that was read"),
    (re.compile(r"#"), "the spreadsheet wrote an error here; type the value again"),
    (re.compile(r"[0-9]{1,2}-[A-Za-z]{3}(-[0-9]{2,4})?$|[0-9]{1,4}([/-])[0-9]{1,2}\2[0-9]{1,4}$"),
     "a spreadsheet may have made a date of a fraction; set its cells to text and type the value "
     "again with its unit, as in 1/8 in"),
)  # fmt: skip
_LONGEST = 80
_ADVICE = {
    Kind.ROD: "4 ft 3 1/2 in, or 6 in up for a point above the laser",
    Kind.STRING_SIDE: "3/8 in back",
    Kind.STRING_HEIGHT: "1/4 in up",
    Kind.PLUMB: "0.3 deg back, 1/8 in / 4 ft left or 0 deg across",
    Kind.TILT: "32.1 deg",
}


@dataclass(frozen=True, slots=True)
class Value:
    """One measured value."""

    amount: float
    """SI, with the signs of ``Reading.value``."""
    axis: Axis | None
    """Direction that the words named; None where there were none."""


@dataclass(frozen=True, slots=True)
class _Said:
    """A value with its direction words taken off."""

    text: str
    """As written."""
    bare: str
    """Without the direction."""
    axis: Axis | None
    sign: int
    """-1, 0 (``across``, ``along``) or 1; 1 without a direction."""

    def length(self) -> float:
        """The length without its direction; a sign and a direction together are refused."""
        value = parse(self.bare, "length")
        self.no_sign_too(value)
        return value

    def no_sign_too(self, value: float) -> None:
        """Refuse ``-1/4 in back``."""
        if self.axis is not None and value < 0:
            raise QuantityError(
                f"{quote(self.text)} has a minus and a direction; leave the minus out"
            )

    def refuse(self, write: str) -> QuantityError:
        """The direction does not fit; the error says what to write."""
        return QuantityError(f"{quote(self.text)} will not do; write {write}")


def reading_value(kind: Kind, text: str) -> Value:
    """The value of a reading."""
    said = _said(text)
    if kind is Kind.PLUMB:
        return _plumb(said)
    if kind is Kind.TILT:
        return _tilt(said)
    if kind is Kind.ROD:
        return _rod(said)
    if kind in (Kind.STRING_SIDE, Kind.STRING_HEIGHT):
        return _string(kind, said)
    return _tape(said)


def move(text: str) -> Value:
    """How far something was moved, and which way."""
    said = _said(text)
    if said.axis is None or not said.sign:
        raise said.refuse("how far and which way, for example 5/16 in up or 1/4 in back")
    amount = said.sign * said.length()
    if not amount:
        raise said.refuse("how far it was moved, or leave the row out")
    _at_most(amount, FARTHEST_MOVE, "10 ft", said)
    return Value(amount, said.axis)


@dataclass(frozen=True, slots=True)
class Slide:
    """How far something slides."""

    least: float
    most: float
    axis: Axis | None
    """None where the words named no direction: both ways."""


def slide(text: str) -> Slide:
    """``1 in`` is both ways, ``1 in up`` one way, ``1 in up, 1/2 in down`` each its own."""
    parts = [_said(part) for part in re.split(r"\s*(?:[,;&]|\band\b)\s*", text.strip())]
    amounts = [said.length() for said in parts]
    for said, amount in zip(parts, amounts, strict=True):
        _at_most(amount, FARTHEST_MOVE, "10 ft", said)
        if amount < 0 or not said.sign:
            raise said.refuse("a length with a direction, for example 1/2 in down")
    if len(parts) == 1 and parts[0].axis is None:
        return Slide(-amounts[0], amounts[0], None)
    ways = {(said.axis, said.sign) for said in parts}
    if len(ways) != len(parts) or len({said.axis for said in parts}) > 1:
        raise parts[0].refuse("each direction once, for example 1 in up, 1/2 in down")
    signed = [said.sign * amount for said, amount in zip(parts, amounts, strict=True)]
    return Slide(min(0.0, *signed), max(0.0, *signed), parts[0].axis)


def hold(text: str) -> Hold:
    """How a post stands."""
    try:
        return Hold(text.strip().lower())
    except ValueError:
        raise QuantityError(
            f"{quote(text)} is no way that a post stands; write loose (free in its hole), set "
            "(held by a little hardened concrete) or concreted (the hole is full and hard)"
        ) from None


def way(text: str) -> Axis | None:
    """The direction that a value names; None where there is none."""
    return _said(text).axis


def _said(text: str) -> _Said:
    """The text without its direction words; refuses what a spreadsheet makes of a value."""
    text = text.strip()
    for pattern, words in _FROM_A_SPREADSHEET:
        if pattern.match(text):
            raise QuantityError(f"{quote(text)} will not do: {words}")
    if _COMMA.search(text):
        raise QuantityError(
            f"{quote(text)} has a comma in a number; write a decimal point, and no comma between "
            "thousands"
        )
    found = [way.lower() for way in _WAY.findall(text[:_LONGEST])]
    if len(found) > 1:
        raise QuantityError(f"{quote(text)} names two directions; write a row for each")
    axis, sign = _WAYS[found[0]] if found else (None, 1)
    return _Said(text, " ".join(_WAY.sub(" ", text).split()) if found else text, axis, sign)


def _rod(said: _Said) -> Value:
    if said.axis not in (None, Axis.UP):
        raise said.refuse(_ADVICE[Kind.ROD])
    down = said.length() * (-said.sign if said.axis else 1)
    _at_most(down, LONGEST_ROD, "50 ft", said)
    return Value(down + 0.0, None)


def _tape(said: _Said) -> Value:
    if said.axis is not None:
        raise said.refuse("the length alone, for example 12 ft 4 1/2 in")
    length = said.length()
    if length <= 0:
        raise said.refuse("a length above zero, for example 12 ft 4 1/2 in")
    _at_most(length, LONGEST_TAPE, "1000 ft", said)
    return Value(length, None)


def _string(kind: Kind, said: _Said) -> Value:
    upright = said.axis is Axis.UP
    if said.axis is not None and (not said.sign or upright != (kind is Kind.STRING_HEIGHT)):
        raise said.refuse(f"for example {_ADVICE[kind]}")
    offset = said.sign * said.length()
    _at_most(offset, FARTHEST_STRING, "50 ft", said)
    return Value(offset + 0.0, said.axis)


def _plumb(said: _Said) -> Value:
    if said.axis is None or said.axis is Axis.UP:
        raise said.refuse(f"which way the top leans, for example {_ADVICE[Kind.PLUMB]}")
    over = _OVER.fullmatch(said.bare)
    lean = _fraction(over["rise"], over["run"], said) if over else _angle(said)
    said.no_sign_too(lean)
    if not said.sign and lean:
        raise said.refuse("back or front, left or right: which way the top leans")
    if abs(lean) > MOST_LEAN:
        raise QuantityError(f"{quote(said.text)} is a lean of more than 10°: a slip?")
    return Value(said.sign * lean + 0.0, said.axis)


def _fraction(rise: str, run: str, said: _Said) -> float:
    """Angle of a gap at the end of a level that is held plumb."""
    gap, length = parse(rise, "length"), parse(run, "length")
    if not 0 < length <= LONGEST_LEVEL:
        raise said.refuse("the length of the level, at most 20 ft, as in 1/8 in / 4 ft back")
    return math.atan(gap / length)


def _angle(said: _Said) -> float:
    try:
        return parse(said.bare, "angle")
    except QuantityError as error:
        words = str(error).partition("; write for example")[0]
        raise QuantityError(f"{words}; write for example {_ADVICE[Kind.PLUMB]}") from None


def _tilt(said: _Said) -> Value:
    if said.axis is not None:
        raise said.refuse(f"the slope alone, up to the back, for example {_ADVICE[Kind.TILT]}")
    tilt = parse(said.bare, "angle")
    if abs(tilt) > MOST_TILT:
        raise QuantityError(f"{quote(said.text)} is steeper than 60°: a slip of unit or number?")
    return Value(tilt, None)


def _at_most(value: float, limit: float, words: str, said: _Said) -> None:
    if abs(value) > limit * (1 + 1e-12):
        raise QuantityError(f"{quote(said.text)} is more than {words}: a slip of unit or number?")


def quote(text: str) -> str:
    """The text in quotes, cut to a length that fits a message."""
    words = " ".join(text.split())
    words = words if len(words) <= _LONGEST else f"{words[:_LONGEST]}…"
    return f"'{words}'" if '"' in words else f'"{words}"'
