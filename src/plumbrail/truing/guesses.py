"""What slip could have made a reading wrong by so much: questions for the person who wrote it.

A guess fits when it explains the size within what the adjustment knows of it. The slips are those
of the trade (common practice, no published source).
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from plumbrail.errors import QuantityError
from plumbrail.notebook.entries import Kind, Reading
from plumbrail.truing.instruments import ANGLES, STRUNG
from plumbrail.units import parse

INCH, FOOT = 0.0254, 0.3048
DEGREE = math.radians(1.0)
CLOSE = 3.0
"""Standard deviations within which a guess fits."""
_DIGITS = re.compile(r"(?=([0-9])\.?([0-9]))")


@dataclass(frozen=True, slots=True)
class Case:
    """One reading that looks wrong."""

    reading: Reading
    size: float
    """By how much it reads too far positive [SI]."""
    sd: float
    """Standard deviation of the size."""
    units: str
    """``us`` or ``metric``."""

    @property
    def truth(self) -> float:
        """What it should have been."""
        return self.reading.value - self.size

    @property
    def round_size(self) -> float:
        """The size in whole inches or centimetres where it is that within its uncertainty."""
        if self.reading.kind in ANGLES:
            return self.size
        step, slack = (INCH, 0.15 * INCH) if self.units == "us" else (0.01, 0.0025)
        whole = round(self.size / step) * step
        near = abs(whole - self.size) <= min(CLOSE * self.sd, slack)
        return whole if whole and near else self.size

    def fits(self, truth: float, most: float = math.inf) -> bool:
        """The reading would have been right with this value."""
        return abs(truth - self.truth) <= min(CLOSE * self.sd, most)


@dataclass(frozen=True, slots=True)
class Other:
    """Another reading that could have been meant."""

    words: str
    """``was F4 read instead of F3``"""
    value: float
    """What it would have read."""


def questions(case: Case, others: tuple[Other, ...]) -> tuple[str, ...]:
    """At most two questions, the most telling first; empty when no usual slip fits."""
    found = [q for guess in (_other_side, _whole_steps, _turned_digits) for q in guess(case)]
    found += [o.words for o in others if _was_other(case, o)]
    for guess in (_decimal_feet, _small_steps):
        if not found:
            found += guess(case)
    return tuple(dict.fromkeys(found))[:2]


def _was_other(case: Case, other: Other) -> bool:
    """The value fits another reading, which is well apart from the one named."""
    near = abs(other.value - case.reading.value) <= CLOSE * case.sd
    return near and abs(other.value - case.truth) > 0.5 * abs(case.size)


def _other_side(case: Case) -> Iterator[str]:
    """A sign lost: off by twice the value."""
    signed = case.reading.kind in (*STRUNG, *ANGLES, Kind.ROD)
    if signed and abs(case.reading.value) > CLOSE * case.sd and case.fits(-case.reading.value):
        side = case.reading.kind in STRUNG or case.reading.kind is Kind.PLUMB
        yield "was it to the other side" if side else "was the sign lost"


def _steps(case: Case, step: float, most: int, slack: float) -> int:
    """Whole steps by which the reading is off; 0 when it is not."""
    count = round(case.size / step)
    fits = case.fits(case.reading.value - count * step, slack)
    return count if fits and abs(count) <= most else 0


def _whole_steps(case: Case) -> Iterator[str]:
    if case.reading.kind in ANGLES:
        return
    if case.units == "us":
        count = _steps(case, FOOT, 5, 0.75 * INCH)
        if count:
            yield "was a foot misread" if abs(count) == 1 else f"were {abs(count)} feet misread"
        return
    for step, one, many in ((1.0, "a metre", "metres"), (0.1, "10 cm", "")):
        count = _steps(case, step, 5 if step == 1.0 else 9, 0.1 * step)
        if count:
            words = one if abs(count) == 1 else f"{abs(count)} {many}" if many else (
                f"{10 * abs(count)} cm"
            )  # fmt: skip
            yield f"{'was' if words == 'a metre' else 'were'} {words} misread"
            return


def _small_steps(case: Case) -> Iterator[str]:
    if case.reading.kind in ANGLES:
        count = _steps(case, DEGREE, 9, 0.2 * DEGREE)
        unit, many = "a degree", "degrees"
    elif case.units == "us":
        count, unit, many = _steps(case, INCH, 11, 0.15 * INCH), "an inch", "inches"
    else:
        count, unit, many = _steps(case, 0.01, 9, 0.0015), "a centimetre", "centimetres"
    if count:
        yield f"was {unit} misread" if abs(count) == 1 else f"were {abs(count)} {many} misread"


def _decimal_feet(case: Case) -> Iterator[str]:
    """``9.3 ft`` taken for 9 ft 3 in, or the other way."""
    if case.units != "us" or case.reading.kind in ANGLES:
        return
    feet, rest = divmod(abs(case.reading.value) / FOOT, 1.0)
    sign = math.copysign(1.0, case.reading.value)
    inches = 12.0 * rest
    if inches < 10.0 and case.fits(sign * (feet + inches / 10.0) * FOOT):
        yield "were decimal feet taken for inches"
    elif case.fits(sign * (feet + 10.0 * rest / 12.0) * FOOT):
        yield "were inches taken for decimal feet"


def _turned_digits(case: Case) -> Iterator[str]:
    """Two neighbouring figures in the wrong order."""
    read = _reader(case)
    for pair in _DIGITS.finditer(case.reading.text):
        i, j = pair.start(1), pair.start(2)
        text = list(case.reading.text)
        text[i], text[j] = text[j], text[i]
        turned = read("".join(text))
        if turned is not None and text[i] != text[j] and case.fits(turned):
            yield "were two figures written in the wrong order"
            return


def _reader(case: Case) -> Callable[[str], float | None]:
    """Reads the text of the value as the notebook did; gives None for what it cannot tell."""
    kind = "angle" if case.reading.kind in ANGLES else "length"

    def plain(text: str) -> float | None:
        words = text.split()
        for last in range(len(words), 0, -1):
            try:
                return abs(parse(" ".join(words[:last]), kind))
            except QuantityError:
                continue
        return None

    value, shown = case.reading.value, plain(case.reading.text)
    if shown is None or not math.isclose(shown, abs(value), rel_tol=1e-9, abs_tol=1e-12):
        return lambda _: None

    def read(text: str) -> float | None:
        found = plain(text)
        return None if found is None else math.copysign(found, value)

    return read
