"""Slow work behind the screens: whose wish counts, what is told, what a failure leaves."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import Any, cast

import pytest

from plumbrail.app.behind import FAILED, PARTS, Behind, Wanted, kept_as
from plumbrail.app.crew import Refused, WorkFailedError
from plumbrail.app.worked import PartDone


def wanted(job: str = "a", sha: str = "s1", readings: str = "", tests: str = "") -> Wanted:
    return Wanted(job, 3, sha, f"text {sha}", {}, readings, tests)


class Bench:
    """Keeps parts by checksum and name."""

    def __init__(self) -> None:
        self.held: dict[tuple[str, str], PartDone] = {}

    def part(self, sha: str, name: str) -> PartDone | None:
        return self.held.get((sha, name))

    def keep(self, sha: str, name: str, done: PartDone) -> None:
        self.held[sha, name] = done


class Crew:
    """Does orders at once, or waits at a gate, or fails."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.orders, self.ended = folder, list[Any](), list[str]()
        self.gate: asyncio.Event | None = None
        self.fails: Exception | None = None
        self.waiting = 0
        self.after = 0
        """Parts that come before it fails."""

    async def run(self, order: Any, files: Any, take: Any) -> Path:
        self.orders.append(order)
        made = self.folder / f"work{len(self.orders)}"
        made.mkdir()
        try:
            if self.gate is not None:
                self.waiting += 1
                await self.gate.wait()
        except asyncio.CancelledError:
            self.ended.append(order.sha256)
            raise
        finally:
            self.waiting = 0
        for k, name in enumerate(order.parts or [order.kind]):
            if self.fails is not None and k >= self.after:
                raise self.fails
            take(name, PartDone({"of": order.sha256, "part": name}))
        return made


class Desk:
    """A Behind with what it told."""

    def __init__(self, folder: Path) -> None:
        self.bench, self.crew, self.told = Bench(), Crew(folder), list[tuple[str, str, int]]()
        self.behind = Behind(
            cast(Any, self.bench), cast(Any, self.crew),
            lambda e: self.told.append((e.job, e.part or "", e.revision or 0)),
        )  # fmt: skip
        self.behind.pause = 0.0

    async def rest(self) -> None:
        """Until nothing moves by itself: all is done, or the crew waits at the gate."""
        for k in range(5000):
            await asyncio.sleep(0.001)
            runner = self.behind._runner
            if k > 5 and (runner is None or runner.done() or self.crew.waiting):
                return


def at(tmp_path: Path, does: Callable[[Desk], Awaitable[None]]) -> Desk:
    async def whole() -> Desk:
        desk = Desk(tmp_path)
        await does(desk)
        await desk.behind.close()
        return desk

    return asyncio.run(whole())


def test_what_is_worked_out_of_a_plan() -> None:
    """Truing only of readings, tests only of a file of tests; each kept by what it depends on."""
    rest = ("yield", "wire", "trench", "proving", "works")
    assert ("cut", *rest) == PARTS
    assert wanted().parts == ("cut", *rest)
    assert wanted(readings="r").parts == ("cut", "truing", *rest)
    assert wanted(tests="t").parts == ("cut", *rest, "tests")
    assert kept_as("truing", "r", "t") == wanted(readings="r").kept_as("truing") == "truing r"
    assert kept_as("tests", "r", "t") == "tests t-r"
    assert kept_as("cut", "r", "t") == "cut"
    assert wanted(readings="r", tests="t").key == ("s1", "r", "t")


def test_a_wish_is_worked_on_once_and_every_part_told(tmp_path: Path) -> None:
    async def does(desk: Desk) -> None:
        one = wanted(readings="r")
        assert desk.behind.missing(one) == one.parts
        desk.behind.want(one)
        await desk.rest()
        assert desk.behind.missing(one) == ()
        desk.behind.want(one)
        await desk.rest()

    desk = at(tmp_path, does)
    (order,) = desk.crew.orders
    assert (order.kind, order.sha256, order.text) == ("behind", "s1", "text s1")
    assert order.parts == wanted(readings="r").parts
    assert desk.told == [("a", name, 3) for name in order.parts]
    assert desk.bench.part("s1", "truing r") is not None
    assert not any(tmp_path.iterdir()), "its folder is gone"


