"""What a check is, and that each family compares the right demand with the right capacity."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from plans import (
    FOOT,
    INCH,
    KSI,
    LBF,
    PSF,
    G,
    alder,
    alder_checks,
    checks_of,
    plan_with,
    response_with,
)
from plumbrail.bases.us.adm import rails as adm
from plumbrail.bases.us.common import force_ratio
from plumbrail.check import Case, Status, explained, pruned, worst
from plumbrail.checks import deflections, foundations, splices
from plumbrail.checks.framing import Kind
from plumbrail.checks.joints import joint_cases
from plumbrail.checks.members import beam_parts, steel_cases, steel_parts
from plumbrail.checks.modules import clamp_area
from plumbrail.checks.rails import rail_cases
from plumbrail.checks.run import run_checks
from plumbrail.checks.splices import envelopes, splice_cases, splice_zones
from plumbrail.checks.sway import sway_amplifier
from plumbrail.checks.wind import bar_pressures, wind_site
from plumbrail.errors import GeometryError
from plumbrail.frame import internal_forces
from plumbrail.model.build import build
from plumbrail.trace import Certainty, given, recording


def made(ratio: float, certainty: Certainty = Certainty.MAKER, batch: float | None = None) -> Case:
    """A case of demand over capacity with a given ratio."""

    def run() -> object:
        return force_ratio(
            given("frame analysis", "R_r [N]", ratio * 1000.0, Certainty.DERIVED),
            given("letter", "R_c [N]", 1000.0, certainty),
        )

    return Case("a.b", "a", "b", "joint", ratio if batch is None else batch, "ASD 1", run,
                "force_ratio")  # fmt: skip


# ---- result ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("ratio", "status"),
    [(0.0, Status.PASS), (0.999, Status.PASS), (1.0, Status.PASS), (1.0 + 1e-8, Status.FAIL),
     (1.001, Status.FAIL), (float("inf"), Status.FAIL)],
)  # fmt: skip
def test_more_than_one_fails_and_exactly_one_passes(ratio: float, status: Status) -> None:
    assert explained(made(ratio)).status is status


def test_what_is_not_a_number_never_passes() -> None:
    with pytest.raises(ValueError, match="replay gives"):
        explained(made(float("nan")))


def test_a_replay_that_gives_another_ratio_is_refused() -> None:
    with pytest.raises(ValueError, match=r"replay gives 0\.5, the batch 0\.4"):
        explained(made(0.5, batch=0.4))


def test_a_case_without_its_step_is_refused() -> None:
    with pytest.raises(ValueError, match="no step moment_ratio"):
        explained(replace(made(0.5), step="moment_ratio"))


@pytest.mark.parametrize("certainty", Certainty)
def test_certainty_is_the_least_sure_of_the_chain(certainty: Certainty) -> None:
    assert explained(made(0.5, certainty)).certainty is max(certainty, Certainty.DERIVED)


def test_a_table_from_memory_makes_the_check_say_so() -> None:
    """The aluminium manual's provisions are from memory; so is every rail checked by section."""
    rails = [c for c in alder_checks().checks if c.family == "rail" and "bending" in c.id]
    assert {c.certainty for c in rails} == {Certainty.MEMORY}
    assert {c.certainty.words for c in rails} == {"from memory"}


def test_no_check_is_surer_than_the_loads_that_govern_it() -> None:
    """Fig. 27.3-4 is a second-hand copy; the least wind and earthquake are from memory."""
    seen = False
    for check in alder_checks().checks:
        if "W-back-" in check.combination or "W-front-" in check.combination:
            assert check.certainty >= Certainty.SECOND_HAND, check.id
            seen = True
        if "-least" in check.combination or "E-" in check.combination:
            assert check.certainty is Certainty.MEMORY, check.id
    assert seen


def test_demand_and_capacity_come_from_the_record() -> None:
    check = explained(made(0.25))
    assert (check.demand, check.capacity, check.unit) == (250.0, 1000.0, "N")
    assert check.clause == "letter"
    assert check.replay().certainty is Certainty.DERIVED


