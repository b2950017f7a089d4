"""Unit tests of the ASCE 7 side of the basis: refusals, lookups, combinations, records."""

from __future__ import annotations

import hashlib
import tomllib
from collections.abc import Callable
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest

from plumbrail.bases.us.asce7 import bars, components, seismic, snow, wind
from plumbrail.bases.us.asce7.cases import across_cases, along_cases, plane_coefficients
from plumbrail.bases.us.asce7.lookup import PSF, row_value
from plumbrail.bases.us.asce7.resultant import Resultant, figure_resultant
from plumbrail.bases.us.asce7_22.ground_mount import GroundMountCoefficients, governed
from plumbrail.bases.us.loads import Combination, LoadCase, LoadStandard, expand
from plumbrail.bases.us.standards import STANDARDS, load_standard
from plumbrail.errors import RangeError, TableError
from plumbrail.tables.loader import load
from plumbrail.trace import Certainty, given, recording

OLD, NEW = load_standard("ASCE 7-16"), load_standard("ASCE 7-22")
both = pytest.mark.parametrize("standard", [OLD, NEW], ids=lambda s: s.title)
TABLES = sorted(
    f.name.removesuffix(".csv")
    for f in (files("plumbrail.tables") / "data" / "asce7").iterdir()
    if f.name.endswith(".csv")
)
SITE = {"V": 50.0, "exposure": "C", "z": 2.0, "K_zt": 1.0, "K_e": 1.0, "K_d": 0.85}
SNOW = {"p_g": 1500.0, "C_e": 1.0, "C_t": 1.2, "risk_category": "II"}


# --- tables --------------------------------------------------------------------------------


@pytest.mark.parametrize("name", TABLES)
def test_every_table_loads_and_says_how_it_was_obtained(name: str) -> None:
    table = load("asce7", name)
    assert len(table.obtained) > 20
    assert table.table
    assert table.title
    folder = files("plumbrail.tables") / "data" / "asce7"
    meta = tomllib.loads((folder / f"{name}.toml").read_text("utf-8"))
    assert meta["sha256"] == hashlib.sha256((folder / f"{name}.csv").read_bytes()).hexdigest()


def test_the_monoslope_figure_is_complete() -> None:
    table = load("asce7", "monoslope")
    assert len(table.numbers["theta"]) == 7 * 2 * 2 * 2
    assert np.unique(table.numbers["theta"]).size == 7


def test_both_disputed_cells_are_told() -> None:
    obtained = load("asce7", "monoslope").obtained
    assert "-0.3 in BNBC and -0.9 in CIRSOC" in obtained
    assert "-0.6 in BNBC and -0.5 in CIRSOC" in obtained


@pytest.mark.parametrize(
    ("exposure", "expected"), [("B", "MEMORY"), ("C", "CONFIRMED"), ("D", "CONFIRMED")]
)
def test_a_row_keeps_its_own_certainty(exposure: str, expected: str) -> None:
    with recording() as record:
        row_value("exposure_16", "alpha", exposure=exposure)
    assert record.steps[0].provision.certainty is Certainty[expected]


# --- refusals ------------------------------------------------------------------------------

Call = Callable[[], object]
REFUSED: list[tuple[Call, type[Exception], str]] = [
    (lambda: wind.monoslope_coefficients(np.radians(46), "clear", 0, "A"), RangeError,
     r"array.tilt in degrees is 46, outside 0 to 45 .*Steeper than 45 deg is outside the figure"),
    (lambda: wind.monoslope_coefficients(-0.1, "clear", 0, "A"), RangeError, "array.tilt"),
    (lambda: wind.monoslope_coefficients(np.nan, "clear", 0, "A"), RangeError, "array.tilt"),
    (lambda: wind.monoslope_coefficients(0.3, "open", 0, "A"), TableError, "clear, obstructed"),
    (lambda: wind.monoslope_coefficients(0.3, "clear", 90, "A"), TableError, "0, 180"),
    (lambda: wind.halves(90, wind.Coefficients(np.ones(1), np.ones(1))), RangeError, "gamma is 90"),
    (lambda: wind.along_row_coefficients(-1.0, 2.0, "clear", "A"), RangeError, "distance"),
    (lambda: wind.along_row_coefficients(1.0, 0.0, "clear", "A"), RangeError, "height"),
    (lambda: across_cases(["windy"]), RangeError, "flow under the array"),
    (lambda: across_cases([]), RangeError, "flow under the array"),
    (lambda: components.component_coefficients(0.3, "clear", 4, 1.0, 0.9), RangeError, "zone is 4"),
    (lambda: components.component_coefficients(0.9, "clear", 1, 1.0, 0.9), RangeError, "Fig. 30.7"),
    (lambda: components.component_coefficients(0.3, "clear", 1, 0.0, 0.9), RangeError, "area"),
    (lambda: components.component_coefficients(0.3, "clear", 1, 1.0, np.nan), RangeError, "width"),
    (lambda: bars.bar_coefficient("square", 0.05, 0.1, 900.0), RangeError, "flat and round"),
    (lambda: bars.bar_coefficient("flat", 0.8, 0.1, 900.0), RangeError, "solid sign"),
    (lambda: bars.bar_coefficient("round", 0.05, 0.0, 900.0), RangeError, "diameter"),
    (lambda: snow.exposure_factor("C", "open"), TableError, "fully exposed"),
    (lambda: seismic.base_shear_coefficient(-0.1, "II", False), RangeError, "seismic_sds"),
    (lambda: load_standard("ASCE 7-05"), RangeError, "basis.us.loads"),
]  # fmt: skip


