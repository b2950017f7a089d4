"""The fewest, then smallest moves that bring everything inside tolerance."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from plumbrail.truing.freedom import AXES, Freedom
from plumbrail.truing.margins import (
    MEASURED,
    PAPER,
    Rung,
    judged,
    rungs,
    too_coarse,
    wanting,
)
from plumbrail.truing.milp import QUICK, ROUGH, Effort
from plumbrail.truing.order import ordered
from plumbrail.truing.parts import Built, Mending, Move, Outcome, Verdict
from plumbrail.truing.planning import Draft, Rows, draft, possible
from plumbrail.truing.roomier import roomier
from plumbrail.truing.shares import shared_out
from plumbrail.truing.steps import STEP, Limits, in_steps
from plumbrail.truing.stuck import stuck_rows
from plumbrail.truing.words import move_words

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

HARDER = 1.001
"""A foot alone is worse to move than a top or a whole post (common practice, no published source);
little enough to decide among equals only."""


@dataclass(frozen=True)
class Answer:
    """Amounts in steps and what they are worth."""

    outcome: Outcome
    steps: Array
    aim: str
    draft: Draft
    stuck: tuple[int, ...] = ()


def mend(
    built: Built, freedom: Freedom, units: str, confidence: float,
    effort: Effort = QUICK, often: Mask | None = None,
) -> Mending:  # fmt: skip
    """Moves for what is outside, by the ladder of ``margins``; ``units`` is ``us`` or ``metric``.

    No value outside and none unsure: no moves needed. Nothing that calls for a move but something
    unsure, which the same readings once more could settle: readings too coarse, without moves.
    ``often``: values that were read often enough; where unsure they are moved instead.
    ``effort``: ``QUICK``, or ``THOROUGH`` for fewer moves and more proofs on long rows, in seconds.
    """
    if not wanting(built, often).any():
        unsure = bool((built.has(Verdict.UNSURE) | too_coarse(built)).any())
        return _at_rest(built, unsure, confidence)
    search = _Search(built, freedom, STEP[units], effort)
    answer = search.allowed() or search.impossible()
    moves = _moves(freedom, answer.steps, STEP[units], units)
    d = answer.draft
    return Mending(
        answer.outcome, moves, search.after(answer.steps), answer.stuck,
        (), d.bound >= d.count,
        (d.count - d.bound) / d.count if d.count else 0.0, confidence, answer.aim,
        d.smallest and d.bound >= d.count,
    )  # fmt: skip


def _at_rest(built: Built, unsure: bool, confidence: float) -> Mending:
    outcome = Outcome.COARSE if unsure else Outcome.NONE_NEEDED
    aim = PAPER if unsure else MEASURED
    return Mending(outcome, (), built.value.copy(), (), (), True, 0.0, confidence, aim,
                   sizes_proven=True)  # fmt: skip


@dataclass(frozen=True)
class _Search:
    built: Built
    freedom: Freedom
    step: float
    effort: Effort

    def after(self, steps: Array) -> Array:
        """What each value becomes."""
        moved = self.freedom.effect.T @ (steps * self.step)
        return np.asarray(self.built.value + self.built.slope @ moved)

    @cached_property
    def change(self) -> Array:
        """(values, actions) change per step, without what arithmetic leaves of zero."""
        A = self.built.slope @ self.freedom.effect.T * self.step
        tiny = 1e-9 * np.abs(A).max(axis=1, keepdims=True, initial=0.0)
        return np.where(np.abs(A) > tiny, A, 0.0)

    def limits(self, rung: Rung, use: Mask) -> Limits:
        """Rows of the judged values and of the shared room, in steps, each in its own measure.

        A value that nothing in use can change, and that is inside as it is, asks for nothing.
        """
        b, f = self.built, self.freedom
        A = self.change * use
        room = np.minimum(b.value - b.low, b.high - b.value)
        rows = judged(b) & ((np.abs(A) > 0.0).any(axis=1) | (room < 0.0))
        size = np.abs(A[rows]).max(axis=1, initial=0.0)
        size = np.where(size > 0.0, size, 1.0)

        def span(margin: Array) -> tuple[Array, Array]:
            low, high = b.low + margin - b.value, b.high - margin - b.value
            # At rest, a value that reads inside keeps what it has, to the last digit.
            held = b.has(Verdict.INSIDE)
            low, high = np.where(held, np.minimum(low, 0.0), low), np.where(
                held, np.maximum(high, 0.0), high
            )  # fmt: skip
            least = np.concatenate([low[rows] / size, f.shared_least / self.step])
            return least, np.concatenate([high[rows] / size, f.shared_most / self.step])

        return Limits(
            np.vstack([A[rows] / size[:, None], f.shared * use]),
            *span(rung.planned), *span(rung.kept),
            np.where(use, f.least, 0.0) / self.step, np.where(use, f.most, 0.0) / self.step,
        )  # fmt: skip

    def rows(self, limits: Limits) -> Rows:
        """The limits that should be kept, for the search."""
        axis = np.array([AXES.index(a) for a in self.freedom.axis])
        base = np.array([p.endswith(" base") for p in self.freedom.place])
        ease = np.where(base, HARDER, 1.0)
        return Rows(limits.A, limits.low, limits.high, limits.least, limits.most, axis, ease)

    def ladder(self, use: Mask, first: int = 0) -> Iterator[tuple[Rung, Limits]]:
        """Lines of the ladder whose limits leave something between them, most room first.

        Between the first and the second: each value as much of the first's room as it can have.
        """
        lines = self.rungs(use)
        for k, rung in enumerate(lines[first:], first):
            limits = self.limits(rung, use)
            if k == 1 and (eased := shared_out(self.limits(lines[0], use), limits)) is not None:
                yield rung, eased
            if (limits.low <= limits.high).all():
                yield rung, limits

    def rungs(self, use: Mask) -> tuple[Rung, ...]:
        """Lines of the ladder."""
        known = self.ladders
        if use.tobytes() not in known:
            known[use.tobytes()] = rungs(self.built, self.freedom, use, self.step)
        return known[use.tobytes()]

    @cached_property
    def ladders(self) -> dict[bytes, tuple[Rung, ...]]:
        """Ladders made so far, by the actions in use."""
        return {}

    def possible(self, limits: Limits, use: Mask) -> bool:
        """Whether any amounts keep a line; asked last, since a draft shows it by the way."""
        return possible(_only(self.rows(limits), use))

    def allowed(self) -> Answer | None:
        """Moves of what may be moved; None only when no amounts at all would do.

        Amounts that exist but were not found in whole steps are no reason to call it impossible:
        then too coarse, without moves and without proof.
        """
        use = ~self.freedom.fixed
        for rung, limits in self.ladder(use):
            found = self.paper(rung).solved(limits, use, use)
            if found is not None:
                steps, plan = found
                coarse = rung.aim == PAPER or bool(too_coarse(self.built).any())
                outcome = Outcome.COARSE if coarse else Outcome.MOVES
                return Answer(outcome, steps, PAPER if coarse else rung.aim, plan)
        if not any(self.possible(limits, use) for _, limits in self.ladder(use)):
            return None
        none = Draft(np.zeros(len(use)), 1, 0, False)
        return Answer(Outcome.COARSE, none.amount, PAPER, none)

    def draft(self, rows: Rows, use: Mask, counted: Mask) -> Draft | None:
        """Amounts of the actions in use that keep all rows."""
        plan = draft(_only(rows, use), counted[use], self.effort)
        if plan is None:
            return None
        amount = np.zeros(len(use))
        amount[use] = plan.amount
        return Draft(amount, plan.count, plan.bound, plan.smallest)

    def paper(self, rung: Rung) -> _Search:
        """The same search, but a rough one where moves can be promised on paper only."""
        rough = rung.aim == PAPER and self.effort == QUICK
        return replace(self, effort=ROUGH) if rough else self

    def solved(self, limits: Limits, use: Mask, counted: Mask) -> tuple[Array, Draft] | None:
        """Drafted, set with the most room, then in whole steps."""
        plan = self.draft(self.rows(limits), use, counted)
        if plan is None:
            return None
        wish = self.limits(self.rungs(use)[0], use)
        for amount in (roomier(limits, wish, plan.amount), plan.amount):
            steps = in_steps(limits, amount)
            if steps is not None:
                return steps, plan
        return None

    def impossible(self) -> Answer:
        """The smallest change of what was thought fixed, and the allowed moves that go with it."""
        fixed = self.freedom.fixed
        stuck = self.stuck(~fixed)
        every = np.ones_like(fixed)
        for rung, limits in self.ladder(every, first=2):
            plan = self.draft(self.rows(limits), every, fixed)
            if plan is None:
                continue
            amount = self.with_allowed(limits, plan.amount)
            steps = in_steps(limits, amount)
            if steps is not None:
                return Answer(Outcome.IMPOSSIBLE, steps, rung.aim, plan, stuck)
        return self.without_hopeless(stuck)

    def without_hopeless(self, stuck: tuple[int, ...]) -> Answer:
        """What nothing at all brings inside, a bent beam, is left; the rest is still mended."""
        every = np.ones_like(self.freedom.fixed)
        hopeless = np.zeros(len(self.built.ids), dtype=bool)
        hopeless[list(self.stuck(every))] = True
        none = Draft(np.zeros(len(every)), 0, 0, True)
        answer = Answer(Outcome.IMPOSSIBLE, none.amount, PAPER, none, stuck)
        if hopeless.any():
            low = np.where(hopeless, -np.inf, self.built.low)
            high = np.where(hopeless, np.inf, self.built.high)
            rest = _Search(replace(self.built, low=low, high=high), self.freedom, self.step,
                           self.effort)  # fmt: skip
            if not wanting(rest.built).any():
                return answer
            found = rest.allowed() or rest.impossible()
            stuck = tuple(sorted({*np.flatnonzero(hopeless).tolist(), *found.stuck}))
            return replace(found, outcome=Outcome.IMPOSSIBLE, stuck=stuck)
        return answer

    def with_allowed(self, limits: Limits, amount: Array) -> Array:
        """Fixed changes as found; the fewest allowed moves that go with them."""
        fixed = self.freedom.fixed
        if fixed.all():
            return amount
        gone = limits.A[:, fixed] @ amount[fixed]
        rows = self.rows(limits)
        rest = Rows(rows.A, rows.low - gone - 1e-6, rows.high - gone + 1e-6, rows.least, rows.most,
                    rows.axis, rows.ease)  # fmt: skip
        plan = self.draft(rest, ~fixed, ~fixed)
        return amount if plan is None else np.where(fixed, amount, plan.amount)

    def stuck(self, use: Mask) -> tuple[int, ...]:
        """Values that no move in use brings inside: the fewest that have to stay outside."""
        b, f = self.built, self.freedom
        index = np.flatnonzero(judged(b))
        A = self.change[np.ix_(index, use)]
        size = np.abs(A).max(axis=1, initial=0.0)
        size = np.where(size > 0.0, size, 1.0)
        span = ((b.low - b.value)[index] / size, (b.high - b.value)[index] / size)
        broken = stuck_rows(
            A / size[:, None], *span, f.least[use] / self.step, f.most[use] / self.step,
            f.shared[:, use], f.shared_least / self.step, f.shared_most / self.step,
        )  # fmt: skip
        return tuple(int(i) for i in index[broken])


def _only(rows: Rows, use: Mask) -> Rows:
    return Rows(rows.A[:, use], rows.low, rows.high, rows.least[use], rows.most[use],
                rows.axis[use], rows.ease[use])  # fmt: skip


def _moves(freedom: Freedom, steps: Array, step: float, units: str) -> tuple[Move, ...]:
    """One move for each place and axis; a change beyond what is allowed makes the whole fixed."""
    total: dict[tuple[str, str], float] = {}
    fixed: dict[tuple[str, str], bool] = {}
    for i in np.flatnonzero(steps):
        key = (freedom.place[i], str(freedom.axis[i]))
        total[key] = total.get(key, 0.0) + float(steps[i]) * step
        fixed[key] = fixed.get(key, False) or bool(freedom.fixed[i])
    axes = {str(a): a for a in AXES}
    return ordered(
        Move(place, axis, amount, move_words(place, axes[axis], amount, fixed[place, axis], units),
             fixed[place, axis])
        for (place, axis), amount in total.items() if abs(amount) > 0.5 * step
    )  # fmt: skip
