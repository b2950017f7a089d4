"""What the jobs promise across layers: names, remedies, one length for one piece."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from plans import plan_with
from plumbrail.check import Status
from plumbrail.checks.framing import Kind
from plumbrail.checks.remedies import remedy
from plumbrail.checks.run import run_checks
from plumbrail.checks.sway import sway_amplifier
from plumbrail.errors import GeometryError, PlanError, RangeError
from plumbrail.jobs.cutting import cutting
from plumbrail.jobs.designing import Analysis, analyse, design, saw
from plumbrail.jobs.staking import staking
from plumbrail.model.build import build
from plumbrail.plan.demos import demo_plan_names, demo_text
from plumbrail.plan.reader import LoadedPlan, read_plan
from plumbrail.units import show


def loaded(text: str) -> LoadedPlan:
    return LoadedPlan(read_plan(text), text, "0" * 64, "test plan")


def alder_text(*changes: tuple[str, str]) -> str:
    text = demo_text("alder-creek")
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


def checked(analysis: Analysis):
    return run_checks(analysis.plan, analysis.model, analysis.response, ((), ()))


def test_unknown_names_are_found_all_at_once_with_their_lines():
    text = alder_text(
        ('beam = "NPS 3 STD"', 'beam = "NPS 3 SDT"'),
        ('steel = "ASTM A53 B"', 'steel = "ASTM A35"'),
        ('alloy = "6005A-T61"', 'alloy = "6005A-T5"'),
    )
    with pytest.raises(GeometryError) as caught:
        analyse(loaded(text))

    found = {p.path: p for p in caught.value.problems}
    assert set(found) == {"frame.beam", "frame.steel", "frame.rail.alloy"}
    for path, problem in found.items():
        assert problem.line is not None
        assert text.splitlines()[problem.line - 1].startswith(path.rpartition(".")[2])
    assert "NPS 3 STD" in found["frame.beam"].message


def test_every_kind_of_check_has_a_remedy_when_it_fails():
    for name in demo_plan_names():
        for check in design(loaded(demo_text(name))).checks.checks:
            assert remedy(replace(check, status=Status.FAIL)), (check.family, check.title)
            if check.status is not Status.FAIL:
                assert remedy(check) == ""


def test_one_length_for_one_piece_on_all_papers():
    plan = loaded(demo_text("alder-creek"))
    made = staking(plan)
    shown = {
        f"post {name}": show(float(length), "length", "us")
        for name, length in zip(made.stakes.ids, made.stakes.levels.post_length, strict=True)
    }
    cuts = saw(analyse(plan))
    sawn = {
        c.label: show(c.length, "length", "us")
        for s in cuts.sections if s.plan
        for stick in s.plan.sticks
        for c in stick.cuts
        if c.id in shown
    }  # fmt: skip

    assert sawn == shown


def test_cut_and_check_agree_on_the_splices():
    plan = loaded(demo_text("alder-creek"))
    made = design(plan)

    assert saw(analyse(plan)).splices == made.cutting.splices
    places = {c.subject for c in made.checks.checks if c.family == "splice"}
    for row, positions in zip(("front", "back"), made.cutting.splices, strict=True):
        for x in positions:
            assert f"{row} beam, splice at {show(x, 'length', 'us')}" in places


def test_splices_lie_in_their_zones_and_never_in_an_overhang():
    made = design(loaded(demo_text("alder-creek")))
    supports = made.model.beams.supports[0]  # both rows alike
    for zones, positions in zip(made.analysis.zones, made.cutting.splices, strict=True):
        assert zones
        for low, high in zones:
            assert supports[0] < low <= high < supports[-1]
        for x in positions:
            assert any(low - 1e-6 <= x <= high + 1e-6 for low, high in zones)


def test_decided_splices_are_cut_there_and_judged_there():
    text = alder_text(
        ('shortest_piece = "4 ft"', 'shortest_piece = "1 ft"\nfront = ["16 ft"]\nback = ["30 ft"]')
    )
    made = design(loaded(text))

    assert made.cutting.splices == ((pytest.approx(16 * 0.3048),), (pytest.approx(30 * 0.3048),))
    place = made.checks.find("splice.back-1.place")
    assert place is not None
    assert place.status is Status.FAIL
    assert "overhang" in place.note


def test_two_splices_in_one_bay_fail():
    """Bays run from 2.62 ft to 11.62 ft to 20.62 ft: 13 ft and 19 ft lie in one."""
    rules = 'shortest_piece = "4 ft"\nfront = ["13 ft", "19 ft"]\nback = ["13 ft", "22 ft"]'
    made = design(loaded(alder_text(('shortest_piece = "4 ft"', rules))))

    second = made.checks.find("splice.front-2.place")
    assert second is not None
    assert "second splice in its bay" in second.note
    assert made.checks.find("splice.front-1.place") is None
    assert made.checks.find("splice.back-2.place") is None


def test_rail_by_the_makers_load_table():
    """Line load normal to the rail against the letter's load at its span."""
    letter = 'allowable_loads = [["6 ft", "180 plf"], ["10 ft", "90 plf"]]\nsource = "Letter"'
    made = analyse(loaded(alder_text(('alloy = "6005A-T61"', letter))))
    found = checked(made)

    s = made.model.beams.slope_distance
    span = float(s[1] - s[0]) / 0.3048
    # Strength falls with the square of the span: straight on log axes, below the chord.
    log = np.interp(np.log(span), np.log([6, 10]), np.log([180, 90]))
    allowed = np.exp(log) * 4.4482216152605 / 0.3048
    check = found.find("R1.load-by-span")
    assert check is not None
    assert check.capacity == pytest.approx(allowed)
    plane, rail = made.model.plane, made.plan.frame.rail
    normal = made.response.actions.rails @ plane.normal
    normal[0] -= rail.weight * 9.80665 * np.cos(plane.tilt)  # own weight, in the dead case
    worst = max(
        np.abs(c.matrix[:, : len(normal)] @ normal[:, half, 0]).max()
        for c in (made.response.strength, made.response.parts)
        for half in (0, 1)
    )
    assert check.demand == pytest.approx(worst)
    overhang = found.find("rails.overhang")
    assert overhang is not None
    assert overhang.status is Status.NOT_CHECKED


