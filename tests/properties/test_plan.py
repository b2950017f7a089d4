"""Whatever a person does to a plan file ends as a plan or as located problems."""

from __future__ import annotations

import json
import tomllib

import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from plumbrail.errors import PlanError, Problem
from plumbrail.plan.demos import demo_plan_names, demo_text
from plumbrail.plan.locate import locate
from plumbrail.plan.models import Plan
from plumbrail.plan.outline import outline
from plumbrail.plan.reader import read_plan
from plumbrail.plan.starter import starter_text

STARTER = starter_text()
BARE = "\n".join(r for r in STARTER.splitlines() if r and not r.startswith("#")) + "\n"
EVERYTHING = "\n".join(
    r.removeprefix("#") for r in STARTER.splitlines() if r and not r.startswith(("# ", "#-"))
)
KEYS = sorted({key.name for part in outline().walk() for key in part.keys})
NOISE = st.sampled_from(list("\"'[]{}=.,#\n\\°’ 09-eE_x\t\r\0\u2028é\ufeff")) | st.characters()
JUNK = st.one_of(
    st.sampled_from(
        ["nan", "-inf", "true", "[]", "{}", "[[]]", '""', "1e999", "9" * 400, "9" * 5000, "-1",
         "0", "1979-05-27", "07:32:00", '"-1 in"', '"nan ft"', '"1e308 ft"', '"9 ft"', '"C"',
         "{a = 1}", "[1, 2]", '["9 ft", "9 ft"]', "'''\nx'''", '"\\u0000"', "1.0", "[" * 600,
         '"1/0 in"', '"32 degC"', '"' + "9" * 3000 + ' ft"']
    ),
    st.integers().map(str),
    st.floats().map(str),
    st.text(max_size=12).map(json.dumps),
)  # fmt: skip


def paths(data: object, place: tuple[str | int, ...] = ()) -> set[tuple[str | int, ...]]:
    inside = {place}
    if isinstance(data, dict):
        inside |= {p for k, v in data.items() for p in paths(v, (*place, k))}
    if isinstance(data, list):
        inside |= {p for i, v in enumerate(data) for p in paths(v, (*place, i))}
    return inside


def problems_of(text: str) -> tuple[Problem, ...]:
    """Problems of a text, none for a plan; anything else that is raised fails the test."""
    try:
        plan = read_plan(text)
    except PlanError as error:
        return error.problems or (Problem("", ""),)
    assert isinstance(plan, Plan)
    return ()


def must_be_plan_or_problems(text: str) -> None:
    last = text.count("\n") + 1
    for problem in problems_of(text):
        assert problem.message
        assert problem.line is None or 1 <= problem.line <= last
        for foreign in ("Input should", "Value error", "pydantic", "Traceback", "None"):
            assert foreign not in problem.message or foreign in text


@st.composite
def scribbled(draw: st.DrawFn) -> str:
    text = draw(st.sampled_from([STARTER, BARE, EVERYTHING]))
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, len(text)))
        cut = draw(st.sampled_from([0, 0, 1, 1, 2, 30]))
        text = text[:at] + draw(st.text(NOISE, max_size=3)) + text[at + cut :]
    return text


@st.composite
def relined(draw: st.DrawFn) -> str:
    rows = draw(st.sampled_from([BARE, EVERYTHING])).splitlines()
    for _ in range(draw(st.integers(1, 5))):
        at = draw(st.integers(0, len(rows) - 1))
        kind = draw(st.sampled_from(["delete", "repeat", "move", "value", "key", "header"]))
        row = rows[at]
        key, equals, _ = row.partition(" = ")
        if kind == "delete":
            del rows[at]
        elif kind == "repeat":
            rows.insert(draw(st.integers(0, len(rows))), row)
        elif kind == "move":
            rows.insert(draw(st.integers(0, len(rows) - 1)), rows.pop(at))
        elif kind == "value" and equals:
            rows[at] = f"{key} = {draw(JUNK)}"
        elif kind == "key" and equals:
            name = draw(st.sampled_from(KEYS) | st.text(max_size=6).map(json.dumps))
            rows[at] = row.replace(key, name, 1)
        elif kind == "header" and row.startswith("["):
            rows[at] = draw(st.sampled_from([f"[{row}]", row[1:-1], row.replace(".", "", 1), "[]"]))
        rows = rows or [""]
    return "\n".join(rows)


@settings(max_examples=400, deadline=None)
@given(scribbled())
def test_scribbling_on_the_starter_never_ends_in_a_traceback(text: str) -> None:
    must_be_plan_or_problems(text)


@settings(max_examples=600, deadline=None)
@given(relined())
def test_wrong_lines_never_end_in_a_traceback(text: str) -> None:
    must_be_plan_or_problems(text)


@settings(max_examples=100, deadline=None)
@given(st.text(max_size=60))
def test_any_text_is_refused_with_problems(text: str) -> None:
    must_be_plan_or_problems(text)


TOML_KEYS = st.text(st.sampled_from("ab.\"'é \\[]=#"), min_size=1, max_size=4)
TOML_SCALARS = (
    st.integers(-99, 99) | st.booleans() | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(st.sampled_from("a\"'#[]{}=\n\\é, "), max_size=6) | st.dates()
)  # fmt: skip
TOML_VALUES = st.recursive(
    TOML_SCALARS,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(TOML_KEYS, inner, max_size=3),
    max_leaves=12,
)


@settings(max_examples=300, deadline=None)
@given(st.dictionaries(TOML_KEYS, TOML_VALUES, max_size=4))
def test_every_key_of_any_document_is_located(data: dict[str, object]) -> None:
    """The oracle for what is in the document is the standard library's TOML reader."""
    text = tomlkit.dumps(data)
    lines = locate(text)
    assert set(lines) | {()} == paths(tomllib.loads(text))
    assert all(1 <= line <= text.count("\n") + 1 for line in lines.values())


@given(st.sampled_from([STARTER, BARE, EVERYTHING, *map(demo_text, demo_plan_names())]))
def test_every_key_of_a_plan_is_located_on_the_line_that_contains_it(text: str) -> None:
    rows = text.splitlines()
    lines = locate(text)
    places = paths(tomllib.loads(text)) - {()}
    assert set(lines) == places
    for place in places:
        if isinstance(place[-1], int):  # of a list that runs over several lines
            assert lines[place] >= lines[place[:-1]]
            continue
        row = rows[lines[place] - 1]
        last = [step for step in place if isinstance(step, str)][-1]
        assert not row.startswith("#")
        assert last in row, (place, row)


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_a_deleted_required_key_is_asked_for_by_name(data: st.DataObject) -> None:
    stated = [p for p in outline().walk() if p.required and p.header in BARE.splitlines()]
    needed = [(p, k) for p in stated for k in p.keys if k.required]
    part, key = data.draw(st.sampled_from(needed))
    rows = BARE.splitlines()
    start = rows.index(part.header)
    del rows[next(i for i in range(start, len(rows)) if rows[i].startswith(f"{key.name} = "))]
    (problem,) = problems_of("\n".join(rows))
    assert problem.path == ".".join((*part.path, key.name))
    assert problem.line == start + 1
    assert key.example_line in problem.message


@given(st.sampled_from([STARTER, *map(demo_text, demo_plan_names())]))
def test_a_plan_survives_json(text: str) -> None:
    plan = read_plan(text)
    assert Plan.model_validate(json.loads(plan.model_dump_json())) == plan
