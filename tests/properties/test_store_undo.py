"""Undo and redo against the plainest model there is, two stacks; and against a store."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plumbrail.store.failures import StoreError
from plumbrail.store.line import line_of
from plumbrail.store.records import Step, StepKind
from plumbrail.store.store import Store, open_store
from stores import new_place

MOVES = st.lists(st.sampled_from(["edit", "edit", "undo", "undo", "redo", "restore", "import"]),
                 max_size=40)  # fmt: skip


class Stacks:
    """What people expect of undo: texts in hand, texts put back, nothing else."""

    def __init__(self) -> None:
        self.done = ["text 1"]
        self.undone: list[str] = []

    def new(self, text: str) -> None:
        self.done.append(text)
        self.undone.clear()

    def undo(self) -> None:
        self.undone.append(self.done.pop())

    def redo(self) -> None:
        self.done.append(self.undone.pop())


def _step(revision: int, kind: StepKind, text: str, of: int | None = None) -> Step:
    return Step("j", revision, f"uid-{revision}", kind, text, of, "desk", "", "")


@given(MOVES)
def test_the_line_is_two_stacks(moves: list[str]) -> None:
    stacks = Stacks()
    steps = [_step(1, StepKind.BEGUN, "text 1")]
    for move in moves:
        line, revision = line_of(steps), len(steps) + 1
        assert (line.undo is not None) == (len(stacks.done) > 1)
        assert (line.redo is not None) == bool(stacks.undone)
        target = {"undo": line.undo, "redo": line.redo, "restore": 1}.get(move)
        if move in ("undo", "redo"):
            if target is None:
                continue
            getattr(stacks, move)()
        else:
            stacks.new("text 1" if move == "restore" else f"text {revision}")
        text = steps[target - 1].sha256 if target else f"text {revision}"
        assert text == stacks.done[-1]
        steps.append(_step(revision, StepKind(move), text, target))


@given(st.integers(1, 30))
def test_everything_can_be_undone_and_done_again(edits: int) -> None:
    """All the way back to the beginning and forward again, however many edits."""
    steps = [_step(1, StepKind.BEGUN, "1")]
    steps += [_step(n, StepKind.EDIT, str(n)) for n in range(2, edits + 2)]
    for kind, expected in ((StepKind.UNDO, 1), (StepKind.REDO, edits + 1)):
        for _ in range(edits):
            line = line_of(steps)
            to = line.undo if kind is StepKind.UNDO else line.redo
            assert to is not None
            steps.append(_step(len(steps) + 1, kind, steps[to - 1].sha256, to))
        assert steps[-1].sha256 == str(expected)
        end = line_of(steps)
        assert (end.undo if kind is StepKind.UNDO else end.redo) is None


@pytest.mark.parametrize("kind", ["sqlite", "postgresql"])
def test_the_store_brings_back_what_two_stacks_do(
    kind: str, tmp_path_factory: pytest.TempPathFactory
) -> None:
    with open_store(new_place(kind, tmp_path_factory.mktemp("undo"))) as store:
        _agree(store)


def _agree(store: Store) -> None:
    @settings(max_examples=8)
    @given(MOVES)
    def run(moves: list[str]) -> None:
        job = f"job{len(store.jobs())}"
        store.add_job(job, f"begin-{job}", "text 1", "n", "desk", "begun")
        stacks = Stacks()
        for number, move in enumerate(moves):
            _go(store, job, stacks, move, number)
            assert store.text(store.head(job).sha256) == stacks.done[-1]

    run()


def _go(store: Store, job: str, stacks: Stacks, move: str, number: int) -> None:
    kind, revision, uid = StepKind(move), store.head(job).revision, f"uid-{number:05}"
    if move in ("undo", "redo"):
        target = store.undo_target(job) if move == "undo" else store.redo_target(job)
        if target is None:
            with pytest.raises(StoreError):
                store.add_step(job, revision, uid, kind, "text 1", "n", "desk", "", 1)
            return
        getattr(stacks, move)()
    else:
        target = 1 if move == "restore" else None
        stacks.new("text 1" if target else f"text {uid}")
    text = store.text_of(job, target) if target else f"text {uid}"
    store.add_step(job, revision, uid, kind, text, "n", "desk", "", target)