@pytest.mark.parametrize(("call", "error", "words"), REFUSED)
def test_refused(call: Call, error: type[Exception], words: str) -> None:
    with pytest.raises(error, match=words):
        call()


@both
@pytest.mark.parametrize(
    ("change", "error", "words"),
    [
        ({"V": 5.0}, RangeError, "site.wind_speed"),
        ({"V": np.array([50.0, np.nan])}, RangeError, "site.wind_speed"),
        ({"exposure": "A"}, TableError, "Write exposure as B, C or D"),
        ({"z": 30.0}, RangeError, "height z"),
        ({"K_zt": 0.9}, RangeError, "topographic_factor"),
        ({"K_d": 0.5}, RangeError, "directionality_factor"),
        ({"K_e": 2.0}, RangeError, "ground_elevation_factor"),
    ],
)
def test_velocity_pressure_refuses(
    standard: LoadStandard, change: dict[str, object], error: type[Exception], words: str
) -> None:
    with pytest.raises(error, match=words):
        standard.velocity_pressure(**{**SITE, **change})  # type: ignore[arg-type]


@both
@pytest.mark.parametrize(
    ("change", "error", "words"),
    [
        ({"p_g": -1.0}, RangeError, "site.ground_snow"),
        ({"p_g": np.nan}, RangeError, "site.ground_snow"),
        ({"C_e": 2.0}, RangeError, "exposure_factor"),
        ({"C_t": 0.5}, RangeError, "thermal_factor"),
        ({"risk_category": "V"}, TableError, "I, II, III or IV"),
        ({"theta": 2.0}, RangeError, "array.tilt"),
    ],
)
def test_snow_refuses(
    standard: LoadStandard, change: dict[str, object], error: type[Exception], words: str
) -> None:
    arguments = {**SNOW, "theta": 0.5, "slippery": True, **change}
    with pytest.raises(error, match=words):
        standard.sloped_snow(**arguments)  # type: ignore[arg-type]


@both
def test_other_words_are_refused(standard: LoadStandard) -> None:
    with pytest.raises(RangeError, match="write ASD or LRFD"):
        standard.combinations("WSD")
    with pytest.raises(TableError, match="I, II, III or IV"):
        standard.importance("2")


# --- standards -----------------------------------------------------------------------------


def test_the_standards_are_constants() -> None:
    assert list(STANDARDS) == ["ASCE 7-16", "ASCE 7-22"]
    with pytest.raises(AttributeError):
        OLD.title = "mine"  # type: ignore[misc]


def test_only_7_16_puts_the_directionality_into_q() -> None:
    full = {**SITE, "K_d": 1.0}
    assert OLD.velocity_pressure(**SITE) == pytest.approx(0.85 * OLD.velocity_pressure(**full))
    assert NEW.velocity_pressure(**SITE) == NEW.velocity_pressure(**full)
    assert OLD.net_pressure(100.0, 0.85, 0.85, 2.0) == pytest.approx(170.0)
    assert NEW.net_pressure(100.0, 0.85, 0.85, 2.0) == pytest.approx(144.5)


@both
def test_components_see_more_wind_in_exposure_b_only(standard: LoadStandard) -> None:
    for exposure, factor in (("B", 0.7 / 0.574), ("C", 1.0), ("D", 1.0)):
        at = {**SITE, "exposure": exposure}
        ratio = standard.component_velocity_pressure(**at) / standard.velocity_pressure(**at)
        assert ratio == pytest.approx(factor, rel=0.003)