def test_pruned_records_keep_only_what_the_ratio_rests_on_and_number_it_anew() -> None:
    def run() -> object:
        given("elsewhere", "x [N]", 1.0, Certainty.MEMORY)
        return made(0.5).run()

    case = replace(made(0.5), run=run)
    assert explained(case).certainty is Certainty.DERIVED, "an unused number does not count"
    with recording() as record:
        case.run()
    kept = pruned(record, case)
    assert [s.number for s in kept.steps] == [0, 1, 2]
    assert dict(kept.steps[2].origins) == {"R_r": 0, "R_c": 1}
    assert kept.misfits() == []


def test_worst_ignores_what_has_no_ratio() -> None:
    checks = [explained(made(0.5)), explained(made(0.7)),
              replace(explained(made(0.9)), ratio=None)]  # fmt: skip
    assert worst(checks).ratio == 0.7
    assert worst([]) is None


# ---- all checks of a plan ----------------------------------------------------------------


@pytest.mark.parametrize("base", ["alder-creek", "dry-gulch"])
def test_every_check_has_clause_and_certainty_or_is_not_checked(base: str) -> None:
    checks = alder_checks() if base == "alder-creek" else checks_of(plan_with(base=base))
    assert len({c.id for c in checks.checks}) == len(checks.checks), "ids are unique"
    for check in checks.checks:
        if check.status is Status.NOT_CHECKED:
            assert check.ratio is None, check.id
            assert check.note, check.id
        else:
            assert check.clause, check.id
            assert check.certainty is not None, check.id
            if check.rule and check.ratio is None:  # nothing may stand there: words, no numbers
                assert check.note, check.id
                assert (check.demand, check.capacity, check.replay) == (None, None, None), check.id
                continue
            assert np.isfinite(check.ratio), check.id
            assert check.ratio >= 0, check.id


@pytest.mark.parametrize("base", ["alder-creek", "dry-gulch"])
def test_replays_equal_the_batch_and_have_no_loose_number(base: str) -> None:
    checks = alder_checks() if base == "alder-creek" else checks_of(plan_with(base=base))
    for check in checks.checks:
        if check.replay is None:
            continue
        record = check.replay()
        assert record.steps[-1].value.item() == pytest.approx(check.ratio, rel=1e-9, abs=1e-12)
        assert record.loose() == [], check.id
        assert record.misfits() == [], check.id
        assert all(s.holds(1e-9) for s in record.steps), check.id
        assert record.certainty <= check.certainty, "the loads may be less sure, never surer"


def test_the_good_demo_passes_and_the_bad_one_fails_where_it_says() -> None:
    assert alder_checks().passed
    bad = checks_of(plan_with(base="dry-gulch"), ((4.4196,), (4.4196,)))
    failed = {c.id for c in bad.checks if c.status is Status.FAIL}
    assert {"F2.bending", "B2.uplift", "F2.sideways-hold-in-the-soil", "F1.frost-depth",
            "splice.front-1.low-moment"} <= failed  # fmt: skip


LEFT_OUT = {
    "frame.connections": {"joint.rail-to-beam-uplift", "joint.rail-to-beam-slip",
                          "joint.beam-to-post-uplift", "joint.beam-to-post-lateral",
                          "joint.clamp-uplift"},
    "frame.splice": {"splice.front-1.strength", "splice.back-1.strength"},
    "frame.deflection": {"beams.deflection", "rails.deflection", "posts.deflection"},
    "frame.rail.alloy": {"rails.bending"},
    "frame.connections.clamp_uplift": {"joint.clamp-uplift"},
}  # fmt: skip


