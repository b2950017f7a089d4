"""The plan as a tree of sections and keys, read off the models.

The reader's advice, the starter plan and the reference page all come from here, so that they
cannot drift from what the models accept.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import tomlkit

from plumbrail.plan.models import Plan
from plumbrail.units import KINDS

Schema = Mapping[str, Any]


@dataclass(frozen=True)
class Key:
    """One line of a section."""

    name: str
    schema: Schema
    """JSON schema of what is written, without the choice to leave it out."""
    required: bool
    description: str
    examples: tuple[Any, ...]
    default: Any
    """As it is written in a plan; None when there is none."""
    in_starter: bool

    @property
    def example(self) -> Any:
        """The value in the starter plan; where there is a default, that."""
        return self.examples[0]

    @property
    def example_line(self) -> str:
        """``wind_speed = "105 mph"``."""
        return f"{self.name} = {toml(self.example)}"

    @property
    def words(self) -> str:
        """What to write, in words."""
        return words(self.schema)


@dataclass(frozen=True)
class Part:
    """One section, with the sections inside it."""

    path: tuple[str, ...]
    many: str
    """``""`` one section, ``"list"`` ``[[braces]]``, ``"named"`` ``[tubes."a name"]``."""
    required: bool
    text: str
    example_name: str
    keys: tuple[Key, ...]
    parts: tuple[Part, ...]

    @property
    def header(self) -> str:
        """``[site.ground]``, ``[[frame.braces]]`` or ``[frame.tubes."a name"]``."""
        dotted = ".".join(self.path)
        if self.many == "list":
            return f"[[{dotted}]]"
        return f"[{dotted}.{_bare(self.example_name)}]" if self.many == "named" else f"[{dotted}]"

    def key(self, name: str) -> Key | None:
        """The key called ``name``."""
        return next((k for k in self.keys if k.name == name), None)

    def part(self, name: str) -> Part | None:
        """The section inside this one called ``name``."""
        return next((p for p in self.parts if p.path[-1] == name), None)

    def walk(self) -> list[Part]:
        """This section and every one inside it, in the order of the plan."""
        return [self, *(inner for part in self.parts for inner in part.walk())]

    def example(self) -> dict[str, Any]:
        """The section as the starter plan states it, as plain TOML data."""
        keys = {k.name: k.example for k in self.keys if k.required or k.in_starter}
        return keys | {p.path[-1]: p.example() for p in self.parts if p.required}


@cache
def outline() -> Part:
    """The whole plan; its own path is empty."""
    schema = Plan.model_json_schema()
    return _part((), schema, schema["$defs"], required=True)


def part_at(place: Sequence[str | int]) -> Part | None:
    """The section at a place such as ``("frame", "braces", 0)``; None when it is none."""
    part, steps = outline(), list(place)
    while steps:
        inner = part.part(str(steps.pop(0)))
        if inner is None:
            return None
        if inner.many and steps:
            steps.pop(0)
        part = inner
    return part


def toml(value: Any) -> str:
    """A plain value as it is written in a plan."""
    return str(tomlkit.item(value).as_string())


def _bare(name: str) -> str:
    """A name as it stands in a header, in quotes only where TOML needs them."""
    return name if re.fullmatch(r"[A-Za-z0-9_-]+", name) else toml(name)


def words(schema: Schema) -> str:
    """What to write for a JSON schema of one value."""
    if several := schema.get("oneOf", schema.get("anyOf")):
        return ", or ".join(words(s) for s in several)
    if "const" in schema or "enum" in schema:
        return _either([toml(v) for v in schema.get("enum", [schema.get("const")])])
    if "kind" in schema:
        return f"{KINDS[schema['kind']].words}{_limits(schema)}"
    if schema["type"] == "array":
        return _list_words(schema)
    if schema["type"] in ("number", "integer"):
        plain = "a number" if schema["type"] == "number" else "a whole number"
        return f"{plain}{_limits(schema)}"
    if schema.get("format") == "date":
        return "a day, year-month-day"
    if schema["type"] == "string":
        return f"text{_size(schema)}"
    return "true or false"


def _size(schema: Schema) -> str:
    """How long a text must and may be, where that needs saying."""
    least, most = schema.get("minLength", 0), schema.get("maxLength")
    stated = [f"at least {least} letters"] if least > 1 else []
    stated += [f"at most {most} letters"] if most else []
    return ", " + " and ".join(stated) if stated else ""


def _list_words(schema: Schema) -> str:
    if "prefixItems" in schema:
        each = [words(item) for item in schema["prefixItems"]]
        if len(set(each)) > 1:
            return f"a list of {' and '.join(each)}"
        return f"a list of {len(each)}, each {each[0]}"
    return f"a list, each {words(schema['items'])}"


def _limits(schema: Schema) -> str:
    names = {
        "above": "more than", "exclusiveMinimum": "more than",
        "least": "at least", "minimum": "at least",
        "exclusiveMaximum": "less than", "most": "at most", "maximum": "at most",
    }  # fmt: skip
    stated = [f"{say} {_plain(schema[name])}" for name, say in names.items() if name in schema]
    return ", " + " and ".join(stated) if stated else ""


def _plain(limit: str | float) -> str:
    return limit if isinstance(limit, str) else f"{limit:,.10g}".replace(",", " ")


def _either(choices: list[str]) -> str:
    return " or ".join(filter(None, [", ".join(choices[:-1]), choices[-1]]))


def _part(
    path: tuple[str, ...], schema: Schema, defs: Schema, *,
    required: bool, many: str = "", text: str = "", example_name: str = "",
) -> Part:  # fmt: skip
    keys: list[Key] = []
    parts: list[Part] = []
    for name, entry in schema["properties"].items():
        needed = name in schema.get("required", [])
        inner, inner_many = _section(entry, defs)
        if inner is None:
            keys.append(_key(name, entry, needed))
            continue
        named = entry.get("examples", [""])[0]
        parts.append(
            _part((*path, name), inner, defs, required=needed, many=inner_many,
                  text=entry.get("description", ""), example_name=named)
        )  # fmt: skip
    about = text or schema.get("description", "")
    return Part(path, many, required, about, example_name, tuple(keys), tuple(parts))


def _section(entry: Schema, defs: Schema) -> tuple[Schema | None, str]:
    """The section that an entry holds, and how many of it; None for a plain key."""
    bare = _without_null(entry)
    for holder, many in ((bare, ""), (bare.get("items"), "list"),
                         (bare.get("additionalProperties"), "named")):  # fmt: skip
        if isinstance(holder, Mapping) and "$ref" in holder:
            return defs[holder["$ref"].rpartition("/")[2]], many
    return None, ""


def _without_null(entry: Schema) -> Schema:
    choices = [s for s in entry.get("anyOf", []) if s.get("type") != "null"]
    return choices[0] if len(choices) == 1 else entry


def _key(name: str, entry: Schema, required: bool) -> Key:
    return Key(
        name, _without_null(entry), required, entry["description"], tuple(entry["examples"]),
        entry.get("default"), entry.get("starter", False),
    )  # fmt: skip
