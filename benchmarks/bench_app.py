"""The app in a real browser: how long people wait, what is sent, what an idle page costs.

Real processes and headless Chromium on this machine, times by the clock on the wall: other work on
the machine lengthens them, so the load is told beside them. Each value stands beside its share of
its budget. Edits change the tilt in its field; the time runs from the key to the moment when the
strip shows the new revision and 3D view, section and site plan are drawn and on the screen.
``quiet``: edits follow one another; ``work behind``: yield, wiring and cut list are under way in
their worker while the edit is made. Run: ``python -m benchmarks.bench_app``.
"""

from __future__ import annotations

import os
import re
import statistics
import subprocess
import tempfile
import time
import urllib.request
from collections.abc import Iterator
from http.cookiejar import CookieJar
from pathlib import Path
from typing import Any

from benchmarks.app_desk import DRAWN, App, Desk, ask, browser_path, cpu, desk, settled
from plumbrail.plan.demos import demo_text

Row = tuple[str, float, str]
ROUNDS = 5
EDITS = 20
IDLE = 10.0
"""Seconds for which an idle page is watched."""
OFFLINE = 10.0
READINGS = 30
JOB = "alder-creek"


def run() -> list[Row]:
    """Rows (what, value, unit)."""
    rows = [("load of the machine as it begins, one minute", os.getloadavg()[0], "-")]
    rows += _row("start to first byte", _first_byte(), 1.0, "s")
    path = browser_path()
    if path is None:
        words = "all in the browser: NOT MEASURED, no Chromium or no Playwright here"
        return [*rows, (words, float("nan"), "-")]
    with tempfile.TemporaryDirectory() as folder:
        app = App(Path(folder))
        app.start()
        try:
            with desk(app, path) as found:
                for measure in (_first_load, _cold, _edits, _large, _idle, _lost):
                    rows += measure(found)
        finally:
            app.kill()
    return [*rows, ("load of the machine at the end, one minute", os.getloadavg()[0], "-")]


def _row(name: str, value: float, budget: float, unit: str) -> list[Row]:
    """A value, and its share of what it may be."""
    share = value / budget if budget else float(value > 0)
    of = f"share of its {budget:g} {unit}" if budget else "0 when it is kept"
    return [(name, value, unit), (f"{name}: {of}", share, "-")]


def _first_byte() -> float:
    """Seconds from the command to the first byte of the page, on a new store; best of several."""
    times = []
    for _ in range(ROUNDS):
        with tempfile.TemporaryDirectory() as folder:
            app = App(Path(folder))
            begin = time.perf_counter()
            try:
                app.start()
                jar = urllib.request.HTTPCookieProcessor(CookieJar())
                with urllib.request.build_opener(jar).open(app.link, timeout=60) as page:
                    page.read(1)
                times.append(time.perf_counter() - begin)
            finally:
                app.kill()
    return min(times)


def _first_load(found: Desk) -> list[Row]:
    """Bytes of everything that the first view of the demo needs, heads of answers included."""
    with found.page() as page:
        line = page.context.new_cdp_session(page)
        line.send("Network.enable")
        sent: list[float] = []
        line.on("Network.loadingFinished", lambda e: sent.append(e["encodedDataLength"]))
        page.goto(f"{found.app.address}/?job={JOB}#plan")
        page.wait_for_function(DRAWN)
        page.wait_for_timeout(200)
        total = sum(sent) / 1000.0
    return _row(f"first load, {len(sent)} files and answers", total, 200.0, "kB")


_WATCH = """(drawn) => {
  const look = () => {
    if (document.querySelector(".view3d")?.dataset.drawn) window.solid ??= performance.now();
    if (document.body && drawn()) window.all ??= performance.now();
    else requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
}"""


def _cold(found: Desk) -> list[Row]:
    """From the address to the 3D view on the screen, nothing in the browser's cache."""
    solid, every = [], []
    for _ in range(ROUNDS):
        with found.page() as page:
            page.add_init_script(f"({_WATCH})({DRAWN})")
            page.goto(f"{found.app.address}/?job={JOB}#plan")
            page.wait_for_function("() => window.all")
            solid.append(page.evaluate("window.solid") / 1000.0)
            every.append(page.evaluate("window.all") / 1000.0)
    return [
        *_row("cold page, 3D drawn", min(solid), 1.0, "s"),
        ("cold page, section and site plan drawn too", min(every), "s"),
    ]


_EDIT = """([tilt, words]) => new Promise((resolve, reject) => {
  const field = document.querySelector('[data-path="array.tilt"] input');
  const views = [...document.querySelectorAll(".view")];
  const before = Number(views[0].dataset.drawn);
  const begin = performance.now();
  const done = () => views.every((v) => Number(v.dataset.drawn) > before)
    && document.querySelector('[data-figure="tilt"]').innerText.includes(words);
  const look = () => {
    if (performance.now() - begin > 30000) return reject(new Error(`${tilt} was never drawn`));
    if (!done()) return requestAnimationFrame(look);
    requestAnimationFrame(() => setTimeout(() => resolve(performance.now() - begin)));
  };
  field.focus();
  field.value = tilt;
  field.dispatchEvent(new Event("input", { bubbles: true }));
  field.dispatchEvent(new Event("change", { bubbles: true }));
  look();
})"""