@pytest.mark.parametrize("field", LEFT_OUT)
def test_what_nobody_stated_is_not_checked(field: str) -> None:
    checks = checks_of(plan_with(drop=[field]), ((3.7,), (7.1,)))
    found = {c.id: c for c in checks.checks if c.status is Status.NOT_CHECKED}
    assert set(found) == LEFT_OUT[field]
    assert not checks.passed
    place = field.rpartition(".")[0] if field.count(".") > 1 else field
    assert all(place in c.note for c in found.values())


def test_joints_that_no_field_covers_are_not_checked() -> None:
    brace = {"direction": "across", "stations": [2], "low": "6 in", "high": "6 in"}
    plan = plan_with({"frame.post_top": "rigid", "frame.brace": "NPS 1-1/2 STD",
                      "frame.braces": [brace]})  # fmt: skip
    missing = {c.id for c in checks_of(plan).checks if c.status is Status.NOT_CHECKED}
    assert missing == {"joint.post-top-moment", "joint.brace-end"}


def test_a_plane_outside_the_wind_figure_is_not_checked() -> None:
    """h/L over 1: a short steep plane on tall posts (ASCE 7-16 Fig. 27.3-4 stops there)."""
    plan = plan_with({"array.rows": 2, "array.low_edge_clearance": "8 ft"})
    found = checks_of(plan).find("site.wind-figure")
    assert found.status is Status.NOT_CHECKED
    assert "h/L" in found.note
    assert alder_checks().find("site.wind-figure") is None


def test_a_rail_by_its_maker_still_lacks_shear() -> None:
    plan = plan_with({"frame.rail.allowable_moment": "1000 lbf*ft",
                      "frame.rail.source": "Letter of the rail maker, 2 March"})  # fmt: skip
    checks = checks_of(plan)
    assert checks.find("rails.shear").status is Status.NOT_CHECKED
    found = checks.find("R1.bending")
    assert found.capacity == pytest.approx(1000 * LBF * FOOT)
    assert found.replay().certainty is Certainty.DERIVED, "the loads are less sure"


# ---- steel -------------------------------------------------------------------------------


def test_effective_lengths() -> None:
    """Posts K = 2.1 from the foot to the beam; bays K = 1; overhangs twice their length."""
    plan, model, response = alder()
    parts = {p.id: p for p in steel_parts(plan, model, response)}
    for p, name in enumerate(model.posts.ids):
        L = model.posts.beam_centre[p] - model.posts.ground[p] + FOOT
        assert pytest.approx(L) == parts[name].L
        assert pytest.approx(2.1 * L) == parts[name].KL
    over = float(model.beams.supports[0, 0])
    assert pytest.approx(2 * over) == parts["front-beam.left-end"].KL
    assert pytest.approx(over) == parts["back-beam.right-end"].L
    assert pytest.approx(9 * FOOT) == parts["front-beam.F2-F3"].KL
    uneven = plan_with({"frame.spacing": ["9 ft", "10 ft", "9 ft"]})
    model, response = response_with(uneven)
    bays = {p.id: p for p in beam_parts(model, response)}
    assert pytest.approx(10 * FOOT) == bays["front-beam.F1-F2"].L, "the longest bay"
    assert pytest.approx(9 * FOOT) == bays["front-beam.F1-F2"].KL


def test_braces_are_amplified_for_the_sway_they_hold() -> None:
    """AISC 360 A-8-2: P_r = P_nt + B_2 P_lt; all of the axial force is taken as sway."""
    brace = {"direction": "across", "stations": [2], "low": "6 in", "high": "6 in"}
    plan = plan_with({"frame.brace": "NPS 1-1/2 STD", "frame.braces": [brace]})
    model, response = response_with(plan)
    B_2 = sway_amplifier(response, response.strength)
    N = response.forces(response.framing.members(Kind.BRACE), response.strength).N
    pull = (N * B_2[None, :, None]).max()
    assert pull > 1.05 * N.max(), "the combination that governs sways"
    found = next(c for c in steel_cases(plan, model, response) if c.id == "D1.tension")
    assert explained(found).demand == pytest.approx(pull)


