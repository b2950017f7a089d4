"""``plumbrail trench``: what it prints, its JSON, its papers in two languages, its refusals."""

from __future__ import annotations

import json
import re
from argparse import Namespace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import tomlkit
from shapely import LineString, Polygon

from plumbrail.check import Status
from plumbrail.cli.trench import run
from plumbrail.errors import PlanError, PlumbrailError
from plumbrail.jobs.trench_output import TrenchReport, trench_report
from plumbrail.jobs.trenching import trench_papers, trenching
from plumbrail.papers import boxes
from plumbrail.papers.sheet import Circle, Polyline
from plumbrail.papers.words import listening
from plumbrail.plan.demos import demo_text
from plumbrail.plan.reader import load_plan
from plumbrail.trench import planar
from plumbrail.trench.profile import RAMP
from sheets import assert_legible

FOOT = 0.3048


@pytest.fixture
def write(tmp_path):
    def written(changes=None, drop=()):
        document = tomlkit.parse(demo_text("alder-creek"))
        for place in drop:
            *path, last = place.split(".")
            holder = document
            for step in path:
                holder = holder[step]
            del holder[last]
        for place, value in (changes or {}).items():
            *path, last = place.split(".")
            holder = document
            for step in path:
                holder = holder[int(step)] if step.isdigit() else holder.setdefault(step, {})
            holder[last] = value
        path = tmp_path / "plan.toml"
        path.write_text(tomlkit.dumps(document), "utf-8")
        return str(path)

    return written


def asked(plan, **given):
    return run(
        Namespace(
            plan=plan, **{"json": False, "explain": None, "out": None, "language": "en", **given}
        )
    )


def told(capsys):
    return " ".join(capsys.readouterr().out.replace("\u00a0", " ").split())


def trench(plan):
    return trenching(load_plan(plan)).trench


def refused(plan):
    with pytest.raises(PlanError) as found:
        trench(plan)
    return "; ".join(f"{p.path}: {p.message}" for p in found.value.problems)


def test_it_says_what_a_digger_asks_first(write, capsys):
    assert asked(write()) == 1  # a depth that nobody has measured is not checked
    said = told(capsys)
    for words in ("No check of the trench fails, 1 of 6 not checked", "of trench", "by hand",
                  "X1 Old array feeder: depth not known", "zone of Old array feeder",
                  "Routes compared", "shortest", "Pulled toward", "call or click 811".capitalize(),
                  "1926.651(j)(2)", "licensed practice decide"):  # fmt: skip
        assert words in said, words


def test_the_json_holds_it_all(write, capsys):
    assert asked(write(), json=True) == 1
    text = capsys.readouterr().out
    made, found = trenching(load_plan(write())), json.loads(text)
    assert TrenchReport.model_validate_json(text) == trench_report(made)
    assert "NaN" not in text and "Infinity" not in text
    route = np.array(found["route"]["points"])
    long = np.hypot(*np.diff(route, axis=0).T).sum()
    assert long == pytest.approx(found["route"]["length"])
    pieces = found["pieces"]
    assert pieces[0]["start"] == 0.0 and pieces[-1]["end"] == pytest.approx(long)
    assert all(a["end"] == b["start"] for a, b in pairwise(pieces))
    assert sum(p["end"] - p["start"] for p in pieces if p["hand"]) == pytest.approx(
        found["route"]["hand"], abs=1e-3
    )
    assert found["passed"] + found["failed"] + found["not_checked"] == len(found["checks"])
    assert [s["name"] for s in found["stations"]] == [
        f"T{i + 1}" for i in range(len(found["stations"]))]  # fmt: skip
    assert {len(v) for k, v in found["profile"].items() if k != "guessed"} == {
        len(found["profile"]["at"])
    }
    assert found["conduit"] == pytest.approx(sum(leg["length"] for leg in found["legs"]))


def test_the_route_keeps_its_distances_and_ends_where_it_should(write):
    made = trenching(load_plan(write()))
    plan, points = made.plan, made.trench.option.points
    assert points[-1] == pytest.approx(plan.wiring.equipment.at, abs=1e-4)
    assert abs(points[-1][1] - points[-2][1]) < 1e-4  # square to the wall
    line = planar.edge_line(points[1:-1])
    for id, at in zip(made.model.posts.ids, made.model.posts.xy, strict=True):
        pier = planar.disc(at, 0.5 * made.model.piers.diameter, 32)
        assert planar.apart(line, pier) >= plan.trench.pier_clearance - 1e-3, id
    hours = [o.hours for o in made.trench.others]
    assert all(made.trench.option.hours <= h + 1e-6 for h in hours)
    shortest = next(o for o in made.trench.others if o.name == "shortest")
    assert shortest.length <= min(o.length for o in (made.trench.option, *made.trench.others))


