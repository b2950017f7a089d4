"""Site plan, pier detail, splice plan, rail layout, conduit profile: legible, to scale, true."""

import re
from functools import cache
from itertools import pairwise, product
from xml.etree import ElementTree

import numpy as np
import pytest

from plans import FOOT, INCH, plan_with, response_with
from plumbrail.checks.splices import splice_zones
from plumbrail.errors import RangeError
from plumbrail.jobs.buying import pier_concrete
from plumbrail.model.build import build
from plumbrail.papers import boxes
from plumbrail.papers.conduit_profile import conduit_profile
from plumbrail.papers.conduit_profile_parts import ConduitRun
from plumbrail.papers.explode import on_page
from plumbrail.papers.marking_colours import MARKINGS, marking
from plumbrail.papers.pier_detail import PierFacts, pier_detail
from plumbrail.papers.rail_layout import rail_layout
from plumbrail.papers.sheet import Circle, page
from plumbrail.papers.site_plan import site_plan
from plumbrail.papers.site_plan_parts import Service, Site, Spot, nearest_hole, offset_line
from plumbrail.papers.splice_plan import splice_plan
from plumbrail.papers.splice_plan_strip import Joints
from plumbrail.papers.svg import svg
from plumbrail.papers.wording import JobInfo
from plumbrail.site.bearings import row_bearing
from plumbrail.site.surroundings import surroundings
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
METRIC = JobInfo("Alder Creek cold store", "metric", "3f9a1c07", "0.1.0")
PAGES = {
    "Letter landscape": (US, page("Letter")),
    "Tabloid portrait": (US, page("Tabloid", "portrait")),
    "A4 portrait": (METRIC, page("A4", "portrait")),
    "A3 landscape": (METRIC, page("A3")),
}
SHADE = {
    "horizon": [["90 deg", "4 deg"], ["180 deg", "2 deg"], ["270 deg", "7 deg"]],
    "boxes": [{"name": "Cold store", "at": ["70 ft", "20 ft"], "size": ["40 ft", "60 ft"],
               "turn": "10 deg", "height": "18 ft"}],
    "trees": [
        {"name": "North-west spruce", "at": ["-25 ft", "40 ft"], "height": "45 ft",
         "radius": "9 ft"},
        {"name": "Apple", "at": ["10 ft", "-25 ft"], "height": "14 ft", "radius": "6 ft",
         "crown": "round", "crown_from": "4 ft"},
        {"name": "Pear", "at": ["16 ft", "-26 ft"], "height": "14 ft", "radius": "6 ft"},
    ],
    "arrays": [{"name": "Old array", "at": ["13 ft", "-50 ft"], "row_length": "24 ft",
                "slope_length": "11 ft", "tilt": "30 deg", "azimuth": "200 deg",
                "low_edge": "2 ft"}],
}  # fmt: skip
DRY = "dry-gulch"
SHAPES = {
    "alder creek": ({"site.shade": SHADE}, "alder-creek"),
    "dry gulch": ({}, DRY),
    "2": ({"frame.posts": 2, "array.columns": 2, "site.shade": SHADE}, "alder-creek"),
    "7": ({"frame.posts": 7, "array.columns": 10}, "alder-creek"),
    "12": ({"frame.posts": 12, "array.columns": 19, "site.shade": SHADE}, "alder-creek"),
    "steep": ({"site.ground.slope_along": "-20 %", "site.ground.slope_across": "25 %"},
              "alder-creek"),
    "collar": ({"piers.above_grade": "1 in", "piers.depth": "5 ft"}, "alder-creek"),
    "many rails": ({"frame.rails_per_column": 2, "array.columns": 30, "frame.posts": 18},
                   "alder-creek"),
}  # fmt: skip
KINDS = ("site", "pier", "splice", "rail", "conduit")
SERVICES = (
    Service("Well line", "water", ((-6.0, -3.6), (6.0, -3.0), (18.0, -9.0)), 0.6, 1.2),
    Service("Power to cold store", "power", ((13.7, -25.0), (13.1, 20.0)), 0.6),
    Service("Drain", "sewer", ((-12.0, 5.5), (18.0, 4.0))),
    Service("Far gas line", "gas", ((-500.0, 500.0), (500.0, 500.0)), 0.6),
)


