"""Reading the plan file: every kind of mistake, its place and its words."""

from __future__ import annotations

import hashlib
import json
import math
from pathlib import Path

import pytest

from plumbrail.errors import PlanError, Problem
from plumbrail.plan.demos import demo_plan_names, demo_text
from plumbrail.plan.models import Plan
from plumbrail.plan.outline import outline, part_at
from plumbrail.plan.reader import load_plan, locate_problems, read_plan
from plumbrail.plan.starter import starter_text, written

STARTER = starter_text()
# what was built is measured, nobody plans it: the starter is silent on it
ASKED = [part for part in outline().walk() if part.path[:1] != ("as_built",)]


def changed(*changes: tuple[str, str]) -> str:
    text = STARTER
    for old, new in changes:
        assert text.count(old) >= 1, old
        text = text.replace(old, new, 1)
    return text


def problems(*changes: tuple[str, str]) -> list[tuple[str, str]]:
    """(path, message) of the changed starter plan; each must stand on a line with its key."""
    text = changed(*changes)
    with pytest.raises(PlanError) as caught:
        read_plan(text)
    return [(p.path, p.message) for p in caught.value.problems]


def line_of(text: str, part: str) -> int:
    return next(n for n, row in enumerate(text.splitlines(), 1) if part in row)


def test_the_starter_reads_in_si() -> None:
    plan = read_plan(STARTER)
    assert plan.site.wind_speed == pytest.approx(105 * 0.44704)
    assert plan.site.latitude == pytest.approx(math.radians(44.10))
    assert plan.frame.spacing == pytest.approx(9 * 0.3048)
    assert plan.array.tilt_band == pytest.approx((math.radians(30), math.radians(35)))
    assert plan.site.coldest == pytest.approx(273.15 - 24)


def test_the_starter_says_what_every_line_is() -> None:
    """Every line of a plan, stated or commented out, stands under words on what it is."""
    rows = STARTER.splitlines()
    for part in ASKED:
        for key in part.keys:
            first = {written(key.example_line, mark).splitlines()[0] for mark in ("", "#")}
            for n in (n for n, row in enumerate(rows) if row in first):
                assert rows[n - 1].startswith("# ")
            assert any(written(key.example_line, mark) in STARTER for mark in ("", "#"))
    assert max(map(len, rows)) <= 100


def test_lines_that_may_be_left_out_are_commented_out() -> None:
    rows = STARTER.splitlines()
    for line in ('#moment_capacity = "1500 lbf*ft"', '#rail_to_beam_uplift = "1200 lbf"',
                 "#[[frame.braces]]", '#beam_end = "3 in"'):  # fmt: skip
        assert line in rows


def test_uncommenting_a_line_of_the_starter_uses_it() -> None:
    text = changed(('#beam_end = "3 in"', 'beam_end = "4 in"'), ("#post = 60", "post = 60"))
    plan = read_plan(text)
    assert plan.frame.beam_end == pytest.approx(4 * 0.0254)
    assert plan.frame.deflection.post == 60


def test_defaults_are_what_the_models_say_in_words() -> None:
    """The first example of a field with a default is that default as a builder writes it."""
    plan = read_plan(STARTER)
    stated = changed(*[
        (written(key.example_line, "#"), written(key.example_line, ""))
        for part in ASKED for key in part.keys
        if key.default is not None and part.header in STARTER.splitlines()
    ])  # fmt: skip
    assert read_plan(stated) == plan


