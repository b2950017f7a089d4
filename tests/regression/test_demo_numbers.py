"""Our own old numbers on the demo plans. They show that a result moved, not that it is right.

A change that moves one of them says so, and by how much, in CHANGELOG.md.
"""

from __future__ import annotations

from functools import cache

import pytest

from plumbrail.jobs.buying import shopping
from plumbrail.jobs.designing import Design, design
from plumbrail.plan.demos import demo_text
from plumbrail.plan.reader import LoadedPlan, read_plan

RATIOS = {
    "alder-creek": {
        "frame.sway-along-the-row": 0.732642,
        "B3.compression": 0.1409,
        "B2.tension": 0.0231061,
        "F3.bending": 0.875921,
        "F2.shear": 0.0647639,
        "F3.torsion": 0.0156494,
        "F3.all-together": 0.888719,
        "front-beam.F1-F2.compression": 0.0034372,
        "front-beam.F1-F2.tension": 0.00222231,
        "front-beam.F1-F2.bending": 0.509331,
        "front-beam.F1-F2.shear": 0.105834,
        "front-beam.F1-F2.all-together": 0.509331,
        "splice.front-1.low-moment": 0.980777,
        "splice.front-1.bending": 0.636889,
        "splice.front-1.shear": 0.30491,
        "R5.bending": 0.56001,
        "R4.shear": 0.0891277,
        "F3.sideways-hold-in-the-soil": 0.973604,
        "B2.uplift": 0.813914,
        "F3.bearing": 0.888791,
        "B1.frost-depth": 0.333333,
        "F1.concrete-cover": 0.307692,
        "joint.rail-to-beam-uplift": 0.57204,
        "joint.rail-to-beam-slip": 0.92833,
        "joint.beam-to-post-uplift": 0.358352,
        "joint.beam-to-post-lateral": 0.504645,
        "module.pressure-from-below": 0.646113,
        "module.pressure-from-above": 0.553175,
        "joint.clamp-uplift": 0.425461,
        "front-beam.right-end.deflection": 0.147277,
        "R5.deflection": 0.415956,
        "R5.overhang-deflection": 0.488716,
        "F3.sway": 0.55057,
        "array.clearance": 1,
        "R5.all-together": 0.897548,
    },
    "dry-gulch": {
        "frame.sway-along-the-row": 1.02777,
        "B2.compression": 0.823267,
        "B3.tension": 0.0357712,
        "F2.bending": 3.45172,
        "F2.shear": 0.107613,
        "F1.torsion": 0.037478,
        "F2.all-together": 3.50034,
        "front-beam.F1-F2.compression": 0.00513858,
        "front-beam.left-end.tension": 0.0026251,
        "front-beam.F2-F3.bending": 0.918989,
        "back-beam.B1-B2.shear": 0.0943563,
        "front-beam.F2-F3.all-together": 0.918989,
        "splice.front-1.low-moment": 1.20074,
        "splice.front-1.bending": 0.916065,
        "splice.front-1.shear": 0.00527256,
        "R15.bending": 0.404681,
        "R10.shear": 0.0590039,
        "F2.sideways-hold-in-the-soil": 4.48521,
        "B3.uplift": 5.28707,
        "B2.bearing": 1.17964,
        "F1.frost-depth": 1.25,
        "F1.concrete-cover": 0.623377,
        "joint.rail-to-beam-uplift": 0.294315,
        "joint.rail-to-beam-slip": 0.87753,
        "joint.beam-to-post-uplift": 0.382344,
        "joint.beam-to-post-lateral": 0.611405,
        "module.pressure-from-below": 0.755695,
        "module.pressure-from-above": 0.904719,
        "front-beam.F3-F4.deflection": 0.258985,
        "F2.sway": 3.42487,
        "array.clearance": 1,
        "R15.all-together": 0.611646,
    },
}
COST = {"alder-creek": 5040.00, "dry-gulch": 1522.00}
BAGS = {"alder-creek": 296, "dry-gulch": 40}
SPLICES = {"alder-creek": (1, 1), "dry-gulch": (1, 1)}


@cache
def made(name: str) -> Design:
    text = demo_text(name)
    return design(LoadedPlan(read_plan(text), text, "0" * 64, name))


@pytest.mark.parametrize(
    ("name", "id", "old"),
    [(name, id, old) for name, rows in RATIOS.items() for id, old in rows.items()],
)
def test_ratio(name: str, id: str, old: float):
    check = made(name).checks.find(id)
    assert check is not None
    assert check.ratio == pytest.approx(old, rel=1e-4)


@pytest.mark.parametrize("name", list(COST))
def test_cost_and_bags(name: str):
    d = made(name)
    shop = shopping(d.plan, d.model, d.cutting)
    assert shop.cost == pytest.approx(COST[name])
    assert shop.bags.total == BAGS[name]


@pytest.mark.parametrize("name", list(SPLICES))
def test_splices(name: str):
    front, back = made(name).cutting.splices
    assert (len(front), len(back)) == SPLICES[name]
    assert all(s.plan is not None and s.plan.proven for s in made(name).cutting.sections)