def test_the_smallest_pipe_sets_the_coefficient_of_bars() -> None:
    """NPS 8 posts are large, D sqrt(q) over 2.5 (ft, psf), but the NPS 3 beams on them are not."""
    plan = plan_with({"frame.post": "NPS 8 STD", "piers.diameter": "30 in"})
    site = wind_site(plan, build(plan))
    p = float(bar_pressures(plan, build(plan)).pipe)
    assert p == pytest.approx(1.2 * 0.85 * float(site.q))


def test_the_governing_case_is_the_largest_of_all() -> None:
    """Bending of posts by plain loops; NPS 4 STD: M_n / 1.67 = 35 ksi x 4.05 in³ / 1.67."""
    plan, model, response = alder()
    cases = {c.id: c for c in steel_cases(plan, model, response)}
    combined = response.strength
    B_2 = sway_amplifier(response, combined)
    M_c = 35 * KSI * 4.05 * INCH**3 / 1.67
    for p, name in enumerate(model.posts.ids):
        best, which = -1.0, ""
        members = response.framing.members(Kind.POST, p)
        f = response.forces(members, combined)
        L = model.posts.beam_centre[p] - model.posts.ground[p] + FOOT
        P_e1 = np.pi**2 * 29000 * KSI * 6.82 * INCH**4 / L**2
        for m in range(len(members)):
            for k, combination in enumerate(combined.ids):
                for s in range(f.N.shape[2]):
                    P = max(0.0, -f.N[m, k, s] * B_2[k])
                    B_1 = max(1.0, 1 / (1 - 1.6 * P / P_e1))
                    M = np.hypot(f.M_y[m, k, s], f.M_z[m, k, s])
                    ratio = B_1 * B_2[k] * M / M_c
                    if ratio > best:
                        best, which = ratio, combination
        assert cases[f"{name}.bending"].ratio == pytest.approx(best, rel=1e-9)
        assert cases[f"{name}.bending"].combination == which


def test_rails_take_the_worse_of_frame_wind_and_parts_wind() -> None:
    """Rupture of 6005A-T61: 38 ksi / 1.95 on S (maker's moduli of the plan), both axes added."""
    plan, model, response = alder()
    rail = plan.frame.rail
    cases = {c.id: c for c in rail_cases(plan, model, response)}
    allowed = 38 * KSI / 1.95
    for r, name in enumerate(model.rails.ids):
        members = response.framing.members(Kind.RAIL, r)
        largest = 0.0
        for combined in (response.strength, response.parts):
            f = response.forces(members, combined)
            both = np.abs(f.M_y) / rail.section_modulus + np.abs(f.M_z) / rail.section_modulus_side
            largest = max(largest, float(both.max()) / allowed)
        assert cases[f"{name}.bending"].ratio == pytest.approx(largest, rel=1e-9)
    assert adm.alloy("6005A-T61").F_tu == pytest.approx(38 * KSI)


# ---- joints and clamps -------------------------------------------------------------------


def test_joint_forces_close_with_what_stands_on_them() -> None:
    """The clamps of a rail carry all of its load; the tops of the posts all of the frame's."""
    _, model, response = alder()
    framing = response.framing
    c = [c.id for c in response.actions.cases].index("W-back-clear-B")
    end = response.solution.end_forces[0, c]
    n, up = model.plane.normal, model.plane.up_slope
    for r in range(12):
        stubs = framing.members(Kind.STUB, r)
        pull = -(end[stubs][:, [0]] * n - end[stubs][:, [1]] * up).sum(axis=0)
        load = response.actions.rails[c][:, r].sum(axis=0) * 0.5 * model.plane.slope_length
        np.testing.assert_allclose(pull[1:], load[1:], rtol=1e-6)
    assert (end[framing.members(Kind.STUB), 0] < 0).all(), "lifted: the beam pulls the stub down"


