"""The search for blunders: which suspects stand, what stands in for them, and its limits."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest

from plumbrail.errors import SurveyError
from plumbrail.truing import snoop as module
from plumbrail.truing.network import Network
from plumbrail.truing.snoop import Sorted, alternatives, least_cost, snoop, sort_out


def mean_of(*readings, sd=1.0, **more):
    """Readings of one unknown."""
    A = np.ones((len(readings), 1))
    read = np.array(readings, dtype=float)
    return snoop(lambda x: (A @ x, A), read, np.full(len(read), sd), np.zeros(1), **more)


def standing_in(w, rho, aside=(0,), suspect=0, limit=3.29, q=1.0):
    """Alternatives to a suspect, given test values and their correlations with its own."""
    asked = []

    def against(others, one):
        asked.append((list(others), one))
        cofactor = q * np.ones(len(w))
        return np.array(w) * np.sqrt(cofactor), cofactor, np.array(rho)

    shifts = SimpleNamespace(against=against)
    found = alternatives(shifts, aside, suspect, limit)
    assert asked == [([i for i in aside if i != suspect], suspect)]
    return found


def test_alternatives_by_hand():
    """Set aside instead: w of the suspect is then |4 - rho w| / sqrt(1 - rho²), at most 3.29; v'Pv
    is 16 - w² more, at most 6."""
    assert standing_in([4, 3.2, 3.1], [1, 0.5, 0.5]) == (0, 1)  # 2.77; 5.76 and 6.39
    assert standing_in([4, 3.2, -3.2, 3.2], [1, 0.9, -0.9, -0.9]) == (0, 1, 2)  # 2.57, 2.57, 15.8
    assert standing_in([4, 3.2, 3.2], [1, 0.25, 0.26]) == (0, 2)  # 3.305 and 3.281
    assert standing_in([-4, -3.2, 3.2], [1, 0.5, 0.5]) == (0, 1)
    assert standing_in([4, 3.2, 3.1], [1, 0.5, 0.5], q=0.25) == (0, 1)


def test_alternatives_at_their_limits():
    """Test value and odds just met count; correlation has to be more than 0.99, of either sign."""
    assert standing_in([2.5, 0.5], [1, 0.0], limit=2.5) == (0, 1)  # 6.25 - 0.25 is 6
    assert standing_in([2.5, 0.5], [1, 0.0], limit=2.4999) == (0,)
    assert standing_in([2.5, 0.4999], [1, 0.0], limit=2.5) == (0,)
    far = [20, 1, 1, 1, 1]
    assert standing_in(far, [1, 0.9901, -0.9901, 0.99, 1.0]) == (0, 1, 2, 4)


def test_alternatives_are_checked_readings_that_are_not_aside_themselves():
    """The likeliest first, then in their order."""
    w, rho = [3.3, 4, 3.4, 3.3, 3.9], [1, 1, 1, 1, 1]
    assert standing_in(w, rho, aside=(1,), suspect=1) == (1, 4, 2, 0, 3)
    assert standing_in(w, rho, aside=(1, 2), suspect=1) == (1, 4, 0, 3)
    assert standing_in(w, rho, aside=(2, 1), suspect=1) == (1, 4, 0, 3)
    # redundancy of 1e-4 and less does not check a reading
    assert standing_in(w, rho, aside=(1,), suspect=1, q=1e-4) == (1,)
    assert standing_in(w, rho, aside=(1,), suspect=1, q=1.1e-4) == (1, 4, 2, 0, 3)


def sorted_with(cost, rest=0.0, more=False):
    """Six readings of two unknowns with one aside: four too many; v'Pv of those kept."""
    kept = np.arange(6) < 5
    y = np.array([np.sqrt(rest), 0, 0, 0, 0, 99.0])
    settled = SimpleNamespace(spectrum=SimpleNamespace(rank=1), linear=SimpleNamespace(y=y))
    return Sorted((5,), kept, settled, SimpleNamespace(), cost, more)


def test_a_result_is_sound_when_the_rest_agrees():
    """Chi-square of 4 at 95 %: 9.488, tables of every handbook; and nothing is left over."""
    assert sorted_with(0.0, 9.48).sound and not sorted_with(0.0, 9.49).sound
    assert not sorted_with(0.0, 1.0, more=True).sound


