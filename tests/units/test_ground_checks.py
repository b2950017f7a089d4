"""Holes and array against what is buried and where the property ends."""

import json

import numpy as np
import pytest
import tomlkit

from grounds_said import grounds_said
from plans import FOOT, INCH, plan_text
from plumbrail.check import Status
from plumbrail.checks.ground import ground_cautions, ground_checks, ground_note
from plumbrail.checks.remedies import remedy
from plumbrail.cli.main import main
from plumbrail.jobs.book_parts_facts import tally
from plumbrail.jobs.staking import staking
from plumbrail.model.build import build_planned
from plumbrail.model.outline import array_outline
from plumbrail.papers.words import listening, speaking, tell
from plumbrail.plan.demos import demo_text
from plumbrail.plan.reader import load_plan, read_plan
from plumbrail.trace import Certainty

FAR = [["-300 ft", "-300 ft"], ["300 ft", "-300 ft"], ["300 ft", "300 ft"], ["-300 ft", "300 ft"]]
BOUNDARY = {"points": FAR, "known_by": "survey", "setback": "20 ft", "easements_read": True}
LOCATE = {"answered": "2026-04-27", "own_lines": True}
ALONG = {
    "name": "Gas line",
    "kind": "gas",
    "points": [["-90 ft", "-10 ft"], ["90 ft", "-10 ft"]],
    "located_by": "locator",
    "uncertainty": "6 in",
    "tolerance": "18 in",
    "diameter": "4 in",
}
"""Ten feet in front of the front row; its zone is 2 + 18 + 6 = 26 in to each side."""  # fmt: skip


def text(**changes):
    document = tomlkit.parse(plan_text({}, (), "alder-creek"))
    for name in ("services", "easements", "regions", "boundary", "locate"):
        document["site"].pop(name, None)
    for name, value in {"boundary": BOUNDARY, "locate": LOCATE, **changes}.items():
        if value is not None:
            document["site"][name] = value
    return tomlkit.dumps(document)


def found(**changes):
    plan = read_plan(text(**changes))
    model = build_planned(plan)
    return {c.id: c for c in ground_checks(plan, model)}


def line_at(back, **more):
    """The line with its middle so far to the back of hole F1 [ft]."""
    return {**ALONG, "points": [["-90 ft", f"{back} ft"], ["90 ft", f"{back} ft"]], **more}


def test_a_clear_hole_passes_with_the_distances_worked_by_hand():
    check = found(services=[ALONG])["F2.services"]
    assert check.status is Status.PASS
    # a hole of 24 in: 12 + 26 in from its middle, and it lies 10 ft away
    assert check.demand == pytest.approx(38 * INCH)
    assert check.capacity == pytest.approx(10 * FOOT)
    assert check.ratio == pytest.approx(38 / 120)
    assert check.rule
    record = check.replay()
    assert record.steps[-1].value == pytest.approx(38 / 120)


@pytest.mark.parametrize(("away", "status"), [(38.1, Status.PASS), (37.9, Status.FAIL)])
def test_the_edge_of_the_zone_is_where_it_is(away, status):
    assert found(services=[line_at(-away / 12)])["F1.services"].status is status


def test_a_hole_in_the_zone_fails_and_says_which_how_far_and_how_sure():
    check = found(services=[line_at(-2, depth="4 ft")])["F3.services"]
    assert check.status is Status.FAIL
    assert check.subject == "pier F3, Gas line"
    assert "1' 0\" from the edge of the hole" in check.note
    assert 'known within 6"' in check.note
    assert "reaches its top at 4' 0\"" in check.note
    assert "dug up by hand" in remedy(check)


def test_a_deep_service_under_the_hole_still_fails_sideways_and_says_the_gap():
    check = found(services=[line_at(0, depth="9 ft")])["F1.services"]
    assert check.status is Status.FAIL
    assert "ends 2' 0\" above its top" in check.note
    assert "do not dig here" in check.note


def test_the_nearest_by_its_zone_counts_not_the_nearest_line():
    wide = line_at(-6, name="Fat main", tolerance="5 ft")
    check = found(services=[line_at(-5), wide])["F1.services"]
    assert check.subject == "pier F1, Fat main"
    assert check.status is Status.FAIL


