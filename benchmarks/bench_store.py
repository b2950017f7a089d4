"""The store: time by the clock of one acknowledged write, and of what a page asks for.

A write is one whole call, flushed to the disk before it returns (SQLite, synchronous = FULL), so it
is measured on the wall: most of it is waiting for the disk. Run:
``python -m benchmarks.bench_store``; ``PLUMBRAIL_BENCH_STORE=postgresql://…`` for a server (an
empty database), also.
"""

from __future__ import annotations

import os
import statistics
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from plumbrail.plan.demos import demo_text
from plumbrail.store.records import NewRow, StepKind
from plumbrail.store.store import Store, open_store

Row = tuple[str, float, str]
TIMES = 100
JOB = "bench"


def run() -> list[Row]:
    """Rows (what, value, unit)."""
    with tempfile.TemporaryDirectory() as folder:
        rows = list(_measured(Path(folder) / "store.db", Path(folder)))
        server = os.environ.get("PLUMBRAIL_BENCH_STORE", "")
        return rows + (list(_measured(server, Path(folder))) if server else [])


def _measured(place: str | Path, folder: Path) -> Iterator[Row]:
    kind = "server" if isinstance(place, str) else "SQLite"
    start = time.perf_counter()
    with open_store(place) as store:
        yield f"{kind}: open, tables made", 1e3 * (time.perf_counter() - start), "ms"
        plan = demo_text("alder-creek")
        store.add_job(JOB, "bench-begin", plan, "bench", "desk", "begun")
        yield f"{kind}: add a step (plan of the demo)", _median(_step(store, plan)), "ms"
        yield f"{kind}: add a row", _median(_row(store, 1)), "ms"
        yield f"{kind}: add 20 rows", _median(_row(store, 20)), "ms"
        yield f"{kind}: all steps of a job, {TIMES + 1}", _median(lambda _: store.steps(JOB)), "ms"
        yield f"{kind}: all rows of a job, {TIMES * 21}", _median(lambda _: store.rows(JOB)), "ms"
        save = _median(lambda n: store.backup(folder / f"{kind}-{n}.db"), 5)
        yield f"{kind}: backup of that", save, "ms"


def _step(store: Store, plan: str) -> Callable[[int], object]:
    return lambda n: store.add_step(
        JOB, n + 1, f"bench-{n:05}", StepKind.EDIT, f"{plan}\n# {n}", "bench", "desk", "bench"
    )


def _row(store: Store, count: int) -> Callable[[int], object]:
    def add(n: int) -> object:
        some = [NewRow(f"b{count}-{n}-{k}", kind="rod", start="F1", value="4 ft 3 1/2 in")
                for k in range(count)]  # fmt: skip
        return store.add_rows(JOB, some, "phone")

    return add


def _median(what: Callable[[int], object], times: int = TIMES) -> float:
    """Milliseconds of the one in the middle."""
    taken = []
    for n in range(times):
        begin = time.perf_counter()
        what(n)
        taken.append(time.perf_counter() - begin)
    return 1e3 * statistics.median(taken)


if __name__ == "__main__":
    for name, value, unit in run():
        print(f"{name:<72} {value:>12.4g} {unit}")
