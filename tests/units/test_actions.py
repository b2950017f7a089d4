"""Which load cases there are, and that nothing is reduced or left out silently."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from plans import MPH, PSF, alder, model_with, plan_with, response_with, tilted
from plumbrail.checks.actions import actions_of, rail_effective_area
from plumbrail.checks.framing import frame_of
from plumbrail.checks.run import run_checks
from plumbrail.checks.wind import component_pressures, reduction_note, wind_cases, wind_site
from plumbrail.errors import RangeError
from plumbrail.model.build import build
from plumbrail.trace import recording

LEVEL = {"site.ground.slope_across": "0 %", "site.ground.slope_along": "0 %"}
ENGINEER: dict[str, Any] = {
    "basis.us.loads": "ASCE 7-22",
    "frame.ground_mount": {"uplift": -1.0, "down": 1.1, "moment": 0.1, "reduce_below_figure": False,
                           "citation": "Letter of the engineer of record, 4 April"},
}  # fmt: skip


def total_normal(plan: Any, case: str) -> float:
    """Sum of the normal load of a wind case on both halves, + down [N per unit slope half]."""
    model = build(plan)
    actions = actions_of(plan, model, frame_of(plan, model))
    c = [c.id for c in actions.cases].index(case)
    return float(-(actions.rails[c] @ model.plane.normal).sum())


def ids(plan: Any) -> list[str]:
    return [c.id for c in wind_cases(plan, build(plan))]


def test_all_wind_cases_of_both_flows() -> None:
    found = ids(plan_with())
    across = {f"W-{a}-{f}-{c}" for a in ("back", "front") for f in ("clear", "obstructed")
              for c in "AB"}  # fmt: skip
    along = {f"W-{a}-{f}-{c}" for a in ("left", "right") for f in ("clear", "obstructed")
             for c in "AB"}  # fmt: skip
    least = {f"W-{a}-least" for a in ("back", "front", "left", "right")}
    assert set(found) == across | along | least
    assert len(found) == len(set(found))


@pytest.mark.parametrize("flow", ["clear", "obstructed"])
def test_one_flow_alone(flow: str) -> None:
    found = ids(plan_with({"site.wind_flow": flow}))
    assert len(found) == 12
    assert all(flow in name for name in found if "least" not in name)


def test_natures_of_all_cases() -> None:
    cases = alder()[2].actions.cases
    natures = [c.nature for c in cases]
    assert natures.count("D") == natures.count("S") == natures.count("E_v") == 1
    assert natures.count("E_h") == 4
    assert [c.id for c in cases if c.component] == ["W-part-down", "W-part-up"]


@pytest.mark.parametrize("degrees", [0, 3, 7.5, 10, 20, 33, 45])
def test_every_tilt_to_45_degrees(degrees: float) -> None:
    """From 7.5 deg up, wind at the high edge lifts and at the low edge, clear, presses."""
    plan = plan_with(tilted(degrees) | LEVEL)
    if degrees >= 7.5:
        for case in "AB":
            for flow in ("clear", "obstructed"):
                assert total_normal(plan, f"W-back-{flow}-{case}") < 0
            assert total_normal(plan, f"W-front-clear-{case}") > 0
    else:
        assert total_normal(plan, "W-back-clear-A") > 0, "the row of 0 deg holds below 7.5 deg"


def test_steeper_than_45_degrees_is_refused() -> None:
    with pytest.raises(RangeError, match=r"array\.tilt in degrees is 46.*lower array\.tilt"):
        response_with(plan_with(tilted(46)))


def test_halves_have_their_own_coefficient() -> None:
    """Fig. 27.3-4 at 30 deg, clear, B: 2.6 windward, 1.0 leeward; -2.5 and -0.5."""
    plan = plan_with(tilted(30))
    model = build(plan)
    actions = actions_of(plan, model, frame_of(plan, model))
    for case, low_to_high in (("W-front-clear-B", 2.6 / 1.0), ("W-back-clear-B", 0.5 / 2.5)):
        c = [c.id for c in actions.cases].index(case)
        low, high = (actions.rails[c] @ model.plane.normal).sum(axis=1)
        assert low / high == pytest.approx(low_to_high)


def test_along_row_steps_from_the_windward_end() -> None:
    plan, model, response = alder()
    del plan
    cases = {c.id: i for i, c in enumerate(response.actions.cases)}
    left = response.actions.rails[cases["W-left-obstructed-A"]] @ model.plane.normal
    right = response.actions.rails[cases["W-right-obstructed-A"]] @ model.plane.normal
    np.testing.assert_allclose(left, right[:, ::-1], rtol=1e-9)
    assert left[0, 0] > left[0, -1] > 0, "more suction at the windward end"


def test_pressure_grows_with_the_square_of_the_speed() -> None:
    slow, fast = (plan_with({"site.wind_speed": f"{v} mph"}) for v in (90, 180))
    assert total_normal(fast, "W-back-clear-A") == pytest.approx(
        4 * total_normal(slow, "W-back-clear-A")
    )
    assert fast.site.wind_speed == pytest.approx(180 * MPH)


def test_least_component_pressure() -> None:
    """16 psf in either direction, however weak the wind (from memory)."""
    plan = plan_with({"site.wind_speed": "45 mph"})
    found = component_pressures(plan, build(plan), 2.0)
    assert float(found.down) == pytest.approx(16 * PSF)
    assert float(found.up) == pytest.approx(-16 * PSF)


def test_components_in_exposure_b_use_no_less_than_0_70() -> None:
    plan = plan_with({"site.exposure": "B"})
    model = build(plan)
    whole, part = wind_site(plan, model), wind_site(plan, model, component=True)
    K_z = 2.01 * (15 / 1200) ** (2 / 7)
    assert float(part.q / whole.q) == pytest.approx(0.70 / K_z)


def test_component_pressures_keep_their_origin() -> None:
    plan, model, _ = alder()
    with recording() as record:
        component_pressures(plan, model, rail_effective_area(model))
    assert record.loose() == []
    assert record.misfits() == []


def test_both_editions_give_nearly_the_same_wind() -> None:
    """K_d moves from q to the pressure in ASCE 7-22: it must enter once in either edition."""
    old, new = (total_normal(plan_with({"basis.us.loads": e}), "W-back-clear-B")
                for e in ("ASCE 7-16", "ASCE 7-22"))  # fmt: skip
    assert new == pytest.approx(old, rel=0.01)


def test_engineer_coefficients_come_beside_the_figure() -> None:
    found = ids(plan_with(ENGINEER))
    assert len(found) == 20 + 4
    assert reduction_note(plan_with(ENGINEER), model_with(ENGINEER)) == ""


def test_engineer_coefficients_below_the_figure_change_nothing_that_governs() -> None:
    plain = plan_with({"basis.us.loads": "ASCE 7-22"})
    own = plan_with(ENGINEER)
    assert largest(own) == pytest.approx(largest(plain), rel=1e-9)


def test_engineer_coefficients_above_the_figure_govern() -> None:
    more = ENGINEER | {"frame.ground_mount": ENGINEER["frame.ground_mount"] | {"uplift": -3.0}}
    assert largest(plan_with(more), "uplift") > 1.3 * largest(plan_with(ENGINEER), "uplift")


def test_going_below_the_figure_needs_an_order_and_is_noted() -> None:
    below = ENGINEER["frame.ground_mount"] | {"reduce_below_figure": True}
    plan = plan_with(ENGINEER | {"frame.ground_mount": below})
    assert not any(name.startswith(("W-back-clear", "W-front-clear")) for name in ids(plan))
    model, response = response_with(plan)
    notes = run_checks(plan, model, response, ((), ())).notes
    assert any("below ASCE 7 Fig. 27.3-4" in n and "4 April" in n for n in notes)
    assert largest(plan, "uplift") < largest(plan_with(ENGINEER), "uplift")


def test_engineer_cases_are_named_after_the_half_that_carries_more() -> None:
    plan = plan_with(ENGINEER)
    model = build(plan)
    cases = {c.id: c for c in wind_cases(plan, model)}
    for side, name, low_more in (
        ("back", "windward", False), ("back", "leeward", True),
        ("front", "windward", True), ("front", "leeward", False),
    ):  # fmt: skip
        low, high = np.abs(cases[f"W-{side}-engineer-{name}"].pressure()[:, 0])
        assert (low > high) == low_more, (side, name)


def test_engineer_coefficients_belong_to_asce_7_22() -> None:
    with pytest.raises(RangeError, match="belong to ASCE 7-22"):
        ids(plan_with(ENGINEER | {"basis.us.loads": "ASCE 7-16"}))


def largest(plan: Any, word: str = "sideways") -> float:
    model, response = response_with(plan)
    checks = run_checks(plan, model, response, ((), ())).checks
    return max(c.ratio for c in checks if c.ratio is not None and word in c.id)


def test_no_snow_and_no_earthquake_still_run() -> None:
    _, response = response_with(plan_with({"site.ground_snow": "0 psf", "site.seismic_sds": 0.0}))
    snow = [c.id for c in response.actions.cases].index("S")
    assert not response.actions.rails[snow].any()


def test_components_are_not_combined_with_the_frame_wind() -> None:
    response = alder()[2]
    frame, parts = response.strength.factors.cases, response.parts.factors.cases
    assert not any("part" in c for c in frame)
    assert [c for c in parts if c.startswith("W")] == ["W-part-down", "W-part-up"]
    assert not any(c.startswith("E") for c in parts)


def test_low_edge_height_moves_the_mean_height() -> None:
    low, high = (model_with({"array.low_edge_clearance": f"{v} in"} | LEVEL) for v in (30, 60))
    from plumbrail.checks.wind import mean_height

    assert mean_height(high) - mean_height(low) == pytest.approx(30 * 0.0254)
