"""Routes of jobs: states, edits, steps, revisions, import and export."""

from __future__ import annotations

import time

from starlette.concurrency import run_in_threadpool as threaded
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from plumbrail.app.answers import answer, answering, message, number_of, refused, works_of
from plumbrail.app.messages import (
    Broken,
    Edit,
    Event,
    Go,
    Name,
    NewJob,
    PlanText,
    RevisionItem,
    State,
)
from plumbrail.app.office import At
from plumbrail.app.works import Works


def by_of(request: Request) -> str:
    """The name of the device that asks, for the list of revisions."""
    return str(request.scope["state"]["device"].name)


async def shown(request: Request, at: At, began: float, told: bool = False) -> Response:
    """The state at a revision; its slow parts begin when it is the job's last."""
    works = works_of(request)

    def look() -> tuple[State | Broken, object]:
        site = works.on_site(at.step.job)
        state = works.office.state(at, works.truth(at, site), began)
        return state, works.wanted(at, site) if at.last else None

    state, wanted = await threaded(look)
    if wanted is not None:
        works.behind.want(wanted)  # type: ignore[arg-type]
    if told:
        works.hub.tell(Event(kind="revision", job=at.step.job, revision=at.step.revision))
    return answer(request, state)


async def jobs(request: Request) -> Response:
    """GET /api/jobs."""
    found = await threaded(works_of(request).office.jobs)
    return answer(request, [j.model_dump() for j in found])


async def new_job(request: Request) -> Response:
    """POST /api/jobs."""
    began = time.perf_counter()
    asked = await message(request, NewJob)
    if (asked.demo is None) is (asked.plan is None):
        return refused(422, "give the name of a demo, or the text of a plan")
    works, by = works_of(request), by_of(request)

    def begin() -> At:
        text, words = _text_of(asked)
        step = works.office.begin(text, asked.uid, by, words)
        return works.office.at(step.job)

    return await shown(request, await threaded(begin), began, told=True)


def _text_of(asked: NewJob) -> tuple[str, str]:
    from plumbrail.plan.demos import demo_text
    from plumbrail.plan.starter import starter_text

    if asked.demo == "starter":
        return starter_text(), "the starter plan"
    if asked.demo is not None:
        return demo_text(asked.demo), f"the demo plan {asked.demo}"
    return (asked.plan or "").removeprefix("\ufeff"), "a plan file was taken in"


async def job(request: Request) -> Response:
    """GET /api/jobs/{job}."""
    began = time.perf_counter()
    works, name = works_of(request), request.path_params["job"]
    at = await threaded(works.office.at, name, number_of(request, "revision"))
    return await shown(request, at, began)


async def edits(request: Request) -> Response:
    """POST /api/jobs/{job}/edits."""
    began = time.perf_counter()
    asked = await message(request, Edit)
    works, name = works_of(request), request.path_params["job"]
    at = await threaded(
        works.office.edit, name, asked.revision, asked.changes, asked.uid, by_of(request)
    )
    return await shown(request, at, began, told=True)


async def steps(request: Request) -> Response:
    """POST /api/jobs/{job}/steps."""
    began = time.perf_counter()
    asked = await message(request, Go)
    works, name = works_of(request), request.path_params["job"]
    at = await threaded(
        works.office.go, name, asked.revision, asked.step, asked.to, asked.uid, by_of(request)
    )
    return await shown(request, at, began, told=True)


async def take_plan(request: Request) -> Response:
    """POST /api/jobs/{job}/plan."""
    began = time.perf_counter()
    asked = await message(request, PlanText)
    works, name = works_of(request), request.path_params["job"]
    text = asked.plan.removeprefix("\ufeff")
    at = await threaded(works.office.take_in, name, asked.revision, text, asked.uid, by_of(request))
    return await shown(request, at, began, told=True)


async def plan_file(request: Request) -> Response:
    """GET /api/jobs/{job}/plan.toml, at a revision if one is named."""
    works, name = works_of(request), request.path_params["job"]
    at = await threaded(works.office.at, name, number_of(request, "revision"))
    return file_answer(at.text.encode(), f"{name}.toml", "application/toml")


def file_answer(data: bytes, name: str, kind: str) -> Response:
    """A file to save, never shown as a page."""
    safe = "".join(c if c.isascii() and (c.isalnum() or c in "._-") else "-" for c in name)
    headers = {"content-disposition": f'attachment; filename="{safe}"'}
    return Response(data, headers=headers, media_type=kind)


async def names(request: Request) -> Response:
    """POST /api/jobs/{job}/names."""
    asked = await message(request, Name)
    works, name = works_of(request), request.path_params["job"]
    await threaded(
        works.store.name_revision, name, asked.revision, asked.name.strip(), by_of(request)
    )
    works.hub.tell(Event(kind="revision", job=name, revision=asked.revision))
    return answer(request, await threaded(_revisions, works, name))


async def revisions(request: Request) -> Response:
    """GET /api/jobs/{job}/revisions."""
    works, name = works_of(request), request.path_params["job"]
    return answer(request, await threaded(_revisions, works, name))


def _revisions(works: Works, job: str) -> list[dict[str, object]]:
    named = {n.revision: n.name for n in works.store.names(job)}
    return [
        RevisionItem(
            revision=s.revision, kind=s.kind.value, words=s.words, name=named.get(s.revision, ""),
            by=s.by, at=s.at,
        ).model_dump()
        for s in reversed(works.store.steps(job))
    ]  # fmt: skip


async def compared(request: Request) -> Response:
    """GET /api/jobs/{job}/compare?a=&b=."""
    from plumbrail.app.compare import compare

    works, name = works_of(request), request.path_params["job"]
    a, b = number_of(request, "a"), number_of(request, "b")

    def look() -> object:
        return compare(works.office, works.office.at(name, a), works.office.at(name, b))

    return answer(request, await threaded(look))


def routes() -> list[Route]:
    """All of them."""
    at = "/api/jobs/{job}"
    found = [
        ("/api/jobs", jobs, "GET"), ("/api/jobs", new_job, "POST"), (at, job, "GET"),
        (f"{at}/edits", edits, "POST"), (f"{at}/steps", steps, "POST"),
        (f"{at}/names", names, "POST"), (f"{at}/revisions", revisions, "GET"),
        (f"{at}/compare", compared, "GET"), (f"{at}/plan", take_plan, "POST"),
        (f"{at}/plan.toml", plan_file, "GET"),
    ]  # fmt: skip
    return [Route(path, answering(endpoint), methods=[method]) for path, endpoint, method in found]
