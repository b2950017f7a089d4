"""Paths of plan fields as problems name them: ``site.shade.trees[1].at``, counted from 1."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from plumbrail.plan.outline import Key, Part, outline, toml
from plumbrail.plan.spans import Place

_STEP = re.compile(r'\[([0-9]{1,6})\]|(?:^|\.)(?:"((?:[^"\\]|\\.)*)"|([A-Za-z0-9_-]+))')
LONGEST = 400


def place_of(path: str) -> Place | None:
    """The place that a path names; None for text that is no path."""
    place: list[str | int] = []
    at = 0
    while at < len(path):
        step = _STEP.match(path, at)
        if step is None or len(path) > LONGEST:
            return None
        if step[1] is not None:
            place.append(int(step[1]) - 1)
        else:
            quoted = step[2]
            place.append(re.sub(r"\\(.)", r"\1", quoted) if quoted is not None else step[3])
        at = step.end()
    if any(isinstance(step, int) and step < 0 for step in place):
        return None
    return tuple(place) or None


def path_of(place: Iterable[str | int]) -> str:
    """The path of a place."""
    return "".join(_step(step) for step in place).removeprefix(".")


def _step(step: str | int) -> str:
    if isinstance(step, int):
        return f"[{step + 1}]"
    return f".{step}" if re.fullmatch(r"[A-Za-z0-9_-]+", step) else f".{toml(step)}"


def known(place: Place) -> tuple[Part, Key | None, Place] | None:
    """The section of a place, its key (None for a section itself) and the steps into its value.

    None when the plan has no such section or key.
    """
    part, steps = outline(), list(place)
    while steps:
        inner = part.part(str(steps[0])) if isinstance(steps[0], str) else None
        if inner is None:
            break
        steps.pop(0)
        part = inner
        if inner.many and steps:
            if isinstance(steps[0], int) is not (inner.many == "list"):
                return None
            steps.pop(0)
    if not steps:
        return part, None, ()
    key = part.key(str(steps[0])) if isinstance(steps[0], str) else None
    if key is None or not all(isinstance(step, int) for step in steps[1:]):
        return None
    return part, key, tuple(steps[1:])


def look(data: Any, place: Iterable[str | int]) -> Any:
    """What plain data holds at a place; None where there is nothing, also inside a text."""
    for step in place:
        if isinstance(data, str):
            return None
        try:
            data = data[step]
        except (KeyError, IndexError, TypeError):
            return None
    return data
