"""Networks of readings: recovered frames, several set-ups, moves, and what stays loose."""

from __future__ import annotations

import sys
import time
from dataclasses import replace

import numpy as np
import pytest

from frames import (
    INCH,
    LASERS,
    PINS,
    alder_points,
    crooked,
    index_of,
    long_points,
    measured,
    notebook,  # fmt: skip
    reading,
    rods,
    rows_for,
    truth_of,
)
from plumbrail.notebook.entries import Axis, Kind, Moved
from plumbrail.plan.truing import Truing
from plumbrail.truing.adjust import adjust
from plumbrail.truing.determined import determined, null_space, open_ratio, span
from plumbrail.truing.gather import gather
from plumbrail.truing.parts import Positions
from plumbrail.truing.points import Place
from plumbrail.truing.posed import posed
from plumbrail.truing.scheme import field_readings
from plumbrail.truing.unknowns import undetermined
from plumbrail.truing.versions import SET_TO, versions_of


def settled(points, book, truing=None):
    """Adjusted points, their covariance and loose basis."""
    network, problems = gather(points, book.readings, book.moved, truing or Truing())
    assert not problems
    problem = posed(network)
    out = adjust(problem.observe, problem.observed, problem.sd, problem.start)
    full, spots = problem.full(out.x), network.places.size
    xyz = full[:spots].reshape(-1, 3)[network.versions.current]
    cov = network.current(network.current(out.cov).T)
    loose = span(network.current(network.loose()))
    return Positions(points, xyz, cov, loose), out, full[spots:]


def rows(points):
    """Indices by coordinates of heads and bases."""
    return np.isin(points.place, [Place.HEAD, Place.BASE])


def test_a_crooked_frame_is_recovered_exactly():
    points = alder_points()
    xyz = crooked(points)
    found, out, lasers = settled(points, measured(points, xyz))
    np.testing.assert_allclose(found.xyz[rows(points)], xyz[rows(points)], atol=1e-9)
    np.testing.assert_allclose(lasers, [LASERS["A"], LASERS["B"]], atol=1e-9)
    assert np.abs(out.residual).max() < 1e-9
    assert found.xyz[points.index("pin 2"), 2] == pytest.approx(PINS[1, 2] + 0.03)


def test_standard_deviations_are_those_of_many_noisy_notebooks():
    points = alder_points()
    xyz = crooked(points)
    first, *_ = settled(points, measured(points, xyz))
    off = []
    for seed in range(60):
        found, *_ = settled(points, measured(points, xyz, noise=1.0, seed=seed))
        off.append((found.xyz - xyz)[rows(points)].ravel())
    sd = np.sqrt(np.diag(first.cov)).reshape(-1, 3)[rows(points)].ravel()
    # The pins' distance is a reading of its own (1/8 in) that the exact truth does not stray from.
    ratio = np.sqrt(np.mean(np.square(off), axis=0)) / sd
    assert 0.75 < np.median(ratio) < 1.1
    assert ratio.max() < 1.5


def test_what_is_never_read_is_loose_and_nothing_else():
    points = alder_points()
    found, *_ = settled(points, measured(points, crooked(points)))
    ends = np.repeat(points.place == Place.END, 3)
    assert found.loose.shape[1] == 12
    assert np.abs(found.loose[~ends]).max() == 0.0
    assert undetermined(found) == tuple(
        f"{way} of front left, front right, back left and back right"
        for way in ("place along the row", "place across the row", "height")
    )


def without(book, test):
    return replace(book, readings=tuple(r for r in book.readings if not test(r)))


def test_a_free_frame_keeps_its_shape_and_its_middle():
    points = alder_points()
    xyz = crooked(points)
    book = without(measured(points, xyz), lambda r: "pin" in r.start + r.end)
    found, out, _ = settled(points, book)
    heads, bases = points.of(Place.HEAD), points.of(Place.BASE)
    both = np.append(heads, bases)

    def distances(p):
        return np.linalg.norm(p[:, None] - p[None], axis=-1)

    # Leaning posts tell a little of the turn of a free frame, which the plan holds (to 1 in).
    np.testing.assert_allclose(distances(found.xyz[both]), distances(xyz[both]), atol=1e-4)
    assert np.abs(out.residual).max() < 1e-3
    # ends 12, two pins 3 of pin 2 less its two conditions, frame: 3 shifts and a turn
    assert found.loose.shape[1] == 12 + 1 + 4
    np.testing.assert_allclose((found.xyz - points.planned)[heads].mean(axis=0), 0, atol=2e-4)
    words = undetermined(found)
    assert "where all heads together stand in height against the pins" in words


def test_heights_are_not_told_by_tapes_of_posts_on_ground_from_the_plan():
    points = alder_points()
    posts = [reading(500 + i, Kind.TAPE, p, f"{p} base") for i, p in enumerate(points.ids[:8])]
    book = measured(points, crooked(points))
    kept = [r for r in book.readings if r.kind is not Kind.ROD]
    exact = truth_of(points, posts, crooked(points), Truing())
    found, *_ = settled(points, notebook([*kept, *exact]))
    height = np.zeros((1, found.loose.shape[0]))
    height[0, 3 * points.index("F3") + 2] = 1.0
    assert not determined(height, found.loose)[0]
    # a level still tells the lean, although the ground is only known from the plan
    lean = np.zeros((1, found.loose.shape[0]))
    lean[0, 3 * points.index("F3")], lean[0, 3 * points.index("F3 base")] = 1.0, -1.0
    lean[0, 3 * points.index("F3") + 2] = -0.01
    assert determined(lean, found.loose)[0]


