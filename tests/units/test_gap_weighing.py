"""How faults are weighed against readings: likelihoods by scipy, the rest by hand."""

from __future__ import annotations

from itertools import combinations
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from scipy.stats import multivariate_normal

from plumbrail.notebook.proof_entries import Probe
from plumbrail.proving import faults as f
from plumbrail.proving.parts import TestedString
from plumbrail.proving.weighing import (
    Field,
    Shift,
    State,
    _settled,
    best,
    field_of,
    pairs,
    rivals,
    separation,
)  # fmt: skip

V, I, VW, IW = Probe.OPEN, Probe.SHORT, Probe.WORKING_VOLTAGE, Probe.WORKING_CURRENT  # noqa: E741
OWN, DELIVERY = 0.004, 0.003
SLOPE = 0.06
"""Share by which the open voltage of the module below falls per ln of the light, at 1000 W/m2."""


def opened(light: Any, warmth: Any) -> Any:
    """Falls faster in cells over 25 degC and never the same at two lights."""
    return 40.0 * (1.0 + SLOPE * (warmth / 298.15) ** 4 * np.log(light / 1000.0))


MODULE: Any = SimpleNamespace(strips=3, open=opened)


def row(
    place: str, kind: Probe, ratio: float, light: float | None = 1000.0,
    warmth: float | None = 298.15, own: float = OWN,
) -> Any:  # fmt: skip
    """One reading; the light sensor shows in currents, the thermometer in all."""
    amps = kind in (I, IW)
    proof = SimpleNamespace(place=place, kind=kind, light=light, warmth=warmth)
    common = np.array([-1.0 if amps else -SLOPE, -0.0005 if amps else 0.003])
    return SimpleNamespace(proof=proof, ratio=ratio, own=own, modules=DELIVERY, common=common)


def field(rows: list[Any], **counts: int) -> Field:
    strings = tuple(
        TestedString(name, tuple(str(i) for i in range(n)), "C1", 1) for name, n in counts.items()
    )
    spread = np.array([0.03, 1.7])
    made: Any = SimpleNamespace(rows=tuple(rows), names=("light", "warmth"), spread=spread)
    return field_of(MODULE, strings, made)


TWO = [row("S1", V, -0.11), row("S1", I, 0.01), row("S2", V, 0.004), row("S2", I, 0.015)]


def cov(rows: list[Any], light: float = 0.03, warmth: float = 1.7) -> Any:
    """Written out entry by entry."""
    found = np.zeros((len(rows), len(rows)))
    for i, a in enumerate(rows):
        for j, b in enumerate(rows):
            found[i, j] = (
                a.common[0] * b.common[0] * light**2 + a.common[1] * b.common[1] * warmth**2
            )
        found[i, i] += a.own**2 + a.modules**2
    return found


def likely(ratio: Any, mean: Any, C: Any) -> float:
    """Log of the density but for the constant of the number of readings."""
    flat = 0.5 * len(ratio) * np.log(2 * np.pi)
    return float(multivariate_normal.logpdf(ratio, mean, C)) + float(flat)


def of(found: Field, k: int, name: str) -> Shift:
    return next(s for s in found.shifts[k] if s.name == name)


RATIO = np.array([x.ratio for x in TWO])
SOUND = np.log(1 - sum(f.WEIGHTS.values()))
NONE = np.log(1 - 0.02 - 0.01)


def test_a_score_is_weight_times_likelihood() -> None:
    """Two sound strings; then one module of ten missing from the first."""
    found = field(TWO, S1=10, S2=12)
    assert found.score("", ()) == pytest.approx(
        likely(RATIO, np.zeros(4), cov(TWO)) + 2 * SOUND + NONE
    )
    hand = likely(RATIO, [-0.1, 0, 0, 0], cov(TWO)) + SOUND + np.log(0.010) + NONE
    assert found.score("", (of(found, 0, "missing"),)) == pytest.approx(hand)


@pytest.mark.parametrize(
    ("name", "weight", "light", "warmth"),
    [("sensor", 0.02, 0.3, 1.7), ("thermometer", 0.01, 0.03, 20.0)],
)
def test_what_is_wrong_everywhere_may_be_far_off(
    name: str, weight: float, light: float, warmth: float
) -> None:
    """A sensor off by 30 %, or a thermometer by 20 K, moves all readings together."""
    found = field(TWO, S1=10, S2=12)
    hand = likely(RATIO, np.zeros(4), cov(TWO, light, warmth)) + 2 * SOUND + np.log(weight)
    assert found.score(name, ()) == pytest.approx(hand)
    assert set(found.wide) == {"", "sensor", "thermometer"}


