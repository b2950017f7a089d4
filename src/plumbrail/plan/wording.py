"""Turning what the models object to into problems with a place and a builder's words."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

from pydantic_core import ErrorDetails

from plumbrail.plan.outline import Key, Part, outline, part_at, toml
from plumbrail.plan.spans import Place

_LONGEST = 40


@dataclass(frozen=True)
class Fault:
    """One objection of the models: where in the data, what kind, about what."""

    place: Place
    kind: str
    value: Any
    message: str

    @property
    def names(self) -> tuple[str, ...]:
        """The place without the numbers of list items."""
        return tuple(step for step in self.place if isinstance(step, str))

    @property
    def section(self) -> Place:
        """Place of the section that the fault lies in."""
        keys = [i for i, step in enumerate(self.place) if part_at(self.place[: i + 1]) is None]
        return self.place[: keys[0]] if keys else self.place

    @property
    def part(self) -> Part:
        """The section that the fault lies in."""
        return part_at(self.section) or outline()

    @property
    def key(self) -> Key | None:
        """The key it is about; None when it is about the whole section or an unknown key."""
        rest = self.place[len(self.section) :]
        return self.part.key(str(rest[0])) if rest else None

    @property
    def path(self) -> str:
        """``frame.braces[1].low``, counted from 1; items of a plain list are in the message."""
        steps = (_step(step) for step in self.place[: len(self.section) + 1])
        return "".join(steps).removeprefix(".")


def fault(error: ErrorDetails, data: Mapping[str, Any]) -> Fault:
    """A pydantic error as a fault, without the steps that only pydantic knows."""
    place: list[str | int] = []
    here: Any = data
    for step in error["loc"]:
        if isinstance(here, Mapping):
            if step not in here and error["type"] != "missing":
                continue
            place.append(step)
            here = here.get(step)
        elif isinstance(here, list) and isinstance(step, int):
            place.append(step)
            here = here[step] if step < len(here) else None
    cause = error.get("ctx", {}).get("error")
    return Fault(tuple(place), error["type"], error["input"], str(cause or error["msg"]))


def message(fault: Fault) -> str:
    """What is wrong and what to write."""
    if fault.kind == "extra_forbidden":
        return _unknown(fault)
    if fault.kind == "missing" and isinstance(fault.place[-1], str):
        return _missing(fault)
    if fault.kind == "value_error":
        return _item(fault) + fault.message
    if fault.key is None:
        return _wrong_section(fault)
    return _item(fault) + _wrong_value(fault, fault.key)


def meant(fault: Fault) -> str | None:
    """The name that an unknown key or section of its own section was probably meant to be."""
    known = [k.name for k in fault.part.keys] + [p.path[-1] for p in fault.part.parts]
    return _near(str(fault.place[-1]), known)


def _near(name: str, known: Iterable[str]) -> str | None:
    plain = re.sub(r"[\s-]+", "_", name.strip().lower())
    return next(iter(get_close_matches(plain, list(known), 1, 0.7)), None)


def _step(step: str | int) -> str:
    if isinstance(step, int):
        return f"[{step + 1}]"
    return f".{step}" if re.fullmatch(r"[A-Za-z0-9_-]+", step) else f".{toml(step)}"


def _unknown(fault: Fault) -> str:
    name = str(fault.place[-1])
    what = "section" if isinstance(fault.value, Mapping) else "key"
    near = meant(fault)
    homes = [f"in {part.header}" for part in outline().walk() if part.key(name)]
    homes += [f"under {p.header}" for p in outline().walk() if p.path and p.path[-1] == name]
    hints = [f"did you mean `{near}`?"] if near else []
    if homes:
        hints.append(f"it belongs {_either(homes)}")
    elif not near:
        hints.append(_far_hint(name, fault.part))
    return f"unknown {what} `{name}`; {'; '.join(hints)}"


def _far_hint(name: str, part: Part) -> str:
    """Nearest key anywhere in the plan, or else what the section knows."""
    near = _near(name, sorted({key.name for p in outline().walk() for key in p.keys}))
    if near:
        homes = [p.header for p in outline().walk() if p.key(near)]
        return f"did you mean `{near}`, which belongs in {_either(homes)}?"
    known = [k.name for k in part.keys] + [p.path[-1] for p in part.parts]
    return f"known here: {', '.join(known)}"


def _missing(fault: Fault) -> str:
    if fault.key is not None:
        return f"missing; write for example {fault.key.example_line} ({fault.key.description})"
    needed = [k.name for k in fault.part.keys if k.required or k.in_starter]
    lines = f" with {_either(needed, 'and')}" if needed else ""
    inner = [p.header for p in fault.part.walk()[1:] if p.required and p.keys]
    heads = _either(inner or [fault.part.header], "and") if not lines else fault.part.header
    return f"this section is missing; write {heads}{lines}"


def _wrong_section(fault: Fault) -> str:
    header = fault.part.header
    if isinstance(fault.value, Mapping) and fault.part.many == "list":
        return f"write the header with double brackets: {header}"
    if isinstance(fault.value, list) and fault.part.many != "list":
        return f"write the header with single brackets: {header}"
    return f"this is a section; put its lines under the header {header}"


def _wrong_value(fault: Fault, key: Key) -> str:
    example = f"; write for example {key.example_line}"
    if isinstance(fault.value, Mapping):
        return f"this is one line, not a section{example}"
    whole = fault.kind in ("missing", "too_short", "too_long", "tuple_type")
    if whole and isinstance(fault.value, Sequence) and not isinstance(fault.value, str):
        count = len(fault.value)
        has = f"{count} value" if count == 1 else f"{count} values"
        return f"this list has {has}; needed is {key.words}{example}"
    wanted = f"{_show(fault.value)} will not do; needed is {key.words}"
    return f"{wanted}{_hint(fault.value, key)}"


def _hint(value: Any, key: Key) -> str:
    """The very line to write when it can be guessed, or else an example."""
    choices = key.schema.get("enum", [key.schema["const"]] if "const" in key.schema else [])
    same = [c for c in choices if str(c).lower() == str(value).strip().lower()]
    near = same or get_close_matches(str(value), [c for c in choices if isinstance(c, str)], 1)
    if near:
        return f"; write {key.name} = {toml(near[0])}"
    if isinstance(value, str) and key.schema.get("type") in ("number", "integer", "boolean"):
        bare = value.strip().lower()
        if re.fullmatch(r"-?[0-9]+(\.[0-9]+)?|true|false", bare):
            return f", without quotes; write {key.name} = {bare}"
    if key.schema.get("type") == "string" and isinstance(value, int | float) and not choices:
        return f' in quotes; write {key.name} = "{_show(value)}"'
    return "" if choices else f"; write for example {key.example_line}"


def _item(fault: Fault) -> str:
    """Which value of a list the message is about."""
    numbers = [s + 1 for s in fault.place[len(fault.section) :] if isinstance(s, int)]
    if fault.kind == "missing":
        numbers = numbers[:-1]
    where = " of value ".join(str(n) for n in reversed(numbers))
    return f"value {where} of the list: " if numbers else ""


def _show(value: Any) -> str:
    text = toml(value) if isinstance(value, str | bool | int | float) else str(value)
    return text if len(text) <= _LONGEST else f"{text[:_LONGEST]}…"


def _either(names: Sequence[str], last: str = "or") -> str:
    head = ", ".join(names[:-1])
    return f"{head} {last} {names[-1]}" if head else names[-1]