@cache
def made(shape):
    changes, base = SHAPES[shape]
    plan = plan_with(changes, base=base)
    return plan, build(plan)


def site_of(shape, services=SERVICES):
    plan, model = made(shape)
    around = surroundings(plan.site.shade, model.terrain, row_bearing(model.plane.azimuth))
    pins = ((-6 * FOOT, -8 * FOOT), (33 * FOOT, -8 * FOOT))
    return Site(model, around, pins, services, (Spot("Box C1", (8.0, 3.4)),), 42.0)


def joints_of(shape):
    _, model = made(shape)
    long, count = model.beams.length, max(1, int(model.beams.length / 6))
    places = tuple(long * (i + 1) / (count + 1) for i in range(count))
    zones = tuple((p - 0.3, p + 0.4) for p in places)
    return Joints((places, places[::2]), (zones, zones[:1]), "NPS 2-1/2 STD", 9 * INCH)


def facts_of(shape):
    plan, model = made(shape)
    found = pier_concrete(plan, model)
    bags = next(b for b in found.bags if b.size.name == plan.stock.concrete.bag)
    return PierFacts(plan.frame.post, plan.stock.concrete.holding_height, plan.site.frost_depth,
                     found.volume, bags.per_pier, bags.size.name)  # fmt: skip


RUNS = {
    "2": ConduitRun(8.0, 0.15, 1.2, 2.4, "RMC", "RMC", 0.3, rise=-1.0, expansion=True),
    "steep": ConduitRun(200.0, 0.6, 1.2, 2.4, "PVC 40", "PVC 80", 0.3, "2", rise=60.0, bends=5),
}
RUN = ConduitRun(140 * FOOT, 18 * INCH, 4 * FOOT, 8 * FOOT, "PVC 40", "PVC 80", FOOT, "1-1/4",
                 bends=4, expansion=False)  # fmt: skip


@cache
def drawings(shape, where, kind):
    job, paper = PAGES[where]
    plan, model = made(shape)
    match kind:
        case "site":
            return site_plan(site_of(shape), job, paper)
        case "pier":
            return pier_detail(model, facts_of(shape), job, paper)
        case "splice":
            return splice_plan(model, joints_of(shape), job, paper)
        case "rail":
            return rail_layout(model, plan.module.clamp_zone, plan.frame.rail.name, job, paper)
    return conduit_profile(RUNS.get(shape, RUN), job, paper)


every = pytest.mark.parametrize(("shape", "where", "kind"), list(product(SHAPES, PAGES, KINDS)))


@every
def test_no_text_overlaps_runs_off_or_is_too_small(shape, where, kind):
    for sheet in drawings(shape, where, kind):
        assert_legible(sheet)


@every
def test_every_dimension_says_the_real_distance_between_its_points(shape, where, kind):
    metric = PAGES[where][0].units == "metric"
    fine, rough = (FINE_METRIC, 0.005) if metric else (FINE_US, INCH / 2)
    found = dimensions(drawings(shape, where, kind))
    for d in found:
        assert abs(said_length(d, metric) - real_length(d)) <= (rough if kind == "site" else fine)
    assert len(found) >= (0 if kind == "site" else 2)


@every
def test_the_svg_is_well_formed_and_black(shape, where, kind):
    for sheet in drawings(shape, where, kind):
        text = svg(sheet)
        ElementTree.fromstring(text)
        assert set(re.findall(r"#[0-9a-f]{3,6}\b", text)) <= {"#000", "#fff", "#e4e4e4"}


@pytest.mark.parametrize(("shape", "where"), list(product(SHAPES, PAGES)))
def test_posts_and_rails_are_all_named(shape, where):
    _, model = made(shape)
    assert set(model.posts.ids) <= set(words(drawings(shape, where, "splice")))
    rails = words(drawings(shape, where, "rail"))
    assert all(rails.count(name) >= 2 for name in model.rails.ids)  # on the drawing, in the table
    assert set(model.posts.ids) <= set(words(drawings(shape, where, "pier")))


@pytest.mark.parametrize("where", PAGES)
def test_holes_and_crowns_lie_to_scale_on_the_site_plan(where):
    site = site_of("alder creek")
    first = drawings("alder creek", where, "site")[0]
    (view,) = first.views
    shown = [c for c in view.items if isinstance(c, Circle)]
    for x, y in site.model.posts.xy:
        assert any(np.hypot(c.centre[0] - x, c.centre[1] - y) < 1e-9 for c in shown)
    radii = sorted(c.radius for c in shown)[-3:]
    assert radii == pytest.approx([6 * FOOT, 6 * FOOT, 9 * FOOT])
    assert any(str(round(view.scale)) in w for w in words([first]) if w.startswith("Scale"))


