"""Where each key of a TOML text stands, by line."""

from __future__ import annotations

import re
from bisect import bisect_right

from plumbrail.plan.spans import Place, spans


def locate(text: str) -> dict[Place, int]:
    """Line, counted from 1, of every table, key and list item of a valid TOML ``text``.

    A table that several headers build is placed at its own header, or else at the first mention.
    """
    found = spans(text)
    starts = [0, *(m.end() for m in re.finditer("\n", text))]
    headers = [(block.place, block.start) for block in found.blocks if block.place]
    mentions = [
        *headers,
        *((place, pair.key.start) for place, pair in found.pairs.items()),
        *((place, span.start) for place, span in found.items.items()),
    ]
    lines: dict[Place, int] = {}
    for place, at in sorted(mentions, key=lambda mention: mention[1]):
        for depth in range(1, len(place) + 1):
            lines.setdefault(place[:depth], bisect_right(starts, at))
    return lines | {place: bisect_right(starts, at) for place, at in headers}
