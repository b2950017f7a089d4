"""Things that take seconds and give files: the book, the drawings. With progress, and stoppable."""

from __future__ import annotations

import asyncio
import re
import secrets
import shutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from plumbrail.app.crew import Crew, Refused, WorkFailedError
from plumbrail.app.messages import Event, TaskIn, TaskState
from plumbrail.app.worker import Order

KEPT = 6
"""Finished tasks whose files are kept."""
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ._-]{0,120}")


@dataclass
class Task:
    """One task of a job."""

    id: str
    job: str
    revision: int
    kind: str
    state: str = "waiting"
    done: float = 0.0
    words: str = "waiting"
    files: list[str] = field(default_factory=list)
    folder: Path | None = None
    running: asyncio.Task[None] | None = None

    def told(self) -> TaskState:
        """As a message."""
        return TaskState(id=self.id, kind=self.kind, state=self.state, done=self.done,
                         words=self.words, files=list(self.files))  # fmt: skip


class Tasks:
    """One at a time; used in the server's own thread."""

    def __init__(self, crew: Crew, tell: Callable[[Event], None]) -> None:
        self._crew, self._tell = crew, tell
        self._tasks: dict[str, Task] = {}
        self._one = asyncio.Semaphore(1)

    def begin(
        self, job: str, revision: int, order: TaskIn, sha256: str, text: str,
        files: Mapping[str, bytes],
    ) -> Task:  # fmt: skip
        """Start a task; it waits for the one before it."""
        task = Task(secrets.token_hex(8), job, revision, order.kind)
        self._tasks[task.id] = task
        work = Order(order.kind, sha256, text, "", (), order.paper, order.language)
        task.running = asyncio.create_task(self._run(task, work, files))
        self._tidy()
        return task

    def find(self, id: str) -> Task | None:
        """The task, or None."""
        return self._tasks.get(id)

    def file(self, id: str, name: str) -> Path | None:
        """A file that a task made; nothing else, whatever the name says."""
        task = self.find(id)
        if task is None or task.folder is None or name not in task.files:
            return None
        if not _NAME.fullmatch(name) or ".." in name:
            return None
        path = task.folder / "out" / name
        return path if path.is_file() else None

    def stop(self, id: str) -> Task | None:
        """Stop a task; its worker is killed."""
        task = self.find(id)
        if task is not None and task.state in ("waiting", "working") and task.running:
            task.running.cancel()
            self._now(task, "stopped", "stopped")
        return task

    async def close(self) -> None:
        """Stop everything and remove all files."""
        running = [t.running for t in self._tasks.values() if t.running and not t.running.done()]
        for task in running:
            task.cancel()
        await asyncio.gather(*running, return_exceptions=True)
        for task_ in self._tasks.values():
            _remove(task_)

    async def _run(self, task: Task, order: Order, files: Mapping[str, bytes]) -> None:
        def take(name: str, value: Any) -> None:
            if name == "stage":
                task.done, words = value
                self._now(task, "working", words)
            elif name == "files":
                task.files = list(value)

        try:
            async with self._one:
                self._now(task, "working", "begins")
                task.folder = await self._crew.run(order, files, take)
        except asyncio.CancelledError:
            self._now(task, "stopped", "stopped")
            raise
        except Refused as error:
            self._now(task, "failed", str(error))
        except WorkFailedError:
            self._now(task, "failed", "plumbrail itself failed at this (see the server's log)")
        else:
            task.done = 1.0
            self._now(task, "done", "done")

    def _now(self, task: Task, state: str, words: str) -> None:
        task.state, task.words = state, words
        self._tell(Event(kind="task", job=task.job, revision=task.revision, task=task.id))

    def _tidy(self) -> None:
        ended = [t for t in self._tasks.values() if t.running is not None and t.running.done()]
        for task in ended[:-KEPT]:
            _remove(task)
            del self._tasks[task.id]


def _remove(task: Task) -> None:
    if task.folder is not None:
        shutil.rmtree(task.folder, ignore_errors=True)
        task.folder = None
