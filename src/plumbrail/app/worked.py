"""Plans worked out, kept while somebody looks at them: by the checksum of their text."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from plumbrail.app.messages import CheckItem, FieldProblem

if TYPE_CHECKING:
    from plumbrail.check import Check
    from plumbrail.jobs.buying import Shopping
    from plumbrail.jobs.cutting import Cutting
    from plumbrail.jobs.designing import Analysis, Design
    from plumbrail.plan.models import Plan
    from plumbrail.plan.reader import LoadedPlan

SOURCE = "plan.toml"
"""What a plan is called in messages and reports: its place on this machine is nobody's business."""
_V = TypeVar("_V")


class Lru(Generic[_V]):
    """The last few values by key; safe between threads."""

    def __init__(self, size: int) -> None:
        self._size, self._held = size, OrderedDict[Hashable, _V]()
        self._lock = threading.Lock()

    def get(self, key: Hashable) -> _V | None:
        """The value, which then counts as used last."""
        with self._lock:
            if key in self._held:
                self._held.move_to_end(key)
            return self._held.get(key)

    def put(self, key: Hashable, value: _V) -> None:
        """Keep a value; the one not used for longest goes."""
        with self._lock:
            self._held[key] = value
            self._held.move_to_end(key)
            while len(self._held) > self._size:
                self._held.popitem(last=False)


@dataclass(frozen=True)
class Worked:
    """A plan with its checks and its first or final cut list."""

    loaded: LoadedPlan
    design: Design
    shop: Shopping
    parts: Mapping[str, Sequence[str]]
    items: Sequence[CheckItem]
    proven: bool


@dataclass(frozen=True)
class Stuck:
    """A plan that cannot be worked out."""

    problems: Sequence[FieldProblem]


@dataclass(frozen=True)
class PartDone:
    """A slow part of one plan."""

    report: Mapping[str, Any]
    """Its JSON; ``missing`` with the reason where the plan does not give it."""
    kept: Any = None
    """cut: the Cutting; yield and wire: what shade takes of each module."""
    rules: frozenset[str] = frozenset()
    """wire: checks of rules, which never govern while they are met."""


class Bench:
    """Works plans out and remembers them. Methods may be called from any thread."""

    def __init__(self, size: int = 24) -> None:
        self._plans: Lru[Worked | Stuck] = Lru(size)
        self._cuts: Lru[Cutting] = Lru(size)
        self._parts: Lru[PartDone] = Lru(9 * size)
        self._wires: Lru[tuple[Check, ...]] = Lru(size)
        self._one = threading.Lock()

    def part(self, sha256: str, name: str) -> PartDone | None:
        """A slow part, when it is there."""
        return self._parts.get((sha256, name))

    def keep(self, sha256: str, name: str, done: PartDone) -> None:
        """Take in a slow part; a proven cut list serves every plan that is cut alike."""
        self._parts.put((sha256, name), done)

    def worked(self, sha256: str, text: str, plan: Plan | None = None) -> Worked | Stuck:
        """The plan worked out; with the proven cut list as soon as that is there.

        ``plan``: what the text says, where it was read already.
        """
        found = self._plans.get(sha256)
        if found is not None and not self._stale(sha256, found):
            return found
        with self._one:  # two at once would only slow each other down
            found = self._plans.get(sha256)
            if found is None or self._stale(sha256, found):
                before = found if isinstance(found, Worked) else None
                found = self._work(sha256, text, plan, before)
                self._plans.put(sha256, found)
        return found

    def _stale(self, sha256: str, found: Worked | Stuck) -> bool:
        if isinstance(found, Stuck) or found.proven:
            return False
        done = self.part(sha256, "cut")
        return done is not None and done.kept is not None

    def _work(
        self, sha256: str, text: str, plan: Plan | None, before: Worked | None
    ) -> Worked | Stuck:
        from plumbrail.app.editing import field_problems
        from plumbrail.errors import PlanError, PlumbrailError, Problem
        from plumbrail.jobs.designing import analyse
        from plumbrail.plan.reader import LoadedPlan, read_plan

        try:
            if before is not None:
                return self._design(before.loaded, before.design.analysis)
            read = read_plan(text, SOURCE) if plan is None else plan
            loaded = LoadedPlan(read, text, sha256, SOURCE)
            return self._design(loaded, analyse(loaded))
        except PlanError as error:
            return Stuck(field_problems(error.problems))
        except PlumbrailError as error:
            return Stuck(field_problems([Problem("", str(error))]))

    def _design(self, loaded: LoadedPlan, analysis: Analysis) -> Worked:
        from plumbrail.app.scene import check_items, part_map
        from plumbrail.jobs.buying import shopping
        from plumbrail.jobs.designing import first_saw
        from plumbrail.jobs.live import QUICK, live_on

        cuts, proven = self._proven(loaded.sha256, analysis)
        if cuts is None:
            cuts = first_saw(analysis, QUICK)
        design = live_on(loaded, analysis, cuts)
        shop = shopping(design.plan, analysis.planned, cuts)
        parts = part_map(design)
        return Worked(loaded, design, shop, parts, check_items(design.checks.checks, parts),
                      proven)  # fmt: skip

    def _proven(self, sha256: str, analysis: Analysis) -> tuple[Cutting | None, bool]:
        key = cut_key(analysis)
        done = self.part(sha256, "cut")
        cuts = done.kept if done is not None else None
        if cuts is not None:
            self._cuts.put(key, cuts)
            return cuts, True
        known = self._cuts.get(key)
        if known is not None and done is None:
            self.keep(sha256, "cut", PartDone({}, known))
        return known, known is not None

    def wire_checks(self, sha256: str, made: Callable[[], tuple[Check, ...]]) -> tuple[Check, ...]:
        """Checks of the wiring, with the steps behind them."""
        found = self._wires.get(sha256)
        if found is None:
            found = made()
            self._wires.put(sha256, found)
        return found


def cut_key(analysis: Analysis) -> bytes:
    """What a cut list depends on: plans alike in this are cut alike."""
    import hashlib

    plan, model = analysis.plan, analysis.planned
    said = [
        plan.job.units, repr(plan.stock), repr(plan.frame), repr(analysis.zones),
        model.posts.section.name, model.posts.length.tobytes(), model.posts.ids,
        model.beams.section.name, model.beams.length, model.beams.supports.tobytes(),
        model.braces.ids, model.braces.length.tobytes(),
        model.rails.ids, model.rails.length,
    ]  # fmt: skip
    return hashlib.sha256(repr(said).encode()).digest()
