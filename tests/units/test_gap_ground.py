"""Holes right at a buried line or at an area, by geometry: the holes of the demo are 24 in wide."""

from __future__ import annotations

from typing import Any

import pytest
import tomlkit

from plans import plan_text
from plumbrail.check import Status
from plumbrail.checks.ground import ground_cautions, ground_checks
from plumbrail.model.build import build_planned
from plumbrail.plan.models import Plan
from plumbrail.plan.reader import read_plan
from plumbrail.trace import Certainty

SURE = {"uncertainty": "6 in", "tolerance": "18 in", "diameter": "4 in"}


def plan_of(**changes: Any) -> Plan:
    document: Any = tomlkit.parse(plan_text({}, (), "alder-creek"))
    for name in ("services", "easements", "regions", "boundary", "locate"):
        document["site"].pop(name, None)
    document["site"].update(changes)
    return read_plan(tomlkit.dumps(document))


def line(front: float, **known: Any) -> dict[str, Any]:
    """Along the front row, so far before the middle of its holes [in]."""
    return {
        "name": "Gas line", "kind": "gas", "located_by": "locator", **known,
        "points": [["-90 ft", f"{-front} in"], ["90 ft", f"{-front} in"]],
    }  # fmt: skip


def at_f1(front: float, **known: Any) -> tuple[Any, tuple[str, ...]]:
    plan = plan_of(services=[line(front, **known)])
    model = build_planned(plan)
    found = {c.id: c for c in ground_checks(plan, model)}
    said = dict(zip(model.posts.ids, ground_cautions(plan, model), strict=True))
    return found["F1.services"], said["F1"]


@pytest.mark.parametrize("missing", ["uncertainty", "tolerance"])
def test_a_hole_over_a_line_is_practice_where_anything_usual_was_counted(missing: str) -> None:
    """Common practice, no published source: what the plan does not say is counted as usual."""
    known = {k: v for k, v in SURE.items() if k != missing}
    assert at_f1(0.0, **SURE)[0].certainty is Certainty.DERIVED
    one, _ = at_f1(0.0, **known)
    assert (one.status, one.certainty) == (Status.FAIL, Certainty.PRACTICE)


@pytest.mark.parametrize(("edge", "words"), [(1.9, "DO NOT DIG"), (2.1, "dig by hand")])
def test_a_line_counts_with_its_width_at_the_hole(edge: float, words: str) -> None:
    """Four inches wide: its side reaches the hole when its middle is 2 in from the edge."""
    one, (said,) = at_f1(12.0 + edge, **SURE)
    assert one.status is Status.FAIL
    assert said.startswith(words)


@pytest.mark.parametrize(("front", "status"), [
    (11.9, Status.FAIL), (12.1, Status.FAIL), (37.9, Status.FAIL), (38.1, Status.PASS),
])  # fmt: skip
def test_a_hole_fails_from_the_line_itself_to_the_edge_of_its_zone(
    front: float, status: Status
) -> None:
    """12 in of hole and 2 + 18 + 6 in of zone."""
    one, said = at_f1(front, **SURE)
    assert one.status is status
    assert bool(said) is (status is Status.FAIL)
    assert ("do not dig here" in one.note) is (front < 12)


@pytest.mark.parametrize(("depth", "words"), [
    ("7 ft", "reaches its top"), ("7.1 ft", "above its top"), (None, "its depth is not known"),
])  # fmt: skip
def test_a_hole_in_the_zone_says_how_deep_the_line_lies(depth: str | None, words: str) -> None:
    """The demo's holes are 7 ft deep."""
    known = SURE if depth is None else {**SURE, "depth": depth}
    one, _ = at_f1(20.0, **known)
    assert one.status is Status.FAIL
    assert words in one.note
