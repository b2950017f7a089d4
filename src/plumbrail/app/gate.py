"""The gate in front of everything: pure ASGI, so that nothing gets round it.

In this order: the Host header names this server (else a page elsewhere could reach it by a name of
its own), what changes anything comes from a page of this server and is JSON, bodies are bounded,
and whoever is not let in gets the way in and nothing else.
"""

from __future__ import annotations

import asyncio
import ipaddress
import json
import logging
import re
import secrets
from collections.abc import Awaitable, Callable, MutableMapping
from http.cookies import CookieError, SimpleCookie
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from plumbrail.app.door import Door

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

CONTENT_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; "
    "connect-src 'self'; font-src 'self'; base-uri 'none'; form-action 'self'; "
    "frame-ancestors 'none'"
)
HEADERS = {
    "content-security-policy": CONTENT_POLICY,
    "referrer-policy": "no-referrer",
    "x-content-type-options": "nosniff",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "cache-control": "no-store",
}
"""On every answer; one that sets its own keeps it."""
_SAFE = {"GET", "HEAD"}
_OPEN = {("GET", "/let-in"), ("HEAD", "/let-in"), ("POST", "/pair"), ("GET", "/launch")}
_OPEN_ASSET = re.compile(r"/static/let-in\.(?:js|css)")
_BODY = 256 * 1024
_BODIES = (
    (re.compile(r"/api/jobs(?:/[^/]+/plan)?"), 2_500_000),
    (re.compile(r"/api/jobs/[^/]+/notebook"), 6_000_000),
    (re.compile(r"/api/jobs/[^/]+/(?:readings|ticks)"), 3_000_000),
    (re.compile(r"/api/jobs/[^/]+/edits"), 1_000_000),
    (re.compile(r"/pair"), 4_000),
)
"""Largest bodies [bytes]."""
log = logging.getLogger("plumbrail.app")


class TooLargeError(Exception):
    """A body went on beyond its limit."""


class Gate:
    """Wraps the app; ``scope["state"]["device"]`` is the device that asks."""

    def __init__(self, app: App, door: Door, beat: float = 1.0) -> None:
        self.app, self.door, self.beat = app, door, beat

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One connection."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
        elif scope["type"] == "http":
            await self._http(scope, receive, send)
        else:  # there are no web sockets here
            await receive()
            await send({"type": "websocket.close", "code": 1008})

    async def _http(self, scope: Scope, receive: Receive, send: Send) -> None:
        started = False

        async def out(message: Message) -> None:
            nonlocal started
            if message["type"] == "http.response.start":
                started = True
                own = {name.lower() for name, _ in message["headers"]}
                message["headers"] = [*message["headers"], *(
                    (name.encode(), value.encode()) for name, value in HEADERS.items()
                    if name.encode() not in own
                )]  # fmt: skip
            await send(message)

        try:
            refusal = await self._refusal(scope)
            if refusal is not None:
                await _answer(scope, out, *refusal)
                return
            await self.app(scope, bounded(receive, limit_of(scope["path"])), out)
        except TooLargeError:
            if not started:
                await _answer(scope, out, 413, "this is too large; send it in smaller parts")
        except Exception:
            number = fault(scope)
            if not started:
                await _answer(scope, out, 500, fault_words(number))

    async def _refusal(self, scope: Scope) -> tuple[int, str] | None:
        """Status and words, when the request goes no further."""
        headers = {k.decode("latin-1").lower(): v.decode("latin-1") for k, v in scope["headers"]}
        if not host_fits(headers.get("host", ""), scope):
            return 421, "this is not the address of this server; use the one that it printed"
        method, path = scope["method"], scope["path"]
        site = headers.get("sec-fetch-site", "same-origin")
        if path.startswith("/api/") and site not in ("same-origin", "none"):
            return 403, "only pages of this server may ask for this"
        if method not in _SAFE:
            refusal = _unsafe(method, headers)
            if refusal is not None:
                return refusal
            length = headers.get("content-length", "0")
            if not re.fullmatch("[0-9]{1,19}", length) or int(length) > limit_of(path):
                return 413, "this is too large; send it in smaller parts"
        token = token_of(headers.get("cookie", ""), scope)
        device = None
        if token:
            device = await asyncio.to_thread(self.door.device, token)
        scope.setdefault("state", {})["device"] = device
        if device is None and not _is_open(method, path):
            return 403, (
                "this device is not let in; on the laptop, open Phones, press Let a phone in and "
                "scan the code with the phone, or start plumbrail app again there"
            )
        return None