def test_profile_keeps_cover_and_ramps(write):
    p = trench(write()).profile
    assert (p.top >= p.cover - 1e-9).all()
    slope = np.abs(np.diff(p.top) / np.maximum(np.diff(p.at), 1e-9))
    assert slope[np.diff(p.at) > 1e-6].max() <= RAMP + 1e-6
    assert p.top[0] == pytest.approx(18 * 0.0254)  # Table 300.5(A): PVC in a yard
    assert p.top[-1] == pytest.approx(24 * 0.0254)  # and under a road


@pytest.mark.parametrize(("deep", "over", "gap"), [
    ("4 ft", True, None), ("20 in", False, 12 * 0.0254), ("6 in", False, 12 * 0.0254),
])  # fmt: skip
def test_over_or_under_what_is_known(write, deep, over, gap):
    made = trench(write({"site.services.0.depth": deep}))
    crossing = made.crossings[0]
    assert crossing.over is over
    if gap is not None:
        assert crossing.gap == pytest.approx(gap) or crossing.gap > gap
    check = next(c for c in made.checks if c.id == "X1.gap")
    assert check.status is Status.PASS
    p = made.profile
    top = float(np.interp(crossing.at, p.at, p.top))
    assert top >= crossing.conduit - 1e-9
    if not over:
        assert top >= crossing.top + crossing.width + crossing.asked - 1e-9


def test_a_line_from_memory_is_not_checked_and_its_zone_is_wide(write):
    sure, unsure = trench(write()), trench(write({"site.services.0.located_by": "memory"}))
    assert {"X1.place"} & {c.id for c in unsure.checks if c.status is Status.NOT_CHECKED}
    assert unsure.option.hand > sure.option.hand
    assert not {"X1.place"} & {c.id for c in sure.checks}


@pytest.mark.parametrize(("changes", "drop", "words"), [
    ({}, ("trench",), "no [trench] section"),
    ({}, ("wiring.equipment.at",), "wiring.equipment.at: missing"),
    ({"wiring.equipment.at": ["75 ft", "25 ft"]}, (), "lies inside Cold store"),
    ({"wiring.equipment.at": ["22 ft", "-30 ft"]}, (), "lies in"),
    ({"wiring.equipment.at": ["200 ft", "25 ft"]}, (), "beyond the boundary"),
    ({"trench.width": "0.1 in"}, (), "wider than the trench"),
    ({"wiring.basis.code": "IEC"}, (), "IEC"),
    ({"trench.clearance": "30 ft"}, (), "clearance"),
])  # fmt: skip
def test_refusals_in_words(write, changes, drop, words):
    assert words in refused(write(changes, drop))


def test_no_route_says_what_is_in_the_way(write):
    ring = [["44 ft", "-60 ft"], ["46 ft", "-60 ft"], ["46 ft", "150 ft"], ["44 ft", "150 ft"]]
    text = demo_text("alder-creek")
    area = (
        '[[site.regions]]\nname = "Pond dam"\nkind = "keep out"\npoints = '
        + json.dumps(ring)
        + "\n\n[site.shade]"
    )
    plan = write()
    Path(plan).write_text(text.replace("[site.shade]", area, 1), "utf-8")
    said = refused(plan)
    assert "no route from the array to the equipment" in said
    assert "Pond dam" in said


def test_explain_replays_the_pull(write, capsys):
    asked(write(), explain="leg1.tension")
    said = told(capsys)
    for words in ("T_0 · exp(mu · W_c · theta)", "trench.pull.friction", "0.008 lbf"):
        assert words in said, words
    asked(write(), explain="LEG1.SIDEWALL", json=True)
    found = json.loads(capsys.readouterr().out)
    assert found["schema"] == "plumbrail.trench-explain"
    assert found["check"]["ratio"] == pytest.approx(found["steps"][-1]["value"][0])
    with pytest.raises(PlumbrailError, match="Near it are"):
        asked(write(), explain="leg9.tension")
    with pytest.raises(PlumbrailError, match="was not made"):
        asked(write(), explain="X1.gap")


def test_both_ways_differ_by_the_slope_and_the_order_of_bends(write):
    leg = trench(write()).legs[0]
    toward = {d.toward: d for d in leg.directions}
    assert toward["equipment"].tension[-1] != pytest.approx(toward["array"].tension[-1], rel=1e-3)
    best = leg.directions[leg.better]
    assert best.tension.max() == min(d.tension.max() for d in leg.directions)


