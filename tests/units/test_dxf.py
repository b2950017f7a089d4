"""DXF files read back by a CAD library: real coordinates, real dimensions, nothing amiss."""

from __future__ import annotations

import io
from dataclasses import replace
from functools import cache
from itertools import pairwise
from math import dist

import ezdxf
import numpy as np
import pytest

from plans import model_with
from plumbrail.jobs.demo import copy_demo, copy_notebooks, main_job, truing_name
from plumbrail.jobs.drawing import cut_sheets, frame_sheets, stake_sheets
from plumbrail.jobs.truing import truing_sheets
from plumbrail.papers.dxf import dxf
from plumbrail.papers.dxf_places import places
from plumbrail.papers.dxf_setup import UNITS
from plumbrail.papers.dxf_text import plain_words, table_name
from plumbrail.papers.elevations import elevations
from plumbrail.papers.layers import LAYERS, layer_of, on
from plumbrail.papers.section import section
from plumbrail.papers.setting_out import setting_out_plan
from plumbrail.papers.sheet import (
    DASHES,
    PENS,
    Arc,
    Circle,
    Dimension,
    Hatch,
    Line,
    Polyline,
    Sheet,
    Text,
    View,
    page,
)
from plumbrail.papers.wording import JobInfo
from plumbrail.plan.demos import demo_plan_names
from plumbrail.plan.models import SetOut
from plumbrail.setout.stakes import stake

NEAR = 1e-6
"""Metres."""
JOBS = {
    "us": (JobInfo("Alder Creek cold store", "us", "3f9a1c07", "0.1.0"), page("Letter")),
    "metric": (JobInfo("Alder Creek cold store", "metric", "3f9a1c07", "0.1.0"), page("A3")),
}
both = pytest.mark.parametrize("units", ["us", "metric"])


def read(data):
    return ezdxf.read(io.StringIO(data.decode("utf-8")))


@cache
def drawn(units, kind):
    """Sheets, their document, and the model."""
    job, paper = JOBS[units]
    m = model_with({"frame.posts": 5, "array.columns": 8})
    sheets = {
        "section": lambda: section(m, job, paper, 2, 0.6),
        "elevations": lambda: elevations(m, job, paper, 0.6),
        "setting out": lambda: setting_out_plan(m, stake(m, SetOut()), job, paper),
    }[kind]()
    return sheets, read(dxf(sheets, units)), m


@pytest.fixture(scope="module", params=demo_plan_names())
def demo_sheets(request, tmp_path_factory):
    folder = str(tmp_path_factory.mktemp(request.param))
    job = main_job(copy_demo(request.param, folder), copy_notebooks(request.param, folder))
    made = job.design
    all_drawn = [
        *stake_sheets(job.staking), *frame_sheets(made),
        *cut_sheets(made.run, made.plan, job.cutting),
        *(truing_sheets(t, truing_name(t)) for t in job.truing),
    ]  # fmt: skip
    return [s for d in all_drawn for s in d.sheets], made.plan.job.units


def dimensions(sheets):
    views = [i for s in sheets for v in s.views for i in v.items]
    return [i for i in [*views, *(i for s in sheets for i in s.items)] if isinstance(i, Dimension)]


def entities(doc):
    return [e for layout in doc.layouts for e in layout]


def in_metres(places_, doc, units, kind):
    """(view name, entity, function to metres of the view) for entities of a kind."""
    for place, group in zip(places_, doc.groups.groups(), strict=True):
        for e in group:
            if e.dxftype() == kind:
                yield (
                    place.view.name, e,
                    lambda p, s=place.shift: tuple(
                        (np.array([p[0], p[1]]) - s) / UNITS[units].per_metre),
                )  # fmt: skip


def outlines(units, kind):
    sheets, doc, m = drawn(units, kind)
    found = {}
    for name, e, metres in in_metres(places(sheets, units), doc, units, "LWPOLYLINE"):
        found.setdefault(name, []).append(np.array([metres(p) for p in e.get_points()]))
    return found, m


def closest(outlines_, wanted):
    return min(
        (float(np.abs(o - wanted).max()) for o in outlines_ if o.shape == np.shape(wanted)),
        default=np.inf,
    )


def upright(x, wide, low, high):
    h = wide / 2
    return [(x - h, low), (x + h, low), (x + h, high), (x - h, high)]


def test_every_demo_drawing_is_sound_and_complete(demo_sheets):
    sheets, units = demo_sheets
    data = dxf(sheets, units)
    doc = read(data)
    audit = doc.audit()
    assert audit.errors == []
    assert audit.fixes == []
    assert {e.dxf.layer for e in entities(doc)} <= set(LAYERS)
    drawn_dims = [e for e in entities(doc) if e.dxftype() == "DIMENSION"]
    recorded = dimensions(sheets)
    assert len(drawn_dims) == len(recorded)
    wanted = sorted(plain_words(d.text) or " " for d in recorded)
    assert sorted(e.dxf.text for e in drawn_dims) == wanted
    assert len(doc.layouts) == len(sheets) + 1
    assert data == dxf(sheets, units)