def test_low_slopes_carry_the_minimum_of_their_edition() -> None:
    low = {**SNOW, "p_g": 40 * PSF, "C_e": 0.7, "C_t": 0.85, "theta": 0.1, "slippery": False}
    assert OLD.sloped_snow(**low) == pytest.approx(20 * PSF)
    assert NEW.sloped_snow(**low) == pytest.approx(30 * PSF)
    steep = {**low, "theta": 0.3}
    assert OLD.sloped_snow(**steep) == pytest.approx(0.7 * 0.7 * 0.85 * 40 * PSF)


def test_importance_counts_in_7_16_only() -> None:
    old, new = (s.flat_snow(**{**SNOW, "risk_category": "IV"}) for s in (OLD, NEW))
    assert old == pytest.approx(1.2 * new)
    assert NEW.importance("IV").I_s == 1.0
    assert NEW.importance("IV").I_e == OLD.importance("IV").I_e == 1.5


def test_between_printed_thermal_factors_the_line_that_keeps_more_snow_holds() -> None:
    lines = [float(snow.slope_factor_of(0.5, c, True)) for c in (1.0, 1.05, 1.1, 1.15, 1.2)]
    assert lines[1] == lines[2]
    assert lines[3] == lines[4]
    assert lines == sorted(lines)


def test_rigid_structures_have_the_smaller_coefficient() -> None:
    rigid = OLD.base_shear_coefficient(S_DS=1.0, risk_category="III", rigid=True)
    soft = OLD.base_shear_coefficient(S_DS=1.0, risk_category="III", rigid=False)
    assert rigid == pytest.approx(0.375)
    assert soft == pytest.approx(1.0)


def test_a_calm_site_gets_the_least_coefficient() -> None:
    assert OLD.base_shear_coefficient(S_DS=0.0, risk_category="II", rigid=False) == 0.03


# --- wind ----------------------------------------------------------------------------------


def test_halves_follow_the_wind() -> None:
    pair = wind.Coefficients(np.array([-2.0]), np.array([-0.5]))
    assert wind.halves(0, pair).C_high == -2.0, "wind from the back: the high half is windward"
    assert wind.halves(0, pair).C_low == -0.5
    assert wind.halves(180, pair).C_low == -2.0, "wind from the front: the low half is windward"
    assert wind.halves(180, pair).C_high == -0.5


def test_case_names_and_shapes() -> None:
    cases = across_cases(["clear", "obstructed"])
    assert [c.id for c in cases[:4]] == ["W0A-clear", "W0B-clear", "W180A-clear", "W180B-clear"]
    found = plane_coefficients(np.radians([20.0, 32.0, 45.0]), cases)
    assert found.C_low.shape == found.C_high.shape == (8, 3)
    assert found.ids == tuple(c.id for c in cases)
    assert [c.gamma for c in along_cases(["clear"])] == [90, 90, 270, 270]


def test_height_ratio_says_when_it_is_outside() -> None:
    inside = wind.roof_height_ratio(1.0, 3.0)
    assert inside.inside.all()
    assert inside.note == ""
    low = wind.roof_height_ratio([0.5, 1.0], 3.0)
    assert low.inside.tolist() == [False, True]
    assert "h/L = 0.17 is outside 0.25 to 1" in low.note
    assert "not covered" in low.note


# --- engineer-supplied coefficients ----------------------------------------------------------

FIGURE = Resultant(np.array([[-1.5], [1.2]]).T, np.array([[-0.2], [0.1]]).T)


def entered(force: list[float], moment: list[float], citation: str = "Letter 7") -> object:
    return GroundMountCoefficients(("1",), np.array([force]), np.array([moment]), citation)


@pytest.mark.parametrize("citation", ["", "  \n"])
def test_a_citation_is_needed(citation: str) -> None:
    with pytest.raises(RangeError, match="no citation"):
        entered([-1.0, 1.0], [0.0, 0.0], citation)


def test_shapes_and_numbers_are_checked() -> None:
    with pytest.raises(RangeError, match="GC_gn"):
        GroundMountCoefficients(("1", "2"), np.array([1.0]), np.array([1.0, 1.0]), "Letter 7")
    with pytest.raises(RangeError, match="GC_gm"):
        entered([-1.0, 1.0], [np.nan, 0.0])


