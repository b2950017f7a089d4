"""What the routes ask for: jobs, states, edits, steps. No web in here; from any thread."""

from __future__ import annotations

import re
import secrets
import time
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from plumbrail.app import combiners, reported
from plumbrail.app.messages import (
    Broken,
    Change,
    FieldProblem,
    Figure,
    JobItem,
    State,
)
from plumbrail.app.worked import SOURCE, Bench, PartDone, Stuck, Worked
from plumbrail.errors import PlanError, PlumbrailError
from plumbrail.store.records import Step, StepKind

if TYPE_CHECKING:
    from plumbrail.app.strip import Known
    from plumbrail.plan.reader import LoadedPlan
    from plumbrail.store.store import Store

_SLOW: tuple[Literal["cut", "yield", "wire", "trench", "works"], ...] = (
    "cut", "yield", "wire", "trench", "works",
)  # fmt: skip
_WORDS = re.compile(r"[^a-z0-9]+")


class ProblemsError(PlumbrailError):
    """Refused because of fields; the last valid state stays."""

    def __init__(self, words: str, problems: Sequence[FieldProblem], revision: int) -> None:
        self.problems, self.revision = list(problems), revision
        super().__init__(words)


class NothingError(PlumbrailError):
    """There is nothing of this name."""


@dataclass(frozen=True)
class At:
    """A job at one of its revisions."""

    step: Step
    text: str
    last: bool

    @property
    def sha256(self) -> str:
        """Of the text."""
        return self.step.sha256


@dataclass(frozen=True)
class Truth:
    """What the readings of the truing and the tests of the array say, for their figures."""

    readings: bool
    done: PartDone | None
    tests: Figure | None = None


