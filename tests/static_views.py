"""A test page for the views of the app: the package's own static files under its content policy,
and a store that keeps what it is told.
"""

from __future__ import annotations

import json
import os
import shutil
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from importlib.resources import files
from typing import Any

import pytest

from tests.browser import FLAGS, NAMES, executable

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; "
    "connect-src 'self'; font-src 'self'; base-uri 'none'; form-action 'self'; "
    "frame-ancestors 'none'"
)
PAGE = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Views</title>
<meta name="viewport" content="width=device-width, initial-scale=1">
<link rel="stylesheet" href="/static/views.css"><link rel="stylesheet" href="/page.css">
<script type="module" src="/page.js"></script></head>
<body><main><h1>Views</h1><div id="root"></div></main></body></html>"""
STYLE = """body { margin: 0; padding: 8px; font: 16px system-ui, sans-serif; }
h1 { font-size: 18px; margin: 0; } * { box-sizing: border-box; }"""
SCRIPT = """
class Store {
  constructor(state) {
    Object.assign(this, { state, selected: "", busy: false, problems: new Map() });
    this.listeners = new Set();
    this.edits = [];
    this.selects = [];
    this.refuse = "";
    this.wait = 0;
  }
  on(f) { this.listeners.add(f); return () => this.listeners.delete(f); }
  tell(what) { this.listeners.forEach((f) => f(what)); }
  select(id) { this.selected = id; this.selects.push(id); this.tell("select"); }
  take(state) { this.state = state; this.tell("state"); }
  async edit(changes) {
    this.edits.push(changes);
    if (this.wait) await new Promise((go) => setTimeout(go, this.wait));
    if (this.refuse) {
      changes.forEach((c) => this.problems.set(c.path, this.refuse));
      this.tell("problems");
      return false;
    }
    const state = structuredClone(this.state);
    state.revision += 1;
    for (const change of changes)
      for (const t of state.scene.things.filter((u) => u.path === change.path && change.places)) {
        const by = t.handles.map((h, i) => [change.places[i][0] - h[0], change.places[i][1] - h[1]]);
        t.places = t.places.map((p, i) => p.map((c, k) => c + (by[i] ?? by[0])[k]));
        t.handles = change.places;
      }
    this.take(state);
    return true;
  }
}
const name = new URLSearchParams(location.search).get("view");
const [module, state] = await Promise.all([
  import(`/static/${name}.js`), fetch("/state.json").then((r) => r.json())]);
window.store = new Store(state);
window.opened = [];
window.module = module;
window.view = module.mount(document.getElementById("root"), store, (what) => opened.push(what));
window.ready = true;
"""  # noqa: E501
TYPES = {
    "js": "text/javascript", "css": "text/css", "json": "application/json", "html": "text/html",
    "ico": "image/x-icon",
}  # fmt: skip


def needed() -> str:
    """The browser; without one the test is skipped, or fails where CI runs it."""
    if os.environ.get("CI") == "true" and not any(shutil.which(n) for n in NAMES):
        pytest.fail("no browser found: CI must have Debian's chromium")
    return executable()


@contextmanager
def served(state: dict[str, Any]) -> Iterator[str]:
    """Address of a server of the test page for a state."""
    static = files("plumbrail.app") / "static"
    made = {"/favicon.ico": "", "/": PAGE, "/page.css": STYLE, "/page.js": SCRIPT,
            "/state.json": json.dumps(state)}  # fmt: skip

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            path = self.path.partition("?")[0]
            name = path.removeprefix("/static/")
            if path in made:
                body = made[path].encode()
            elif path.startswith("/static/") and "/" not in name and (static / name).is_file():
                body = (static / name).read_bytes()
            else:
                return self.send_error(404)
            kind = path.rpartition(".")[2] if "." in path else "html"
            self.send_response(200)
            self.send_header("Content-Type", f"{TYPES[kind]}; charset=utf-8")
            self.send_header("Content-Security-Policy", POLICY)
            self.send_header("Content-Length", str(len(body)))
            self.end_headers()
            self.wfile.write(body)
            return None

        def log_message(self, *_: object) -> None:
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()
        server.server_close()
        thread.join()


@dataclass
class Seen:
    """A page with a view, and what went wrong on it."""

    page: Any
    faults: list[str] = field(default_factory=list)

    def settle(self) -> None:
        """Waits until what was asked for is drawn: two frames."""
        self.page.evaluate(
            "() => new Promise(d => requestAnimationFrame(() => requestAnimationFrame(d)))"
        )


class Views:
    """Pages with one view each; browsers stay open from one test to the next."""

    def __init__(self, play: Any) -> None:
        self._play, self._browsers = play, {}

    def _browser(self, flags: tuple[str, ...]) -> Any:
        if flags not in self._browsers:
            self._browsers[flags] = self._play.chromium.launch(
                executable_path=needed(), args=[*FLAGS, *flags]
            )
        return self._browsers[flags]

    def close(self) -> None:
        for browser in self._browsers.values():
            browser.close()

    @contextmanager
    def __call__(
        self, name: str, state: dict[str, Any], size: tuple[int, int] = (1280, 800),
        touch: bool = False, flags: tuple[str, ...] = (), scale: float = 1.0,
    ) -> Iterator[Seen]:  # fmt: skip
        """A page that shows one view; the test fails on any error, refusal by the content policy,
        or request to elsewhere.
        """
        with served(state) as address:
            context = self._browser(flags).new_context(
                viewport={"width": size[0], "height": size[1]}, has_touch=touch,
                device_scale_factor=scale,
            )  # fmt: skip
            seen = Seen(context.new_page())
            try:
                _watch(seen, address)
                seen.page.goto(f"{address}/?view={name}")
                seen.page.wait_for_function("() => window.ready", timeout=15_000)
                seen.page.wait_for_selector("[data-drawn]", timeout=15_000)
                seen.settle()
                yield seen
                assert seen.faults == []
            finally:
                context.close()


def _watch(seen: Seen, address: str) -> None:
    own = (address, "data:", "blob:")
    seen.page.on("pageerror", lambda e: seen.faults.append(str(e)))
    seen.page.on("console", lambda m: m.type == "error" and seen.faults.append(m.text))
    seen.page.on("request", lambda r: r.url.startswith(own) or seen.faults.append(r.url))


@contextmanager
def opened_views() -> Iterator[Views]:
    """Views in a browser; skips, or fails in CI, where there is none."""
    needed()
    api = pytest.importorskip("playwright.sync_api")
    with api.sync_playwright() as play:
        views = Views(play)
        try:
            yield views
        finally:
            views.close()
