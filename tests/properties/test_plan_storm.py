"""Every key of the plan mistyped one at a time: refused with its field, or worked out soundly.

A fixed sample of a far larger storm, so that it ends in seconds and always asks the same.
"""

from __future__ import annotations

import copy
import hashlib
import math
import tomllib
from collections.abc import Iterator
from typing import Any

import pytest
import tomlkit

from plumbrail.check import Status
from plumbrail.errors import PlanError, PlumbrailError
from plumbrail.jobs.designing import analyse, first_saw, judged
from plumbrail.jobs.staking import staking
from plumbrail.jobs.wiring import wiring
from plumbrail.plan.demos import demo_text
from plumbrail.plan.outline import part_at
from plumbrail.plan.reader import LoadedPlan, read_plan

Place = tuple[str | int, ...]

WRONG = (
    True, 42, -3.5, "", "   ", [], {}, [[[]]], math.nan, math.inf, 2**62, "banana", "10 kg", "3 ft",
    "3,2 m", "1e3 ft", "10' 6 1/2\"", "10′ 6½″", "１２ m",
    "1/0 in", "nan ft", "1e999 ft", "x" * 5000,
    "a\x1b[31m", "a\nb", "../../etc", "[b]x[/b] <b>&amp;", "42",
)  # fmt: skip
TIMES = (-1.0, 0.0, 1e-9, 0.1, 1 / 3, 3.0, 10.0, 100.0, 1000.0)


def chance(text: str) -> int:
    """The same number for the same text, on every machine."""
    return int(hashlib.sha256(text.encode()).hexdigest(), 16)


def places(value: Any, place: Place = ()) -> Iterator[tuple[Place, Any]]:
    """Every key of a plan with what it says."""
    for key, held in value.items() if isinstance(value, dict) else enumerate(value):
        inner = isinstance(held, dict) or (isinstance(held, list) and held and
                                           isinstance(held[0], dict))  # fmt: skip
        if inner:
            yield from places(held, (*place, key))
        else:
            yield (*place, key), held


def changed(data: dict[str, Any], place: Place, value: Any) -> dict[str, Any]:
    """A copy of the plan with another value there; ``...`` takes the key out."""
    new = copy.deepcopy(data)
    holder: Any = new
    for step in place[:-1]:
        holder = holder[step]
    if value is ...:
        del holder[place[-1]]
    else:
        holder[place[-1]] = value
    return new


def scaled(value: Any) -> Iterator[Any]:
    """The value many times larger and smaller, with the unit that it is written in."""
    if isinstance(value, bool):
        yield not value
    elif isinstance(value, int | float):
        yield from (type(value)(value * k) for k in TIMES)
    elif isinstance(value, list):
        yield from (value[:-1], value + value[-1:], value[::-1], value[:1] * len(value))
    elif isinstance(value, str):
        number, _, unit = value.partition(" ")
        try:
            yield from (f"{float(number) * k:.9g} {unit}" for k in TIMES)
        except ValueError:
            return


def slips(base: str) -> list[tuple[str, dict[str, Any]]]:
    """Mistyped plans by name, in an order that is the same every time."""
    data = tomllib.loads(demo_text(base))
    found = []
    for place, value in places(data):
        for n, wrong in enumerate((..., *WRONG, *scaled(value))):
            found.append((f"{base} {'.'.join(map(str, place))} {n}", place, wrong))
    found.sort(key=lambda slip: chance(slip[0]))
    return [(name, changed(data, place, wrong)) for name, place, wrong in found[:120]]


def soundly(loaded: LoadedPlan) -> None:
    """Worked out without a warning, with numbers that are numbers; or refused in words."""
    try:
        made = analyse(loaded)
        checks = judged(loaded, made, first_saw(made, 2.0), replayed=False).checks.checks
        if loaded.plan.wiring is not None:
            checks = (*checks, *wiring(loaded).wired.checks)
        staking(loaded)
    except PlumbrailError:  # in words, as tests/integration/test_rough_use.py shows
        return
    for check in checks:
        ratio = check.ratio
        assert ratio is None or (math.isfinite(ratio) and math.copysign(1.0, ratio) > 0), check.id
        assert ratio is None or (ratio > 1.0 + 1e-9) is (check.status is Status.FAIL), check.id


@pytest.mark.parametrize("base", ["alder-creek", "dry-gulch"])
def test_every_slip_is_refused_with_its_field_or_worked_out(base):
    worked = refused = 0
    for name, data in slips(base):
        text = tomlkit.dumps(data)
        try:
            plan = read_plan(text)
        except PlanError as error:
            refused += 1
            for problem in error.problems:
                assert problem.path and problem.message, name
                assert problem.line or part_at((problem.path,)), name
            continue
        worked += 1
        if worked <= 14:
            soundly(LoadedPlan(plan, text, "", "plan"))
    assert refused > 50 and worked > 14