def test_every_problem_at_once_each_on_its_line() -> None:
    text = changed(
        ('wind_speed = "105 mph"', 'wind_sped = "105 mph"'),
        ('exposure = "C"', 'exposure = "c"'),
        ('ground_snow = "30 psf"', "ground_snow = 30"),
        ('frost_depth = "24 in"', "frost_depth = 24 in"),
        ('diameter = "24 in"\n', ""),
        ('tilt = "32 deg"', 'tilt = "20 deg"'),
    )
    with pytest.raises(PlanError) as caught:
        read_plan(text, "job.toml")
    found = caught.value.problems
    assert caught.value.source == "job.toml"
    assert found == (
        Problem("site.wind_sped", "unknown key `wind_sped`; did you mean `wind_speed`?",
                line_of(text, "wind_sped")),
        Problem("site.exposure", '"c" will not do; needed is "B", "C" or "D"; write exposure = "C"',
                line_of(text, 'exposure = "c"')),
        Problem("site.ground_snow", "30 has no unit; write for example "
                '"30 psf", "2400 Pa" or "1.4 kPa"', line_of(text, "ground_snow =")),
        Problem("site.frost_depth", 'text and quantities stand in quotes: frost_depth = "24 in"',
                line_of(text, "frost_depth =")),
        Problem("array", "tilt is 20 deg and tilt_band runs from 30 deg to 35 deg; tilt must lie "
                "inside tilt_band, which names its lowest first", line_of(text, "[array]")),
        Problem("piers.diameter", 'missing; write for example diameter = "24 in" (Diameter of the '
                "hole; the auger the rental yard has.)", line_of(text, "[piers]")),
    )  # fmt: skip
    assert str(found[2]).startswith(f"line {found[2].line}: site.ground_snow: 30 has no unit")


@pytest.mark.parametrize(
    ("old", "new", "path", "words"),
    [
        ("rows = 4", "rows = 4.5", "array.rows", "4.5 will not do; needed is a whole number"),
        ("rows = 4", "rows = true", "array.rows", "true will not do"),
        ("rows = 4", 'rows = "4"', "array.rows", "without quotes; write rows = 4"),
        ("rows = 4", "rows = 0", "array.rows", "at least 1 and at most 12"),
        ("rows = 4", f"rows = {'9' * 400}", "array.rows", "needed is a whole number"),
        ("rows = 4", f"rows = {'9' * 5000}", "array.rows", "thousands of digits"),
        ("topographic_factor = 1.0", "topographic_factor = nan", "site.topographic_factor", "nan"),
        ("topographic_factor = 1.0", "topographic_factor = inf", "site.topographic_factor", "inf"),
        ('gap = "20 mm"', 'gap = "-20 mm"', "array.gap", "it must be at least 0 in"),
        ('gap = "20 mm"', 'gap = "5 mi"', "array.gap", "a slip of unit or number?"),
        ('gap = "20 mm"', f"gap = {'9' * 400}", "array.gap", "too large"),
        ('gap = "20 mm"', "gap = nan", "array.gap", "not a finite number"),
        ('gap = "20 mm"', 'gap = "20 psf"', "array.gap", "is a pressure, not a length"),
        ('gap = "20 mm"', "gap = {a = 1}", "array.gap", "not a length"),
        ('soil_class = "4"', "soil_class = 4", "site.soil_class", 'write soil_class = "4"'),
        ('soil_class = "4"', 'soil_class = "6"', "site.soil_class", 'needed is "1", "2", "3", "4"'),
        ('name = "Generic 100"', "name = 100", "frame.rail.name", 'write name = "100"'),
        ('name = "Generic 100"', 'name = ""', "frame.rail.name", '"" will not do; needed is text'),
        ('spacing = "9 ft"', "spacing = 9", "frame.spacing", "9 has no unit"),
        ('spacing = "9 ft"', 'spacing = ["9 ft", 9]', "frame.spacing", "value 2 of the list: 9"),
        ('spacing = "9 ft"', 'spacing = ["9 ft"]', "frame", "spacing lists 1 bays; 4 posts have 3"),
        ('depth = "7 ft"', 'depth = ["7 ft"]', "piers.depth", "this list has 1 value; needed is"),
        ('["15 %", "30 %"]', '["15 %"]', "module.clamp_zone", "this list has 1 value; needed is"),
        ('["15 %", "30 %"]', '"15 %"', "module.clamp_zone", "needed is a list of 2"),
        ("[168.0, 194.0]", "[168.0, -1]", "stock.pipe.prices", "value 2 of the list: -1 will not"),
        ("[168.0, 194.0]", "[168.0]", "stock.pipe", "lists 2 and prices lists 1"),
        ('["21 ft", "24 ft"]', '["21 ft", "252 in"]', "stock.pipe", "the same length twice"),
        ("isolated_pole_factor = 1", "isolated_pole_factor = true", "piers.isolated_pole_factor",
         "true will not do; write 1 or 2"),
        ("#beam = 180", "beam = 5", "frame.deflection.beam", "at least 30"),
        ('soil_class = "4"\n', "", "site", "give either soil_class or a [site.soil] section"),
        ('slope_along = "-1 %"\n', "", "site.ground", "give both slope_across and slope_along"),
        ('hottest = "38 degC"', 'hottest = "-30 degC"', "site", "coldest must be lower"),
        ('beam_inset = ["21 %", "21 %"]', 'beam_inset = ["61 %", "61 %"]', "frame", "behind"),
        ('width = "1134 mm"', 'width = "1800 mm"', "module", "width is the short side"),
        ('cover_below_post = "3 in"', 'cover_below_post = "7 ft"', "piers", "as deep as the hole"),
        ('#shear_capacity = "2500 lbf"', 'shear_capacity = "2500 lbf"', "frame.splice", "source"),
    ],
)  # fmt: skip
def test_one_wrong_value(old: str, new: str, path: str, words: str) -> None:
    ((where, message),) = problems((old, new))
    assert where == path
    assert words in message


