"""Every drawing of the build books of the demo plans: legible in both languages, wholly Spanish on
field drawings, on layers with names, and named in the model space of its DXF file."""

from __future__ import annotations

import io
import re
from collections import Counter
from functools import cache

import ezdxf
import numpy as np
import pytest

from demo_drawings import demo, drawn, heard, sheets
from plumbrail.papers import boxes
from plumbrail.papers.dxf import dxf
from plumbrail.papers.dxf_places import places
from plumbrail.papers.dxf_setup import UNITS
from plumbrail.papers.layers import LAYERS, layer_of, resting
from plumbrail.papers.names import LAYER, named
from plumbrail.papers.sheet import SMALLEST_TEXT, Circle, Line, Sheet, Text, View, page
from plumbrail.papers.svg import svg
from plumbrail.plan.demos import demo_plan_names
from sheets import assert_legible

PLANS = demo_plan_names()
CASES = [(name, paper, "") for name in PLANS for paper in ("Letter", "Tabloid")]
CASES += [("alder-creek", paper, "metric") for paper in ("A4", "A3")]
FIELD = ("site", "frame", "cutting", "truing", "energy")
"""Groups of drawings of which all words are told."""
WIRING = ("one-line", "wiring-map", "conduit-profile")
NAMES = {"alder-creek": ("Alder", "spruce", "Apple", "Old array", "Cold", "Ledge", "Road", "Yard",
                         "Telephone", "Well", "Generic", "Array", "plumbrail"),
         "dry-gulch": ("Dry Gulch", "Pump", "Generic", "plumbrail")}  # fmt: skip
"""What a person called things in the plan stays as written."""
NOTEBOOK = re.compile(r"[FB]\d+ base|pin \d|across|along")
"""Words that the reader of the notebook takes stay English on the field sheet."""
KEY = re.compile(r"(?:[a-z_]+\.)*(?:sun|air|[a-z]+_[a-z_]+)\.?")
"""A field of the plan file, alone in its line."""
NO_LAYER = {"0", "thin", "medium", "heavy", "hidden", "centre"}
"""Where things land that nobody gave a layer."""


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize(("name", "paper", "units"), CASES)
def test_every_drawing_is_legible(name: str, paper: str, units: str, language: str):
    made = drawn(name, paper, language, units)
    found = sheets(made)
    assert len(found) > 20
    for drawing, sheet in found:
        assert len(boxes.texts(sheet)) > 5, drawing
        assert_legible(sheet)


def field(name: str, language: str, units: str = "") -> dict[str, set[str]]:
    """The texts of every field drawing."""
    made = drawn(name, "A4" if units else "Letter", language, units)
    groups = [d for g in FIELD for d in made.groups[g]]
    groups += [d for d in made.wiring if d.name in WIRING]
    return {
        d.name: {t.text.replace("\u00a0", " ") for s in d.sheets for t in boxes.texts(s)}
        for d in groups
    }


@pytest.mark.parametrize(("name", "units"), [(n, "") for n in PLANS] + [("alder-creek", "metric")])
def test_no_english_is_left_on_spanish_field_drawings(name: str, units: str):
    """Not only what the catalogue was asked for: every word that both languages print alike."""
    english, spanish = field(name, "en", units), field(name, "es", units)
    assert english.keys() == spanish.keys()
    assert len(spanish) > 9
    for drawing, words in spanish.items():
        same = {w for w in words & english[drawing] if re.search("[a-z]{3}", w)}
        left = {
            w for w in same
            if not any(own in w for own in NAMES[name]) and not NOTEBOOK.fullmatch(w)
            and not KEY.fullmatch(w) and w != "diagonal"
        }  # fmt: skip
        assert left == set(), drawing


@pytest.mark.parametrize("name", PLANS)
def test_what_stays_english_is_heard(name: str):
    """What a book counts as untranslated names everything that its field drawings leave."""
    _, unsaid = heard(name, "Letter", "es")
    words = field(name, "es")
    flat = " ".join(w for found in words.values() for w in found)
    assert [text for text in unsaid if len(text) > 12 and text in flat] == []


@cache
def document(name: str, group: str):
    """The DXF file of a group of drawings, read back."""
    made = drawn(name, "Tabloid").groups[group]
    units = demo(name).plan.job.units
    data = dxf([s for d in made for s in d.sheets], units)
    return ezdxf.read(io.StringIO(data.decode("utf-8"))), made, units


