"""What must hold of the wiring whatever the plan says."""

from __future__ import annotations

from typing import Any

import numpy as np
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from plumbrail.check import Status
from plumbrail.model.build import build
from plumbrail.plan.wiring import SIZES
from plumbrail.wiring.parts import Wired
from plumbrail.wiring.run import wired
from wirings import LOW, check, wire, wired_plan

few = settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.too_slow])
CODES = ("NEC 2017", "NEC 2020", "NEC 2023", "IEC")
CORNERS = ("front left", "front right", "back left", "back right")


def longest(found: Wired) -> int:
    """Most modules in a string that the cold allows."""
    return max(g.per_string for g in found.groupings
               if not any("coldest" in r for r in g.reasons))  # fmt: skip


@few
@example(-40, 1, "larger", 600)  # where the table of factors ends
@given(st.integers(-60, 5), st.integers(1, 20), st.sampled_from(("coefficient", "larger")),
       st.sampled_from((250, 450, 600)))  # fmt: skip
def test_a_colder_record_never_allows_more_modules(
    low: int, more: int, method: str, most: int
) -> None:
    def at(degrees: int) -> Wired:
        return wire({"basis.extreme_low": f"{degrees} degC", "basis.cold_voltage": method,
                     "equipment.max_voltage": f"{most} V",
                     "equipment.working": ["60 V", f"{0.9 * most:g} V"]})  # fmt: skip

    warm, cold = at(low), at(low - more)
    assert longest(cold) <= longest(warm)
    assert cold.volts.cold_by_coefficient is not None
    assert warm.volts.cold_by_coefficient is not None
    assert cold.volts.cold_by_coefficient > warm.volts.cold_by_coefficient


@few
@given(st.sampled_from((2, 3, 4)), st.sampled_from(("copper", "aluminium")),
       st.sampled_from(("1 %", "2 %", "5 %")))  # fmt: skip
def test_more_parallel_strings_never_take_a_thinner_run(per: int, metal: str, allowed: str) -> None:
    """Two layouts of the same array; only the number of strings on the run differs."""
    loose = {**LOW, "equipment.max_short_circuit": None, "equipment.max_current": None,
             "equipment.working": ["20 V", "230 V"], "equipment.start_voltage": None,
             "conductors.run_metal": metal, "conductors.voltage_drop": allowed}  # fmt: skip
    many = wire({**loose, "per_string": per})
    split = wire({**loose, "per_string": per, "equipment.inputs": 2})
    counts = [w.circuits[1].i_sc for w in (many, split)]
    assert counts[0] >= counts[1]
    sizes = [SIZES.index(w.circuits[1].size) for w in (many, split)]
    if counts[0] > counts[1] and split.circuits[1].count == many.circuits[1].count:
        assert sizes[0] >= sizes[1]


@few
@given(st.integers(20, 600), st.integers(1, 300), st.sampled_from(("4 AWG", "1/0 AWG")))
def test_a_longer_run_never_loses_less(feet: int, more: int, size: str) -> None:
    def at(length: int) -> Wired:
        return wire({"run.length": f"{length} ft", "conductors.run_size": size})

    near, far = at(feet), at(min(feet + more, 999))
    assert far.circuits[1].drop >= near.circuits[1].drop
    assert far.share_lost >= near.share_lost
    near_ratio, far_ratio = check(near, "run.drop").ratio, check(far, "run.drop").ratio
    assert near_ratio is not None
    assert far_ratio is not None
    assert far_ratio >= near_ratio


@few
@given(st.integers(30, 900))
def test_a_free_run_keeps_the_plans_voltage_drop_or_says_not(feet: int) -> None:
    found = wire({"run.length": f"{feet} ft"})
    run = check(found, "run.drop")
    assert run.status is Status.PASS or found.circuits[1].size == SIZES[-1]