@pytest.mark.parametrize(
    ("old", "new", "path", "words"),
    [
        ("rows = 4", "rows = 4\nwind_speed = 3", "array.wind_speed", "it belongs in [site]"),
        ("rows = 4", "rows = 4\nwind_sped = 3", "array.wind_sped",
         "did you mean `wind_speed`, which belongs in [site]?"),
        ("rows = 4", "rows = 4\nzzz = 3", "array.zzz", "known here: rows, columns"),
        ("rows = 4", 'rows = 4\n"Low Edge-Clearance" = 3', 'array."Low Edge-Clearance"',
         "did you mean `low_edge_clearance`?"),
        ("[tolerances]", "[extra]\na = 1\n[tolerances]", "extra", "unknown section `extra`"),
        ('spacing = "9 ft"', 'spacing = "9 ft"\nsplce = {}', "frame.splce", "`splice`?"),
    ],
)  # fmt: skip
def test_an_unknown_key_is_refused_with_the_nearest_name(
    old: str, new: str, path: str, words: str
) -> None:
    ((where, message),) = problems((old, new))
    assert where == path
    assert words in message


def test_a_misspelt_section_is_one_problem() -> None:
    assert problems(("[piers]", "[peirs]")) == [
        ("peirs", "unknown section `peirs`; did you mean `piers`?")
    ]


def test_a_section_in_the_wrong_place_is_told_its_home() -> None:
    found = dict(problems(("[site.ground]", "[ground]")))
    assert "it belongs under [site.ground]" in found["ground"]
    assert "write [site.ground] with slope_across and slope_along" in found["site.ground"]


def test_brackets_of_headers() -> None:
    brace = 'direction = "across"\nstations = [2]\nlow = "6 in"\nhigh = "6 in"\n'
    pipe = ('#brace = "NPS 1-1/2 STD"', 'brace = "NPS 1-1/2 STD"')
    rail = "[frame.rail]"
    (where, message), *_ = problems(pipe, (rail, f"[frame.braces]\n{brace}{rail}"))
    assert (where, message) == ("frame.braces", "write the header with double brackets: "
                                "[[frame.braces]]")  # fmt: skip
    assert problems(("[tolerances]", "[[tolerances]]"))[-1] == (
        "tolerances", "write the header with single brackets: [tolerances]",
    )  # fmt: skip


