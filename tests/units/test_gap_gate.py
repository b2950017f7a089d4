"""What the gate lets through, what it refuses, and that it answers once."""

from __future__ import annotations

import asyncio
import json
from typing import Any, cast

import pytest

from plumbrail.app.gate import (
    HEADERS,
    Gate,
    TooLargeError,
    bounded,
    cookie_name,
    host_fits,
    limit_of,
    token_of,
)

HOST = "192.168.1.2:8000"
GOOD = {"host": HOST, "origin": f"http://{HOST}", "content-type": "application/json",
        "cookie": "plumbrail-8000=good"}  # fmt: skip
PHONE = object()


class Door:
    """Knows one token."""

    def device(self, token: str) -> Any:
        return PHONE if token == "good" else None


def asked(
    app: Any, method: str = "POST", path: str = "/api/jobs/a/edits",
    headers: dict[str, str | None] | None = None, body: tuple[bytes, ...] = (b"{}",), **more: Any,
) -> list[dict[str, Any]]:  # fmt: skip
    """All messages that went out; a header of None is left out."""
    own = {k: v for k, v in {**GOOD, **(headers or {})}.items() if v is not None}
    scope = {"type": "http", "method": method, "path": path, "server": ("192.168.1.2", 8000),
             "headers": [(k.encode(), v.encode("latin-1")) for k, v in own.items()],
             **more}  # fmt: skip
    waiting, out = list(body), []

    async def receive() -> Any:
        return {"type": "http.request", "body": waiting.pop(0), "more_body": bool(waiting)}

    async def send(message: Any) -> None:
        out.append(message)

    asyncio.run(Gate(app, cast(Any, Door()))(scope, receive, send))
    return out


async def well(scope: Any, receive: Any, send: Any) -> None:
    """Reads the whole body and says who asked."""
    while (await receive())["more_body"]:
        pass
    let_in = scope["state"]["device"] is PHONE
    await send({"type": "http.response.start", "status": 200 if let_in else 201,
                "headers": [(b"Cache-Control", b"max-age=5")]})  # fmt: skip
    await send({"type": "http.response.body", "body": b"ok"})


def status(**more: Any) -> int:
    return int(asked(well, **more)[0]["status"])


def test_every_answer_has_the_headers_and_one_that_sets_its_own_keeps_it() -> None:
    start, body = asked(well)
    names = [name.decode().lower() for name, _ in start["headers"]]
    assert sorted(names) == sorted(HEADERS), "each once"
    assert dict(start["headers"])[b"Cache-Control"] == b"max-age=5"
    assert (start["status"], body["body"]) == (200, b"ok")
    (refused, _) = asked(well, headers={"cookie": None})
    assert refused["status"] == 403
    assert {k.encode() for k in HEADERS} <= {k for k, _ in refused["headers"]}


@pytest.mark.parametrize(
    ("headers", "found"),
    [
        ({}, 200),
        ({"host": "elsewhere.example:8000", "origin": "http://elsewhere.example:8000"}, 421),
        ({"origin": None}, 403),
        ({"origin": "http://elsewhere.example"}, 403),
        ({"sec-fetch-site": "same-origin"}, 200),
        ({"sec-fetch-site": "cross-site"}, 403),
        ({"sec-fetch-site": "none"}, 403),  # typed by hand: it may look, never change
        ({"content-type": "text/plain"}, 415),
        ({"content-type": None}, 415),
        ({"content-type": "Application/JSON ; charset=utf-8"}, 200),
        ({"content-length": "1000000"}, 200),
        ({"content-length": "1000001"}, 413),
        ({"content-length": "-1"}, 413),
        ({"content-length": ""}, 413),
        ({"content-length": "\u00b2"}, 413),  # a digit to Python, no number
        ({"content-length": "9" * 5000}, 413),
        ({"cookie": "plumbrail-8000=bad"}, 403),
        ({"cookie": "plumbrail-8001=good"}, 403),  # another server on this machine
        ({"cookie": "a=1; plumbrail-8000=good"}, 200),
    ],
)
def test_what_changes_something(headers: dict[str, str | None], found: int) -> None:
    assert status(headers=headers) == found


