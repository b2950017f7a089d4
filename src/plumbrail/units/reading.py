"""Reading what a person wrote: exact arithmetic on the text, one rounding at the end."""

from __future__ import annotations

import math
import re
from fractions import Fraction
from functools import lru_cache
from numbers import Real

from plumbrail.errors import QuantityError
from plumbrail.units.kinds import Kind, kind_named, kinds_of
from plumbrail.units.table import Unit, find, near

_FRACTION = r"[0-9]{1,9}/[0-9]{1,9}(?![0-9./])"
_DECIMAL = r"(?:[0-9]{1,3}(?:,[0-9]{3})+(?![0-9,])|[0-9]+)(?:\.[0-9]*)?|\.[0-9]+"
_POWER = r"(?:[eE][+-]?[0-9]{1,3}(?![0-9.]))?"
_NUMBER = re.compile(
    rf"(?:(?P<whole>[0-9]+)(?:\s+|-))?(?P<fraction>{_FRACTION})|(?P<decimal>(?:{_DECIMAL}){_POWER})"
)
_SIGN = re.compile(r"\s*([+-]?)\s*")
_PART = re.compile(r"""\s*(?P<unit>[A-Za-z]+\.?|['"])\s*(?P<link>[-,]?)\s*""")
_PER = re.compile(r"(?P<rise>.*\S)\s*(?:\bper\b|/)\s*(?P<run>[^/]+)", re.DOTALL)
_PITCH = re.compile(r"(?P<rise>[^:]+?)\s*(?::|\bin\b)\s*(?P<run>[0-9][0-9.]*)")
_COMPOUND = {"length", "time"}
_DIGITS = tuple("0123456789.")
_LONGEST = 80

_VULGAR = {
    "¼": "1/4", "½": "1/2", "¾": "3/4", "⅓": "1/3", "⅔": "2/3", "⅕": "1/5", "⅖": "2/5",
    "⅗": "3/5", "⅘": "4/5", "⅙": "1/6", "⅚": "5/6", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8",
    "⅞": "7/8",
}  # fmt: skip
_PLAIN = str.maketrans(
    {"′": "'", "‘": "'", "’": "'", "ʹ": "'", "″": '"', "“": '"', "”": '"', "ʺ": '"',
     "−": "-", "–": "-", "‐": "-", "‑": "-", "⁄": "/", "∕": "/",
     "\u00a0": " ", "\u2009": " ", "\u202f": " "}
)  # fmt: skip


def parse(text: object, kind: str) -> float:
    """The SI value of ``text`` as a quantity of ``kind`` (a name in ``KINDS``).

    Raises QuantityError saying what was read and what to write.
    """
    wanted = kind_named(kind)
    if isinstance(text, Real) and not isinstance(text, bool):
        value = _bare(float(text), wanted)
    elif isinstance(text, str):
        value = _text(text, kind)
    else:
        raise QuantityError(f"{text!r} is not {wanted.words}; {wanted.advice}")
    if not math.isfinite(value):
        raise QuantityError(f"{_quote(text)} is not a finite number; {wanted.advice}")
    if kind == "temperature" and value < 0:
        raise QuantityError(f"{_quote(text)} is below absolute zero; {wanted.advice}")
    return value + 0.0  # no negative zero


def _bare(value: float, kind: Kind) -> float:
    if not math.isfinite(value):
        raise QuantityError(f"{value:g} is not a finite number; {kind.advice}")
    if not kind.bare:
        raise QuantityError(f"{value:.15g} has no unit; {kind.advice}")
    return value


@lru_cache(8192)
def _text(text: str, name: str) -> float:
    """Kept, because a plan is read again at every edit; what cannot be read is never kept."""
    kind = kind_named(name)
    plain = _plain(text)
    if not plain:
        raise QuantityError(f"nothing is written where {kind.words} is needed; {kind.advice}")
    if len(plain) > _LONGEST:
        raise QuantityError(f'"{plain[:20]}…" is too long to be {kind.words}; {kind.advice}')
    try:
        value = _read(plain, kind)
    except (ZeroDivisionError, OverflowError):
        raise QuantityError(f"{_quote(text)} is not a finite number; {kind.advice}") from None
    except _MiswrittenError as wrong:
        raise QuantityError(f"{_quote(text)} {wrong}; {kind.advice}") from None
    if value is None:
        raise QuantityError(_complaint(text.strip(), plain, kind))
    return value


class _MiswrittenError(Exception):
    """Text of the right kind that is written wrong; the words follow the text itself."""


def _plain(text: str) -> str:
    """The text with fractions, primes, dashes and spaces in ASCII."""
    text = text.translate(_PLAIN).replace("''", '"')
    for glyph, digits in _VULGAR.items():
        text = re.sub(rf"(?<=[0-9]){glyph}", f" {digits}", text)
        text = re.sub(rf"{glyph}(?=[0-9])", f"{digits} ", text).replace(glyph, digits)
    return text.strip()


