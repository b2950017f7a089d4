"""The binary form gettext looks messages up in, written in memory from the entries of a .po file.

Layout (GNU gettext manual, "The Format of GNU MO Files"): magic, revision, number of strings,
offset of the table of originals, offset of the table of answers, size and offset of a hash table
(none here); then both tables of (length, offset), then the strings, each closed by a NUL.
"""

from __future__ import annotations

import struct
from collections.abc import Iterable

from plumbrail.papers.words.po import Entry

_MAGIC = 0x950412DE
_HEAD = 7 * 4


def mo_bytes(entries: Iterable[Entry]) -> bytes:
    """The .mo file of the entries, originals in byte order as the format asks."""
    pairs = sorted((_original(e), "\0".join(e.said).encode()) for e in entries)
    table = 8 * len(pairs)
    offset = _HEAD + 2 * table
    tables, strings = b"", b""
    for column in (0, 1):
        for pair in pairs:
            tables += struct.pack("<2I", len(pair[column]), offset + len(strings))
            strings += pair[column] + b"\0"
    head = struct.pack("<7I", _MAGIC, 0, len(pairs), _HEAD, _HEAD + table, 0, offset)
    return head + tables + strings


def _original(entry: Entry) -> bytes:
    context = f"{entry.context}\x04" if entry.context else ""
    plural = f"\0{entry.many}" if entry.many else ""
    return f"{context}{entry.text}{plural}".encode()
