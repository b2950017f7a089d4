"""One row to one entry: a reading, something struck out, how a post stands, slides, or moved."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from functools import partial
from typing import TypeVar

from plumbrail.errors import PlumbrailError, Problem
from plumbrail.notebook import kinds as k
from plumbrail.notebook import values
from plumbrail.notebook.entries import Axis, Held, Kind, Moved, Reading, Slides, Struck
from plumbrail.notebook.names import Named, Sort, named
from plumbrail.notebook.rows import Row, invisible

Entry = Reading | Struck | Held | Slides | Moved
T = TypeVar("T")

FIRST_SETUP = "A"
"""The laser set-up of rod readings that name none."""
_STRUCK = re.compile(r"struck\b", re.IGNORECASE)
_TIME = re.compile(
    r"([0-9]{4}-[0-9]{2}-[0-9]{2})(?:[ Tt]([0-9]{1,2}):([0-9]{2}(?::[0-9]{2}(?:\.[0-9]{1,6})?)?)"
    r"([Zz]|[+-][0-9]{2}:?[0-9]{2})?)?"
)


@dataclass
class Book:
    """What one notebook has said so far: the first spelling of each name that people choose."""

    stations: int
    _spellings: dict[tuple[str, str], str] = field(default_factory=dict)

    def spelled(self, what: str, name: str) -> str:
        """The name as it was first written, whatever capitals it has now."""
        return self._spellings.setdefault((what, name.casefold()), name)


@dataclass
class Taken:
    """What one row became; nothing at all where it has problems or is a blank."""

    entry: Entry | None = None
    blank: bool = False
    problems: list[Problem] = field(default_factory=list)


@dataclass
class _Attempt:
    row: Row
    book: Book
    problems: list[Problem] = field(default_factory=list)

    def ask(self, column: str, read: Callable[[], T]) -> T | None:
        """What ``read`` gives; a refusal becomes a problem of the column."""
        try:
            return read()
        except PlumbrailError as error:
            self.problems.append(self.row.problem(column, str(error)))
            return None


def take(row: Row, book: Book) -> Taken:
    """The entry of a row, or all that is wrong with it."""
    attempt = _Attempt(row, book, invisible(row))
    if _STRUCK.match(row["note"]) and not attempt.problems:
        return Taken(Struck(row.line, _in_words(row), row["note"]))
    time = attempt.ask("time", lambda: time_written(row["time"]))
    kind = attempt.ask("kind", lambda: k.kind_named(row["kind"]))
    if kind is None:
        return Taken(problems=attempt.problems)
    places = _places(attempt, kind)
    if not row["value"] and kind == k.MOVED:  # something was moved, and nobody knows how far
        words = f"{_a(kind)} needs how far and which way; write for example 5/16 in up"
        attempt.problems.append(row.problem("value", words))
        return Taken(problems=attempt.problems)
    if not row["value"]:
        return Taken(blank=not attempt.problems, problems=attempt.problems)
    entry = attempt.ask("value", lambda: _entry(row, book, kind, places, time or ""))
    return Taken(None if attempt.problems else entry, problems=attempt.problems)


def _in_words(row: Row) -> str:
    ends = "–".join(filter(None, [row["from"], row["to"]]))
    at = f"at {row['at']}" if row["at"] else ""
    return " ".join(filter(None, [row["kind"], ends, at, row["value"]]))


def time_written(text: str) -> str:
    """Year-month-day, perhaps with a clock time; as written, with two digits for the hour."""
    if not text:
        return ""
    found = _TIME.fullmatch(text)
    try:
        if found is None:
            raise ValueError
        clock = f" {found[2].zfill(2)}:{found[3]}{found[4] or ''}" if found[2] else ""
        datetime.fromisoformat((found[1] + clock).upper())
    except ValueError:
        raise k.NotebookError(
            f'"{text[:40]}" is no time; write year-month-day and the clock time, as in '
            "2026-05-03 08:10, or leave it out"
        ) from None
    return found[1] + clock if len(found[2] or "12") < 2 else text


def _places(attempt: _Attempt, kind: str) -> list[Named]:
    """The points that a row names; fewer than its kind needs where some are wrong."""
    row, form, before = attempt.row, k.FORMS[kind], len(attempt.problems)
    places = []
    for column in ("from", "to", "at"):
        text = row[column]
        if column in form.places:
            place = attempt.ask(column, partial(_place, attempt, kind, column))
            places += [place] if place else []
        elif text:
            words = f"{_a(kind)} has nothing under `{column}`; take {text[:40]} out"
            attempt.problems.append(row.problem(column, words))
    if len(places) < len(form.places):
        return []
    attempt.ask(form.places[-1], lambda: k.apart(places))
    if kind == Kind.TILT and len(attempt.problems) == before:
        places = attempt.ask("to", lambda: k.rail(places)) or []
    if kind == Kind.STRING_SIDE and len(attempt.problems) == before:
        attempt.ask("to", lambda: k.string_ways(places[0], places[1]))
    return places if len(attempt.problems) == before else []


def _place(attempt: _Attempt, kind: str, column: str) -> Named:
    text = attempt.row[column]
    if not text:
        what = {"to": "the other point", "at": "the point held against the string"}
        example = {"to": "B3", "at": "F2"}
        told = what.get(column, "a point")
        raise k.NotebookError(
            f"{_a(kind)} needs {told} under `{column}`; write for example "
            f"{example.get(column, 'F3')}"
        )
    place = named(text, attempt.book.stations)
    k.fits(kind, place)
    if place.sort is Sort.MARK:
        return Named(attempt.book.spelled("mark", place.id), Sort.MARK)
    return place


def _a(kind: str) -> str:
    word = {k.STATE: "row of kind state", k.SLIDES: "row of kind slides",
            k.MOVED: "row of kind moved"}.get(kind, f"{kind} reading")  # fmt: skip
    return f"a {word}"


def _entry(row: Row, book: Book, kind: str, places: list[Named], time: str) -> Entry | None:
    """The entry; raises what is wrong with its value. None where ``places`` are not known."""
    if kind == k.STATE:
        hold = values.hold(row["value"])
        return Held(row.line, time, places[0].post, hold) if places else None
    if kind == k.SLIDES:
        return _slides(row, places)
    if kind == k.MOVED:
        return _moved(row, places, time)
    return _reading(row, book, kind, places, time)


def _slides(row: Row, places: list[Named]) -> Slides | None:
    slide = values.slide(row["value"])
    if not places:
        return None
    (place,) = places
    whole = place.sort is Sort.BEAM
    if slide.axis not in (None, Axis.ALONG if whole else Axis.UP):
        words = "left or right, as in 2 in left" if whole else "up or down, as in 1 in up"
        raise k.NotebookError(f"{place.id}: here the beam slides {words}")
    return Slides(row.line, place.id, slide.least, slide.most)


def _moved(row: Row, places: list[Named], time: str) -> Moved | None:
    move = values.move(row["value"])
    if not places or move.axis is None:
        return None
    (place,) = places
    if place.sort is Sort.BEAM and move.axis is not Axis.ALONG:
        raise k.NotebookError(f"the {place.id} as a whole moves left or right; for all else write "
                              "a row for each post, as in F3")  # fmt: skip
    return Moved(row.line, time, place.id, move.axis, move.amount)


def _reading(row: Row, book: Book, kind: str, places: list[Named], time: str) -> Reading | None:
    measured = _string_kind(row["value"]) if kind == k.STRING else Kind(kind)
    value = values.reading_value(measured, row["value"])
    if not places:
        return None
    if measured is Kind.STRING_SIDE:
        ways = k.string_ways(places[0], places[1])
        if value.axis not in (None, *ways):
            words = "back or front" if ways[0] is Axis.ACROSS else "left or right"
            example = f"3/8 in {words.split()[0]}"
            raise k.NotebookError(
                f"sideways of this string is {words}; write for example {example}"
            )
    ids = [p.post if measured is Kind.PLUMB else p.id for p in places]
    ids += [""] * (3 - len(ids))
    setup = row["set-up"] or (FIRST_SETUP if measured is Kind.ROD else "")
    return Reading(
        row.line, time, measured, ids[0], ids[1], ids[2], value.amount,
        value.axis if measured is Kind.PLUMB else None,
        _instrument(row["instrument"], k.FORMS[kind].instrument, book),
        book.spelled("set-up", setup) if setup else "", row["note"], row["value"],
        value.axis if measured is Kind.STRING_SIDE else None,
    )  # fmt: skip


def _string_kind(text: str) -> Kind:
    """Side or height of a plain ``string``, by the direction."""
    way = values.way(text)
    if way is None:
        raise k.NotebookError(
            f"{values.quote(text)} has no direction; write back or front, left or right, up or "
            "down after it, or the kind as string side or string height"
        )
    return Kind.STRING_HEIGHT if way is Axis.UP else Kind.STRING_SIDE


def _instrument(written: str, usual: str, book: Book) -> str:
    """Its name; the usual ones in small letters, however they were written."""
    common = {form.instrument for form in k.FORMS.values()}
    name = written.lower() if written.lower() in common else written
    return book.spelled("instrument", name or usual)
