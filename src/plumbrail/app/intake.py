"""Taking a plan file from the command line in as a job, and the demo for a store without jobs."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path

from plumbrail.app.works import Works
from plumbrail.store.failures import UnknownJobError
from plumbrail.store.records import StepKind
from plumbrail.store.store import Store

DEMO = "alder-creek"
_BY = "command line"


def take_file(works: Works, file: str) -> str:
    """The job of a plan file: the same file is the same job, with a new revision when the file
    itself was changed since it was last taken in. Raises PlanError for a file that cannot be read.
    """
    from plumbrail.plan.reader import load_plan

    loaded = load_plan(file)
    path = Path(file).resolve()
    text = loaded.text.removeprefix("\ufeff")
    job = job_id(path)
    sha256 = hashlib.sha256(text.encode()).hexdigest()
    uid = f"file-{sha256[:40]}"
    try:
        head = works.store.head(job)
    except UnknownJobError:
        works.office.begin(text, f"{uid}-{job}"[:64], _BY, f"{path.name} was taken in", job)
    else:
        if _last_taken(works.store, job) != sha256 and head.sha256 != sha256:
            works.store.add_step(job, head.revision, f"{uid}-{head.revision}", StepKind.IMPORT,
                                 text, loaded.plan.job.name, _BY,
                                 f"{path.name} was changed outside and taken in")  # fmt: skip
    works.shelf.take(job, loaded.plan, path.parent)
    return job


def job_id(path: Path) -> str:
    """From the file's name and its place."""
    plain = re.sub(r"[^a-z0-9]+", "-", path.stem.lower()).strip("-")[:40] or "plan"
    return f"{plain}-{hashlib.sha256(str(path).encode()).hexdigest()[:6]}"


def _last_taken(store: Store, job: str) -> str:
    """Checksum of the file as it was last taken in."""
    taken = [s for s in store.steps(job) if s.kind in (StepKind.BEGUN, StepKind.IMPORT)]
    return taken[-1].sha256


def demo_if_empty(works: Works) -> None:
    """A store without a job gets the demo."""
    from plumbrail.plan.demos import demo_text

    if not works.store.jobs():
        works.office.begin(demo_text(DEMO), f"demo-{DEMO}", _BY, "the demo plan", DEMO)
