"""Round steel members and splices: branches by hand, refusals, replay, section names."""

from __future__ import annotations

import dataclasses
from typing import Any

import numpy as np
import pytest

from plumbrail.bases.us.aisc360 import axial, bending, combined, members, splices
from plumbrail.bases.us.entered import Origin
from plumbrail.errors import RangeError, TableError
from plumbrail.tables.sections import pipe, pipe_names, round_tube, steel, steel_names
from plumbrail.trace import Certainty, recording

SHAPE = (2, 3, 4)


def some_members(**changes: Any) -> members.SteelMembers:
    rng = np.random.default_rng(4)
    demand: dict[str, Any] = {
        "N": rng.normal(0, 5e3, SHAPE), "V_y": rng.normal(0, 1e3, SHAPE),
        "V_z": rng.normal(0, 1e3, SHAPE), "T": rng.normal(0, 300, SHAPE),
        "M_y": rng.normal(0, 800, SHAPE), "M_z": rng.normal(0, 800, SHAPE), "B_2": 1.05,
        "C_m": 1.0, "KL": [3.0, 4.0], "L": [2.0, 2.2], "L_v": [1.0, 1.1],
    }  # fmt: skip
    sections = [pipe("NPS 2-1/2 STD"), pipe("NPS 3 XS")]
    return members.SteelMembers.of(sections, [steel("ASTM A53 B")] * 2, **(demand | changes))


@pytest.mark.parametrize("method", ["ASD", "LRFD"])
def test_a_case_cut_out_gives_the_same_and_explains_itself(method: Any) -> None:
    batch = some_members()
    whole = members.ratios(batch, method)
    place = batch.governing(whole.interaction)
    grade, section = steel("ASTM A53 B"), pipe("NPS 3 XS")
    origins = dict(members.ORIGINS) | {
        "section": Origin(section.source, section.certainty),
        "steel": Origin(grade.source, grade.certainty),
    }
    with recording() as record:
        one = members.ratios(batch.at(**place), method, origins)
    for field in dataclasses.fields(one):
        picked = getattr(whole, field.name)[tuple(place.values())]
        assert getattr(one, field.name).item() == pytest.approx(float(picked), rel=1e-14)
    assert record.loose() == []
    assert record.misfits() == []
    assert all(step.holds() for step in record.steps)
    assert record.certainty == Certainty.SECOND_HAND


def test_without_a_named_source_the_certainty_is_the_lowest() -> None:
    with recording() as record:
        members.ratios(some_members().at(member=0, combination=0, station=0), "ASD")
    assert record.certainty == Certainty.MEMORY


def test_every_ratio_has_the_full_shape_and_largest_is_the_envelope() -> None:
    result = members.ratios(some_members(), "ASD")
    states = [getattr(result, f.name) for f in dataclasses.fields(result)]
    assert all(a.shape == SHAPE for a in states)
    np.testing.assert_array_equal(result.largest, np.max(states[:-1], axis=0))


def test_strength_times_ratio_is_the_demand() -> None:
    batch = some_members(B_2=1.0, N=np.full(SHAPE, 2e3))
    result, strength = members.ratios(batch, "ASD"), members.strength(batch, "ASD")
    np.testing.assert_allclose(result.tension * strength.tension, 2e3)
    np.testing.assert_allclose(result.torsion * strength.torsion, np.abs(batch.T))
    np.testing.assert_allclose(result.flexure * strength.flexure, np.hypot(batch.M_y, batch.M_z))
    assert (result.compression == 0).all()


def test_noncompact_and_slender_walls_by_hand() -> None:
    """E/F_y = 580: limits of bending 40.6 and 179.8, of compression 63.8; ksi and inches."""
    E, F_y, D, t = 29_000.0, 50.0, np.array([3.0, 10.0, 20.0]), np.array([0.1, 0.1, 0.1])
    M_n = bending.nominal_moment(E, F_y, D, t, 10.0, 13.0)
    np.testing.assert_allclose(M_n, [650.0, (0.021 * 290 + 50) * 10, 0.33 * 145 * 10])
    A_eff = axial.effective_area(E, F_y, D, t, 1.0)
    np.testing.assert_allclose(A_eff, [1.0, 0.887067, 0.776867], rtol=1e-6)


