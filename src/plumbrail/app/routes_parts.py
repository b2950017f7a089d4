"""Routes of what follows from a plan: checks, parts, drawings, tasks and their files."""

from __future__ import annotations

from starlette.concurrency import run_in_threadpool as threaded
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from plumbrail.app import parts, proofs
from plumbrail.app.answers import answer, answering, message, number_of, refused, works_of
from plumbrail.app.behind import kept_as
from plumbrail.app.messages import Event, TaskIn, TestsText
from plumbrail.app.office import At
from plumbrail.app.routes_jobs import by_of, file_answer
from plumbrail.app.worked import PartDone
from plumbrail.app.works import OnSite, Works, sheet_of
from plumbrail.store.numbered import keepable

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
        wanted = await threaded(works.wanted, at, await threaded(works.on_site, at.step.job))
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
    """POST /api/jobs/{job}/tests: a CSV of tests, judged by the plan and the readings, and kept."""
    asked = await message(request, TestsText)
    at, works = await _at(request), works_of(request)
    sheet = sheet_of(keepable(asked.text))
    notebook = await threaded(works.notebook, at.step.job)
    done = await _judged(works, at, OnSite(notebook, sheet))
    if "missing" in done.report:
        return refused(422, done.report["missing"])
    await threaded(works.store.add_proof, at.step.job, sheet.text, asked.name, by_of(request))
    works.hub.tell(Event(kind="part", job=at.step.job, revision=at.step.revision, part="tests"))
    return await last_tests(request)


async def _judged(works: Works, at: At, site: OnSite) -> PartDone:
    wanted = await threaded(works.wanted, at, site)
    if wanted is None:
        return PartDone({"missing": "this plan cannot be worked out"})
    return await works.behind.asked(wanted, "tests")


async def last_tests(request: Request) -> Response:
    """GET /api/jobs/{job}/tests: what the last file of tests says of the plan and the readings as
    they are now; ``empty`` before there is one, ``missing`` with why it cannot be said."""
    at, works = await _at(request), works_of(request)
    site = await threaded(works.on_site, at.step.job)
    if not site.tests.sha256:
        return answer(request, {"empty": True})
    done = await _judged(works, at, site)
    return answer(request, proofs.told(done, site.taken, _key(site), at.step.revision))


async def tests_file(request: Request) -> Response:
    """GET /api/jobs/{job}/tests.csv: the last file of tests, as it came in."""
    works, job = works_of(request), request.path_params["job"]
    site = await threaded(works.on_site, job)
    if not site.tests.sha256:
        return refused(404, "no file of tests was taken in; open the page Proving")
    return file_answer(site.tests.text.encode(), f"{job}-tests.csv", "text/csv; charset=utf-8")


def _key(site: OnSite) -> str:
    """Name of the verdicts of a file of tests, beside the plan's."""
    return kept_as("tests", site.notebook.sha256, site.tests.sha256).removeprefix("tests ")


async def test_story(request: Request) -> Response:
    """GET /api/jobs/{job}/tests/{id}?key=: the steps behind one test of the last file, without a
    key those behind what is expected."""
    at, works = await _at(request), works_of(request)
    key = request.query_params.get("key")
    part = "proving" if key is None else f"tests {key}"
    done = works.office.bench.part(at.sha256, part)
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
            files |= works.on_site(job).files()
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
        (f"{at}/tests.csv", tests_file, "GET"),
        (f"{at}/tests", last_tests, "GET"), (f"{at}/tests/{{id}}", test_story, "GET"),
        (one, task, "GET"), (one, stop_task, "DELETE"), (f"{one}/files/{{name}}", task_file, "GET"),
    ]  # fmt: skip
    return [Route(path, answering(endpoint), methods=[method]) for path, endpoint, method in found]
