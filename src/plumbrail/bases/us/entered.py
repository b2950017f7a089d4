"""Entering the fields of a batch into the record, so that a replay has no loose numbers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from typing import Any, TypeVar, get_type_hints

from plumbrail.batch import Batch
from plumbrail.trace import Certainty, given

B = TypeVar("B", bound=Batch)


@dataclass(frozen=True, slots=True)
class Quantity:
    """What one field of a batch holds: its SI unit, its kind of origin and its meaning."""

    unit: str
    origin: str
    title: str


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a group of numbers came from and how sure we are of them."""

    source: str
    certainty: Certainty


FRAME = Origin("frame analysis", Certainty.DERIVED)
MODEL = Origin("plan and model", Certainty.PLAN)
UNSTATED = Origin("catalogue, source not stated", Certainty.MEMORY)
"""Used when the caller names no source: the least certain level, so nothing looks better."""


_KNOWN: dict[str, Mapping[str, Quantity]] = {}


def quantities(kind: type[Batch]) -> Mapping[str, Quantity]:
    """Field to :class:`Quantity` for a batch whose fields are annotated with one."""
    name = f"{kind.__module__}.{kind.__qualname__}"
    if name not in _KNOWN:
        hints = get_type_hints(kind, include_extras=True)
        _KNOWN[name] = {f.name: _note(hints[f.name]) for f in fields(kind)}
    return _KNOWN[name]


def _note(hint: Any) -> Quantity:
    return next(n for n in hint.__metadata__ if isinstance(n, Quantity))


def entered(batch: B, origins: Mapping[str, Origin]) -> B:
    """The same batch with every field entered as a given number.

    ``origins`` maps each kind of origin named by the fields to its source. Outside a recording
    this only hands the arrays through.
    """
    known = quantities(type(batch))
    values = {
        name: given(
            origins[q.origin].source, f"{name} [{q.unit}]", getattr(batch, name),
            origins[q.origin].certainty, q.title,
        )
        for name, q in known.items()
    }  # fmt: skip
    return replace(batch, **values)
