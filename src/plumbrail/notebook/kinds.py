"""What each kind of reading needs: its columns, its points, the instrument it is taken with."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches

from plumbrail.errors import PlumbrailError
from plumbrail.notebook.entries import Axis, Kind
from plumbrail.notebook.names import Named, Sort

STATE, SLIDES, MOVED = "state", "slides", "moved"
STRING = "string"
_WORDS: dict[str, str] = {
    **{str(kind): str(kind) for kind in Kind},
    STRING: STRING, STATE: STATE, SLIDES: SLIDES, MOVED: MOVED,
    "rod reading": Kind.ROD, "slope tape": Kind.TAPE, "horizontal tape": Kind.LEVEL_TAPE,
    "slide": SLIDES, "move": MOVED,
}  # fmt: skip
_SPOTS = frozenset({Sort.HEAD, Sort.TOP, Sort.BASE, Sort.END, Sort.PIN})
_BEAMS = frozenset({Sort.HEAD, Sort.END})
_LONGEST = 40


class NotebookError(PlumbrailError, ValueError):
    """A row that cannot be used, with words to act on."""


@dataclass(frozen=True, slots=True)
class Form:
    """How a kind of row is written."""

    places: tuple[str, ...]
    """Columns that name a point; the others stay empty."""
    sorts: frozenset[Sort]
    instrument: str = ""


_STRUNG = Form(("from", "to", "at"), _SPOTS, "string")
_TAPED = Form(("from", "to"), _SPOTS, "tape")
FORMS: dict[str, Form] = {
    Kind.ROD: Form(("from",), _SPOTS | {Sort.MARK}, "laser"),
    Kind.TAPE: _TAPED,
    Kind.LEVEL_TAPE: _TAPED,
    Kind.DIAGONAL: _TAPED,
    STRING: _STRUNG,
    Kind.STRING_SIDE: _STRUNG,
    Kind.STRING_HEIGHT: _STRUNG,
    Kind.PLUMB: Form(("from",), frozenset({Sort.HEAD, Sort.TOP, Sort.POST}), "level"),
    Kind.TILT: Form(("from", "to"), _BEAMS, "angle gauge"),
    STATE: Form(("from",), frozenset({Sort.HEAD, Sort.POST})),
    SLIDES: Form(("from",), frozenset({Sort.HEAD, Sort.BEAM})),
    MOVED: Form(("from",), frozenset({Sort.HEAD, Sort.BASE, Sort.POST, Sort.BEAM})),
}

_WANTED: dict[str, str] = {
    Kind.PLUMB: "a plumb reading is of a post; write for example F3",
    Kind.TILT: "a trial rail lies on the beams; write for example from F3 to B3",
    STATE: "this is about a post; write for example F3",
    SLIDES: "a beam slides at a post, F3, or along itself, front beam",
    MOVED: "write F3 (the beam at the post), F3 base, F3 post (all of it) or front beam",
}


def kind_named(text: str) -> str:
    """The kind of a row; raises NotebookError with the nearest one."""
    plain = " ".join(re.split(r"[\s_-]+", text.lower())).strip()
    if not plain:
        raise NotebookError(f"nothing says what was measured; write {_kinds()}")
    if plain in _WORDS:
        return _WORDS[plain]
    near = get_close_matches(plain[:_LONGEST], _WORDS, n=1, cutoff=0.6)
    hint = f"did you mean {near[0]}?" if near else f"write {_kinds()}"
    cut = text if len(text) <= _LONGEST else f"{text[:_LONGEST]}…"
    raise NotebookError(f'"{cut}" is no kind of reading; {hint}')


def fits(kind: str, place: Named) -> None:
    """Refuse a point that this kind of row cannot be about."""
    if place.sort in FORMS[kind].sorts:
        return
    if kind in _WANTED:
        raise NotebookError(f"{place.id}: {_WANTED[kind]}")
    if place.sort is Sort.MARK:
        raise NotebookError(f"{place.id}: only the height of a mark is ever known; take a rod "
                            "reading on it, or measure from a pin")  # fmt: skip
    if place.sort is Sort.POST:
        p = place.post
        raise NotebookError(f"{place.id}: name a point of the post: {p} (the beam over it), "
                            f"{p} top or {p} base")  # fmt: skip
    row = place.row
    raise NotebookError(f"{place.id}: name a point of the beam: {row[0].upper()}1, {row} left, …")


def apart(places: Iterable[Named]) -> None:
    """Refuse points that are the same, or one above the other on one post's end."""
    seen: dict[str, Named] = {}
    for place in places:
        other = seen.setdefault(place.spot, place)
        if other is not place:
            raise NotebookError(f"{other.id} and {place.id} are the same place; name another point")


def rail(places: list[Named]) -> list[Named]:
    """The ends of a trial rail, the front one first."""
    if {p.row for p in places} != {"front", "back"} or places[0].where != places[1].where:
        raise NotebookError(f"{places[0].id} to {places[1].id}: a trial rail lies square to the "
                            "row, from the front to the back beam; write F3 and B3")  # fmt: skip
    return sorted(places, key=lambda p: p.row, reverse=True)


def string_ways(start: Named, end: Named) -> tuple[Axis, ...]:
    """Which way is sideways of a string; refuses one of which that cannot be said."""
    if start.sort is Sort.PIN and end.sort is Sort.PIN:
        return Axis.ACROSS, Axis.ALONG
    if start.row and start.row == end.row:
        return (Axis.ACROSS,)
    if start.row and end.row and start.where == end.where:
        return (Axis.ALONG,)
    ends = f"{start.id} to {end.id}"
    raise NotebookError(f"a string from {ends} has no clear side; string along one row, square "
                        "across at a station, or from pin to pin")  # fmt: skip


def _kinds() -> str:
    return ", ".join([*(str(k) for k in Kind), STATE, SLIDES]) + f" or {MOVED}"