def test_shear_buckling_of_a_thin_wall_by_hand() -> None:
    """D/t = 150, L_v/D = 10: 27.96 ksi by the long formula, 12.31 by the other; below 30 ksi."""
    F_cr = bending.shear_buckling_stress(29_000.0, 50.0, 15.0, 0.1, 150.0)
    assert F_cr == pytest.approx(27.96, abs=0.01)


def test_long_thin_walls_by_hand() -> None:
    """D/t = 150, length 100 D: 0.78 E/150^1.5 = 12.313 ksi, 0.60 E/150^1.5 = 9.471 ksi."""
    shear = bending.shear_buckling_stress(29_000.0, 50.0, 15.0, 0.1, 1500.0)
    torsion = bending.torsional_buckling_stress(29_000.0, 50.0, 15.0, 0.1, 1500.0)
    assert shear == pytest.approx(12.313, abs=5e-4)
    assert torsion == pytest.approx(9.471, abs=5e-4)


def test_torsional_buckling_of_a_thin_wall_by_hand() -> None:
    """D/t = 150, L/D = 10: 1.23 * 29000/(sqrt(10) * 150^1.25) = 21.49 ksi."""
    F_cr = bending.torsional_buckling_stress(29_000.0, 50.0, 15.0, 0.1, 150.0)
    assert F_cr == pytest.approx(21.49, abs=0.01)


def test_elastic_buckling_by_hand() -> None:
    """L_c/r = 200: 0.877 pi^2 * 29000/200^2 = 6.275 ksi, whatever the yield stress."""
    F_e = axial.elastic_buckling_stress(29_000.0, 200.0, 1.0)
    for F_y in (35.0, 50.0):
        assert axial.flexural_buckling_stress(F_y, F_e) == pytest.approx(6.275, abs=5e-4)


def test_interaction_by_hand() -> None:
    p, m = np.array([0.1, 0.2, 0.5]), np.array([0.6, 0.6, 0.45])
    np.testing.assert_allclose(combined.axial_and_bending(p, m), [0.65, 0.2 + 1.6 / 3, 0.9])
    h = np.array(0.7)
    few = combined.with_torsion(np.array(0.1), np.array(0.6), np.array(0.3), np.array(0.2), h)
    many = combined.with_torsion(np.array(0.1), np.array(0.6), np.array(0.3), np.array(0.3), h)
    assert few == 0.7
    assert many == pytest.approx(0.7 + 0.36)


def test_compression_near_the_critical_load_fails_and_stays_positive() -> None:
    batch = some_members(N=np.full(SHAPE, -1e7))
    result = members.ratios(batch, "ASD")
    assert (result.compression > 1).all()
    assert (result.interaction > 1).all()
    assert np.isfinite(result.interaction).all()


def test_too_thin_a_wall_is_refused() -> None:
    thin = round_tube(0.3, 0.001, 1.0, 7850.0)
    grade = steel("ASTM A500 C round")
    zero = np.zeros((1, 1, 1))
    lengths = {"KL": 1.0, "L": 1.0, "L_v": 1.0, "B_2": 1.0, "C_m": 1.0}
    batch = members.SteelMembers.of(
        [thin], [grade], N=zero, V_y=zero, V_z=zero, T=zero, M_y=zero, M_z=zero, **lengths
    )
    with pytest.raises(RangeError, match="thicker wall"):
        members.ratios(batch, "ASD")


@pytest.mark.parametrize(("field", "value"), [("KL", 0.0), ("L_v", -1.0), ("B_2", 0.9)])
def test_lengths_and_amplifier_out_of_range_are_refused(field: str, value: float) -> None:
    with pytest.raises(RangeError, match=field):
        members.ratios(some_members(**{field: value}), "ASD")


@pytest.mark.parametrize(
    ("text", "name"),
    [("NPS 2-1/2 STD", "NPS 2-1/2 STD"), ("2 1/2 std", "NPS 2-1/2 STD"),
     ("2-1/2 STD", "NPS 2-1/2 STD"), ("2.5 in Sch 40", "NPS 2-1/2 STD"),
     ('3" Schedule 80', "NPS 3 XS"), ("1/2 XS", "NPS 1/2 XS"), ("pipe 10 STD", "NPS 10 STD"),
     ("NPS 1-1/4 X-strong", "NPS 1-1/4 XS")],
)  # fmt: skip
def test_ways_to_write_a_pipe(text: str, name: str) -> None:
    assert pipe(text).name == name


