"""The picture of truing: verdict, plan and elevations, deviations magnified, moves, hold points.

Nothing here decides anything: verdicts, moves and the gate come in as they were found.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import isfinite

import numpy as np

from plumbrail.model.parts import Model
from plumbrail.papers.furniture import Area, drawing_area, finished, numbered
from plumbrail.papers.lettering import width, wrap
from plumbrail.papers.paragraphs import Para, in_columns
from plumbrail.papers.sheet import SCALES, Item, Line, Page, Polyline, Scale, Sheet, Text
from plumbrail.papers.strips import cuts
from plumbrail.papers.tables import flow
from plumbrail.papers.truing_band import LEFT, RIGHT, Band, Look, Span, pitch_needed
from plumbrail.papers.truing_facts import StationFigures, Trace, stations, trace
from plumbrail.papers.truing_legend import LEGEND, legend
from plumbrail.papers.truing_lists import SIGNS, VERDICTS, cautions, to_do, to_sign, values_table
from plumbrail.papers.truing_marks import mark, unit
from plumbrail.papers.truing_moves import Tag, tags
from plumbrail.papers.truing_stations import Stations
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import figures, later, say, say_many, tell
from plumbrail.truing.parts import Built, Gate, Mending, Positions, Ready, Suspicion

FACTORS = (500, 400, 300, 200, 150, 100, 75, 50, 40, 30, 25, 20, 15, 10, 5, 2, 1)
"""How many times too large deviations are drawn."""
_HEAD = 19.0
_LEAST, _MOST = 7.0, 15.0
_BETWEEN = 2.0
_SIDE = 9.0
_MOST_PITCH = 70.0
_UNSCALED = 48
_LEAN = 0.0087
"""Lean drawn at full length where no tolerance of plumb is stated: half a degree."""

_TITLES = {
    (True, False, False): later("Truing: plan as built"),
    (False, True, False): later("Truing: tilt as built"),
    (False, False, True): later("Truing: elevations as built"),
    (True, True, False): later("Truing: plan and tilt as built"),
    (False, True, True): later("Truing: tilt and elevations as built"),
    (True, False, True): later("Truing: plan and elevations as built"),
    (True, True, True): later("Truing: plan and tilt and elevations as built"),
}
"""By what a sheet shows: plan, tilt, elevations."""

Block = Band | Stations


@dataclass(frozen=True)
class _Task:
    """What all pages of the picture share."""

    model: Model
    traces: tuple[Trace, ...]
    """Plan back, plan front, elevation back, elevation front."""
    compared: StationFigures
    tags: tuple[Tag, ...]
    built: Built
    confidence: float
    job: JobInfo
    page: Page
    close: bool = False
    """Stations as close together as can be read."""

    @property
    def enough(self) -> float:
        """Sheets of pictures that a crew can still handle; a judgement."""
        return self.model.stations / 5 + 2


def truing_picture(
    model: Model, positions: Positions, built: Built, mending: Mending, gate: Gate,
    suspicions: Sequence[Suspicion], job: JobInfo, page: Page,
) -> tuple[Sheet, ...]:  # fmt: skip
    """Sheets in order: the picture, what to do, values that are not inside, hold points.

    Raises ValueError when the page is too small for one strip of the picture.
    """
    views = ((1, False), (0, False), (1, True), (0, True))
    task = _Task(
        model, tuple(trace(positions, built, row, up) for row, up in views),
        stations(built, model.stations), tuple(tags(mending.moves, model.posts.ids, job)),
        built, mending.confidence, job, page,
    )  # fmt: skip
    pictures = _pictures(task, gate)
    rest = [
        *_words(to_do(built, mending, gate, suspicions), gate, job, page),
        *_values(built, mending, gate, job, page), *_last(gate, job, page),
    ]  # fmt: skip
    return numbered([*pictures, *rest])


def _pictures(task: _Task, gate: Gate) -> list[Sheet]:
    area = drawing_area(task.page)
    room = replace(area, top=area.top - _HEAD, bottom=area.bottom + LEGEND)
    scale, pages = _laid_out(task, room)
    if len(pages) > task.enough:
        close = replace(task, close=True)
        nearer = _laid_out(close, room)
        if len(nearer[1]) < len(pages):
            task, (scale, pages) = close, nearer
    k = 1000.0 / (scale.ratio if scale else _UNSCALED)
    sheets: list[Sheet] = []
    for blocks in pages:
        amplitude, reach = _amplitude(blocks, room), _reach(blocks) * k
        factor = next((f for f in FACTORS if f * reach <= amplitude - 1.5), 1)
        amplitude = min(amplitude, max(_LEAST, factor * reach + 2.5))
        look = replace(_look(task), amplitude=amplitude, per_metre=factor * k)
        grown = [replace(b, look=look) if isinstance(b, Band) else b for b in blocks]
        items = _head(gate, area, full=not sheets) + legend(area, look, factor, scale is not None)
        title = _title(grown)
        sheets.append(finished(title, task.page, task.job, scale, (), items + _stack(grown, room),
                               "readings"))  # fmt: skip
    return sheets


def _laid_out(task: _Task, room: Area) -> tuple[Scale | None, list[list[Block]]]:
    scale, spans = _spans(task, room)
    return scale, [page for span in spans for page in _paged(task, span, room)]


def _title(blocks: Sequence[Block]) -> str:
    plan = any(isinstance(b, Band) and not b.trace.up for b in blocks)
    side = any(isinstance(b, Band) and b.trace.up for b in blocks)
    tilt = any(isinstance(b, Stations) for b in blocks)
    title = say(_TITLES[plan, tilt, side])
    span = blocks[0].span
    if span.last - span.first == span.count - 1:
        return title
    part = say("stations {first} to {last}", first=span.first + 1, last=span.last + 1)
    return f"{title}, {part}"


def _look(task: _Task) -> Look:
    limits = [
        float(h) for f, h in zip(task.built.family, task.built.high, strict=True)
        if f == "plumb" and isfinite(h)
    ]  # fmt: skip
    tall = float((task.model.posts.beam_centre - task.model.posts.ground).mean())
    lean = min(limits, default=_LEAN) * tall
    return Look(task.job, _LEAST, 1.0, task.built.factor, task.confidence, lean)


def _spans(task: _Task, room: Area) -> tuple[Scale | None, list[Span]]:
    """The fewest strips that hold all figures, at the largest standard scale.

    Posts too unevenly spaced for that are drawn evenly spaced, without a scale.
    """
    x = task.model.posts.xy[: task.model.stations, 0]
    need = pitch_needed(task.job, task.traces, task.compared.rows, task.tags, task.close)
    wide = room.width - LEFT - RIGHT - 2 * _SIDE
    bays = len(x) - 1
    each = max(1, int(wide / need))
    even = -(-bays // each)
    for count in range(1, min(bays, even + 1) + 1):
        parts = cuts(bays, count)
        longest = max(float(x[b] - x[a]) for a, b in parts)
        for scale in SCALES[task.job.units]:
            k = 1000.0 / scale.ratio
            if k * float(np.diff(x).min()) > max(_MOST_PITCH, need):
                continue
            if k * longest <= wide and k * float(np.diff(x).min()) >= need:
                return scale, [_span(x, k, part, room) for part in parts]
    if need > wide:
        raise ValueError("the figures of one bay do not fit this page; take a larger page")
    places = np.arange(len(x), dtype=float)
    return None, [_span(places, wide / each, part, room) for part in cuts(bays, even)]


def _span(x: np.ndarray, k: float, part: tuple[int, int], room: Area) -> Span:
    first, last = part
    drawn = float(x[last] - x[first]) * k
    left = room.left + LEFT + _SIDE
    left += max(0.0, 0.5 * (room.right - RIGHT - _SIDE - left - drawn))
    xs = tuple(left + float(v - x[first]) * k for v in x[first : last + 1])
    return Span(first, last, xs, room.left, room.right, len(x))


def _paged(task: _Task, span: Span, room: Area) -> list[list[Block]]:
    """Plan, tilt and elevations of one strip on one page, or on as many as they need."""
    look = _look(task)
    bands = [
        Band(look, t, span, tuple(
            g for g in task.tags if g.row == t.row and (g.move.axis == "up") is t.up
        ), task.close)
        for t in task.traces
    ]  # fmt: skip
    tilts = Stations(task.job, task.compared, span, task.model.plane.tilt, task.close)
    groups: list[list[Block]] = [[*bands[:2]], [tilts, *bands[2:]]]
    if _needed([*groups[0], *groups[1]]) <= room.height:
        return [[*groups[0], *groups[1]]]
    return [page for group in groups for page in _broken(group, room)]


def _broken(group: list[Block], room: Area) -> list[list[Block]]:
    pages: list[list[Block]] = [[]]
    for block in group:
        if pages[-1] and _needed([*pages[-1], block]) > room.height:
            pages.append([])
        pages[-1].append(block)
        if block.height > room.height:
            raise ValueError("too many moves at one station for this page; take a larger page")
    return pages


def _needed(blocks: Sequence[Block]) -> float:
    return sum(b.height for b in blocks) + _BETWEEN * (len(blocks) - 1)


def _amplitude(blocks: Sequence[Block], room: Area) -> float:
    """The spare height of a page shared out between its bands."""
    bands = sum(isinstance(b, Band) for b in blocks)
    spare = room.height - _needed(blocks)
    return _MOST if not bands else min(_MOST, _LEAST + spare / (2 * bands))


def _reach(blocks: Sequence[Block]) -> float:
    """The largest deviation or tolerance that is drawn on a page [m]."""
    bands = [b for b in blocks if isinstance(b, Band)]
    values = [abs(c.value) for b in bands for c in b.shown if c.known]
    values += [b.trace.tolerance for b in bands if isfinite(b.trace.tolerance)]
    return max(values, default=0.0)


def _stack(blocks: Sequence[Block], room: Area) -> list[Item]:
    gap = (room.height - sum(b.height for b in blocks)) / max(len(blocks), 1)
    gap = min(gap, 7.0)
    items: list[Item] = []
    top = room.top
    for block in blocks:
        items += block.drawn(top)
        top -= block.height + gap
    return items


def _head(gate: Gate, area: Area, full: bool) -> list[Item]:
    """The verdict in large words in a box, and the first reasons."""
    left, right, top, low = area.left, area.right, area.top, area.top - _HEAD + 3.0
    words = say(VERDICTS[gate.ready])
    items: list[Item] = [
        Polyline(((left, low), (right, low), (right, top), (left, top)), "heavy", True, "paper"),
        *mark(SIGNS[gate.ready], (left + 6.5, top - 8.0), 3.2),
        Text((left + 13.0, top - 10.6), words, 5.2, bold=True),
    ]
    x = left + 13.0 + width(words, 5.2, True) + 6.0
    items.append(Line((x - 3.0, low), (x - 3.0, top)))
    lines = _reasons(gate, right - x - 3.0)
    return items + [Text((x, top - 4.2 - 4.2 * i), line) for i, line in enumerate(lines)]


def _reasons(gate: Gate, room: float) -> list[str]:
    """At most three lines; what does not fit is counted."""
    first = {
        Ready.READY: [say("Only with the hold points on the last sheet seen and signed.")],
        Ready.TOO_FEW: [say("Do not pour yet.")],
    }
    reasons = [*first.get(gate.ready, []), *(tell(r) for r in gate.reasons)]
    lines: list[str] = []
    for k, reason in enumerate(reasons):
        more = wrap(f"• {reason}", room, 2.5)
        if len(lines) + len(more) > (3 if k == len(reasons) - 1 else 2):
            left = len(reasons) - k
            return [*lines, f"• {_counted_reasons(left, k > 0)}"]
        lines += more
    return lines


def _counted_reasons(count: int, more: bool) -> str:
    if more:
        return say_many("{n} more reason: see What to do", "{n} more reasons: see What to do",
                        count)  # fmt: skip
    return say_many("{n} reason: see What to do", "{n} reasons: see What to do", count)


def _words(paragraphs: Sequence[Para], gate: Gate, job: JobInfo, page: Page) -> list[Sheet]:
    area = drawing_area(page)
    room = replace(area, top=area.top - _HEAD)
    return [
        finished(say("Truing: what to do"), page, job, None, (),
                 _head(gate, area, False) + items)
        for items in in_columns(paragraphs, room)
    ]  # fmt: skip


def _values(built: Built, mending: Mending, gate: Gate, job: JobInfo, page: Page) -> list[Sheet]:
    table, inside = values_table(built, mending, job)
    if not table.rows:
        return []
    area = drawing_area(page)
    note = say(
        "{n} values are inside tolerance and not listed. Lengths in {unit}. Sure to ±: {factor} "
        "standard deviations.",
        n=inside, unit=unit(job), factor=figures(f"{built.factor:.1f}"),
    )  # fmt: skip
    said = [Text((area.left, area.bottom + 1.0), note)]
    pages = flow([table], replace(area, bottom=area.bottom + 6.0))
    return [
        finished(say("Truing: values as built"), page, job, None, (), [*said, *items])
        for items in pages
    ]


def _last(gate: Gate, job: JobInfo, page: Page) -> list[Sheet]:
    area = drawing_area(page)
    room = replace(area, top=area.top - _HEAD)
    pages = in_columns([*to_sign(gate), *cautions(gate)], room)
    return [
        finished(say("Truing: hold points before the pour"), page, job, None, (),
                 _head(gate, area, False) + items)
        for items in pages
    ]  # fmt: skip