def best_of(monkeypatch, *results):
    """Results of the searches from each calm place, in turn; and how many were asked."""
    left = list(results)

    def one(*_):
        found = left.pop(0)
        if isinstance(found, SurveyError):
            raise found
        return found

    monkeypatch.setattr(module, "calm", lambda _: range(len(results)))
    monkeypatch.setattr(module, "sort_out", one)
    return least_cost(SimpleNamespace(), 3.29, 1, 30), len(results) - len(left)


def test_the_search_with_the_least_cost_counts(monkeypatch):
    """The first sound one ends it; of the others the cheapest counts, the first of equals."""
    sound, bad = sorted_with(8.0), [sorted_with(c, 20.0) for c in (9.0, 7.0, 7.0)]
    assert best_of(monkeypatch, sound, bad[1]) == (sound, 1)
    assert best_of(monkeypatch, bad[0], bad[1]) == (bad[1], 2)
    assert best_of(monkeypatch, bad[1], bad[0]) == (bad[1], 2)
    assert best_of(monkeypatch, bad[1], bad[2])[0] is bad[1]
    # a sound one that costs more does not end the search for a cheaper one
    assert best_of(monkeypatch, bad[1], sound) == (bad[1], 2)


def test_a_search_that_does_not_settle_leaves_the_others(monkeypatch):
    """Only when none settles, the last trouble is told."""
    sound = sorted_with(8.0)
    assert best_of(monkeypatch, SurveyError("first"), sound) == (sound, 2)
    bad = sorted_with(9.0, 20.0)
    assert best_of(monkeypatch, bad, SurveyError("second")) == (bad, 2)
    with pytest.raises(SurveyError, match="second"):
        best_of(monkeypatch, SurveyError("first"), SurveyError("second"))


def test_a_suspect_is_off_by_what_the_others_say():
    """One of 9, or of -9, among four about 0: observed less the mean of the rest."""
    for by in (9.0, -9.0):
        s = mean_of(0.5, -0.5, by, 0, 0)
        assert s.suspect.tolist() == [False, False, True, False, False]
        np.testing.assert_allclose(s.size, [0, 0, by, 0, 0], atol=1e-12)
        assert s.adjusted.x == pytest.approx([0.0]) and s.adjusted.freedom == 3
        assert s.groups == ((2,),) and not s.more


def test_how_far_off_a_reading_has_to_be():
    """Of five equal readings, one that is off by d has w = d sqrt(4/5); 3.2905 at 0.1 %."""
    d = 3.2905 / np.sqrt(0.8)
    assert mean_of(0, 0, 0, 0, 1.001 * d).suspect.sum() == 1
    assert mean_of(0, 0, 0, 0, 0.999 * d).suspect.sum() == 0
    # 1.96 at 5 %, tables of the normal distribution
    d = 1.96 / np.sqrt(0.8)
    assert mean_of(0, 0, 0, 0, 1.001 * d, alpha=0.05).suspect.sum() == 1
    assert mean_of(0, 0, 0, 0, 0.999 * d, alpha=0.05).suspect.sum() == 0


def test_how_many_may_be_set_aside():
    """A fifth, rounded down, and at least one; more are then said."""
    assert mean_of(0, 0, 0, 0, 0, 0, 0, 0, 20, -30).suspect.sum() == 2
    nine = mean_of(0, 0, 0, 0, 0, 0, 0, 20, -30)
    assert nine.suspect.sum() == 1 and nine.more
    three = mean_of(0, 0, 50)
    assert three.suspect.tolist() == [False, False, True] and not three.more
    assert mean_of(0, 0, 50, most_share=0.0).suspect.sum() == 1


def test_two_that_say_different_things_cannot_be_told_apart():
    """One of them is set aside, the other stands in for it."""
    s = mean_of(0, 50)
    assert sorted(s.groups[0]) == [0, 1] and len(s.groups) == 1
    assert abs(s.size[s.groups[0][0]]) == pytest.approx(50)


def test_a_datum_and_rounds_are_those_of_the_adjustment():
    """Two level lines between three points: the sum, or the one point chosen, keeps its height."""
    A = np.array([[-1.0, 1, 0], [0, -1, 1]])
    given = lambda x: (A @ x, A), np.array([1.0, 2.0]), np.ones(2), np.array([10.0, 10, 10])
    assert snoop(*given).adjusted.x.sum() == pytest.approx(30.0)
    held = snoop(*given, datum=np.array([0.0, 0.0, 1.0])).adjusted.x
    np.testing.assert_allclose(held, [7.0, 8.0, 10.0], atol=1e-12)

    def curved(x):
        return np.exp(x) * np.ones(3), np.exp(x) * np.ones((3, 1))

    with pytest.raises(SurveyError, match="did not settle in 1 rounds"):
        snoop(curved, np.full(3, 9.0), np.ones(3), np.zeros(1), most=1)
    assert snoop(curved, np.full(3, 9.0), np.ones(3), np.zeros(1)).adjusted.x == pytest.approx(
        np.log(9.0)
    )