def test_joint_demands_by_brute_force() -> None:
    plan, model, response = alder()
    cases = {c.id: c for c in joint_cases(plan, model, response)}
    stubs = response.framing.members(Kind.STUB)
    lift = max(float((-response.end_forces(stubs, k)[..., 0]).max())
               for k in (response.strength, response.parts))  # fmt: skip
    # Wind on parts lifts one rail at a time; sliding comes from the thrust of the whole frame.
    B_2 = sway_amplifier(response, response.strength)
    slip = float((np.abs(response.end_forces(stubs, response.strength)[..., 1]) * B_2).max())
    assert cases["joint.rail-to-beam-uplift"].ratio == pytest.approx(lift / (1200 * LBF))
    assert cases["joint.rail-to-beam-slip"].ratio == pytest.approx(slip / (600 * LBF))
    tops = [response.framing.members(Kind.POST, p)[-1] for p in range(8)]
    end = response.end_forces(np.array(tops), response.strength)
    aside = (np.hypot(end[..., 7], end[..., 8]) * B_2).max()
    assert cases["joint.beam-to-post-lateral"].ratio == pytest.approx(aside / (2500 * LBF))
    up = cases["joint.beam-to-post-uplift"]
    assert up.ratio == pytest.approx(max(end[..., 6].max(), 0) / (4000 * LBF))
    assert "W-back" in up.combination, "beams are lifted by wind from the back"
    assert "B" in up.subject, "off a back post"


@pytest.mark.parametrize(("n", "strip"), [(2, 0.5), (3, 0.36), (4, 0.22 + 0.56 / 6)])
def test_clamp_holds_its_own_strip(n: int, strip: float) -> None:
    plan = plan_with({"frame.rails_per_column": n})
    model, _ = response_with(plan)
    assert clamp_area(plan, model) == pytest.approx(strip * 1.722 * 1.134)


def test_module_pressures_with_snow_by_hand() -> None:
    """D + 0.6 W and D + 0.45 W + 0.75 S; 3.9 from Fig. 30.7-1 zone 2 at 32 deg, p_s = 25.2 psf."""
    tilt = np.radians(32)
    own = 21.5 * G / (1.722 * 1.134) * np.cos(tilt)
    K_z, K_e = 2.01 * (15 / 900) ** (2 / 9.5), np.exp(-0.000119 * 4200 * FOOT)
    wind = 3.9 * 0.00256 * K_z * 0.85 * K_e * 105**2 * PSF * 0.85
    snow = 25.2 * PSF * np.cos(tilt) ** 2
    press = max(own + 0.6 * wind, own + 0.45 * wind + 0.75 * snow)
    found = alder_checks().find("module.pressure-from-above")
    assert found.demand == pytest.approx(press, rel=1e-6)
    assert found.capacity == pytest.approx(3600)


def test_module_ratings_are_allowable_whatever_the_method() -> None:
    plain, factored = alder_checks(), checks_of(plan_with({"basis.us.method": "LRFD"}))
    for name in ("module.pressure-from-above", "module.pressure-from-below", "F2.uplift"):
        assert factored.find(name).ratio == pytest.approx(plain.find(name).ratio)
    assert (
        factored.find("joint.clamp-uplift").demand > 1.4 * plain.find("joint.clamp-uplift").demand
    )


def test_a_frame_far_too_soft_fails_and_is_not_refused() -> None:
    """Pipe for fence rails, 12 ft up: the answer is a failed check, not a solver's complaint."""
    plan = plan_with({"frame.post": "NPS 1-1/4 STD", "array.low_edge_clearance": "12 ft"})
    checks = checks_of(plan)
    assert checks.residual <= 1e-9
    assert checks.find("frame.sway-across-the-row").status is Status.FAIL
    assert checks.find("B2.bending").status is Status.FAIL


# ---- splices -----------------------------------------------------------------------------


