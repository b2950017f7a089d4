"""The file of tests in the app: kept with the job, judged by plan and readings as they are."""

from __future__ import annotations

import shutil
import subprocess
import time
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest

from app_client import TestClient, demo, desk, edit
from plumbrail.plan.demos import demo_text

TEXT = (files("plumbrail.plan") / "plans/alder-creek-tests.csv").read_text("utf-8")


def tile(client: TestClient, path: str) -> dict[str, Any]:
    return next(f for f in client.get(path).json()["strip"] if f["id"] == "tests")


def test_a_file_of_tests_outlives_the_server_and_follows_the_plan(tmp_path: Path) -> None:
    with desk(tmp_path) as (client, _):
        job = demo(client)["job"]
        path = f"/api/jobs/{job}"
        assert client.get(f"{path}/tests").json() == {"empty": True}
        assert client.get(f"{path}/tests.csv").status_code == 404
        assert "tests" not in {f["id"] for f in client.get(path).json()["strip"]}
        first = client.post(f"{path}/tests", json={"text": TEXT, "name": "july.csv"}).json()
        assert (first["name"], first["revision"]) == ("july.csv", 1) and first["failed"] > 0
        refused = client.post(f"{path}/tests", json={"text": demo_text("alder-creek")})
        assert refused.status_code == 422 and "this is a plan" in refused.json()["error"]
        assert client.get(f"{path}/tests").json() == first  # what is no file of tests changes none
        assert (tile(client, path)["mark"], tile(client, path)["pending"]) == ("fail", False)
    with desk(tmp_path) as (client, _):
        assert (tile(client, path)["mark"], tile(client, path)["pending"]) == ("not checked", True)
        again = client.get(f"{path}/tests").json()
        assert _without_clock(again) == _without_clock(first)
        assert tile(client, path)["mark"] == "fail"
        assert client.get(f"{path}/tests.csv").text == TEXT
        story = next(j["id"] for j in again["judged"] if j["explained"])
        told = client.get(f"{path}/tests/{story}", params={"key": again["key"]})
        assert told.status_code == 200 and told.json()["printed"]["steps"]

        state = client.get(path).json()
        far = {"path": "wiring.combiners.corner", "value": "back left"}
        assert edit(client, state, far).status_code == 200
        waits = tile(client, path)
        assert (waits["mark"], waits["pending"]) == ("fail", True)  # until it is judged otherwise
        assert waits["detail"].startswith("being judged again")
        assert client.get(f"{path}/tests").json()["revision"] == 2
        gone = client.get(f"{path}/tests/{story}", params={"key": "of-another"})
        assert gone.status_code == 422 and "open the page Proving again" in gone.json()["error"]

        tool = shutil.which("pdftotext")
        if tool is None:
            pytest.skip("pdftotext is not installed: the book was not looked at")
        book = _book(client, path, tmp_path / "book.pdf")
        said = subprocess.run([tool, "-raw", book, "-"], capture_output=True, text=True, check=True)
        words = " ".join(said.stdout.split())
        assert "Hand-over record" in words
        assert again["suspicions"][0]["candidates"][0]["words"] in words


def _without_clock(report: dict[str, Any]) -> dict[str, Any]:
    return {k: v for k, v in report.items() if k not in ("created", "run")}


def _book(client: TestClient, path: str, to: Path) -> Path:
    task = client.post(f"{path}/tasks", json={"kind": "book", "readings": True}).json()
    until = time.monotonic() + 240
    while task["state"] in ("waiting", "working") and time.monotonic() < until:
        time.sleep(0.3)
        task = client.get(f"/api/tasks/{task['id']}").json()
    assert task["state"] == "done", task
    to.write_bytes(client.get(f"/api/tasks/{task['id']}/files/book.pdf").content)
    return to