def test_a_reversed_string_reads_minus_what_it_should() -> None:
    """Measured -1.01 of the expected: an error of +0.01, not of -0.01; its current stays."""
    rows = [row("S1", V, -2.01), row("S1", I, 0.02), row("S1", VW, -2.03), row("S2", V, 0.01)]
    found = field(rows, S1=10, S2=12)
    turned = of(found, 0, "polarity")
    assert turned.turned == (0, 2)
    hand = likely(np.array([0.01, 0.02, 0.03, 0.01]), np.zeros(4), cov(rows))
    assert found.score("", (turned,)) == pytest.approx(hand + SOUND + np.log(0.006) + NONE)
    assert not any(s.turned for s in found.shifts[0] if s.name != "polarity")


def test_an_open_string_shares_no_error_with_the_others() -> None:
    """It reads nothing, give or take 3 %, whatever light and warmth are."""
    rows = [row("S1", V, -0.98), row("S1", I, -1.0), row("S2", V, 0.01), row("S2", I, -0.02)]
    found = field(rows, S1=10, S2=12)
    shift = of(found, 0, "open")
    assert (shift.dead, shift.free) == ((0, 1), ())
    C = cov(rows)
    C[:2, :] = C[:, :2] = 0.0
    C[0, 0] = C[1, 1] = 0.03**2
    hand = likely(np.array([0.02, 0.0, 0.01, -0.02]), np.zeros(4), C)
    assert found.score("", (shift,)) == pytest.approx(hand + SOUND + np.log(0.006) + NONE)
    assert found.wide[""] == pytest.approx(cov(rows)), "the covariance of all is left as it was"


def test_something_else_may_read_anything() -> None:
    """Each reading of that string has 0.3 more of standard deviation, on its own."""
    found = field(TWO, S1=10, S2=12)
    shift = of(found, 1, "other")
    assert (shift.free, shift.dead, shift.move.any()) == ((2, 3), (), False)
    C = cov(TWO) + np.diag([0, 0, 0.09, 0.09])
    hand = likely(RATIO, np.zeros(4), C) + SOUND + np.log(0.003) + NONE
    assert found.score("", (shift,)) == pytest.approx(hand)


def test_a_fault_that_nothing_measured_shows_is_left_out() -> None:
    """A bad joint shows in the working voltage only, which was not read."""
    found = field(TWO, S1=10, S2=12)
    names = {s.name for s in found.shifts[0]}
    assert "joint" not in names and {"missing", "other", "open", "bypass"} <= names
    assert "partly shaded" in names, "what comes behind it in the list is not lost"
    worked = field([row("S1", VW, 0.0)], S1=10)
    assert "joint" in {s.name for s in worked.shifts[0]}
    assert of(found, 0, "bypass").move == pytest.approx([-1 / 30, 0, 0, 0])
    assert (of(found, 0, "missing").size, of(found, 0, "missing").strings) == (1, (0,))


@pytest.mark.parametrize(
    ("light", "warmth", "fall"),
    [  # -d ln V / d ln G by hand: SLOPE (T/298.15)^4, over 1 + SLOPE (T/298.15)^4 ln(G/1000)
        ([500.0, 900.0], [298.15, 320.0], SLOPE / (1 + SLOPE * np.log(0.5))),
        ([None, 500.0], [298.15, 320.0], SLOPE / (1 + SLOPE * np.log(0.5))),
        ([None, None], [None, None], SLOPE / (1 + SLOPE * np.log(0.8))),
        ([1000.0, 1000.0], [None, 340.0], SLOPE * (340 / 298.15) ** 4),
    ],
)
def test_shade_takes_voltage_as_the_light_at_hand_says(
    light: list[float | None], warmth: list[float | None], fall: float
) -> None:
    """The first light and warmth written for the string; else 800 W/m2 and 25 degC."""
    rows = [row("S1", V, 0.0, light[0], warmth[0]), row("S1", I, 0.0, light[1], warmth[1])]
    shade = of(field(rows, S1=10), 0, "shaded")
    assert shade.size is not None
    assert shade.move[1] == pytest.approx(-shade.size)
    assert shade.move[0] / np.log(1 - shade.size) == pytest.approx(fall, rel=0.01)


def by_name(found: tuple[Shift, ...], name: str) -> list[Shift]:
    return [s for s in found if s.name == name]


def test_what_two_strings_do_to_each_other() -> None:
    """Strings of 10 and 12: exchanged, crossed, and a module of one in the other, both ways."""
    rows = [row("S1", V, 0.2), row("S1", IW, 0.0), row("S2", VW, -0.2), row("S2", I, 0.0)]
    found = pairs(field(rows, S1=10, S2=12), "")
    (swapped,), (crossed,) = by_name(found, "swapped"), by_name(found, "crossed")
    assert swapped.move == pytest.approx([12 / 10 - 1, 0, 10 / 12 - 1, 0])
    assert crossed.move == pytest.approx([-1, -1, -1, -1])
    assert (crossed.dead, swapped.dead) == ((0, 1, 2, 3), ())
    one, other = by_name(found, "wrong string")
    assert one.move == pytest.approx([-1 / 10, 0, 1 / 12, 0])
    assert other.move == pytest.approx([1 / 10, 0, -1 / 12, 0])
    assert {s.strings for s in found} == {(0, 1)}
    weights = [np.exp(s.log_weight) for s in (swapped, crossed, one, other)]
    assert weights == pytest.approx([0.004, 0.004, 0.0015, 0.0015])