def test_only_what_is_missing_is_worked_out(tmp_path: Path) -> None:
    async def does(desk: Desk) -> None:
        desk.bench.keep("s1", "cut", PartDone({}))
        desk.behind.want(wanted())
        await desk.rest()

    assert at(tmp_path, does).crew.orders[0].parts == PARTS[1:]


def test_the_newest_wish_of_a_job_stops_the_older(tmp_path: Path) -> None:
    """Work for another plan of the same job is stopped; that of another job goes on."""

    async def does(desk: Desk) -> None:
        desk.crew.gate = asyncio.Event()
        desk.behind.want(wanted(sha="s1"))
        await desk.rest()
        desk.behind.want(wanted(job="b", sha="s2"))
        await desk.rest()
        assert desk.crew.ended == []
        desk.behind.want(wanted(sha="s3"))
        await desk.rest()
        assert desk.crew.ended == ["s1"]
        desk.crew.gate.set()
        await desk.rest()

    desk = at(tmp_path, does)
    assert [o.sha256 for o in desk.crew.orders] == ["s1", "s3", "s2"], "the last wish first"
    assert {job for job, _, _ in desk.told} == {"a", "b"}
    assert desk.bench.part("s1", "cut") is None


def test_the_job_that_was_edited_last_comes_first(tmp_path: Path) -> None:
    """Also where it waited already: a, b, then a again."""

    async def does(desk: Desk) -> None:
        desk.crew.gate = asyncio.Event()
        desk.behind.want(wanted(job="c", sha="s0"))
        await desk.rest()
        for job, sha in (("a", "s1"), ("b", "s2"), ("a", "s3")):
            desk.behind.want(wanted(job=job, sha=sha))
        desk.crew.gate.set()
        desk.crew.gate = None
        await desk.rest()

    assert [o.sha256 for o in at(tmp_path, does).crew.orders] == ["s0", "s3", "s2"]


def test_the_same_wish_again_does_not_start_anew(tmp_path: Path) -> None:
    """Also after another one that was taken back by undoing."""

    async def does(desk: Desk) -> None:
        desk.crew.gate = asyncio.Event()
        desk.behind.want(wanted())
        await desk.rest()
        desk.behind.want(wanted())
        desk.behind.want(wanted(job="b", sha="s2"))
        await desk.rest()
        assert desk.crew.ended == []
        desk.crew.gate.set()
        await desk.rest()

    assert [o.sha256 for o in at(tmp_path, does).crew.orders] == ["s1", "s2"]


def test_a_wish_that_is_there_already_takes_back_the_one_before(tmp_path: Path) -> None:
    """An edit and its undoing: the plan from before is worked out, so nothing is left to do."""

    async def does(desk: Desk) -> None:
        for name in PARTS:
            desk.bench.keep("s0", name, PartDone({}))
        desk.behind.want(wanted(sha="s1"))
        desk.behind.want(wanted(sha="s0"))
        await desk.rest()
        assert desk.crew.orders == []
        desk.crew.gate = asyncio.Event()
        desk.behind.want(wanted(sha="s2"))
        await desk.rest()
        desk.behind.want(wanted(sha="s0"))
        await desk.rest()

    desk = at(tmp_path, does)
    assert desk.crew.ended == ["s2"]
    assert desk.told == []


