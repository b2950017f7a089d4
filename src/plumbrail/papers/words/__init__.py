"""What papers say, in the language of the crew: English texts looked up in a catalogue.

The English text is the key (gettext's way), so the code reads as it prints, and what has no
message yet is said in English. ``say`` takes texts of the papers themselves, ``tell`` sentences
that come in English from the engineering packages, ``figures`` numbers.
"""

from __future__ import annotations

from plumbrail.papers.words.catalogue import catalogue
from plumbrail.papers.words.speech import LANGUAGES, figures, language, speaking
from plumbrail.papers.words.told import tell
from plumbrail.papers.words.unsaid import listening

__all__ = [
    "LANGUAGES", "figures", "language", "later", "listening", "say", "say_many", "speaking", "tell",
    "with_english",
]  # fmt: skip


def say(text: str, /, **values: object) -> str:
    """The text in the language spoken now, its {placeholders} filled with the values."""
    said = catalogue(language()).gettext(text) if text else text
    return said.format(**values) if values else said


def say_many(one: str, many: str, n: int, /, **values: object) -> str:
    """The form of a counted message for n, which also fills {n}."""
    said = catalogue(language()).ngettext(one, many, n)
    return said.format(n=figures(f"{n}"), **values)


def later(text: str) -> str:
    """The text itself; marks a constant that is said later, so that its message is looked for."""
    return text


def with_english(word: str) -> str:
    """A word of the notebook with the English one, which the notebook takes, beside it."""
    return word if language() == "en" else f"{tell(word)} ({word})"