def test_rail_span_outside_the_letter_is_refused():
    letter = 'allowable_loads = [["6 ft", "180 plf"], ["7 ft", "90 plf"]]\nsource = "Letter"'
    with pytest.raises(RangeError, match="outside the maker's table"):
        checked(analyse(loaded(alder_text(('alloy = "6005A-T61"', letter)))))


def test_letters_need_a_source_and_an_order():
    for letter in (
        'allowable_loads = [["6 ft", "180 plf"], ["10 ft", "90 plf"]]',
        'allowable_loads = [["8 ft", "90 plf"], ["6 ft", "180 plf"]]\nsource = "Letter"',
    ):
        with pytest.raises(PlanError):
            read_plan(alder_text(('alloy = "6005A-T61"', letter)))


def test_ground_mount_coefficients_keep_the_figure_unless_told():
    """Envelope: with the figure kept nothing falls; told to reduce, it falls and says so."""
    section = (
        "[frame.ground_mount]\nuplift = -0.9\ndown = 0.9\nmoment = 0.05\n"
        'citation = "Letter of the engineer, 3 May"\nreduce_below_figure = {}\n\n[frame.rail]'
    )
    basis = ('loads = "ASCE 7-16"', 'loads = "ASCE 7-22"')

    def worst(*changes: tuple[str, str]):
        made = analyse(loaded(alder_text(basis, *changes)))
        found = checked(made)
        return found, {c.id: c.ratio for c in found.checks if c.ratio is not None}

    _, plain = worst()
    _, kept = worst(("[frame.rail]", section.format("false")))
    lowered, reduced = worst(("[frame.rail]", section.format("true")))

    assert all(kept[k] >= plain[k] - 1e-12 for k in plain)
    assert reduced["F3.bending"] < plain["F3.bending"]
    assert any("below ASCE 7 Fig. 27.3-4" in n for n in lowered.notes)


def test_ground_mount_needs_the_edition_it_belongs_to():
    section = (
        "[frame.ground_mount]\nuplift = -0.9\ndown = 0.9\nmoment = 0.05\n"
        'citation = "Letter of the engineer, 3 May"\nreduce_below_figure = false\n\n[frame.rail]'
    )
    with pytest.raises(RangeError, match="ASCE 7-22"):
        analyse(loaded(alder_text(("[frame.rail]", section))))


def test_a_beam_no_longer_than_a_stick_needs_no_splice():
    plan = plan_with({"stock.pipe.lengths": ["42 ft"], "stock.pipe.prices": [300.0]})
    model = build(plan)
    cuts = cutting(plan, model, ((), ()))

    assert cuts.complete
    assert cuts.splices == ((), ())


def test_pieces_in_the_yard_are_used_before_sticks_are_bought():
    """A 16 ft rail in the yard saves one bought rail of 17 ft."""
    bare = saw(analyse(loaded(demo_text("alder-creek")))).sections[-1].plan
    text = alder_text(("[stock.rail]\n", '[stock.rail]\nown = ["16 ft"]\n'))
    with_own = saw(analyse(loaded(text))).sections[-1].plan

    assert bare is not None
    assert with_own is not None
    assert bare.bought[0].count - with_own.bought[0].count == 1
    assert [s.own for s in with_own.sticks].count(True) == 1


BRACED = """
[[frame.braces]]
direction = "across"
stations = [2]
low = "1 ft"
high = "12 in"

[frame.rail]"""


def test_fittings_of_braces_and_rigid_tops_are_judged_by_their_letter():
    """Axial force of the brace and bending at the post top, from the frame, with its sway."""
    figures = 'clamp_uplift = "800 lbf"\npost_top_moment = "9000 lbf*ft"\nbrace_end = "2000 lbf"'
    text = alder_text(
        ("[frame.rail]", BRACED),
        ('steel = "ASTM A53 B"', 'brace = "NPS 1-1/2 STD"\nsteel = "ASTM A53 B"'),
        ('post_top = "pinned"', 'post_top = "rigid"'),
        ('clamp_uplift = "800 lbf"', figures),
    )
    made = analyse(loaded(text))
    found = checked(made)
    response = made.response

    sway = sway_amplifier(response, response.strength)
    brace = response.framing.members(Kind.BRACE, 0)
    N = np.abs(response.forces(brace, response.strength).N).max(axis=(0, 2)) * sway
    check = found.find("joint.brace-end")
    assert check is not None
    assert check.demand == pytest.approx(N.max())
    assert check.capacity == pytest.approx(2000 * 4.4482216152605)

    tops = np.array([response.framing.members(Kind.POST, p)[-1] for p in range(8)])
    f = response.forces(tops, response.strength)
    M = (np.hypot(f.M_y[..., -1], f.M_z[..., -1]) * sway).max()
    check = found.find("joint.post-top-moment")
    assert check is not None
    assert check.demand == pytest.approx(M)
    assert not [c.id for c in found.checks if c.status is Status.NOT_CHECKED]


def test_a_pinned_unbraced_frame_asks_for_no_such_letters():
    found = checked(analyse(loaded(demo_text("alder-creek"))))
    assert found.find("joint.brace-end") is None
    assert found.find("joint.post-top-moment") is None
