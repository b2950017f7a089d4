"""The pictures of the app in the README: taken here, written only when asked for.

``PLUMBRAIL_PICTURES=docs/images pytest tests/pages/test_readme_pictures.py`` writes them anew.
"""

from __future__ import annotations

import os
import re
import struct
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from tests.desk_app import Desk, ask, opened_desk

ROOT = Path(__file__).parents[2]
READINGS = ROOT / "src/plumbrail/plan/plans/alder-creek-readings.csv"
PICTURES = {
    "app-plan.png": ("plan", (1280, 860)),
    "app-truing.png": ("truing", (1280, 860)),
    "app-phone.png": ("phone", (390, 844)),
}


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    with opened_desk(tmp_path_factory.mktemp("pictures")) as found:
        yield found


KEPT = os.environ.get("PLUMBRAIL_PICTURES")
"""Folder of pictures that are to be kept; those show everything worked out."""


def shown(page: Any, name: str, address: str) -> None:
    """Waits until the page shows what its picture is for."""
    if name == "phone":
        page.goto(f"{address}/phone")
        page.get_by_text("readings taken").first.wait_for()
    elif name == "truing":
        page.locator(".gate[data-ready='not ready']").wait_for(timeout=60_000)
        page.locator('[data-figure="gate"]').get_by_text("not ready").wait_for(timeout=60_000)
    else:
        page.wait_for_selector("canvas")
    if KEPT and name != "phone":
        strip = page.locator("#strip", has_not_text=re.compile("working|still to come"))
        strip.wait_for(timeout=300_000)
    page.wait_for_timeout(1500)


@pytest.mark.parametrize("file", PICTURES)
def test_picture(desk: Desk, file: str, tmp_path: Path) -> None:
    name, size = PICTURES[file]
    target = Path(KEPT or tmp_path) / file
    with desk.page("plan" if name == "phone" else name, size) as page:
        if name == "truing":
            text = {"text": READINGS.read_text("utf-8")}
            assert ask(page, "/api/jobs/alder-creek/notebook", text)["status"] == 200
        shown(page, name, desk.server.address)
        page.screenshot(path=str(target))
    raw = target.read_bytes()
    assert struct.unpack(">II", raw[16:24]) == size
    assert len(raw) > 20_000, "an empty page"


def test_the_readme_shows_each() -> None:
    text = (ROOT / "README.md").read_text("utf-8")
    for file in PICTURES:
        assert f"docs/images/{file}" in text
        assert (ROOT / "docs/images" / file).stat().st_size > 20_000
