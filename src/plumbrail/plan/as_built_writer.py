"""A plan's text with the section ``[as_built]`` added or replaced, all else kept as it was."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date

import numpy as np
import tomlkit
from numpy.typing import NDArray

from plumbrail.plan.reader import read_plan
from plumbrail.units import from_si

Array = NDArray[np.float64]
COMMENT = "Where the posts were measured to stand: along, across, up from the planned hole F1."
DECIMALS = {"us": ("in", 4), "metric": ("m", 6)}
"""Unit and decimals; both read back within two thousandths of a millimetre."""
_HEADER = re.compile(r"\s*\[\[?\s*[A-Za-z0-9_\"'-]")
_OWN = re.compile(r"""\s*\[\s*["']?as_built["']?\s*[].]""")


@dataclass(frozen=True)
class StandingPosts:
    """Posts as they stand, in the model's axes. Axis: post, in any order."""

    ids: tuple[str, ...]
    head: Array
    """(posts, 3) centre line of the beam over the post [m]."""
    base: Array
    """(posts, 3) centre of the post at grade [m]."""


def with_as_built(
    plan_text: str, posts: StandingPosts, readings: str, measured: date | None = None,
    *, pins_tie: bool = False,
) -> str:  # fmt: skip
    """TOML text of the plan with the section added at its end, or replaced.

    Raises PlanError when the text is no plan, before or after; ValueError for arrays of another
    shape.
    """
    n = len(posts.ids)
    if posts.head.shape != (n, 3) or posts.base.shape != (n, 3):
        raise ValueError(f"{n} posts need heads and bases of the shape ({n}, 3)")
    units = read_plan(plan_text).job.units
    document = tomlkit.parse(_without(plan_text))
    if "as_built" in document:  # written as dotted keys or in braces
        document.remove("as_built")
    table = tomlkit.table()
    table.add(tomlkit.comment(COMMENT))
    table.add("readings", readings)
    if measured is not None:
        table.add("measured", measured.isoformat())
    if pins_tie:
        table.add("pins_tie", True)
    table.add("posts", _posts(posts, units))
    rest = tomlkit.dumps(document).rstrip()
    text = f"{rest}\n\n\n{tomlkit.dumps({'as_built': table}).strip()}\n"
    read_plan(text)
    return text


def _without(text: str) -> str:
    """The text without the lines of the section; what is said before the next one stays."""
    kept: list[str] = []
    inside: list[str] = []
    here = False
    for line in text.splitlines(keepends=True):
        if _HEADER.match(line):
            was, here = here, bool(_OWN.match(line))
            if was and not here:
                kept += _remarks(inside)
                inside = []
        (inside if here else kept).append(line)
    return "".join(kept)


def _remarks(lines: list[str]) -> list[str]:
    """Comments and blank lines at the end."""
    size = len(lines)
    while size and (not lines[size - 1].strip() or lines[size - 1].lstrip().startswith("#")):
        size -= 1
    return lines[size:]


def _posts(posts: StandingPosts, units: str) -> tomlkit.items.Table:
    table = tomlkit.table(is_super_table=True)
    for i, name in enumerate(posts.ids):
        post = tomlkit.table()
        post.add("head", [_said(v, units) for v in posts.head[i]])
        post.add("base", [_said(v, units) for v in posts.base[i]])
        table.add(name, post)
    return table


def _said(value: float, units: str) -> str:
    unit, decimals = DECIMALS[units]
    number = round(float(from_si(value, unit)), decimals) + 0.0  # no negative zero
    return f"{number:.{decimals}f} {unit}"