def test_items_of_a_list_of_sections_are_counted_from_1() -> None:
    good = '[[frame.braces]]\ndirection = "across"\nstations = [2]\nlow = "6 in"\nhigh = "6 in"\n'
    bad = good.replace("across", "up").replace("stations = [2]", "stations = [2.5]")
    text = changed(('#brace = "NPS 1-1/2 STD"', 'brace = "NPS 1-1/2 STD"'),
                   ("[frame.rail]", f"{good}{bad}[frame.rail]"))  # fmt: skip
    with pytest.raises(PlanError) as caught:
        read_plan(text)
    first, second = caught.value.problems
    assert first.path == "frame.braces[2].direction"
    assert first.line == line_of(text, 'direction = "up"')
    assert second.path == "frame.braces[2].stations"
    assert second.message.startswith("value 1 of the list: 2.5 will not do")


def test_sections_by_name_keep_their_name() -> None:
    tube = '[frame.tubes."My tube 2-3/8"]\noutside_diameter = "2 in"\ndesign_wall = "1 in"\n'
    found = problems(("[frame.rail]", f'{tube}weight = "3 lb/ft"\n[frame.rail]'))
    assert found[0][0] == 'frame.tubes."My tube 2-3/8"'
    assert "as thick as the tube" in found[0][1]


def test_a_whole_section_is_judged_although_a_part_of_it_is_bad() -> None:
    """pydantic alone would stop at the rail and not look at the frame around it."""
    found = problems(
        ('name = "Generic 100"', "name = 100"),
        ('beam_inset = ["21 %", "21 %"]', 'beam_inset = ["61 %", "61 %"]'),
        ('soil_class = "4"\n', ""),
        ('slope_across = "4 %"', "slope_across = 4"),
    )
    assert [path for path, _ in found] == ["site", "site.ground.slope_across", "frame",
                                           "frame.rail.name"]  # fmt: skip


@pytest.mark.parametrize(
    ("old", "new", "path", "words"),
    [
        ('exposure = "C"', "exposure = C", "site.exposure", 'in quotes: exposure = "C"'),
        ('exposure = "C"', "exposure = ", "site.exposure", "nothing stands after the equals sign"),
        ('exposure = "C"', 'exposure = "C', "site.exposure", "the closing quote is missing"),
        ('exposure = "C"', 'exposure "C"', "site.exposure", "the equals sign is missing"),
        (
            'exposure = "C"',
            'exposure = "C"\nexposure = "C"',
            "site.exposure",
            "written twice, here",
        ),
        ('exposure = "C"', 'exposure = "\\C"', "site.exposure", "a backslash cannot stand"),
        ("wind_speed =", "wind speed =", "site.wind_speed", "has no spaces; write wind_speed ="),
        ('gap = "20 mm"', 'gap = "1 1/2""', "array.gap", 'for inches write "in"'),
        ("rows = 4", "rows = 04", "array.rows", "write the number 04"),
        ('["21 ft", "24 ft"]', '["21 ft", "24 ft"', "stock.pipe.prices", "the list is not closed"),
        ('["21 ft", "24 ft"]', "[21 ft, 24 ft]", "stock.pipe.lengths", "quote is missing"),
        ("[site.ground]", "[site]", "site", "begins twice"),
        ("[site.ground]", "[site.ground", "site", "ends with the bracket it began with"),
        ("rows = 4", "rows = 4\n!", "array", "neither key = value"),
        ("rows = 4", f"rows = {'[' * 3000}", "", "nested too deeply"),
    ],
)
def test_slips_of_writing(old: str, new: str, path: str, words: str) -> None:
    (where, message), *_ = problems((old, new))
    assert where == path
    assert words in message
    assert "\n" not in message


