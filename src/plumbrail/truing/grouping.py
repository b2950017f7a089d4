"""Readings to take, put together in words as a crew walks: one line for what is done alike."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Sequence
from dataclasses import replace
from itertools import pairwise

from plumbrail.notebook.entries import Axis, Kind
from plumbrail.truing.naming import listed, named
from plumbrail.truing.parts import Wanted

_ROWS = {"F": "front", "B": "back"}
_AT = {"": "the beam over", "top": "the cut end of", "base": "the ground at"}


def grouped(wanted: Sequence[Wanted]) -> tuple[str, ...]:
    """Lines in the order of the first reading of each, every reading in one of them.

    Rods of one laser set-up name it, so that what ties it to the rest is read before it is moved.
    """
    groups: dict[tuple[Hashable, int], list[Wanted]] = {}
    times: Counter[Wanted] = Counter()
    for w in wanted:
        same = replace(w, words="")
        times[same] += 1
        groups.setdefault((_key(w), times[same]), []).append(w)
    rods = Counter(w.setup for w in wanted if w.kind is Kind.ROD)
    found = []
    for (_, time), group in groups.items():
        first = group[0]
        together = first.kind is Kind.ROD and first.setup and rods[first.setup] > 1
        end = f", all from set-up {first.setup}" if together else ""
        found += [line + end + ", once more" * (time > 1) for line in _lines(group)]  # fmt: skip
    return tuple(found)


def _key(w: Wanted) -> Hashable:
    """Equal for readings that stand in one line."""
    (row, _, part), end = _taken(w.start), _taken(w.end)
    if w.kind in (Kind.STRING_SIDE, Kind.STRING_HEIGHT):
        return w.kind, w.start, w.end, _taken(w.at)[2]
    if w.kind is Kind.TAPE and row and end[0]:
        return w.kind, row == end[0], row if row == end[0] else "", part, end[2], _step(w)
    return w.kind, row, part, w.axis, w.setup


def _step(w: Wanted) -> int:
    return abs(_taken(w.end)[1] - _taken(w.start)[1])


def _taken(name: str) -> tuple[str, int, str]:
    """Row, station and part of a point of a post; empty and 0 for all others."""
    post, _, part = name.partition(" ")
    if post[:1] in _ROWS and post[1:].isdecimal():
        return post[0], int(post[1:]), part
    return "", 0, ""


def _lines(group: list[Wanted]) -> list[str]:
    first = group[0]
    (row, _, part), single = _taken(first.start), [w.words or named(w) for w in group]
    if len(group) == 1 or not row:
        return single
    kind, posts = first.kind, [w.start for w in group]
    if kind is Kind.ROD:
        return [f"rod on {_AT[part]} {listed(_runs(posts))}"]
    if kind is Kind.PLUMB:
        axis = Axis.ALONG if first.axis is Axis.ALONG else Axis.ACROSS
        return [f"plumb {axis} the row: {listed(_runs(posts))}"]
    if kind is Kind.TILT:
        return [f"tilt with a trial rail from front to back beam: stations {_stations(group)}"]
    if kind in (Kind.STRING_SIDE, Kind.STRING_HEIGHT):
        at = listed(_runs([w.at for w in group]))
        end = " (base)" if first.at.endswith(" base") else ""
        return [f"{kind} off the string {first.start}–{first.end}: {at}{end}"]
    if kind is Kind.TAPE and _taken(first.end)[0] != row and not _step(first):
        what = "post to post on the ground" if part else "beam to beam"
        return [f"tape from {what}: stations {_stations(group)}"]
    bays = sorted((_taken(w.start)[1], _taken(w.end)[1]) for w in group)
    whole = all(a[1] == b[0] for a, b in pairwise(bays)) and kind is Kind.TAPE
    if whole and _taken(first.end)[0] == row and _step(first) == 1:
        what = f"on the ground along the {_ROWS[row]} row" if part else (
            f"along the {_ROWS[row]} beam"
        )  # fmt: skip
        return [f"tape {what}, bay by bay: {row}{bays[0][0]} to {row}{bays[-1][1]}"]
    return [f"{kind}: {', '.join(f'{w.start}–{w.end}' for w in group)}"]


def _stations(group: list[Wanted]) -> str:
    return listed(_runs([str(_taken(w.start)[1]) for w in group]))


def _runs(names: list[str]) -> list[str]:
    """``F1 to F8``, ``F3``: neighbours from three on put together, in the order of stations."""
    names = [name.partition(" ")[0] for name in names]
    numbers = sorted({int(n.lstrip("FB")): n for n in names}.items())
    runs: list[list[str]] = []
    for (before, _), (now, name) in pairwise([(-1, ""), *numbers]):
        if runs and now == before + 1:
            runs[-1].append(name)
        else:
            runs.append([name])
    return [w for run in runs
            for w in ([f"{run[0]} to {run[-1]}"] if len(run) > 2 else run)]  # fmt: skip