def test_nothing_goes_below_the_figure_unasked() -> None:
    result = governed(entered([-1.0, 2.0], [-0.3, 0.05]), FIGURE, reduce_below_figure=False)
    assert result.used.GC_n.tolist() == [[-1.5, 2.0]]
    assert result.force_from_figure.tolist() == [[True, False]]
    assert result.used.GC_m.tolist() == [[-0.3, 0.1]]
    assert result.moment_from_figure.tolist() == [[False, True]]
    assert result.note == ""


def test_another_sign_is_refused_unless_reduced() -> None:
    with pytest.raises(RangeError, match="GC_gn of 3 has the other sign"):
        governed(entered([3.0, 2.0], [-0.3, 0.1]), FIGURE, reduce_below_figure=False)
    with pytest.raises(RangeError, match="GC_gm"):
        governed(entered([-2.0, 2.0], [0.3, 0.1]), FIGURE, reduce_below_figure=False)


def test_going_below_the_figure_is_told() -> None:
    result = governed(entered([-1.0, 2.0], [-0.3, 0.05]), FIGURE, reduce_below_figure=True)
    assert result.used.GC_n.tolist() == [[-1.0, 2.0]]
    assert not result.force_from_figure.any()
    assert "force coefficient in 1 of 2 places" in result.note
    assert "0.50 (-1.00 instead of -1.50)" in result.note
    assert "moment coefficient in 1 of 2 places" in result.note
    assert "Letter 7" in result.note


def test_not_going_below_leaves_no_note() -> None:
    result = governed(entered([-2.0, 2.0], [-0.3, 0.2]), FIGURE, reduce_below_figure=True)
    assert result.note == ""


def test_a_figure_without_moment_accepts_any() -> None:
    figure = Resultant(np.array([-1.0]), np.array([0.0]))
    result = governed(entered([-1.1], [-0.2]), figure, reduce_below_figure=False)
    assert result.used.GC_m.tolist() == [[-0.2]]


# --- combinations ----------------------------------------------------------------------------

CASES = [
    LoadCase("D", "D"), LoadCase("D-modules", "D"), LoadCase("S", "S"),
    LoadCase("W0A-clear", "W"), LoadCase("W180B-clear", "W"),
    LoadCase("E+x", "E_h"), LoadCase("E-x", "E_h"), LoadCase("E-vertical", "E_v"),
]  # fmt: skip


def row(result: object, name: str) -> list[float]:
    return result.array[result.ids.index(name)].tolist()  # type: ignore[attr-defined]


def test_one_wind_or_earthquake_at_a_time() -> None:
    result = expand(OLD.combinations("ASD"), CASES)
    assert row(result, "ASD 1") == [1, 1, 0, 0, 0, 0, 0, 0]
    assert row(result, "ASD 3 · S") == [1, 1, 1, 0, 0, 0, 0, 0]
    assert row(result, "ASD 7 · W0A-clear") == [0.6, 0.6, 0, 0.6, 0, 0, 0, 0]
    assert row(result, "ASD 7 · W180B-clear") == [0.6, 0.6, 0, 0, 0.6, 0, 0, 0]
    assert row(result, "ASD 10 · E-x") == [0.6, 0.6, 0, 0, 0, 0, 0.7, -0.7]
    assert result.array.shape == (1 + 1 + 2 + 2 + 2 + 2 + 2 + 2, len(CASES))
    assert (np.count_nonzero(result.array[:, 3:5], axis=1) <= 1).all()
    assert (np.count_nonzero(result.array[:, 5:7], axis=1) <= 1).all()


def test_a_load_that_only_accompanies_may_be_absent() -> None:
    result = expand(OLD.combinations("LRFD"), CASES)
    assert row(result, "LRFD 3 · S") == [1.2, 1.2, 1.6, 0, 0, 0, 0, 0]
    assert row(result, "LRFD 3 · W0A-clear + S") == [1.2, 1.2, 1.6, 0.5, 0, 0, 0, 0]
    assert row(result, "LRFD 4 · W0A-clear") == [1.2, 1.2, 0, 1.0, 0, 0, 0, 0]
    assert row(result, "LRFD 6 · E+x") == [1.2, 1.2, 0, 0, 0, 1, 0, 1]


