"""What must hold of every drawing."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from plumbrail.papers import boxes
from plumbrail.papers.sheet import SMALLEST_TEXT, Dimension, Sheet
from plumbrail.units import parse

FINE_US, FINE_METRIC = 0.0254 / 32 + 1e-9, 0.0005 + 1e-9
"""Half of the last step that a length is written to, m."""


def words(sheets: Iterable[Sheet]) -> list[str]:
    """Every line of text, with plain spaces."""
    return [t.text.replace("\u00a0", " ") for s in sheets for t in boxes.texts(s)]


def assert_legible(sheet: Sheet) -> None:
    """No text overlaps, runs off the page, is too small or cut off."""
    assert boxes.overlaps(sheet) == []
    assert boxes.off_page(sheet) == []
    assert min(t.height for t in boxes.texts(sheet)) >= SMALLEST_TEXT
    assert not any(t.text.endswith("…") for t in boxes.texts(sheet))


def dimensions(sheets: Iterable[Sheet]) -> list[Dimension]:
    """Those that say a length."""
    items = (item for sheet in sheets for view in sheet.views for item in view.items)
    return [item for item in items if isinstance(item, Dimension) and item.text]


def said_length(dimension: Dimension, metric: bool) -> float:
    """What its words say, m."""
    said = dimension.text.replace("\u00a0", " ").split(": ")[-1].removesuffix(" in all")
    return parse(f"{said.removesuffix(' mm')} mm" if metric else said, "length")


def real_length(dimension: Dimension) -> float:
    """Between its points, m."""
    return float(np.hypot(*np.subtract(dimension.end, dimension.start)))
