"""Texts that a catalogue has no message for: said in English, and told to whoever listens."""

from __future__ import annotations

import gettext
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

_LISTENS: ContextVar[list[str] | None] = ContextVar("plumbrail_unsaid", default=None)


class Unsaid(gettext.NullTranslations):
    """What gettext asks when a message is missing: the English text, noted."""

    def gettext(self, message: str) -> str:
        """The message itself."""
        note(message)
        return message

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        """The English form for n."""
        note(msgid1)
        return super().ngettext(msgid1, msgid2, n)


def note(text: str) -> None:
    """Tell whoever listens that a text has no message."""
    heard = _LISTENS.get()
    if heard is not None and text not in heard:
        heard.append(text)


@contextmanager
def listening() -> Iterator[list[str]]:
    """A list that fills with the texts which stay English inside the block."""
    heard: list[str] = []
    token = _LISTENS.set(heard)
    try:
        yield heard
    finally:
        _LISTENS.reset(token)