def test_too_many_bends_get_a_pull_box(write):
    made = trench(write({"site.services.0.depth": "20 in", "trench.service_gap": "18 in"}))
    assert sum(b.angle for b in made.bends) + np.pi > 2 * np.pi  # with the two at the risers
    assert made.boxes
    assert "full turn" in made.boxes[0].why
    assert all(leg.bends <= 2 * np.pi + 1e-9 for leg in made.legs)
    assert len(made.legs) == len(made.boxes) + 1


def test_a_run_longer_than_the_wires_were_sized_for_fails(write):
    made = trench(write({"wiring.run.length": "45 ft"}))
    check = next(c for c in made.checks if c.id == "trench.length")
    assert check.status is Status.FAIL and check.ratio > 1


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("changes", [{}, {"site.services.0.depth": "20 in"}, {
    "trench.roots": "dig by hand", "site.services.0.located_by": "memory"}])  # fmt: skip
def test_the_papers_are_legible_and_wholly_told(write, changes, language):
    made = trenching(load_plan(write(changes)))
    with listening() as unsaid:
        drawn = trench_papers(made, language)
    assert unsaid == []
    for one in drawn:
        for sheet in one.sheets:
            assert_legible(sheet)
    words = " ".join(t.text for d in drawn for s in d.sheets for t in boxes.texts(s))
    assert "T1" in words and "X1" in words
    if language == "es":
        assert not set(re.findall(r"[a-z]+", words.lower())) & {"the", "and", "trench", "dig"}


def beside_each_other(path, count):
    """Lines across the whole site, 16 inches apart, that every route has to cross."""
    document = tomlkit.parse(demo_text("alder-creek"))
    for i in range(count):
        x = f"{40 + 1.3 * i} ft"
        line = {"name": f"Old drain {i + 1}", "kind": "sewer", "depth": f"{8 + 3 * i} in",
                "points": [[x, "-60 ft"], [x, "60 ft"]], "located_by": "locator",
                "diameter": "1 in"}  # fmt: skip
        document["site"]["services"].append(tomlkit.item(line))
    path.write_text(tomlkit.dumps(document), "utf-8")
    return str(path)


@pytest.fixture(scope="module")
def beside(tmp_path_factory):
    folder = tmp_path_factory.mktemp("beside")
    return trenching(load_plan(beside_each_other(folder / "plan.toml", 3)))


@pytest.mark.parametrize("language", ["en", "es"])
def test_crossings_beside_each_other_are_numbered_at_their_places_and_listed(beside, language):
    made = beside
    crossed = made.trench.crossings
    assert len(crossed) >= 4
    (sheet,) = next(d for d in trench_papers(made, language) if "profile" in d.name).sheets
    assert_legible(sheet)
    words = [t.text for t in boxes.texts(sheet)]
    for c in crossed:
        assert words.count(c.number) == 1
        assert sum(w.startswith(f"{c.number} {c.service}: ") for w in words) == 1
    numbers = {c.number for c in crossed}
    leaders = [i for i in sheet.items if isinstance(i, Polyline) and i.layer == "dimensions"]
    assert len(leaders) == len(crossed)
    for text in boxes.texts(sheet):
        place = Polygon(boxes.text_box(text).corners)
        met = [line for line in leaders if LineString(line.points).intersects(place)]
        assert not met, text.text
        if text.text in numbers:
            (own,) = [line for line in leaders if line.points[0][0] == text.at[0]]
            assert own.points[0][1] < text.at[1]
    rings = [i for i in sheet.items if isinstance(i, Circle)]
    feet = sorted(line.points[-1][0] for line in leaders)
    depths_known = sum(c.top is not None for c in crossed)
    assert len(rings) == depths_known
    assert {round(r.centre[0], 6) for r in rings} <= {round(x, 6) for x in feet}


def test_hand_digging_is_marked_on_the_plan(write):
    made = trenching(load_plan(write()))
    sheet = trench_papers(made)[0].sheets[0]
    strokes = [i for i in sheet.views[0].items if i.layer == "trenches"]
    assert len(strokes) > 10


def test_amounts_add_up(write):
    made = trenching(load_plan(write()))
    t = made.trench
    found = {a.what: a for a in t.amounts}
    assert found["machine with its driver"].amount + found["hand work"].amount == pytest.approx(
        t.option.hours, rel=0.05
    )  # hours of the route, bends up and down aside
    dug = found["ground dug out, as it lies"].amount
    assert found["spoil, loose"].amount == pytest.approx(1.25 * dug)
    assert found["wire, all together"].amount == pytest.approx(5 * t.conduit * 1.1)
