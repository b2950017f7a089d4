"""Boundary, easements, services and areas on the site plan."""

from dataclasses import replace
from functools import cache
from itertools import product
from math import hypot

import numpy as np
import pytest
import tomlkit

from plans import FOOT
from plumbrail.jobs.siting import site_to_draw
from plumbrail.model.build import build_planned
from plumbrail.papers import boxes
from plumbrail.papers.explode import on_page
from plumbrail.papers.sheet import Dimension, Hatch, Line, Text, page
from plumbrail.papers.site_plan import site_plan
from plumbrail.papers.site_plan_bounds import cut_to, to_boundary
from plumbrail.papers.site_plan_marks import Frame
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import listening, speaking
from plumbrail.plan.demos import demo_text
from plumbrail.plan.reader import read_plan
from plumbrail.setout.stakes import stake
from plumbrail.site.flat import closed, room_inside, to_line
from sheets import assert_legible, words

PAGES = {
    "Letter": ("us", page("Letter")), "Tabloid": ("us", page("Tabloid")),
    "Tabloid upright": ("us", page("Tabloid", "portrait")),
    "A4 upright": ("metric", page("A4", "portrait")), "A3": ("metric", page("A3")),
}  # fmt: skip
DEMOS = ("alder-creek", "dry-gulch")
EDGE = ((-12.0, -10.0), (20.0, -9.0), (25.0, 14.0), (-10.0, 15.0))


@cache
def demo(name, change=None):
    document = tomlkit.parse(demo_text(name))
    if change is not None:
        change(document["site"])
    plan = read_plan(tomlkit.dumps(document))
    return plan, build_planned(plan)


def drawn(name, where, language="en", change=None, at=((8.0, 3.4),)):
    plan, model = demo(name, change)
    units, paper = PAGES[where]
    with speaking(language, units):
        pins = stake(model, plan.setout).base.pins
        site = site_to_draw(plan, model, pins, [np.array(b) for b in at])
        return site, site_plan(site, JobInfo(plan.job.name, units, "0", "0"), paper)


def tight(site):
    """A boundary near enough to be drawn on every side, with areas of every kind."""
    site["boundary"]["points"] = [[f"{x} m", f"{y} m"] for x, y in EDGE]
    strip = [["-12 m", "-10 m"], ["20 m", "-9 m"], ["20 m", "-7 m"], ["-12 m", "-8 m"]]
    site["easements"] = [{"name": "Strip", "points": strip}]
    site["regions"] = [
        {"name": "Septic field", "kind": "keep out", "points": box(14, 6, 2)},
        {"name": "Oak roots", "kind": "roots", "dig_factor": 3.0, "points": box(-6, 8, 3)},
    ]


def box(x, y, half):
    return [[f"{x + a} m", f"{y + b} m"] for a, b in
            ((-half, -half), (half, -half), (half, half), (-half, half))]  # fmt: skip


def nothing(site):
    for name in ("services", "easements", "regions", "boundary", "locate"):
        site.pop(name, None)


@pytest.mark.parametrize(
    ("name", "where", "language", "change"),
    list(product(DEMOS, PAGES, ["en", "es"], [None, nothing]))
    + list(product(["alder-creek"], PAGES, ["en", "es"], [tight])),
)
def test_it_is_legible_on_every_page(name, where, language, change):
    _, sheets = drawn(name, where, language, change)
    for sheet in sheets:
        # what every sheet says at its foot is cut on upright A4 in Spanish; that is no part of this
        foot = [t for t in sheet.items if isinstance(t, Text) and t.layer == "title"]
        rest = replace(sheet, items=tuple(m for m in sheet.items if m not in foot))
        assert_legible(rest)
        assert boxes.overlaps(sheet) == []


def test_what_is_lengthsof_the_boundary_lies_on_it():
    site, sheets = drawn("alder-creek", "A3", change=tight)
    items = sheets[0].views[0].items
    edge = closed(site.grounds.property_line)
    long = [m for m in items if isinstance(m, Line) and m.layer == "site" and m.pen == "base"]
    assert len(long) == 4
    assert to_line([p for m in long for p in (m.start, m.end)], edge).max() < 1e-9
    back = [m for m in items if isinstance(m, Line) and m.layer == "setbacks"]
    middles = [np.mean([m.start, m.end], axis=0) for m in back]
    setback = site.grounds.boundary.setback
    assert back
    assert room_inside(middles, edge[:-1]) == pytest.approx(setback, abs=1e-6)


