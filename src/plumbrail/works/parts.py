"""What passes between the steps of planning the works: frozen parts. Hours, not seconds."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


class Kind(Enum):
    """What a task is."""

    WORK = "work"
    HOLD = "hold point"
    """An inspection: the work behind it waits for it."""
    MARK = "milestone"
    """Takes no time."""


@dataclass(frozen=True)
class Wait:
    """What lies between the end of one task and the beginning of the next.

    ``what``: ``none``, ``days`` (calendar days), ``visit`` (the inspector's working days) or
    ``cure`` (maturity of concrete [K h]); ``amount`` in that unit.
    """

    what: str = "none"
    amount: float = 0.0


NOW = Wait()


@dataclass(frozen=True)
class Link:
    """A task that has to be done first."""

    before: str
    wait: Wait = NOW


@dataclass(frozen=True)
class Task:
    """One task."""

    id: str
    words: str
    chapter: str
    """``ground``, ``frame``, ``concrete``, ``electrical``, ``modules``, ``old array``, ``hold``."""
    effort: float
    """Hours of one person."""
    people: tuple[int, ...]
    """Numbers of people that can do it; empty: nobody of the crew is bound."""
    after: tuple[Link, ...] = ()
    tools: tuple[str, ...] = ()
    """Things of which there are few: ``auger``, ``mixer``; named once for each that it takes."""
    kind: Kind = Kind.WORK
    one_day: bool = False
    """May not be broken off overnight."""
    why: str = ""
    """Quantity and rate behind the effort, in words."""
    letter: str = ""
    """Of a hold point."""


@dataclass(frozen=True)
class Network:
    """All tasks, and how many there are of people and tools."""

    tasks: tuple[Task, ...]
    crew: int
    tools: tuple[tuple[str, int], ...] = ()
    helper: bool = False
    """Somebody comes to help one person with what takes two."""
    goal: str = ""
    """The task that ends the works; the last to end where empty."""

    def index(self) -> dict[str, int]:
        """Place of each task by its id."""
        return {t.id: i for i, t in enumerate(self.tasks)}

    def people(self, task: Task) -> tuple[int, ...]:
        """Numbers of people with which this crew can do the task."""
        able = tuple(k for k in task.people if k <= self.crew)
        if not able and self.helper and task.people and min(task.people) == self.crew + 1:
            return (min(task.people),)
        return able


@dataclass(frozen=True)
class Schedule:
    """When each task is done. Axis: task of the network; times in ticks of work."""

    start: IntArray
    end: IntArray
    people: IntArray
    finish: int
    """End of the works, in ticks."""
    bound: int
    """No schedule ends before this day."""
    last: int = 0
    """Day on which the works end; equal to ``bound`` when proven."""
    slack: IntArray = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    """(tasks,) ticks by which a task may end later with the works still ending on that day."""
    a_day: int = 1
    """Ticks of the longest day of work."""

    @property
    def proven(self) -> bool:
        """No schedule ends on an earlier day."""
        return self.bound >= self.last
