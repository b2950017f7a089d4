"""Tables of the electrical code: bands, ends, refusals, records."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plumbrail.bases.iec import cables, strings
from plumbrail.bases.us.nec import (
    burial,
    conductors,
    devices,
    grounding,
    raceway,
    torque,
    voltage,
)
from plumbrail.errors import RangeError, TableError
from plumbrail.plan.wiring import SIZES
from plumbrail.tables.loader import load
from plumbrail.trace import Certainty, recording


def test_sizes_are_those_of_the_plan() -> None:
    assert conductors.sizes_from("14 AWG") == SIZES


@given(st.floats(-40, 60), st.floats(-40, 60))
def test_a_colder_record_never_lowers_the_factor(a: float, b: float) -> None:
    cold, warm = sorted((a, b))
    factors = voltage.table_factor(np.array([cold, warm]) + 273.15)
    assert factors[0] >= factors[1] >= 1.0


@given(st.floats(1, 2000), st.floats(1, 200), st.floats(0, 20))
def test_more_volts_never_allow_more_modules(limit: float, module: float, more: float) -> None:
    few, many = voltage.most_modules(limit, np.array([module + more, module]))
    assert few <= many
    assert many * module <= limit * (1 + 2e-9)


def test_an_exact_fit_counts() -> None:
    assert int(voltage.most_modules(577.2, 44.4)) == 13
    assert int(voltage.most_modules(0.3, 0.1)) == 3
    assert int(voltage.most_modules(577.1, 44.4)) == 12
    assert list(strings.most_modules(np.array([577.2, 577.1]), 44.4)) == [13, 12]


def test_module_voltages_must_be_above_zero() -> None:
    for refuse in (voltage.most_modules, strings.most_modules):
        with pytest.raises(RangeError, match="above zero"):
            refuse(600.0, 0.0)


@pytest.mark.parametrize("kelvin", [232.15, 0.0, np.nan])
def test_the_voltage_table_ends_at_minus_40(kelvin: float) -> None:
    with pytest.raises(RangeError, match=r"ends at -40 °C.*maker's coefficient"):
        voltage.table_factor(kelvin)


def test_rounding_does_not_change_the_row() -> None:
    assert float(voltage.table_factor(273.15 - 5 - 1e-9)) == 1.12
    assert float(conductors.ambient_factor(273.15 + 40 + 1e-9, "90 degC")) == 0.91


def test_between_two_rows_the_hotter_counts() -> None:
    assert float(conductors.ambient_factor(273.15 + 40.5, "90 degC")) == 0.87


@pytest.mark.parametrize(("celsius", "column"), [(56, "60 degC"), (71, "75 degC"), (86, "90 degC")])
def test_too_hot_for_the_insulation(celsius: float, column: str) -> None:
    with pytest.raises(RangeError, match="may not be used at so high"):
        conductors.ambient_factor(celsius + 273.15, column)


def test_unknown_rows_are_refused_with_the_choices() -> None:
    with pytest.raises(TableError, match="it has: 60 degC, 75 degC, 90 degC"):
        conductors.ambient_factor(300.0, "105 degC")
    with pytest.raises(TableError, match=r"14 AWG to 500 kcmil|aluminium 12 AWG"):
        conductors.ampacity("16 AWG", "copper", "75 degC")
    with pytest.raises(TableError):
        conductors.ampacity("14 AWG", "aluminium", "75 degC")
    with pytest.raises(TableError, match="may not run under a building"):
        burial.least_cover("direct burial", "under building")
    with pytest.raises(TableError, match="diameter from the data sheet"):
        raceway.conductor_area("10 AWG", "PV wire")
    with pytest.raises(TableError, match="Write the building"):
        voltage.voltage_limit("barn")


@pytest.mark.parametrize("n", [0, np.nan])
def test_no_conductors(n: float) -> None:
    with pytest.raises(RangeError, match="Count at least one"):
        conductors.bundle_factor(n)


def test_lookups_take_arrays() -> None:
    assert voltage.table_factor(np.full((2, 3), 260.0)).shape == (2, 3)
    assert list(conductors.bundle_factor([1, 3, 4, 6, 7])) == [1, 1, 0.8, 0.8, 0.7]
    assert list(devices.standard_rating([14.0, 15.0, 15.1], "NEC 2020")) == [15, 15, 20]
    assert list(raceway.needs_expansion_fitting([0.006, 0.00635, -0.01])) == [False, True, True]


def test_ratings_by_edition_and_kind() -> None:
    assert float(devices.standard_rating(3.0, "NEC 2020")) == 15
    assert float(devices.standard_rating(3.0, "NEC 2023")) == 10
    assert float(devices.fuse_rating(3.0, "NEC 2020")) == 3
    assert float(devices.fuse_rating(7.0, "NEC 2017")) == 10
    assert float(devices.standard_rating(15.0 * (1 + 1e-12), "NEC 2023")) == 15
    with pytest.raises(RangeError, match="write NEC 2014"):
        devices.standard_rating(3.0, "NEC 1999")
    with pytest.raises(RangeError, match="beyond the last row"):
        devices.standard_rating(6001.0, "NEC 2023")


def test_a_range_is_as_sure_as_its_rows() -> None:
    with recording() as record:
        devices.standard_rating(500.0, "NEC 2020")
        devices.standard_rating(1000.0, "NEC 2020")
        raceway.inner_area("RMC", "2")
    levels = [s.provision.certainty for s in record.steps]
    assert levels == [Certainty.CONFIRMED, Certainty.MEMORY, Certainty.MEMORY]
    assert [s.provision.unit for s in record.steps] == ["A", "A", "m**2"]


def test_no_cap_above_10_awg() -> None:
    assert np.isinf(devices.small_conductor_cap("8 AWG", "copper"))


@pytest.mark.parametrize(
    ("circuit", "marked", "column"),
    [(100.0, None, "60 degC"), (100.1, None, "75 degC"), (30.0, "75 degC", "75 degC"),
     (30.0, "90 degC", "75 degC"), (200.0, "60 degC", "60 degC"), ("1 AWG", None, "60 degC"),
     ("1/0 AWG", None, "75 degC")],
)  # fmt: skip
def test_terminal_column(circuit: str | float, marked: str | None, column: str) -> None:
    assert conductors.terminal_column(circuit, marked) == column


def test_terminal_columns_are_of_the_code() -> None:
    assert conductors.lowest_column(("90 degC", "60 degC")) == "60 degC"
    with pytest.raises(RangeError, match="marked '80"):
        conductors.terminal_column(10.0, "80 degC")
    with pytest.raises(RangeError):
        conductors.lowest_column(())


@pytest.mark.parametrize("metal", ["copper", "aluminium"])
@pytest.mark.parametrize("column", ["60 degC", "75 degC", "90 degC"])
def test_ampacity_rises_with_size(metal: str, column: str) -> None:
    sizes = conductors.sizes_from("14 AWG" if metal == "copper" else "12 AWG")
    values = [float(conductors.ampacity(s, metal, column)) for s in sizes]
    assert values == sorted(values)
    assert len(set(values)) == len(values)


def test_hotter_columns_carry_more_and_aluminium_less() -> None:
    for size in conductors.sizes_from("12 AWG"):
        row = [float(conductors.ampacity(size, "copper", c)) for c in ("60 degC", "75 degC",
                                                                      "90 degC")]  # fmt: skip
        assert row[0] < row[1] < row[2]
        assert float(conductors.ampacity(size, "aluminium", "75 degC")) < row[1]


@pytest.mark.parametrize("insulation", ["THWN-2", "XHHW-2", "RHW-2", "RHW-2 with covering"])
def test_areas_of_wires_rise_with_size(insulation: str) -> None:
    table = load("nec", "wire_area")
    areas = table.numbers["area"][table.rows(insulation=insulation)]
    assert (np.diff(areas) > 0).all()


def test_trade_sizes_rise_and_schedule_80_is_narrower() -> None:
    table = load("nec", "raceway")
    for method in ("EMT", "PVC 40", "PVC 80", "RMC"):
        assert (np.diff(table.numbers["area"][table.rows(method=method)]) > 0).all()
        assert float(raceway.inner_diameter(method, "4")) > 0.09
    assert raceway.inner_area("PVC 80", "2") < raceway.inner_area("PVC 40", "2")


def test_emt_in_the_ground_takes_the_deeper_column() -> None:
    assert burial.least_cover("EMT", "yard") == burial.least_cover("PVC 40", "yard")
    assert float(burial.least_cover("EMT", "yard")) == pytest.approx(18 * 0.0254)


def test_torques_that_are_not_listed_are_refused() -> None:
    with pytest.raises(TableError):
        torque.torque("1 AWG", "small slot")


@given(st.floats(1, 1200), st.floats(1, 1200))
def test_grounding_grows_with_the_device(a: float, b: float) -> None:
    low, high = (
        float(conductors.circular_mils(grounding.equipment_conductor(x, "copper")))
        for x in sorted((a, b))
    )
    assert low <= high


def test_grounding_refusals() -> None:
    with pytest.raises(RangeError, match="Above 1200 A"):
        grounding.equipment_conductor(1201.0, "copper")
    with pytest.raises(RangeError, match="write copper or aluminium"):
        grounding.equipment_conductor(20.0, "tin")  # type: ignore[arg-type]
    with pytest.raises(RangeError, match="write rod"):
        grounding.electrode_conductor("6 AWG", "copper", "copper", "plate")
    with pytest.raises(RangeError, match="use copper"):
        grounding.electrode_conductor("6 AWG", "copper", "aluminium", "concrete-encased")


@pytest.mark.parametrize(
    ("electrode", "metal", "size"),
    [("rod", "copper", "6 AWG"), ("rod", "aluminium", "4 AWG"),
     ("concrete-encased", "copper", "4 AWG"), ("other", "copper", "1/0 AWG")],
)  # fmt: skip
def test_a_single_electrode_caps_its_conductor(electrode: str, metal: str, size: str) -> None:
    ours = grounding.electrode_conductor("500 kcmil", "copper", metal, electrode)  # type: ignore[arg-type]
    assert ours == size


def test_small_services_stay_under_the_caps() -> None:
    assert grounding.electrode_conductor("6 AWG", "copper", "copper", "rod") == "8 AWG"
    assert grounding.direct_current_electrode_conductor("10 AWG", "copper", "rod") == "8 AWG"
    direct = grounding.direct_current_electrode_conductor
    assert direct("10 AWG", "aluminium", "other") == "6 AWG"
    assert direct("2 AWG", "copper", "other") == "2 AWG"
    assert direct("2 AWG", "copper", "rod") == "6 AWG"
    assert direct("2/0 AWG", "copper", "concrete-encased") == "4 AWG"


def test_array_electrode_by_edition() -> None:
    assert grounding.array_electrode("NEC 2014").required is True
    assert grounding.array_electrode("NEC 2023").required is False
    assert grounding.array_electrode("NEC 2026").required is None
    assert grounding.assumed_device_certainty("NEC 2017") == Certainty.MEMORY
    assert any("concrete touch no earth" in f.words for f in grounding.ELECTRODE_FACTS)


def test_iec_tables_end() -> None:
    with pytest.raises(RangeError, match=r"no conductor of 5 mm2; it has 1\.5"):
        cables.resistance(5e-6, 300.0)
    with pytest.raises(RangeError, match="outside"):
        cables.grouping_factor(6)
    with pytest.raises(TableError):
        cables.capacity(4e-6, "E")
    assert float(cables.grouping_factor(3)) == 0.7