def test_no_face_of_the_machine_is_asked_for(monkeypatch):
    """Else the file would depend on what is installed."""
    from ezdxf.fonts import fonts

    sheets, _, _ = drawn("us", "section")
    with_faces = dxf(sheets, "us")

    def refused(*_, **__):
        raise AssertionError("a face of the machine was asked for")

    monkeypatch.setattr(fonts, "make_font", refused)
    monkeypatch.setattr(fonts.font_manager, "get_ttf_font", refused)
    assert dxf(sheets, "us") == with_faces


@both
def test_posts_of_the_section_stand_where_the_model_has_them(units):
    found, m = outlines(units, "section")
    (shapes,) = found.values()
    for i in (1, m.stations + 1):
        post = upright(m.posts.xy[i, 1], m.posts.section.OD, m.posts.foot[i], m.posts.top[i])
        assert closest(shapes, post) < NEAR
        top = m.posts.ground[i] + m.piers.above_grade
        pier = upright(m.posts.xy[i, 1], m.piers.diameter, m.piers.bottom[i], top)
        assert closest(shapes, pier) < NEAR
        assert closest(shapes, np.add(post, 10 * NEAR)) > NEAR


@both
def test_posts_of_the_elevations_stand_where_the_model_has_them(units):
    found, m = outlines(units, "elevations")
    shapes = [o for own in found.values() for o in own]
    assert len(found) >= 2
    for i in range(2 * m.stations):
        post = upright(m.posts.xy[i, 0], m.posts.section.OD, m.posts.foot[i], m.posts.top[i])
        assert closest(shapes, post) < NEAR


@both
def test_holes_of_the_setting_out_plan_lie_where_the_model_has_them(units):
    sheets, doc, m = drawn(units, "setting out")
    found = list(in_metres(places(sheets, units), doc, units, "CIRCLE"))
    k = UNITS[units].per_metre
    holes = [(metres(e.dxf.center), e.dxf.radius / k) for _, e, metres in found]
    for x, y in m.posts.xy:
        near = [r for c, r in holes if dist(c, (x, y)) < NEAR]
        assert near == [pytest.approx(m.piers.diameter / 2, abs=NEAR)]


@both
@pytest.mark.parametrize("kind", ["section", "elevations", "setting out"])
def test_a_dimension_measures_what_it_says(units, kind):
    sheets, doc, _ = drawn(units, kind)
    k = UNITS[units].per_metre
    measured = sorted(
        (round(e.get_measurement() / k, 7), e.dxf.text) for e in doc.modelspace().query("DIMENSION")
    )
    recorded = [d for s in sheets for v in s.views for d in v.items if isinstance(d, Dimension)]
    wanted = sorted((round(dist(d.start, d.end), 7), d.text or " ") for d in recorded)
    assert [m[1] for m in measured] == [w[1] for w in wanted]
    np.testing.assert_allclose([m[0] for m in measured], [w[0] for w in wanted], atol=NEAR)
    assert all(e.dxf.geometry in doc.blocks for e in doc.modelspace().query("DIMENSION"))


@both
def test_units_and_scales_are_those_of_the_sheet(units):
    sheets, doc, _ = drawn(units, "section")
    assert doc.header["$INSUNITS"] == {"us": 1, "metric": 4}[units]
    assert UNITS[units].per_metre == {"us": pytest.approx(39.37007874), "metric": 1000.0}[units]
    layout = doc.layouts.get(doc.layout_names_in_taborder()[1])
    (window,) = [v for v in layout.query("VIEWPORT") if v.dxf.id > 1]
    scale = sheets[0].views[0].scale
    paper = {"us": 25.4, "metric": 1.0}[units]
    assert window.dxf.view_height * paper == pytest.approx(scale * window.dxf.height)
    style = doc.dimstyles.get(f"1-{scale:g}")
    assert style.dxf.dimtxt == 2.5
    assert style.dxf.dimscale * paper == pytest.approx(scale)
    (width, height) = (layout.dxf_layout.dxf.paper_width, layout.dxf_layout.dxf.paper_height)
    assert (width, height) == (sheets[0].page.width, sheets[0].page.height)
    front = next(t for t in doc.modelspace().query("TEXT") if t.dxf.text == "FRONT")
    assert front.dxf.height * paper == pytest.approx(3.0 * scale)


def test_what_a_viewport_shows_is_one_view_alone():
    sheets, doc, _ = drawn("us", "elevations")
    found = places(sheets, "us")
    assert found[0].shift == (0.0, 0.0)
    spans = []
    for place in found:
        mm = place.view.scale / 25.4
        x = place.shift[0] - place.view.origin[0] * mm
        spans.append((x + place.window.low[0] * mm, x + place.window.high[0] * mm))
    assert all(a[1] < b[0] for a, b in pairwise(spans))
    assert all(place.shift[0] % 120 == 0 for place in found)
    assert len(list(doc.groups)) == len(found) >= 2


