"""Who gets in, from where, with what: each rule of the gate by itself."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Iterator
from pathlib import Path

import pytest

from app_client import BASE, TestClient, demo, desk, stranger, uid
from plumbrail.app.door import CODE_SECONDS, LETTERS, Door, ShutError
from plumbrail.app.events import Hub
from plumbrail.app.gate import CONTENT_POLICY, host_fits
from plumbrail.app.messages import Event
from plumbrail.app.works import Works
from plumbrail.store.store import open_store

Pair = tuple[TestClient, Works]


@pytest.fixture
def at_desk(tmp_path: Path) -> Iterator[Pair]:
    with desk(tmp_path) as found:
        yield found


class Clock:
    def __init__(self) -> None:
        self.now = 1000.0

    def __call__(self) -> float:
        return self.now


def test_every_answer_has_the_policy(at_desk: Pair) -> None:
    client, works = at_desk
    for answer in (client.get("/"), client.get("/api/jobs"), client.get("/nothing"),
                   stranger(works).get("/"), client.get("/static/app.css")):  # fmt: skip
        assert answer.headers["content-security-policy"] == CONTENT_POLICY
        assert answer.headers["referrer-policy"] == "no-referrer"
        assert answer.headers["x-content-type-options"] == "nosniff"


@pytest.mark.parametrize(
    "host", ["evil.example:8417", "evil.example", "127.0.0.1", "127.0.0.1:80", "127.0.0.1:8418",
             "", "127.0.0.1.evil.example:8417", "192.168.1.9:8417", "[::1]:99"],
)  # fmt: skip
def test_a_foreign_host_is_turned_away(at_desk: Pair, host: str) -> None:
    client, _ = at_desk
    assert client.get("/api/jobs", headers={"host": host}).status_code == 421


def test_hosts_of_a_server_on_the_network() -> None:
    scope = {"server": ("192.168.1.9", 8417)}
    assert host_fits("192.168.1.9:8417", scope)
    assert not host_fits("localhost:8417", scope)
    assert not host_fits("barn.example:8417", scope)
    assert host_fits("localhost:8417", {"server": ("127.0.0.1", 8417)})


@pytest.mark.parametrize("origin", [None, "null", "http://evil.example", "http://127.0.0.1:9999",
                                    "https://127.0.0.1:8417"])  # fmt: skip
def test_posts_from_elsewhere_are_refused(at_desk: Pair, origin: str | None) -> None:
    client, works = at_desk
    del client.headers["origin"]
    headers = {} if origin is None else {"origin": origin}
    answer = client.post("/api/jobs", json={"uid": uid(), "demo": "alder-creek"}, headers=headers)
    assert answer.status_code == 403
    assert works.store.jobs() == ()


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_requests_that_the_browser_calls_cross_site(at_desk: Pair, site: str) -> None:
    client, _ = at_desk
    assert client.get("/api/jobs", headers={"sec-fetch-site": site}).status_code == 403
    post = client.post("/api/jobs", json={}, headers={"sec-fetch-site": site})
    assert post.status_code == 403


@pytest.mark.parametrize("kind", ["text/plain", "application/x-www-form-urlencoded",
                                  "multipart/form-data; boundary=x", ""])  # fmt: skip
def test_only_json_is_taken(at_desk: Pair, kind: str) -> None:
    client, works = at_desk
    body = b'{"uid":"abcdefgh","demo":"alder-creek"}'
    answer = client.post("/api/jobs", content=body, headers={"content-type": kind})
    assert answer.status_code == 415
    assert works.store.jobs() == ()


@pytest.mark.parametrize(
    ("method", "path"),
    [("GET", "/"), ("GET", "/phone"), ("GET", "/static/app.css"), ("GET", "/static/net.js"),
     ("GET", "/api/jobs"), ("GET", "/api/events"), ("GET", "/api/schema"), ("GET", "/api/demos"),
     ("POST", "/api/jobs"),
     ("DELETE", "/api/devices/x"), ("GET", "/favicon.ico"), ("GET", "/let-in/../api/jobs"),
     ("GET", "/static/let-in.js.map"), ("POST", "/let-in"), ("POST", "/api/invitations"),
     ("GET", "//let-in"), ("GET", "/static/..%2flet-in.js")],
)  # fmt: skip
def test_strangers_see_nothing(at_desk: Pair, method: str, path: str) -> None:
    _, works = at_desk
    answer = stranger(works).request(method, path, json={} if method == "POST" else None)
    assert answer.status_code == 403
    assert "not let in" in answer.text


def test_strangers_see_the_way_in(at_desk: Pair) -> None:
    _, works = at_desk
    assert stranger(works).get("/let-in").status_code in (200, 404)  # the page is another's work
    refused = stranger(works).get("/", headers={"accept": "text/html"})
    assert '<a href="/let-in">' in refused.text


def test_a_link_works_once_and_leaves_the_address(at_desk: Pair) -> None:
    _, works = at_desk
    link, browser = works.door.link(), stranger(works)
    first = browser.get(f"/launch?token={link}&job=barn")
    assert first.status_code == 303
    assert first.headers["location"] == "/?job=barn"
    cookie = first.headers["set-cookie"].lower()
    assert "httponly" in cookie and "samesite=strict" in cookie and "plumbrail-8417=" in cookie
    assert link not in first.headers["location"] and link not in cookie
    assert browser.get("/api/jobs").status_code == 200
    assert stranger(works).get(f"/launch?token={link}").status_code == 403


def test_the_link_leads_nowhere_else(at_desk: Pair) -> None:
    client, works = at_desk
    answer = client.get(f"/launch?token={works.door.link()}&job=//evil.example/%0d%0ax:y")
    assert answer.headers["location"].startswith("/?job=")
    assert "evil.example/" not in answer.headers["location"]


def let_in_phone(client: TestClient, works: Works) -> TestClient:
    code = client.post("/api/invitations", json={}).json()["code"]
    phone = stranger(works, "192.0.2.50")
    answer = phone.post("/pair", json={"code": code.lower().replace("-", " "), "name": "Ana"})
    assert answer.status_code == 200, answer.text
    return phone


def test_a_code_works_once(at_desk: Pair) -> None:
    client, works = at_desk
    found = client.post("/api/invitations", json={}).json()
    assert found["url"].endswith(f"/let-in#{found['code']}")
    assert found["svg"].startswith("<svg")
    phone = stranger(works, "192.0.2.50")
    body = {"code": found["code"], "name": "Ana"}
    first = phone.post("/pair", json=body)
    assert first.status_code == 200
    assert "httponly" in first.headers["set-cookie"].lower()
    assert phone.get("/api/jobs").status_code == 200
    assert stranger(works, "192.0.2.51").post("/pair", json=body).status_code == 403


def test_a_code_grows_old(tmp_path: Path) -> None:
    clock = Clock()
    with open_store(tmp_path / "s.db") as store:
        door = Door(store, clock)
        code = door.invite()
        clock.now += CODE_SECONDS + 1
        with pytest.raises(ShutError, match="too old"):
            door.enter_by_code(code.text, "Ana", "192.0.2.1")
        assert store.devices() == ()


def test_wrong_codes_have_to_wait(tmp_path: Path) -> None:
    clock = Clock()
    with open_store(tmp_path / "s.db") as store:
        door = Door(store, clock)
        code = door.invite()
        for _ in range(5):
            with pytest.raises(ShutError) as error:
                door.enter_by_code("WRONGONE", "x", "192.0.2.1")
            assert error.value.wait == 0
        with pytest.raises(ShutError, match="too many") as error:
            door.enter_by_code(code.text, "x", "192.0.2.1")  # even the right one
        assert 0 < error.value.wait <= 60
        assert door.enter_by_code(code.text, "x", "192.0.2.2")
        clock.now += 61
        with pytest.raises(ShutError) as error:
            door.enter_by_code("WRONGONE", "x", "192.0.2.1")
        assert error.value.wait == 0


def test_many_addresses_share_a_limit(tmp_path: Path) -> None:
    with open_store(tmp_path / "s.db") as store:
        door = Door(store, Clock())
        waits = []
        for n in range(25):
            with pytest.raises(ShutError) as error:
                door.enter_by_code("WRONGONE", "x", f"192.0.2.{n}")
            waits.append(error.value.wait > 0)
        assert waits == [False] * 20 + [True] * 5


def test_waiting_is_said_on_the_way_in(at_desk: Pair) -> None:
    _, works = at_desk
    phone = stranger(works, "192.0.2.60")
    codes = [phone.post("/pair", json={"code": "AAAA-AAAA", "name": "x"}) for _ in range(7)]
    assert [c.status_code for c in codes] == [403] * 5 + [429] * 2
    assert int(codes[-1].headers["retry-after"]) > 0


def test_codes_are_long_enough() -> None:
    assert len(set(LETTERS)) ** 8 > 10**11  # five wrong tries a minute, five minutes


def test_phones_cannot_let_others_in(at_desk: Pair) -> None:
    client, works = at_desk
    phone = let_in_phone(client, works)
    assert phone.post("/api/invitations", json={}).status_code == 403
    assert phone.get("/api/devices").status_code == 403
    own = client.get("/api/devices").json()[0]["id"]
    assert phone.delete(f"/api/devices/{own}").status_code == 403


def test_a_device_shut_out_is_out_at_once(at_desk: Pair) -> None:
    client, works = at_desk
    phone = let_in_phone(client, works)
    assert phone.get("/api/jobs").status_code == 200
    device = next(d for d in client.get("/api/devices").json() if d["name"] == "Ana")
    assert client.delete(f"/api/devices/{device['id']}").status_code == 200
    assert phone.get("/api/jobs").status_code == 403
    assert client.delete("/api/devices/nobody").status_code == 404


def test_streams_of_a_device_shut_out_end() -> None:
    async def run() -> tuple[list[str], list[str]]:
        hub = Hub(beat=0.05)
        hub.start()
        out, stays = hub.join("a"), hub.join("b")
        ends, goes_on = hub.stream(out), hub.stream(stays)
        first = [await anext(ends), await anext(goes_on)]
        hub.shut_out("a")
        rest = [line async for line in ends]
        hub.tell(Event(kind="devices"))
        return first + rest, [await anext(goes_on), await anext(goes_on)]

    first, later = asyncio.run(run())
    assert len(first) == 2  # nothing more came to the one
    assert "devices" in later[0]
    assert later[1] == ": beat\n\n"


def test_slow_pages_are_dropped() -> None:
    async def run() -> list[str]:
        hub = Hub(beat=0.05)
        hub.start()
        listener = hub.join("a")
        for n in range(300):
            hub.tell(Event(kind="ticks", last=n))
        await asyncio.sleep(0)
        assert not listener.open
        return [line async for line in hub.stream(listener)]

    assert asyncio.run(run()) == ["retry: 1500\n\n"]


def test_bodies_are_bounded(at_desk: Pair) -> None:
    client, _ = at_desk
    state = demo(client)
    path = f"/api/jobs/{state['job']}/ticks"
    big = b'{"ticks": "' + b"x" * 4_000_000 + b'"}'
    kind = {"content-type": "application/json"}
    assert client.post(path, content=big, headers=kind).status_code == 413

    def parts() -> Iterator[bytes]:  # without saying how much it is
        for _ in range(40):
            yield b"x" * 100_000

    assert client.post(path, content=parts(), headers=kind).status_code == 413
    odd = {**kind, "content-length": "-5"}
    assert client.post("/api/jobs", content=b"{}", headers=odd).status_code == 413


@pytest.mark.parametrize("path", [
    "/static/../messages.py", "/static/..%2fmessages.py", "/static/%2e%2e/messages.py",
    "/static/messages.py", "/static/", "/static/app.css/", "/static/....//app.css",
    "/static/C:%5cwindows%5cwin.ini", "/static/%00", "/api/tasks/x/files/..%2f..%2fetc%2fpasswd",
    "/api/jobs/..%2f..%2fetc/plan.toml",
])  # fmt: skip
def test_paths_lead_nowhere_else(at_desk: Pair, path: str) -> None:
    client, _ = at_desk
    assert client.get(path).status_code == 404


def test_no_secret_in_any_log(at_desk: Pair, caplog: pytest.LogCaptureFixture) -> None:
    client, works = at_desk
    with caplog.at_level(logging.DEBUG, logger="plumbrail"):
        link = works.door.link()
        browser = stranger(works)
        browser.get(f"/launch?token={link}")
        browser.get(f"/launch?token={link}")
        token = browser.cookies["plumbrail-8417"]
        phone = let_in_phone(client, works)
        phone.get("/nothing")
        works.office.jobs = None  # type: ignore[method-assign, assignment]
        assert browser.get("/api/jobs").status_code == 500
    said = "\n".join(r.getMessage() + str(r.exc_text) for r in caplog.records)
    assert "fault" in said
    for secret in (link, token, phone.cookies["plumbrail-8417"]):
        assert secret not in said


def test_faults_have_a_number_and_no_traceback(
    at_desk: Pair, caplog: pytest.LogCaptureFixture
) -> None:
    client, works = at_desk
    works.office.jobs = None  # type: ignore[method-assign, assignment]
    answer = client.get("/api/jobs")
    assert answer.status_code == 500
    words = answer.json()["error"]
    assert "Traceback" not in answer.text and "NoneType" not in answer.text
    number = words.split("fault ")[1].split(" ")[0]
    assert number in caplog.text


def test_tokens_are_not_kept(tmp_path: Path) -> None:
    with desk(tmp_path) as (client, works):
        token = client.cookies["plumbrail-8417"]
        let_in_phone(client, works)
    kept = b"".join(p.read_bytes() for p in tmp_path.glob("store.db*"))
    assert token.encode() not in kept


def test_web_sockets_are_closed(at_desk: Pair) -> None:
    client, _ = at_desk
    with pytest.raises(Exception, match=r"1008|403|") as error, client.websocket_connect("/api"):
        pass
    assert type(error.value).__name__ in ("WebSocketDisconnect", "WebSocketDenialResponse")


def test_the_cookie_of_another_port_lets_nobody_in(at_desk: Pair) -> None:
    client, works = at_desk
    other = stranger(works, base="http://127.0.0.1:9000")
    other.cookies.set("plumbrail-8417", client.cookies["plumbrail-8417"])
    assert other.get("/api/jobs").status_code == 403
    assert BASE.endswith(":8417")