def test_setbacks_agree_with_the_nearest_of_many_sampled_points():
    site = site_of("alder creek")

    def along(corners, n=400):
        ends = np.vstack([corners, corners[:1]])
        share = np.linspace(0, 1, n)[:, None]
        return np.vstack([a + share * (b - a) for a, b in pairwise(ends)])

    outline = along(site.outline)
    for thing in site.things:
        if thing.radius:
            away = np.hypot(*(outline - thing.centre).T).min() - thing.radius
        else:
            apart = outline[:, None] - along(thing.corners)[None]
            away = np.hypot(apart[..., 0], apart[..., 1]).min()
        assert thing.distance == pytest.approx(away, abs=0.05)
        assert thing.distance <= away + 1e-9
    heights = {t.name: t.height for t in site.things}
    assert heights["Cold store"] == pytest.approx(18 * FOOT)
    assert heights["Apple"] == pytest.approx(14 * FOOT)
    assert heights["Old array"] == pytest.approx(2 * FOOT + 11 * FOOT * 0.5)


def test_what_overlaps_the_array_in_plan_is_said():
    shade = {"trees": [{"name": "Oak", "at": ["10 ft", "4 ft"], "height": "30 ft",
                        "radius": "8 ft"}],
             "boxes": [{"name": "Tank", "at": ["0 ft", "3 ft"], "size": ["4 ft", "4 ft"],
                        "height": "3 ft"}]}  # fmt: skip
    plan = plan_with({"site.shade": shade})
    model = build(plan)
    site = Site(model, surroundings(plan.site.shade, model.terrain, 1.5))
    assert [t.distance for t in site.things] == [0.0, 0.0]
    sheets = site_plan(site, US, page("Letter"))
    assert words(sheets).count("overlaps in plan") == 2
    assert all(boxes.overlaps(s) == [] for s in sheets)


def test_an_empty_site_says_what_it_does_not_know():
    _, model = made("dry gulch")
    found = " ".join(words(site_plan(Site(model, surroundings(None, model.terrain, 1.0)), US,
                                     page("Letter"))))  # fmt: skip
    for said in ("not checked", "none given", "Call before you dig", "says nothing",
                 "no place and no run"):  # fmt: skip
        assert said in found


def test_services_carry_letters_and_name_their_colour():
    """Colours: APWA Uniform Color Code, from memory."""
    colours = {m.kind: m.colour for m in MARKINGS}
    assert colours == {
        "power": "red", "gas": "yellow", "communication": "orange", "water": "blue",
        "reclaimed": "purple", "sewer": "green", "survey": "pink", "proposed": "white",
    }  # fmt: skip
    assert len({m.letter for m in MARKINGS}) == len(MARKINGS)
    first = words(drawings("alder creek", "Letter landscape", "site")[:1])
    for letter in "EWS":
        assert first.count(letter) >= 1
    assert any("E electric power, lighting (marked red)" in w for w in first)


def test_a_hole_on_a_service_is_shouted():
    _, model = made("alder creek")
    over = Service("Gas", "gas", ((-2.0, 0.0), (20.0, 0.0)), 0.6)
    near = Service("Water", "water", ((-2.0, -0.8), (20.0, -0.8)), 0.6)
    assert nearest_hole(model, over)[1] == pytest.approx(-0.5 * model.piers.diameter)
    assert nearest_hole(model, near)[1] == pytest.approx(0.8 - 0.5 * model.piers.diameter)
    found = words(site_plan(site_of("alder creek", (over, near)), US, page("Letter")))
    assert "HOLE ON SERVICE: do not dig" in found
    assert "hole in zone: dig by hand" in found


def test_edges_of_a_zone_keep_their_distance():
    line = offset_line(((0.0, 0.0), (10.0, 0.0), (10.0, 10.0)), 1.0)
    np.testing.assert_allclose(line, ((0, 1), (9, 1), (9, 10)))