def sheet_of(*items, title="test"):
    return Sheet(title, page("A4"), (View("v", 50.0, (20.0, 20.0), items),), ())


def test_a_layer_of_an_item_goes_before_that_of_its_kind():
    items = on("posts", (Line((0, 0), (1, 0), "hidden"), Circle((0, 0), 1.0, "medium")))
    space = read(dxf([sheet_of(*items)], "metric")).modelspace()
    line, circle = space.query("LINE").first, space.query("CIRCLE").first
    assert (line.dxf.layer, circle.dxf.layer) == ("posts", "posts")
    assert (line.dxf.linetype, line.dxf.lineweight) == ("hidden", 25)
    assert (circle.dxf.linetype, circle.dxf.lineweight) == ("BYLAYER", -1)


def test_a_layer_that_is_not_in_the_list_is_refused():
    with pytest.raises(ValueError, match="no layer 'posst'; layers are: posts, beams"):
        on("posst", (Line((0, 0), (1, 0)),))
    with pytest.raises(ValueError, match="no layer 'other'"):
        dxf([sheet_of(Text((0, 0), "x", layer="other"))], "us")


def test_every_pen_and_every_kind_has_a_layer_and_its_line():
    for pen in (*PENS, *DASHES):
        layer = layer_of(Line((0, 0), (1, 0), pen))
        assert layer.pen == pen
    doc = read(dxf([sheet_of(Line((0, 0), (1, 0)))], "us"))
    for layer in LAYERS.values():
        made = doc.layers.get(layer.name)
        assert made.dxf.lineweight == round(100 * layer.weight)
        assert made.dxf.linetype == (layer.linetype or "Continuous")
        assert made.dxf.color == 7
        assert made.dxf.linetype in doc.linetypes


def test_every_kind_of_item_is_drawn():
    square = ((0, 0), (1, 0), (1, 1), (0, 1))
    items = (
        Polyline(square, "medium", True, "paper"), Polyline(square, "medium", True, "light"),
        Circle((3, 3), 0.2, fill="dark"), Arc((0, 0), 1.0, 10.0, 80.0), Hatch(square, "concrete"),
        Hatch(square, "ground"), Text((0, 0), "clear", clear=True), Text((0, 0), "plain"),
    )  # fmt: skip
    on_page = (Dimension((10, 10), (60, 10), 5.0, "50"), Line((0, 0), (9, 9)))
    doc = read(dxf([replace(sheet_of(*items), items=on_page)], "metric"))
    kinds = [e.dxftype() for e in doc.modelspace()]
    assert {k: kinds.count(k) for k in ("WIPEOUT", "HATCH", "ARC", "MTEXT")} == {
        "WIPEOUT": 1, "HATCH": 4, "ARC": 1, "MTEXT": 1,
    }  # fmt: skip
    (measured,) = doc.layouts.get(doc.layout_names_in_taborder()[1]).query("DIMENSION")
    assert measured.get_measurement() == pytest.approx(50.0)
    names = {h.dxf.pattern_name for h in doc.modelspace().query("HATCH")}
    assert names == {"CONCRETE", "GROUND", "SOLID"}


HOSTILE = "%%d {\\C1;x} \\U+00B0 <> ^J \n\x07 ⌀ 12′-3″ ñ ≤ \ud800 end"


def test_words_are_never_commands():
    items = (
        Text((0, 0), HOSTILE), Text((0, 1), HOSTILE, clear=True),
        Dimension((0, 0), (1, 0), 5.0, HOSTILE),
    )  # fmt: skip
    sheet = sheet_of(*items, title='a/b:<c>*?|="' + "long " * 90)
    doc = read(dxf([sheet, sheet], "us", title=HOSTILE))
    assert not doc.audit().has_errors
    line, block = doc.modelspace().query("TEXT").first, doc.modelspace().query("MTEXT").first
    for words in (line.plain_text(), block.plain_text()):
        assert "{\\C1;x}" in words
        assert "°" not in words
        assert "⌀ 12′-3″ ñ ≤" in words
        assert words.endswith("end")
    measured = doc.modelspace().query("DIMENSION").first
    assert "<>" not in measured.dxf.text
    assert len(set(doc.layout_names())) == 3


def test_names_of_tabs_are_short_allowed_and_apart():
    taken = {"model"}
    names = [table_name(t, taken) for t in ("Model", "model", "a/b", "", "x" * 300)]
    assert names[:4] == ["Model (2)", "model (3)", "a-b", "sheet"]
    assert len(names[4]) == 60


def test_nothing_to_draw_is_refused():
    with pytest.raises(ValueError, match="at least one sheet"):
        dxf([], "us")
