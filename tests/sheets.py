"""What must hold of every drawing."""

from __future__ import annotations

from collections.abc import Iterable

from plumbrail.papers import boxes
from plumbrail.papers.sheet import SMALLEST_TEXT, Sheet


def words(sheets: Iterable[Sheet]) -> list[str]:
    """Every line of text, with plain spaces."""
    return [t.text.replace("\u00a0", " ") for s in sheets for t in boxes.texts(s)]


def assert_legible(sheet: Sheet) -> None:
    """No text overlaps, runs off the page, is too small or cut off."""
    assert boxes.overlaps(sheet) == []
    assert boxes.off_page(sheet) == []
    assert min(t.height for t in boxes.texts(sheet)) >= SMALLEST_TEXT
    assert not any(t.text.endswith("…") for t in boxes.texts(sheet))
