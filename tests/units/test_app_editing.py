"""Edits of single fields: the new text differs from the old one at that field and nowhere else."""

from __future__ import annotations

import difflib
import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plumbrail.app.editing import EditError, edited
from plumbrail.app.messages import Change
from plumbrail.app.paths import known, look, path_of, place_of
from plumbrail.app.written import length_like
from plumbrail.plan.demos import demo_text
from plumbrail.plan.outline import outline
from plumbrail.plan.spans import spans
from plumbrail.plan.starter import starter_text
from plumbrail.units import parse

ALDER, GULCH, STARTER = demo_text("alder-creek"), demo_text("dry-gulch"), starter_text()
INCH = 0.0254


def changed(text: str, *changes: Change) -> str:
    return edited(text, changes).text


def lines(before: str, after: str) -> list[str]:
    found = difflib.ndiff(before.splitlines(), after.splitlines())
    return [line for line in found if line[:2] in ("+ ", "- ")]


def refused(text: str, *changes: Change) -> EditError:
    with pytest.raises(EditError) as error:
        edited(text, changes)
    return error.value


def test_a_value_keeps_its_comment() -> None:
    after = changed(ALDER, Change(path="array.rows", value=3))
    assert lines(ALDER, after) == [
        "- rows = 4                       # up the slope",
        "+ rows = 3                       # up the slope",
    ]


def test_the_unit_typed_is_kept() -> None:
    after = changed(ALDER, Change(path="frame.spacing", value="2.7 m"))
    assert 'spacing = "2.7 m"' in after


def test_one_value_of_a_long_list_leaves_its_lines() -> None:
    after = changed(ALDER, Change(path="energy.losses.soiling[3]", value="5 %"))
    assert len(lines(ALDER, after)) == 2
    assert after.count("\n") == ALDER.count("\n")
    assert tomllib.loads(after)["energy"]["losses"]["soiling"][2] == "5 %"


def test_numbers_of_a_form_come_as_text() -> None:
    assert tomllib.loads(changed(ALDER, Change(path="array.rows", value="3")))["array"]["rows"] == 3


def test_text_with_quotes_and_backslashes() -> None:
    after = changed(ALDER, Change(path="job.name", value='12" pipe \\ "barn" ü'))
    assert tomllib.loads(after)["job"]["name"] == '12" pipe \\ "barn" ü'


def test_named_tables() -> None:
    path = 'stock.pipe.sections."NPS 4 STD".prices'
    after = changed(ALDER, Change(path=path, value=[250.5]))
    assert lines(ALDER, after) == ["- prices = [239.0]", "+ prices = [250.5]"]


@pytest.mark.parametrize("ending", ["\n", "\r\n"])
def test_line_endings_stay(ending: str) -> None:
    before = ALDER.replace("\n", ending)
    after = changed(before, Change(path="site.shade.trees", add=True),
                    Change(path="setout.pin_height", value="7 in"))  # fmt: skip
    assert after.count("\n") == after.count(ending)


def test_dragged_to_sixteenths_where_the_plan_says_feet() -> None:
    change = Change(path="site.shade.trees[1].at", places=[(-10.3, -38 * 0.3048)])
    after = changed(ALDER, change)
    x, y = tomllib.loads(after)["site"]["shade"]["trees"][0]["at"]
    # -10.3 m are -405.5118 in; 1/16 in steps: -405 1/2 in
    assert x == "-33 ft 9 1/2 in"
    assert y == "-38 ft"  # did not move, keeps its text


def test_dragged_to_millimetres_where_the_plan_says_metres() -> None:
    text = ALDER.replace('at = ["-34 ft", "-38 ft"]', 'at = ["-10.36 m", "-1158 cm"]')
    after = changed(text, Change(path="site.shade.trees[1].at", places=[(1.23456, 2.0)]))
    assert tomllib.loads(after)["site"]["shade"]["trees"][0]["at"] == ["1.235 m", "200.0 cm"]


def test_a_line_gets_another_point() -> None:
    places = [(0.0, 10.0), (5.0, 10.0), (9.0, 12.0), (20.0, 12.0)]
    after = changed(ALDER, Change(path="site.services[1].points", places=places))
    points = tomllib.loads(after)["site"]["services"][0]["points"]
    for read, meant in zip(points, places, strict=True):
        assert [parse(v, "length") for v in read] == pytest.approx(meant, abs=INCH / 32)


