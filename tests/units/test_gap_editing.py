"""Changes of single fields: what is refused in which words, what new things are called, units."""

from __future__ import annotations

import tomllib
from types import SimpleNamespace
from typing import Any

import pytest

from plumbrail.app.editing import (
    Edited,
    EditError,
    Edits,
    _dragged,
    _is_place,
    _kind_in,
    _unit_of,
    edited,
    field_problems,
)
from plumbrail.app.messages import Change
from plumbrail.errors import Problem
from plumbrail.plan.demos import demo_text

ALDER = demo_text("alder-creek")


def made(*changes: Change, text: str = ALDER) -> Edits:
    return edited(text, changes)


def data(*changes: Change, text: str = ALDER) -> dict[str, Any]:
    return tomllib.loads(made(*changes, text=text).text)


def words(*changes: Change, text: str = ALDER) -> str:
    with pytest.raises(EditError) as error:
        edited(text, changes)
    (problem,) = error.value.problems
    assert problem.path == changes[-1].path[:400]
    return problem.message


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"path": "setout.pin_height[1]", "value": "7 in"}, "the list has no such value"),
        ({"path": "job.name[1]", "value": "x"}, "the list has no such value"),
        ({"path": "array.tilt_band[3]", "value": "3 deg"}, "the list has no such value"),
        ({"path": "setout.pin_height[1]", "remove": True}, "there is nothing of this name"),
        ({"path": "frame.braces", "remove": True}, "there is nothing of this name"),
        ({"path": "array.nope", "value": 1}, "the plan has no field of this name"),
        ({"path": "..", "value": 1}, "the plan has no field of this name"),
        ({"path": "array.rows"}, "give one of value, places, remove and add"),
        ({"path": "array.rows", "value": 1, "remove": True}, "give one of value, places"),
        ({"path": "array.rows", "add": True}, "only sections are added"),
        ({"path": "array", "value": 1}, "this is a section"),
        ({"path": "array", "add": True}, "the plan has this section already"),
        ({"path": "site.shade.trees[9].height", "value": "3 ft"}, "the list has no such item"),
        ({"path": "site.shade.trees[7]", "add": True}, "the next one is site.shade.trees[3]"),
        ({"path": "setout.pin_1", "places": [(1.0, 2.0), (2.0, 3.0)]}, "holds one place"),
        ({"path": "setout.pin_1", "places": []}, "holds one place"),
        ({"path": "site.shade.trees[1].at", "places": [(float("nan"), 0.0)]}, "two numbers"),
        ({"path": "site.shade.trees[1].at", "places": [(0.0, float("inf"))]}, "two numbers"),
        ({"path": "job.name", "value": "x" * 10_001}, "this text is too long"),
        ({"path": "job.name", "value": [None]}, "this cannot be written in a plan"),
        ({"path": "job.name", "value": {"a": {}}}, "this plan is written in a way"),
    ],
)
def test_what_is_said_of_a_change_that_cannot_be(change: dict[str, Any], said: str) -> None:
    """Never a traceback, whatever is asked of the text inside a field."""
    assert said in words(Change(**change))


def test_a_text_of_ten_thousand_letters_is_none_too_long_for_editing() -> None:
    """The field's own limit is said then."""
    assert "too long" not in words(Change(path="job.name", value="x" * 10_000))


def test_the_next_of_a_list_by_its_number_or_without() -> None:
    """Two trees stand in the demo; the third has its own name."""
    assert len(data()["site"]["shade"]["trees"]) == 2
    for path in ("site.shade.trees", "site.shade.trees[3]"):
        after = data(Change(path=path, add=True))["site"]["shade"]["trees"]
        assert len(after) == 3
        assert len({tree["name"] for tree in after}) == 3


def test_names_that_are_taken_are_counted_on() -> None:
    """A named section added twice and a thing of the site added three times."""
    twice = data(*[Change(path="stock.pipe.sections", add=True)] * 2)["stock"]["pipe"]["sections"]
    first = [name for name in twice if not name.endswith((" 2", " 3"))]
    assert {f"{first[0]} 2", f"{first[0]} 3"} <= set(twice)
    before = {tree["name"] for tree in data()["site"]["shade"]["trees"]}
    trees = data(*[Change(path="site.shade.trees", add=True)] * 3)["site"]["shade"]["trees"]
    new = [tree["name"] for tree in trees if tree["name"] not in before]
    assert [name.removeprefix(new[0]) for name in new] == ["", " 2", " 3"] or len(set(new)) == 3


