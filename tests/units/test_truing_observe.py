"""Computed readings: by hand, against finite differences, and how well each is made."""

from __future__ import annotations

import numpy as np
import pytest

from frames import INCH, alder_points, crooked, reading, rows_for, truth_of
from plumbrail.notebook.entries import Axis, Kind
from plumbrail.plan.truing import Instrument, Truing
from plumbrail.truing.instruments import precision, refusal
from plumbrail.truing.observe import read_off
from plumbrail.truing.rows import make_rows
from plumbrail.truing.scheme import field_readings
from plumbrail.truing.versions import versions_of

STRING = Instrument.model_construct(
    kind="string", error=None, error_angle=None, per_length=None, weight=0.00075, pull=45.0,
    temperature=None)  # fmt: skip
WARM = Instrument.model_construct(
    kind="tape", error=0.001, error_angle=None, per_length=0.0, weight=None, pull=None,
    temperature=313.15)  # fmt: skip
TRUING = Truing.model_construct(**Truing().model_dump() | {
    "instruments": {"mason's line": STRING, "hot tape": WARM}})  # fmt: skip


def every_kind(points):
    extra = [
        reading(900, Kind.LEVEL_TAPE, "F1", "B3"),
        reading(901, Kind.STRING_HEIGHT, "F1", "F4", "F2", instrument="mason's line"),
        reading(902, Kind.STRING_HEIGHT, "B4", "B1", "B2"),
        reading(903, Kind.STRING_SIDE, "F1 base", "B1 base", "F2"),
        reading(904, Kind.STRING_SIDE, "B1", "F1", "F2"),
        reading(905, Kind.STRING_SIDE, "F4", "F1", "F2"),
        reading(906, Kind.ROD, "F3 top", setup="C"),
        reading(907, Kind.ROD, "front left", setup="C"),
        reading(908, Kind.ROD, "mark stone", setup="C"),
        reading(909, Kind.TAPE, "F2", "F2 base", instrument="hot tape"),
        reading(910, Kind.TILT, "F1 base", "B1 base"),
        reading(911, Kind.DIAGONAL, "F1 top", "B4 base", instrument="hot tape"),
    ]
    return rows_for(field_readings(points)) + extra


def made_of(points, rows, truing=TRUING):
    made, problems = make_rows(points, versions_of(points, ())[0], rows, truing)
    assert not problems
    return made


def test_slopes_agree_with_differences():
    points = alder_points(["mark stone"])
    made, xyz = made_of(points, every_kind(points)), crooked(points)
    lasers = np.array([2.1, 1.8, 2.5])
    _, slopes = read_off(made.rows, xyz, lasers)
    x, h = np.append(xyz.ravel(), lasers), 1e-6
    n = xyz.size
    for j in range(len(x)):
        up, down = x.copy(), x.copy()
        up[j] += h
        down[j] -= h
        f = [read_off(made.rows, v[:n].reshape(-1, 3), v[n:])[0] for v in (up, down)]
        np.testing.assert_allclose((f[0] - f[1]) / (2 * h), slopes[:, j], atol=2e-8)


def value_of(row, moves, truing=TRUING):
    """Reading of a frame as planned, with some points moved."""
    points = alder_points(["mark stone"])
    xyz = points.planned.copy()
    for id, step in moves.items():
        xyz[points.index(id)] += step
    return truth_of(points, [row], xyz, truing)[0].value, points, xyz


def test_rods_stand_on_the_pipe_the_cut_end_or_the_ground():
    for name, rise in (("F2", "to_top"), ("F2 top", "to_cut_end"), ("back left", "to_top"),
                       ("F2 base", None), ("pin 2", None), ("mark stone", None)):  # fmt: skip
        value, points, xyz = value_of(reading(5, Kind.ROD, name, setup="A"), {})
        i = points.index(name.removesuffix(" top"))
        above = 0.0 if rise is None else getattr(points, rise)[i]
        assert value == pytest.approx(2.1 - xyz[i, 2] - above, abs=1e-12)
        assert rise != "to_cut_end" or above < 0
        assert rise != "to_top" or above > 0.03


@pytest.mark.parametrize(
    ("start", "end", "at", "moved", "sign"),
    [("F1", "F4", "F2", [0, INCH, 0], 1), ("F4", "F1", "F2", [0, INCH, 0], 1),
     ("B1", "F1", "F2", [INCH, 0, 0], 1), ("F1", "B1", "F2", [INCH, 0, 0], 1)],
)  # fmt: skip
def test_string_side_is_positive_to_the_back_or_right(start, end, at, moved, sign):
    row = reading(5, Kind.STRING_SIDE, start, end, at)
    before, *_ = value_of(row, {})
    after, *_ = value_of(row, {at: moved})
    assert after - before == pytest.approx(sign * INCH, abs=1e-12)


def test_string_height_over_a_sagging_string():
    row = reading(5, Kind.STRING_HEIGHT, "F1", "F4", "F2", instrument="mason's line")
    value, points, xyz = value_of(row, {"F2": [0, 0, INCH]})
    length = np.linalg.norm(xyz[points.index("F4")] - xyz[points.index("F1")])
    a = np.linalg.norm(points.planned[points.index("F2")] - xyz[points.index("F1")])
    sag = 0.00075 * 9.80665 * a * (length - a) / (2 * 45.0)
    assert value == pytest.approx(INCH + sag, abs=1e-12)
    plain, *_ = value_of(reading(5, Kind.STRING_HEIGHT, "F1", "F4", "F2"), {"F2": [0, 0, INCH]})
    assert plain == pytest.approx(INCH, abs=1e-12)


