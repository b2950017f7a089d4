"""For the benchmark of the app: the server as people start it, and a browser that was let in."""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import sys
import time
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

BROWSERS = ("chromium", "chromium-browser", "google-chrome", "chrome")
FLAGS = ("--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking",
         "--disable-component-update", "--disable-sync")  # fmt: skip
TICK = os.sysconf("SC_CLK_TCK") if hasattr(os, "sysconf") else 100
PATIENCE = 120.0


class App:
    """``plumbrail app`` in a process of its own, with a store in ``folder``."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.port, self.link = folder, 0, ""
        self.process: subprocess.Popen[str] | None = None

    def start(self) -> None:
        """Start it; the second time on the port of the first."""
        command = [str(Path(sys.executable).parent / "plumbrail"), "app", "--no-browser",
                   "--store", str(self.folder / "store.db"), "--port", str(self.port)]  # fmt: skip
        env = {k: v for k, v in os.environ.items() if not k.endswith("_NUM_THREADS")}
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=env)
        assert self.process.stdout is not None
        for line in self.process.stdout:
            found = re.search(r"http://[^/]+:([0-9]+)/launch\?token=\S+", line)
            if found:
                self.link, self.port = found[0], int(found[1])
                return
        raise RuntimeError("the app did not start")

    def kill(self) -> None:
        """As when somebody pulls the plug."""
        if self.process is not None:
            self.process.send_signal(signal.SIGKILL)
            self.process.wait()
            assert self.process.stdout is not None
            self.process.stdout.close()
            self.process = None

    @property
    def address(self) -> str:
        """Where it listens."""
        return f"http://127.0.0.1:{self.port}"


def cpu(root: int) -> float:
    """Seconds of the processor of a process and all below it, by /proc (Linux)."""
    parents: dict[int, int] = {}
    used: dict[int, float] = {}
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            fields = stat.read_text().rpartition(")")[2].split()
        except OSError:  # it has just ended
            continue
        pid = int(stat.parent.name)
        parents[pid], used[pid] = int(fields[1]), (int(fields[11]) + int(fields[12])) / TICK
    mine, fresh = {root}, {root}
    while fresh:
        fresh = {pid for pid, parent in parents.items() if parent in fresh} - mine
        mine |= fresh
    return sum(used.get(pid, 0.0) for pid in mine)


def browser_path() -> str | None:
    """A browser of this machine, if there is one and the library that drives it."""
    try:
        import playwright.sync_api  # noqa: F401
    except ImportError:
        return None
    return next((found for name in BROWSERS if (found := shutil.which(name))), None)


class Desk:
    """A browser at the desk of a running app."""

    def __init__(self, app: App, browser: Any, mark: str) -> None:
        self.app, self._browser, self._mark = app, browser, mark
        context = browser.new_context()
        context.new_page().goto(app.link)
        self._state = context.storage_state()
        context.close()

    @contextmanager
    def page(self, width: int = 1280, height: int = 800) -> Iterator[Any]:
        """An empty page of a fresh context, nothing in its cache."""
        context = self._browser.new_context(
            viewport={"width": width, "height": height}, storage_state=self._state
        )
        page = context.new_page()
        page.set_default_timeout(PATIENCE * 1000)
        try:
            yield page
        finally:
            context.close()

    @contextmanager
    def opened(self, job: str, query: str = "") -> Iterator[Any]:
        """The plan page of a job, all three views drawn."""
        with self.page() as page:
            page.goto(f"{self.app.address}/?job={job}{query}#plan")
            page.wait_for_function(DRAWN)
            yield page

    def pid(self) -> int:
        """Of the browser's own first process."""
        for place in Path("/proc").glob("[0-9]*/cmdline"):
            try:
                words = place.read_bytes()
            except OSError:
                continue
            if self._mark.encode() in words and b"--type=" not in words:
                return int(place.parent.name)
        raise RuntimeError("the browser's process was not found")


DRAWN = """() => document.body.dataset.ready
  && [...document.querySelectorAll('.views > .view, .pair-of-views > .view')].length === 3
  && [...document.querySelectorAll('.views > .view, .pair-of-views > .view')]
    .every((n) => n.dataset.drawn)"""
"""The three views of the plan page are there and drawn."""


@contextmanager
def desk(app: App, path: str) -> Iterator[Desk]:
    """Starts the browser at ``path`` and lets it in."""
    from playwright.sync_api import sync_playwright

    mark = f"--bench-mark={uuid.uuid4().hex}"
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=path, args=[*FLAGS, mark])
        try:
            yield Desk(app, browser, mark)
        finally:
            browser.close()


def ask(page: Any, path: str, body: Any = None) -> Any:
    """What the server answers to this browser."""
    found = page.evaluate(
        """async ([path, body]) => {
          const r = await fetch(path, { method: body === null ? "GET" : "POST",
            headers: body === null ? {} : { "content-type": "application/json" },
            body: body === null ? undefined : JSON.stringify(body) });
          return [r.status, await r.json()]; }""",
        [path, body],
    )
    if found[0] != 200:
        raise RuntimeError(f"{path}: {found}")
    return found[1]


def settled(page: Any, job: str, seconds: float = PATIENCE) -> bool:
    """Waits until nothing is worked out behind; False when that takes too long."""
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        if not ask(page, f"/api/jobs/{job}")["pending"]:
            return True
        time.sleep(1.0)
    return False
