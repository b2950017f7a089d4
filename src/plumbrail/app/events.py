"""One stream of events to every open page."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator

from plumbrail.app.messages import Event

BEAT = 15.0
"""Seconds between signs of life."""
MOST = 200
"""Events waiting for one page; a slower one is dropped and comes back by itself."""


class Listener:
    """One page that listens."""

    def __init__(self, device: str) -> None:
        self.device = device
        self.queue: asyncio.Queue[str | None] = asyncio.Queue(MOST)
        self.open = True

    def close(self) -> None:
        """End the stream."""
        self.open = False
        while not self.queue.empty():
            self.queue.get_nowait()
        self.queue.put_nowait(None)


class Hub:
    """All pages that listen; used in the server's own thread, except ``tell``."""

    def __init__(self, beat: float = BEAT) -> None:
        self.beat = beat
        self._listeners: set[Listener] = set()
        self._loop: asyncio.AbstractEventLoop | None = None

    def start(self) -> None:
        """Take the running loop for events that other threads tell."""
        self._loop = asyncio.get_running_loop()

    def tell(self, event: Event) -> None:
        """Send an event to every page; from any thread."""
        if self._loop is None or self._loop.is_closed():
            return
        line = f"event: plumbrail\ndata: {event.model_dump_json()}\n\n"
        self._loop.call_soon_threadsafe(self._send, line)

    def _send(self, line: str) -> None:
        for listener in list(self._listeners):
            try:
                listener.queue.put_nowait(line)
            except asyncio.QueueFull:
                self._leave(listener)

    def _leave(self, listener: Listener) -> None:
        self._listeners.discard(listener)
        listener.close()

    def join(self, device: str) -> Listener:
        """A new page."""
        listener = Listener(device)
        self._listeners.add(listener)
        return listener

    async def stream(self, listener: Listener) -> AsyncIterator[str]:
        """What is sent to one page, until it goes or is shut out."""
        yield "retry: 1500\n\n"
        try:
            while listener.open:
                try:
                    line = await asyncio.wait_for(listener.queue.get(), self.beat)
                except TimeoutError:
                    line = ": beat\n\n"
                if line is None:
                    return
                yield line
        finally:
            self._listeners.discard(listener)

    def shut_out(self, device: str) -> None:
        """End the streams of a device that was shut out; from any thread."""
        if self._loop is not None and not self._loop.is_closed():
            self._loop.call_soon_threadsafe(self._close, device)

    def _close(self, device: str) -> None:
        for listener in [x for x in self._listeners if device in ("", x.device)]:
            self._leave(listener)

    def close(self) -> None:
        """End every stream; in the server's own thread."""
        self._close("")
