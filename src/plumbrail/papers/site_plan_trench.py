"""The trench on the site plan: its route, what is dug by hand, what it crosses."""

from __future__ import annotations

from itertools import pairwise
from math import cos, hypot, pi, sin

import numpy as np

from plumbrail.papers.boxes import text_box
from plumbrail.papers.layers import on
from plumbrail.papers.lettering import width
from plumbrail.papers.sheet import Circle, Item, Line, Point, Polyline, Text
from plumbrail.papers.site_plan_marks import Labels
from plumbrail.papers.site_plan_parts import Site, TrenchLine, offset_line, rough
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import say

_DASH, _GAP = 1.6, 1.0
"""Of the lines where it is dug by hand [mm]."""
_HALF = 0.55
"""Of the width of the double line [mm]."""
_DOT = 1.0
_SIZE = 2.5
_CLOSE = 2.0
_REACHES = (1.0, 2.0, 3.5, 5.0, 7.0, 9.5, 12.5, 16.0, 20.0, 26.0, 34.0)
"""How far words go from what they name [mm]."""
_WAYS = tuple(pi * k / 8 for k in (2, 6, 4, 0, 8, 14, 10, 12, 1, 3, 5, 7, 9, 11, 13, 15))
"""Directions tried at each reach."""
_LETTERS = "abcdefghijklmnopqrstuvwxyz"


def trench_marks(site: Site, k: float) -> list[Item]:
    """A double line, broken where it is dug by hand, with a dot where it crosses a service."""
    t = site.trench
    if t is None:
        return []
    sides = (-_HALF / k, _HALF / k)
    items: list[Item] = [Polyline(offset_line(p, by), "medium") for p in t.machine for by in sides]
    items += [m for p in t.by_hand for by in sides for m in _dashed(offset_line(p, by), k)]
    items += [Circle(at, _DOT / k, "medium", "dark") for _, at in t.crossings]
    return list(on("trenches", items))


def _dashed(points: tuple[Point, ...], k: float) -> list[Item]:
    """Dashes along a joined line, the first and the last whole, two at the least."""
    reach = np.concatenate([[0.0], np.cumsum([hypot(b[0] - a[0], b[1] - a[1])
                                              for a, b in pairwise(points)])])  # fmt: skip
    long, at = float(reach[-1]), np.array(points)
    count = max(2, round(long * k / (_DASH + _GAP)))
    gap = long / (count - 1 + count * _DASH / _GAP)
    dash = gap * _DASH / _GAP
    items: list[Item] = []
    for i in range(count):
        first = i * (dash + gap)
        corners = reach[(reach > first) & (reach < first + dash)]
        spots = np.concatenate([[first], corners, [first + dash]])
        shown = [(float(np.interp(s, reach, at[:, 0])), float(np.interp(s, reach, at[:, 1])))
                 for s in spots]  # fmt: skip
        items += [Line(a, b, "medium") for a, b in pairwise(shown)]
    return items


def letter_of(i: int) -> str:
    """``a`` … ``z``, ``a2`` … of a stretch that is dug by hand."""
    again = i // len(_LETTERS)
    return _LETTERS[i % len(_LETTERS)] + (str(again + 1) if again else "")


def reserve_trench(site: Site, labels: Labels) -> None:
    """Keep words off the route."""
    t = site.trench
    for line in () if t is None else (*t.machine, *t.by_hand):
        for a, b in pairwise(line):
            if a != b:
                labels.keep_off_line(a, b)


def trench_words(site: Site, labels: Labels) -> list[Item]:
    """Numbers of the crossings, then letters of the stretches dug by hand, each by its place."""
    t = site.trench
    if t is None:
        return []
    items: list[Item] = []
    for number, at in t.crossings:
        items += _near(labels.view.to_page(at), number, _DOT, labels)
    for i, points in enumerate(t.by_hand):
        items += _near(labels.view.to_page(_middle(points)), letter_of(i), 0.4, labels)
    return items


def _near(at: Point, words: str, off: float, labels: Labels) -> list[Item]:
    """A bold word at the nearest free place, with a thin line to it unless it is right there."""
    half, high = 0.5 * width(words, _SIZE, True), 0.5 * _SIZE
    for far in _REACHES:
        for way in _WAYS:
            x = at[0] + cos(way) * (off + far + half)
            y = at[1] + sin(way) * (off + far + high)
            text = Text((x, y - high), words, _SIZE, "middle", bold=True, clear=True)
            if not labels.room.free(text):
                continue
            labels.room.boxes.append(text_box(text))
            if far <= _CLOSE:
                return [text]
            tip = (at[0] + cos(way) * (off + far - 0.6), at[1] + sin(way) * (off + far - 0.6))
            return [Line(at, tip, layer="dimensions"), text]
    raise ValueError(f"no room on the site plan for {words!r}; take a larger page")


def _middle(points: tuple[Point, ...]) -> Point:
    """Half way along a joined line."""
    steps = [hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points)]
    reach = np.concatenate([[0.0], np.cumsum(steps)])
    at = np.array(points)
    half = 0.5 * float(reach[-1])
    return float(np.interp(half, reach, at[:, 0])), float(np.interp(half, reach, at[:, 1]))


def trench_note(site: Site, t: TrenchLine, job: JobInfo) -> str:
    """What its marks mean, and how long it is."""
    last = letter_of(len(t.by_hand) - 1) if t.by_hand else ""
    hand = crossed = ""
    if len(t.by_hand) > 1:
        hand = say("Broken, a to {last}: {hand} of it dug by hand.", last=last,
                   hand=rough(job, t.hand_length))  # fmt: skip
    elif t.by_hand:
        hand = say("Broken, a: {hand} of it dug by hand.", hand=rough(job, t.hand_length))
    if t.crossings:
        crossed = say("Dots X1 and so on: where it crosses a service, dug up by hand first.")
    first = say("Double line: the trench to the equipment, {length}; its own sheets say more.",
                length=rough(job, t.length))  # fmt: skip
    return " ".join(s for s in (first, hand, crossed) if s)
