"""A real browser for tests, from the system; skips with a reason where there is none."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest

FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
SLOW = """(most) => {
  const fetch = window.fetch.bind(window);
  const wait = () => new Promise((go) => setTimeout(go, Math.random() * most));
  window.fetch = async (path, options) => {
    if (!options?.signal) return fetch(path, options); // asked by a test, not by the page
    await wait();
    const answer = await fetch(path, options);
    await wait();
    return answer;
  };
}"""
NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")


def executable() -> str:
    """Path of a browser; skips the test, or fails it where CI demands a browser."""
    found = next((path for name in NAMES if (path := shutil.which(name))), None)
    if found is None:
        why = "no browser found: install Debian's chromium to run this test"
        if os.environ.get("PLUMBRAIL_NEEDS_BROWSER"):
            pytest.fail(why)
        pytest.skip(why)
    return found


def new_context(browser: Any, **how: Any) -> Any:
    """Pages of a browser; with ``PLUMBRAIL_SLOW_LINE=600`` what they ask and hear comes
    up to 600 ms late each way, at random: a test that only passes on a quick line fails then.
    """
    context = browser.new_context(**how)
    if most := os.environ.get("PLUMBRAIL_SLOW_LINE"):
        context.add_init_script(f"({SLOW})({float(most)})")
    return context


@contextmanager
def page(width: int, height: int) -> Iterator[Any]:
    """A page of this size; the network is off."""
    path = executable()
    api = pytest.importorskip("playwright.sync_api")
    with api.sync_playwright() as play:
        browser = play.chromium.launch(executable_path=path, args=FLAGS)
        try:
            context = browser.new_context(viewport={"width": width, "height": height}, offline=True)
            yield context.new_page()
        finally:
            browser.close()
