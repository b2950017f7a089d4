"""Readings in words of the site."""

from __future__ import annotations

from plumbrail.notebook.entries import Axis, Kind, Reading
from plumbrail.truing.parts import Wanted


def named(reading: Reading | Wanted) -> str:
    """``tape F2–B2``, ``rod reading on F3``, ``plumb of B2 across``."""
    kind, start, end = reading.kind, reading.start, reading.end
    if kind is Kind.ROD:
        return f"rod reading on {start}"
    if kind is Kind.PLUMB:
        post = start.removesuffix(" top").removesuffix(" base")
        return f"plumb of {post} {'' if reading.axis is None else reading.axis}".rstrip()
    if kind in (Kind.STRING_SIDE, Kind.STRING_HEIGHT):
        return f"{kind} of {reading.at} off the string {start}–{end}"
    return f"{kind} {start}–{end}"


def listed(words: list[str], last: str = "and") -> str:
    """``a, b and c``."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {last} {words[-1]}"


AXIS_WORDS = {Axis.ALONG: ("right", "left"), Axis.ACROSS: ("back", "front")}
"""Where positive and negative are."""