def test_strings_of_one_length_are_not_seen_to_be_exchanged() -> None:
    """And what is in nobody's reading is no pair at all."""
    rows = [row("S1", V, 0.2), row("S2", V, -0.2)]
    assert not by_name(pairs(field(rows, S1=10, S2=10), ""), "swapped")
    amps = [row("S1", I, 0.2), row("S2", I, -0.2)]
    assert {s.name for s in pairs(field(amps, S1=10, S2=12), "")} == {"crossed"}


def test_pairs_are_tried_among_the_eight_that_stand_out_most() -> None:
    """Against their own uncertainty: an uncertain reading far off stands out less."""
    off = [0.5, -0.09, 0.08, 0.07, -0.06, 0.05, 0.04, 0.03, 0.02, 0.01]
    rows = [row(f"S{k}", V, x, own=0.5 if k == 0 else OWN) for k, x in enumerate(off)]
    rows.append(row("S9", V, -0.2))
    found = pairs(field(rows, **{f"S{k}": 10 for k in range(10)}), "")
    # S0 is 1 of its sigma off, S8 about 2 with its share of the common errors: both are left out
    # where eight others stand out more; S9 comes in by its second reading
    assert {s.strings for s in found} == set(combinations((1, 2, 3, 4, 5, 6, 7, 9), 2))


def test_strings_without_a_reading_are_not_weighed() -> None:
    found = field(TWO, S0=10, S1=10, S3=10, S2=12)
    assert [s.id for s in found.strings] == ["S1", "S2"]
    assert found.rows == ((0, 1), (2, 3))


def test_the_best_explanation_is_found_and_no_more_than_it_takes() -> None:
    """Two missing modules in two strings of ten among sound ones."""
    off = [-0.1, 0.001, -0.1, 0.0, 0.002]
    rows = [row(f"S{k}", p, x if p is V else 0.0) for k, x in enumerate(off) for p in (V, I)]
    found = best(field(rows, **{f"S{k}": 10 for k in range(5)}))
    assert found.everywhere == ""
    assert sorted((s.name, s.strings) for s in found.shifts) == [
        ("missing", (0,)), ("missing", (2,)),
    ]  # fmt: skip
    sound = field([row(f"S{k}", V, 0.0) for k in range(3)], S0=10, S1=10, S2=10)
    assert best(sound) == State("", (), sound.score("", ()))


def named(state: State) -> list[tuple[str, tuple[int, ...]]]:
    return [(s.name, s.strings) for s in state.shifts]


def test_explanations_settle_in_their_places() -> None:
    """Wrong ones are exchanged, the superfluous one goes, the right one stays, each in its turn."""
    off = [-0.1, 0.0, 0.1, -0.1, -0.1]
    rows = [row(f"S{k}", p, x if p is V else 0.0) for k, x in enumerate(off) for p in (V, I)]
    made = field(rows, **{f"S{k}": 10 for k in range(5)})
    both = pairs(made, "")
    wrong, right = sorted(
        (s for s in both if s.strings == (2, 3) and s.name == "wrong string"),
        key=lambda s: float(s.move[4]),
    )
    begun = (of(made, 1, "bypass"), of(made, 0, "bypass"), wrong, of(made, 4, "missing"))
    found = _settled(made, made.state("", begun), both)
    assert named(found) == [("missing", (0,)), ("wrong string", (2, 3)), ("missing", (4,))]
    assert found.shifts[1] is right
    assert found.score == made.score("", found.shifts)


def test_a_pair_is_exchanged_for_one_of_the_same_two_strings_only() -> None:
    """S0 two modules low, S1 one high: with one missing in S0, a module of S0 in S1 would fit all;
    but S0 is explained already."""
    rows = [row(f"S{k}", V, x) for k, x in enumerate([-0.2, 0.1, 0.0])]
    made = field(rows, S0=10, S1=10, S2=10)
    both = pairs(made, "")
    begun = (of(made, 0, "missing"), next(s for s in both if s.strings == (1, 2)))
    found = _settled(made, made.state("", begun), both)
    assert {s.strings for s in found.shifts} <= {(0,), (1, 2)}


