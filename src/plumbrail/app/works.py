"""Everything that the routes need, in one place, and how it starts and ends."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from plumbrail.app.behind import Behind, Wanted
from plumbrail.app.crew import Crew
from plumbrail.app.door import Door
from plumbrail.app.events import Hub
from plumbrail.app.office import At, Office, Truth
from plumbrail.app.proofs import Against, Tested, figure
from plumbrail.app.tasks import Tasks
from plumbrail.app.weather_shelf import Shelf
from plumbrail.app.worked import Bench, Worked
from plumbrail.app.worker import NOTEBOOK

if TYPE_CHECKING:
    from plumbrail.store.store import Store


@dataclass(frozen=True)
class Notebook:
    """The readings of a job as the reader of notebooks takes them."""

    text: str
    sha256: str
    """Empty without readings."""


class Works:
    """The parts of one running server."""

    def __init__(self, store: Store, weather: Path) -> None:
        self.store = store
        self.bench = Bench()
        self.office = Office(store, self.bench)
        self.hub = Hub()
        self.crew = Crew()
        self.behind = Behind(self.bench, self.crew, self.hub.tell)
        self.tasks = Tasks(self.crew, self.hub.tell)
        self.door = Door(store)
        self.shelf = Shelf(weather)
        self.tested: dict[str, Tested] = {}

    async def close(self) -> None:
        """Stop all work and end all streams."""
        self.hub.close()
        await self.behind.close()
        await self.tasks.close()

    def notebook(self, job: str) -> Notebook:
        """The readings of a job."""
        import hashlib

        rows = self.store.rows(job)
        if not rows:
            return Notebook("", "")
        from plumbrail.store.notebook_csv import notebook_csv

        text = notebook_csv(rows)
        return Notebook(text, hashlib.sha256(text.encode()).hexdigest())

    def truth(self, at: At, notebook: Notebook) -> Truth:
        """What is known of the gate and of the tests by now."""
        last = self.tested.get(at.step.job)
        tests = None if last is None else figure(last, Against(at.sha256, notebook.sha256))
        if not notebook.sha256:
            return Truth(False, None, tests)
        return Truth(True, self.bench.part(at.sha256, f"truing {notebook.sha256}"), tests)

    def files(self, at: At) -> dict[str, bytes]:
        """The weather file that a worker may read."""
        worked = self.bench.worked(at.sha256, at.text)
        if not isinstance(worked, Worked):
            return {}
        return self.shelf.files(at.step.job, worked.loaded.plan)

    def wanted(self, at: At, notebook: Notebook) -> Wanted | None:
        """The slow work that a page with this plan waits for; None for a plan that is stuck."""
        if not isinstance(self.bench.worked(at.sha256, at.text), Worked):
            return None
        files = self.files(at)
        if notebook.sha256:
            files[NOTEBOOK] = notebook.text.encode()
        return Wanted(at.step.job, at.step.revision, at.sha256, at.text, files, notebook.sha256)