@pytest.mark.parametrize("base", ["alder-creek", "dry-gulch"])
def test_zones_keep_off_overhangs_posts_and_large_moments(base: str) -> None:
    plan = plan_with(base=base)
    model, response = response_with(plan)
    zones = splice_zones(plan, model, response)
    supports = model.beams.supports[0]  # both rows alike
    for row, envelope in enumerate(envelopes(plan, model, response)):
        assert zones[row]
        for low, high in zones[row]:
            assert supports[0] < low < high < supports[-1], "never in an overhang"
            for x in np.linspace(low, high, 400):
                assert np.abs(supports - x).min() >= 6 * INCH - 1e-9
                M, _ = envelope.at(x)
                assert M.max() <= plan.stock.splices.moment_share * envelope.M_max


def test_envelope_against_many_more_stations() -> None:
    plan, model, response = alder()
    fine = replace(
        response,
        internal=internal_forces(
            response.framing.frame,
            _loads(model, response), response.solution, 129,
        ),
    )  # fmt: skip
    pairs = zip(envelopes(plan, model, response), envelopes(plan, model, fine), strict=True)
    for coarse, exact in pairs:
        top = exact.M.max()
        assert coarse.M.max() == pytest.approx(top, rel=1e-6)
        for x in np.linspace(0, model.beams.length, 331):
            more = coarse.at(x)[0] - exact.at(x)[0]
            assert more.min() >= -2e-3 * top, "never less than the finer one"
            over = coarse.at(x)[0].max() - exact.at(x)[0].max()
            assert over <= 0.06 * top, "more only where the largest moments change their sign"


def _loads(model, response):
    from plumbrail.checks.actions import loads_of

    return loads_of(model, response.framing, response.actions)


def test_a_splice_is_judged_where_it_falls() -> None:
    """Moment and shear by interpolating the envelope at the decided place."""
    plan, model, response = alder()
    x = 4.321
    cases, notes = splice_cases(plan, model, response, ((x,), ()))
    assert notes == []
    found = {c.id: c for c in cases}
    envelope = envelopes(plan, model, response)[0]
    M = max(np.interp(x, envelope.x, row) for row in envelope.M)
    V = max(np.interp(x, envelope.x, row) for row in envelope.V)
    assert found["splice.front-1.bending"].ratio == pytest.approx(M / (1500 * LBF * FOOT), rel=1e-6)
    assert found["splice.front-1.shear"].ratio == pytest.approx(V / (2500 * LBF), rel=1e-6)
    assert found["splice.front-1.low-moment"].ratio == pytest.approx(
        M / (0.50 * envelope.M_max), rel=1e-6
    )


def test_at_a_jump_the_larger_side_counts() -> None:
    plan, model, response = alder()
    envelope = envelopes(plan, model, response)[0]
    post = float(model.beams.supports[0, 1])
    near = np.abs(envelope.x - post) < 1e-6
    assert near.sum() >= 2
    _, V = envelope.at(post)
    assert (envelope.V[:, near].max(axis=1) == V).all()
    assert np.ptp(envelope.V[:, near], axis=1).max() > 100.0


@pytest.mark.parametrize(("x", "words"), [(0.3, "overhang"), (9.8, "overhang"), (3.6, "a post")])
def test_a_splice_in_a_bad_place_fails(x: float, words: str) -> None:
    plan, model, response = alder()
    _, notes = splice_cases(plan, model, response, ((x,), ()))
    (place,) = [c for c in notes if c.id == "splice.front-1.place"]
    assert place.status is Status.FAIL
    assert words in place.note


def test_a_sleeve_stands_in_where_no_capacity_is_stated() -> None:
    """NPS 2-1/2 STD sleeve: 35 ksi x 1.37 in³ / 1.67."""
    plan = plan_with(drop=["frame.splice.moment_capacity", "frame.splice.shear_capacity"])
    model, response = response_with(plan)
    cases, _ = splice_cases(plan, model, response, ((4.5,), ()))
    found = {c.id: explained(c) for c in cases}["splice.front-1.bending"]
    assert found.capacity == pytest.approx(35 * KSI * 1.37 * INCH**3 / 1.67, rel=1e-6)