GROUPS = [(n, g) for n in PLANS for g in ("site", "frame", "cutting", "truing", "wiring", "energy")]


@pytest.mark.parametrize(("name", "group"), GROUPS)
def test_every_entity_lies_on_a_layer_with_a_name(name: str, group: str):
    doc, _, _ = document(name, group)
    assert doc.audit().errors == []
    declared = {layer.dxf.name for layer in doc.layers}
    shown = [e for layout in doc.layouts for e in layout]
    blocks = [e for b in doc.blocks if b.name.startswith("*D") for e in b]
    assert len(shown) > 100
    for e in [*shown, *blocks]:
        assert e.dxf.layer in declared, e
        assert e.dxf.layer not in NO_LAYER, e
        assert e.dxf.layer in LAYERS or e.dxf.layer == "Defpoints", e


@pytest.mark.parametrize(("name", "group"), [g for g in GROUPS if g[1] in {"site", "frame",
                                                                          "wiring"}])  # fmt: skip
def test_names_stand_at_their_places_in_the_model_space_only(name: str, group: str):
    doc, made, units = document(name, group)
    k = UNITS[units].per_metre
    wanted = Counter()
    all_sheets = [s for d in made for s in d.sheets]
    for place in places(all_sheets, units):
        assert place.view.names, place.view.name
        for t in place.view.names:
            x, y = place.shift[0] + k * t.at[0], place.shift[1] + k * t.at[1]
            high = SMALLEST_TEXT * place.view.scale * UNITS[units].per_millimetre
            wanted[(t.text, round(x, 3), round(y, 3), round(high, 3))] += 1
    found = Counter(
        (e.dxf.text, round(e.dxf.insert.x, 3), round(e.dxf.insert.y, 3), round(e.dxf.height, 3))
        for e in doc.modelspace().query(f'TEXT[layer=="{LAYER}"]')
    )
    assert found == wanted
    assert all(not layout.query(f'*[layer=="{LAYER}"]') for layout in doc.layouts
               if layout.name != "Model")  # fmt: skip
    for layout in doc.layouts:
        for window in layout.viewports()[1:] if layout.name != "Model" else ():
            assert LAYER in window.frozen_layers
            assert "posts" not in window.frozen_layers


@pytest.mark.parametrize("name", PLANS)
def test_the_hole_at_a_model_coordinate_has_its_own_name(name: str):
    """Read from the file, without the drawing: the name nearest to a hole of the model is its."""
    doc, made, units = document(name, "site")
    posts = demo(name).design.analysis.planned.posts
    plan = next(d for d in made if d.name == "setting-out")
    spots = places([s for d in made for s in d.sheets], units)
    shift = next(p.shift[0] for p in spots if p.view is plan.sheets[0].views[0])
    said = [e for e in doc.modelspace().query("TEXT") if re.fullmatch(r"[FB]\d+", e.dxf.text)]
    at = np.array([(e.dxf.insert.x - shift, e.dxf.insert.y) for e in said]) / (
        UNITS[units].per_metre
    )
    for id, place in zip(posts.ids, posts.xy, strict=True):
        away = np.linalg.norm(at - place, axis=1)
        assert away.min() < 1e-6
        assert said[int(away.argmin())].dxf.text == id


def test_names_are_not_printed():
    view = View("v", 50.0, (100.0, 100.0), (Line((0.0, 0.0), (1.0, 0.0)),),
                named(["B7"], [(0.5, 0.0)]))  # fmt: skip
    sheet = Sheet("t", page("A4"), (view,), ())
    assert "B7" not in svg(sheet)
    assert not boxes.texts(sheet)


def test_lines_without_a_layer_rest_where_they_belong():
    frost, thin = Line((0, 0), (1, 0), "frost"), Circle((0, 0), 1.0)
    own, words = Line((0, 0), (1, 0), layer="posts"), Text((0, 0), "x")
    kept = resting("beams", [frost, thin, own, words])
    assert [layer_of(i).name for i in kept] == ["frost line", "beams", "posts", "text"]
    every = resting("table", [frost, thin, own, words], every=True)
    assert [layer_of(i).name for i in every] == ["table", "table", "posts", "text"]
    with pytest.raises(ValueError, match="no layer 'nowhere'"):
        resting("nowhere", [])