@pytest.mark.parametrize(
    ("method", "path", "headers", "found"),
    [
        ("GET", "/api/jobs", {"sec-fetch-site": "none"}, 200),
        ("GET", "/api/jobs", {"sec-fetch-site": "cross-site"}, 403),
        ("GET", "/plan", {"sec-fetch-site": "cross-site"}, 200),
        ("GET", "/plan", {"origin": None, "content-type": None}, 200),
        ("GET", "/plan", {"cookie": None}, 403),
        ("GET", "/let-in", {"cookie": None}, 201),
        ("HEAD", "/let-in", {"cookie": None}, 201),
        ("GET", "/launch", {"cookie": None}, 201),
        ("POST", "/launch", {"cookie": None}, 403),
        ("POST", "/pair", {"cookie": None}, 201),
        ("GET", "/pair", {"cookie": None}, 403),
        ("GET", "/static/let-in.css", {"cookie": None}, 201),
        ("GET", "/static/let-in.js", {"cookie": None}, 201),
        ("POST", "/static/let-in.js", {"cookie": None}, 403),
        ("GET", "/static/let-in.jsx", {"cookie": None}, 403),
        ("GET", "/static/desk.js", {"cookie": None}, 403),
        ("DELETE", "/api/devices/p", {"content-type": None}, 200),
        ("DELETE", "/api/devices/p", {"content-type": None, "content-length": "2"}, 415),
        ("POST", "/api/devices/p", {"content-type": None}, 415),
    ],
)
def test_who_is_let_in_to_what(
    method: str, path: str, headers: dict[str, str | None], found: int
) -> None:
    assert status(method=method, path=path, headers=headers) == found


@pytest.mark.parametrize(
    ("path", "most"),
    [
        ("/api/jobs", 2_500_000), ("/api/jobs/a/plan", 2_500_000),
        ("/api/jobs/a/notebook", 6_000_000), ("/api/jobs/a/readings", 3_000_000),
        ("/api/jobs/a/ticks", 3_000_000), ("/api/jobs/a/edits", 1_000_000), ("/pair", 4_000),
        ("/api/jobs/a/b/edits", 262_144), ("/api/jobs/a/edits/more", 262_144), ("/", 262_144),
    ],
)  # fmt: skip
def test_how_much_each_path_takes(path: str, most: int) -> None:
    assert limit_of(path) == most


def test_a_body_that_goes_on_beyond_its_limit_is_cut_off() -> None:
    """Whatever its head said; 4000 bytes in all are taken, one more is not."""
    half = b"x" * 2000
    for body, found in (((half, half), 200), ((half, half, b"x"), 413)):
        out = asked(well, path="/pair", body=body)
        assert [m["type"] for m in out] == ["http.response.start", "http.response.body"]
        assert out[0]["status"] == found
    assert "smaller parts" in json.loads(out[1]["body"])["error"]


def test_bytes_are_counted_over_all_parts() -> None:
    async def receive() -> Any:
        return {"body": b"12345"}

    async def twice(most: int) -> int:
        one = bounded(receive, most)
        return sum([len((await one())["body"]) for _ in range(2)])

    assert asyncio.run(twice(10)) == 10
    with pytest.raises(TooLargeError):
        asyncio.run(twice(9))


@pytest.mark.parametrize("too_large", [True, False])
def test_an_answer_under_way_is_not_answered_again(too_large: bool) -> None:
    async def begun(scope: Any, receive: Any, send: Any) -> None:
        await send({"type": "http.response.start", "status": 200, "headers": []})
        if not too_large:
            raise ValueError("a slip of the program")
        while True:
            await receive()

    out = asked(begun, path="/pair", body=(b"x" * 4001,))
    assert [m["type"] for m in out] == ["http.response.start"]
    assert out[0]["status"] == 200


