"""A client that has been let in, for tests of the app."""

from __future__ import annotations

import itertools
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from plumbrail.app.site import site
from plumbrail.app.works import Works
from plumbrail.store.store import open_store

with warnings.catch_warnings():
    # the test client asks for httpx2, which is httpx under a new name
    warnings.simplefilter("ignore")
    from starlette.testclient import TestClient

BASE = "http://127.0.0.1:8417"
_NUMBER = itertools.count(1)


def uid() -> str:
    return f"test-{next(_NUMBER):08d}"


def stranger(works: Works, client: str = "127.0.0.1", base: str = BASE) -> TestClient:
    """A browser that nobody let in."""
    found = TestClient(
        site(works, "http://192.0.2.7:8417"), base_url=base, client=(client, 50000),
        raise_server_exceptions=False, headers={"origin": base}, follow_redirects=False,
    )  # fmt: skip
    return found


@contextmanager
def desk(folder: Path, *, work: bool = False) -> Iterator[tuple[TestClient, Works]]:
    """The desk browser with an empty store; slow parts are worked out only with ``work``."""
    with open_store(folder / "store.db") as store:
        works = Works(store, folder / "weather")
        if not work:
            works.behind.want = lambda wanted: None  # type: ignore[method-assign]
        with stranger(works) as client:
            answer = client.get(f"/launch?token={works.door.link()}")
            assert answer.status_code == 303
            yield client, works


def demo(client: TestClient, name: str = "alder-creek") -> dict[str, Any]:
    answer = client.post("/api/jobs", json={"uid": uid(), "demo": name})
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.json()
    return found


def edit(client: TestClient, state: dict[str, Any], *changes: dict[str, Any]) -> Any:
    body = {"uid": uid(), "revision": state["revision"], "changes": list(changes)}
    return client.post(f"/api/jobs/{state['job']}/edits", json=body)
