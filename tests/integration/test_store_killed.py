"""Killed at any moment, the store loses nothing that was acknowledged, and counts nothing twice."""

from __future__ import annotations

import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from plumbrail.store.failures import UnreachableError
from plumbrail.store.store import open_store
from stores import (
    Cluster,
    NoServerError,
    need_server,
    new_cluster,
    new_place,
    place_fixture,  # noqa: F401
)

WRITER = Path(__file__).parent.parent / "store_writer.py"
WRITERS = 3
ROUNDS = 5
JOB = "alder"
LONGEST_START = 60.0


def _start(place: str, name: str, out: Path) -> subprocess.Popen[bytes]:
    with out.open("wb") as file, _errors(out).open("wb") as errors:
        return subprocess.Popen(
            [sys.executable, str(WRITER), place, JOB, name], stdout=file, stderr=errors
        )


def _errors(out: Path) -> Path:
    return out.with_suffix(".errors")


def _acknowledged(out: Path) -> list[list[str]]:
    """Whole lines only: half of one was never told to anybody."""
    whole, _, _ = out.read_text().rpartition("\n")
    return [line.split() for line in whole.splitlines()]


def _all_write(outs: list[Path], writers: list[subprocess.Popen[bytes]]) -> None:
    until = time.monotonic() + LONGEST_START
    while not all(out.stat().st_size for out in outs):
        for writer, out in zip(writers, outs, strict=True):
            if writer.poll() is not None:
                pytest.fail(_errors(out).read_text())
        assert time.monotonic() < until, "the writers do not begin"
        time.sleep(0.01)


def _end(outs: list[Path], writers: list[subprocess.Popen[bytes]]) -> None:
    for writer in writers:
        if writer.poll() is None:
            os.kill(writer.pid, signal.SIGKILL)
        writer.wait()
    failed = "".join(_errors(out).read_text() for out in outs)
    assert not failed, f"a writer failed before it was killed: {failed}"


def _verify(place: str, told: list[list[str]]) -> None:
    with open_store(place) as store:
        steps, rows = store.steps(JOB), store.rows(JOB)
        for step in steps:
            store.text(step.sha256)  # raises when it is not what was written
    by_uid = {step.uid: step.revision for step in steps}
    uids = {row.uid for row in rows}
    for words in told:
        if words[0] == "step":
            assert by_uid.get(words[1]) == int(words[2])
        else:
            assert words[1] in uids
    assert len(by_uid) == len(steps)
    assert len(uids) == len(rows)
    assert [step.revision for step in steps] == list(range(1, len(steps) + 1))
    assert [row.seq for row in rows] == list(range(1, len(rows) + 1))
    if "://" not in place:
        connection = sqlite3.connect(place)
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
        connection.close()


def _begin(place: str) -> None:
    with open_store(place) as store:
        store.add_job(JOB, "begun-0001", "[job]\n", "Alder", "desk", "begun")


def test_writers_killed_under_load(place: str, tmp_path: Path) -> None:
    """Three writers on one job, each killed with -9 at its own moment, five times."""
    _begin(place)
    told: list[list[str]] = []
    for round_ in range(ROUNDS):
        names = [f"r{round_}w{n}" for n in range(WRITERS)]
        outs = [tmp_path / name for name in names]
        writers = [_start(place, *pair) for pair in zip(names, outs, strict=True)]
        try:
            _all_write(outs, writers)
            for writer in writers:
                time.sleep(random.uniform(0.02, 0.4))
                os.kill(writer.pid, signal.SIGKILL)
        finally:
            _end(outs, writers)
        told += [words for out in outs for words in _acknowledged(out)]
        _verify(place, told)
    assert len(told) > ROUNDS * WRITERS


@pytest.fixture
def own_server() -> Iterator[Cluster]:
    try:
        made = new_cluster()
    except NoServerError as why:
        need_server(why)
        raise
    yield made
    made.stop()


def test_server_killed_under_load(own_server: Cluster, tmp_path: Path) -> None:
    """The server and all its processes killed with -9 while three writers are at it."""
    place = own_server.new_database()
    _begin(place)
    names = [f"s{n}" for n in range(WRITERS)]
    outs = [tmp_path / name for name in names]
    writers = [_start(place, *pair) for pair in zip(names, outs, strict=True)]
    with open_store(place) as survivor:
        try:
            _all_write(outs, writers)
            time.sleep(random.uniform(0.2, 0.8))
            before = survivor.head(JOB).revision
            own_server.kill()
            # each of them said in plain words that the server is gone
            assert [writer.wait(60) for writer in writers] == [3] * WRITERS
        finally:
            _end(outs, writers)
        with pytest.raises(UnreachableError, match="does not answer"):
            survivor.head(JOB)
        own_server.start()
        told = [words for out in outs for words in _acknowledged(out)]
        assert len(told) > WRITERS
        _verify(place, told)
        assert survivor.head(JOB).revision >= before  # open all the time, it finds the server again


@pytest.mark.parametrize("kind", ["sqlite", "postgresql"])
def test_many_processes_make_the_store_at_once(kind: str, tmp_path: Path) -> None:
    """Whoever is first makes the tables, the others find them; and one of them begins the job."""
    fresh = new_place(kind, tmp_path)
    code = (
        "import sys; from plumbrail.store.store import open_store\n"
        "with open_store(sys.argv[1], wait=60) as store:\n"
        "    made = store.add_job(sys.argv[2], 'same-uid-1', 'text', 'n', 'desk', 'begun')\n"
        "    print(made.job, made.revision)"
    )
    running = [
        subprocess.Popen([sys.executable, "-c", code, fresh, f"job{n}"], stdout=subprocess.PIPE)
        for n in range(4)
    ]
    said = {process.communicate(timeout=120)[0] for process in running}
    assert [process.returncode for process in running] == [0] * 4
    assert len(said) == 1
    with open_store(fresh) as store:
        assert len(store.jobs()) == 1