def test_the_distance_to_the_boundary_is_lengthswith_its_length():
    site, sheets = drawn("alder-creek", "Letter")
    found = to_boundary(site)
    lengths = [m for m in sheets[0].views[0].items if isinstance(m, Dimension)]
    near = [m for m in lengths for p in (m.start, m.end) if np.allclose(p, found.there)]
    assert len(near) == 1
    (x0, y0), (x1, y1) = near[0].start, near[0].end
    assert hypot(x1 - x0, y1 - y0) == pytest.approx(found.distance)
    assert near[0].text.replace("\u00a0", " ") in {"47' 11\"", ""}
    assert 47.9 * FOOT < found.distance < 48 * FOOT


def test_easements_are_hatched_and_areas_numbered():
    _, sheets = drawn("alder-creek", "Letter", change=tight)
    said = words(sheets)
    assert {"A1 Strip", "A3 Oak roots", "Boundary"} <= set(said)
    assert {"A2 Septic field", "A2"} & set(said)
    hatches = [m for m in sheets[0].views[0].items if isinstance(m, Hatch)]
    assert len(hatches) == 2  # roots have a dotted edge only
    assert "Easements and areas" in said
    assert "keep out" in said
    assert "× 3" in said


def test_nothing_known_says_so():
    _, sheets = drawn("alder-creek", "Letter", change=nothing)
    said = " ".join(words(sheets[:1]))
    assert "not in the plan, not checked" in said
    assert "clears nothing" in said


def test_what_is_not_located_is_not_called_clear():
    def remembered(site):
        site["services"][1]["located_by"] = "memory"

    _, sheets = drawn("alder-creek", "Letter", change=remembered)
    assert "not located: not checked" in words(sheets)
    assert "memory" in words(sheets)


def test_a_boundary_far_off_is_said_and_not_drawn():
    def far(site):
        site["boundary"]["points"] = [["-900 ft", "-900 ft"], ["900 ft", "-900 ft"],
                                      ["900 ft", "900 ft"], ["-900 ft", "900 ft"]]  # fmt: skip
        del site["easements"]

    _, sheets = drawn("alder-creek", "Letter", change=far)
    assert "too far for this drawing" in " ".join(words(sheets[:1]))
    assert "Boundary" not in words(sheets[:1])


def test_an_array_over_the_boundary_is_said_aloud():
    def over(site):
        site["boundary"]["points"] = [["3 ft", "-90 ft"], ["90 ft", "-90 ft"], ["90 ft", "90 ft"],
                                      ["3 ft", "90 ft"]]  # fmt: skip

    _, sheets = drawn("alder-creek", "Letter", change=over)
    assert "THE ARRAY STANDS" in " ".join(words(sheets[:1]))


def test_a_fence_is_no_boundary():
    def fenced(site):
        site["boundary"]["known_by"] = "fence"
        site["boundary"]["easements_read"] = False

    said = " ".join(words(drawn("alder-creek", "Letter", change=fenced)[1][:1]))
    assert "A fence is not the boundary: not checked." in said
    assert "Easements: not read, not checked." in said


def test_the_equipment_stands_where_the_plan_has_it():
    site, sheets = drawn("alder-creek", "Letter")
    assert [s.name for s in site.spots] == ["Box C1", "Equipment"]
    assert site.spots[1].at == pytest.approx((57 * FOOT, 25 * FOOT))
    assert "Equipment" in words(sheets)


def test_the_words_of_bounds_are_in_the_catalogue():
    with listening() as unsaid:
        for name, change in product(DEMOS, [None, nothing]):
            drawn(name, "Letter", "es", change)
        _, sheets = drawn("alder-creek", "Letter", "es", tight)
    assert unsaid == []
    said = set(words(sheets))
    assert {"Lindero", "Servidumbres y áreas", "no excavar", "Equipo"} <= said
    assert not {"Boundary", "Easements and areas", "Equipment"} & said


def test_an_outline_is_cut_to_the_frame():
    frame = Frame((0.0, 0.0), (10.0, 5.0))
    square = np.array([[-5.0, -5.0], [5.0, -5.0], [5.0, 20.0], [-5.0, 20.0]])
    assert set(cut_to(square, frame)) == {(0, 0), (5, 0), (5, 5), (0, 5)}
    assert cut_to(square + 100, frame) == ()
    around = np.array([[-50.0, -50.0], [50.0, -50.0], [50.0, 50.0], [-50.0, 50.0]])
    assert set(cut_to(around, frame)) == {(0, 0), (10, 0), (10, 5), (0, 5)}


def test_no_mark_of_the_ground_leaves_the_sheet():
    _, sheets = drawn("alder-creek", "Letter", change=tight)
    paper = sheets[0].page
    for item in on_page(sheets[0]):
        for x, y in (
            (item.start, item.end) if isinstance(item, Line) else getattr(item, "points", ())
        ):
            assert -1e-6 <= x <= paper.width
            assert -1e-6 <= y <= paper.height
