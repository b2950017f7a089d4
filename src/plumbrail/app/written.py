"""Values as a plan writes them: numbers of a form, and places dragged on the site plan."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

from plumbrail.plan.outline import toml
from plumbrail.units import from_si, parse

_SIXTEENTH = Fraction("0.0254") / 16
_WIDTH = 96
_UNITS = ("mm", "cm", "km", "ft", "in", "yd", "m")
_METRIC = {"m": 3, "mm": 0, "cm": 1, "km": 6}
"""Decimals that show a millimetre."""


def literal(value: Any) -> str:
    """A value as TOML; a long list over several lines."""
    text = _plain(value)
    if len(text) <= _WIDTH or not isinstance(value, Sequence) or isinstance(value, str):
        return text
    return "[\n" + "".join(f"    {_plain(item)},\n" for item in value) + "]"


def _plain(value: Any) -> str:
    if isinstance(value, str):
        if "\n" in value or "\r" in value:
            return json.dumps(value, ensure_ascii=False)
        return toml(value)
    if isinstance(value, list | tuple):
        return "[" + ", ".join(_plain(item) for item in value) + "]"
    return toml(value)


def as_meant(value: Any, schema: Mapping[str, Any]) -> Any:
    """What a form sent, as the key wants it where that is plain: ``"4"`` for a number is 4.

    Anything else comes back as it is, for the reader to say what is wrong with it.
    """
    kind = schema.get("type")
    if isinstance(value, list) and kind == "array":
        items = schema.get("prefixItems") or [schema.get("items", {})] * len(value)
        pairs = zip(value, [*items, *[{}] * len(value)], strict=False)
        return [as_meant(v, s) for v, s in pairs]
    if kind in ("number", "integer") and isinstance(value, str):
        try:
            value = json.loads(value.strip()) if value.strip()[:1] in set("-0123456789") else value
        except ValueError:
            return value
    if kind == "integer" and isinstance(value, float) and value.is_integer():
        return int(value)
    if kind == "boolean" and value in ("true", "false"):
        return value == "true"
    return value.strip() if isinstance(value, str) and "kind" in schema else value


def place_like(metres: Sequence[float], old: Any, system: str) -> list[str]:
    """A place [x, y] in the units in which its old value was written, else those of the job.

    Rounded to 1/16 in or 1 mm; a coordinate that did not move keeps its text.
    """
    before = old if isinstance(old, list) else []
    return [
        length_like(value, before[i] if i < len(before) else None, system)
        for i, value in enumerate(metres)
    ]


def length_like(value: float, old: Any, system: str) -> str:
    """A length [m] as text in the unit of its old text."""
    was = _read(old)
    text = _in_unit(value, _unit(old, system))
    now = _read(text)
    step = float(_SIXTEENTH) if _unit(old, system) not in _METRIC else 0.001
    if was is not None and now is not None and abs(value - was) < 0.5 * step * (1 + 1e-9):
        return str(old)
    return text


def _read(text: Any) -> float | None:
    try:
        return parse(text, "length")
    except ValueError:
        return None


def _unit(old: Any, system: str) -> str:
    """The largest unit of the old text; without one that of the job."""
    found = re.findall(r"[A-Za-z]+|['\"]", old) if isinstance(old, str) else []
    plain = {"'": "ft", '"': "in", "feet": "ft", "foot": "ft", "inch": "in", "inches": "in"}
    named = plain.get(found[0], found[0]) if found else ""
    return named if named in _UNITS else "ft" if system == "us" else "m"


def _in_unit(value: float, unit: str) -> str:
    if unit in _METRIC:
        number = round(float(from_si(value, unit)), _METRIC[unit]) + 0.0
        return f"{number:.{_METRIC[unit]}f} {unit}"
    parts = math.floor(abs(Fraction(value)) / _SIXTEENTH + Fraction(1, 2))
    sign = "-" if value < 0 and parts else ""
    if unit == "in":
        return f"{sign}{_inches(parts, whole_too=True)} in"
    feet, rest = divmod(parts, 12 * 16)
    if not rest:
        return f"{sign}{feet} ft"
    inches = _inches(rest, whole_too=False)
    return f"{sign}{feet} ft {inches} in" if feet else f"{sign}{inches} in"


def _inches(parts: int, *, whole_too: bool) -> str:
    whole, rest = divmod(parts, 16)
    if not rest:
        return str(whole)
    shared = math.gcd(rest, 16)
    fraction = f"{rest // shared}/{16 // shared}"
    return f"{whole} {fraction}" if whole else fraction