@st.composite
def layouts(draw: st.DrawFn) -> dict[str, Any]:
    """Any wiring of the 24 modules that the plan can ask for."""
    return {
        **(LOW if draw(st.booleans()) else {}),
        "basis.code": draw(st.sampled_from(CODES)),
        "equipment.inputs": draw(st.integers(1, 3)),
        "combiners.count": draw(st.integers(1, 6)),
        "combiners.corner": draw(st.sampled_from(CORNERS)),
        "combiners.height": f"{draw(st.integers(1, 6))} ft",
        "conductors.module_lead": f"{draw(st.sampled_from((0.3, 0.9, 1.1, 1.6)))} m",
        "per_string": draw(st.one_of(st.none(), st.integers(1, 24))),
    }


@settings(few, max_examples=40)
@given(layouts(), st.integers(0, 2**32 - 1), st.booleans())
def test_any_layout_is_sound(changes: dict[str, Any], seed: int, shaded: bool) -> None:
    plan = wired_plan(changes)
    model = build(plan)
    shade = np.random.default_rng(seed).uniform(0, 0.4, 24) if shaded else None
    found = wired(plan, model, shade)
    strings, chosen = found.strings, found.chosen
    taken = strings.string[strings.string >= 0]
    # every module is in at most one string, and every string is full
    assert np.bincount(taken).tolist() == [chosen.per_string] * chosen.strings
    assert (strings.string < 0).sum() == chosen.left_over
    for s in range(chosen.strings):
        places = np.sort(strings.place[strings.string == s])
        assert places.tolist() == list(range(chosen.per_string))
    assert np.bincount(strings.input, minlength=1).tolist() == list(chosen.per_input)
    # every length is that of its points and no shorter than the straight way
    for path in found.paths:
        along = np.linalg.norm(np.diff(path.points, axis=0), axis=1).sum()
        straight = np.linalg.norm(path.points[-1] - path.points[0])
        assert path.length > 0
        assert np.isclose(path.length, along)
        assert path.length >= straight - 1e-9
    assert len({p.id for p in found.paths}) == len(found.paths)
    homes = [p for p in found.paths if p.kind == "home run"]
    assert len(homes) == 2 * chosen.strings
    for path in homes:
        box = found.boxes[strings.combiner[int(path.id.split()[0][1:]) - 1]]
        assert np.allclose(path.points[-1], box)
    # what is bought is no less than what is laid
    assert all(i.amount > 0 for i in found.buying)
    assert len({c.id for c in found.checks}) == len(found.checks)
    # a grouping that will not do never passes in silence
    if not chosen.feasible:
        assert check(found, "array.grouping").status is Status.FAIL
    failing = {c.id for c in found.checks if c.status is Status.FAIL}
    if chosen.feasible:
        assert not failing & {"S1.cold", "S1.cold-code", "S1.cold-module", "S1.hot", "S1.rated",
                              "S1.start", "input.short-circuit", "array.power"}  # fmt: skip


@settings(few, max_examples=8)
@given(layouts(), st.integers(0, 2**32 - 1))
def test_the_same_plan_gives_the_same_strings(changes: dict[str, Any], seed: int) -> None:
    plan = wired_plan(changes)
    model = build(plan)
    shade = np.random.default_rng(seed).uniform(0, 0.4, 24)
    one, two = wired(plan, model, shade), wired(plan, model, shade.copy())
    assert (one.strings.string == two.strings.string).all()
    assert (one.strings.place == two.strings.place).all()


@settings(few, max_examples=10)
@given(st.integers(0, 2**32 - 1))
def test_looking_at_shade_never_makes_its_spread_worse(seed: int) -> None:
    """Against the strings by place alone."""
    plan = wired_plan()
    model = build(plan)
    shade = np.random.default_rng(seed).uniform(0, 0.4, 24)

    def cost(found: Wired) -> float:
        spread = sum(np.ptp(shade[found.strings.string == s]) for s in range(3))
        wires = sum(p.length for p in found.paths if p.kind in ("home run", "jumper"))
        return float(8 * spread + wires / 200)

    # half a module's worth of light is left for jumpers and turns, which count as wire too
    assert cost(wired(plan, model, shade)) <= cost(wired(plan, model)) + 0.5