@given(st.floats(-300, 300), st.sampled_from(["3 ft", "-2 ft 3 in", "30 in", "4 yd", "0' 3\""]))
def test_lengths_are_rounded_to_a_sixteenth(value: float, old: str) -> None:
    assert parse(length_like(value, old, "us"), "length") == pytest.approx(value, abs=INCH / 31.9)


@given(st.floats(-300, 300), st.sampled_from(["3 m", "30 cm", "-4 mm", "0.1 km"]))
def test_lengths_are_rounded_to_a_millimetre(value: float, old: str) -> None:
    assert parse(length_like(value, old, "us"), "length") == pytest.approx(value, abs=0.00051)


def test_add_and_take_out_a_tree() -> None:
    added = changed(ALDER, Change(path="site.shade.trees", add=True))
    assert len(tomllib.loads(added)["site"]["shade"]["trees"]) == 3
    assert changed(added, Change(path="site.shade.trees[3]", remove=True)) == ALDER


def test_a_second_thing_gets_another_name() -> None:
    one = changed(ALDER, Change(path="site.services", add=True))
    two = changed(one, Change(path="site.services", add=True))
    names = [s["name"] for s in tomllib.loads(two)["site"]["services"]]
    assert len(set(names)) == len(names)


def test_the_first_of_two_trees_goes_with_its_lines_only() -> None:
    after = changed(ALDER, Change(path="site.shade.trees[1]", remove=True))
    gone = lines(ALDER, after)
    assert all(line.startswith("- ") for line in gone)
    assert [t["name"] for t in tomllib.loads(after)["site"]["shade"]["trees"]] == ["Apple tree"]


def test_a_remark_right_above_a_section_goes_with_it() -> None:
    text = ALDER.replace("[[site.shade.boxes]]", "# of 1978\n[[site.shade.boxes]]")
    assert "# of 1978" not in changed(text, Change(path="site.shade.boxes[1]", remove=True))


def test_a_whole_section_with_what_is_in_it() -> None:
    after = changed(ALDER, Change(path="site.shade", remove=True))
    assert "shade" not in tomllib.loads(after)["site"]
    assert "# ---- what it carries" in after


def test_inline_tables_and_lists() -> None:
    text = STARTER + '\n[frame.tubes]\na = { outside_diameter = "2 in", design_wall = "0.1 in", ' \
                     'weight = "2 lb/ft" }\n'  # fmt: skip
    after = changed(text, Change(path="frame.tubes.a.weight", value="3 lb/ft"))
    assert '"0.1 in", weight = "3 lb/ft" }' in after
    gone = changed(after, Change(path="frame.tubes.a", remove=True))
    assert "outside_diameter" not in gone.rpartition("[frame.tubes]")[2]


def test_list_of_inline_tables() -> None:
    item = '{ name = "A", at = ["9 ft", "99 ft"], height = "9 ft", radius = "2 ft" }'
    text = STARTER.replace("\n[site.shade]\n", f"\n[site.shade]\ntrees = [{item}]\n", 1)
    more = changed(text, Change(path="site.shade.trees", add=True))
    assert len(tomllib.loads(more)["site"]["shade"]["trees"]) == 2
    assert changed(more, Change(path="site.shade.trees[2]", remove=True)) == text
    moved = changed(more, Change(path="site.shade.trees[1].height", value="8 ft"))
    assert tomllib.loads(moved)["site"]["shade"]["trees"][0]["height"] == "8 ft"


def test_dotted_keys() -> None:
    text = ALDER.replace('[site.ground]\n# Measured with a level and a tape over the whole row.\n'
                         'slope_across', 'ground.slope_across', 1)  # fmt: skip
    text = text.replace('slope_along = "-1 %"', 'ground.slope_along = "-1 %"', 1)
    after = changed(text, Change(path="site.ground.slope_along", value="-2 %"))
    assert 'ground.slope_along = "-2 %"' in after


def test_a_field_of_a_section_that_is_not_there_yet() -> None:
    after = changed(STARTER, Change(path="setout.pin_height", value="6 in"))
    assert tomllib.loads(after)["setout"]["pin_height"] == "6 in"


def test_several_changes_are_judged_together() -> None:
    refused(ALDER, Change(path="array.tilt", value="40 deg"))
    after = changed(ALDER, Change(path="array.tilt", value="40 deg"),
                    Change(path="array.tilt_band", value=["38 deg", "42 deg"]))  # fmt: skip
    assert tomllib.loads(after)["array"]["tilt"] == "40 deg"


