"""Which language is spoken now, and how it writes numbers."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass

from plumbrail.errors import PlumbrailError

LANGUAGES = ("en", "es")
_THIN = "\u202f"


@dataclass(frozen=True, slots=True)
class Speech:
    """A language and the units of the job."""

    language: str
    comma: bool
    """Decimal comma."""


_ENGLISH = Speech("en", comma=False)
_SPOKEN: ContextVar[Speech] = ContextVar("plumbrail_speech", default=_ENGLISH)


def spoken() -> Speech:
    """What is spoken now."""
    return _SPOKEN.get()


def language() -> str:
    """The language spoken now: one of LANGUAGES."""
    return _SPOKEN.get().language


@contextmanager
def speaking(language: str, units: str = "metric") -> Iterator[None]:
    """Let everything said inside the block be said in this language.

    ``units`` of the job, ``us`` or ``metric``: Spanish writes a decimal comma on metric papers and
    keeps the point on those in feet and inches, as the tapes and gauges of those sites do.

    Raises:
        PlumbrailError: a language without a catalogue.
    """
    if language not in LANGUAGES:
        raise PlumbrailError(
            f"language: {language!r} is not spoken here; write one of {', '.join(LANGUAGES)}"
        )
    token = _SPOKEN.set(Speech(language, comma=language == "es" and units == "metric"))
    try:
        yield
    finally:
        _SPOKEN.reset(token)


def figures(text: str) -> str:
    """Numbers written with a point, as the language spoken now writes them.

    Spanish: groups of three figures only from five figures on, parted by a thin space.
    """
    if language() == "en":
        return text
    plain = re.sub(r"(?<=\d),(?=\d{3})", "", text)
    grouped = re.sub(r"(?<![\d.])\d{5,}", _grouped, plain)
    return re.sub(r"(?<=\d)\.(?=\d)", ",", grouped) if spoken().comma else grouped


def _grouped(found: re.Match[str]) -> str:
    return f"{int(found[0]):,}".replace(",", _THIN)
