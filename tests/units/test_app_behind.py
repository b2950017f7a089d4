"""Slow parts behind the answers: who is told, what is dropped, what is begun again."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Coroutine
from pathlib import Path
from typing import Any

from plumbrail.app.behind import PARTS, Behind, Wanted
from plumbrail.app.messages import Event
from plumbrail.app.worked import Bench, PartDone


class Slowly:
    """Does one part each time it is let go; says what it was ordered and what it dropped."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.begun, self.dropped = folder, [], []  # type: ignore[var-annotated]
        self.go = asyncio.Semaphore(0)
        self.kill = 0.0

    async def run(self, order: Any, files: Any, take: Callable[[str, PartDone], None]) -> Path:
        self.begun.append((order.sha256, order.parts))
        try:
            for name in order.parts:
                await self.go.acquire()
                take(name, PartDone({"of": order.sha256}))
        except asyncio.CancelledError:
            self.dropped.append(order.sha256)
            await asyncio.sleep(self.kill)  # a worker does not end at once
            raise
        return self.folder

    async def does(self, parts: int) -> None:
        for _ in range(parts):
            self.go.release()
        await asyncio.sleep(0.05)


def wish(job: str, revision: int, text: str, readings: str = "") -> Wanted:
    return Wanted(job, revision, text, text, {}, readings)


def tried(
    folder: Path, body: Callable[[Behind, Slowly, list[Event]], Coroutine[Any, Any, None]]
) -> None:
    async def all_of_it() -> None:
        told: list[Event] = []
        crew = Slowly(folder / "gone")
        behind = Behind(Bench(), crew, told.append)  # type: ignore[arg-type]
        behind.pause = 0.01
        try:
            await body(behind, crew, told)
        finally:
            await behind.close()

    asyncio.run(all_of_it())


def of(told: list[Event], job: str) -> list[tuple[str, int]]:
    return [(e.part, e.revision) for e in told if e.job == job]


def test_every_job_with_the_same_plan_is_told(tmp_path: Path) -> None:
    """The second asks when the first part is there already, by another revision."""

    async def body(behind: Behind, crew: Slowly, told: list[Event]) -> None:
        behind.want(wish("one", 4, "A"))
        await crew.does(1)
        behind.want(wish("two", 1, "A"))
        await crew.does(len(PARTS) - 1)
        assert of(told, "one") == [(p, 4) for p in PARTS]
        assert of(told, "two") == [(p, 1) for p in PARTS[1:]]
        await asyncio.sleep(0.1)
        assert crew.begun == [("A", PARTS)]  # worked out once

    tried(tmp_path, body)


def test_work_that_another_job_waits_for_goes_on(tmp_path: Path) -> None:
    """The plan of the first is edited; the second still waits for what it was."""

    async def body(behind: Behind, crew: Slowly, told: list[Event]) -> None:
        behind.want(wish("one", 1, "A"))
        await crew.does(1)
        behind.want(wish("two", 1, "A"))
        behind.want(wish("one", 2, "B"))
        await crew.does(2 * len(PARTS) - 1)
        await crew.does(0)
        assert crew.dropped == []
        assert of(told, "two") == [(p, 1) for p in PARTS[1:]]
        assert of(told, "one") == [(PARTS[0], 1), *((p, 2) for p in PARTS)]

    tried(tmp_path, body)


def test_an_edit_taken_back_at_once_is_worked_out_again(tmp_path: Path) -> None:
    """The plan is the one whose work is just being dropped."""

    async def body(behind: Behind, crew: Slowly, told: list[Event]) -> None:
        crew.kill = 0.05
        behind.want(wish("one", 1, "A"))
        await crew.does(1)
        behind.want(wish("one", 2, "B"))
        await asyncio.sleep(0)
        behind.want(wish("one", 3, "A"))
        await asyncio.sleep(0.2)
        await crew.does(len(PARTS) - 1)
        assert crew.dropped == ["A"]
        assert crew.begun == [("A", PARTS), ("A", PARTS[1:])]
        assert of(told, "one") == [(PARTS[0], 1), *((p, 3) for p in PARTS[1:])]

    tried(tmp_path, body)


def test_a_page_that_is_late_does_not_take_the_work_from_the_last_edit(tmp_path: Path) -> None:
    async def body(behind: Behind, crew: Slowly, told: list[Event]) -> None:
        behind.want(wish("one", 2, "B"))
        await crew.does(1)
        behind.want(wish("one", 1, "A"))
        await crew.does(len(PARTS))
        assert (crew.begun, crew.dropped) == ([("B", PARTS)], [])
        assert of(told, "one") == [(p, 2) for p in PARTS]

    tried(tmp_path, body)


def test_new_readings_drop_the_work_without_them(tmp_path: Path) -> None:
    """What does not depend on them is kept and not worked out twice."""

    async def body(behind: Behind, crew: Slowly, told: list[Event]) -> None:
        behind.want(wish("one", 1, "A"))
        await crew.does(1)
        behind.want(wish("one", 1, "A", "readings"))
        await crew.does(len(PARTS))
        assert crew.dropped == ["A"]
        assert crew.begun == [("A", PARTS), ("A", ("truing", *PARTS[1:]))]
        assert behind.missing(wish("one", 1, "A", "readings")) == ()

    tried(tmp_path, body)
