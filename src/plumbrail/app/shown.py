"""What a plan says in other units than those of its job, shown in them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from plumbrail.app.paths import path_of
from plumbrail.errors import QuantityError
from plumbrail.plan.outline import Part, outline
from plumbrail.plan.spans import Place
from plumbrail.units import parse, show

_US_WORDS = """
ft in yd mi lbf kip psf psi ksi plf lb ton mph degF pcf gal ft2 in2 in3 in4 ft3 yd3 ' "
lb/ft kip/ft lbf/in psf/ft lb/ft3
"""
_METRIC_WORDS = """
m mm cm km N kN Pa kPa MPa GPa kg g t m/s km/h degC m2 mm2 m3 mm3 m4 mm4 L kg/m kg/m3
N/m kN/m Pa/m kPa/m N/m3 kN/m3
"""
_US, _METRIC = frozenset(_US_WORDS.split()), frozenset(_METRIC_WORDS.split())
_WORD = re.compile(r"[A-Za-z][A-Za-z0-9/*]*|['\"]")


def shown(data: Mapping[str, Any], units: str) -> dict[str, str]:
    """Path to the value in the units of the job, where the plan writes it in others."""
    other = _METRIC if units == "us" else _US
    found = {}
    for place, kind, value in _quantities(outline(), data, ()):
        if not other & set(_WORD.findall(value)):
            continue
        try:
            found[path_of(place)] = show(parse(value, kind), kind, units)
        except (QuantityError, ValueError):
            continue
    return found


def system_of(text: str) -> str:
    """us or metric by the units of a text; empty where they belong to both or there are none."""
    words = set(_WORD.findall(text))
    return "us" if words & _US else "metric" if words & _METRIC else ""


def _quantities(part: Part, data: Any, place: Place) -> Iterator[tuple[Place, str, str]]:
    """Every text of a plan that is a quantity, with its place and kind."""
    if not isinstance(data, Mapping):
        return
    for key in part.keys:
        yield from _values(key.schema, data.get(key.name), (*place, key.name))
    for inner in part.parts:
        name = inner.path[-1]
        held = data.get(name)
        if inner.many == "list" and isinstance(held, list):
            for i, item in enumerate(held):
                yield from _quantities(inner, item, (*place, name, i))
        elif inner.many == "named" and isinstance(held, Mapping):
            for own, item in held.items():
                yield from _quantities(inner, item, (*place, name, own))
        else:
            yield from _quantities(inner, held, (*place, name))


def _values(
    schema: Mapping[str, Any], value: Any, place: Place
) -> Iterator[tuple[Place, str, str]]:
    if isinstance(value, str) and "kind" in schema:
        yield place, schema["kind"], value
    elif isinstance(value, str) and "oneOf" in schema:
        yield place, schema["oneOf"][0]["kind"], value
    elif isinstance(value, list):
        if "oneOf" in schema:
            schema = next((s for s in schema["oneOf"] if s.get("type") == "array"), {})
        items = schema.get("prefixItems") or [schema.get("items", {})] * len(value)
        for i, (one, item) in enumerate(zip(items, value, strict=False)):
            yield from _values(one, item, (*place, i))
