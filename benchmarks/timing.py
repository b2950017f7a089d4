"""How long something takes: the quickest of several runs."""

from __future__ import annotations

import time
from collections.abc import Callable


def quickest_wall(what: Callable[[], object], times: int) -> float:
    """Seconds by the clock on the wall."""
    return _least(what, times, time.perf_counter)


def quickest(what: Callable[[], object], times: int) -> float:
    """Seconds of the processor, which other work on the machine disturbs less."""
    return _least(what, times, time.process_time)


def _least(what: Callable[[], object], times: int, clock: Callable[[], float]) -> float:
    taken = []
    for _ in range(times):
        begin = clock()
        what()
        taken.append(clock() - begin)
    return min(taken)
