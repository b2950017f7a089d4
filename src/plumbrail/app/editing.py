"""Changes of single fields of a plan, made in its text; the last valid state stays.

Each change replaces only the letters of its own field. What the text means afterwards is compared
with what the change means, so that a slip of the editing itself can never get into a plan.
"""

from __future__ import annotations

import copy
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from plumbrail.app.meaning import meant
from plumbrail.app.messages import Change, FieldProblem
from plumbrail.app.paths import known, look, path_of, place_of
from plumbrail.app.shown import system_of
from plumbrail.app.splicing import add_item, put, take_out
from plumbrail.app.written import as_meant, place_like
from plumbrail.errors import PlanError, PlumbrailError, Problem
from plumbrail.plan.models import Plan
from plumbrail.plan.outline import Key, Part, toml
from plumbrail.plan.reader import read_plan
from plumbrail.plan.spans import Place
from plumbrail.units import parse, show

_TOML_ADVICE = re.compile(r'\b[a-z_0-9]+ = (?="|\[|-?[0-9]|true|false)')
_LIMIT = re.compile(r"(?:it must be (?:more than|at least|at most)|is beyond) ([^:;]+?)(?=[:;]|$)")
_LONGEST_WORDS = 200
_FIRST_NAME = "new"


class EditError(PlumbrailError):
    """Changes that were not made; ``problems`` stand beside their fields."""

    def __init__(self, problems: Sequence[FieldProblem]) -> None:
        self.problems = list(problems)
        super().__init__("; ".join(f"{p.path}: {p.message}" for p in problems))


@dataclass
class Edited:
    """A text under way, with what it means."""

    text: str
    data: dict[str, Any]
    units: str
    words: list[str] = field(default_factory=list)


@dataclass(frozen=True)
class Edits:
    """The new text, its plan, and what was changed in words."""

    text: str
    plan: Plan
    words: str


def edited(text: str, changes: Sequence[Change]) -> Edits:
    """The text after all changes; raises EditError when one cannot be, or the plan is invalid."""
    data = meant(text)
    now = Edited(text, data, str(look(data, ("job", "units")) or "us"))
    for change in changes:
        _make(now, change)
    try:
        plan = read_plan(now.text)
    except PlanError as error:
        raise EditError(field_problems(error.problems)) from None
    return Edits(now.text, plan, _told(now.words))


def field_problems(problems: Sequence[Problem]) -> list[FieldProblem]:
    """Problems as a form shows them: beside their field, without the writing of the file."""
    return [
        FieldProblem(path=p.path, message=_in_typed_unit(p.path, _TOML_ADVICE.sub("", p.message))
                     .replace("`", ""))
        for p in problems
    ]  # fmt: skip


def _in_typed_unit(path: str, message: str) -> str:
    """A limit in the system of units in which the value was typed."""
    place = place_of(path)
    found = None if place is None else known(place)
    typed = re.search(r'"([^"]*)" (?:will not do|is beyond)', message)
    limit = _LIMIT.search(message)
    if not (found and found[1] and typed and limit):
        return message
    kind = found[1].schema.get("kind") or _kind_in(found[1].schema)
    system = system_of(typed[1])
    if kind is None or system in ("", system_of(limit[1])) or not system_of(limit[1]):
        return message
    own = show(parse(limit[1], kind), kind, system)
    return message[: limit.start(1)] + own + message[limit.end(1) :]


def _kind_in(schema: Any) -> str | None:
    """The kind of all values of a list; None where they differ."""
    inner = [*schema.get("oneOf", []), *schema.get("prefixItems", []),
             *([schema["items"]] if isinstance(schema.get("items"), dict) else [])]  # fmt: skip
    kinds = {s.get("kind") or _kind_in(s) for s in inner}
    return kinds.pop() if len(kinds) == 1 else None


def _make(now: Edited, change: Change) -> None:
    place = place_of(change.path)
    found = None if place is None else known(place)
    if place is None or found is None:
        raise _refused(change, "the plan has no field of this name")
    asked = [change.value is not None, change.places is not None, change.remove, change.add]
    if sum(asked) != 1:
        raise _refused(change, "give one of value, places, remove and add")
    part, key, _ = found
    if change.remove:
        _remove(now, change, place)
    elif change.add:
        if key is not None:
            raise _refused(change, "only sections are added; give the field its value")
        _add(now, change, place, part)
    elif key is None:
        raise _refused(change, "this is a section; change its fields, or add or remove it")
    else:
        _set(now, change, place, key, found[2])


def _set(now: Edited, change: Change, place: Place, key: Key, inner: Place) -> None:
    old = look(now.data, place)
    if change.places is not None:
        value = _dragged(now, change, key, old, inner)
    else:
        schema: Any = key.schema
        for _ in inner:
            schema = schema.get("items", {})
        value = as_meant(change.value, schema)
    if isinstance(value, str) and len(value) > 10_000:
        raise _refused(change, "this text is too long")
    if inner and old is None:
        raise _refused(change, "the list has no such value")
    _opened(now, change, place[:-1])
    try:
        text = put(now.text, place, value)
    except ValueError:
        raise _refused(change, "this cannot be written in a plan") from None
    _told_change(now, place, old, value)
    look(now.data, place[:-1])[place[-1]] = value
    _agree(now, change, text)


