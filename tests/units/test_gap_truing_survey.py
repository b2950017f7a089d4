"""From a notebook to positions, sizes and words: what is set aside stays aside, and by how much."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from frames import (
    INCH,
    LASERS,
    alder_points,
    changed,
    crooked,
    index_of,
    measured,
    notebook,
    reading,
    rows_for,
    truth_of,
)
from plumbrail.notebook.entries import Axis, Kind, Moved
from plumbrail.plan.truing import Truing
from plumbrail.truing import survey as module
from plumbrail.truing.adjust import adjust
from plumbrail.truing.gather import gather
from plumbrail.truing.posed import posed
from plumbrail.truing.scheme import field_readings
from plumbrail.truing.survey import survey

POINTS = alder_points()
XYZ = crooked(POINTS)
FOOT = 12 * INCH
BOOK = measured(POINTS, XYZ)


def test_a_wrong_move_stays_aside_though_a_rod_on_the_ground_is_wrong_too():
    """Readings without error: every point comes out where it stands, nothing is enlarged."""
    after = [reading(400 + i, Kind.ROD, p, setup="C")
             for i, p in enumerate(("pin 1", "F1", "F2", "F3", "F4", "B1", "F3"))]  # fmt: skip
    moved = (Moved(300, "", "F3", Axis.UP, 2 * INCH),)
    rows = [*rows_for(field_readings(POINTS)), *after]
    book = notebook(truth_of(POINTS, rows, XYZ, Truing(), moved),
                    (replace(moved[0], amount=-INCH),))  # fmt: skip
    i = index_of(book, Kind.ROD, "F2 base")
    found, _ = survey(POINTS, changed(book, i, 2 * FOOT), Truing())
    assert np.flatnonzero(found.suspect).tolist() == [i] and len(found.doubts) == 1
    assert found.enlarged == 1.0 and found.statistic < 1.0
    head = POINTS.index("F3")
    assert found.positions.xyz[head, 2] == pytest.approx(XYZ[head, 2], abs=INCH / 100)


def surveyed(book):
    found, problems = survey(POINTS, book, Truing())
    assert not problems
    return found


def rod_book(*values, setups="ABC"):
    """Rods on pin 1, F1 and F2 from each set-up, with errors in inches one after the other."""
    rows = [reading(2 + i, Kind.ROD, point, setup=setup) for i, (setup, point) in
            enumerate((s, p) for s in setups for p in ("pin 1", "F1", "F2"))]  # fmt: skip
    exact = truth_of(POINTS, rows, POINTS.planned, Truing())
    errors = [*values, *[0.0] * (len(rows) - len(values))]
    return notebook(replace(r, value=r.value + e * INCH)
                    for r, e in zip(exact, errors, strict=True))  # fmt: skip


def test_heights_are_the_mean_of_equal_rods():
    """Three set-ups, one rod on F1 1/8 in short: it stands a third higher, rods a third off."""
    found = surveyed(rod_book(0, -1 / 8))
    up = found.positions.xyz - POINTS.planned
    third = INCH / 24
    assert up[POINTS.index("F1"), 2] == pytest.approx(third, rel=0.02)
    assert up[POINTS.index("F2"), 2] == pytest.approx(0.0, abs=third / 40)
    assert found.setup_height == pytest.approx([LASERS[s] for s in "ABC"], abs=third)
    assert found.setups == ("A", "B", "C") and not found.suspect.any()
    # adjusted less read: the wrong one comes up by more than half, and shows most in w
    np.testing.assert_allclose(found.adjusted - [r.value for r in found.readings], found.residual)
    assert found.residual[1] == found.residual.max() > 0 and np.abs(found.w).argmax() == 1
    # readings 9, and the unknowns three lasers and two heads
    assert found.freedom == 4 and found.limit == pytest.approx(9.488, abs=1e-3)


def test_what_each_reading_does_to_each_height():
    """Change of the points with a reading, against one tenth of an inch more in it; 0 where set
    aside."""
    book = rod_book(0, 12)
    found = surveyed(book)
    assert np.flatnonzero(found.suspect).tolist() == [1]
    assert not found.influence[:, 1].any()
    for i in (0, 2, 4):
        more = surveyed(changed(book, i, INCH / 10))
        change = (more.positions.xyz - found.positions.xyz).ravel()
        np.testing.assert_allclose(change, found.influence[:, i] * INCH / 10, atol=1e-9)
    assert np.abs(found.influence[:, 4]).max() > 0.2


def test_uncertainty_is_enlarged_as_the_global_test_asks():
    """Twice the errors of good readings: covariance times v'Pv / f; never made smaller."""
    errors = np.array([1, 0, -1, -1, 1, 0, 0, -1, 1]) / 10
    good, bad = surveyed(rod_book(*0.5 * errors)), surveyed(rod_book(*errors))
    assert good.enlarged == 1.0 and not bad.suspect.any()
    assert bad.statistic > bad.limit
    assert bad.enlarged == pytest.approx(np.sqrt(bad.statistic / bad.freedom))
    j = 3 * POINTS.index("F1") + 2
    ratio = bad.positions.cov[j, j] / good.positions.cov[j, j]
    assert ratio == pytest.approx(bad.enlarged**2)


