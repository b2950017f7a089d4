"""What a notebook leaves open, the fewest readings that settle it, and the sharpest next ones."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest

from frames import INCH, alder_points, crooked, long_points, measured, notebook, reading
from plumbrail.notebook.entries import Axis, Kind
from plumbrail.plan.truing import Truing
from plumbrail.truing.candidates import usual
from plumbrail.truing.determined import determined, span
from plumbrail.truing.gather import gather
from plumbrail.truing.missing import missing
from plumbrail.truing.parts import Wanted
from plumbrail.truing.points import Place
from plumbrail.truing.scheme import expected, field_readings
from plumbrail.truing.sharper import sharper

POINTS = alder_points()
BOOK = measured(POINTS, crooked(POINTS))


def slope(**parts):
    """One value from coordinates: ``slope(F1_z=1, F2_z=-1)``."""
    row = np.zeros(3 * len(POINTS.ids))
    for name, share in parts.items():
        id, _, axis = name.rpartition("_")
        row[3 * POINTS.index(id.replace("_", " ")) + "xyz".index(axis)] = share
    return row


def network_of(book):
    network, problems = gather(POINTS, book.readings, book.moved, Truing())
    assert not problems
    return network


def less(test):
    return replace(BOOK, readings=tuple(r for r in BOOK.readings if not test(r)))


def settles(book, wanted, slopes):
    """The values are determined with these readings too."""
    rows = [reading(5000 + i, w.kind, w.start, w.end, w.at, setup=w.setup, axis=w.axis, value=1.0)
            for i, w in enumerate(wanted)]  # fmt: skip
    network = network_of(replace(book, readings=book.readings + tuple(rows)))
    return determined(slopes, span(network.current(network.loose()))).all()


def test_nothing_is_missing_from_a_full_notebook():
    heights = np.array([slope(**{f"{p}_z": 1.0}) for p in POINTS.ids[:8]])
    found = missing(network_of(BOOK), heights, usual(network_of(BOOK)))
    assert found.wanted == () and found.proven and found.least == 0


def test_one_rod_in_a_set_up_that_stands():
    book = less(
        lambda r: (
            (r.kind is Kind.ROD and r.start == "B3")
            or (r.kind in (Kind.TILT, Kind.TAPE, Kind.DIAGONAL) and "B3" in r.start + r.end)
        )
    )
    slopes = slope(B3_z=1.0)[None]
    candidates = [Wanted(Kind.ROD, p, setup="B") for p in POINTS.ids[:8]]
    found = missing(network_of(book), slopes, candidates)
    assert [(w.kind, w.start) for w in found.wanted] == [(Kind.ROD, "B3")]
    assert found.proven and found.least == 1 and not found.still_open
    assert found.wanted[0].words == "rod reading on B3"
    assert settles(book, found.wanted, slopes)


def test_a_new_set_up_needs_a_shared_point():
    book = less(lambda r: r.kind in (Kind.ROD, Kind.TILT, Kind.TAPE, Kind.DIAGONAL)
                and "B3" in r.start + r.end)  # fmt: skip
    slopes = slope(B3_z=1.0)[None]
    candidates = [Wanted(Kind.ROD, p, setup="C") for p in ("pin 1", *POINTS.ids[:8])]
    found = missing(network_of(book), slopes, candidates)
    assert len(found.wanted) == 2 and found.proven and found.least == 2
    assert "B3" in [w.start for w in found.wanted]
    assert settles(book, found.wanted, slopes)


def test_what_no_candidate_settles_is_said():
    book = less(lambda r: "B3" in r.start + r.end + r.at)
    slopes = np.array([slope(B3_z=1.0), slope(B3_x=1.0), slope(F1_z=1.0)])
    found = missing(network_of(book), slopes, [Wanted(Kind.ROD, "B3", setup="A")])
    assert found.still_open == (1,) and not found.proven
    assert [w.start for w in found.wanted] == ["B3"]
    none = missing(network_of(book), slopes, [])
    assert none.still_open == (0, 1) and none.wanted == ()


@pytest.mark.parametrize("seed", range(6))
def test_fewest_against_trying_all(seed):
    """Small cases, every subset of the candidates tried."""
    rng = np.random.default_rng(seed)
    keep = rng.random(len(BOOK.readings)) < 0.35
    book = replace(BOOK, readings=tuple(r for r, k in zip(BOOK.readings, keep, strict=True) if k))
    network = network_of(book)
    slopes = np.array(
        [slope(F2_z=1.0, F1_z=-0.5, F3_z=-0.5), slope(F2_y=1.0, F1_y=-0.5, F3_y=-0.5)]
    )
    all_of = [w for w in field_readings(POINTS) if w.kind in
              (Kind.ROD, Kind.STRING_SIDE, Kind.TAPE)
              and {w.start, w.end, w.at} <= {"F1", "F2", "F3", "F4", "B2", "B1", ""}]  # fmt: skip
    candidates = [all_of[i] for i in rng.choice(len(all_of), 9, replace=False)]
    found = missing(network, slopes, candidates)
    if found.still_open:
        return
    assert settles(book, found.wanted, slopes)
    fewest = next(
        k for k in range(10) if any(settles(book, c, slopes) for c in combinations(candidates, k))
    )
    assert found.least <= fewest <= len(found.wanted)
    if found.proven:
        assert len(found.wanted) == fewest


def test_an_empty_notebook_asks_for_readings_that_do():
    network = network_of(notebook([]))
    slopes = np.array([slope(**{f"{p}_z": 1.0, "F1_z": -1.0}) for p in POINTS.ids[1:8]]
                      + [slope(F2_x=1.0, F2_base_x=-1.0)])  # fmt: skip
    found = missing(network, slopes, usual(network))
    assert not found.still_open
    assert len(found.wanted) == 9 and found.proven
    assert settles(notebook([]), found.wanted, slopes)


def test_scheme_of_a_careful_crew_tells_everything_with_checks():
    wanted = field_readings(POINTS)
    assert len(set(wanted)) == len(wanted)
    assert all(w.words for w in wanted)
    assert [w.start for w in wanted[:4]] == ["pin 1", "pin 2", "F1", "F2"]
    told = expected(POINTS, wanted, Truing())
    heads = np.repeat(np.isin(POINTS.place, [Place.HEAD, Place.BASE]), 3)
    assert np.abs(told.loose[heads]).max() == 0.0
    sd = np.sqrt(np.diag(told.cov)).reshape(-1, 3)
    assert sd[POINTS.index("F2"), 2] < INCH / 16  # better than one rod reading
    assert 0 < sd[POINTS.index("B3"), 1] < INCH / 2
    # leaving any one reading out leaves everything told
    eye = np.eye(3 * len(POINTS.ids))[heads]
    for i in range(0, len(wanted), 7):
        fewer = expected(POINTS, wanted[:i] + wanted[i + 1 :], Truing())
        open_now = ~determined(eye, fewer.loose)
        assert not open_now.reshape(-1, 3)[:, :2].any(), wanted[i]


def test_scheme_of_two_stations_has_no_strings():
    wanted = field_readings(long_points(2))
    assert not [w for w in wanted if w.kind is Kind.STRING_SIDE]
    assert len(set(wanted)) == len(wanted)


def test_sharper_repeats_what_helps_until_it_is_enough():
    network = network_of(BOOK)
    slopes = slope(F2_x=1.0, F1_x=-1.0)[None]
    now = sharper(network, slopes, np.array([1.0]), usual(network))
    assert now.enough and now.wanted == ()
    need = 0.8 * now.sd[0]
    better = sharper(network, slopes, need, [w for w in usual(network) for _ in range(6)])
    assert better.enough and better.wanted
    assert (np.diff(better.sd[:, 0]) <= 1e-12).all()
    assert better.wanted[0].kind in (Kind.TAPE, Kind.PLUMB, Kind.DIAGONAL)
    # the promise is what the network then has
    rows = [reading(5000 + i, w.kind, w.start, w.end, w.at, setup=w.setup, axis=w.axis)
            for i, w in enumerate(better.wanted)]  # fmt: skip
    after = sharper(network_of(replace(BOOK, readings=BOOK.readings + tuple(rows))), slopes,
                    need, [])  # fmt: skip
    np.testing.assert_allclose(after.sd[0], better.sd[-1], rtol=1e-6)


def test_sharper_ties_a_new_set_up_first():
    network = network_of(BOOK)
    slopes = slope(F2_z=1.0, F3_z=-1.0)[None]
    rods = [w for w in usual(network) if w.kind is Kind.ROD]
    now = sharper(network, slopes, np.array([1.0]), [])
    better = sharper(network, slopes, 0.9 * now.sd[0], rods)
    assert better.enough
    assert {w.setup for w in better.wanted} == {"C"} and len(better.wanted) >= 2
    assert {"F2", "F3"} & {w.start for w in better.wanted}


def test_plumb_of_one_direction():
    book = less(
        lambda r: (
            (r.kind is Kind.PLUMB and r.start == "F2")
            or (r.kind is not Kind.ROD and "F2 base" in r.start + r.end + r.at)
        )
    )
    slopes = np.array([slope(F2_x=1, F2_base_x=-1), slope(F2_y=1, F2_base_y=-1)])
    found = missing(network_of(book), slopes, usual(network_of(book)))
    assert [(w.kind, w.start, w.axis) for w in found.wanted] == [
        (Kind.PLUMB, "F2", Axis.ALONG), (Kind.PLUMB, "F2", Axis.ACROSS)]  # fmt: skip
    assert found.proven
