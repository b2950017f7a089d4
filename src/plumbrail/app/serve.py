"""Running the server: one process, one socket, ends cleanly."""

from __future__ import annotations

import asyncio
import contextlib
import gc
import logging
import socket
import threading
from collections.abc import Callable
from pathlib import Path

import uvicorn

from plumbrail.app.addresses import own_address
from plumbrail.app.gate import Gate
from plumbrail.app.site import site
from plumbrail.app.works import Works

_PATIENCE = 2
"""Seconds for answers under way when the server ends."""
_WARM = 0.3
"""Seconds until the engineering libraries are loaded, so that the first page comes first."""


def weather_folder(store: str | None) -> Path:
    """Where the weather files of a store's jobs are kept: beside it."""
    from plumbrail.store.places import data_folder, where

    file = where(store).file
    if store is None or file is None:
        return data_folder() / "weather"
    return file.with_name(f"{file.name}-weather")


class Server(uvicorn.Server):
    """Ends streams and workers before connections."""

    def __init__(self, config: uvicorn.Config, works: Works, ready: Callable[[], None]) -> None:
        super().__init__(config)
        self._works, self._ready = works, ready

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Listen, then say so."""
        await super().startup(sockets)
        if self.started:
            self._ready()
            threading.Timer(_WARM, _warm, (self._works,)).start()

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """Streams and slow work first, then the rest."""
        await self._works.close()
        await super().shutdown(sockets)


def server(gate: Gate, works: Works, ready: Callable[[], None] = lambda: None) -> Server:
    """A server for the app."""
    config = uvicorn.Config(
        gate, log_config=None, access_log=False, lifespan="on", server_header=False,
        proxy_headers=False, ws="none", timeout_graceful_shutdown=_PATIENCE,
        timeout_keep_alive=75,
    )  # fmt: skip
    return Server(config, works, ready)


def run(works: Works, sock: socket.socket, lan: bool, ready: Callable[[str], None]) -> None:
    """Serve until somebody ends it; ``ready`` is told the address once it listens."""
    logging.basicConfig(format="%(asctime)s %(message)s", level=logging.WARNING)
    logging.getLogger("uvicorn.error").setLevel(logging.ERROR)
    port = sock.getsockname()[1]
    own = own_address() if lan else ""
    gate = site(works, f"http://{own}:{port}" if own else "")
    running = server(gate, works, lambda: ready(f"http://127.0.0.1:{port}"))
    with contextlib.suppress(KeyboardInterrupt, asyncio.CancelledError):
        running.run([sock])


def _warm(works: Works) -> None:
    """Load what the first page needs, and work out the job that it will show."""
    try:
        jobs = works.store.jobs()
        if jobs:
            at = works.office.at(jobs[0].id)
            works.bench.worked(at.sha256, at.text)
        gc.collect()
        gc.freeze()  # libraries stay: looking through them again and again slows edits down
    except Exception:  # the page that asks for it will say what is wrong
        logging.getLogger("plumbrail.app").debug("not warmed up", exc_info=True)
