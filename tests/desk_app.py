"""The app as people run it, with a browser at its desk: one server and one browser per file."""

from __future__ import annotations

import itertools
import json
import re
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from tests.browser import FLAGS, executable, new_context

READY = 60.0
PATIENCE = 30_000.0
"""Milliseconds until a page that does not do what it should is given up."""

_NUMBER = itertools.count(1)


class Server:
    """``plumbrail app`` with a store of its own; can be ended and begun again on its port."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.port, self.running = folder, 0, None
        self.cookies: list[dict[str, Any]] = []

    def begin(self) -> str:
        """Starts it; the link that lets a browser in once."""
        command = [
            sys.executable,
            "-c",
            "from plumbrail.cli.main import main; raise SystemExit(main())",
        ]
        out = self.folder / f"out-{next(_NUMBER)}.txt"
        with out.open("w") as file:
            self.running = subprocess.Popen(
                [*command, "app", "--no-browser", "--port", str(self.port), "--store",
                 str(self.folder / "store.db")], stdout=file, stderr=subprocess.STDOUT,
            )  # fmt: skip
        until = time.monotonic() + READY
        while time.monotonic() < until:
            found = re.search(r"http://\S+/launch\?token=\S+", out.read_text())
            if found:
                self.port = int(found[0].split(":")[2].split("/")[0])
                return found[0]
            time.sleep(0.05)
        raise AssertionError(f"the app did not start: {out.read_text()}")

    def end(self) -> None:
        if self.running is not None and self.running.poll() is None:
            self.running.send_signal(signal.SIGINT)
            self.running.wait(30)

    @contextmanager
    def away(self) -> Iterator[None]:
        """Without it for a while; it comes back for the next test, whatever fails in between."""
        self.end()
        try:
            yield
        finally:
            self.begin()

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"


class Desk:
    """Pages of one browser that was let in; faults of any page fail the test that opened it."""

    def __init__(self, server: Server, browser: Any) -> None:
        self.server, self._browser = server, browser
        self._state: Any = None

    def let_in(self, link: str) -> None:
        context = self._browser.new_context()
        context.new_page().goto(link)
        self._state = context.storage_state()
        context.close()

    @contextmanager
    def page(
        self, name: str = "plan", size: tuple[int, int] = (1280, 800), job: str = "alder-creek",
        allow: str = "", script: str = "", patience: float = PATIENCE,
    ) -> Iterator[Any]:  # fmt: skip
        """A page of the desk; ``allow``: a pattern of console messages that are expected.

        ``script`` runs before the page's own; ``patience`` as ``PATIENCE``.
        """
        context = new_context(
            self._browser,
            viewport={"width": size[0], "height": size[1]},
            storage_state=self._state,
        )
        if script:
            context.add_init_script(script)
        page, faults = context.new_page(), []
        own = (self.server.address, "data:", "blob:")
        page.on("pageerror", lambda e: faults.append(str(e)))
        page.on("console", lambda m: m.type == "error" and faults.append(m.text))
        page.on("request", lambda r: r.url.startswith(own) or faults.append(r.url))
        page.set_default_timeout(patience)
        try:
            page.goto(f"{self.server.address}/?job={job}#{name}")
            page.wait_for_selector("body[data-ready]")
            yield page
            assert [f for f in faults if not (allow and re.search(allow, f))] == []
        finally:
            context.close()


@contextmanager
def opened_desk(folder: Path) -> Iterator[Desk]:
    """Server and browser; skips, or fails where CI demands it, when there is no browser."""
    path = executable()
    api = pytest.importorskip("playwright.sync_api")
    server = Server(folder)
    link = server.begin()
    try:
        with api.sync_playwright() as play:
            browser = play.chromium.launch(executable_path=path, args=FLAGS)
            try:
                desk = Desk(server, browser)
                desk.let_in(link)
                yield desk
            finally:
                browser.close()
    finally:
        server.end()


def ask(page: Any, path: str, body: Any = None, method: str = "") -> Any:
    """What the server answers to this browser."""
    return page.evaluate(
        """async ([path, body, method]) => {
          const r = await fetch(path, { method: method || (body === null ? "GET" : "POST"),
            headers: body === null ? {} : { "content-type": "application/json" },
            body: body === null ? undefined : JSON.stringify(body) });
          return { status: r.status, answer: await r.json() }; }""",
        [path, body, method],
    )


def type_in(page: Any, path: str, text: str) -> None:
    """Writes into a field of the plan and leaves it with Enter; sections open for it."""
    page.locator("#find-field").fill("")
    page.evaluate(
        """(path) => { for (let up = document.querySelector(`[data-path="${path}"]`); up;
          up = up.parentElement) if (up.tagName === "DETAILS") up.open = true; }""", path,
    )  # fmt: skip
    box = page.locator(f'[data-path="{path}"] input').first
    box.fill(text)
    box.press("Enter")


def settled(page: Any) -> None:
    """Waits until the last edit was answered."""
    page.wait_for_function("() => !document.body.classList.contains('busy')")


def soon(page: Any, asks: str, arg: Any = None, timeout: float = PATIENCE) -> None:
    """Waits until an async function of the page says yes.

    ``wait_for_function`` of the browser driver takes the promise of such a function for a yes.
    """
    until = time.monotonic() + timeout / 1000
    while not page.evaluate(asks, arg):
        assert time.monotonic() < until, f"not within {timeout / 1000:.0f} s: {asks}"
        page.wait_for_timeout(50)


HOLD = """(([method, path, job]) => {
  const fetch = window.fetch.bind(window);
  const ended = async () => !(await (await fetch(job)).json()).pending.length;
  window.held = 0;
  window.fetch = async (asked, options) => {
    const own = options?.signal && (options.method ?? "GET") === method && asked === path;
    const answer = await fetch(asked, options);
    if (own && !window.held) {
      window.held = 1;
      while (!(await ended())) await new Promise((go) => setTimeout(go, 100));
      await new Promise((go) => setTimeout(go, 300)); // the event of the last part comes first
      window.held = 2;
    }
    return answer;
  };
})"""


def held_back(method: str, path: str, job: str) -> str:
    """A script that holds the first such answer back until everything is worked out behind."""
    return f"{HOLD}({json.dumps([method, path, job])})"


LATE = """([part, slow]) => {
  const fetch = window.fetch.bind(window);
  let number = 0;
  window.fetch = async (path, options) => {
    const asks = (options?.method ?? "GET") === "GET" && String(path).includes(part);
    const held = asks && (number += 1) % 2;
    const answer = await fetch(path, options);
    if (held) await new Promise((go) => setTimeout(go, slow));
    return answer;
  };
}"""


def answers_late(page: Any, part: str, slow: int) -> None:
    """Every other answer to a question whose address has ``part`` comes ``slow`` ms late."""
    page.evaluate(LATE, [part, slow])