def test_a_name_is_not_given_to_two_kinds_of_thing() -> None:
    """A post hole takes no name of a tree: names are looked for in all of the site."""
    one = made(Change(path="site.shade.trees", add=True)).text
    name = tomllib.loads(one)["site"]["shade"]["trees"][-1]["name"]
    assert name not in [t["name"] for t in data()["site"]["shade"]["trees"]]


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ([{"path": "array.rows", "value": 3}], "array.rows: 4 to 3"),
        ([{"path": "job.name", "value": "y" * 40}], f"job.name: Alder to {'y' * 40}"),
        ([{"path": "job.name", "value": "y" * 41}], f"job.name: Alder to {'y' * 39}…"),
        ([{"path": "setout.pin_2", "value": ["40 ft", "-6 ft"]}],
         'setout.pin_2: ["33 ft", "-8 ft"] to ["40 ft", "-6 ft"]'),
        ([{"path": "site.shade.trees[2]", "remove": True}], "site.shade.trees[2]: taken out"),
        ([{"path": "site.shade.trees", "add": True}], "site.shade.trees[3]: added"),
        ([{"path": "array.rows", "value": 3}, {"path": "array.rows", "value": 2}],
         "array.rows: 4 to 3; array.rows: 3 to 2"),
    ],
)  # fmt: skip
def test_what_was_changed_in_words(changes: list[dict[str, Any]], told: str) -> None:
    name = data()["job"]["name"]
    assert made(*[Change(**c) for c in changes]).words == told.replace("Alder to", f"{name} to")


def test_the_words_of_many_changes_are_cut_at_200_letters() -> None:
    short = made(*[Change(path="array.rows", value=3 + k % 2) for k in range(9)]).words
    assert len(short) == 9 * 18 + 8 * 2 and not short.endswith("…")
    long = made(*[Change(path="array.rows", value=3 + k % 2) for k in range(20)]).words
    assert len(long) == 200 and long.endswith("…")
    assert long.startswith(short)


def limit(path: str, message: str) -> str:
    (found,) = field_problems([Problem(path, message)])
    return found.message


def test_a_limit_is_said_in_the_units_that_were_typed() -> None:
    """20 ft = 6.096 m; left alone where the units are of one kind or there are none."""
    path, rest = "module.length", ": check the sheet"
    assert limit(path, f'"30 m" is beyond 20 ft{rest}') == f'"30 m" is beyond 6.096 m{rest}'
    for same in (f'"30 ft" is beyond 20 ft{rest}', f'"30" is beyond 20 ft{rest}',
                 f'"30 m" is beyond 20{rest}', "it must be at most 20 ft",
                 '"30 m" will not do'):  # fmt: skip
        assert limit(path, same) == same
    least = '"1 m" will not do; it must be at least 20 ft'
    assert limit(path, least) == least.replace("20 ft", "6.096 m")
    assert limit("array.rows", '"30 m" is beyond 20 ft') == '"30 m" is beyond 20 ft'
    assert limit("setout.pin_1", '"9 m" is beyond 20 ft') == '"9 m" is beyond 6.096 m'
    assert limit("", '"30 m" is beyond 20 ft') == '"30 m" is beyond 20 ft'
    assert limit("no.such", '"30 m" is beyond 20 ft') == '"30 m" is beyond 20 ft'
    assert limit("array", '"30 m" is beyond 20 ft') == '"30 m" is beyond 20 ft'


def test_problems_are_said_without_the_writing_of_the_file() -> None:
    assert limit("array.rows", "write for example `rows = 4`") == "write for example 4"
    assert limit("x", 'name = "a", b = [1], c = -2, d = true') == '"a", [1], -2, true'
    assert limit("x", "a = b") == "a = b"


@pytest.mark.parametrize(
    ("schema", "kind"),
    [
        ({}, None), ({"items": {"kind": "length"}}, "length"), ({"items": True}, None),
        ({"prefixItems": [{"kind": "length"}, {"kind": "length"}]}, "length"),
        ({"prefixItems": [{"kind": "length"}, {"kind": "angle"}]}, None),
        ({"oneOf": [{"kind": "ratio"}, {"items": {"kind": "ratio"}}]}, "ratio"),
        ({"oneOf": [{"kind": "ratio"}, {"type": "string"}]}, None),
        ({"items": {"prefixItems": [{"kind": "length"}] * 2}}, "length"),
    ],
)  # fmt: skip
def test_the_kind_of_all_values_of_a_list(schema: dict[str, Any], kind: str | None) -> None:
    assert _kind_in(schema) == kind


def test_a_dragged_place_keeps_its_units_and_a_new_point_takes_those_of_the_last() -> None:
    """A line of three points, the first in metres, the last in inches; two more are drawn."""
    path, old = "site.services[1].points", [["1 m", "2 m"], ["9 ft", "9 ft"], ["100 in", "0 in"]]
    start = made(Change(path=path, value=old)).text
    drawn = [(1.5, 2.0), (2.7432, 2.7432), (2.54, 0.0), (2.54, 0.0254), (0.0, 0.0127)]
    found = data(Change(path=path, places=drawn), text=start)["site"]["services"][0]["points"]
    assert found == [["1.500 m", "2 m"], ["9 ft", "9 ft"], ["100 in", "0 in"],
                     ["100 in", "1 in"], ["0 in", "1/2 in"]]  # fmt: skip