def test_what_only_a_noted_move_tells_is_loose_but_its_uncertainty_is_that_of_the_note():
    """F1 lifted and not read again."""
    rows = rod_book().readings
    found = surveyed(notebook(rows, (Moved(99, "", "F1", Axis.UP, 0.01),)))
    z = 3 * np.array([POINTS.index(p) for p in ("F1", "F2")]) + 2
    assert np.linalg.norm(found.positions.loose[z], axis=1) == pytest.approx([1.0, 0.0])
    np.testing.assert_allclose(found.positions.loose.T @ found.positions.loose,
                               np.eye(found.positions.loose.shape[1]), atol=1e-12)  # fmt: skip
    assert np.sqrt(found.positions.cov[z[0], z[0]]) > INCH / 8


def seen(book, monkeypatch):
    """The scene that the words are made of, and its groups."""
    kept = []

    def spy(scene, groups):
        kept.append((scene, groups))
        return ()

    monkeypatch.setattr(module, "suspicions", spy)
    survey(POINTS, book, Truing(), "metric")
    return kept[0]


def test_sizes_and_their_uncertainty_go_to_the_words(monkeypatch):
    """A rod 1 ft off against two others: s / sqrt(r), r of a reading left out by hand."""
    scene, groups = seen(rod_book(0, 12), monkeypatch)
    assert groups == [(1,)] and scene.units == "metric"
    # F1 is then the mean of two rods, each with its laser known by pin 1 and F2 as well
    (one,) = np.flatnonzero(scene.size)
    assert (one, scene.size[1]) == (1, pytest.approx(12 * INCH, rel=1e-3))
    network = scene.network
    problem = posed(network)
    every = np.ones(len(problem.sd), dtype=bool)
    every[1] = False
    out = adjust(problem.observe, problem.observed, problem.sd, problem.start, kept=every)
    row = problem.observe(out.x)[1][1]
    assert scene.size_sd[1] == pytest.approx(np.sqrt(network.sd[1] ** 2 + row @ out.cov @ row))


def test_what_could_be_wrong_instead_is_off_by_what_the_others_then_say(monkeypatch):
    """Two set-ups: each rod of the contradiction left out in turn, by an adjustment of its own."""
    book = rod_book(0, 0, 6, setups="AB")
    scene, groups = seen(book, monkeypatch)
    ((suspect, *others),) = groups
    assert {suspect, *others} == {2, 5}
    problem = posed(scene.network)
    for i in (suspect, *others):
        every = np.ones(len(problem.sd), dtype=bool)
        every[i] = False
        out = adjust(problem.observe, problem.observed, problem.sd, problem.start, kept=every)
        size = scene.case(i, suspect).size
        assert size == pytest.approx(-out.residual[i], abs=1e-7) and abs(size) > 5 * INCH


def test_no_more_than_four_are_named_together_and_the_rest_is_counted():
    """One loop of levels with eight rods, which nothing tells apart."""
    loop = [("A", "pin 1"), ("A", "F1"), ("B", "F1"), ("B", "F2"), ("C", "F2"), ("C", "F3"),
            ("D", "F3"), ("D", "pin 1")]  # fmt: skip
    rows = [reading(2 + i, Kind.ROD, p, setup=s) for i, (s, p) in enumerate(loop)]
    exact = list(truth_of(POINTS, rows, POINTS.planned, Truing()))
    exact[3] = replace(exact[3], value=exact[3].value + 12 * INCH)
    (said,) = surveyed(notebook(exact)).suspicions
    assert len(said.readings) == 4 and said.words.count("rod reading on") == 4
    assert said.words.endswith(
        "or one of 4 more rows (they cannot be told apart: measure all of them again)"
    )


