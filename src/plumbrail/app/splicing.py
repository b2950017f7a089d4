"""Changing the text of a plan at one place, letter for letter; all else stays as it was written."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from plumbrail.app.meaning import look_at
from plumbrail.app.paths import look
from plumbrail.app.written import literal
from plumbrail.plan.outline import toml
from plumbrail.plan.spans import Block, Pair, Place, Span, Spans, spans

_REMARK = re.compile(r"[ \t]*#(?!\s*-{3}).*")
"""A comment that is no rule between two parts of a plan."""


def put(text: str, place: Place, value: Any) -> str:
    """The text with a value at a place, changed or new; the section it is in must be there."""
    found = spans(text)
    span = found.value(place)
    if span is None:
        return _new_pair(found, place, value)
    old = look(look_at(text), place)
    return _over(found, place, span, old, value)


def _over(found: Spans, place: Place, span: Span, old: Any, value: Any) -> str:
    """A list of as many items is changed item by item, so that its lines and comments stay."""
    text = found.text
    if isinstance(old, list) and isinstance(value, list) and len(old) == len(value):
        for i in reversed(range(len(value))):
            inner = found.items.get((*place, i))
            if inner is not None and not _same(old[i], value[i]):
                text = _over(Spans(text, found.pairs, found.items), (*place, i), inner, old[i],
                             value[i])  # fmt: skip
        return text
    if _same(old, value):
        return text
    return text[: span.start] + literal(value) + text[span.end :]


def _same(old: Any, value: Any) -> bool:
    return type(old) is type(value) and bool(old == value)


def _new_pair(found: Spans, place: Place, value: Any) -> str:
    section, name, text = place[:-1], str(place[-1]), found.text
    line = f"{_bare(name)} = {literal(value)}"
    table = found.tables.get(section)
    if table is not None:
        return _into_braces(found, section, table, line)
    block = found.block(section)
    if block is not None or not section:
        block = block or found.blocks[0]
        at = _end_of_pairs(found, block)
        return _insert_line(text, at, line)
    dotted = [(p, pair) for p, pair in found.pairs.items() if p[: len(section)] == section]
    own = [pair for _, pair in dotted if pair.prefix and not pair.inline]
    if own and not found.under(section):
        return _insert_line(text, _line_end(text, own[-1].value.end), own[-1].prefix + line)
    return new_block(text, section, [line])


def _into_braces(found: Spans, section: Place, table: Span, line: str) -> str:
    text = found.text
    inner = [p for at, p in found.pairs.items() if at[:-1] == section]
    if not inner:
        return text[: table.start] + "{ " + line + " }" + text[table.end :]
    at = max(p.value.end for p in inner)
    return f"{text[:at]}, {line}{text[at:]}"


def _end_of_pairs(found: Spans, block: Block) -> int:
    """Where a new line of the block goes: behind its last pair, else behind its header."""
    ends = [p.value.end for p in found.pairs.values() if block.body <= p.key.start < block.end]
    return _line_end(found.text, max(ends)) if ends else block.body


def _line_end(text: str, at: int) -> int:
    end = text.find("\n", at)
    return len(text) if end < 0 else end + 1


def _insert_line(text: str, at: int, line: str) -> str:
    newline = _newline(text)
    before = text[:at]
    if before and not before.endswith("\n"):
        before += newline
    return f"{before}{line.replace(chr(10), newline)}{newline}{text[at:]}"


def _newline(text: str) -> str:
    return "\r\n" if "\r\n" in text else "\n"


def _bare(name: str) -> str:
    return name if re.fullmatch(r"[A-Za-z0-9_-]+", name) else toml(name)


def header(place: Place) -> str:
    """``[[site.shade.trees]]`` or ``[frame.tubes."a name"]``."""
    names = ".".join(_bare(step) for step in place if isinstance(step, str))
    return f"[[{names}]]" if isinstance(place[-1], int) else f"[{names}]"


def new_block(text: str, place: Place, lines: list[str]) -> str:
    """The text with a new section behind those that belong with it, else at the end."""
    found = spans(text)
    names = tuple(step for step in place if isinstance(step, str))
    at = len(text)
    for size in range(len(names), 0, -1):
        near = [b for b in found.blocks if _names(b)[:size] == names[:size] and b.body]
        if near:
            at = _end_of_pairs(found, near[-1])
            break
    newline = _newline(text)
    before, after = text[:at], text[at:]
    if before and not before.endswith("\n"):
        before += newline
    body = newline.join([header(place), *(line.replace("\n", newline) for line in lines)])
    gap = newline if before.strip() else ""
    tail = "" if not after.strip() or after.startswith(("\n", "\r\n")) else newline
    return f"{before}{gap}{body}{newline}{tail}{after}"


def _names(block: Block) -> Place:
    return tuple(step for step in block.place if isinstance(step, str))


def add_item(text: str, place: Place, data: Mapping[str, Any]) -> str:
    """The text with a section added at a place: a list's next item, or a section by its name."""
    found = spans(text)
    around = found.lists.get(place[:-1])
    if isinstance(place[-1], int) and around is not None:
        inline = "{ " + ", ".join(f"{_bare(k)} = {literal(v)}" for k, v in data.items()) + " }"
        items = [s.end for at, s in found.items.items() if at[:-1] == place[:-1]]
        if items:
            return f"{text[: max(items)]}, {inline}{text[max(items) :]}"
        return f"{text[: around.start]}[{inline}]{text[around.end :]}"
    table = found.tables.get(place[:-1])
    if table is not None:
        inner = "{ " + ", ".join(f"{_bare(k)} = {literal(v)}" for k, v in data.items()) + " }"
        value = f"[{inner}]" if isinstance(place[-1], int) else inner
        return _into_braces(found, place[:-1], table, f"{_bare(str(place[-1]))} = {value}")
    flat = {k: v for k, v in data.items() if not isinstance(v, Mapping)}
    text = new_block(text, place, [f"{_bare(k)} = {literal(v)}" for k, v in flat.items()])
    for name, inner_data in data.items():
        if isinstance(inner_data, Mapping):
            text = add_item(text, (*place, name), inner_data)
    return text