@pytest.mark.parametrize("how", ["record drawing", "memory"])
def test_paper_and_memory_fail_a_hole_but_pass_none(how):
    near = found(services=[line_at(-5, located_by=how, uncertainty="5 ft")])
    assert near["F1.services"].status is Status.FAIL
    clear = found(services=[line_at(-60, located_by=how)])
    assert "F1.services" not in clear
    check = clear["service-1.place"]
    assert check.status is Status.NOT_CHECKED
    assert "811" in check.note
    assert "59' 0\" from the nearest hole F" in check.note


def test_what_is_usual_but_not_said_shows():
    bare = {k: v for k, v in ALONG.items() if k not in {"uncertainty", "tolerance", "diameter"}}
    check = found(services=[bare])["F1.services"]
    assert check.certainty is Certainty.PRACTICE
    assert "2' 0\" counted to each side as usual" in check.note
    assert "width is not stated" in check.note
    assert check.demand == pytest.approx((12 + 24 + 6) * INCH)
    assert found(services=[ALONG])["F1.services"].certainty is Certainty.DERIVED


def test_nobody_asked_is_not_checked():
    check = found(locate=None)["ground.located"]
    assert check.status is Status.NOT_CHECKED
    assert "says nothing of what is buried" in check.note
    assert "811" in check.note
    own = found(locate={**LOCATE, "own_lines": False})["ground.located"]
    assert own.status is Status.NOT_CHECKED
    assert "septic" in own.note
    assert "ground.located" not in found()
    assert ground_note(read_plan(text(locate=None))) == ""
    note = ground_note(read_plan(text(locate={**LOCATE, "ticket": "A-1"}, services=[ALONG])))
    assert note.startswith(
        "Locate request answered 2026-04-27, ticket A-1; buried services in the plan: 1."
    )
    assert "expire" in note


def front(away):
    """A boundary so far in front of the lowest edge of the array."""
    plan = read_plan(text())
    low = float(array_outline(build_planned(plan).plane)[:, 1].min())
    y = f"{low - away} m"
    return [["-300 ft", y], ["300 ft", y], ["300 ft", "300 ft"], ["-300 ft", "300 ft"]]


@pytest.mark.parametrize(
    ("away", "status"),
    [(20.01 * FOOT, Status.PASS), (19.99 * FOOT, Status.FAIL), (-1.0, Status.FAIL)],
)
def test_the_setback_of_the_array(away, status):
    check = found(boundary={**BOUNDARY, "points": front(away)})["array.setback"]
    assert check.status is status
    if away > 0:
        assert check.capacity == pytest.approx(away)
        assert check.demand == pytest.approx(20 * FOOT)
    else:
        assert "over the boundary" in check.note


def test_no_setback_wanted_still_fails_over_the_boundary():
    none = {**BOUNDARY, "setback": "0 ft"}
    assert found(boundary={**none, "points": front(0.1)})["array.setback"].status is Status.PASS
    assert found(boundary={**none, "points": front(-0.1)})["array.setback"].status is Status.FAIL


def test_holes_count_by_their_edge():
    # F1 is 1 ft inside the left line by its edge: 12 in of hole, 24 in to the line
    line = [["-2 ft", "-300 ft"], ["300 ft", "-300 ft"], ["300 ft", "300 ft"], ["-2 ft", "300 ft"]]
    check = found(boundary={**BOUNDARY, "points": line, "setback": "6 in"})["piers.setback"]
    assert check.subject in {"pier F1", "pier B1"}
    assert check.capacity == pytest.approx(1 * FOOT)


@pytest.mark.parametrize("how", ["fence", "map"])
def test_a_fence_or_a_map_passes_nothing_and_fails_what_is_too_near(how):
    clear = found(boundary={**BOUNDARY, "known_by": how})["array.setback"]
    assert clear.status is Status.NOT_CHECKED
    assert f"by a {how}" in clear.note
    near = {**BOUNDARY, "known_by": how, "points": front(1.0)}
    assert found(boundary=near)["array.setback"].status is Status.FAIL


