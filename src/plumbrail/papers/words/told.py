"""Sentences that come in English from the engineering packages, told in the language spoken.

Their messages have the context ``told`` in the catalogue. A message with placeholders is a
pattern: ``{post}: {way} {size}`` fits ``F3: up 5/16 in``. The first word of a placeholder's name
says what it takes (``_TAKES``) and how it is told; any other name takes words that are told in
turn. A sentence of which some part has no message stays English as a whole.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, lru_cache

from plumbrail.papers.words.catalogue import entries
from plumbrail.papers.words.speech import figures, language, spoken
from plumbrail.papers.words.unsaid import note

CONTEXT = "told"
_POST = r"[FB]\d+"
_POINT = rf"{_POST}(?: top| base)?|pin \d+|(?:front|back) (?:left|right)|mark [\w -]+"
_SIZE = r"\d+' [\d /]+\"|\d+'|\d[\d .,/-]*?(?:\"| in| ft| mm| cm| m|°)"
_TAKES = {
    "n": r"\d+", "number": r"\d+(?:,\d{3})*(?:\.\d+)?", "size": _SIZE, "post": _POST,
    "name": _POINT, "place": rf"{_POST} to {_POST}|{_POST}|station \d+|(?:left|right) end",
    "list": r".+", "commas": r".+", "each": r".+", "asked": r".+", "english": r".+", "any": r".+",
    "key": r"[a-z_]+(?:\.[a-z_]+)+",
}  # fmt: skip
_NAME = re.compile(rf"{_POINT}|\d+")
_HOLE = re.compile(r"\{(\w+)\}")
_JOINTS = {"each": "; ", "commas": ", ", "asked": ", or "}
_BEFORE_I, _BEFORE_O = re.compile(r"h?i(?!e)", re.IGNORECASE), re.compile(r"h?o|8|11\b", re.I)


@dataclass(frozen=True)
class Rule:
    """A pattern of the catalogue."""

    text: str
    fits: re.Pattern[str]
    said: str


def tell(sentence: str) -> str:
    """The sentence in the language spoken; English where the catalogue cannot tell all of it."""
    now = spoken()
    if now.language == "en" or not sentence:
        return sentence
    said = _told(sentence, now.language, now.comma)
    if said is None:
        note(sentence)
        return sentence
    return said


@lru_cache(maxsize=4096)
def _told(sentence: str, language: str, comma: bool) -> str | None:
    """None where there is no message; language and comma are part of what is remembered."""
    if re.fullmatch(_POST, sentence):
        return sentence
    whole = _exact(language).get(sentence)
    return whole if whole is not None else next(_by_rules(sentence), None)


def _by_rules(sentence: str) -> Iterator[str]:
    for rule in rules(language()):
        found = rule.fits.fullmatch(sentence)
        if found is None:
            continue
        values = {name: _value(name, text) for name, text in found.groupdict().items()}
        if all(v is not None for v in values.values()):
            yield rule.said.format(**values)


@cache
def rules(language: str) -> tuple[Rule, ...]:
    """All patterns of a language, those with the most letters of their own first."""
    found = [
        Rule(e.text, re.compile(_HOLE.sub(_group, _escaped(e.text)), re.DOTALL), e.said[0])
        for e in entries(language) if e.context == CONTEXT and _HOLE.search(e.text)
    ]  # fmt: skip
    return tuple(sorted(found, key=lambda r: -len(_HOLE.sub("", r.text))))


@cache
def _exact(language: str) -> dict[str, str]:
    told = (e for e in entries(language) if e.context == CONTEXT)
    return {e.text: e.said[0] for e in told if not _HOLE.search(e.text)}


def _escaped(text: str) -> str:
    """For a regular expression, but for the placeholders."""
    return "".join(p if i % 2 else re.escape(p) for i, p in enumerate(re.split(r"(\{\w+\})", text)))


def _kind(name: str) -> str:
    return re.sub(r"[\d_].*", "", name)


def _group(hole: re.Match[str]) -> str:
    return f"(?P<{hole[1]}>{_TAKES.get(_kind(hole[1]), '.+?')})"


def _value(name: str, text: str) -> str | None:
    """What a placeholder took, told."""
    kind = _kind(name)
    match kind:
        case "english" | "post" | "key":
            return text
        case "name":
            return _exact(language()).get(text, text)
        case "any":
            return _now(text) or text
        case "n" | "number":
            return figures(text)
        case "size":
            return _size(text)
        case "list":
            return _list(text)
        case "each" | "commas" | "asked":
            joint = _JOINTS[kind]
            return _joined(text.split(joint), "o" if kind == "asked" else joint)
    return _now(text)


def _size(text: str) -> str | None:
    """A length or angle: inches by their word, figures by the locale."""
    number, mark, unit = text.rpartition(" ")
    if mark and unit.isalpha():
        told = _exact(language()).get(unit)
        return None if told is None else f"{figures(number)} {told}"
    return figures(text)


def _list(text: str) -> str | None:
    """``a, b and c``, ``a or b``, ``a, b``: each told unless it is the name of a point."""
    found = re.fullmatch(r"(?:(.+) (and|or) )?(.+?)", text)
    if found is None:
        return None
    first, word, last = found.groups()
    if word is None:
        return _joined(last.split(", "), ", ")
    return _joined([*first.split(", "), last], {"and": "y", "or": "o"}[word])


def _joined(parts: list[str], word: str) -> str | None:
    """The parts told; y becomes e before i, o becomes u before o, as Spanish has it."""
    told = [_now(p) or (p if _NAME.fullmatch(p) else None) for p in parts]
    said = [t for t in told if t is not None]
    if len(said) < len(told):
        return None
    if word in {", ", "; "} or len(said) == 1:
        return word.join(said)
    if word == "y" and _BEFORE_I.match(said[-1]):
        word = "e"
    if word == "o" and _BEFORE_O.match(said[-1]):
        word = "u"
    return f"{', '.join(said[:-1])} {word} {said[-1]}"


def _now(text: str) -> str | None:
    return _told(text, language(), spoken().comma)