def sorted_out(*readings, limit=3.0, most_aside=2, most=30):
    A = np.ones((len(readings), 1))
    read = np.array(readings, dtype=float)
    network = Network.of(lambda x: (A @ x, A), read, np.ones(len(read)), np.zeros(1), None)
    return sort_out(network, np.zeros(1), limit, most_aside, most)


def test_cost_and_what_is_left_by_hand():
    """v'Pv of the rest and 9 for each suspect; in a mean of n, w² of one that is off by d is
    d² (n - 1)/n."""
    one = sorted_out(0.5, -0.5, 9, 0, 0)
    assert (one.aside, one.more, one.cost) == ((2,), False, pytest.approx(0.5 + 9))
    two = sorted_out(0.5, -0.5, 30, 0, 40)
    assert (two.aside, two.cost) == ((2, 4), pytest.approx(0.5 + 2 * 9))
    none = sorted_out(1, -1, 0)
    assert (none.aside, none.cost, none.more) == ((), pytest.approx(2.0), False)
    for square, more in ((9.01, True), (8.99, False)):
        d = np.sqrt(square * 7 / 6)
        found = sorted_out(0, 0, 0, 0, 0, 0, d, 1000, most_aside=1)
        assert (found.aside, found.more) == ((7,), more)


def in_rounds(monkeypatch, asides, rests):
    """Suspects found round by round, and v'Pv that settling without them leaves; None: does not
    settle. Returns what came of it and the number of times it was settled."""
    left, found, starts = list(rests), list(asides), ["place"]

    def settle(_network, kept, here, _most, _sp):
        assert here is starts[-1]
        assert np.flatnonzero(~kept).tolist() == list(asides[len(rests) - len(left)])
        rest = left.pop(0)
        if rest is None:
            raise SurveyError(f"round {len(rests) - len(left)}")
        linear = SimpleNamespace(y=np.array([np.sqrt(rest), 0.0, 0.0, 0.0]))
        starts.append(linear)
        return SimpleNamespace(linear=linear, spectrum="own")

    shifts = SimpleNamespace(outliers=lambda _: (), squares=lambda _: np.zeros(4))
    monkeypatch.setattr(module, "settle", settle)
    monkeypatch.setattr(module, "Shifts", SimpleNamespace(at=lambda *_: shifts))
    monkeypatch.setattr(module, "search", lambda *_: found.pop(0))
    network = SimpleNamespace(sd=np.ones(4), at=lambda place: place, spectrum=lambda *_: "all")
    return sort_out(network, "place", 2.0, 3, 30), len(rests) - len(left)


def test_the_cheapest_round_counts(monkeypatch):
    """4 for each suspect, at a limit of 2: costs 8, 4, 9; the same suspects again end it."""
    asides = [(1,), (), (1, 2), (1, 2)]
    best, settled = in_rounds(monkeypatch, asides, [4.0, 4.0, 1.0])
    assert (best.aside, best.cost, settled) == ((), 4.0, 3)
    assert best.kept.all()
    # of equals the first
    best, settled = in_rounds(monkeypatch, [(1,), (2,), (2,)], [1.0, 1.0])
    assert (best.aside, best.kept.tolist(), settled) == ((1,), [True, False, True, True], 2)


def test_rounds_end(monkeypatch):
    """After six, and where one does not settle; the first has to."""
    going = [(k % 3 + 1,) for k in range(9)]
    best, settled = in_rounds(monkeypatch, going, [9.0, 8.0, 7.0, 6.0, 5.0, 4.0, 3.0])
    assert (settled, best.cost) == (6, pytest.approx(8.0))
    best, settled = in_rounds(monkeypatch, going, [3.0, None, 1.0])
    assert (settled, best.cost) == (2, pytest.approx(7.0))
    with pytest.raises(SurveyError, match="round 1"):
        in_rounds(monkeypatch, going, [None, 1.0])
