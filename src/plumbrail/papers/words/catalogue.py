"""Catalogues of messages: gettext's own lookup over the .po files kept beside this module."""

from __future__ import annotations

import gettext
import io
from functools import cache
from importlib.resources import files

from plumbrail.papers.words.mo import mo_bytes
from plumbrail.papers.words.po import Entry, read_po
from plumbrail.papers.words.unsaid import Unsaid


@cache
def entries(language: str) -> tuple[Entry, ...]:
    """Every message of a catalogue in file order; English has none."""
    if language == "en":
        return ()
    text = files("plumbrail.papers.words").joinpath(f"{language}.po").read_text("utf-8")
    return read_po(text, f"{language}.po")


@cache
def catalogue(language: str) -> gettext.NullTranslations:
    """The messages of one language; English passes everything through."""
    if language == "en":
        return gettext.NullTranslations()
    made = gettext.GNUTranslations(io.BytesIO(mo_bytes(entries(language))))
    made.add_fallback(Unsaid())
    return made
