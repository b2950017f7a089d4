"""Routes of letting in and shutting out, and the stream of events."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from io import BytesIO
from urllib.parse import quote

from starlette.concurrency import run_in_threadpool as threaded
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response, StreamingResponse
from starlette.routing import Route

from plumbrail.app.answers import answer, answering, message, refused, works_of
from plumbrail.app.door import ShutError
from plumbrail.app.gate import cookie_name, here
from plumbrail.app.messages import DeviceItem, Event, Invitation, Pair

_YEAR = 365 * 24 * 3600
_ONLY_HERE = "only the laptop itself may do this; open this page there"


def _address(request: Request) -> str:
    return request.client.host if request.client else ""


def _let_in(request: Request, response: Response, token: str) -> Response:
    """The cookie: never readable by scripts, never sent from another site."""
    response.set_cookie(cookie_name(request.scope), token, max_age=_YEAR, path="/", httponly=True,
                        samesite="strict")  # fmt: skip
    return response


async def launch(request: Request) -> Response:
    """GET /launch?token=&job=: the browser at the desk comes in once and goes on without it."""
    works = works_of(request)
    job = request.query_params.get("job", "")
    go = RedirectResponse(f"/?job={quote(job, safe='')}" if job else "/", 303)
    if request.scope["state"].get("device") is not None:
        return go
    name = f"Desk, {datetime.now().astimezone():%Y-%m-%d %H:%M}"
    try:
        token = await threaded(
            works.door.enter_by_link, request.query_params.get("token", ""), name,
            _address(request),
        )  # fmt: skip
    except ShutError as error:
        return _shut(error)
    return _let_in(request, go, token)


async def pair(request: Request) -> Response:
    """POST /pair: a phone with its code."""
    works = works_of(request)
    asked = await message(request, Pair)
    name = " ".join(asked.name.split()) or "Phone"
    try:
        token = await threaded(works.door.enter_by_code, asked.code, name, _address(request))
    except ShutError as error:
        return _shut(error)
    works.hub.tell(Event(kind="devices"))
    return _let_in(request, answer(request, {"go": "/phone"}), token)


def _shut(error: ShutError) -> Response:
    response = refused(429 if error.wait else 403, str(error))
    if error.wait:
        response.headers["retry-after"] = str(int(error.wait) + 1)
    return response


async def invite(request: Request) -> Response:
    """POST /api/invitations: a code for one phone; only from this machine."""
    if not here(request.scope):
        return refused(403, _ONLY_HERE)
    works = works_of(request)
    address = request.app.state.phone_address
    if not address:
        return refused(422, "phones cannot reach this server; start it with plumbrail app --lan")
    code = works.door.invite()
    url = f"{address}/let-in#{code.text}"
    svg = await threaded(_square, url)
    expires = datetime.now(UTC) + timedelta(seconds=code.seconds)
    found = Invitation(url=url, code=code.text, svg=svg, expires=expires.isoformat())
    return answer(request, found)


def _square(text: str) -> str:
    """The square code as an SVG document: as an image it is not drawn without its namespace."""
    import segno

    out = BytesIO()
    segno.make(text, error="m").save(out, kind="svg", scale=6, border=4, omitsize=True,
                                     xmldecl=False, nl=False)  # fmt: skip
    return out.getvalue().decode()


async def devices(request: Request) -> Response:
    """GET /api/devices; only from this machine."""
    if not here(request.scope):
        return refused(403, _ONLY_HERE)
    found = await threaded(works_of(request).store.devices)
    own = request.scope["state"]["device"].id
    return answer(request, [
        DeviceItem(id=d.id, name=f"{d.name} (this one)" if d.id == own else d.name,
                   let_in=d.let_in, seen=d.seen, revoked=bool(d.revoked),
                   own=d.id == own).model_dump()
        for d in reversed(found)
    ])  # fmt: skip


async def shut_out(request: Request) -> Response:
    """DELETE /api/devices/{id}: out at once, with its open streams; only from this machine."""
    if not here(request.scope):
        return refused(403, _ONLY_HERE)
    works, id = works_of(request), request.path_params["id"]
    if id not in {d.id for d in await threaded(works.store.devices)}:
        return refused(404, "there is no such device")
    await threaded(works.door.revoke, id)
    works.hub.shut_out(id)
    works.hub.tell(Event(kind="devices"))
    return answer(request, {})


async def events(request: Request) -> Response:
    """GET /api/events: one stream for the whole page."""
    hub = works_of(request).hub
    listener = hub.join(request.scope["state"]["device"].id)
    return StreamingResponse(hub.stream(listener), media_type="text/event-stream")


def routes() -> list[Route]:
    """All of them."""
    found = [
        ("/launch", launch, "GET"), ("/pair", pair, "POST"),
        ("/api/invitations", invite, "POST"), ("/api/devices", devices, "GET"),
        ("/api/devices/{id}", shut_out, "DELETE"), ("/api/events", events, "GET"),
    ]  # fmt: skip
    return [Route(path, answering(endpoint), methods=[method]) for path, endpoint, method in found]
