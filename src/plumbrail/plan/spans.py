"""Where every key, value and section stands in the text of a plan, to the letter.

Editing a plan replaces only those letters, so that comments, layout and everything else in the
file stay as their writer left them.
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass, field

Place = tuple[str | int, ...]

_BLANK = re.compile(r"(?:[ \t\r\n]+|#[^\n]*)*")
_SPACE = re.compile(r"[ \t]*")
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_STRING = re.compile(
    r'"""(?:[^\\]|\\.)*?"{3,5}|\'\'\'.*?\'{3,5}|"(?:[^"\\\n]|\\.)*"|\'[^\'\n]*\'', re.DOTALL
)
_SCALAR = re.compile(r"[^,\]}#\n]+")


@dataclass(frozen=True, slots=True)
class Span:
    """Letters from ``start`` up to ``end``."""

    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Pair:
    """``key = value``."""

    key: Span
    value: Span
    inline: bool
    """Inside braces."""
    prefix: str
    """What stands before the last name of a dotted key, with its point."""


@dataclass(frozen=True, slots=True)
class Block:
    """The lines under one header, or those before the first one."""

    place: Place
    start: int
    """Of the header."""
    body: int
    """Where the line after the header begins."""
    end: int
    """Where the next header's line begins."""


@dataclass
class Spans:
    """All spans of a text."""

    text: str
    pairs: dict[Place, Pair] = field(default_factory=dict)
    items: dict[Place, Span] = field(default_factory=dict)
    """Values in lists."""
    tables: dict[Place, Span] = field(default_factory=dict)
    """Inline tables."""
    lists: dict[Place, Span] = field(default_factory=dict)
    blocks: list[Block] = field(default_factory=list)

    def value(self, place: Place) -> Span | None:
        """The letters of a value, of a key or in a list."""
        pair = self.pairs.get(place)
        return pair.value if pair else self.items.get(place)

    def block(self, place: Place) -> Block | None:
        """The section with its own header."""
        return next((b for b in self.blocks if b.place == place and b.body), None)

    def under(self, place: Place) -> list[Block]:
        """Sections at the place and inside it, in the order of the text."""
        return [b for b in self.blocks if b.place[: len(place)] == place and b.body]


def spans(text: str) -> Spans:
    """The spans of a valid TOML ``text``."""
    found = _Finder(text)
    found.document()
    return found.found


class _Finder:
    """Walks over TOML that is known to be valid."""

    def __init__(self, text: str) -> None:
        self.text, self.at = text, 0
        self.found = Spans(text)
        self._counts: dict[Place, int] = {}

    def document(self) -> None:
        table: Place = ()
        heads: list[tuple[Place, int, int]] = [((), 0, 0)]
        self._blank()
        while self.at < len(self.text):
            if self.text[self.at] == "[":
                start = self.at
                table = self._header()
                heads.append((table, start, self._next_line()))
            else:
                self._pair(table, inline=False)
            self._blank()
        ends = [self._line_start(start) for _, start, _ in heads[1:]] + [len(self.text)]
        self.found.blocks = [
            Block(place, start, body, end)
            for (place, start, body), end in zip(heads, ends, strict=True)
        ]

    def _next_line(self) -> int:
        end = self.text.find("\n", self.at)
        return len(self.text) if end < 0 else end + 1

    def _line_start(self, at: int) -> int:
        return self.text.rfind("\n", 0, at) + 1

    def _blank(self) -> None:
        found = _BLANK.match(self.text, self.at)
        assert found is not None  # the pattern matches nothing at all, too
        self.at = found.end()

    def _header(self) -> Place:
        many = self.text.startswith("[[", self.at)
        self.at += 2 if many else 1
        names = self._names()
        self.at += 2 if many else 1
        place: Place = ()
        for name in names[:-1]:
            place = (*place, name)
            if place in self._counts:
                place = (*place, self._counts[place] - 1)
        place = (*place, names[-1])
        if many:
            count = self._counts.get(place, 0)
            self._counts[place] = count + 1
            place = (*place, count)
        return place

    def _names(self) -> list[str]:
        names: list[str] = []
        while True:
            self._blank()
            names.append(self._name())
            after = self.at
            self._blank()
            if self.text[self.at] != ".":
                self.at = self.at if self.text[self.at] == "]" else after
                return names
            self.at += 1

    def _name(self) -> str:
        found = _STRING.match(self.text, self.at) or _BARE.match(self.text, self.at)
        assert found is not None
        self.at = found.end()
        written = found[0]
        if written[0] == '"':
            return _unescaped(written)
        return written.strip("'") if written[0] == "'" else written

    def _pair(self, table: Place, *, inline: bool) -> None:
        start = self.at
        names = self._names()
        key = Span(start, self.at)
        self._blank()
        self.at += 1  # the equals sign
        space = _SPACE.match(self.text, self.at)
        assert space is not None
        self.at = space.end()
        place = (*table, *names)
        value = self._value(place)
        written = self.text[key.start : key.end]
        prefix = written[: written.rfind(".") + 1] if len(names) > 1 else ""
        self.found.pairs[place] = Pair(key, value, inline, prefix)

    def _value(self, place: Place) -> Span:
        start, opening = self.at, self.text[self.at]
        if opening in "[{":
            self.at += 1
            self._items(place, "]" if opening == "[" else "}")
            span = Span(start, self.at)
            (self.found.lists if opening == "[" else self.found.tables)[place] = span
            return span
        found = _STRING.match(self.text, self.at) or _SCALAR.match(self.text, self.at)
        assert found is not None
        self.at = start + len(found[0].rstrip())
        return Span(start, self.at)

    def _items(self, place: Place, closing: str) -> None:
        count = 0
        self._blank()
        while self.text[self.at] != closing:
            if closing == "]":
                self.found.items[(*place, count)] = self._value((*place, count))
            else:
                self._pair(place, inline=True)
            count += 1
            self._blank()
            if self.text[self.at] == ",":
                self.at += 1
                self._blank()
        self.at += 1


def _unescaped(written: str) -> str:
    long = re.sub(r"\\U([0-9A-Fa-f]{8})", lambda m: chr(int(m[1], 16)), written)
    return str(json.loads(long, strict=False))
