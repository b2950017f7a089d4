"""From a request to a message and from a result to an answer; never a traceback."""

from __future__ import annotations

import gzip
import json
from collections.abc import Awaitable, Callable
from typing import TypeVar

from pydantic import BaseModel, ValidationError
from starlette.requests import ClientDisconnect, Request
from starlette.responses import JSONResponse, Response

from plumbrail.app.gate import TooLargeError, fault, fault_words, loopback
from plumbrail.app.messages import FieldProblem, Refusal
from plumbrail.app.office import NothingError, ProblemsError
from plumbrail.app.works import Works
from plumbrail.errors import PlanError, PlumbrailError

Endpoint = Callable[[Request], Awaitable[Response]]
_M = TypeVar("_M", bound=BaseModel)
_SMALL = 1400
"""Bytes that fit in one packet anyway."""


def works_of(request: Request) -> Works:
    """The running server's parts."""
    found: Works = request.app.state.works
    return found


def answering(endpoint: Endpoint) -> Endpoint:
    """The endpoint with every error turned into words."""

    async def answered(request: Request) -> Response:
        try:
            return await endpoint(request)
        except TooLargeError:
            return refused(413, "this is too large; send it in smaller parts")
        except ClientDisconnect:
            return refused(400, "the line went down")
        except PlumbrailError as error:
            return refusal_of(error)
        except Exception:
            return refused(500, fault_words(fault(request.scope)))

    return answered


def refusal_of(error: PlumbrailError) -> Response:
    """Anything plumbrail refuses on purpose."""
    from plumbrail.store.failures import (
        BusyError,
        FullError,
        Stale,
        UnknownJobError,
        UnknownRevisionError,
        UnreachableError,
    )

    if isinstance(error, Stale):
        return refused(409, str(error), revision=error.revision)
    if isinstance(error, UnknownJobError | UnknownRevisionError | NothingError):
        return refused(404, str(error))
    if isinstance(error, BusyError | FullError | UnreachableError):
        return refused(503, str(error))
    if isinstance(error, ProblemsError):
        return refused(422, str(error), error.problems, error.revision)
    if isinstance(error, PlanError):
        from plumbrail.app.editing import field_problems

        problems = field_problems(error.problems)
        return refused(422, "; ".join(p.message for p in problems), problems)
    return refused(422, str(error))


def refused(
    status: int, words: str, problems: list[FieldProblem] | None = None,
    revision: int | None = None,
) -> Response:  # fmt: skip
    """A Refusal."""
    found = Refusal(error=words, problems=problems or [], revision=revision)
    return Response(found.model_dump_json(), status, media_type="application/json")


async def message(request: Request, kind: type[_M]) -> _M:
    """The body as a message; raises ProblemsError in words."""
    try:
        return kind.model_validate_json(await request.body())
    except ValidationError as error:
        problems = [
            FieldProblem(path=".".join(str(s) for s in e["loc"]), message=e["msg"])
            for e in error.errors(include_url=False, include_input=False, include_context=False)
        ]
        raise ProblemsError("this request is not understood", problems[:20], 0) from None


def answer(request: Request, found: BaseModel | object, status: int = 200) -> Response:
    """JSON, packed well for phones on the radio and quickly for the desk on this machine."""
    if isinstance(found, BaseModel):
        body = found.model_dump_json().encode()
    else:
        body = json.dumps(found, allow_nan=False, separators=(",", ":")).encode()
    headers = {"vary": "accept-encoding"}
    client = request.client.host if request.client else ""
    wants = "gzip" in request.headers.get("accept-encoding", "")
    if wants and len(body) > _SMALL:
        body = gzip.compress(body, 1 if loopback(client) else 4)
        headers["content-encoding"] = "gzip"
    return Response(body, status, headers, "application/json")


def number_of(request: Request, name: str) -> int | None:
    """A whole number of the query; None without one, NothingError for anything else."""
    text = request.query_params.get(name)
    if text is None or text == "":
        return None
    if not text.isascii() or not text.isdigit() or len(text) > 9:
        raise NothingError(f"{name} is a whole number")
    return int(text)


__all__ = ["JSONResponse", "answer", "answering", "message", "number_of", "refused", "works_of"]