NETWORK, _ = gather(POINTS, rod_book(setups="A").readings, (
    Moved(30, "", "F1 post", Axis.ACROSS, -2 * INCH), Moved(40, "", "F3", Axis.UP, INCH)),
    Truing())  # fmt: skip
PROBLEM = posed(NETWORK)
M = 3


def doubts(off, groups=(), more=False, units="us"):
    """Words for ``{(line, which of its conditions): inches that it really moved more}``."""
    rows = len(PROBLEM.sd)
    suspect, size = np.zeros(rows, dtype=bool), np.zeros(rows)
    lines = list(PROBLEM.pseudo.line)
    for (line, k), by in off.items():
        i = M + lines.index(line) + k
        suspect[i], size[i] = True, -by * INCH
    said = SimpleNamespace(suspect=suspect, size=size, groups=groups, more=more)
    return module._doubts(PROBLEM, said, units)


def test_a_move_that_was_not_as_noted():
    """Along its direction more or less than noted, whatever its sign; beside it as well."""
    assert doubts({(30, 1): -1.0}) == ("line 30: F1 seems to have moved 1 in more than noted",)
    assert doubts({(30, 1): 1.0}) == ("line 30: F1 seems to have moved 1 in less than noted",)
    assert doubts({(40, 2): 1.0})[0].endswith("F3 seems to have moved 1 in more than noted")
    assert doubts({(40, 2): -0.5})[0].endswith("F3 seems to have moved 1/2 in less than noted")
    assert doubts({(40, 2): 1.0}, units="metric")[0].endswith("moved 25 mm more than noted")
    for k, by, words in ((0, 1, "to the right"), (0, -1, "to the left"), (2, 1, "up"),
                         (2, -1, "down")):  # fmt: skip
        assert doubts({(30, k): by}) == (f"line 30: F1 seems to have moved 1 in {words} as well",)
    for by, words in ((1, "to the back"), (-1, "to the front")):
        assert doubts({(40, 1): by}) == (f"line 40: F3 seems to have moved 1 in {words} as well",)
    # the conditions of a line come by threes, one three for each point moved
    points = [w for w, n in zip(PROBLEM.pseudo.words, PROBLEM.pseudo.line, strict=True) if n == 30]
    assert points[3] != "F1"
    assert doubts({(30, 3): 1.0}) == (
        f"line 30: {points[3]} seems to have moved 1 in to the right as well",)  # fmt: skip


def test_pins_and_ground_that_are_not_as_planned():
    """By how much, without a direction; what is assumed has no name."""
    assert doubts({(0, 1): -3.0}) == ("pin 2 does not stand where the plan has it, by 3 in",)
    assert len(doubts({(0, 0): 1.0, (0, 1): 1.0, (40, 2): 1.0})) == 3
    last = len(PROBLEM.pseudo.line) - 1
    suspect, size = np.zeros(M + last + 1, dtype=bool), np.zeros(M + last + 1)
    suspect[-1], size[-1] = True, 2 * INCH
    said = SimpleNamespace(suspect=suspect, size=size, groups=(), more=False)
    assert module._doubts(PROBLEM, said, "us") == (
        "the ground does not stand where the plan has it, by 2 in",)  # fmt: skip


def test_what_to_look_at_instead_of_a_noted_move():
    """Up to three readings that explain it as well, by their lines; conditions have none."""
    i = M + list(PROBLEM.pseudo.line).index(40) + 2
    lines = [r.line for r in NETWORK.readings]
    other = ((0, 1), (i, 2, M, 0, 1), (1, i))
    (one,) = doubts({(40, 2): 1.0}, other)
    assert one.endswith(f"more than noted; if not, look at line {lines[2]} or {lines[0]}")
    (one,) = doubts({(40, 2): 1.0}, ((i, M),))
    assert one.endswith("more than noted")