def _series(page: Any, tilts: list[float], pause: float) -> list[float]:
    """Seconds of each edit, until it is on the screen."""
    page.evaluate("""() => { for (let up = document.querySelector('[data-path="array.tilt"]'); up;
      up = up.parentElement) if (up.tagName === "DETAILS") up.open = true; }""")
    taken = []
    for tilt in tilts:
        words = f"{tilt:.1f}".removesuffix(".0")
        painted = page.evaluate(_EDIT, [f"{tilt:.1f} deg", words])
        taken.append(painted / 1000.0)
        page.wait_for_timeout(1000.0 * pause)
    return taken


def _tilts(begin: float) -> list[float]:
    """Within the band that the plan allows, and every one another plan."""
    return [round(begin + 0.2 * k, 1) for k in range(EDITS)]


def _edits(found: Desk) -> list[Row]:
    with found.opened(JOB) as page:
        return list(_both(page, "the demo", 0.25))


def _both(page: Any, name: str, budget: float) -> Iterator[Row]:
    """Edits in a row, and edits with a worker busy behind; the first two only warm up."""
    _series(page, [32.9, 31.1], 0.05)
    quiet = _series(page, _tilts(30.3), 0.05)
    yield from _row(f"edit to repaint, {name}, quiet: median of {EDITS}",
                    statistics.median(quiet), budget, "s")  # fmt: skip
    yield f"edit to repaint, {name}, quiet: slowest", max(quiet), "s"
    busy = _series(page, _tilts(30.4), 1.2)
    yield from _row(f"edit to repaint, {name}, work behind: median of {EDITS}",
                    statistics.median(busy), budget, "s")  # fmt: skip
    yield f"edit to repaint, {name}, work behind: slowest", max(busy), "s"


def large_text() -> str:
    """The demo with 200 modules on 64 posts."""
    text = re.sub(r"(?m)^columns = [0-9]+", "columns = 50", demo_text(JOB), count=1)
    return re.sub(r"(?m)^posts = [0-9]+", "posts = 32", text, count=1)


def _large(found: Desk) -> list[Row]:
    with found.opened(JOB) as page:
        made = ask(page, "/api/jobs", {"uid": "bench-large-job", "plan": large_text()})
    if "scene" not in made or len(made["scene"]["panels"]) != 200:
        raise RuntimeError("the large plan is not what it should be")
    with found.opened(made["job"]) as page:
        return list(_both(page, "200 modules", 1.0))


def _idle(found: Desk) -> list[Row]:
    """Share of a core that the browser takes while nobody touches the page of the demo."""
    with found.opened(JOB) as page:
        done = settled(page, JOB)
        page.wait_for_timeout(2000)
        pid = found.pid()
        begin, used = time.perf_counter(), cpu(pid)
        time.sleep(IDLE)
        share = 100.0 * (cpu(pid) - used) / (time.perf_counter() - begin)
    return _row(
        "idle browser" + ("" if done else ", work behind not done"), share, 3.0, "% of a core"
    )


_OUTBOX = """async () => {
  const { Outbox } = await import("/static/queue.js");
  window.box = new Outbox(() => {});
}"""
_READ = """([job, uid, note]) => window.box.add(job, "readings",
  { uid, kind: "note", start: "", end: "", at_point: "", value: "", instrument: "", setup: "",
    time: "2026-05-11 09:30", note })"""


def _lost(found: Desk) -> list[Row]:
    """Readings taken by the phone's page while it is offline and while the server is killed."""
    kept = []

    def read(page: Any, count: int, pause: float) -> None:
        for _ in range(count):
            uid = f"bench-read-{len(kept):04d}"
            if not page.evaluate(_READ, [JOB, uid, f"reading {len(kept)}"]):
                raise RuntimeError("the phone's page did not keep a reading")
            kept.append(uid)
            page.wait_for_timeout(1000.0 * pause)

    with found.page(390, 844) as page:
        page.goto(f"{found.app.address}/phone?job={JOB}")
        page.evaluate(_OUTBOX)
        third = READINGS // 3
        page.context.set_offline(True)
        read(page, third, OFFLINE / third)
        found.app.kill()
        page.context.set_offline(False)
        read(page, third, 0.1)
        found.app.start()
        read(page, READINGS - 2 * third, 0.1)
        begin = time.perf_counter()
        page.wait_for_function("() => window.box.items().length === 0")
        waited = time.perf_counter() - begin
        there = [r["uid"] for r in ask(page, f"/api/jobs/{JOB}/readings")["rows"]]
    lost = sum(there.count(uid) != 1 for uid in kept)
    name = f"readings lost or double of {len(kept)}, {OFFLINE:g} s offline and a kill"
    return [
        *_row(name, float(lost), 0.0, "-"),
        ("until all were there, once the server was", waited, "s"),
    ]  # fmt: skip


if __name__ == "__main__":
    print(f"load {subprocess.run(['uptime'], capture_output=True, text=True, check=False).stdout}")
    for name, value, unit in run():
        print(f"{name:<78} {value:>12.4g} {unit}", flush=True)
