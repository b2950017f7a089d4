"""What a plan may say of the ground, and the words it gets when it says it wrongly."""

import pytest
import tomlkit

from plans import FOOT, INCH
from plumbrail.errors import PlanError
from plumbrail.papers.marking_colours import MARKINGS
from plumbrail.plan.demos import demo_text
from plumbrail.plan.grounds import USUAL_UNCERTAINTY, Service
from plumbrail.plan.reader import read_plan

SERVICE = {"name": "Gas line", "kind": "gas", "points": [["0 ft", "20 ft"], ["30 ft", "20 ft"]],
           "located_by": "locator"}  # fmt: skip
BOX = [["-80 ft", "-60 ft"], ["90 ft", "-60 ft"], ["90 ft", "90 ft"], ["-80 ft", "90 ft"]]
BOUNDARY = {"points": BOX, "known_by": "survey", "setback": "10 ft", "easements_read": True}
REGION = {"name": "Drive", "kind": "paving", "points": BOX, "dig_factor": 3.0}


def site(**changes):
    document = tomlkit.parse(demo_text("alder-creek"))
    for name in ("services", "easements", "regions", "boundary", "locate"):
        document["site"].pop(name, None)
    for name, value in changes.items():
        document["site"][name] = value
    return read_plan(tomlkit.dumps(document)).site


def refused(**changes):
    with pytest.raises(PlanError) as caught:
        site(**changes)
    return [str(p) for p in caught.value.problems]


def test_a_service_reads_in_metres_and_counts_what_is_usual_where_nothing_is_said():
    made = site(services=[SERVICE]).services[0]
    assert made.points[1] == pytest.approx((30 * FOOT, 20 * FOOT))
    assert made.by_hand == pytest.approx(24 * INCH)
    assert made.within == USUAL_UNCERTAINTY["locator"]
    assert made.depth is None
    assert made.state == "unknown"


def test_what_is_said_goes_before_what_is_usual():
    made = site(services=[{**SERVICE, "tolerance": "18 in", "uncertainty": "0 in"}]).services[0]
    assert made.by_hand == pytest.approx(18 * INCH)
    assert made.within == 0.0


def test_the_less_is_known_the_wider_the_doubt():
    ways = ["potholed", "locator", "record drawing", "memory"]
    assert sorted(USUAL_UNCERTAINTY.values()) == [USUAL_UNCERTAINTY[w] for w in ways]


def test_every_kind_has_a_marking_colour():
    kinds = Service.model_fields["kind"].annotation.__args__
    assert set(kinds) == {m.kind for m in MARKINGS} - {"survey", "proposed"}


def test_nothing_said_reads_as_nothing_said():
    made = site()
    assert (made.services, made.easements, made.regions) == ((), (), ())
    assert made.boundary is None
    assert made.locate is None


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"services": [{**SERVICE, "points": [["0 ft", "0 ft"]]}]}, "points"),
        ({"services": [{**SERVICE, "points": [["1 ft", "0 ft"], ["12 in", "0 ft"]]}]},
         "points 1 and 2 are the same place"),
        ({"services": [{**SERVICE, "kind": "steam"}]}, "power"),
        ({"services": [{**SERVICE, "located_by": "dowsing"}]}, "potholed"),
        ({"services": [{**SERVICE, "points": [[0, "1 ft"], ["5 ft", "5 ft"]]}]}, "no unit"),
        ({"services": [SERVICE, SERVICE]}, 'two things are called "Gas line"'),
        ({"services": [{**SERVICE, "name": "Apple tree"}]}, 'two things are called "Apple tree"'),
        ({"services": [SERVICE], "regions": [{**REGION, "name": "Gas line"}]},
         'two things are called "Gas line"'),
        ({"services": [{**SERVICE, "tolerance": "-2 ft"}]}, "at least"),
        ({"boundary": {**BOUNDARY, "points": BOX[:2]}}, "boundary.points"),
        ({"boundary": {**BOUNDARY, "points": [BOX[0], BOX[2], BOX[1], BOX[3]]}},
         "the side from corner 1 to 2 meets the side from corner 3 to 4"),
        ({"boundary": {**BOUNDARY, "points": [*BOX, BOX[0]]}}, "repeats the first"),
        ({"boundary": {**BOUNDARY, "points": [*BOX, BOX[1]]}},
         "corners 2 and 5 are the same place"),
        ({"boundary": {**BOUNDARY, "points": [["0 ft", "0 ft"], ["10 ft", "0 ft"],
                                              ["5 ft", "0 ft"], ["5 ft", "9 ft"]]}},
         "walk round"),
        ({"boundary": {k: v for k, v in BOUNDARY.items() if k != "setback"}}, "building"),
        ({"boundary": {k: v for k, v in BOUNDARY.items() if k != "easements_read"}}, "easement"),
        ({"regions": [{k: v for k, v in REGION.items() if k != "dig_factor"}]}, "give dig_factor"),
        ({"regions": [{**REGION, "kind": "keep out"}]}, "leave dig_factor out"),
        ({"regions": [{**REGION, "dig_factor": 0.0}]}, "dig_factor"),
        ({"locate": {"answered": "27 April", "own_lines": True}}, "year-month-day"),
        ({"locate": {"answered": "2026-04-27"}}, "own_lines"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_said_in_words(changes, words):
    problems = refused(**changes)
    assert len(problems) == 1, problems
    assert words in problems[0]


@pytest.mark.parametrize("bad", [{"kind": "steam"}, {"name": ""}])
def test_two_bad_services_are_two_problems_and_no_others(bad):
    two = [{**SERVICE, **bad}, {**SERVICE, "name": "Other", **bad}]
    assert len(refused(services=two)) == 2


def test_the_trunk_of_a_tree_and_the_place_of_the_equipment_read():
    plan = read_plan(demo_text("alder-creek"))
    assert plan.site.shade.trees[0].trunk == pytest.approx(16 * INCH)
    assert plan.wiring.equipment.at == pytest.approx((57 * FOOT, 25 * FOOT))