@pytest.mark.parametrize("text", ["NPS 7 STD", "2-1/2", "tube", "", "2-1/2 Sch 10", "12 Sch 40"])
def test_an_unknown_pipe_names_the_list(text: str) -> None:
    with pytest.raises(TableError, match="NPS 2-1/2 STD") as caught:
        pipe(text)
    assert all(name in str(caught.value) for name in pipe_names())


def test_a_near_name_is_offered() -> None:
    with pytest.raises(TableError, match="Did you mean NPS"):
        pipe("NPS 7 STD")


def test_steel_names() -> None:
    assert steel("A53 Gr. B") == steel("ASTM A53 B")
    assert steel("ASTM A53 B").certainty == Certainty.CONFIRMED
    assert steel("ASTM A500 B round").certainty == Certainty.MEMORY
    with pytest.raises(TableError, match="ASTM A53 B"):
        steel("A36")
    assert len(set(steel_names())) == len(steel_names())


def test_a_tube_by_its_dimensions() -> None:
    tube = round_tube(0.1, 0.01, 1.0, 7850.0)
    assert pytest.approx(np.pi * 0.09 * 0.01) == tube.A
    assert tube.mass == pytest.approx(7850 * tube.A)
    assert tube.weight == pytest.approx(tube.mass * 9.80665)
    assert pytest.approx(2 * tube.I) == tube.J
    assert tube.r == pytest.approx(np.sqrt(0.1**2 + 0.08**2) / 4)
    assert tube.bore == pytest.approx(0.08)
    with pytest.raises(RangeError, match="wall"):
        round_tube(0.1, 0.06, 1.0, 7850.0)
    with pytest.raises(RangeError, match=r"0\.93"):
        round_tube(0.1, 0.01, 1.2, 7850.0)


def sleeves(**changes: float) -> splices.SleeveSplices:
    inner, outer, grade = pipe("NPS 2 XS"), pipe("NPS 2-1/2 STD"), steel("ASTM A53 B")
    values = {
        "M": 900.0, "V": 1500.0, "d_i": outer.bore, "l": 0.3, "L_v": 1.0, "D": inner.OD,
        "t": inner.t, "A": inner.A, "S": inner.S, "Z": inner.Z, "E": grade.E, "F_y": grade.F_y,
    } | changes  # fmt: skip
    return splices.SleeveSplices(**{k: np.full((1, 1), v) for k, v in values.items()})


def test_a_sleeve_bends_on_its_own_section() -> None:
    batch = sleeves()
    result = splices.sleeve_ratios(batch, "ASD")
    expected = 900.0 / (batch.F_y * batch.Z / 1.67)
    np.testing.assert_allclose(result.flexure, expected)
    with recording() as record:
        splices.sleeve_ratios(batch, "ASD")
        splices.sleeve_fit(batch)
    assert record.loose() == []
    assert record.misfits() == []


def test_a_sleeve_wider_than_the_bore_is_refused() -> None:
    with pytest.raises(RangeError, match="bore"):
        splices.sleeve_ratios(sleeves(d_i=0.05), "ASD")


def test_bearing_of_a_sleeve_is_in_equilibrium() -> None:
    """Linear contact a + b x on the insertion holds V and M at the mouth; the mouth governs."""
    M, V, length = 900.0, 1500.0, 0.3
    equations = [[length, length**2 / 2], [length**2 / 2, length**3 / 3]]
    a, _ = np.linalg.solve(equations, [V, -M])
    assert float(splices.bearing_intensity(M, V, length)) == pytest.approx(abs(a))
    fit = splices.sleeve_fit(sleeves())
    play = pipe("NPS 2-1/2 STD").bore - pipe("NPS 2 XS").OD
    assert fit.kink.item() == pytest.approx(2 * play / length)


def test_a_stated_splice() -> None:
    one = {"M": 500.0, "V": 100.0, "M_stated": 1000.0, "V_stated": 400.0}
    batch = splices.StatedSplices(**{k: np.full((1, 1), v) for k, v in one.items()})
    result = splices.stated_ratios(batch)
    assert (result.flexure.item(), result.shear.item()) == (0.5, 0.25)
    with pytest.raises(RangeError, match="maker"):
        splices.stated_ratios(dataclasses.replace(batch, M_stated=np.zeros((1, 1))))