def _dragged(now: Edited, change: Change, key: Key, old: Any, inner: Place) -> Any:
    places = change.places or []
    if not all(math.isfinite(v) for place in places for v in place):
        raise _refused(change, "a place is two numbers")
    one = not inner and _is_place(key)
    if one and len(places) != 1:
        raise _refused(change, "this field holds one place")
    if one:
        return place_like(places[0], old, now.units)
    before = old if isinstance(old, list) else []
    like = before[-1] if before else None
    return [
        place_like(p, before[i] if i < len(before) else _unit_of(like), now.units)
        for i, p in enumerate(places)
    ]


def _unit_of(place: Any) -> Any:
    """A place far off in the same units: a new point takes them over, not the place itself."""
    if not isinstance(place, list):
        return None
    return [re.sub(r"[0-9][0-9./ ]*(?=[A-Za-z'\"])", "999999 ", str(v), count=1) for v in place]


def _is_place(key: Key) -> bool:
    items = key.schema.get("prefixItems", [])
    return len(items) == 2 and all(i.get("kind") == "length" for i in items)


def _remove(now: Edited, change: Change, place: Place) -> None:
    if look(now.data, place) is None:
        raise _refused(change, "there is nothing of this name in the plan")
    text = take_out(now.text, place)
    del look(now.data, place[:-1])[place[-1]]
    now.words.append(f"{path_of(place)}: taken out")
    _agree(now, change, text)


def _add(now: Edited, change: Change, place: Place, part: Part) -> None:
    """A section as the starter plan has it; ``trees`` adds the next tree, ``trees[3]`` too."""
    there = look(now.data, place)
    if part.many == "list":
        items = look(now.data, part.path) or []
        if isinstance(place[-1], int) and place[-1] != len(items):
            raise _refused(change, f"the next one is {path_of((*part.path, len(items)))}")
        place = (*part.path, len(items))
    elif part.many == "named" and place == part.path:
        place = (*place, _free_name(there if isinstance(there, dict) else {}, part.example_name))
    elif there is not None:
        raise _refused(change, "the plan has this section already")
    data = _apart(now, part)
    text = add_item(now.text, place, data)
    _hold(now.data, place, data)
    now.words.append(f"{path_of(place)}: added")
    _agree(now, change, text)


def _apart(now: Edited, part: Part) -> dict[str, Any]:
    """The example of a section; a thing of the site gets a name that no other thing has."""
    data = copy.deepcopy(part.example())
    if part.many == "list" and isinstance(data.get("name"), str):
        taken = set(_names(now.data.get("site", {})))
        data["name"] = _free_name(dict.fromkeys(taken), data["name"])
    return data


def _names(data: Any) -> list[str]:
    if isinstance(data, list):
        return [name for item in data for name in _names(item)]
    if isinstance(data, dict):
        own = [data["name"]] if isinstance(data.get("name"), str) else []
        return own + [name for item in data.values() for name in _names(item)]
    return []


def _free_name(taken: dict[str, Any], wanted: str) -> str:
    wanted = wanted or _FIRST_NAME
    names = (wanted, *(f"{wanted} {n}" for n in range(2, len(taken) + 3)))
    return next(name for name in names if name not in taken)


def _opened(now: Edited, change: Change, section: Place) -> None:
    """The section of a field is there, or may begin with this field."""
    if not section or look(now.data, section) is not None:
        return
    if any(isinstance(step, int) for step in section):
        raise _refused(change, "the list has no such item")
    _hold(now.data, section, {})


def _hold(data: Any, place: Place, value: Any) -> None:
    """Put a value at a place, with the sections around it; a list's next item is appended."""
    for i, step in enumerate(place[:-1]):
        if isinstance(step, int):
            data = data[step]
        else:
            data = data.setdefault(step, [] if isinstance(place[i + 1], int) else {})
    if isinstance(data, list):
        data.append(copy.deepcopy(value))
    else:
        data[place[-1]] = copy.deepcopy(value)


def _agree(now: Edited, change: Change, text: str) -> None:
    """The text means what the change means, or the change is refused."""
    try:
        means = meant(text)
    except ValueError:
        means = {}
    if means != _without_empty(now.data) and means != now.data:
        raise _refused(change, "this plan is written in a way that cannot be edited field by field "
                       "here; change it in the file and take the file in")  # fmt: skip
    now.text, now.data = text, means


def _without_empty(data: dict[str, Any]) -> dict[str, Any]:
    """Sections whose last item or key was taken out are not written."""
    found = {}
    for key, value in data.items():
        inner = _without_empty(value) if isinstance(value, dict) else value
        if inner not in ({}, []):
            found[key] = inner
    return found


def _told_change(now: Edited, place: Place, old: Any, value: Any) -> None:
    before = "nothing" if old is None else _short(old)
    now.words.append(f"{path_of(place)}: {before} to {_short(value)}")


def _short(value: Any) -> str:
    text = value if isinstance(value, str) else toml(value)
    return text if len(text) <= 40 else f"{text[:39]}…"


def _told(words: list[str]) -> str:
    told = "; ".join(words)
    return told if len(told) <= _LONGEST_WORDS else f"{told[: _LONGEST_WORDS - 1]}…"


def _refused(change: Change, words: str) -> EditError:
    return EditError([FieldProblem(path=change.path[:400], message=words)])
