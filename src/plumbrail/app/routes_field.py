"""Routes of the field: readings, the notebook, truing and ticks."""

from __future__ import annotations

from starlette.concurrency import run_in_threadpool as threaded
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from plumbrail.app import fieldwork, ticklists
from plumbrail.app.answers import answer, answering, message, number_of, works_of
from plumbrail.app.behind import Wanted
from plumbrail.app.fieldwork import uids_of_lines
from plumbrail.app.messages import Event, NotebookText, RowsIn, Taken, TicksIn
from plumbrail.app.picture import picture
from plumbrail.app.routes_jobs import file_answer
from plumbrail.app.worker import NOTEBOOK
from plumbrail.app.works import Works


def _device(request: Request) -> str:
    return str(request.scope["state"]["device"].id)


async def readings(request: Request) -> Response:
    """GET /api/jobs/{job}/readings?after=: rows as they were entered, struck ones too."""
    works, job = works_of(request), request.path_params["job"]
    rows = await threaded(works.store.rows, job, number_of(request, "after") or 0)
    names = await threaded(_names, works)
    found = [
        {field: getattr(row, field) for field in row.__slots__}
        | {"device": names.get(row.device, row.device)}
        for row in rows
    ]
    return answer(request, {"rows": found, "last": rows[-1].seq if rows else 0})


def _names(works: Works) -> dict[str, str]:
    return {d.id: d.name for d in works.store.devices()}


async def add_readings(request: Request) -> Response:
    """POST /api/jobs/{job}/readings: acknowledged once it is on the disk."""
    from plumbrail.store.records import NewRow

    asked = await message(request, RowsIn)
    works, job = works_of(request), request.path_params["job"]
    rows = [NewRow(**row.model_dump()) for row in asked.rows]
    taken = await threaded(works.store.add_rows, job, rows, _device(request))
    return await _took(request, job, Taken(uids=list(taken.uids), last=taken.last))


async def _took(request: Request, job: str, taken: Taken) -> Response:
    works = works_of(request)
    works.hub.tell(Event(kind="readings", job=job, last=taken.last))
    return answer(request, taken)


async def add_notebook(request: Request) -> Response:
    """POST /api/jobs/{job}/notebook: a CSV; rows already there count once."""
    asked = await message(request, NotebookText)
    works, job = works_of(request), request.path_params["job"]
    taken = await threaded(works.store.import_csv, job, asked.text, _device(request))
    return await _took(request, job, Taken(uids=list(taken.uids), last=taken.last))


async def notebook(request: Request) -> Response:
    """GET /api/jobs/{job}/notebook.csv."""
    works, job = works_of(request), request.path_params["job"]
    text = await threaded(works.store.notebook_csv, job)
    return file_answer(text.encode(), f"{job}-readings.csv", "text/csv; charset=utf-8")


async def truing(request: Request) -> Response:
    """GET /api/jobs/{job}/truing: TrueReport with ``picture``, ``empty`` or ``missing``, and the
    ``revision`` of the plan that it is of."""
    works, job = works_of(request), request.path_params["job"]
    book = await threaded(works.notebook, job)
    at = await threaded(works.office.at, job)
    of = {"revision": at.step.revision}
    if not book.sha256:
        return answer(request, {"empty": True, **of})
    await threaded(works.office.loaded, at)
    done = await works.behind.asked(
        Wanted(at.step.job, at.step.revision, at.sha256, at.text,
               {NOTEBOOK: book.text.encode()}, book.sha256),
        "truing",
    )  # fmt: skip
    if "points" not in done.report:  # only why it cannot be done
        return answer(request, {**done.report, **of})
    lines = uids_of_lines(await threaded(works.store.rows, job))
    return answer(request, {**done.report, "picture": picture(done.report), "lines": lines, **of})


async def field(request: Request) -> Response:
    """GET /api/jobs/{job}/field: points of the frame and the readings of the field sheet."""
    works, job = works_of(request), request.path_params["job"]
    at = await threaded(works.office.at, job)
    return answer(request, await threaded(fieldwork.field, works.office, at))


async def lists(request: Request) -> Response:
    """GET /api/jobs/{job}/lists: what is ticked off."""
    works, job = works_of(request), request.path_params["job"]
    at = await threaded(works.office.at, job)
    found = await threaded(ticklists.lists, works.office, at)
    wanted = await threaded(works.wanted, at, await threaded(works.on_site, job))
    if wanted is not None:
        works.behind.want(wanted)
    return answer(request, found)


async def ticks(request: Request) -> Response:
    """GET /api/jobs/{job}/ticks: the last tick of every item."""
    works, job = works_of(request), request.path_params["job"]
    names = await threaded(_names, works)
    found = await threaded(works.store.ticks, job)
    return answer(request, [
        {"list": t.list, "item": t.item, "done": t.done, "at": t.at,
         "device": names.get(t.device, t.device)}
        for t in found
    ])  # fmt: skip


async def add_ticks(request: Request) -> Response:
    """POST /api/jobs/{job}/ticks."""
    from plumbrail.store.records import NewTick

    asked = await message(request, TicksIn)
    works, job = works_of(request), request.path_params["job"]
    new = [NewTick(**tick.model_dump()) for tick in asked.ticks]
    taken = await threaded(works.store.add_ticks, job, new, _device(request))
    works.hub.tell(Event(kind="ticks", job=job, last=taken.last))
    return answer(request, Taken(uids=list(taken.uids), last=taken.last))


def routes() -> list[Route]:
    """All of them."""
    at = "/api/jobs/{job}"
    found = [
        (f"{at}/readings", readings, "GET"), (f"{at}/readings", add_readings, "POST"),
        (f"{at}/notebook", add_notebook, "POST"), (f"{at}/notebook.csv", notebook, "GET"),
        (f"{at}/truing", truing, "GET"), (f"{at}/ticks", ticks, "GET"),
        (f"{at}/field", field, "GET"), (f"{at}/lists", lists, "GET"),
        (f"{at}/ticks", add_ticks, "POST"),
    ]  # fmt: skip
    return [Route(path, answering(endpoint), methods=[method]) for path, endpoint, method in found]
