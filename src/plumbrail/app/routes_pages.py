"""Pages and what belongs to them: a closed list of files of the package, packed once."""

from __future__ import annotations

import gzip
import hashlib
import json
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from plumbrail.app.answers import answering, refused

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable

_TYPES = {
    "js": "text/javascript; charset=utf-8", "css": "text/css; charset=utf-8",
    "svg": "image/svg+xml", "html": "text/html; charset=utf-8", "woff2": "font/woff2",
    "png": "image/png", "json": "application/json",
}  # fmt: skip
PAGES = {"/": "index.html", "/phone": "phone.html", "/let-in": "let-in.html"}


@dataclass(frozen=True)
class Packed:
    """A file as it is sent."""

    plain: bytes
    packed: bytes
    tag: str
    kind: str


def pack(data: bytes, kind: str) -> Packed:
    """With its checksum, so that a browser that has it is not sent it again."""
    tag = f'"{hashlib.sha256(data).hexdigest()[:20]}"'
    return Packed(data, gzip.compress(data, 9, mtime=0), tag, kind)


@cache
def folder(name: str) -> dict[str, Traversable]:
    """The files of a folder of the package by name; nothing else can be asked for."""
    found = (files("plumbrail.app") / name).iterdir()
    return {f.name: f for f in found if f.is_file() and f.name.rpartition(".")[2] in _TYPES}


def _file(file: Traversable) -> Packed:
    return _packed(file.read_bytes(), _TYPES[file.name.rpartition(".")[2]])


_packed = cache(pack)


@cache
def _schema() -> Packed:
    from plumbrail.app.schema import schema

    return pack(json.dumps(schema(), separators=(",", ":")).encode(), _TYPES["json"])


@cache
def _demos() -> Packed:
    """What a job can be begun with: the starter, then each demo by the first line of its plan."""
    from plumbrail.plan.demos import demo_plan_names, demo_text

    found = [{"name": "starter", "words": "The starter: a small plan to fill in"}]
    for name in demo_plan_names():
        words = demo_text(name).partition("\n")[0].lstrip("# ").rstrip(".")
        found.append({"name": name, "words": f"Demo: {words}"})
    return pack(json.dumps(found, separators=(",", ":")).encode(), _TYPES["json"])


def sent(request: Request, file: Packed) -> Response:
    """The file, or word that it has not changed."""
    headers = {"etag": file.tag, "cache-control": "no-cache", "vary": "accept-encoding"}
    if file.tag in [t.strip() for t in request.headers.get("if-none-match", "").split(",")]:
        return Response(status_code=304, headers=headers)
    if "gzip" in request.headers.get("accept-encoding", ""):
        return Response(file.packed, headers={**headers, "content-encoding": "gzip"},
                        media_type=file.kind)  # fmt: skip
    return Response(file.plain, headers=headers, media_type=file.kind)


async def page(request: Request) -> Response:
    """GET /, /phone and /let-in."""
    file = folder("pages").get(PAGES[request.url.path])
    return refused(404, "this page is not there") if file is None else sent(request, _file(file))


async def static(request: Request) -> Response:
    """GET /static/{name}."""
    file = folder("static").get(request.path_params["name"])
    return refused(404, "there is no such file") if file is None else sent(request, _file(file))


async def schema_(request: Request) -> Response:
    """GET /api/schema."""
    from starlette.concurrency import run_in_threadpool

    return sent(request, await run_in_threadpool(_schema))


async def demos(request: Request) -> Response:
    """GET /api/demos."""
    from starlette.concurrency import run_in_threadpool

    return sent(request, await run_in_threadpool(_demos))


def routes() -> list[Route]:
    """All of them."""
    found = [*((path, page) for path in PAGES), ("/static/{name}", static),
             ("/api/schema", schema_), ("/api/demos", demos)]  # fmt: skip
    return [Route(path, answering(endpoint), methods=["GET"]) for path, endpoint in found]