def test_points_of_a_line_that_was_not_there() -> None:
    """In the units of the job; there is no old point to take units from."""
    key: Any = SimpleNamespace(schema={"type": "array", "items": {}})
    change = Change(path="x", places=[(0.3048, 0.0), (1.0, -2.0)])
    feet = [["1 ft", "0 ft"], ["3 ft 3 3/8 in", "-6 ft 6 3/4 in"]]
    metres = [["0.305 m", "0.000 m"], ["1.000 m", "-2.000 m"]]
    for units, found in (("us", feet), ("metric", metres)):
        for old in (None, "a text", []):
            assert _dragged(Edited("", {}, units), change, key, old, ()) == found


def test_a_place_is_two_lengths() -> None:
    length, angle = {"kind": "length"}, {"kind": "angle"}
    others = ([length], [length] * 3, [length, angle], [angle, length], [])
    for items, place in (([length, length], True), *((other, False) for other in others)):
        key: Any = SimpleNamespace(schema={"prefixItems": items})
        assert _is_place(key) is place
    assert not _is_place(SimpleNamespace(schema={}))  # type: ignore[arg-type]


def test_a_new_point_takes_over_units_and_no_numbers() -> None:
    """The largest unit of each coordinate is what counts; a place is a list."""
    assert _unit_of(["5 ft 3 in", "-1/2 in"]) == ["999999 ft 3 in", "-999999 in"]
    assert _unit_of(["5'3\"", "2.5m"]) == ["999999 '3\"", "999999 m"]
    assert _unit_of(None) is None and _unit_of("5 ft") is None


@pytest.mark.parametrize(("units", "found"), [("us", ["3 ft 3 3/8 in", "-6 ft 6 3/4 in"]),
                                              ("metric", ["1.000 m", "-2.000 m"])])  # fmt: skip
def test_a_place_that_was_not_there_is_written_in_the_units_of_the_job(
    units: str, found: list[str]
) -> None:
    """1 m is 39 3/8 in and 2 m 78 3/4 in to a sixteenth."""
    start = made(Change(path="job.units", value=units), Change(path="setout.pin_1", remove=True),
                 text=ALDER.replace("pin_2", "# pin_2")).text  # fmt: skip
    after = data(Change(path="setout.pin_1", places=[(1.0, -2.0)]), text=start)
    assert after["setout"]["pin_1"] == found


def test_a_section_begins_with_its_first_field_and_goes_with_its_last() -> None:
    """The heading is written with the first field; without fields it is gone."""
    gone = made(Change(path="setout", remove=True)).text
    assert "setout" not in tomllib.loads(gone)
    back = data(Change(path="setout.pin_height", value="7 in"), text=gone)
    assert back["setout"] == {"pin_height": "7 in"}
    again = made(Change(path="setout.pin_height", value="7 in"),
                 Change(path="setout.pin_height", remove=True), text=gone)  # fmt: skip
    assert "setout" not in tomllib.loads(again.text) or not tomllib.loads(again.text)["setout"]
    assert again.words == "setout.pin_height: nothing to 7 in; setout.pin_height: taken out"


def test_a_field_that_an_item_of_a_list_did_not_have() -> None:
    """The feeder has no depth in the demo; the well line has."""
    after = data(Change(path="site.services[1].depth", value="2 ft"))["site"]["services"]
    assert [one.get("depth") for one in after][:2] == ["2 ft", "4 ft"]
    gone = data(Change(path="site.services[2].depth", remove=True))["site"]["services"]
    assert "depth" not in gone[1]


def test_one_value_of_a_list() -> None:
    after = data(Change(path="setout.pin_1[2]", value="-9 ft"))
    assert after["setout"]["pin_1"] == ["-6 ft", "-9 ft"]
    within = data(Change(path="site.services[2].points[1][1]", value="-40 ft"))
    assert within["site"]["services"][1]["points"][0] == ["-40 ft", "46 ft"]


def test_sections_that_were_not_there_are_added_where_they_are_asked_for() -> None:
    """A single one, the first of a list, and a named one by its own name."""
    gone = made(Change(path="setout", remove=True)).text
    assert "setout" in data(Change(path="setout", add=True), text=gone)
    single = made(Change(path="setout", add=True), text=gone)
    assert single.words == "setout: added"
    trees = made(Change(path="site.shade.trees[1]", remove=True),
                 Change(path="site.shade.trees[1]", remove=True)).text  # fmt: skip
    first = made(Change(path="site.shade.trees", add=True), text=trees)
    assert first.words == "site.shade.trees[1]: added"
    path = 'stock.pipe.sections."NPS 6 STD"'
    named = made(Change(path=path, add=True))
    assert named.words == f"{path}: added"
    assert "NPS 6 STD" in tomllib.loads(named.text)["stock"]["pipe"]["sections"]