def test_combinations_without_their_leading_load_are_left_out() -> None:
    dead = expand(OLD.combinations("LRFD"), CASES[:2])
    assert dead.ids == ("LRFD 1",)
    snow_only = expand(OLD.combinations("LRFD"), CASES[:3])
    assert snow_only.ids == ("LRFD 1", "LRFD 3 · S")
    windy = expand(NEW.combinations("ASD"), [CASES[0], CASES[3]])
    assert windy.ids == ("ASD 1", "ASD 5 · W0A-clear", "ASD 7 · W0A-clear")


def test_rows_carry_their_source_and_certainty() -> None:
    result = expand(NEW.combinations("ASD"), CASES)
    place = result.ids.index("ASD 3 · S")
    assert result.texts[place] == "D + 0.7S"
    assert result.sources[place] == "ASCE 7-22 2.4.1 (3a)"
    assert result.certainties[place] is Certainty.CONFIRMED
    assert result.cases == tuple(c.id for c in CASES)


def test_equal_rows_are_kept_once() -> None:
    one = Combination("X 1", "D", "mine", Certainty.PLAN, {"D": 1.0}, ("D",))
    two = Combination("X 2", "D", "mine", Certainty.PLAN, {"D": 1.0}, ("D",))
    assert expand([one, two], CASES[:1]).ids == ("X 1",)


@pytest.mark.parametrize(
    ("cases", "words"),
    [
        ([LoadCase("L", "L")], "nature 'L'"),
        ([LoadCase("S", "S")], "no load case of nature D"),
        ([LoadCase("D", "D"), LoadCase("D", "D")], "same id"),
        ([LoadCase("D", "D"), LoadCase("E", "E_h")], "vertical earthquake effect"),
    ],
)
def test_load_cases_are_checked(cases: list[LoadCase], words: str) -> None:
    with pytest.raises(RangeError, match=words):
        expand(OLD.combinations("ASD"), cases)


# --- records -------------------------------------------------------------------------------


@both
def test_a_pressure_can_be_replayed(standard: LoadStandard) -> None:
    """Every number has an origin of its own unit, and every formula gives its value again."""
    with recording() as record:
        plan = {
            name: given("plan", f"{name} [{unit}]", number, Certainty.PLAN)
            for name, unit, number in (
                ("V", "m/s", 47.0), ("z", "m", 2.2), ("K_zt", "-", 1.0),
                ("z_e", "m", 1280.0), ("theta", "rad", np.radians(32.0)),
            )
        }  # fmt: skip
        K_d, G = wind.directionality_factor(), wind.gust_effect_factor()
        K_e = wind.ground_elevation_factor(plan["z_e"])
        q = standard.velocity_pressure(
            V=plan["V"], exposure="C", z=plan["z"], K_zt=plan["K_zt"], K_e=K_e, K_d=K_d
        )
        figure = wind.monoslope_coefficients(plan["theta"], "clear", 0, "B")
        half = wind.halves(0, figure)
        standard.net_pressure(q, K_d, G, half.C_high)
        figure_resultant(G, figure)
    assert record.loose() == []
    assert record.misfits() == []
    assert all(step.holds() for step in record.steps)


@both
def test_snow_and_earthquake_can_be_replayed(standard: LoadStandard) -> None:
    with recording() as record:
        p_g = given("plan", "p_g [Pa]", 1500.0, Certainty.PLAN)
        theta = given("plan", "theta [rad]", 0.2, Certainty.PLAN)
        S_DS = given("plan", "S_DS [-]", 0.4, Certainty.PLAN)
        C_e = snow.exposure_factor("C", "partially exposed")
        C_t = standard.thermal_factor()
        standard.sloped_snow(
            p_g=p_g, C_e=C_e, C_t=C_t, risk_category="II", theta=theta, slippery=True
        )
        standard.base_shear_coefficient(S_DS=S_DS, risk_category="II", rigid=False)
    assert record.loose() == []
    assert record.misfits() == []
    assert all(step.holds() for step in record.steps)


# --- documentation -------------------------------------------------------------------------


def test_the_documented_combinations_are_the_coded_ones() -> None:
    page = Path(__file__).parents[2] / "docs" / "method" / "snow-seismic-combinations.md"
    rows = [
        [cell.strip() for cell in line.strip("|\n").split("|")]
        for line in page.read_text(encoding="utf-8").splitlines()
        if line.startswith(("| LRFD", "| ASD"))
    ]
    told = [(r[0], r[1], r[1] if r[2] == "same" else r[2]) for r in rows]
    coded = [
        (one.id, one.text, other.text)
        for method in ("LRFD", "ASD")
        for one, other in zip(OLD.combinations(method), NEW.combinations(method), strict=True)
    ]
    assert told == coded
