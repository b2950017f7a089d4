"""Where a number comes from: the loads of the governing combination, then the check's own steps."""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches

from plumbrail.check import Check, Status
from plumbrail.checks.actions import roof_snow
from plumbrail.checks.response import Combined, Response
from plumbrail.checks.sureness import with_load_certainty
from plumbrail.errors import PlumbrailError
from plumbrail.jobs.designing import Design
from plumbrail.trace import Record, recording


@dataclass(frozen=True)
class LoadStory:
    """One load of a combination: its factor, words, and the steps of its pressure, if any."""

    case: str
    words: str
    factor: float
    record: Record | None


@dataclass(frozen=True)
class Explanation:
    """Everything behind one check."""

    check: Check
    combination: str
    """The combination as printed, e.g. ``0.6D + 0.6W``; empty when none governs."""
    combination_source: str
    loads: tuple[LoadStory, ...]
    residual: float
    """Largest unbalanced share of the load in the frame analysis."""
    record: Record


def explain(design: Design, id: str) -> Explanation:
    """The story of a check; raises PlumbrailError with near ids for one that does not exist."""
    check = design.checks.find(id) or _whatever_case(design, id)
    if check is None:
        near = get_close_matches(id, [c.id for c in design.checks.checks], 4, 0.3)
        raise PlumbrailError(f"there is no check {id!r}. Near it are: {', '.join(near) or 'none'}")
    if check.replay is None:
        return _in_words(design, check)
    response = design.analysis.response
    if check.opened is not None:
        check = with_load_certainty(design.plan, design.model, response, [check.opened()])[0]
    assert check.replay is not None  # what was replayed can be replayed again
    found = _find(response, check.combination)
    if found is None:
        return Explanation(check, "", "", (), response.residual, check.replay())
    combined, k = found
    return Explanation(
        check, combined.factors.texts[k], combined.factors.sources[k],
        _stories(design, combined, k), response.residual, check.replay(),
    )  # fmt: skip


def _in_words(design: Design, check: Check) -> Explanation:
    """A rule that was judged without a number has no steps; one not judged has no story."""
    if check.status is Status.NOT_CHECKED:
        raise PlumbrailError(f"{check.id} was not computed, so it has no steps: {check.note}")
    return Explanation(check, "", "", (), design.analysis.response.residual, Record([]))


def _whatever_case(design: Design, id: str) -> Check | None:
    """The check whose id differs in capitals only."""
    return next((c for c in design.checks.checks if c.id.lower() == id.strip().lower()), None)


def _find(response: Response, name: str) -> tuple[Combined, int] | None:
    for combined in (response.strength, response.service, response.parts):
        if name and name in combined.ids:
            return combined, combined.ids.index(name)
    return None


def _stories(design: Design, combined: Combined, k: int) -> tuple[LoadStory, ...]:
    cases = {c.id: c for c in design.analysis.response.actions.cases}
    row = combined.factors.array[k]
    return tuple(
        LoadStory(name, cases[name].words, float(factor), _record(design, name))
        for name, factor in zip(combined.factors.cases, row, strict=True)
        if factor != 0.0
    )


def _record(design: Design, case: str) -> Record | None:
    """Steps of a wind or snow load; own weight and earthquake follow from masses."""
    wind = {w.id: w for w in design.analysis.response.actions.wind}
    with recording() as record:
        if case == "S":
            roof_snow(design.plan, design.model)
        elif case in wind:
            wind[case].pressure()
    return record if record.steps else None