def test_a_fault_of_the_program_is_said_with_its_number_and_nothing_else(
    caplog: pytest.LogCaptureFixture,
) -> None:
    """The log has the number, what was asked, and what went wrong; not the query."""

    async def broken(scope: Any, receive: Any, send: Any) -> None:
        raise ValueError("inner words")

    start, body = asked(broken, query_string=b"secret=1")
    words = json.loads(body["body"])["error"]
    assert start["status"] == 500
    assert "went wrong in plumbrail itself" in words and "inner words" not in words
    (record,) = caplog.records
    number = words.partition("(fault ")[2].partition(" ")[0]
    assert record.getMessage() == f"fault {number} at POST /api/jobs/a/edits"
    assert record.exc_info is not None and "inner words" in str(record.exc_info[1])


def test_a_browser_gets_a_page_and_a_program_gets_json() -> None:
    """Under /api/ always JSON; HEAD has no body but says how long it is."""
    out = {
        (accept, path): asked(well, "GET", path, {"cookie": None, "accept": accept})
        for accept in ("text/html,*/*", "*/*") for path in ("/plan", "/api/jobs")
    }  # fmt: skip
    for (accept, path), (start, body) in out.items():
        html = accept.startswith("text/html") and path == "/plan"
        assert body["body"].startswith(b"<!doctype html>") is html
        kind = dict(start["headers"])[b"content-type"]
        assert kind == (b"text/html; charset=utf-8" if html else b"application/json")
        assert int(dict(start["headers"])[b"content-length"]) == len(body["body"])
    assert b"<p>This device is not let in;" in out["text/html,*/*", "/plan"][1]["body"]
    start, body = asked(well, "HEAD", "/plan", {"cookie": None})
    assert body["body"] == b""
    assert int(dict(start["headers"])[b"content-length"]) > 0


def test_there_are_no_web_sockets_and_lifespan_goes_through() -> None:
    out: list[Any] = []

    async def receive() -> Any:
        return {"type": "websocket.connect"}

    async def send(message: Any) -> None:
        out.append(message)

    async def app(scope: Any, receives: Any, sends: Any) -> None:
        assert (receives, sends) == (receive, send)
        out.append(scope["type"])

    gate = Gate(app, cast(Any, Door()))
    asyncio.run(gate({"type": "websocket"}, receive, send))
    asyncio.run(gate({"type": "lifespan"}, receive, send))
    assert out == [{"type": "websocket.close", "code": 1008}, "lifespan"]


@pytest.mark.parametrize(
    ("host", "server", "fits"),
    [
        ("192.168.1.2:8000", ("192.168.1.2", 8000), True),
        ("192.168.1.2:8001", ("192.168.1.2", 8000), False),
        ("192.168.1.2", ("192.168.1.2", 8000), False),
        ("192.168.1.2", ("192.168.1.2", 80), True),
        ("192.168.1.3:8000", ("192.168.1.2", 8000), False),
        ("localhost:8000", ("192.168.1.2", 8000), False),
        ("elsewhere.example:8000", ("127.0.0.1", 8000), False),  # a name that points here
        ("localhost.example:8000", ("127.0.0.1", 8000), False),
        ("localhost:8000", ("127.0.0.1", 8000), True),
        ("127.0.0.1:8000", ("::1", 8000), True),
        ("[::1]:8000", ("127.0.0.1", 8000), True),
        ("[fe80::2]:8000", ("fe80::2", 8000), True),
        ("", ("192.168.1.2", 8000), False),
        ("192.168.1.2:None", ("192.168.1.2", None), False),
        ("192.168.1.2", ("192.168.1.2", None), False), ("", None, False), ("a:80", None, False),
    ],
)  # fmt: skip
def test_the_address_that_a_page_was_asked_under(host: str, server: Any, fits: bool) -> None:
    """The very address of the connection, or this machine by its usual names on its own."""
    assert host_fits(host, {"server": server}) is fits


def test_a_cookie_that_cannot_be_read_is_none() -> None:
    scope = {"server": ("a", 8000)}
    assert token_of("plumbrail-8000=x", scope) == "x"
    assert token_of("", scope) == token_of("other=1", scope) == token_of("a\x00=\x01", scope) == ""
    assert cookie_name({}) == cookie_name({"server": None}) == "plumbrail-0"
