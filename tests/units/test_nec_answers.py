"""Answers that several clauses decide: fuses, conductors, raceways, what applies, signs."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plumbrail.bases.iec import strings as iec
from plumbrail.bases.us.nec import applicability as ap
from plumbrail.bases.us.nec import conductors, devices, placards, raceway
from plumbrail.errors import RangeError, TableError
from plumbrail.trace import Certainty

EDITIONS = ("NEC 2017", "NEC 2020", "NEC 2023")


def test_one_string_needs_no_fuse() -> None:
    answer = devices.fuse_for(14.0, 25.0, 1, 0.0, "NEC 2023")
    assert answer.required is False
    assert answer.backfeed == 0.0
    assert [s.clause for s in answer.steps] == ["690.9(A)(1)"]


def test_a_fuse_with_the_clause_of_each_step() -> None:
    answer = devices.fuse_for(9.2, 20.0, 4, 0.0, "NEC 2020")
    assert (answer.required, answer.rating, answer.words) == (True, 15.0, "15 A fuse")
    assert [s.clause for s in answer.steps] == [
        "690.9(A)(1)", "690.9(B), 240.6(A)", "690.9(A), module listing",
    ]  # fmt: skip
    assert [s.holds for s in answer.steps] == [False, True, True]


def test_a_fuse_exactly_at_the_modules_limit_complies() -> None:
    assert devices.fuse_for(9.6, 15.0, 4, 0.0, "NEC 2023").rating == 15.0
    assert devices.fuse_for(9.61, 15.0, 4, 0.0, "NEC 2023").compliant is False


def test_unknown_backfeed_is_not_checked() -> None:
    """Two strings would do alone; the equipment might push more."""
    answer = devices.fuse_for(14.0, 25.0, 2, None, "NEC 2023")
    assert (answer.required, answer.compliant, answer.backfeed) == (None, None, None)
    assert answer.words.startswith("not checked")
    assert answer.steps[0].holds is None


def test_unknown_backfeed_does_not_hide_a_need() -> None:
    answer = devices.fuse_for(9.2, 20.0, 4, None, "NEC 2023")
    assert answer.required is True
    assert answer.rating == 15.0


def test_backfeed_of_the_equipment_counts() -> None:
    assert devices.fuse_for(14.0, 25.0, 2, 7.5, "NEC 2023").required is False
    assert devices.fuse_for(14.0, 25.0, 2, 7.6, "NEC 2023").required is True


@pytest.mark.parametrize("bad", [(0.0, 15.0, 3), (9.0, 0.0, 3), (9.0, 15.0, 0), (np.nan, 15.0, 2)])
def test_fuse_refusals(bad: tuple[float, float, int]) -> None:
    with pytest.raises(RangeError):
        devices.fuse_for(*bad, 0.0, "NEC 2023")
    with pytest.raises(RangeError):
        iec.fuse_for(*bad)


@given(st.floats(1, 25), st.floats(5, 40), st.integers(1, 12))
def test_a_chosen_fuse_obeys_both_ends(isc: float, most: float, strings: int) -> None:
    answer = devices.fuse_for(isc, most, strings, 0.0, "NEC 2023")
    if answer.rating is not None:
        assert answer.least * (1 - 1e-8) <= answer.rating <= most * (1 + 1e-8)
    more = devices.fuse_for(isc, most, strings + 1, 0.0, "NEC 2023")
    assert not (answer.required and not more.required)


@given(st.floats(1, 25), st.floats(5, 40), st.integers(1, 12))
def test_an_iec_fuse_lies_in_its_window(isc: float, most: float, strings: int) -> None:
    answer = iec.fuse_for(isc, most, strings)
    if answer.rating is not None:
        assert 1.5 * isc < answer.rating < 2.4 * isc
        assert answer.rating <= most * (1 + 1e-8)
    if not answer.required:
        assert answer.reverse <= most * (1 + 1e-8)


def test_no_iec_fuse_fits() -> None:
    answer = iec.fuse_for(12.0, 16.0, 4)
    assert (answer.required, answer.rating, answer.words) == (True, None, "no compliant fuse")


def test_iec_names_what_it_does_not_cover() -> None:
    assert "signs and labels" in iec.NOT_COVERED


def sized(I_max: float, device: float | None, **change: object) -> conductors.ConductorAnswer:
    asked: dict[str, object] = {
        "T_a": 303.15, "n_bundle": 2, "metal": "copper", "insulation_column": "90 degC",
        "terminal_columns": ("75 degC", "75 degC"), "min_size": "14 AWG", "edition": "NEC 2023",
    }  # fmt: skip
    return conductors.smallest_conductor(I_max, device, **(asked | change))  # type: ignore[arg-type]


def test_terminals_govern_in_the_cool() -> None:
    """16 A x 1.25 = 20 A: 14 AWG has 20 A at 75 degC and 25 A at 90 degC."""
    assert sized(16.0, None).size == "14 AWG"
    assert sized(16.01, None).size == "12 AWG"
    assert sized(16.0, None, terminal_columns=("75 degC", "60 degC")).size == "12 AWG"


def test_no_terminal_counts_above_75_degrees() -> None:
    assert sized(16.01, None, terminal_columns=("90 degC", "90 degC")).terminal_column == "75 degC"
    cool = sized(16.0, None, insulation_column="60 degC")
    assert (cool.terminal_column, cool.size) == ("60 degC", "12 AWG")


def test_heat_and_bundling_govern_when_they_are_worse() -> None:
    answer = sized(16.0, None, T_a=273.15 + 60, n_bundle=15)
    assert answer.size == "8 AWG"
    assert (answer.ambient, answer.bundle) == (0.71, 0.50)
    assert answer.corrected == pytest.approx(55 * 0.71 * 0.50)


def test_the_next_size_up_is_allowed() -> None:
    """8 AWG at 45 degC, 6 conductors: 38.28 A, so a 40 A device is allowed and 45 A is not."""
    hot = {"T_a": 318.15, "n_bundle": 6}
    assert sized(30.0, 40.0, **hot).size == "8 AWG"
    assert sized(30.0, 45.0, **hot).size == "6 AWG"


def test_above_800_amperes_there_is_no_rounding_up() -> None:
    answer = sized(300.0, 900.0)
    assert answer.size is None
    assert answer.words.startswith("no single conductor")
    assert answer.steps[2].clause == "240.4(C)"
    assert answer.tried[-1].size == "500 kcmil"


def test_aluminium_starts_at_12_awg() -> None:
    answer = sized(8.0, 15.0, metal="aluminium")
    assert answer.size == "12 AWG"
    assert answer.words == "12 AWG aluminium"


def test_a_least_size_is_kept() -> None:
    assert sized(5.0, 15.0, min_size="6 AWG").size == "6 AWG"


def test_conductor_refusals() -> None:
    with pytest.raises(RangeError, match="write one of 14 AWG"):
        sized(5.0, None, min_size="16 AWG")
    with pytest.raises(RangeError, match="write copper or aluminium"):
        sized(5.0, None, metal="silver")
    with pytest.raises(RangeError):
        sized(0.0, None)
    with pytest.raises(RangeError, match="may not be used at so high"):
        sized(5.0, None, T_a=400.0)


@given(st.floats(1, 250), st.floats(0, 60), st.integers(1, 40), st.floats(0, 50))
def test_more_current_never_takes_a_smaller_wire(
    amps: float, heat: float, n: int, more: float
) -> None:
    change = {"T_a": 273.15 + heat, "n_bundle": n}
    one, two = sized(amps, None, **change), sized(amps + more, None, **change)
    if two.size is not None:
        assert one.size is not None
        assert conductors.circular_mils(one.size) <= conductors.circular_mils(two.size)


def test_raceway_refusals() -> None:
    for bad in ([], [0.0], [1e-5, np.nan]):
        with pytest.raises(RangeError, match="area of each conductor"):
            raceway.smallest_raceway(bad, "EMT")
    with pytest.raises(TableError, match="Methods: EMT"):
        raceway.smallest_raceway([1e-5], "hose")


def test_two_wires_have_the_narrowest_limit() -> None:
    area = float(raceway.inner_area("EMT", "1/2"))
    assert raceway.smallest_raceway([0.155 * area] * 2, "EMT").trade == "1/2"
    assert raceway.smallest_raceway([0.156 * area] * 2, "EMT").trade == "3/4"
    three = raceway.smallest_raceway([0.155 * area, 0.155 * area, 0.08 * area], "EMT")
    assert (three.trade, three.limit) == ("1/2", 0.40)
    assert three.share == pytest.approx(0.39)


def by_topic(*asked: object) -> dict[str, ap.Applies]:
    return {a.topic: a for a in ap.applicability(*asked)}  # type: ignore[arg-type]


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("building", ["dwelling", "other"])
def test_a_run_that_enters(edition: str, building: str) -> None:
    found = by_topic(edition, building, "inside", 220.0, 40.0)
    assert found["rapid shutdown"].applies is True
    assert found["metal raceway indoors"].applies is True
    assert found["arc-fault protection"].applies is True
    assert found["ground-fault protection"].applies is True
    assert found["system disconnect"].applies is True
    assert found["open wires within reach"].applies is True
    assert "8 ft" in found["open wires within reach"].words


def test_a_run_that_ends_outside() -> None:
    assert by_topic("NEC 2023", "dwelling", "outside", 220, 40)["rapid shutdown"].applies is False
    older = by_topic("NEC 2020", "dwelling", "outside", 220, 40)
    assert older["rapid shutdown"].applies is None
    assert "Ask the building department" in older["rapid shutdown"].words
    assert older["metal raceway indoors"].applies is False


@pytest.mark.parametrize("edition", EDITIONS)
def test_a_building_for_solar_equipment_only(edition: str) -> None:
    found = by_topic(edition, "solar only", "inside", 220.0, 40.0)
    assert found["rapid shutdown"].applies is False
    assert found["metal raceway indoors"].applies is True


def test_thresholds_of_voltage_and_current() -> None:
    low = by_topic("NEC 2023", "other", "inside", 30.0, 8.0)
    assert low["arc-fault protection"].applies is False
    assert low["ground-fault protection"].applies is False
    assert low["metal raceway indoors"].applies is False
    assert low["open wires within reach"].applies is False
    assert by_topic("NEC 2023", "other", "inside", 30.0, 8.1)["ground-fault protection"].applies
    assert by_topic("NEC 2023", "other", "inside", 80.0, 8.0)["arc-fault protection"].applies
    assert not by_topic("NEC 2023", "other", "inside", 79.9, 8)["arc-fault protection"].applies
    assert (
        by_topic("NEC 2017", "other", "inside", 30.0, 8)["ground-fault protection"].applies is None
    )
    assert by_topic("NEC 2023", "other", "inside", 1001, 8)["deeper burial above 1000 V"].applies


def test_the_isolator_changes_at_30_amperes() -> None:
    assert "isolator" in by_topic("NEC 2023", "other", "inside", 200, 30)[
        "equipment disconnect"].words  # fmt: skip
    assert "break the load" in by_topic("NEC 2023", "other", "inside", 200, 30.1)[
        "equipment disconnect"].words  # fmt: skip


def test_an_unknown_edition_is_not_checked() -> None:
    for answer in ap.applicability("NEC 2026", "other", "inside", 220.0, 40.0):
        assert answer.applies is None
        assert answer.words.startswith("not checked")
        assert answer.certainty is Certainty.MEMORY


@pytest.mark.parametrize(
    "bad", [("barn", "inside", 1.0, 1.0), ("other", "roof", 1.0, 1.0), ("other", "inside", 0, 1.0),
            ("other", "inside", 1.0, np.nan)]
)  # fmt: skip
def test_applicability_refusals(bad: tuple[object, ...]) -> None:
    with pytest.raises(RangeError):
        by_topic("NEC 2023", *bad)


def clauses(*asked: object) -> set[str]:
    return {p.clause for p in placards.placards(*asked)}  # type: ignore[arg-type]


def test_placards_follow_the_situation() -> None:
    inside = clauses("NEC 2023", "inside", True, "controller")
    assert {"690.7(D)", "690.13(B)", "690.31(D)(2)", "690.12(D)", "706.15"} <= inside
    outside = clauses("NEC 2023", "outside", False, "inverter")
    assert {"690.54", "705.10"} <= outside
    assert not outside & {"690.31(D)(2)", "690.12(D)", "706.15"}


def test_placards_of_older_editions_have_their_clauses() -> None:
    assert {"690.53", "690.56(C)"} <= clauses("NEC 2020", "inside", True, "controller")
    assert "690.31(G)" in clauses("NEC 2017", "inside", True, "controller")


def test_a_doubt_about_rapid_shutdown_shows() -> None:
    signs = placards.placards("NEC 2020", "outside", None, "controller")
    doubtful = [p for p in signs if "not checked" in p.text]
    assert {p.clause for p in doubtful} == {"690.56(C)"}


def test_placards_name_the_values_to_write_in() -> None:
    values = {v for p in placards.placards("NEC 2023", "inside", True, "controller")
              for v in p.values}  # fmt: skip
    assert {"largest voltage", "battery voltage"} <= values
    assert "exact words" in placards.CAUTION


@pytest.mark.parametrize(
    "bad", [("IEC", "inside", True, "inverter"), ("NEC 2023", "roof", True, "inverter"),
            ("NEC 2023", "inside", True, "heater")]
)  # fmt: skip
def test_placard_refusals(bad: tuple[object, ...]) -> None:
    with pytest.raises(RangeError):
        clauses(*bad)
