"""Slow parts of the plans on the screen, worked out behind the answers."""

from __future__ import annotations

import asyncio
import shutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from plumbrail.app.crew import Crew, Refused, WorkFailedError
from plumbrail.app.gate import log
from plumbrail.app.messages import Event
from plumbrail.app.worked import Bench, PartDone
from plumbrail.app.worker import Order

PARTS = ("cut", "yield", "wire", "trench", "proving", "works")
PAUSE = 0.4
"""Seconds without an edit before slow work begins."""
FAILED = "plumbrail itself failed at this (see the server's log)"
Files = Mapping[str, bytes]
Key = tuple[str, str, str]


@dataclass(frozen=True)
class Wanted:
    """The plan of a job whose slow parts somebody waits for."""

    job: str
    revision: int
    sha256: str
    text: str
    files: Files
    """The weather file, the notebook where there are readings, the file of tests where there is
    one."""
    readings: str = ""
    """Checksum of the notebook; empty without readings."""
    tests: str = ""
    """Checksum of the file of tests; empty without one."""

    @property
    def key(self) -> Key:
        """Wishes alike in this ask for the same work."""
        return self.sha256, self.readings, self.tests

    def kept_as(self, part: str) -> str:
        """Name of a part on the bench: what readings and tests say depends on them too."""
        return kept_as(part, self.readings, self.tests)

    @property
    def parts(self) -> tuple[str, ...]:
        """What is worked out of it."""
        first = ("cut", "truing") if self.readings else ("cut",)
        last = ("tests",) if self.tests else ()
        return (*first, *PARTS[1:], *last)


def kept_as(part: str, readings: str, tests: str) -> str:
    """Name of a part on the bench, by the checksums of the notebook and of the file of tests."""
    own = {"truing": f" {readings}", "tests": f" {tests}-{readings}"}
    return part + own.get(part, "")


class Behind:
    """One plan after the other in one worker; the newest wish of each job counts.

    All methods belong to the server's own thread.
    """

    def __init__(self, bench: Bench, crew: Crew, tell: Callable[[Event], None]) -> None:
        self._bench, self._crew, self._tell = bench, crew, tell
        self._wanted: dict[str, Wanted] = {}
        self._doing: Wanted | None = None
        self._task: asyncio.Task[None] | None = None
        self._runner: asyncio.Task[None] | None = None
        self._asked: dict[tuple[str, str], asyncio.Task[PartDone]] = {}
        self.pause = PAUSE

    def missing(self, wanted: Wanted) -> tuple[str, ...]:
        """Parts of a plan that are not there yet."""
        return tuple(
            p for p in wanted.parts if self._bench.part(wanted.sha256, wanted.kept_as(p)) is None
        )

    def want(self, wanted: Wanted) -> None:
        """Work these parts out soon; work for a plan that no job waits for any more is dropped.

        A wish stays until it is done, so that every job with the same plan is told.
        """
        last = self._wanted.get(wanted.job)
        if last is not None and last.revision > wanted.revision:
            return  # asked by a page that does not know of the last edit yet
        self._wanted.pop(wanted.job, None)
        if self.missing(wanted):
            self._wanted[wanted.job] = wanted
        doing = self._doing
        if doing is not None and self.missing(doing) and not self._waiting(doing.key):
            self._stop()
        if self._wanted and (self._runner is None or self._runner.done()):
            self._runner = asyncio.create_task(self._run())

    def _waiting(self, key: Key) -> list[str]:
        return [job for job, w in self._wanted.items() if w.key == key]

    def _stop(self) -> None:
        self._doing = None  # wanted again from now on, it is begun again
        if self._task is not None:
            self._task.cancel()

    async def _run(self) -> None:
        while self._wanted:
            last = dict(self._wanted)
            await asyncio.sleep(self.pause)
            if last != self._wanted:
                continue
            wanted = next(reversed(self._wanted.values()))
            self._doing = wanted
            self._task = asyncio.create_task(self._work(wanted))
            await asyncio.wait([self._task])
            if not self._task.cancelled():
                for job in self._waiting(wanted.key):
                    del self._wanted[job]
            self._doing, self._task = None, None

    async def _work(self, wanted: Wanted) -> None:
        parts = self.missing(wanted)
        order = Order("behind", wanted.sha256, wanted.text, "", parts)

        def take(name: str, value: PartDone) -> None:
            self._keep(wanted, name, value)

        try:
            folder = await self._crew.run(order, wanted.files, take)
        except (Refused, WorkFailedError, OSError) as error:
            words = _why(error)
            for name in self.missing(wanted):
                take(name, PartDone({"missing": words}))
            return
        await asyncio.to_thread(shutil.rmtree, folder, True)

    def _keep(self, wanted: Wanted, name: str, value: PartDone) -> None:
        """Keeps a part and tells every job that waits for it."""
        kept = wanted.sha256, wanted.kept_as(name)
        self._bench.keep(*kept, value)
        for job, w in ({wanted.job: wanted} | self._wanted).items():
            if (w.sha256, w.kept_as(name)) == kept:
                self._tell(Event(kind="part", job=job, revision=w.revision, part=name))

    async def asked(self, wanted: Wanted, part: str) -> PartDone:
        """What the readings ("truing") or the tests ("tests") say, for somebody who waits for it;
        the same question is worked on once."""
        key = wanted.sha256, wanted.kept_as(part)
        done = self._bench.part(*key)
        if done is not None:
            return done
        task = self._asked.get(key)
        if task is None:
            task = asyncio.create_task(self._answer(wanted, part))
            self._asked[key] = task
            task.add_done_callback(lambda _: self._asked.pop(key, None))
        return await asyncio.shield(task)

    async def _answer(self, wanted: Wanted, part: str) -> PartDone:
        found: list[PartDone] = []

        def take(_: str, value: PartDone) -> None:
            found.append(value)

        try:
            order = Order(part, wanted.sha256, wanted.text, "")
            folder = await self._crew.run(order, wanted.files, take)
            await asyncio.to_thread(shutil.rmtree, folder, True)
        except (Refused, WorkFailedError, OSError) as error:
            found.append(PartDone({"missing": _why(error)}))
        self._keep(wanted, part, found[-1])
        return found[-1]

    async def close(self) -> None:
        """Stop everything."""
        tasks: list[asyncio.Task[Any] | None] = [self._runner, self._task, *self._asked.values()]
        self._wanted.clear()
        open_ = [t for t in tasks if t is not None and not t.done()]
        for task in open_:
            task.cancel()
        await asyncio.gather(*open_, return_exceptions=True)


def _why(error: Exception) -> str:
    """What a person reads of work that came to nothing: a full disk too is none of the plan's."""
    words = str(error) if isinstance(error, Refused) else ""
    log.error("slow work failed: %s", words or repr(error))
    return words or FAILED