class Office:
    """Everything that is kept is in the store; here is only what can be worked out again."""

    def __init__(self, store: Store, bench: Bench) -> None:
        self.store, self.bench = store, bench

    # ------------------------------------------------------------------ jobs

    def jobs(self) -> list[JobItem]:
        """All jobs, the one changed last first."""
        return [
            JobItem(id=j.id, name=j.name, revision=j.revision, changed=j.changed)
            for j in self.store.jobs()
        ]

    def begin(self, text: str, uid: str, by: str, words: str, id: str = "") -> Step:
        """A new job; the same uid again is the same job."""
        name = self._name(text)
        job = id or f"{_slug(name)}-{secrets.token_hex(2)}"
        return self.store.add_job(job, uid, text, name, by, words)

    def _name(self, text: str) -> str:
        """The job's name in a plan that can be read; raises ProblemsError."""
        from plumbrail.app.editing import field_problems
        from plumbrail.plan.reader import read_plan

        try:
            return read_plan(text, SOURCE).job.name
        except PlanError as error:
            problems = field_problems(error.problems)
            raise ProblemsError("this plan cannot be read", problems, 0) from None

    # ------------------------------------------------------------------ states

    def at(self, job: str, revision: int | None = None) -> At:
        """A job at a revision, at its last without one."""
        head = self.store.head(job)
        step = head if revision in (None, head.revision) else self.store.step(job, revision or 0)
        return At(step, self.store.text(step.sha256), step.revision == head.revision)

    def state(self, at: At, truth: Truth, began: float | None = None) -> State | Broken:
        """Everything a page shows of a job."""
        began = time.perf_counter() if began is None else began
        worked = self.bench.worked(at.sha256, at.text)
        data = _data(at.text)
        if isinstance(worked, Stuck):
            return self._broken(at, data, worked.problems)
        return self._whole(at, worked, truth, data, began)

    def _broken(self, at: At, data: dict[str, Any], problems: Sequence[FieldProblem]) -> Broken:
        line = self.store.line(at.step.job)
        name = str(data.get("job", {}).get("name", at.step.job))
        return Broken(
            job=at.step.job, name=name, revision=at.step.revision,
            can_undo=line.undo is not None, can_redo=line.redo is not None, values=data,
            problems=list(problems),
        )  # fmt: skip

    def _whole(
        self, at: At, worked: Worked, truth: Truth, data: dict[str, Any], began: float
    ) -> State:
        from plumbrail.app.scene import scene
        from plumbrail.app.shown import shown
        from plumbrail.app.strip import strip

        design, line = worked.design, self.store.line(at.step.job)
        known = self._known(at, worked, truth)
        units = design.plan.job.units
        pending = [p for p in _SLOW if p in known.waiting]
        strings, boxes = combiners.wired(design, known.wires)
        later = reported.items(design.plan, known.later)
        return State.model_construct(
            job=at.step.job, name=design.plan.job.name, units=units, revision=at.step.revision,
            sha256=at.sha256, can_undo=at.last and line.undo is not None,
            can_redo=at.last and line.redo is not None, values=data, shown=shown(data, units),
            strip=strip(known), checks=[*worked.items, *later],
            scene=scene(design, worked.parts, strings, boxes),
            notes=list(design.checks.notes), not_covered=list(known.not_covered),
            pending=pending, took=time.perf_counter() - began,
        )  # fmt: skip

    def _known(self, at: At, worked: Worked, truth: Truth) -> Known:
        from plumbrail.app.strip import Known

        plan, part = worked.design.plan, self.bench.part
        later = {p: part(at.sha256, p) for p in reported.PARTS}
        energy, wires = part(at.sha256, "yield"), later["wire"]
        wanted = ("cut", "yield", *reported.asked(plan))
        waiting = {p for p in wanted if part(at.sha256, p) is None}
        if truth.readings and truth.done is None:
            waiting.add("truing")
        return Known(
            worked.design, worked.shop,
            [*worked.design.checks.checks, *reported.checks(plan, later)], later, worked.proven,
            None if energy is None else energy.report, None if wires is None else wires.report,
            None if truth.done is None else truth.done.report, truth.readings, frozenset(waiting),
            (*worked.design.checks.not_covered, *reported.not_asked(plan)), truth.tests,
        )  # fmt: skip

    # ------------------------------------------------------------------ what changes a plan

    def edit(
        self, job: str, revision: int, changes: Sequence[Change], uid: str, by: str
    ) -> At:  # fmt: skip
        """Change fields; the same uid again is the same edit. Raises ProblemsError and Stale."""
        from plumbrail.app.editing import EditError, edited

        again = self.store.step_of_uid(job, uid)
        if again is not None:
            return self.at(job, again.revision)
        before = self._last(job, revision)
        try:
            made = edited(before.text, changes)
        except EditError as error:
            raise ProblemsError("this was not changed", error.problems, revision) from None
        if made.text == before.text:
            return before
        sha256 = _sha256(made.text)
        worked = self.bench.worked(sha256, made.text, made.plan)
        if isinstance(worked, Stuck) and not isinstance(
            self.bench.worked(before.sha256, before.text), Stuck
        ):
            raise ProblemsError("this was not changed: it could not be built", worked.problems,
                                revision)  # fmt: skip
        return self._added(job, revision, uid, StepKind.EDIT, made.text, made.plan.job.name, by,
                           made.words)  # fmt: skip

    def go(self, job: str, revision: int, step: str, to: int | None, uid: str, by: str) -> At:
        """Undo, redo or bring back a revision; raises NothingError where there is none."""
        again = self.store.step_of_uid(job, uid)
        if again is not None:
            return self.at(job, again.revision)
        self._last(job, revision)
        line = self.store.line(job)
        of = {"undo": line.undo, "redo": line.redo, "restore": to}[step]
        if of is None:
            raise NothingError(f"there is nothing to {step}")
        text = self.store.text_of(job, of)
        kind = {"undo": StepKind.UNDO, "redo": StepKind.REDO, "restore": StepKind.RESTORE}[step]
        words = f"{step}: back to revision {of}"
        return self._added(job, revision, uid, kind, text, self._named(text, job), by, words, of)

    def take_in(self, job: str, revision: int, text: str, uid: str, by: str) -> At:
        """A whole plan file as the job's next state; raises ProblemsError for one that cannot be
        read."""
        again = self.store.step_of_uid(job, uid)
        if again is not None:
            return self.at(job, again.revision)
        self._last(job, revision)
        name = self._name(text)
        return self._added(job, revision, uid, StepKind.IMPORT, text, name, by,
                           "a plan file was taken in")  # fmt: skip

    def _last(self, job: str, revision: int) -> At:
        """The job at its last revision, which has to be the one that the page knows."""
        from plumbrail.store.failures import Stale

        at = self.at(job)
        if at.step.revision != revision:
            raise Stale(at.step.revision)
        return at

    def _added(
        self, job: str, revision: int, uid: str, kind: StepKind, text: str, name: str, by: str,
        words: str, of: int | None = None,
    ) -> At:  # fmt: skip
        step = self.store.add_step(job, revision, uid, kind, text, name, by, words, of)
        return At(step, text, True)

    def _named(self, text: str, job: str) -> str:
        try:
            return self._name(text)
        except ProblemsError:
            return job

    def loaded(self, at: At) -> LoadedPlan:
        """The plan read; raises ProblemsError when it cannot be."""
        from plumbrail.plan.reader import LoadedPlan, read_plan

        worked = self.bench.worked(at.sha256, at.text)
        if isinstance(worked, Worked):
            return worked.loaded
        try:
            return LoadedPlan(read_plan(at.text, SOURCE), at.text, at.sha256, SOURCE)
        except PlanError:
            raise ProblemsError("this plan cannot be read", worked.problems,
                                at.step.revision) from None  # fmt: skip

    def worked(self, at: At) -> Worked:
        """The plan worked out; raises ProblemsError when it cannot be."""
        worked = self.bench.worked(at.sha256, at.text)
        if isinstance(worked, Stuck):
            raise ProblemsError("this plan cannot be worked out", worked.problems,
                                at.step.revision)  # fmt: skip
        return worked


def _slug(name: str) -> str:
    return _WORDS.sub("-", name.lower()).strip("-")[:40] or "job"


def _sha256(text: str) -> str:
    import hashlib

    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def _data(text: str) -> dict[str, Any]:
    """The plan as it is written, as JSON; empty for what is no TOML."""
    from plumbrail.app.meaning import look_at

    try:
        found: dict[str, Any] = _json(look_at(text))
    except (ValueError, RecursionError):
        return {}
    return found


def _json(value: Any) -> Any:
    """Plain TOML data as JSON has it: dates and times as text."""
    if isinstance(value, dict):
        return {k: _json(v) for k, v in value.items()}
    if isinstance(value, list):
        return [_json(v) for v in value]
    return value if isinstance(value, str | bool | int | float) else str(value)
