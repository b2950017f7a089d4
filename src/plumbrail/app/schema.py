"""GET /api/schema: every section and field of the plan as a form needs it, read off the models."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any

from plumbrail.plan.outline import Key, Part, outline, toml
from plumbrail.units import KINDS

_SPELLED = {
    "pmax": "Rated power", "voc": "Open-circuit voltage", "isc": "Short-circuit current",
    "vmp": "Voltage at rated power", "imp": "Current at rated power",
    "voc_coefficient": "Change of voltage with temperature",
    "isc_coefficient": "Change of current with temperature",
    "pmax_coefficient": "Change of power with temperature",
    "seismic_sds": "Seismic S_DS", "noct": "Cell temperature in the standard test",
    "at": "Place", "us": "US design basis", "pin_1": "Pin 1", "pin_2": "Pin 2",
}  # fmt: skip
"""Labels of names that do not say what they are."""
_LIMITS = {
    "above": "more than", "exclusiveMinimum": "more than", "least": "at least",
    "minimum": "at least", "exclusiveMaximum": "less than", "most": "at most",
    "maximum": "at most", "slip": "not beyond",
}  # fmt: skip
_ASKING = ("ask ", "from the ", "read ", "measure", "sight", "off the ", "letter", "map")


@cache
def schema() -> dict[str, Any]:
    """Sections in the order of the plan, each with its fields."""
    parts = [p for p in outline().walk() if p.path]
    return {"sections": [_section(p) for p in parts], "kinds": _kinds()}


def label(name: str) -> str:
    """``wind_speed`` as people say it: Wind speed."""
    words = name.replace("_", " ")
    return _SPELLED.get(name, words[:1].upper() + words[1:])


def _kinds() -> dict[str, Any]:
    """What a form needs to know of each kind of quantity, its units too."""
    return {
        name: {"words": k.words, "units": list(k.units), "examples": list(k.examples),
               "bare": k.bare}
        for name, k in KINDS.items()
    }  # fmt: skip


def _section(part: Part) -> dict[str, Any]:
    return {
        "path": list(part.path), "title": label(part.path[-1]), "many": part.many,
        "required": part.required, "text": part.text, "example_name": part.example_name,
        "keys": [_key(k) for k in part.keys],
    }  # fmt: skip


def _key(key: Key) -> dict[str, Any]:
    schema_ = key.schema
    text, where = _where(key.description)
    return {
        "name": key.name, "label": label(key.name), "kind": _kind(schema_),
        "unit_kind": schema_.get("kind", ""),
        "choices": _choices(schema_), "required": key.required, "description": text,
        "where": where, "words": key.words, "examples": [_shown(e) for e in key.examples],
        "default": key.default, "limits": _limits(schema_),
        "items": _items(schema_), "starter": key.in_starter,
        "least": schema_.get("minLength") or schema_.get("minItems"),
        "most": schema_.get("maxLength") or schema_.get("maxItems"),
    }  # fmt: skip


def _kind(schema_: Mapping[str, Any]) -> str:
    """quantity, number, count, text, choice, flag, day, place, places, list or one-or-list."""
    if "oneOf" in schema_:
        return "one-or-list"
    if "anyOf" in schema_:  # a number or a word: the field takes what is a number as one
        return "number"
    if "enum" in schema_ or "const" in schema_:
        return "choice"
    if "kind" in schema_:
        return "quantity"
    if schema_.get("type") == "array":
        return "place" if _place(schema_) else "places" if _place(_of(schema_)) else "list"
    if schema_.get("format") == "date":
        return "day"
    plain = {"number": "number", "integer": "count", "boolean": "flag"}
    return plain.get(schema_.get("type", ""), "text")


def _of(schema_: Mapping[str, Any]) -> Mapping[str, Any]:
    """Schema of the items of a list whose items are alike."""
    items = schema_.get("items")
    return items if isinstance(items, Mapping) else {}


def _place(schema_: Mapping[str, Any]) -> bool:
    items = schema_.get("prefixItems", [])
    return len(items) == 2 and all(i.get("kind") == "length" for i in items)


def _items(schema_: Mapping[str, Any]) -> list[dict[str, Any]]:
    """What the values of a list are: one entry for each where they differ, else a single one."""
    if "oneOf" in schema_:
        return [i for one in schema_["oneOf"] for i in ([_item(one)] if "kind" in one else
                                                        _items(one))]  # fmt: skip
    found = schema_.get("prefixItems") or ([schema_["items"]] if _of(schema_) else [])
    return [_item(s) for s in found]


def _item(schema_: Mapping[str, Any]) -> dict[str, Any]:
    return {"kind": _kind(schema_), "unit_kind": schema_.get("kind", ""),
            "choices": _choices(schema_), "limits": _limits(schema_),
            "items": _items(schema_)}  # fmt: skip


def _choices(schema_: Mapping[str, Any]) -> list[Any]:
    return list(schema_.get("enum", [schema_["const"]] if "const" in schema_ else []))


def _limits(schema_: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Each limit as the plan's own text, and in words: at most 60 deg."""
    return [
        {"is": say, "value": schema_[name], "words": f"{say} {schema_[name]}"}
        for name, say in _LIMITS.items() if name in schema_
    ]  # fmt: skip


def _shown(value: Any) -> str:
    return value if isinstance(value, str) else toml(value)


def _where(description: str) -> tuple[str, str]:
    """What it is, and the sentences on where to find it."""
    sentences = description.replace(". ", ".\0").split("\0")
    found = [s for s in sentences[1:] if any(word in s.lower() for word in _ASKING)]
    rest = [s for s in sentences if s not in found]
    return " ".join(rest), " ".join(found)