def test_a_pair_is_found_beside_a_string_that_is_explained() -> None:
    """A reversed string stands out most; a module of S1 is in S2 besides."""
    off = [-2.0, -0.1, 0.1, 0.0]
    rows = [row(f"S{k}", p, x if p is V else 0.0) for k, x in enumerate(off) for p in (V, I)]
    found = best(field(rows, S0=10, S1=10, S2=10, S3=10))
    assert named(found) == [("polarity", (0,)), ("wrong string", (1, 2))]


def test_a_string_takes_one_explanation_only() -> None:
    """Crossed strings read nothing: not each of them open besides."""
    rows = [row(s, p, x) for s, x in (("S1", -1.0), ("S2", -1.0), ("S3", 0.0)) for p in (V, I)]
    found = best(field(rows, S1=10, S2=10, S3=10))
    assert [(s.name, s.strings) for s in found.shifts] == [("crossed", (0, 1))]


@pytest.mark.parametrize(
    ("low", "high", "amps", "first", "second"),
    [
        (-0.121, 0.0, -0.3, "missing", "shaded"),
        (-0.3, 0.1, 0.0, "module reversed", "wrong string"),
    ],
)
def test_no_string_is_explained_twice(
    low: float, high: float, amps: float, first: str, second: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two explanations on top of one another would fit better; they are not thought of, also
    where "something else" is no way out."""
    monkeypatch.setitem(f.WEIGHTS, "other", 1e-300)
    rows = [row("S0", V, low), row("S0", I, amps), row("S1", V, high), row("S1", I, 0.0)]
    made = field([*rows, row("S2", V, 0.0), row("S2", I, 0.0)], S0=10, S1=10, S2=10)
    found = best(made)
    told = [k for s in found.shifts for k in s.strings]
    assert 0 in told and len(told) == len(set(told))
    more = [s for s in (*made.shifts[0], *pairs(made, "")) if s.name == second]
    both = max(made.score("", (of(made, 0, first), s)) for s in more if 0 in s.strings)
    assert both > found.score


def test_a_sensor_that_is_off_moves_all_currents() -> None:
    """All currents a fifth low: the sensor, and no string is blamed."""
    rows = [row(f"S{k}", p, -0.2 if p is I else 0.0) for k in range(4) for p in (V, I)]
    found = best(field(rows, S0=10, S1=10, S2=10, S3=10))
    assert (found.everywhere, found.shifts) == ("sensor", ())


def test_rivals_are_every_other_explanation_of_the_same_strings() -> None:
    """One string: nothing, each of its faults, pairs with others; the rest of the top is kept."""
    rows = [row(f"S{k}", p, x if p is V else 0.0)
            for k, x in enumerate([-0.1, 0.0, -0.1, 0.0]) for p in (V, I)]  # fmt: skip
    found = field(rows, S0=10, S1=10, S2=10, S3=10)
    top = best(found)
    kept = next(s for s in top.shifts if s.strings == (2,))
    other = rivals(found, top, (0,))
    assert all(kept in s.shifts for s in other)
    assert sum(s.shifts == (kept,) for s in other) == 3, "nothing, a sensor, a thermometer"
    assert {s.everywhere for s in other if len(s.shifts) == 2} == {""}
    own = {s.shifts[1] is x for s in other if len(s.shifts) == 2 for x in found.shifts[0]}
    assert True in own
    alone = [s for s in other if len(s.shifts) == 2 and s.shifts[1].strings == (0,)]
    both = [s for s in other if len(s.shifts) == 2 and len(s.shifts[1].strings) == 2]
    assert len(alone) == len(found.shifts[0])
    assert {s.shifts[1].strings for s in both} == {(0, 1), (0, 3)}, "S2 is explained already"
    assert all(s.score == found.score(s.everywhere, s.shifts) for s in other)


def test_rivals_of_a_pair_have_each_string_by_itself_too() -> None:
    """The likeliest fault of each, both together."""
    rows = [row(s, p, x if p is V else 0.0)
            for s, x in (("S1", -0.1), ("S2", 0.1)) for p in (V, I)]  # fmt: skip
    found = field(rows, S1=10, S2=10)
    top = best(found)
    assert [s.name for s in top.shifts] == ["wrong string"]
    last = rivals(found, top, (0, 1))[-1]
    assert [(s.name, s.strings) for s in last.shifts] == [("missing", (0,)), ("extra", (1,))]


def test_how_far_one_missing_module_stands_out() -> None:
    """One voltage: a tenth of it over its standard deviation; no voltage, nothing to see."""
    one = [row("S1", V, 0.0)]
    spread = (0.004**2 + 0.003**2 + (0.06 * 0.03) ** 2 + (0.003 * 1.7) ** 2) ** 0.5
    assert separation(field(one, S1=10), 0) == pytest.approx(0.1 / spread)
    assert separation(field([row("S1", I, 0.0)], S1=10), 0) == 0.0