def _read(plain: str, kind: Kind) -> float | None:
    """Value of the text as this kind; None when it is something else."""
    if kind.name == "slope":
        ratio = _ratio_of_lengths(plain)
        if ratio is not None:
            return float(ratio)
    split = _number(plain)
    if split is None:
        return None
    number, rest = split
    if not rest:
        return float(number) if kind.bare else None
    unit = _unit(rest, kind)
    if unit is not None:
        value = float((number + unit.shift) * unit.factor)
        return _tangent(value) if kind.name == "slope" and unit.si == "rad" else value
    total = _compound(plain, kind) if kind.name in _COMPOUND else None
    return None if total is None else float(total)


def _number(plain: str) -> tuple[Fraction, str] | None:
    """Signed number at the start, exact, and what follows it; None when there is none."""
    sign = _SIGN.match(plain)
    assert sign is not None  # the pattern matches nothing at all, too
    found = _NUMBER.match(plain, sign.end())
    if found is None:
        return None
    if found["decimal"] is not None:
        value = Fraction(found["decimal"].replace(",", ""))
    else:
        value = Fraction(found["fraction"])
        if found["whole"] is not None:
            if value >= 1:
                raise _MiswrittenError(
                    f"has the fraction {found['fraction']}, which is not less than 1"
                )
            value += int(found["whole"])
    return (-value if sign[1] == "-" else value), plain[found.end() :].strip()


def _unit(name: str, kind: Kind) -> Unit | None:
    unit = find(name)
    if unit is not None and kind.name == "temperature_difference" and unit.shift:
        unit = find(f"delta_{unit.name}")  # the field says that it is a difference
    return unit if unit is not None and unit.name in kind.units else None


def _compound(plain: str, kind: Kind) -> Fraction | None:
    """Sum of parts such as ``10 ft 6 1/2 in``: whole numbers, then a last part below one unit."""
    sign = _SIGN.match(plain)
    assert sign is not None  # the pattern matches nothing at all, too
    total, above, before, rest = Fraction(0), None, Fraction(0), plain[sign.end() :]
    while above is None or rest:
        split = _number(rest) if rest[:1] in _DIGITS else None
        if split is None:
            return None
        number, tail = split
        if not tail:
            raise _MiswrittenError(f"ends in a number without a unit, {float(number):g}")
        named = _PART.match(tail)
        unit = _unit(named["unit"], kind) if named else None
        if named is None or unit is None or (named["link"] and named.end() == len(tail)):
            return None
        if above is not None:
            _check_order(number, unit, above, before)
        total, above, before = total + number * unit.factor, unit, number
        rest = tail[named.end() :]
    return -total if sign[1] == "-" else total


def _check_order(number: Fraction, unit: Unit, above: Unit, before: Fraction) -> None:
    if unit.factor >= above.factor:
        raise _MiswrittenError(f"has {unit.name} after {above.name}")
    if before.denominator != 1:
        raise _MiswrittenError(f"has a fraction of {above.name} and {unit.name} besides")
    if number * unit.factor >= above.factor:
        least = above.factor / unit.factor
        raise _MiswrittenError(
            f"has {float(number):g} {unit.name} where less than {float(least):g} belongs"
        )


def _ratio_of_lengths(plain: str) -> Fraction | None:
    """``1:12``, ``4 in 12`` or ``1/4 in per ft`` as rise over run; None for other text."""
    pitch = _PITCH.fullmatch(plain)
    if pitch is not None:
        rise, run = _number(pitch["rise"]), _number(pitch["run"])
        if rise is None or run is None or rise[1] or run[1]:
            return None
        return rise[0] / run[0]
    per = _PER.fullmatch(plain)
    if per is None:
        return None
    length = kind_named("length")
    run_text = per["run"] if per["run"][0].isdigit() else f"1 {per['run']}"
    lengths = [_compound(part, length) for part in (per["rise"], run_text)]
    if lengths[0] is None or lengths[1] is None:
        return None
    return lengths[0] / lengths[1]


def _tangent(angle: float) -> float:
    if abs(angle) >= math.radians(89.9):
        raise _MiswrittenError("is too steep to be a slope")
    return math.tan(angle)


def _quote(text: object) -> str:
    words = str(text).strip()
    return f"'{words}'" if '"' in words else f'"{words}"'


def _complaint(text: str, plain: str, kind: Kind) -> str:
    """What is wrong with text that is no quantity of this kind, in words to act on."""
    split = _number(plain)
    if split is None:
        return f"{_quote(text)} is not {kind.words}; {kind.advice}"
    rest = split[1]
    if not rest:
        return f"{text} has no unit; {kind.advice}"
    others = [k.words for k in kinds_of(rest) if k.name != "strength"]
    others += [f"a {name}" for name in sorted(_COMPOUND) if not others and _is(plain, name)]
    if others:
        return f"{_quote(text)} is {' or '.join(others)}, not {kind.words}; {kind.advice}"
    if rest.startswith(","):
        return f"{_quote(text)} has a comma that groups no thousands; {kind.advice}"
    if kind.bare or not re.match(r"[^0-9.]", rest):
        return f"{_quote(text)} is not {kind.words}; {kind.advice}"
    names = near(rest, kind.units)
    hint = f"near names: {', '.join(names)}" if names else f"units: {', '.join(kind.units)}"
    return f'{_quote(text)} has the unknown unit "{rest}" ({hint}); {kind.advice}'


def _is(plain: str, kind: str) -> bool:
    try:
        return _compound(plain, kind_named(kind)) is not None
    except _MiswrittenError:
        return False
