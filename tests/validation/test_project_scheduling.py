"""A published scheduling instance: j301_1 of the PSPLIB collection (Kolisch and Sprecher 1996).

30 jobs, four resources of 12, 13, 4 and 12 units; its critical path is printed in the file as 38.
The optimum of 43 follows from two proofs that agree; a third-party list prints the same.
"""

from __future__ import annotations

from datetime import date

import numpy as np

from plumbrail.works.calendar import Calendar
from plumbrail.works.lists import by_rule
from plumbrail.works.network import earliest
from plumbrail.works.parts import Link, Network, Task
from plumbrail.works.solve import quickest

DOCUMENT = "PSPLIB j30, instance j301_1"
# job: duration, units of R1 R2 R3 R4, successors
JOBS = {
    1: (0, 0, 0, 0, 0, (2, 3, 4)), 2: (8, 4, 0, 0, 0, (6, 11, 15)), 3: (4, 10, 0, 0, 0, (7, 8, 13)),
    4: (6, 0, 0, 0, 3, (5, 9, 10)), 5: (3, 3, 0, 0, 0, (20,)), 6: (8, 0, 0, 0, 8, (30,)),
    7: (5, 4, 0, 0, 0, (27,)), 8: (9, 0, 1, 0, 0, (12, 19, 27)), 9: (2, 6, 0, 0, 0, (14,)),
    10: (7, 0, 0, 0, 1, (16, 25)), 11: (9, 0, 5, 0, 0, (20, 26)), 12: (2, 0, 7, 0, 0, (14,)),
    13: (6, 4, 0, 0, 0, (17, 18)), 14: (3, 0, 8, 0, 0, (17,)), 15: (9, 3, 0, 0, 0, (25,)),
    16: (10, 0, 0, 0, 5, (21, 22)), 17: (6, 0, 0, 0, 8, (22,)), 18: (5, 0, 0, 0, 7, (20, 22)),
    19: (3, 0, 1, 0, 0, (24, 29)), 20: (7, 0, 10, 0, 0, (23, 25)), 21: (2, 0, 0, 0, 6, (28,)),
    22: (7, 2, 0, 0, 0, (23,)), 23: (2, 3, 0, 0, 0, (24,)), 24: (3, 0, 9, 0, 0, (30,)),
    25: (3, 4, 0, 0, 0, (30,)), 26: (7, 0, 0, 4, 0, (31,)), 27: (8, 0, 0, 0, 7, (28,)),
    28: (3, 0, 8, 0, 0, (31,)), 29: (7, 0, 7, 0, 0, (32,)), 30: (2, 0, 7, 0, 0, (32,)),
    31: (2, 0, 0, 2, 0, (32,)), 32: (0, 0, 0, 0, 0, ()),
}  # fmt: skip
UNITS = (12, 13, 4, 12)


def _instance() -> tuple[Network, Calendar]:
    before: dict[int, list[int]] = {j: [] for j in JOBS}
    for j, row in JOBS.items():
        for k in row[5]:
            before[k].append(j)
    tasks = tuple(
        Task(str(j), str(j), "frame", float(row[0]), (), tuple(Link(str(b)) for b in before[j]),
             tuple(f"R{r + 1}" for r in range(4) for _ in range(row[1 + r])))
        for j, row in JOBS.items()
    )  # fmt: skip
    tools = tuple((f"R{r + 1}", many) for r, many in enumerate(UNITS))
    days = 160
    none = np.zeros(days, dtype=bool)
    cal = Calendar(date(2026, 5, 4), np.ones(days, dtype=np.int64), np.full(days, 8.0),
                   np.full(days, 288.15), none, none, 1.0)  # fmt: skip
    return Network(tasks, 1, tools), cal


def test_j301_1(published):
    net, cal = _instance()
    found = quickest(net, cal)
    published(DOCUMENT, "critical path without resources", 38, earliest(net, cal).max(), 0, "-")
    published(DOCUMENT, "shortest makespan", 43, found.finish, 0, "-", certainty="second_hand")
    assert found.proven
    assert earliest(net, cal).max() <= found.finish <= by_rule(net, cal).finish
    _feasible(net, found)


def _feasible(net: Network, found) -> None:
    index = net.index()
    for i, t in enumerate(net.tasks):
        assert found.end[i] - found.start[i] == t.effort
        assert all(found.start[i] >= found.end[index[x.before]] for x in t.after)
    for name, many in net.tools:
        for tick in range(found.finish):
            on = [t for i, t in enumerate(net.tasks) if found.start[i] <= tick < found.end[i]]
            assert sum(t.tools.count(name) for t in on) <= many
