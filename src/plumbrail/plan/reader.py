"""The door of the plan file: text in, a plan or every problem with its place out."""

from __future__ import annotations

import copy
import hashlib
import os
import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from plumbrail.errors import PlanError, Problem
from plumbrail.plan.models import Plan
from plumbrail.plan.outline import part_at
from plumbrail.plan.spans import Place
from plumbrail.plan.syntax import Reading, read_toml
from plumbrail.plan.wording import Fault, fault, meant, message


@dataclass(frozen=True, slots=True)
class LoadedPlan:
    """A plan with the text it was read from."""

    plan: Plan
    text: str
    sha256: str
    """Checksum of the bytes of the file."""
    source: str


def load_plan(path: str | Path) -> LoadedPlan:
    """Read a plan file; raises PlanError for a bad plan and for a file that cannot be read."""
    source = os.fsencode(path).decode("utf-8", "replace")
    try:
        raw = Path(path).read_bytes()
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        words = "this is not UTF-8 text; save the plan as plain text in UTF-8"
        raise PlanError([Problem("", words, line)], source) from None
    except (OSError, ValueError) as error:
        raise PlanError([Problem("", f"{source}: {_file_words(error)}")], source) from None
    return LoadedPlan(read_plan(text, source), text, hashlib.sha256(raw).hexdigest(), source)


def read_plan(text: str, source: str = "plan") -> Plan:
    """The plan that ``text`` describes; raises PlanError with every problem found."""
    reading = read_toml(text.removeprefix("\ufeff"))
    problems = list(reading.problems)
    if reading.data is not None:
        try:
            plan = Plan.model_validate(reading.data)
        except ValidationError as error:
            problems += _problems(error, reading)
        else:
            if not problems:
                return plan
    raise PlanError(_in_order(problems), source)


def locate_problems(problems: Iterable[Problem], text: str) -> list[Problem]:
    """Problems found later, in a plan that was read from ``text``, with their lines added."""
    lines = read_toml(text).lines
    return [
        problem if problem.line else replace(problem, line=_line(_place(problem.path), lines))
        for problem in problems
    ]


def _place(path: str) -> Place:
    """The place that ``frame.braces[1].low`` names."""
    steps = re.finditer(r'\[([0-9]+)\]|"((?:[^"\\]|\\.)*)"|([^.\[\]"]+)', path)
    return tuple(int(s[1]) - 1 if s[1] else s[2] or s[3] for s in steps)


def _problems(error: ValidationError, reading: Reading) -> list[Problem]:
    data = reading.data or {}
    first = [fault(e, data) for e in error.errors(include_url=False)]
    faults = first + _hidden(first, data)
    meant_already = {(f.section, meant(f)) for f in faults if f.kind == "extra_forbidden"}
    bad_items = {
        f.place[:i] for f in faults for i, step in enumerate(f.place) if isinstance(step, int)
    }
    return [
        Problem(f.path, message(f), _line(f.place, reading.lines))
        for f in faults
        if not _explained(f, reading.aside)
        and not (f.kind == "missing" and (f.place[:-1], f.place[-1]) in meant_already)
        # to pydantic a list is also too short when its only items are bad
        and not (f.kind == "too_short" and f.place in bad_items)
    ]


def _hidden(first: list[Fault], data: dict[str, Any]) -> list[Fault]:
    """Faults of whole sections that pydantic does not look for while a part of them is bad.

    Every bad section gives way to its example, then the sections around them can be judged.
    """
    mended = copy.deepcopy(data)
    bad = {f.section for f in first}
    for place in sorted(bad - {()}, key=len, reverse=True):
        _give_way(mended, place)
    for f in first:
        if f.section == () and f.kind == "extra_forbidden":
            mended.pop(str(f.place[-1]), None)
    try:
        Plan.model_validate(mended)
    except ValidationError as error:
        later = [fault(e, mended) for e in error.errors(include_url=False)]
        return [f for f in later if f.kind == "value_error" and f.place not in bad and not f.key]
    return []


def _give_way(data: dict[str, Any], place: Place) -> None:
    """Put the example of the section at ``place`` there; for a whole collection, an empty one."""
    part = part_at(place)
    holder: Any = data
    for step in place[:-1]:
        holder = holder[step]
    if part is None:
        return
    if part.many and part_at(place[:-1]) is not part:
        holder[place[-1]] = [] if part.many == "list" else {}
    else:
        example = part.example()
        if part.many == "list" and "name" in example:  # two examples would bear one name
            bad = holder[place[-1]]
            own = bad.get("name") if isinstance(bad, dict) else None
            told_apart = f"{example['name']} {place[-1]}"
            example["name"] = own if own and isinstance(own, str) else told_apart
        holder[place[-1]] = example


def _explained(f: Fault, aside: set[tuple[Place, str]]) -> bool:
    """The fault only follows from a line that was put aside and has its own problem."""
    if f.kind == "missing":
        return (f.names[:-1], f.names[-1]) in aside or (f.names[:-1], "") in aside
    return f.kind == "value_error" and f.key is None and f.names in {s for s, _ in aside}


def _line(place: Place, lines: dict[Place, int]) -> int | None:
    """Line of the place, or of the nearest section around it that is written."""
    around = (place[:size] for size in range(len(place), 0, -1))
    return next((lines[p] for p in around if p in lines), None)


def _in_order(problems: list[Problem]) -> list[Problem]:
    unique = dict.fromkeys(problems)
    return sorted(unique, key=lambda p: (p.line is None, p.line or 0, p.path))


def _file_words(error: Exception) -> str:
    words = {
        FileNotFoundError: "there is no such file; write a new plan with `plumbrail new`",
        IsADirectoryError: "this is a folder; name the plan file inside it",
        PermissionError: "this file may not be read; change its permissions",
    }
    return words.get(type(error), "this file cannot be opened; check its name")  # type: ignore[arg-type]