def test_slips_of_writing_do_not_hide_other_mistakes() -> None:
    found = problems(('exposure = "C"', "exposure = C"), ('gap = "20 mm"', "gap = 20 mm"),
                     ('steel = "ASTM A53 B"', "steel = 53"))  # fmt: skip
    assert [path for path, _ in found] == ["site.exposure", "array.gap", "frame.steel"]


def test_an_empty_plan_asks_for_every_section() -> None:
    with pytest.raises(PlanError) as caught:
        read_plan("")
    asked = " ".join(p.message for p in caught.value.problems)
    for part in outline().walk():
        if part.required and part.keys and len(part.path) == 1:
            assert part.header in asked


def test_load_plan_keeps_text_and_checksum(tmp_path: Path) -> None:
    raw = b"\xef\xbb\xbf" + STARTER.replace("\n", "\r\n").encode()
    path = tmp_path / "job.toml"
    path.write_bytes(raw)
    loaded = load_plan(path)
    assert loaded.plan == read_plan(STARTER)
    assert loaded.sha256 == hashlib.sha256(raw).hexdigest()
    assert loaded.source == str(path)
    assert read_plan(loaded.text) == loaded.plan


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    with pytest.raises(PlanError, match="no such file"):
        load_plan(tmp_path / "none.toml")
    with pytest.raises(PlanError, match="this is a folder"):
        load_plan(tmp_path)
    with pytest.raises(PlanError, match="cannot be opened"):
        load_plan("a\0b")
    path = tmp_path / "latin.toml"
    path.write_bytes(b'[job]\nname = "caf\xe9"\n')
    with pytest.raises(PlanError, match="line 2: this is not UTF-8 text"):
        load_plan(path)


def test_later_problems_can_be_given_their_lines() -> None:
    text = demo_text("alder-creek")
    later = [Problem("frame.spacing", "a"), Problem("piers", "b"), Problem("", "c"),
             Problem('stock.pipe.sections."NPS 4 STD".lengths', "d"),
             Problem("stock.pipe.lengths[2]", "e"), Problem("frame.brace", "f")]  # fmt: skip
    lines = [p.line for p in locate_problems(later, text)]
    named = line_of(text, '[stock.pipe.sections."NPS 4 STD"]') + 1
    assert lines == [line_of(text, "spacing ="), line_of(text, "[piers]"), None, named,
                     line_of(text, "lengths ="), line_of(text, "[frame]")]  # fmt: skip


def test_demo_plans() -> None:
    assert demo_plan_names() == ("alder-creek", "dry-gulch")
    alder, dry = (read_plan(demo_text(name), name) for name in demo_plan_names())
    assert alder.array.rows * alder.array.columns == 24
    assert dry.stock.splices.front is not None
    assert dry.stock.splices.back is not None
    with pytest.raises(PlanError, match="no demo plan 'wet'; there are: alder-creek, dry-gulch"):
        demo_text("wet")


def test_json_schema_speaks_as_the_plan_does() -> None:
    schema = Plan.model_json_schema()
    json.dumps(schema)
    frame = schema["$defs"]["Frame"]["properties"]
    assert frame["beam_end"]["default"] == "3 in"
    assert frame["beam_end"]["kind"] == "length"


def test_every_example_of_every_key_is_accepted() -> None:
    """Each example is written into the starter in place of the first one."""
    for part in outline().walk():
        for key in part.keys:
            assert key.description.endswith(".")
            for other in key.examples[1:]:
                text = changed((key.example_line, f"{key.name} = {json.dumps(other)}"))
                assert read_plan(text)


def test_part_at_finds_sections_only() -> None:
    assert part_at(()) is outline()
    assert part_at(("frame", "braces", 3)) is part_at(("frame", "braces"))
    assert part_at(("frame", "tubes", "x")) is part_at(("frame", "tubes"))
    assert part_at(("frame", "posts")) is None