def test_work_begins_when_nobody_edits_for_a_while(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An edit within the pause begins another pause."""
    pauses: list[float] = []

    async def does(desk: Desk) -> None:
        real = asyncio.sleep

        async def sleep(seconds: float) -> None:
            if seconds == 7.0:
                pauses.append(seconds)
                if len(pauses) < 3:
                    desk.behind.want(wanted(sha=f"s{len(pauses)}"))
            await real(0.0 if seconds == 7.0 else seconds)

        monkeypatch.setattr(asyncio, "sleep", sleep)
        desk.behind.pause = 7.0
        desk.behind.want(wanted(sha="s0"))
        await desk.rest()

    assert [o.sha256 for o in at(tmp_path, does).crew.orders] == ["s2"]
    assert len(pauses) == 3


@pytest.mark.parametrize(
    ("error", "words"),
    [
        (Refused("the pipe is too short"), "the pipe is too short"),
        (WorkFailedError(), FAILED),
        (OSError(28, "No space left on device"), FAILED),  # no word of it, no path
    ],
)
def test_what_failed_says_so_and_what_came_before_stays(
    tmp_path: Path, error: Exception, words: str
) -> None:
    """Never "still being worked out" for ever."""

    async def does(desk: Desk) -> None:
        desk.crew.fails, desk.crew.after = error, 1
        desk.behind.want(wanted())
        await desk.rest()
        desk.crew.fails = None
        desk.behind.want(wanted(sha="s2"))
        await desk.rest()

    desk = at(tmp_path, does)
    assert desk.bench.held["s1", "cut"].report == {"of": "s1", "part": "cut"}
    for name in PARTS[1:]:
        assert desk.bench.held["s1", name].report == {"missing": words}
        assert ("a", name, 3) in desk.told
    assert desk.bench.held["s2", "works"].report["of"] == "s2", "the next one is worked on"


def test_who_asks_for_the_same_waits_for_one_worker(tmp_path: Path) -> None:
    """And afterwards it is there; somebody who leaves does not stop it for the others."""

    async def does(desk: Desk) -> None:
        desk.crew.gate = asyncio.Event()
        one = wanted(readings="r")
        first, second = (asyncio.create_task(desk.behind.asked(one, "truing")) for _ in range(2))
        await desk.rest()
        first.cancel()
        await desk.rest()
        desk.crew.gate.set()
        assert (await second).report == {"of": "s1", "part": "truing"}
        assert (await desk.behind.asked(one, "truing")).report["part"] == "truing"
        assert (await desk.behind.asked(wanted(readings="r2"), "truing")).report["of"] == "s1"
        await desk.rest()
        assert desk.behind._asked == {}, "an answer is kept on the bench and nowhere else"

    desk = at(tmp_path, does)
    orders = [(o.kind, o.sha256, o.text, o.parts) for o in desk.crew.orders]
    assert orders == [("truing", "s1", "text s1", ())] * 2
    assert set(desk.bench.held) == {("s1", "truing r"), ("s1", "truing r2")}
    assert desk.told == [("a", "truing", 3)] * 2
    assert not any(tmp_path.iterdir())


@pytest.mark.parametrize(
    ("error", "words"),
    [(Refused("no point is known"), "no point is known"), (WorkFailedError(), FAILED),
     (OSError(28, "No space left on device"), FAILED)],
)  # fmt: skip
def test_who_asks_is_told_why_there_is_no_answer(
    tmp_path: Path, error: Exception, words: str, caplog: pytest.LogCaptureFixture
) -> None:
    """What people do not read of it is in the log."""

    async def does(desk: Desk) -> None:
        desk.crew.fails = error
        found = await desk.behind.asked(wanted(tests="t"), "tests")
        assert found.report == {"missing": words}
        assert desk.bench.part("s1", "tests t-") is found

    at(tmp_path, does)
    said = words if isinstance(error, Refused) else repr(error)
    assert [r.getMessage() for r in caplog.records] == [f"slow work failed: {said}"]


def test_closing_stops_everything(tmp_path: Path) -> None:
    async def does(desk: Desk) -> None:
        desk.crew.gate = asyncio.Event()
        desk.behind.want(wanted())
        await desk.rest()
        waiting = asyncio.create_task(desk.behind.asked(wanted(sha="s2"), "truing"))
        desk.behind.want(wanted(job="b", sha="s3"))
        await desk.rest()
        await desk.behind.close()
        assert sorted(desk.crew.ended) == ["s1", "s2"]
        with pytest.raises(asyncio.CancelledError):
            await waiting

    assert [o.sha256 for o in at(tmp_path, does).crew.orders] == ["s1", "s2"]