@pytest.mark.parametrize("field", ["moment_capacity", "shear_capacity"])
def test_half_a_letter_does_not_hide_what_the_sleeve_leaves_open(field: str) -> None:
    plan = plan_with(drop=[f"frame.splice.{field}"])
    model, response = response_with(plan)
    cases, notes = splice_cases(plan, model, response, ((4.5,), ()))
    assert "splice.front-1.bending" in {c.id for c in cases}
    (bearing,) = [c for c in notes if c.id == "splice.front-1.bearing"]
    assert bearing.status is Status.NOT_CHECKED
    assert "presses on the mouth of the pipe" in bearing.note


def test_zones_are_found_on_a_grid_finer_than_a_cut() -> None:
    assert splices.STEP <= 0.25 * INCH


# ---- deflection and clearance ------------------------------------------------------------


def test_rail_deflection_is_that_of_a_simple_span() -> None:
    """5 w L⁴ / 384 EI less the lift of the end moments, (M_1 + M_2) L² / 16 EI.

    Normal to the plane, snow alone; rails rest on beams that move too, but the chord between them
    is taken off. The end moments come from the overhang and from the hinges, which lie below the
    rail.
    """
    plan, model, response = alder()
    snow = [c.id for c in response.actions.cases].index("S")
    rail = plan.frame.rail
    w = abs(response.actions.rails[snow, 0, 4] @ model.plane.normal)
    L = 0.58 * model.plane.slope_length
    EI = 10100 * KSI * rail.inertia
    members = response.framing.members(Kind.RAIL, 4)
    ends = response.internal.M_y[0, snow, members[1]][[0, -1]]
    overhang = w * (0.21 * model.plane.slope_length) ** 2 / 2
    np.testing.assert_allclose(ends, overhang, rtol=0.6)
    hand = 5 * w * L**4 / (384 * EI) - ends.sum() * L**2 / (16 * EI)
    d = (response.internal.deflection[0, snow, members] @ model.plane.normal).reshape(1, -1)
    x = response.places(members).ravel()
    s = model.beams.slope_distance
    off = deflections._off_chord(d[..., None], x, at=(s[0], s[1]))[0, :, 0]
    middle = off[int(np.abs(x - 0.5 * model.plane.slope_length).argmin())]
    assert middle == pytest.approx(-hand, rel=0.01), "down, away from the normal"


def test_post_sway_is_the_amplified_movement_of_its_top() -> None:
    plan, model, response = alder()
    cases = {c.id: c for c in deflections.deflection_cases(plan, model, response)}
    for p, name in enumerate(model.posts.ids):
        u = response.displacements(response.framing.top[[p]], response.service)[0]
        sway = np.hypot(u[:, 0], u[:, 1]) * sway_amplifier(response, response.service)
        h = model.posts.beam_centre[p] - model.posts.ground[p]
        assert cases[f"{name}.sway"].ratio == pytest.approx(sway.max() * 60 / h)
        assert cases[f"{name}.sway"].combination == response.service.ids[int(sway.argmax())]


def test_beam_deflection_is_measured_from_the_line_between_posts() -> None:
    plan, model, response = alder()
    cases = {c.id: c for c in deflections.deflection_cases(plan, model, response)}
    for part in beam_parts(model, response):
        d = response.deflections(part.members, response.service)
        x = response.places(part.members)
        largest = 0.0
        for k in range(d.shape[1]):
            flat, at = d[:, k].reshape(-1, 3), x.ravel()
            if part.id.endswith("-end"):
                root = flat[at.argmax() if part.id.endswith("left-end") else at.argmin()]
                off = flat - root
            else:
                share = ((at - at.min()) / np.ptp(at))[:, None]
                off = flat - ((1 - share) * flat[at.argmin()] + share * flat[at.argmax()])
            largest = max(largest, float(np.linalg.norm(off, axis=1).max()))
        span = np.ptp(x) * (2 if part.id.endswith("-end") else 1)
        assert cases[f"{part.id}.deflection"].ratio == pytest.approx(largest * 150 / span, rel=1e-9)


