"""Reading a catalogue in gettext's .po form: msgctxt, msgid, msgid_plural, msgstr[n]."""

from __future__ import annotations

import ast
import re
from dataclasses import dataclass

from plumbrail.errors import PlumbrailError

_LINE = re.compile(r'(?:(msgctxt|msgid_plural|msgid|msgstr)(?:\[(\d)\])?\s+)?("(?:[^"\\]|\\.)*")\Z')


@dataclass(frozen=True)
class Entry:
    """One message: the English text, its plural if any, and what the language says for it."""

    text: str
    said: tuple[str, ...]
    many: str = ""
    context: str = ""
    line: int = 0


def read_po(text: str, name: str = "catalogue") -> tuple[Entry, ...]:
    """Every entry in file order, the header (msgid "") first.

    Raises:
        PlumbrailError: a line that is no part of a .po file, an entry without an answer, a
            message that stands twice.
    """
    entries: list[Entry] = []
    seen: dict[tuple[str, str], int] = {}
    for block in re.finditer(r"(?:^[^\n]+\n?)+", text, re.MULTILINE):
        entry = _entry(block.group(), text.count("\n", 0, block.start()) + 1, name)
        if entry is None:
            continue
        key = (entry.context, entry.text)
        if key in seen:
            raise PlumbrailError(
                f"{name} line {entry.line}: {entry.text!r} stands already in line {seen[key]};"
                " keep one of the two"
            )
        seen[key] = entry.line
        entries.append(entry)
    return tuple(entries)


def _entry(block: str, first: int, name: str) -> Entry | None:
    """One block of lines between blank lines; None for a block of comments only."""
    parts: dict[str, str] = {}
    last = ""
    for number, line in enumerate(block.splitlines(), first):
        if line.startswith("#"):
            continue
        found = _LINE.match(line)
        if found is None:
            raise PlumbrailError(f"{name} line {number}: {line!r} is no line of a .po file")
        word, form, quoted = found.groups()
        last = f"{word}{form or ''}" if word else last
        parts[last] = parts.get(last, "") + str(ast.literal_eval(quoted))
    if not parts:
        return None
    said = tuple(parts[k] for k in sorted(parts) if k.startswith("msgstr"))
    if "msgid" not in parts or not said or not all(said):
        raise PlumbrailError(f"{name} line {first}: an entry needs a msgid and a filled msgstr")
    return Entry(
        parts["msgid"], said, parts.get("msgid_plural", ""), parts.get("msgctxt", ""), first
    )
