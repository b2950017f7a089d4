"""Plan fields of truing: tolerances, instruments, the day of setting out."""

from __future__ import annotations

import math
from datetime import date

import pytest

from plumbrail.errors import PlanError, Problem
from plumbrail.plan.demos import demo_text
from plumbrail.plan.reader import read_plan
from plumbrail.plan.starter import starter_text

STARTER = starter_text()
DAY = '#day = "2026-05-04"'


def changed(old: str, new: str) -> str:
    assert old in STARTER
    return STARTER.replace(old, new, 1)


def problem(text: str) -> Problem:
    with pytest.raises(PlanError) as caught:
        read_plan(text)
    (found,) = caught.value.problems
    return found


def line_of(text: str, part: str) -> int:
    return next(n for n, row in enumerate(text.splitlines(), 1) if part in row)


@pytest.mark.parametrize(
    ("old", "new", "path", "words"),
    [
        (DAY, 'day = "4 May 2026"', "setout.day", '"4 May 2026" is not a day; write year-month'),
        (DAY, 'day = "2026-02-30"', "setout.day", 'there is no day "2026-02-30"; write year-month'),
        (DAY, 'day = "0206-05-04"', "setout.day", "a slip of the year?"),
        (DAY, 'day = ""', "setout.day", 'in quotes, for example "2026-05-04"'),
        (DAY, "day = 1777852800", "setout.day", "1777852800 is not a day"),
        (DAY, 'day = "1777852800"', "setout.day", "is not a day"),
        (DAY, "day = 2026-05-04T08:00:00", "setout.day", "is not a day"),
        (DAY, 'day = ["2026-05-04"]', "setout.day", "is not a day"),
        (DAY, "day = 2026-13-04", "setout.day", 'in quotes: day = "2026-13-04"'),
        ('#confidence = "95 %"', 'confidence = "75 %"', "truing.confidence", "at least 80 %"),
        ('#lift = "2 in"', 'lift = "-2 in"', "truing.lift", "at least 0 in"),
        ('height = "1 in"', 'height = "0 in"', "tolerances.height", "more than 0 in"),
    ],
)  # fmt: skip
def test_one_wrong_value(old: str, new: str, path: str, words: str) -> None:
    text = changed(old, new)
    found = problem(text)
    assert (found.path, found.line) == (path, line_of(text, new))
    assert words in found.message


@pytest.mark.parametrize("written", ['"2026-05-04"', "2026-05-04", '" 2026-05-04 "'])
def test_the_day_of_setting_out(written: str) -> None:
    assert read_plan(changed(DAY, f"day = {written}")).setout.day == date(2026, 5, 4)
    assert read_plan(STARTER).setout.day is None


def instrument(name: str, *lines: str) -> str:
    rows = "\n".join(lines)
    return f"[truing.instruments.{name}]\n{rows}\n"


def test_instruments_by_name() -> None:
    tape = instrument("tape", 'kind = "tape"', 'error = "1/16 in"', 'per_length = "0.01 %"')
    level = instrument('"my level"', 'kind = "level"', 'error_angle = "0.1 deg"')
    found = read_plan(changed("[truing]", f"{tape}{level}[truing]")).truing.instruments
    assert set(found) == {"tape", "my level"}
    assert found["tape"].error == pytest.approx(0.0254 / 16)
    assert found["my level"].error_angle == pytest.approx(math.radians(0.1))
    assert "#[truing.instruments.tape]" in STARTER.splitlines()


@pytest.mark.parametrize(
    ("kind", "line", "words"),
    [
        ("level", 'error = "1/16 in"', "error is for a laser, a tape or a string, and this is a "
         'level; write error_angle, for example error_angle = "0.1 deg"'),
        ("angle gauge", 'error = "1/16 in"', "and this is an angle gauge; write error_angle"),
        ("laser", 'error_angle = "1 deg"', "error_angle is for a level or an angle gauge, and this "
         'is a laser; write error, for example error = "1/16 in"'),
        ("string", 'per_length = "0.1 %"', "per_length is for a laser or a tape, and this is a "
         "string; take it out"),
        ("tape", 'weight = "0.0005 lb/ft"', "weight is for a string"),
        ("laser", 'pull = "10 lbf"', "pull is for a string"),
        ("string", 'temperature = "68 degF"', "temperature is for a tape"),
    ],
)  # fmt: skip
def test_an_instrument_says_nothing_that_its_kind_does_not_use(
    kind: str, line: str, words: str
) -> None:
    own = instrument('"own one"', f'kind = "{kind}"', line)
    text = changed("[truing]", f"{own}[truing]")
    found = problem(text)
    assert (found.path, found.line) == ('truing.instruments."own one"', line_of(text, "own one"))
    assert words in found.message


def test_tolerances_that_may_be_left_out() -> None:
    alder, dry = (read_plan(demo_text(name)).tolerances for name in ("alder-creek", "dry-gulch"))
    assert alder.height == pytest.approx(0.0254)
    assert dry.spacing == pytest.approx(0.75 * 0.0254)
    assert dry.height is None