def test_sag_that_is_not_corrected_is_noted_and_counts_for_less():
    points = alder_points()
    plain = made_of(points, [reading(5, Kind.STRING_HEIGHT, "F1", "F4", "F2")])
    exact = made_of(points, [reading(5, Kind.STRING_HEIGHT, "F1", "F4", "F2",
                                     instrument="mason's line")])  # fmt: skip
    assert "sag" in plain.notes[0] and not exact.notes
    assert plain.sd[0] > exact.sd[0] == pytest.approx(INCH / 8)


def test_a_warm_tape_reads_short():
    value, points, xyz = value_of(reading(5, Kind.TAPE, "F1", "F4", instrument="hot tape"), {})
    length = np.linalg.norm(xyz[points.index("F4")] - xyz[points.index("F1")])
    assert value == pytest.approx(length / (1 + 20 * 11.6e-6), rel=1e-14)


def test_leans_and_tilts():
    height = 0.0
    _, points, xyz = value_of(reading(5, Kind.PLUMB, "F2", axis=Axis.ALONG), {})
    height = xyz[points.index("F2"), 2] - xyz[points.index("F2 base"), 2]
    for axis, step in ((Axis.ALONG, [0.02, 0, 0]), (Axis.ACROSS, [0, 0.02, 0])):
        value, *_ = value_of(reading(5, Kind.PLUMB, "F2", axis=axis), {"F2": step})
        assert value == pytest.approx(np.arctan(0.02 / height), abs=1e-12)
    value, points, xyz = value_of(reading(5, Kind.TILT, "F2", "B2"), {"B2": [0, 0, 0.03]})
    step = xyz[points.index("B2")] - xyz[points.index("F2")]
    assert value == pytest.approx(np.arctan(step[2] / step[1]), abs=1e-12)
    assert value > np.radians(30)


def test_standard_deviations_of_common_practice():
    points = alder_points()
    rows = [reading(5, Kind.TAPE, "F1", "F4"), reading(6, Kind.ROD, "F4", setup="A"),
            reading(7, Kind.STRING_SIDE, "F1", "F4", "F2"),
            reading(8, Kind.PLUMB, "F1", axis=Axis.ALONG), reading(9, Kind.TILT, "F1", "B1"),
            reading(10, Kind.PLUMB, "F1", axis=Axis.ALONG, instrument="angle gauge"),
            reading(11, Kind.TAPE, "F1", "F2", instrument="hot tape")]  # fmt: skip
    length = np.linalg.norm(points.planned[points.index("F4")] - points.planned[0])
    far = np.linalg.norm(points.planned[points.index("F4")] - points.planned[points.index("pin 1")])
    np.testing.assert_allclose(made_of(points, rows).sd, [
        np.hypot(INCH / 16, 0.0002 * length), np.hypot(INCH / 16, INCH / 16 / 30.48 * far),
        INCH / 16, np.radians(0.1), np.radians(0.15), np.radians(0.15), 0.001,
    ], rtol=1e-9)  # fmt: skip


@pytest.mark.parametrize(
    ("row", "words"),
    [(reading(5, Kind.PLUMB, "F1", axis=Axis.ALONG, instrument="tape"), "plumb is read with"),
     (reading(5, Kind.TAPE, "F1", "F2", instrument="old tape"), 'no instrument "old tape"'),
     (reading(5, Kind.ROD, "F2", setup="A", instrument="hot tape"), '"hot tape" is a tape'),
     (reading(5, Kind.TAPE, "F1", "F9"), "no point 'F9'"),
     (reading(5, Kind.TAPE, "F1", "F1"), "no length"),
     (reading(5, Kind.LEVEL_TAPE, "F1", "F1 base"), "no length"),
     (reading(5, Kind.STRING_SIDE, "F1", "F4", "F4"), "where the string is fixed"),
     (reading(5, Kind.TAPE, "F1", "mark stone"), "only a rod"),
     (reading(5, Kind.PLUMB, "F1"), "direction"),
     (reading(5, Kind.PLUMB, "front left", axis=Axis.ALONG), "no point")],
)  # fmt: skip
def test_rows_that_cannot_be_used_come_back_and_the_others_stay(row, words):
    points = alder_points(["mark stone"])
    good = reading(4, Kind.TAPE, "F1", "F2")
    made, problems = make_rows(points, versions_of(points, ())[0], [good, row], TRUING)
    assert made.readings == (good,) and len(made.sd) == len(made.rows) == 1
    assert [p.line for p in problems] == [5]
    assert words in problems[0].message


def test_every_kind_has_a_tool():
    for kind in Kind:
        assert refusal(kind, "", Truing()) != ""
        tool = {"rod": "laser"}.get(kind, "tape")
        if not refusal(kind, tool, Truing()):
            assert precision(kind, tool, Truing()).error > 0