def test_clearance_that_is_met_exactly_passes() -> None:
    found = alder_checks().find("array.clearance")
    assert found.ratio == pytest.approx(1.0, abs=1e-12)
    assert found.status is Status.PASS


def test_piers_of_front_and_back_have_their_own_depth() -> None:
    checks = alder_checks()
    front, back = (checks.find(f"{p}.frost-depth") for p in ("F1", "B1"))
    assert front.capacity == pytest.approx(7 * FOOT)
    assert back.capacity == pytest.approx(6 * FOOT)
    assert front.demand == pytest.approx(24 * INCH)


@pytest.mark.parametrize("fixity", ["0 in", "1 ft"])
@pytest.mark.parametrize("low", ["0 in", "6 in"])
def test_piers_take_what_braces_bring_to_grade(fixity: str, low: str) -> None:
    """Whatever is pushed sideways above grade arrives at the piers: the support holds the same."""
    braces = [{"direction": "across", "stations": [i], "low": low, "high": "6 in"}
              for i in (1, 2, 3, 4)]  # fmt: skip
    plan = plan_with({"frame.brace": "NPS 1-1/2 STD", "frame.braces": braces,
                      "frame.fixity_depth": fixity})  # fmt: skip
    _, response = response_with(plan)
    framing, combined = response.framing, response.service
    # Only an earthquake pushes the piece of post below grade: it is left out here.
    still = ["E-" not in name for name in combined.ids]
    force, moment = (v[:, still] for v in foundations.grade_forces(response, combined))
    held = -np.einsum(
        "kc,cpd->pkd", combined.matrix, response.solution.reactions[0][:, framing.base]
    )[:, still]
    np.testing.assert_allclose(force[..., :2], held[..., :2], rtol=1e-7, atol=1e-3)
    # The shear turns the post's foot about grade.
    deep = framing.frame.xyz[framing.grade, 2] - framing.frame.xyz[framing.base, 2]
    np.testing.assert_allclose(
        moment[..., 1], held[..., 4] - held[..., 0] * deep[:, None], rtol=1e-6, atol=1e-2
    )
    np.testing.assert_allclose(
        moment[..., 0], held[..., 3] + held[..., 1] * deep[:, None], rtol=1e-6, atol=1e-2
    )


def test_a_vertical_earthquake_changes_the_weight_of_piers() -> None:
    """ASD 10 of ASCE 7-16: 0.6 D - 0.7 (0.2 S_DS D); ASD 8: D + 0.7 (0.2 S_DS D)."""
    _, _, response = alder()
    weight = foundations.pier_weight_factor(alder()[0], response.service)
    factor = dict(zip(response.service.ids, weight, strict=True))
    assert factor["ASD 10 · E-right"] == pytest.approx(0.6 - 0.7 * 0.2 * 0.40)
    assert factor["ASD 8 · E-right"] == pytest.approx(1.0 + 0.7 * 0.2 * 0.40)
    assert factor["ASD 7 · W-back-clear-A"] == pytest.approx(0.6)


def test_soil_values_of_a_report_take_the_place_of_a_class() -> None:
    report = {"bearing": "2000 psf", "lateral": "150 psf/ft", "source": "Geotechnical report 12"}
    plan = plan_with({"site.soil": report}, drop=["site.soil_class"])
    model, response = response_with(plan)
    own = run_checks(plan, model, response, ((), ())).find("F1.sideways-hold-in-the-soil")
    assert own.ratio == pytest.approx(alder_checks().find(own.id).ratio, rel=1e-9)


def test_refused_geometry_has_no_checks() -> None:
    with pytest.raises(GeometryError):
        checks_of(plan_with({"frame.rail_inset": "40 %"}))
