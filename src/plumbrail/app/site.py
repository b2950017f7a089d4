"""The web app: routes behind the gate."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from plumbrail.app import routes_door, routes_field, routes_jobs, routes_pages, routes_parts
from plumbrail.app.answers import refused
from plumbrail.app.gate import Gate
from plumbrail.app.works import Works

_WORDS = {404: "there is nothing at this address", 405: "this cannot be done at this address"}


def site(works: Works, phone_address: str = "") -> Gate:
    """The app for a server; ``phone_address`` is where phones reach it, empty when they cannot."""

    @asynccontextmanager
    async def life(_: Starlette) -> AsyncIterator[None]:
        works.hub.start()
        yield
        await works.close()

    groups = (routes_pages, routes_jobs, routes_parts, routes_field, routes_door)
    app = Starlette(
        routes=[route for group in groups for route in group.routes()],
        exception_handlers={HTTPException: _not_there},
        lifespan=life,
    )
    app.router.redirect_slashes = False
    app.state.works, app.state.phone_address = works, phone_address
    return Gate(app, works.door)


async def _not_there(request: Request, error: Exception) -> Response:
    status = error.status_code if isinstance(error, HTTPException) else 500
    return refused(status, _WORDS.get(status, "this cannot be done"))