def test_no_boundary_is_not_checked():
    check = found(boundary=None)["ground.boundary"]
    assert check.status is Status.NOT_CHECKED
    assert "building department" in check.note
    unread = found(boundary={**BOUNDARY, "easements_read": False})["ground.easements"]
    assert unread.status is Status.NOT_CHECKED
    assert "ground.easements" not in found()


def square(x, y, half=3):
    return [[f"{x + a} ft", f"{y + b} ft"] for a, b in
            ((-half, -half), (half, -half), (half, half), (-half, half))]  # fmt: skip


def test_easements():
    over = found(easements=[{"name": "Strip", "points": square(9, 0)}])["easement-1"]
    assert over.status is Status.FAIL
    assert "F2" in over.note
    assert "stands over it" in over.note
    clear = found(easements=[{"name": "Strip", "points": square(100, 0)}])["easement-1"]
    assert clear.status is Status.PASS


def test_nobody_digs_in_a_keep_out_area_but_the_array_may_hang_over_it():
    area = {"name": "Septic field", "kind": "keep out", "points": square(9, 0)}
    check = found(regions=[area])["keep-out-1"]
    assert check.status is Status.FAIL
    assert check.note == "holes in it: F2"
    between = {**area, "points": square(4.5, 4, 1)}
    assert found(regions=[between])["keep-out-1"].status is Status.PASS


def test_cautions_stand_at_the_hole_they_are_of():
    rock = {"name": "Ledge", "kind": "rock", "points": square(18, 0), "dig_factor": 5.0}
    upright = {**ALONG, "points": [["2 ft", "-90 ft"], ["2 ft", "90 ft"]]}
    plan = read_plan(text(services=[upright], regions=[rock]))
    said = dict(zip(build_planned(plan).posts.ids, ground_cautions(plan, build_planned(plan)),
                    strict=True))  # fmt: skip
    assert said["F3"] == ("in rock: Ledge",)
    assert said["F1"] == ("dig by hand: Gas line (gas), its line 1' 0\" from the edge of the hole",)
    assert said["B1"] == said["F1"]
    assert said["F2"] == said["F4"] == ()


@pytest.fixture
def near(tmp_path):
    path = tmp_path / "plan.toml"
    path.write_text(text(services=[line_at(-2)]), encoding="utf-8")
    return path


def test_stake_warns_hole_by_hole(near, capsys):
    assert main(["stake", str(near)]) == 0
    said = " ".join(capsys.readouterr().out.split())
    for hole in ("F1", "F2", "F3", "F4"):
        assert f"{hole}: dig by hand: Gas line (gas)" in said
    assert "B1: dig" not in said
    assert main(["stake", str(near), "--json"]) == 0
    report = json.loads(capsys.readouterr().out)
    holes = {h["id"]: h["cautions"] for h in report["holes"]}
    assert holes["F1"][0].startswith("dig by hand: Gas line")
    assert holes["B1"] == []
    assert {g["status"] for g in report["ground"] if g["id"] == "F1.services"} == {"fail"}
    notes = " ".join(t for s in staking_notes(near) for t in s)
    assert "F1: dig by hand" in notes


def staking_notes(path):
    from plumbrail.jobs.drawing import stake_sheets
    from plumbrail.papers import boxes

    return [[t.text.replace("\u00a0", " ") for t in boxes.texts(s)]
            for d in stake_sheets(staking(load_plan(path))) for s in d.sheets]  # fmt: skip


def test_check_shows_the_family_and_what_mends_it(near, capsys):
    assert main(["check", str(near)]) == 1
    said = " ".join(capsys.readouterr().out.split())
    assert "Ground and property" in said
    assert "clear of buried services: 4 places" in said
    assert "pier F2, Gas line: 1' 0\" from the edge of the hole" in said
    assert main(["check", str(near), "--explain", "F1.services"]) == 1
    said = capsys.readouterr().out
    assert "D_o/2 + t + u" in said
    assert "2' 2\"" in said


