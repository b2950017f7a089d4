"""Drawings: to scale, legible, complete, and safe to open."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from itertools import product
from xml.etree import ElementTree

import numpy as np
import pytest

from plans import model_with
from plumbrail.errors import RangeError
from plumbrail.papers import boxes
from plumbrail.papers.cut_sheet import StickDrawing, cut_sheet
from plumbrail.papers.elevations import elevations
from plumbrail.papers.explode import on_page
from plumbrail.papers.furniture import north_arrow
from plumbrail.papers.lettering import fit, width, wrap
from plumbrail.papers.placing import spread
from plumbrail.papers.section import section
from plumbrail.papers.setting_out import distances, levels, setting_out_plan
from plumbrail.papers.sheet import (
    SCALES,
    Circle,
    Dimension,
    Line,
    Sheet,
    Text,
    best_scale,
    page,
)
from plumbrail.papers.svg import svg
from plumbrail.papers.wording import JobInfo, bearing
from plumbrail.plan.models import SetOut
from plumbrail.setout.stakes import stake
from plumbrail.site.terrain import Plane
from sheets import (
    FINE_METRIC,
    FINE_US,
    assert_legible,
    dimensions,
    real_length,
    said_length,
    words,
)

US = JobInfo("Alder Creek cold store", "us", "3f9a1c07", "0.1.0")
METRIC = replace(US, units="metric")
PAGES = {
    "Letter landscape": (US, page("Letter")),
    "Tabloid portrait": (US, page("Tabloid", "portrait")),
    "A4 portrait": (METRIC, page("A4", "portrait")),
    "A3 landscape": (METRIC, page("A3")),
}
UNEVEN = ["3 ft", "3 ft", "12 ft", "10 ft 5/16 in", "2 ft 6 in", "14 ft", "3 ft"]
SHAPES = {
    "2": {"frame.posts": 2, "array.columns": 2},
    "4": {},
    "10": {"frame.posts": 10, "array.columns": 15},
    "40": {"frame.posts": 40, "array.columns": 62},
    "uneven": {"frame.posts": 8, "array.columns": 9, "frame.spacing": UNEVEN},
}
KINDS = ("setting out", "elevations", "section", "cut sheet")
FROST = 0.6096


@cache
def model(shape):
    return model_with(SHAPES[shape])


@cache
def drawings(shape, where, kind):
    job, paper = PAGES[where]
    m = model(shape)
    if kind == "setting out":
        return setting_out_plan(m, stake(m, SetOut()), job, paper)
    if kind == "elevations":
        long = m.beams.length
        return elevations(m, job, paper, FROST, ((0.31 * long, 0.7 * long), (0.5 * long,)))
    if kind == "section":
        return section(m, job, paper, m.stations, FROST)
    return cut_sheet(sticks(m), job, paper)


def sticks(m):
    found = [
        StickDrawing(6.4008, ((name, float(cut)), ("sleeve", 0.15)), 6.25 - float(cut), "NPS 2 XS")
        for name, cut in zip(m.posts.ids, m.posts.length, strict=True)
    ]
    return (*found, StickDrawing(6.4008, tuple((f"tie {i}", 0.1) for i in range(60)), 0.2))


every = pytest.mark.parametrize(("shape", "where", "kind"), list(product(SHAPES, PAGES, KINDS)))


@every
def test_no_text_overlaps_runs_off_or_is_too_small(shape, where, kind):
    for sheet in drawings(shape, where, kind):
        assert_legible(sheet)


@every
def test_every_dimension_says_the_real_distance_between_its_points(shape, where, kind):
    metric = PAGES[where][0].units == "metric"
    found = dimensions(drawings(shape, where, kind))
    for d in found:
        assert abs(said_length(d, metric) - real_length(d)) <= (FINE_METRIC if metric else FINE_US)
    assert len(found) >= (0 if kind == "cut sheet" else 2)


@every
def test_the_svg_is_well_formed_black_and_alone(shape, where, kind):
    for sheet in drawings(shape, where, kind):
        text = svg(sheet)
        root = ElementTree.fromstring(text)
        assert root.get("viewBox") == f"0 0 {sheet.page.width:g} {sheet.page.height:g}"
        assert "http" not in text.replace("http://www.w3.org/2000/svg", "")
        assert set(re.findall(r"#[0-9a-f]{3,6}\b", text)) <= {"#000", "#fff", "#e4e4e4"}
        shown = ["".join(t.itertext()) for t in root.iter("{http://www.w3.org/2000/svg}text")]
        assert sorted(shown) == sorted(t.text for t in boxes.texts(sheet))


@pytest.mark.parametrize(("shape", "where"), list(product(SHAPES, PAGES)))
def test_every_hole_is_on_the_plan_and_in_both_tables(shape, where):
    sheets = drawings(shape, where, "setting out")
    ids = set(model(shape).posts.ids)
    plans = [s for s in sheets if s.views]
    tables = [s for s in sheets if not s.views]
    assert ids <= set(words(plans))
    assert all(words(tables).count(name) >= 2 for name in ids)
    assert any("Call before you dig" in w for w in words(plans))
    assert {"Pin 1", "Pin 2", "N"} <= set(words(plans))


@pytest.mark.parametrize(("shape", "where"), list(product(SHAPES, PAGES)))
def test_holes_lie_to_scale(shape, where):
    """Circles on the page, measured back with the printed scale, are the holes of the model."""
    m = model(shape)
    for sheet in drawings(shape, where, "setting out"):
        for view in sheet.views:
            alone = replace(sheet, views=(view,), items=())
            holes = [c for c in on_page(alone) if isinstance(c, Circle) and c.fill == "paper"]
            assert len(holes) >= 4
            assert any(str(round(view.scale)) in w for w in words([sheet]) if "Scale" in w)
            for hole in holes:
                real = np.subtract(hole.centre, view.origin) * view.scale / 1000
                assert np.linalg.norm(m.posts.xy - real, axis=1).min() < 1e-9
                assert hole.radius * view.scale / 1000 == pytest.approx(m.piers.diameter / 2)


def test_the_demo_reads_as_a_builder_expects():
    found = words(drawings("4", "Letter landscape", "setting out"))
    assert found.count("9' 0\"") >= 3
    assert "27' 0\"" in found
    assert "Base line 39' 0\" from pin 1 to pin 2, bearing 088.0° from true north" in found
    assert "Scale 3/16\" = 1' (1:64) · feet and inches to 1/16" in found
    assert any(w.startswith("up ") for w in found)


def test_a_rod_is_never_negative_and_a_poor_fix_is_said():
    m = model("4")
    s = stake(m, SetOut.model_construct(laser_height=0.2))
    table = levels(s, US)
    rods = [i for i, head in enumerate(table.headings) if head.startswith("Rod")]
    assert len(rods) == 3
    assert not any(row[i].startswith("-") for row in table.rows for i in rods)
    assert all(row[rods[-1]].startswith("up ") for row in table.rows)
    line = stake(m, SetOut.model_construct(pin_1=(-2.0, 0.0), pin_2=(12.0, 0.0)))
    row = distances(line, US).rows[0]
    assert row[-2:] == ("none", "no fix")
    assert "nan" not in " ".join(row)


@pytest.mark.parametrize(
    ("one", "two"),
    [((-2, 0), (12, 0)), ((-1, 5), (9, 5)), ((-2, -3), (-2, 4)), ((10.5, -4), (-3, 6)),
     ((4.1, -1), (4.1, 8)), ((-12, -9), (20, -1))],
)  # fmt: skip
@pytest.mark.parametrize("where", PAGES)
def test_pins_anywhere_leave_the_plan_legible(one, two, where):
    m = model("4")
    job, paper = PAGES[where]
    pins = SetOut.model_construct(pin_1=one, pin_2=two)
    for sheet in setting_out_plan(m, stake(m, pins), job, paper):
        assert boxes.overlaps(sheet) == []
        assert boxes.off_page(sheet) == []


def test_corners_are_called_the_start_only_where_the_tapes_fix_them():
    m, start = model("4"), "Set the four corner holes"
    for pins, said in (
        (SetOut(), True),
        (SetOut.model_construct(pin_1=(-2, 0), pin_2=(12, 0)), False),
    ):
        first = setting_out_plan(m, stake(m, pins), US, page("Letter"))[0]
        assert any(start in w for w in words([first])) is said


@pytest.mark.parametrize("fall", [(-0.2, 0.25), (0.15, -0.1), (0.0, 0.0)])
def test_steep_ground_leaves_elevation_and_section_legible(fall):
    m = model_with(
        {
            "site.ground.slope_along": f"{100 * fall[0]} %",
            "site.ground.slope_across": f"{100 * fall[1]} %",
        }
    )
    for sheet in (*elevations(m, US, page("Letter"), FROST), *section(m, US, page("Letter"))):
        assert boxes.overlaps(sheet) == []
        assert boxes.off_page(sheet) == []


@pytest.mark.parametrize("tilt", [10.0, 20.0, 45.0, 55.0])
def test_section_shows_the_tilt(tilt):
    m = model_with({"array.tilt": f"{tilt} deg", "array.tilt_band": [f"{tilt} deg", f"{tilt} deg"]})
    for where in PAGES:
        job, paper = PAGES[where]
        (sheet,) = section(m, job, paper, 2, FROST)
        assert boxes.overlaps(sheet) == []
        assert any(f"Tilt {tilt:.1f}°" in w for w in words([sheet]))


def test_missing_frost_and_splices_are_said_not_drawn():
    m = model("4")
    found = " ".join(words(elevations(m, US, page("Letter"))))
    assert "Frost depth was not given" in found
    assert "No splices were given" in found
    assert "frost line" not in words(section(m, US, page("Letter")))


def test_what_cannot_be_drawn_is_refused():
    m = model("4")
    with pytest.raises(RangeError, match="station 5 is not one of 1 to 4"):
        section(m, US, page("Letter"), 5)
    with pytest.raises(RangeError, match="lies off the beam"):
        elevations(m, US, page("Letter"), FROST, ((99.0,), ()))
    with pytest.raises(ValueError, match="no page 'A9'"):
        page("A9")
    with pytest.raises(ValueError, match="take a larger page"):
        best_scale(1e6, 1.0, (200.0, 200.0), "us")
    with pytest.raises(RangeError, match="more than the stick"):
        cut_sheet((StickDrawing(6.0, (("F1", 5.0), ("F2", 1.5)), 0.0),), US, page("Letter"))
    with pytest.raises(RangeError, match="more than nothing"):
        cut_sheet((StickDrawing(6.0, (("F1", 0.0),), 0.0),), US, page("Letter"))


def test_a_cut_sheet_has_a_box_and_a_line_for_every_piece():
    sheets = drawings("4", "Letter landscape", "cut sheet")
    listed = [w for w in words(sheets) if re.match(r"\d+: ", w)]
    assert len(listed) == 8 * 2 + 60
    squares = [
        p for s in sheets for p in s.items
        if getattr(p, "closed", False) and abs(p.points[1][0] - p.points[0][0] - 2.8) < 1e-9
    ]  # fmt: skip
    assert len(squares) == len(listed)
    for piece in ("F1", "B4"):
        assert any(f": {piece} · " in w for w in listed)


def test_bars_are_to_one_scale():
    stick = StickDrawing(6.0, (("a", 3.0), ("b", 1.5)), 1.5)
    (sheet,) = cut_sheet((stick,), US, page("Letter"))
    bars = [p for p in sheet.items if getattr(p, "closed", False) and len(p.points) == 4]
    long = [p.points[1][0] - p.points[0][0] for p in bars if p.points[3][1] - p.points[0][1] == 6.0]
    whole, a, b = sorted(long, reverse=True)
    assert (a / whole, b / whole) == pytest.approx((0.5, 0.25))


HOSTILE = '<script>alert("1")</script> & Söhne \u0007 ' + "very long name " * 20


def test_names_are_escaped_and_cut_to_fit():
    job = replace(US, name=HOSTILE)
    for sheet in section(model("4"), job, page("A4", "portrait")):
        text = svg(sheet)
        assert "<script" not in text
        assert "&lt;script&gt;" in text
        ElementTree.fromstring(text)
        assert boxes.off_page(sheet) == []
        assert boxes.overlaps(sheet) == []


def sheet_of(*items):
    return Sheet("test", page("A4"), (), items)


@pytest.mark.parametrize(
    ("one", "other", "meet"),
    [
        (Text((50, 50), "F10"), Text((53, 50), "F11"), True),
        (Text((50, 50), "F10"), Text((60, 50), "F11"), False),
        (Text((50, 50), "F10"), Text((50, 53), "F11"), True),
        (Text((50, 50), "F10"), Text((50, 54), "F11"), False),
        (Text((50, 50), "long words", angle=90.0), Text((45, 60), "F11"), True),
        (Text((50, 50), "long words", angle=90.0), Text((51, 60), "F11"), False),
        (Text((50, 50), "long words", angle=45.0), Text((58, 50), "F1"), False),
        (Text((50, 50), "long words", angle=45.0), Text((54, 56), "F1"), True),
    ],
)
def test_the_overlap_check_can_fail(one, other, meet):
    assert bool(boxes.overlaps(sheet_of(one, other))) is meet


def test_the_page_check_can_fail():
    assert boxes.off_page(sheet_of(Text((290, 50), "runs off the right"))) != []
    assert boxes.off_page(sheet_of(Text((50, 2), "low"))) != []
    assert boxes.off_page(sheet_of(Text((50, 50), "inside"))) == []


def test_a_dimension_comes_apart_into_lines_and_upright_words():
    down = on_page(sheet_of(Dimension((50, 80), (50, 40), 6.0, "40")))
    (text,) = [m for m in down if isinstance(m, Text)]
    lines = [m for m in down if isinstance(m, Line)]
    assert text.angle == 90.0
    assert len(lines) == 5
    assert (56.0, 80.0) in {lines[0].start, lines[0].end}  # left of start to end, seen along it
    (left,) = [m for m in on_page(sheet_of(Dimension((90, 50), (50, 50), 5.0, "40")))
               if isinstance(m, Text)]  # fmt: skip
    assert left.angle == 0.0
    with pytest.raises(ValueError, match="has no length"):
        on_page(sheet_of(Dimension((1, 1), (1, 1), 3.0, "0")))


def test_spread_keeps_order_and_gap_and_moves_nothing_it_need_not():
    assert spread([0.0, 10.0, 20.0], [3.0, 3.0, 3.0], 1.0) == pytest.approx([0, 10, 20])
    crowded = spread([0.0, 1.0, 2.0, 50.0], [4.0] * 4, 1.0)
    assert np.diff(crowded).min() >= 5.0 - 1e-9
    assert crowded[1] == pytest.approx(1.0)
    assert crowded[3] == pytest.approx(50.0)


def test_lettering_is_no_narrower_than_a_common_wide_face():
    """Advance widths at 1000 units to the em of a free wide sans-serif face, read from its file."""
    advance = {
        "0": 636,
        "F": 575,
        "B": 686,
        "'": 275,
        '"': 460,
        "/": 337,
        " ": 318,
        "m": 974,
        "e": 615,
    }
    for letter, units in advance.items():
        assert width(letter, 0.73) >= units / 1000 - 1e-9


def test_words_are_wrapped_and_cut_by_their_width():
    rows = wrap("one two three four five six seven eight nine ten", 30.0, 2.5)
    assert " ".join(rows) == "one two three four five six seven eight nine ten"
    assert all(width(r, 2.5) <= 30.0 for r in rows)
    assert width(fit("a very long name indeed", 20.0, 2.5), 2.5) <= 20.0
    assert fit("short", 20.0, 2.5) == "short"
    measure = US.said(2.5908)
    assert wrap(f"{'x' * 8} {measure}", 20.0, 2.5)[-1] == measure  # never broken in two


def test_scales_are_those_of_rulers_and_grow():
    for system in ("us", "metric"):
        ratios = [s.ratio for s in SCALES[system]]
        assert ratios == sorted(ratios)
    assert best_scale(12.0, 4.0, (254.0, 150.0), "us").ratio == 48


def test_bearing_never_reads_360():
    assert bearing(np.radians(359.97)) == "000.0°"
    assert bearing(np.radians(88)) == "088.0°"


@pytest.mark.parametrize(("row", "x", "y"), [(90, 0, 1), (0, 1, 0), (180, -1, 0), (270, 0, -1)])
def test_north_arrow(row, x, y):
    """A row that runs east has north toward the back, up the sheet."""
    shaft = next(i for i in north_arrow((0.0, 0.0), np.radians(row)) if isinstance(i, Line))
    way = np.subtract(shaft.end, shaft.start)
    np.testing.assert_allclose(way / np.linalg.norm(way), (x, y), atol=1e-9)


def test_flat_ground_says_the_tape_reads_the_same():
    m = model("4")
    ground = Plane(0.0, 0.0)
    flat = replace(m, terrain=ground, posts=replace(m.posts, ground=np.zeros(8)))
    rows = distances(stake(flat, SetOut()), US).rows
    assert all(row[6] == row[8] == "same" for row in rows)
