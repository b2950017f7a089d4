"""Strings and combiner boxes for the views: as wired, or as far as they are known before that."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from plumbrail.errors import PlumbrailError

if TYPE_CHECKING:
    from plumbrail.app.things import Combiner
    from plumbrail.jobs.designing import Design


def wired(
    design: Design, report: Mapping[str, Any] | None
) -> tuple[dict[str, str], list[Combiner]]:
    """Module to string, and the combiner boxes. ``report``: None while it is worked out."""
    from plumbrail.app.things import Combiner

    if report is None:
        return {}, _hung(design)
    strings = {m: s["id"] for s in report.get("strings", []) for m in s["modules"]}
    boxes = [Combiner(b["id"], (b["x"], b["y"], b["z"])) for b in report.get("boxes", [])]
    return strings, boxes


def _hung(design: Design) -> list[Combiner]:
    """So that a box does not vanish at every edit until the wiring is worked out."""
    from plumbrail.app.things import Combiner
    from plumbrail.wiring.run import hung

    if design.plan.wiring is None:
        return []
    try:
        boxes = hung(design.plan, design.model)
    except PlumbrailError:
        return []  # the wiring will say why
    return [Combiner(b.id, b.point.tolist()) for b in boxes]