def test_readings_that_cannot_be_sorted_are_said_last():
    """Beside the others, or alone."""
    words = "more readings contradict each other than can be sorted: measure again"
    assert doubts({}, more=True) == (words,) and doubts({}) == ()
    assert doubts({(0, 1): 3.0}, more=True)[1] == words


def test_what_a_reading_set_aside_leaves_loose_is_held_near_the_plan():
    """A rod in a dip of the ground, told without it by sloping tapes alone: the plan's height, good
    to 1 in, is one more reading."""
    planned = POINTS.planned.copy()
    planned[POINTS.index("F2 base"), 2] -= 0.5
    points = replace(POINTS, planned=planned)
    book = measured(points, points.planned + (XYZ - POINTS.planned))
    i = index_of(book, Kind.ROD, "F2 base")
    found, _ = survey(points, changed(book, i, 2 * FOOT), Truing())
    assert np.flatnonzero(found.suspect).tolist() == [i]
    k = 3 * points.index("F2 base") + 2
    assert np.linalg.norm(found.positions.loose[k]) == pytest.approx(1.0)

    network, _ = gather(points, book.readings, (), Truing())
    problem = posed(network)
    kept = np.arange(len(problem.sd)) != i
    plain = adjust(problem.observe, problem.observed, problem.sd, problem.start, kept=kept)
    tapes = network.current(network.current(plain.cov).T)[k, k]
    assert 0.005**2 < tapes < 0.02**2
    both = 1 / (1 / tapes + 1 / 0.0254**2)  # two readings of one height
    assert found.positions.cov[k, k] == pytest.approx(both, rel=0.02)
    assert found.positions.cov[k, k] != pytest.approx(tapes, rel=0.04)


def test_conditions_keep_their_places_when_more_is_loose():
    """One for each loose direction, that feels its own alone; those of all readings first."""
    kept = np.array([r.kind is not Kind.ROD or r.start != "F2 base" for r in BOOK.readings])
    network, _ = gather(POINTS, BOOK.readings, (), Truing())
    before, after = posed(network).pseudo, posed(network, kept).pseudo
    known, loose = len(network.known.value), network.loose()
    assert loose.shape[1] > 0
    assert len(after.value) == len(before.value) + 1 == known + loose.shape[1] + 1
    felt = after.matrix[known:, network.unknown] @ loose
    np.testing.assert_allclose(felt, np.eye(*felt.shape), atol=1e-9)
    lost = network.loose(kept)
    assert np.linalg.matrix_rank(after.matrix[known:, network.unknown] @ lost) == lost.shape[1]


def test_uncertainty_of_a_size_grows_with_that_of_the_readings(monkeypatch):
    """s / sqrt(r) by the factor of the global test, of every reading that something checks."""
    book = rod_book(*(np.array([1, 0, -1, -1, 1, 0, 0, -1, 1]) / 10))
    found = surveyed(book)
    scene, _ = seen(book, monkeypatch)
    assert found.enlarged > 1.9 and found.redundancy.min() > 0.1
    want = found.enlarged * found.sd / np.sqrt(found.redundancy)
    np.testing.assert_allclose(scene.size_sd, want)


def test_sizes_of_alternatives_are_those_of_an_adjustment_without_them():
    """Any linear network, readings of unequal precision: two groups, each other one left out and
    its suspect taken back."""
    rng = np.random.default_rng(8)
    A, sd = rng.normal(size=(12, 3)), rng.uniform(0.5, 2.0, 12)
    read = rng.normal(size=12)

    def without(*out):
        kept = ~np.isin(np.arange(12), out)
        return adjust(lambda x: (A @ x, A), read, sd, np.zeros(3), kept=kept)

    groups = [(2, 7, 4), (5, 9, 7), (10,)]
    now = without(2, 5, 10)
    problem = SimpleNamespace(observe=lambda x: (A @ x, A), sd=sd)
    found = module._instead(problem, now, groups)
    want = {pair: -without(pair[1], *still).residual[pair[1]] for pair, still in (
        ((2, 7), (5, 10)), ((2, 4), (5, 10)), ((5, 9), (2, 10)), ((5, 7), (2, 10)))}  # fmt: skip
    assert found == pytest.approx(want)
    # one reading in two groups is off by another amount in each
    assert abs(found[2, 7] - found[5, 7]) > 0.1
    assert module._instead(problem, now, []) == {}