def take_out(text: str, place: Place) -> str:
    """The text without the key, the section or the item of a list at a place."""
    found = spans(text)
    while True:
        cut = _to_cut(found, place)
        if cut is None:
            return text
        text = text[: cut.start] + text[cut.end :]
        found = spans(text)
        if isinstance(place[-1], int):  # the next item has taken its number
            return text


def _to_cut(found: Spans, place: Place) -> Span | None:
    text = found.text
    pair = found.pairs.get(place) or next(
        (p for at, p in found.pairs.items() if at[: len(place)] == place and p.prefix), None
    )
    if pair is not None:
        return _inline_cut(text, Span(pair.key.start, pair.value.end)) if pair.inline else (
            _line_cut(text, pair)
        )  # fmt: skip
    if place in found.items:
        return _inline_cut(text, found.items[place])
    blocks = found.under(place)
    return None if not blocks else _block_cut(found, blocks, place)


def _line_cut(text: str, pair: Pair) -> Span:
    start = text.rfind("\n", 0, pair.key.start) + 1
    return Span(start, _line_end(text, pair.value.end))


def _inline_cut(text: str, span: Span) -> Span:
    """With the comma behind it, else with the one before it."""
    after = re.compile(r"\s*,[ \t]*").match(text, span.end)
    if after is not None:
        return Span(span.start, after.end())
    before = re.search(r",\s*$", text[: span.start])
    return Span(before.start() if before else span.start, span.end)


def _block_cut(found: Spans, blocks: list[Block], place: Place) -> Span:
    """The lines of a section with the remarks that stand right above its header.

    Blocks that follow one another go at once; sections of an item of a list go with it.
    """
    first = blocks[0]
    start = found.text.rfind("\n", 0, first.start) + 1
    before = found.text[:start].splitlines(keepends=True)
    while before and _REMARK.fullmatch(before[-1].rstrip("\r\n")):
        start -= len(before.pop())
    last = first
    rest = found.blocks[found.blocks.index(first) + 1 :]
    for block in rest if isinstance(place[-1], int) else []:
        if block.place[: len(place)] != place:
            break
        last = block
    # the gap before it goes too, so that the gap behind it stays as it was
    return Span(_after_line(found.text[:start]), _own_end(found, last))


def _after_line(text: str) -> int:
    """Where the last written line of the text ends."""
    return _line_end(text, len(text.rstrip()) - 1) if text.strip() else 0


def _own_end(found: Spans, block: Block) -> int:
    """Remarks after a blank line belong to what follows."""
    end = _end_of_pairs(found, block)
    text = found.text
    while end < block.end:
        line = text[end : _line_end(text, end)]
        if not _REMARK.fullmatch(line.rstrip("\r\n")):
            break
        end += len(line)
    return end
