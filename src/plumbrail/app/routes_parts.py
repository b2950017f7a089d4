"""Routes of what follows from a plan: checks, parts, drawings, tasks and their files."""

from __future__ import annotations

import shutil

from starlette.concurrency import run_in_threadpool as threaded
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from plumbrail.app import parts, proofs
from plumbrail.app.answers import answer, answering, message, number_of, refused, works_of
from plumbrail.app.messages import Event, TaskIn, TestsText
from plumbrail.app.office import At
from plumbrail.app.routes_jobs import file_answer
from plumbrail.app.worked import PartDone
from plumbrail.app.worker import NOTEBOOK, Order
from plumbrail.app.worker_site import TESTS

SLOW = ("yield", "wire", "trench", "works", "proving")
_TYPES = {
    "pdf": "application/pdf", "dxf": "image/vnd.dxf", "svg": "image/svg+xml",
    "zip": "application/zip",
}  # fmt: skip


async def _at(request: Request) -> At:
    works = works_of(request)
    return await threaded(
        works.office.at, request.path_params["job"], number_of(request, "revision")
    )


async def explanation(request: Request) -> Response:
    """GET /api/jobs/{job}/checks/{id}."""
    from plumbrail.app.explaining import explained

    at, works = await _at(request), works_of(request)
    return answer(request, await threaded(explained, works.office, at, request.path_params["id"]))


async def part(request: Request) -> Response:
    """GET /api/jobs/{job}/parts/{part}."""
    at, works, name = await _at(request), works_of(request), request.path_params["part"]
    if name == "cut":
        return answer(request, await threaded(parts.cut, works.office, at))
    if name == "stake":
        return answer(request, await threaded(parts.stake, works.office, at))
    if name == "drawings":
        return answer(request, await threaded(parts.drawings, works.office, at))
    if name not in SLOW:
        return refused(
            404, f"the parts are cut, {', '.join(SLOW)}, stake, drawings and drawing/NAME"
        )
    found = parts.slow(works.office, at, name)
    if found == parts.PENDING:
        wanted = await threaded(works.wanted, at, await threaded(works.notebook, at.step.job))
        if wanted is None:
            return answer(request, {"missing": "this plan cannot be worked out"})
        works.behind.want(wanted)
    return answer(request, found)


async def drawing(request: Request) -> Response:
    """GET /api/jobs/{job}/parts/drawing/{name}?sheet=: one sheet as SVG."""
    at, works = await _at(request), works_of(request)
    sheet = number_of(request, "sheet") or 1
    name = request.path_params["name"]
    svg = await threaded(parts.drawing, works.office, at, name, sheet)
    return Response(svg, media_type="image/svg+xml")


async def calendar(request: Request) -> Response:
    """GET /api/jobs/{job}/works.ics: the days of the works for a calendar, once worked out."""
    at, works = await _at(request), works_of(request)
    done = works.office.bench.part(at.sha256, "works")
    if done is None or done.kept is None:
        return refused(404, "the works of this plan are not worked out; open the page Works")
    return file_answer(done.kept, f"{at.step.job}-works.ics", "text/calendar; charset=utf-8")


async def tests(request: Request) -> Response:
    """POST /api/jobs/{job}/tests: a CSV of tests, judged by the plan and the readings."""
    asked = await message(request, TestsText)
    at, works = await _at(request), works_of(request)
    book = await threaded(works.notebook, at.step.job)
    files = {**await threaded(works.files, at), TESTS: asked.text.encode()}
    if book.sha256:
        files[NOTEBOOK] = book.text.encode()
    found: list[PartDone] = []
    folder = await works.crew.run(
        Order("tests", at.sha256, at.text, ""), files, lambda _, done: found.append(done)
    )
    await threaded(shutil.rmtree, folder, True)
    if "missing" in found[-1].report:
        return refused(422, found[-1].report["missing"])
    by = proofs.Against(at.sha256, book.sha256)
    key, revision = proofs.key_of(asked.text, by), at.step.revision
    tested = proofs.Tested(by, revision, asked.name, key, found[-1])
    works.tested[at.step.job] = tested
    works.hub.tell(Event(kind="part", job=at.step.job, revision=revision, part="tests"))
    return answer(request, tested.told(by))


async def last_tests(request: Request) -> Response:
    """GET /api/jobs/{job}/tests: verdicts of the last file that was judged, or ``empty``."""
    at, works = await _at(request), works_of(request)
    tested = works.tested.get(at.step.job)
    if tested is None:
        return answer(request, {"empty": True})
    book = await threaded(works.notebook, at.step.job)
    return answer(request, tested.told(proofs.Against(at.sha256, book.sha256)))


async def test_story(request: Request) -> Response:
    """GET /api/jobs/{job}/tests/{id}?key=: the steps behind one test of the last file, without a
    key those behind what is expected."""
    at, works = await _at(request), works_of(request)
    key, tested = request.query_params.get("key"), works.tested.get(at.step.job)
    if key is None:
        done = works.office.bench.part(at.sha256, "proving")
    else:
        done = tested.done if tested is not None and tested.key == key else None
    stories = None if done is None else done.kept
    return answer(request, proofs.story(stories, request.path_params["id"]))


async def new_task(request: Request) -> Response:
    """POST /api/jobs/{job}/tasks."""
    asked = await message(request, TaskIn)
    works, job = works_of(request), request.path_params["job"]

    def look() -> tuple[At, dict[str, bytes]]:
        at = works.office.at(job)
        works.office.worked(at)
        files = works.files(at)
        if asked.readings:
            notebook = works.notebook(job)
            if notebook.sha256:
                files[NOTEBOOK] = notebook.text.encode()
        return at, files

    at, files = await threaded(look)
    task = works.tasks.begin(job, at.step.revision, asked, at.sha256, at.text, files)
    return answer(request, task.told(), 202)


async def task(request: Request) -> Response:
    """GET /api/tasks/{id}."""
    found = works_of(request).tasks.find(request.path_params["id"])
    if found is None:
        return refused(404, "there is no such task any more; start it again")
    return answer(request, found.told())


async def stop_task(request: Request) -> Response:
    """DELETE /api/tasks/{id}."""
    found = works_of(request).tasks.stop(request.path_params["id"])
    if found is None:
        return refused(404, "there is no such task any more")
    return answer(request, found.told())


async def task_file(request: Request) -> Response:
    """GET /api/tasks/{id}/files/{name}."""
    name = request.path_params["name"]
    path = works_of(request).tasks.file(request.path_params["id"], name)
    if path is None:
        return refused(404, "there is no such file any more; start the task again")
    kind = _TYPES.get(path.suffix.removeprefix("."), "application/octet-stream")
    return file_answer(await threaded(path.read_bytes), name, kind)


def routes() -> list[Route]:
    """All of them."""
    at, one = "/api/jobs/{job}", "/api/tasks/{id}"
    found = [
        (f"{at}/checks/{{id}}", explanation, "GET"), (f"{at}/parts/{{part}}", part, "GET"),
        (f"{at}/parts/drawing/{{name}}", drawing, "GET"), (f"{at}/tasks", new_task, "POST"),
        (f"{at}/works.ics", calendar, "GET"), (f"{at}/tests", tests, "POST"),
        (f"{at}/tests", last_tests, "GET"), (f"{at}/tests/{{id}}", test_story, "GET"),
        (one, task, "GET"), (one, stop_task, "DELETE"), (f"{one}/files/{{name}}", task_file, "GET"),
    ]  # fmt: skip
    return [Route(path, answering(endpoint), methods=[method]) for path, endpoint, method in found]