def test_problems_stand_beside_their_field() -> None:
    error = refused(ALDER, Change(path="frame.beam_end", value="8 furlongs"))
    assert [p.path for p in error.problems] == ["frame.beam_end"]
    assert "furlongs" in error.problems[0].message
    assert "beam_end =" not in error.problems[0].message  # no writing of the file in a form


def test_a_limit_is_said_in_the_units_typed() -> None:
    [problem] = refused(ALDER, Change(path="module.length", value="30 m")).problems
    assert "6.096 m" in problem.message  # 20 ft
    [problem] = refused(ALDER, Change(path="module.length", value="30 ft")).problems
    assert "20 ft" in problem.message


@pytest.mark.parametrize(
    "change",
    [
        Change(path="array.nope", value=1), Change(path="", value=1),
        Change(path="../../etc", value="x"), Change(path="array", value=1),
        Change(path="array.rows"), Change(path="array.rows", value=1, remove=True),
        Change(path="site.shade.trees[9].height", value="3 ft"),
        Change(path="site.shade.trees[9]", remove=True), Change(path="array.rows[2]", value=1),
        Change(path="site.shade.trees[7]", add=True), Change(path="array", add=True),
        Change(path="array", remove=True), Change(path="array.rows", add=True),
        Change(path="array.rows", places=[(1.0, 2.0)]),
        Change(path="setout.pin_1", places=[(1.0, 2.0), (2.0, 3.0)]),
        Change(path="site.shade.trees[1].at", places=[(float("nan"), 0.0)]),
        Change(path="site.shade.trees[0].height", value="3 ft"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_in_words(change: Change) -> None:
    error = refused(ALDER, change)
    assert error.problems
    assert all(p.message for p in error.problems)


def test_a_plan_that_cannot_be_edited_here_says_so() -> None:
    """The item that goes has a part elsewhere in the file, which would join the next item."""
    one = '[[frame.braces]]\ndirection = "along"\nstations = [1, 2]\nrow = "front"\n'
    text = ALDER.replace("[frame.rail]", f"{one}\n[frame.rail]", 1)
    error = refused(text + "\n[[frame.braces]]\n", Change(path="frame.braces[2]", value="x"))
    assert error.problems


def every_field(text: str) -> list[str]:
    """Paths of all fields that a plan states."""
    data = tomllib.loads(text)
    found = []
    for place in spans(text).pairs:
        hit = known(place)
        if hit and hit[1] is not None and not isinstance(look(data, place), dict):
            found.append(path_of(place))
    return found


FIELDS = {name: every_field(text) for name, text in (("alder", ALDER), ("gulch", GULCH))}


@settings(deadline=None, max_examples=60)
@given(st.data())
def test_one_field_never_changes_the_text_of_another(data: st.DataObject) -> None:
    """Set to the example of its description, and back: the bytes are the old ones."""
    name = data.draw(st.sampled_from(sorted(FIELDS)))
    text = {"alder": ALDER, "gulch": GULCH}[name]
    path = data.draw(st.sampled_from(FIELDS[name]))
    place = place_of(path)
    assert place is not None
    hit = known(place)
    assert hit is not None and hit[1] is not None
    old, value = look(tomllib.loads(text), place), hit[1].example
    try:
        after = changed(text, Change(path=path, value=value))
    except EditError:
        return  # the example does not fit this plan; then nothing changed
    before, now = spans(text), spans(after)
    for other, pair in before.pairs.items():
        if other != place:
            there = now.pairs[other]
            assert text[pair.key.start : pair.value.end] == after[there.key.start : there.value.end]
    assert look(tomllib.loads(after), place) == value
    back = changed(after, Change(path=path, value=old))
    assert tomllib.loads(back) == tomllib.loads(text)
    if not isinstance(old, list) or len(old) == len(value):
        plain = text[before.pairs[place].value.start : before.pairs[place].value.end]
        if not isinstance(old, float):  # 239.0 and 239 are the same number
            assert back == text or plain.startswith(("'", "["))


def test_spans_know_every_key_of_the_starter_plan() -> None:
    live = spans(STARTER)
    for part in outline().walk():
        for key in part.keys:
            place = (*part.path, key.name)
            if look(tomllib.loads(STARTER), place) is not None:
                span = live.value(place)
                assert span is not None
                one = tomllib.loads(f"x = {STARTER[span.start : span.end]}")["x"]
                assert one == look(tomllib.loads(STARTER), place)
