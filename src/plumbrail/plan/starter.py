"""The commented plan that a new job begins with, written from the models."""

from __future__ import annotations

import re
import textwrap

from plumbrail.plan.outline import Key, Part, outline

_WIDTH = 88
_GLUE = "\u2060"
_HEAD = """\
The plan of one ground-mounted array on a frame of steel pipe.

Change every value to your own. A quantity is text with its unit: "9 ft", "11 ft 4 in", "3.2 m",
"105 mph", "30 psf", "32 deg". What stands after a # is not read. A # right before a key or a
section, with no space between, marks a line that you may leave out; take the # away to use it.
What nobody has stated shows as not checked, never as passed.

The values below are an example for nowhere in particular. Wind, snow, frost, soil and seismic
values are the business of your building department; a result of this plan is an aid to a
competent person, never an approval.
"""


def starter_text() -> str:
    """A complete plan with a comment above every line saying what it is and whom to ask."""
    paragraphs = "\n\n".join(_wrap(p) for p in _HEAD.split("\n\n"))
    # what was built is measured, nobody plans it
    asked = [part for part in outline().walk() if part.path[:1] != ("as_built",)]
    parts = [part for part in asked if part.path and (part.keys or part.required)]
    live = _live(asked)
    written = "".join(_part(p, p.path in live) for p in parts)
    return paragraphs.replace("\n\n", "\n#\n") + "\n" + written


def _live(parts: list[Part]) -> set[tuple[str, ...]]:
    """Sections that the starter states: a section of its own only begins where all that it needs
    is stated, and none begins inside one that is left out."""
    found: set[tuple[str, ...]] = set()
    for part in parts:
        own = part.required or (not part.many and not any(k.required for k in part.keys))
        left_out = {p.path for p in parts if p.keys} - found
        if own and not any(part.path[:n] in left_out for n in range(1, len(part.path))):
            found.add(part.path)
    return found


def _part(part: Part, live: bool) -> str:
    if not part.keys:
        return ""
    mark = "" if live else "#"
    note = "" if live else " Only for those who need it."
    rule = "# " + "-" * (_WIDTH - 2)
    lines = ["", "", rule, _wrap(part.text + note), "", f"{mark}{part.header}"]
    return "\n".join(lines) + "\n" + "".join(_key(key, live) for key in part.keys)


def _key(key: Key, live: bool) -> str:
    stated = live and (key.required or key.in_starter)
    left_out = "" if key.required or key.in_starter else _left_out(key)
    comment = _wrap(f"{key.description}{left_out}")
    return f"{comment}\n{written(key.example_line, '' if stated else '#')}\n"


def written(line: str, mark: str) -> str:
    """A key with its value behind a mark; a list too long for a line over several lines."""
    if len(line) <= _WIDTH or not line.endswith("]"):
        return mark + line
    head, _, values = line.partition("[")
    inner = textwrap.wrap(
        _glued(values[:-1]) + ",", _WIDTH - 8, break_long_words=False, break_on_hyphens=False
    )
    rows = [f"{head}[", *(f"    {row}".replace(_GLUE, " ") for row in inner), "]"]
    return "\n".join(mark + row for row in rows)


def _left_out(key: Key) -> str:
    return " (This is also what holds when left out.)" if key.default is not None else ""


def _wrap(text: str) -> str:
    filled = textwrap.fill(
        " ".join(_glued(text).split()), _WIDTH, initial_indent="# ", subsequent_indent="# ",
        break_long_words=False, break_on_hyphens=False,
    )  # fmt: skip
    return filled.replace(_GLUE, " ")


def _glued(text: str) -> str:
    """Without a place to break inside quotes and brackets."""
    return re.sub(r'"[^"]*"|\[[^\]]*\]', lambda quoted: quoted[0].replace(" ", _GLUE), text)
