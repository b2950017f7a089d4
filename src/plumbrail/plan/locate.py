"""Where each key of a TOML text stands."""

from __future__ import annotations

import json
import re
from bisect import bisect_right

Place = tuple[str | int, ...]

_BLANK = re.compile(r"(?:[ \t\r\n]+|#[^\n]*)*")
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_STRING = re.compile(
    r'"""(?:[^\\]|\\.)*?"{3,5}|\'\'\'.*?\'{3,5}|"(?:[^"\\]|\\.)*"|\'[^\']*\'', re.DOTALL
)
_SCALAR = re.compile(r"[^,\]}#\n]+")


def locate(text: str) -> dict[Place, int]:
    """Line, counted from 1, of every table, key and list item of a valid TOML ``text``.

    A table that several headers build is placed at its own header, or else at the first mention.
    """
    finder = _Finder(text)
    finder.document()
    return finder.lines


class _Finder:
    """Walks over TOML that is known to be valid, so that every step can take the next one."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.lines: dict[Place, int] = {}
        self._starts = [0, *(m.end() for m in re.finditer("\n", text))]
        self._counts: dict[Place, int] = {}

    def document(self) -> None:
        table: Place = ()
        self._blank()
        while self.at < len(self.text):
            if self.text[self.at] == "[":
                table = self._header()
            else:
                self._pair(table)
            self._blank()

    def _blank(self) -> None:
        found = _BLANK.match(self.text, self.at)
        assert found is not None  # the pattern matches nothing at all, too
        self.at = found.end()

    def _mark(self, place: Place, *, own: bool = False) -> None:
        line = bisect_right(self._starts, self.at)
        if own:
            self.lines[place] = line
        self.lines.setdefault(place, line)

    def _header(self) -> Place:
        brackets = 2 if self.text.startswith("[[", self.at) else 1
        self.at += brackets
        table = self._names((), headed=True)
        if brackets == 2:
            count = self._counts.get(table, 0)
            self._counts[table] = count + 1
            self._mark(table)
            table = (*table, count)
        self._mark(table, own=True)
        self.at += brackets
        return table

    def _names(self, table: Place, *, headed: bool = False) -> Place:
        """A dotted key; every table that it passes through is marked."""
        while True:
            self._blank()
            table = (*table, self._name())
            self._blank()
            if self.text[self.at] != ".":
                return table
            self._mark(table)
            if headed and table in self._counts:
                table = (*table, self._counts[table] - 1)
            self.at += 1

    def _name(self) -> str:
        found = _STRING.match(self.text, self.at) or _BARE.match(self.text, self.at)
        assert found is not None
        self.at = found.end()
        written = found[0]
        if written[0] == '"':
            return _unescaped(written)
        return written.strip("'") if written[0] == "'" else written

    def _pair(self, table: Place) -> None:
        start = self.at
        place = self._names(table)
        end, self.at = self.at, start
        self._mark(place)
        self.at = end + 1
        self._blank()
        self._value(place)

    def _value(self, place: Place) -> None:
        opening = self.text[self.at]
        if opening in "[{":
            self.at += 1
            self._items(place, "]" if opening == "[" else "}")
            return
        found = _STRING.match(self.text, self.at) or _SCALAR.match(self.text, self.at)
        assert found is not None
        self.at = found.end()

    def _items(self, place: Place, closing: str) -> None:
        """The inside of a list or an inline table, and its closing bracket."""
        count = 0
        self._blank()
        while self.text[self.at] != closing:
            if closing == "]":
                self._mark((*place, count))
                self._value((*place, count))
            else:
                self._pair(place)
            count += 1
            self._blank()
            if self.text[self.at] == ",":
                self.at += 1
                self._blank()
        self.at += 1


def _unescaped(written: str) -> str:
    long = re.sub(r"\\U([0-9A-Fa-f]{8})", lambda m: chr(int(m[1], 16)), written)
    return str(json.loads(long, strict=False))