def _unsafe(method: str, headers: dict[str, str]) -> tuple[int, str] | None:
    """What changes something comes from a page of this server, as JSON."""
    if headers.get("origin") != f"http://{headers['host']}":
        return 403, "only pages of this server may change anything"
    if headers.get("sec-fetch-site", "same-origin") != "same-origin":
        return 403, "only pages of this server may change anything"
    kind = headers.get("content-type", "").partition(";")[0].strip().lower()
    empty = method == "DELETE" and headers.get("content-length", "0") == "0"
    if kind != "application/json" and not empty:
        return 415, "only application/json is taken in"
    return None


def _is_open(method: str, path: str) -> bool:
    if (method, path) in _OPEN:
        return True
    return method in _SAFE and _OPEN_ASSET.fullmatch(path) is not None


def limit_of(path: str) -> int:
    """Largest body for a path [bytes]."""
    return next((most for where, most in _BODIES if where.fullmatch(path)), _BODY)


def bounded(receive: Receive, most: int) -> Receive:
    """The same, raising TooLargeError once more than ``most`` bytes came."""
    count = 0

    async def counted() -> Message:
        nonlocal count
        message = await receive()
        count += len(message.get("body", b""))
        if count > most:
            raise TooLargeError
        return message

    return counted


def host_fits(host: str, scope: Scope) -> bool:
    """Host names the very address that the connection came to, or this machine by its usual name.

    A name of somebody else's that points here (DNS rebinding) never does.
    """
    address, port = scope.get("server") or ("", None)
    name, _, given = host.rpartition(":") if re.search(r":[0-9]+$", host) else (host, "", "80")
    if given != str(port):
        return False
    bare = name.removeprefix("[").removesuffix("]")
    return bare == address or (loopback(address) and bare in ("localhost", "127.0.0.1", "::1"))


def loopback(address: str) -> bool:
    """An address of this machine that no other can reach."""
    try:
        return ipaddress.ip_address(address).is_loopback
    except ValueError:
        return address == "localhost"


def here(scope: Scope) -> bool:
    """The request comes from this machine itself."""
    client, server = (scope.get(name) or ("", 0) for name in ("client", "server"))
    return loopback(client[0]) or (client[0] == server[0] and client[0] != "")


def cookie_name(scope: Scope) -> str:
    """Cookies are shared between ports: each server has its own name."""
    return f"plumbrail-{(scope.get('server') or ('', 0))[1]}"


def token_of(cookies: str, scope: Scope) -> str:
    """The token in the cookie header; empty when there is none."""
    try:
        found = SimpleCookie(cookies).get(cookie_name(scope))
    except CookieError:
        return ""
    return "" if found is None else found.value


def fault(scope: Scope) -> str:
    """Log what went wrong under a number; paths only, no query, no body."""
    number = secrets.token_hex(4)
    log.exception("fault %s at %s %s", number, scope.get("method", ""), scope.get("path", ""))
    return number


def fault_words(number: str) -> str:
    """What a person reads of a fault of the program."""
    return (
        f"something went wrong in plumbrail itself (fault {number} in the server's log); "
        "nothing was changed by this"
    )


async def _answer(scope: Scope, send: Send, status: int, words: str) -> None:
    headers = {k.lower(): v for k, v in scope["headers"]}
    page = b"text/html" in headers.get(b"accept", b"") and not scope["path"].startswith("/api/")
    if page:
        body = (
            '<!doctype html><html lang="en"><head><meta charset="utf-8"><title>plumbrail</title>'
            '<meta name="viewport" content="width=device-width, initial-scale=1">'
            '<link rel="icon" href="data:,"><link rel="stylesheet" href="/static/let-in.css">'
            f'</head><body><main><h1>plumbrail</h1><p>{words[0].upper()}{words[1:]}.</p>'
            '<p>What a phone has not sent yet stays on it and is sent once it is let in.</p>'
            '<p><a href="/let-in">Enter a code</a></p></main></body></html>'
        ).encode()  # fmt: skip
    else:
        body = json.dumps({"error": words, "problems": [], "revision": None}).encode()
    kind = b"text/html; charset=utf-8" if page else b"application/json"
    await send({
        "type": "http.response.start", "status": status,
        "headers": [(b"content-type", kind), (b"content-length", str(len(body)).encode()),
                    (b"connection", b"close")],
    })  # fmt: skip
    await send({"type": "http.response.body", "body": b"" if scope["method"] == "HEAD" else body})
