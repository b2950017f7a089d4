"""The papers page: book and drawings made with progress, saved and opened; stopping; faults."""

from __future__ import annotations

import io
import re
import shutil
import subprocess
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from tests.desk_app import Desk, answers_late, opened_desk

SLOW = 420_000
"""Milliseconds for a book on a busy machine."""
SHARES = """() => { window.shares = []; window.said = []; new MutationObserver(() => {
  const bar = document.querySelector(".task[data-state=working] progress");
  if (!bar) return;
  window.shares.push(bar.value);
  window.said.push(document.querySelector(".task p").textContent);
}).observe(document.querySelector("#page-papers"), { subtree: true, childList: true,
  attributes: true, characterData: true }); }"""


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    with opened_desk(tmp_path_factory.mktemp("papers")) as found:
        yield found


def made(page: Any, kind: str) -> list[str]:
    """Makes papers to the end; names of the files, after a look at the progress."""
    page.evaluate(SHARES)
    page.locator(f'[data-task="{kind}"]').click()
    page.locator(".task[data-state='working'] progress").first.wait_for(timeout=SLOW)
    page.locator(".task[data-state='done'] a").first.wait_for(timeout=SLOW)
    shares, said = page.evaluate("[window.shares, window.said]")
    assert shares == sorted(shares) and len(set(shares)) > 1  # it goes forward, in steps
    assert len(set(said)) > 1  # and says what it does
    return page.locator(".task").first.locator("a").all_text_contents()


def saved(page: Any, name: str) -> bytes:
    with page.expect_download() as found:
        page.locator(".task").first.get_by_role("link", name=name, exact=True).click()
    assert found.value.suggested_filename == name
    return Path(found.value.path()).read_bytes()


def test_the_book_is_made_with_progress_and_opens(desk: Desk, tmp_path: Path):
    with desk.page("papers") as page:
        files = made(page, "book")
        (book,) = [name for name in files if name.endswith(".pdf")]
        data = saved(page, book)
        assert data.startswith(b"%PDF-") and b"%%EOF" in data[-64:]
        if shutil.which("pdfinfo"):
            path = tmp_path / "book.pdf"
            path.write_bytes(data)
            told = subprocess.run(["pdfinfo", path], capture_output=True, text=True, check=True)
            assert int(re.search(r"Pages:\s+(\d+)", told.stdout)[1]) >= 20


def test_the_drawings_open_in_other_programs(desk: Desk):
    ezdxf = pytest.importorskip("ezdxf")
    with desk.page("papers") as page:
        files = made(page, "drawings")
        pack = zipfile.ZipFile(io.BytesIO(saved(page, "drawings.zip")))
        assert set(pack.namelist()) == set(files) - {"drawings.zip"}
        dxfs = [name for name in files if name.endswith(".dxf")]
        svgs = [name for name in files if name.endswith(".svg")]
        assert len(dxfs) >= 4 and len(svgs) >= len(dxfs)
        assert saved(page, dxfs[0]) == pack.read(dxfs[0])
        for name in dxfs:
            drawing = ezdxf.read(io.StringIO(pack.read(name).decode("utf-8")))
            audit = drawing.audit()
            assert not audit.errors and not audit.fixes, name
            assert len(drawing.modelspace()) + sum(len(p) for p in drawing.layouts) > 10, name
        for name in svgs:
            root = ElementTree.fromstring(pack.read(name))
            assert root.tag == "{http://www.w3.org/2000/svg}svg"
            assert len(list(root.iter())) > 20, name


def test_no_older_answer_comes_over_a_newer_one(desk: Desk):
    """Some answers are late by more than the steps of the work are long."""
    with desk.page("papers") as page:
        answers_late(page, "/api/tasks/", 1500)
        page.evaluate(SHARES)
        page.locator('[data-task="drawings"]').click()
        page.locator(".task[data-state='done'] a").first.wait_for(timeout=SLOW)
        page.wait_for_timeout(2500)  # whatever is late has come by now
        assert page.locator(".task").get_attribute("data-state") == "done"
        shares = page.evaluate("window.shares")
        assert shares == sorted(shares)


def test_a_task_is_stopped_by_keyboard_and_the_next_one_goes_on(desk: Desk):
    with desk.page("papers") as page:
        page.locator('[data-task="book"]').click()
        stop = page.get_by_role("button", name="Stop")
        page.locator(".task[data-state='working']").wait_for(timeout=SLOW)
        stop.focus()
        page.keyboard.press("Enter")
        page.locator(".task[data-state='stopped']").wait_for()
        assert page.locator(".task a").count() == 0 and not stop.is_visible()
        assert "stopped" in page.locator(".task p").inner_text()
        assert page.evaluate("document.activeElement.className") == "task"  # the focus is not lost
        page.evaluate(SHARES)
        page.locator('[data-task="drawings"]').click()
        page.wait_for_function("() => Math.max(0, ...window.shares) > 0", timeout=SLOW)
        stop.click()
        page.locator(".task[data-state='stopped']").first.wait_for()


def test_a_task_ends_in_words_when_the_server_was_started_again(desk: Desk):
    with desk.page("papers", allow="ERR_|Failed to load|net::") as page:
        page.locator('[data-task="book"]').click()
        page.locator(".task[data-state='working']").wait_for(timeout=SLOW)
        with desk.server.away():
            page.locator("#line", has_text="does not answer").wait_for()
            page.locator('[data-task="drawings"]').click()
            page.locator("#page-papers > .error", has_text="does not answer").wait_for()
        page.locator(".task[data-state='failed']", has_text="make it once more").wait_for(
            timeout=60_000
        )
        assert page.get_by_role("button", name="Stop").count() == 0 or not (
            page.get_by_role("button", name="Stop").first.is_visible()
        )