def test_a_row_of_tapes_does_not_tell_how_straight_it_is():
    points = alder_points()
    xyz = crooked(points)
    wanted = [w for w in field_readings(points) if w.kind is Kind.TAPE and "F" in w.start
              and "F" in w.end and "base" not in w.start + w.end]  # fmt: skip
    found, *_ = settled(points, measured(points, xyz, noise=1.0, wanted=wanted))
    bow = np.zeros((1, found.loose.shape[0]))
    for name, share in (("F1", -2 / 3), ("F2", 1.0), ("F4", -1 / 3)):
        bow[0, 3 * points.index(name) + 1] = share
    assert not determined(bow, found.loose)[0]
    assert np.abs(found.xyz - points.planned).max() < 6 * INCH  # and it does not run away


def test_second_set_up_hangs_on_one_shared_point():
    points = alder_points(["mark stone"])
    xyz = crooked(points)
    seen = rods("A pin 1", "A mark stone", "C mark stone", "C B2", "B F2", "B F3")
    book = notebook(truth_of(points, seen, xyz, Truing()))
    found, *_ = settled(points, book)
    height = np.eye(found.loose.shape[0])[2::3]
    known = determined(height, found.loose)
    assert known[points.index("B2")] and known[points.index("mark stone")]
    assert not known[points.index("F2")]
    assert determined(height[[points.index("F2")]] - height[[points.index("F3")]], found.loose)[0]
    assert found.xyz[points.index("B2"), 2] == pytest.approx(xyz[points.index("B2"), 2], abs=1e-9)


def test_readings_before_and_after_a_noted_move():
    points = alder_points()
    xyz = crooked(points)
    moved = (Moved(300, "", "F4", Axis.UP, 0.02), Moved(301, "", "B2 post", Axis.ACROSS, -0.03),
             Moved(302, "", "front beam", Axis.ALONG, 0.01))  # fmt: skip
    before = rows_for(field_readings(points))
    after = [
        reading(400, Kind.ROD, "F4", setup="A"),
        reading(401, Kind.ROD, "F1", setup="A"),
        reading(402, Kind.TAPE, "F2", "B2"),
        reading(403, Kind.TAPE, "F2 base", "B2 base"),
    ]
    exact = truth_of(points, [*before, *after], xyz, Truing(), moved)
    found, out, _ = settled(points, notebook(exact, moved))
    np.testing.assert_allclose(found.xyz[rows(points)], xyz[rows(points)], atol=1e-9)
    assert np.abs(out.residual).max() < 1e-9
    # the same values, had nothing been noted, do not fit
    _, unnoted, _ = settled(points, notebook(exact))
    assert unnoted.statistic > 50
    # what was moved and not read again is as uncertain as the note
    found, *_ = settled(points, notebook(exact[: len(before)], moved))
    sd = np.sqrt(np.diag(found.cov)).reshape(-1, 3)
    assert sd[points.index("F4"), 2] > SET_TO > sd[points.index("F3"), 2]


def test_what_a_move_carries():
    points = alder_points()
    versions, problems = versions_of(points, (
        Moved(9, "", "F4", Axis.UP, 0.02), Moved(10, "", "B2 post", Axis.ACROSS, -0.03),
        Moved(11, "", "front beam", Axis.ALONG, 0.01), Moved(12, "", "F9", Axis.UP, 0.01),
        Moved(13, "", "pin 1", Axis.UP, 0.01), Moved(14, "", "F1 base", Axis.UP, 0.01),
        Moved(15, "", "B3 post", Axis.UP, 0.01)))  # fmt: skip
    carried = {line: [t.words for t in versions.ties if t.line == line] for line in range(9, 16)}
    assert carried[9] == ["F4", "front right"]
    assert carried[10][0] == "B2" and "B2 base" in carried[10]
    assert carried[11] == ["front left", "front right"]
    assert carried[15][0] == "B3" and "B3 base" not in carried[15]
    assert [p.line for p in problems] == [12, 13, 14]
    end = next(t for t in versions.ties if (t.line, t.words) == (9, "front right"))
    assert end.sd[2] > SET_TO
    f4 = points.index("F4")
    assert [versions.at(f4, line) == f4 for line in (8, 9, 10)] == [True, True, False]


def test_null_space_and_spans():
    basis = null_space(np.array([[1.0, 1.0, 0.0], [2.0, 2.0, 0.0]]))
    assert basis.shape == (3, 2)
    np.testing.assert_allclose(basis.T @ basis, np.eye(2), atol=1e-12)
    assert null_space(np.zeros((0, 3))).shape == (3, 3)
    assert span(np.zeros((3, 0))).shape == (3, 0)
    whole = np.ones((400, 1)) / 20.0
    each = np.eye(400)
    np.testing.assert_allclose(open_ratio(each, whole), 1.0)
    assert determined(each[:1] - each[1:2], whole).all()


def test_nothing_read_at_all():
    points = alder_points()
    found, *_ = settled(points, notebook([]))
    np.testing.assert_allclose(found.xyz, points.planned, atol=1e-9)
    assert found.loose.shape[1] == 3 * len(points.ids) - 3 - 2


def test_size_of_a_long_frame_is_no_trouble(capsys):
    points = long_points(20)
    book = measured(points, crooked(points), noise=1.0)
    start = time.perf_counter()
    _, out, _ = settled(points, book)
    spent = time.perf_counter() - start
    assert out.statistic < 1.5 * out.freedom
    with capsys.disabled():
        sys.stdout.write(
            f"\n{len(book.readings)} readings of 40 posts: gathered and adjusted in {spent:.2f} s"
        )
    assert index_of(book, Kind.TAPE, "F1", "F20") > 0
