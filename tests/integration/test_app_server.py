"""The command itself: a real process, a real socket."""

from __future__ import annotations

import json
import os
import re
import signal
import socket
import subprocess
import sys
import threading
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from http.cookiejar import CookieJar
from pathlib import Path
from typing import Any

import pytest

from plumbrail.plan.demos import demo_text
from plumbrail.store.store import open_store, restore

PATIENCE = 60.0


class Running:
    """``plumbrail app`` as a person starts it."""

    def __init__(self, folder: Path, *arguments: str) -> None:
        command = [sys.executable, "-m", "plumbrail", "app", "--no-browser", "--store",
                   str(folder / "store.db"), *arguments]  # fmt: skip
        self.process = subprocess.Popen(
            command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, cwd=folder,
            env={**os.environ, "XDG_DATA_HOME": str(folder)},
        )  # fmt: skip
        self.said: list[str] = []
        self._told = threading.Event()
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()
        assert self._told.wait(PATIENCE), self.said
        self.link = next(m[0] for line in self.said if (m := re.search(r"http\S+/launch\S+", line)))
        self.base = self.link.split("/launch")[0]
        jar = urllib.request.HTTPCookieProcessor(CookieJar())
        self.browser = urllib.request.build_opener(jar)

    def _read(self) -> None:
        assert self.process.stdout is not None
        for line in self.process.stdout:
            self.said.append(line)
            if "Ctrl-C" in line:
                self._told.set()
        self._told.set()

    def get(self, path: str) -> Any:
        with self.browser.open(self.base + path, timeout=PATIENCE) as answer:
            return json.loads(answer.read())

    def post(self, path: str, body: Any) -> Any:
        request = urllib.request.Request(
            self.base + path, json.dumps(body).encode(),
            {"content-type": "application/json", "origin": self.base},
        )  # fmt: skip
        with self.browser.open(request, timeout=PATIENCE) as answer:
            return json.loads(answer.read())

    def close(self) -> None:
        self.process.kill()
        self.process.wait(10)
        self._reader.join(10)
        assert self.process.stdout is not None
        self.process.stdout.close()

    def end(self, how: int = signal.SIGINT) -> int:
        self.process.send_signal(how)
        try:
            return self.process.wait(20)
        finally:
            self.process.kill()


@pytest.fixture
def started(tmp_path: Path) -> Iterator[list[Running]]:
    found: list[Running] = []
    yield found
    for running in found:
        running.close()


def test_from_the_link_to_an_edit_and_a_clean_end(tmp_path: Path, started: list[Running]) -> None:
    running = Running(tmp_path, "--port", "0")
    started.append(running)
    with pytest.raises(urllib.error.HTTPError) as error:
        running.get("/api/jobs")
    assert error.value.code == 403
    error.value.close()
    with running.browser.open(running.link, timeout=PATIENCE) as page:
        assert page.url == f"{running.base}/"
    [job] = running.get("/api/jobs")
    assert job["id"] == "alder-creek"
    state = running.get("/api/jobs/alder-creek")
    body = {"uid": "server-test-1", "revision": 1,
            "changes": [{"path": "array.tilt", "value": "31 deg"}]}  # fmt: skip
    stream = running.browser.open(f"{running.base}/api/events", timeout=PATIENCE)
    with stream:
        assert stream.headers["content-type"].startswith("text/event-stream")
        assert stream.readline() == b"retry: 1500\n"
        assert running.post("/api/jobs/alder-creek/edits", body)["revision"] == 2
        lines = [stream.readline() for _ in range(4)]
        assert b"event: plumbrail\n" in lines
        assert any(b'"kind":"revision"' in line and b'"revision":2' in line for line in lines)
        began = time.monotonic()
        assert running.end() == 0
        assert time.monotonic() - began < 15
    assert "Traceback" not in "".join(running.said)
    assert "everything is kept" in "".join(running.said)
    assert state["revision"] == 1
    with open_store(tmp_path / "store.db") as store:
        assert store.head("alder-creek").revision == 2


def test_a_taken_port_is_said_and_the_next_one_used(tmp_path: Path, started: list[Running]) -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        running = Running(tmp_path, "--port", str(port))
        started.append(running)
        assert f"Port {port} is taken" in "".join(running.said)
        assert running.base != f"http://127.0.0.1:{port}"
        running.end(signal.SIGTERM)


def test_a_plan_named_on_the_command_line(tmp_path: Path, started: list[Running]) -> None:
    (tmp_path / "barn.toml").write_text(demo_text("dry-gulch"), encoding="utf-8")
    running = Running(tmp_path, "--port", "0", "barn.toml")
    started.append(running)
    assert "&job=barn-" in running.link
    running.browser.open(running.link, timeout=PATIENCE).close()
    [job] = running.get("/api/jobs")
    assert job["id"].startswith("barn-")
    running.end()


def run(folder: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "plumbrail", "app", *arguments]
    return subprocess.run(command, capture_output=True, text=True, cwd=folder, timeout=PATIENCE,
                          check=False)  # fmt: skip


def test_backup_and_bad_arguments(tmp_path: Path) -> None:
    with open_store(tmp_path / "store.db") as store:
        store.add_job("barn", "uid-0001", demo_text("alder-creek"), "Barn", "test", "begun")
    made = run(tmp_path, "--store", "store.db", "--backup", "copy.db")
    assert made.returncode == 0, made.stderr
    restore(tmp_path / "copy.db", tmp_path / "again.db")
    with open_store(tmp_path / "again.db") as store:
        assert store.head("barn").revision == 1
    (tmp_path / "bad.toml").write_text("[job]\n")
    for arguments, word in ((("--port", "99999"), "port"), (("nothing.toml",), "no such file"),
                            (("bad.toml",), "missing"),
                            (("--store", "mysql://x"), "store")):  # fmt: skip
        refused = run(tmp_path, "--no-browser", *(
            arguments if "--store" in arguments else ("--store", "s.db", *arguments)))  # fmt: skip
        assert refused.returncode == 2
        assert word in refused.stdout + refused.stderr
        assert "Traceback" not in refused.stdout + refused.stderr
