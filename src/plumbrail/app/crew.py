"""Worker processes: started when there is slow work, killed when nobody wants it any more."""

from __future__ import annotations

import asyncio
import multiprocessing
import shutil
import sys
import tempfile
import threading
from collections.abc import Callable, Mapping
from dataclasses import replace
from multiprocessing.connection import Connection
from multiprocessing.context import BaseContext
from pathlib import Path
from typing import Any

from plumbrail.app.worker import Order, work
from plumbrail.errors import PlumbrailError

Take = Callable[[str, Any], None]


class WorkFailedError(Exception):
    """A worker ended without saying why: a fault of the program, or it was killed from outside."""


class Refused(PlumbrailError):  # noqa: N818 - what the worker said, in words for people
    """The plan or the readings do not allow it."""


class Crew:
    """Starts workers. On Linux and macOS they are copies of one process that has all libraries
    loaded, so that starting one takes a moment; elsewhere each loads them itself."""

    def __init__(self) -> None:
        self._context: BaseContext | None = None
        self._lock = threading.Lock()

    async def run(self, order: Order, files: Mapping[str, bytes], take: Take) -> Path:
        """Do an order in a fresh folder that holds ``files``; ``take`` gets what comes.

        Returns the folder, which the caller removes. Raises Refused in words and WorkFailedError;
        when cancelled the worker is killed and the folder removed.
        """
        folder = Path(tempfile.mkdtemp(prefix="plumbrail-"))
        starting: asyncio.Task[Any] | None = None
        try:
            await asyncio.to_thread(_fill, folder, files)
            queue: asyncio.Queue[tuple[str, Any] | None] = asyncio.Queue()
            starting = asyncio.create_task(asyncio.to_thread(
                self._start, replace(order, folder=str(folder)), queue,
                asyncio.get_running_loop()))  # fmt: skip
            await asyncio.shield(starting)
            await _listen(queue, take)
        except BaseException:
            await asyncio.to_thread(shutil.rmtree, folder, True)
            raise
        finally:
            if starting is not None:
                starting.add_done_callback(_kill)
        return folder

    def _start(
        self, order: Order, queue: asyncio.Queue[tuple[str, Any] | None],
        loop: asyncio.AbstractEventLoop,
    ) -> Any:  # fmt: skip
        context = self._ready()
        mine, its = context.Pipe(duplex=False)
        process = context.Process(target=work, args=(order, its), daemon=True)  # type: ignore[attr-defined]
        process.start()
        its.close()
        threading.Thread(target=_read, args=(mine, queue, loop), daemon=True).start()
        return process

    def _ready(self) -> BaseContext:
        with self._lock:
            if self._context is None:
                way = "spawn" if sys.platform == "win32" else "forkserver"
                self._context = multiprocessing.get_context(way)
                if way == "forkserver":
                    self._context.set_forkserver_preload(["plumbrail.app.preload"])
            return self._context


def _kill(started: asyncio.Task[Any]) -> None:
    if not started.cancelled() and started.exception() is None:
        process = started.result()
        process.kill()
        threading.Thread(target=process.join, daemon=True).start()


def _fill(folder: Path, files: Mapping[str, bytes]) -> None:
    for name, data in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)


def _read(
    pipe: Connection, queue: asyncio.Queue[tuple[str, Any] | None],
    loop: asyncio.AbstractEventLoop,
) -> None:  # fmt: skip
    """Pass on what a worker sends until it ends."""
    try:
        with pipe:
            while True:
                loop.call_soon_threadsafe(queue.put_nowait, pipe.recv())
    except (EOFError, OSError, RuntimeError):  # RuntimeError: the server itself has ended
        pass
    if not loop.is_closed():
        try:
            loop.call_soon_threadsafe(queue.put_nowait, None)
        except RuntimeError:
            return


async def _listen(queue: asyncio.Queue[tuple[str, Any] | None], take: Take) -> None:
    while True:
        said = await queue.get()
        if said is None:
            raise WorkFailedError
        name, value = said
        if name == "end":
            return
        if name == "refused":
            raise Refused(value)
        take(name, value)
