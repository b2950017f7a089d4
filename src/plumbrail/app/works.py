"""Everything that the routes need, in one place, and how it starts and ends."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from plumbrail.app.behind import Behind, Wanted, kept_as
from plumbrail.app.crew import Crew
from plumbrail.app.door import Door
from plumbrail.app.events import Hub
from plumbrail.app.messages import Figure
from plumbrail.app.office import At, Office, Truth
from plumbrail.app.proofs import Taken, figure
from plumbrail.app.tasks import Tasks
from plumbrail.app.weather_shelf import Shelf
from plumbrail.app.worked import Bench, PartDone, Worked
from plumbrail.app.worker import NOTEBOOK
from plumbrail.app.worker_site import TESTS

if TYPE_CHECKING:
    from plumbrail.store.store import Store


@dataclass(frozen=True)
class Sheet:
    """A file of what was measured on site; all empty where there is none."""

    text: str = ""
    sha256: str = ""


@dataclass(frozen=True)
class OnSite:
    """What was measured on site for a job."""

    notebook: Sheet
    """The readings as the reader of notebooks takes them."""
    tests: Sheet
    taken: Taken | None = None
    """How the file of tests came in."""

    def files(self) -> dict[str, bytes]:
        """For a worker to read."""
        both = {NOTEBOOK: self.notebook, TESTS: self.tests}
        return {name: sheet.text.encode() for name, sheet in both.items() if sheet.sha256}


def sheet_of(text: str) -> Sheet:
    """A file with its checksum."""
    import hashlib

    return Sheet(text, hashlib.sha256(text.encode()).hexdigest())


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
        self._judged: dict[str, PartDone] = {}

    async def close(self) -> None:
        """Stop all work and end all streams."""
        self.hub.close()
        await self.behind.close()
        await self.tasks.close()

    def on_site(self, job: str) -> OnSite:
        """The readings and the last file of tests of a job."""
        last = self.store.last_proof(job)
        if last is None:
            return OnSite(self.notebook(job), Sheet())
        tests = Sheet(self.store.text(last.sha256), last.sha256)
        return OnSite(self.notebook(job), tests, Taken(last.name, last.device, last.taken))

    def notebook(self, job: str) -> Sheet:
        """The readings of a job."""
        rows = self.store.rows(job)
        if not rows:
            return Sheet()
        from plumbrail.store.notebook_csv import notebook_csv

        return sheet_of(notebook_csv(rows))

    def truth(self, at: At, site: OnSite) -> Truth:
        """What is known of the gate and of the tests by now."""

        def part(name: str) -> PartDone | None:
            return self.bench.part(
                at.sha256, kept_as(name, site.notebook.sha256, site.tests.sha256)
            )

        tests = self._tests(at.step.job, part("tests")) if site.tests.sha256 else None
        readings = bool(site.notebook.sha256)
        return Truth(readings, part("truing") if readings else None, tests)

    def _tests(self, job: str, done: PartDone | None) -> Figure:
        if done is not None and "missing" not in done.report:
            self._judged[job] = done
        return figure(done, self._judged.get(job))

    def files(self, at: At) -> dict[str, bytes]:
        """The weather file that a worker may read."""
        worked = self.bench.worked(at.sha256, at.text)
        if not isinstance(worked, Worked):
            return {}
        return self.shelf.files(at.step.job, worked.loaded.plan)

    def wanted(self, at: At, site: OnSite) -> Wanted | None:
        """The slow work that a page with this plan waits for; None for a plan that is stuck."""
        if not isinstance(self.bench.worked(at.sha256, at.text), Worked):
            return None
        files = self.files(at) | site.files()
        return Wanted(at.step.job, at.step.revision, at.sha256, at.text, files,
                      site.notebook.sha256, site.tests.sha256)  # fmt: skip