OVER = {"services": [line_at(0, depth="9 ft")]}
KEPT_OUT = {"regions": [{"name": "Septic field", "kind": "keep out", "points": square(9, 0)}]}
STRIP = {"easements": [{"name": "Strip", "points": square(9, 0)}]}
FORBIDDEN = {
    "pier F1, Gas line: clear of buried services FAILS: its line runs over the hole: do not dig "
    "here.": OVER,
    "area Septic field: keep-out area kept free FAILS: holes in it: F2.": KEPT_OUT,
    "easement Strip: easement kept free FAILS: holes in it: F2.": STRIP,
}


@pytest.mark.parametrize("verdict", FORBIDDEN)
def test_what_may_not_stand_somewhere_fails_without_numbers(verdict, tmp_path, capsys):
    """There is no distance asked for and none to compare: only words, on screens and in JSON."""
    failing = [c for c in found(**FORBIDDEN[verdict]).values() if c.status is Status.FAIL]
    assert failing
    assert {(c.ratio, c.demand, c.capacity, c.rule) for c in failing} == {(None, None, None, True)}
    path = tmp_path / "plan.toml"
    path.write_text(text(**FORBIDDEN[verdict]), encoding="utf-8")
    assert main(["check", str(path)]) == 1
    said = " ".join(capsys.readouterr().out.split())
    assert verdict in said
    assert "what it can bear" not in said
    assert "what the rule allows" not in said
    for c in failing:
        assert f"{c.subject}: {c.note}" in said
        assert f"try: {remedy(c)}" in said
    ids = [c.id for c in failing]
    assert main(["check", str(path), "--json"]) == 1
    report = json.loads(capsys.readouterr().out)
    assert {c["ratio"] for c in report["checks"] if c["id"] in ids} == {None}


def test_a_place_kept_free_passes_without_numbers():
    area = {"name": "Septic field", "kind": "keep out", "points": square(4.5, 4, 1)}
    check = found(regions=[area])["keep-out-1"]
    assert (check.status, check.ratio, check.demand) == (Status.PASS, None, None)
    assert check.note.endswith(" from it")


def test_a_rule_that_fails_with_a_distance_says_the_distance(tmp_path, capsys):
    path = tmp_path / "plan.toml"
    path.write_text(text(services=[line_at(-1.05, tolerance="9 ft")]), encoding="utf-8")
    assert main(["check", str(path)]) == 1
    said = " ".join(capsys.readouterr().out.split())
    assert 'Gas line: clear of buried services FAILS: 1" from the edge of the hole' in said
    assert "what it can bear" not in said


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("verdict", FORBIDDEN)
def test_the_book_says_the_rule_too(verdict, language):
    checks = tuple(found(**FORBIDDEN[verdict]).values())
    with speaking(language, "us"), listening() as unsaid:
        said = tally(checks).governs
    assert unsaid == []
    if language == "en":
        assert said == verdict[:1].upper() + verdict[1:]
    assert "FAILS" in said if language == "en" else "NO CUMPLE" in said
    assert "%" not in said


@pytest.mark.parametrize("demo", ["alder-creek", "dry-gulch"])
def test_the_demos_are_clear_of_what_is_buried(demo):
    plan = read_plan(demo_text(demo))
    model = build_planned(plan)
    checks = ground_checks(plan, model)
    assert {c.status for c in checks} == {Status.PASS}
    assert ground_cautions(plan, model) == ((),) * len(model.posts.ids)
    ratios = [c.ratio for c in checks if c.id.endswith(".services")]
    assert len(ratios) == len(model.posts.ids)
    if demo == "alder-creek":
        assert 0.5 < max(ratios) < 0.9, "one service lies near"


def test_quick_checks_have_the_same_outcome():
    plan = read_plan(text(services=[line_at(-2), line_at(40, name="Drain", kind="sewer")]))
    model = build_planned(plan)
    slow, quick = ground_checks(plan, model), ground_checks(plan, model, replayed=False)
    assert [(c.id, c.status, c.ratio) for c in slow] == [(c.id, c.status, c.ratio) for c in quick]
    assert np.isfinite([c.ratio for c in slow if c.ratio is not None]).all()


def test_all_that_is_said_of_the_ground_is_said_in_spanish():
    with speaking("es", "us"), listening() as unsaid:
        told = [tell(sentence) for sentence in grounds_said()]
    assert unsaid == []
    assert "NO EXCAVE: Line (agua) pasa por el hoyo" in told
