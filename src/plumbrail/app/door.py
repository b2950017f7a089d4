"""Who is let in: launch links for the desk, codes for phones, and the devices let in so far.

Tokens and codes are kept as checksums only, here and in the store.
"""

from __future__ import annotations

import hashlib
import math
import secrets
import threading
import time
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from plumbrail.store.records import Device
    from plumbrail.store.store import Store

LETTERS = "ABCDEFGHJKMNPQRSTUVWXYZ23456789"
"""Of codes: none that are taken for one another."""
CODE = 8
CODE_SECONDS = 300.0
LAUNCH_SECONDS = 900.0
MOST_CODES = 8
"""Codes open at the same time; a further one closes the oldest."""
_TRIES, _TRIES_IN_ALL, _WINDOW = 5, 20, 60.0
"""Wrong codes a minute from one address, and from all of them."""
_TRUST = 2.0
"""Seconds for which a device is believed without asking the store again."""


class ShutError(Exception):
    """A code or link that lets nobody in; ``wait`` seconds until the next try, 0 for no wait."""

    def __init__(self, words: str, wait: float = 0.0) -> None:
        self.wait = wait
        super().__init__(words)


@dataclass(frozen=True)
class Code:
    """A code as it is shown once."""

    text: str
    seconds: float


class Door:
    """Lets devices in and keeps others out; safe between threads."""

    def __init__(self, store: Store, clock: Callable[[], float] = time.monotonic) -> None:
        self._store, self._clock = store, clock
        self._lock = threading.Lock()
        self._codes: dict[str, float] = {}
        self._links: dict[str, float] = {}
        self._wrong: dict[str, deque[float]] = {}
        self._known: dict[str, tuple[float, Device | None]] = {}
        self._shut = 0
        """How many were shut out: what was asked of the store before that is not remembered."""

    def link(self) -> str:
        """A token for one launch link, good once."""
        token = secrets.token_urlsafe(24)
        with self._lock:
            self._links[_sha256(token)] = self._clock() + LAUNCH_SECONDS
        return token

    def invite(self) -> Code:
        """A code for one phone, good once."""
        code = "".join(secrets.choice(LETTERS) for _ in range(CODE))
        with self._lock:
            while len(self._codes) >= MOST_CODES:
                self._codes.pop(next(iter(self._codes)))
            self._codes[_sha256(code)] = self._clock() + CODE_SECONDS
        return Code(f"{code[:4]}-{code[4:]}", CODE_SECONDS)

    def enter_by_link(self, token: str, name: str, address: str) -> str:
        """The token of a new device for the browser at the desk; raises ShutError."""
        words = "this link was used already or is too old; start plumbrail app again"
        self._use(self._links, _sha256(token), address, words)
        return self._store.let_in(name).token

    def enter_by_code(self, code: str, name: str, address: str) -> str:
        """The token of a new device for a phone; raises ShutError."""
        plain = "".join(c for c in code.upper() if c in LETTERS)
        self._use(self._codes, _sha256(plain), address,
                  "this code is wrong, was used already or is too old; ask the laptop for a new "
                  "one")  # fmt: skip
        return self._store.let_in(name).token

    def device(self, token: str) -> Device | None:
        """The device with this token, unless it was shut out."""
        key = _sha256(token)
        with self._lock:
            at, known = self._known.get(key, (-1e9, None))
            if known is not None and self._clock() - at < _TRUST:
                return known
            shut = self._shut
        found = self._store.device_of(token)
        with self._lock:
            if len(self._known) > 1000:
                self._known.clear()
            if shut == self._shut:
                self._known[key] = (self._clock(), found)
        if found is not None:
            self._store.seen(found.id)
        return found

    def revoke(self, device: str) -> None:
        """Shut a device out, from this moment on."""
        self._store.revoke(device)
        with self._lock:
            self._shut += 1
            self._known.clear()

    def _use(self, open_: dict[str, float], key: str, address: str, words: str) -> None:
        now = self._clock()
        with self._lock:
            self._wait(address, now)
            until = open_.pop(key, None)
            if until is not None and now <= until:
                return
            for tries in (self._tries(address), self._tries("")):
                tries.append(now)
        raise ShutError(words)

    def _tries(self, address: str) -> deque[float]:
        if len(self._wrong) > 1000:  # the count of all stays: who has many addresses gains nothing
            self._wrong = {"": self._wrong[""]}
        return self._wrong.setdefault(address, deque(maxlen=_TRIES_IN_ALL))

    def _wait(self, address: str, now: float) -> None:
        for name, most in ((address, _TRIES), ("", _TRIES_IN_ALL)):
            tries = self._tries(name)
            while tries and now - tries[0] >= _WINDOW:
                tries.popleft()
            if len(tries) >= most:
                wait = _WINDOW - (now - tries[0])
                words = f"too many wrong codes; wait {math.ceil(wait)} s and try again"
                raise ShutError(words, wait)


def _sha256(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8", "replace")).hexdigest()
