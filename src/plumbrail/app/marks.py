"""Which check is about which part, and how each part is marked."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from plumbrail.app.bars import pier_id
from plumbrail.app.messages import Mark
from plumbrail.check import Check, Status, worst
from plumbrail.model.parts import Model

NEAR = 0.9
_NAMED = re.compile(r"(?<![A-Za-z0-9-])(?:[FBR][0-9]{1,3}|M[0-9]{1,3}-[0-9]{1,3})(?![A-Za-z0-9-])")


@dataclass(frozen=True)
class Standing:
    """What the checks say about one part."""

    ratio: float | None
    mark: Mark
    check: str


UNCHECKED = Standing(None, "none", "")


def parts_of(
    check: Check, ids: frozenset[str], model: Model, splices: Sequence[Sequence[float]]
) -> list[str]:
    """Ids of the bars and modules that a check is about; empty where it is about the whole."""
    own = check.id.rpartition(".")[0]
    if check.family == "pier":
        return [pier_id(own)] if pier_id(own) in ids else []
    if own in ids:
        return [own]
    if check.family == "splice":
        return _at_splice(own, model, splices)
    named = [name for name in _NAMED.findall(check.subject) if name in ids]
    if named:
        return list(dict.fromkeys(named))
    return _corners(model) if "corners" in check.subject else []


def standing(checks: Iterable[Check]) -> Standing:
    """Ratio, mark and id of the worst of some checks of one part."""
    found = list(checks)
    open_ = next((c for c in found if c.status is Status.NOT_CHECKED), None)
    failed = [c for c in found if c.status is Status.FAIL]
    top = worst(failed) or worst(found) or max(
        (c for c in found if c.ratio is not None), key=lambda c: c.ratio or 0.0, default=None
    )  # fmt: skip
    if failed:
        top = top if top in failed else failed[0]
    elif open_ is not None:
        return Standing(None if top is None else top.ratio, "not checked", open_.id)
    if top is None:
        return UNCHECKED
    return Standing(top.ratio, mark_of(top), top.id)


def mark_of(check: Check) -> Mark:
    """How one check is marked."""
    if check.status is Status.NOT_CHECKED:
        return "not checked"
    if check.status is Status.FAIL:
        return "fail"
    return "near" if (check.ratio or 0.0) >= NEAR and not check.rule else "pass"


def by_part(checks: Sequence[Check], parts: Mapping[str, Sequence[str]]) -> dict[str, Standing]:
    """What stands on each part; ``parts`` maps the id of a check to those of its parts."""
    on: dict[str, list[Check]] = {}
    for check in checks:
        for part in parts.get(check.id, ()):
            on.setdefault(part, []).append(check)
    return {part: standing(found) for part, found in on.items()}


def _at_splice(own: str, model: Model, splices: Sequence[Sequence[float]]) -> list[str]:
    """The piece of a beam in which splice.front-1 lies."""
    found = re.fullmatch(r"splice\.(front|back)-([0-9]+)", own)
    if found is None:
        return []
    row, k = ("front", "back").index(found[1]), int(found[2]) - 1
    if k >= len(splices[row]):
        return []
    supports = model.beams.supports[row]
    i = int(np.searchsorted(supports, splices[row][k]))
    letter = "FB"[row]
    piece = (
        "left-end" if i == 0 else "right-end" if i == len(supports)
        else f"{letter}{i}-{letter}{i + 1}"
    )  # fmt: skip
    return [f"{found[1]}-beam.{piece}"]


def _corners(model: Model) -> list[str]:
    modules = model.modules
    rows, columns = np.asarray(modules.row), np.asarray(modules.column)
    at = np.isin(rows, (rows.min(), rows.max())) & np.isin(columns, (columns.min(), columns.max()))
    return [name for name, here in zip(modules.ids, at, strict=True) if here]