def test_clamps_are_counted_and_tested_against_their_zone():
    _, model = made("alder creek")
    found = " ".join(words(drawings("alder creek", "Letter landscape", "rail")))
    ends, mids = 2 * 12, 12 * (4 - 1)
    assert f"{ends} end clamps (open squares), {mids} mid clamps" in found
    assert "All clamps stand inside it" in found
    bad = " ".join(words(rail_layout(model, (0.25, 0.3), "r", US, page("Letter"))))
    assert "OUTSIDE the zone on 12 of 12 rails, R1 first" in bad
    first = drawings("alder creek", "Letter landscape", "rail")[0]
    dots = [m for m in on_page(first) if isinstance(m, Circle) and m.fill == "dark"]
    assert len(dots) == mids


def test_splices_say_zone_post_and_rail():
    plan, model = made("alder creek")
    _, response = response_with(plan)
    zones = splice_zones(plan, model, response)
    inside = 0.5 * sum(zones[0][0])
    table = words(splice_plan(model, Joints(((inside,), (0.1,)), zones), US, page("Letter")))
    assert "OUTSIDE every zone" in table
    supports = model.beams.supports[0]
    i = int(np.abs(supports - inside).argmin())
    side = "right of" if inside > supports[i] else "left of"
    assert f"{US.length(abs(supports[i] - inside))} {side} F{i + 1}" in table
    assert US.length(model.beams.length - inside) in table
    unknown = " ".join(words(splice_plan(model, Joints(((2.0,), ())), US, page("Letter"))))
    assert "not given" in unknown and "not checked here" in unknown


def test_piers_of_equal_depth_share_a_section_and_shallow_ones_are_warned_of():
    (first, *_) = drawings("collar", "Letter landscape", "pier")
    assert len(first.views) == 1
    assert len(drawings("alder creek", "Letter landscape", "pier")[0].views) == 2
    assert any("ABOVE THE FROST LINE" in w for w in words(drawings("dry gulch", "A3 landscape",
                                                                  "pier")))  # fmt: skip
    _, model = made("alder creek")
    bare = " ".join(words(pier_detail(model, PierFacts("NPS 4 STD", 0.3), US, page("Letter"))))
    assert "Frost depth was not given" in bare
    assert "Bags" not in bare


def test_a_conduit_run_adds_up():
    assert RUN.trench == pytest.approx(140 * FOOT - (4 + 8 + 3) * FOOT)
    steep = RUNS["steep"]
    assert np.hypot(steep.level, 60.0) == pytest.approx(steep.trench)
    found = " ".join(words(conduit_profile(steep, METRIC, page("A4"))))
    assert "over the usual limit" in found
    assert "guess" in found
    unknown = ConduitRun(40.0, 0.2, 1.2, 2.4, "PVC 40", "PVC 80", 0.3)
    found = " ".join(words(conduit_profile(unknown, METRIC, page("A4"))))
    for said in ("not counted", "sun: not checked", "trade size not known", "No warning ribbon"):
        assert said in found


def test_what_cannot_be_drawn_is_refused():
    _, model = made("alder creek")
    letter = page("Letter")
    with pytest.raises(RangeError, match="no marking colour"):
        marking("lava")
    with pytest.raises(RangeError, match="two points"):
        Service("x", "water", ((1.0, 1.0), (1.0, 1.0)))
    with pytest.raises(RangeError, match="tolerance"):
        Service("x", "water", ((1.0, 1.0), (2.0, 1.0)), -1.0)
    with pytest.raises(RangeError, match="lies off the beam"):
        splice_plan(model, Joints(((99.0,), ())), US, letter)
    with pytest.raises(RangeError, match="clamp zone"):
        rail_layout(model, (0.3, 0.2), "r", US, letter)
    with pytest.raises(RangeError, match="holding pour"):
        pier_detail(model, PierFacts("p", 9.0), US, letter)
    with pytest.raises(RangeError, match="2 rows of 8 piers"):
        pier_detail(model, PierFacts("p", 0.3, volume=np.ones((2, 3))), US, letter)
    with pytest.raises(RangeError, match="does not reach"):
        ConduitRun(3.0, 0.5, 1.2, 2.4, "RMC", "RMC", 0.3)
    with pytest.raises(RangeError, match="finite"):
        ConduitRun(float("nan"), 0.5, 1.2, 2.4, "RMC", "RMC", 0.3)
