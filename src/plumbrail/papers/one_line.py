"""The one-line diagram: modules, boxes, run, disconnect, equipment and the grounding beside it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from plumbrail.papers import one_line_symbols as sym
from plumbrail.papers.furniture import Area, drawing_area, finished, numbered, widest
from plumbrail.papers.lettering import BOLD, fit, wrap
from plumbrail.papers.one_line_words import HEADS, paragraphs, run_words
from plumbrail.papers.paragraphs import Para, in_columns
from plumbrail.papers.sheet import Circle, Item, Line, Page, Point, Polyline, Sheet, Text
from plumbrail.papers.truing_marks import ring, ring_radius
from plumbrail.papers.wire_facts import (
    Branch,
    Task,
    branches,
    conduit_words,
    cut_words,
    device_lacking,
    fused,
    signs_at,
    sized,
    span,
)
from plumbrail.papers.wire_sheet import headed
from plumbrail.papers.words import later, say, say_many, tell

_PITCH, _GAP, _HEAD, _FOOT = 10.0, 8.0, 15.0, 22.0
_EACH = 8
"""Strings up to which each is drawn by itself."""
_PV, _BOX, _FUSE, _BUS, _OUT = 31.0, 44.0, 58.0, 72.0, 78.0
_TUBE, _SWITCH, _DEVICE, _UNIT = 152.0, 168.0, 184.0, 196.0
_HEAD_AT = {"1": 0.0, "2": 44.0, "3": 84.0, "4": 156.0, "5": 196.0}
_LEGEND = sym.LEGEND_HEIGHT + 2.0
TITLE = later("One-line diagram")


@dataclass(frozen=True)
class Row:
    """A line of the diagram that begins at modules."""

    branch: Branch
    words: tuple[str, str]
    y: float


@dataclass(frozen=True)
class Plot:
    """The diagram at its place."""

    task: Task
    area: Area
    rows: tuple[Row, ...]

    def x(self, at: float) -> float:
        """Page millimetres of a place across."""
        return self.area.left + at

    @property
    def low(self) -> float:
        """Height of the lowest row."""
        return self.rows[-1].y

    @property
    def bond(self) -> float:
        """Height of the grounding conductor."""
        return self.low - 15.0

    def of(self, branch: Branch) -> list[Row]:
        """Rows of a run."""
        return [r for r in self.rows if r.branch == branch]

    def run_at(self, branch: Branch) -> float:
        """Height of a run: that of its middle row."""
        own = self.of(branch)
        return own[(len(own) - 1) // 2].y


def one_line(task: Task, page: Page) -> tuple[Sheet, ...]:
    """The diagram, on more sheets where it has many runs; its values beside it or on the next."""
    head, area = headed(task, drawing_area(page))
    plots = [Plot(task, area, rows) for rows in _pages(task, area)]
    pages = [[*head, *drawing(p), *sym.legend(area.left, area.right, area.bottom)] for p in plots]
    said = paragraphs(task)
    room = replace(area, top=plots[-1].low - _FOOT - 2.0, bottom=area.bottom + _LEGEND)
    beside = _level(said, room)
    pages[-1] += beside
    sheets = [finished(say(TITLE), page, task.job, None, (), items, "wires") for items in pages]
    if not beside:
        title = say("One-line diagram: values")
        sheets += [finished(title, page, task.job, None, (), head + words)
                   for words in in_columns(said, area)]  # fmt: skip
    return numbered(sheets)


def _level(said: list[Para], room: Area) -> list[Item]:
    """The words in three columns of like height; empty where they find no room."""
    best: list[Item] = []
    while room.height > 0 and len(found := in_columns(said, room, 3)) == 1:
        best, room = found[0], replace(room, bottom=room.bottom + 4.0)
    return best


def _pages(task: Task, area: Area) -> list[tuple[Row, ...]]:
    """Rows of the diagram by sheets; a box is never parted from its strings."""
    top, lowest = area.top - _HEAD - 4.0, area.bottom + _LEGEND + _FOOT + 2.0
    pages: list[list[Row]] = [[]]
    y = top
    for box in dict.fromkeys(b.box for b in branches(task.wired)):
        texts = [(b, words) for b in branches(task.wired) if b.box == box
                 for words in _row_words(task, b)]  # fmt: skip
        if pages[-1] and y - _PITCH * (len(texts) - 1) < lowest:
            pages.append([])
            y = top
        for branch, words in texts:
            pages[-1].append(Row(branch, words, y))
            y -= _PITCH
        y -= _GAP
    return [tuple(rows) for rows in pages]


def _row_words(task: Task, branch: Branch) -> list[tuple[str, str]]:
    """Names and modules of the rows of a run: of every string where they are few, else of all."""
    ids, per = task.wired.strings.ids, task.wired.chosen.per_string
    modules = say_many("{n} module", "{n} modules", per)
    names = [ids[s] for s in branch.strings]
    if len(ids) <= _EACH or len(names) == 1:
        return [(name, modules) for name in names]
    return [(span(names), f"{len(names)} x {modules}")]


def drawing(plot: Plot) -> list[Item]:
    """All of the diagram."""
    items = _headings(plot)
    for row in plot.rows:
        items += _string(plot, row)
    runs = list(dict.fromkeys(r.branch for r in plot.rows))
    for box in dict.fromkeys(b.box for b in runs):
        items += _box(plot, box)
    for branch in runs:
        items += _run(plot, branch)
    return items + _run_labels(plot, runs) + _unit(plot, runs) + _grounding(plot)


def _headings(plot: Plot) -> list[Item]:
    y, items = plot.area.top - 4.0, list[Item]()
    for number, at in _HEAD_AT.items():
        r = ring_radius(number)
        items += ring(number, (plot.x(at) + r, y))
        items.append(Text((plot.x(at) + 2 * r + 1.4, y - 1.25), say(HEADS[number]), bold=True))
    return items


def _string(plot: Plot, row: Row) -> list[Item]:
    x, y, c = plot.x, row.y, plot.task.string
    items: list[Item] = [
        Text((x(0.0), y + 0.8), row.words[0], bold=True), Text((x(0.0), y - 3.4), row.words[1]),
        *sym.cells((x(_PV), y)), Line((x(_PV + sym.CELLS), y), (x(_FUSE - sym.FUSE), y)),
        Line((x(_FUSE + sym.FUSE), y), (x(_BUS), y)),
    ]  # fmt: skip
    if fused(c):
        return [*items, *sym.fuse((x(_FUSE), y)),
                Text((x(_FUSE), y + 1.9), _rating(c.device), align="middle")]  # fmt: skip
    items.append(Line((x(_FUSE - sym.FUSE), y), (x(_FUSE + sym.FUSE), y)))
    if device_lacking(c):
        items.append(Text((x(_FUSE), y + 1.2), say("no fuse suits"), align="middle",
                          bold=True))  # fmt: skip
    return items


def _rating(device: str) -> str:
    return " ".join(device.split()[:2])


def _box(plot: Plot, box: int) -> list[Item]:
    own = [r for r in plot.rows if r.branch.box == box]
    high, low = own[0].y + 6.0, own[-1].y - 3.6
    left, right = plot.x(_BOX), plot.x(_OUT)
    name = Text((left, high + 1.2), say("box C{n}", n=box + 1), bold=True)
    edge = Polyline(((left, low), (right, low), (right, high), (left, high)), "medium", True,
                    layer="equipment")  # fmt: skip
    items: list[Item] = [edge, name]
    for branch in dict.fromkeys(r.branch for r in own):
        ys = [r.y for r in plot.of(branch)]
        bus = plot.x(_BUS)
        if len(ys) > 1:
            items.append(Line((bus, ys[0]), (bus, ys[-1]), "heavy"))
        items += [Circle((bus, y), 0.6, "thin", "dark") for y in ys if len(ys) > 1]
    return items


def _run(plot: Plot, branch: Branch) -> list[Item]:
    x, y, c = plot.x, plot.run_at(branch), plot.task.run
    items: list[Item] = [
        Line((x(_BUS), y), (x(_SWITCH - sym.SWITCH), y)), *sym.switch((x(_SWITCH), y)),
        Line((x(_SWITCH + sym.SWITCH), y), (x(_DEVICE - sym.FUSE), y)),
        Line((x(_DEVICE + sym.FUSE), y), (x(_UNIT), y)),
    ]  # fmt: skip
    if fused(c):
        return [*items, *sym.fuse((x(_DEVICE), y)),
                Text((x(_DEVICE), y + 1.9), _rating(c.device), align="middle")]  # fmt: skip
    return [*items, Line((x(_DEVICE - sym.FUSE), y), (x(_DEVICE + sym.FUSE), y))]


def _run_labels(plot: Plot, runs: list[Branch]) -> list[Item]:
    """Conductors over the first run, conduit under it, its tube round all of them."""
    task, x = plot.task, plot.x
    ys = [plot.run_at(b) for b in runs]
    room, left = _TUBE - 90.0, x(88.0)
    main = next((c for c in task.wired.conduits if c.id == "run.conduit"), task.wired.conduits[-1])
    pipe = conduit_words(task.wired, main)
    far = say("at most {length} one way" if task.run.count > 1 else "{length} one way",
              length=cut_words(task.job, task.run.length))  # fmt: skip
    items: list[Item] = [
        Text((left, ys[0] + 1.2), fit(run_words(task), room, 2.5), clear=True),
        Text((left, ys[0] - 3.9), fit(pipe, room, 2.5), clear=True),
        Text((left, ys[0] - 7.9), fit(far, room, 2.5), clear=True),
    ]
    signs = signs_at(task.wired, "disconnect")
    if signs:
        items.append(Text((x(_TUBE + 3.0), ys[0] - 4.6), say("signs {numbers}", numbers=signs),
                          clear=True))  # fmt: skip
    return items + (sym.tube(x(_TUBE), ys[-1], ys[0]) if main.method != "direct burial" else [])


def _unit(plot: Plot, runs: list[Branch]) -> list[Item]:
    """The equipment with its inputs, and where its output goes."""
    task, left, right = plot.task, plot.x(_UNIT), plot.area.right
    ys = [plot.run_at(b) for b in runs]
    high, low = max(plot.rows[0].y, ys[0]) + 6.0, plot.low - 6.0
    many = len(task.wired.chosen.per_input) > 1
    inputs = [say("input {n}", n=b.input + 1) for b in runs]
    start = left + (max(15.0, widest(inputs) + 3.0) if many else 2.0)
    middle = 0.5 * (start + right - 2.0)
    items: list[Item] = [Polyline(((left, low), (right, low), (right, high), (left, high)),
                                  "medium", True, layer="equipment")]  # fmt: skip
    lines = [*wrap(task.section.equipment.name, (right - 2.0 - start) / BOLD, 2.5),
             tell(task.section.equipment.kind)]  # fmt: skip
    top = 0.5 * (high + low) + 2.1 * len(lines)
    for i, text in enumerate(lines[-max(2, int((high - low) / 4.2)) :]):
        items.append(Text((middle, top - 3.4 - 4.2 * i), text, align="middle", bold=i == 0))
    if many:
        items += [Text((left + 1.2, y - 1.2), name) for name, y in zip(inputs, ys, strict=True)]
    out = right - 12.0
    goes = say(
        "to the battery" if task.section.equipment.kind == "controller" else "to the building"
    )
    return [*items, *_arrow((out, low), (out, low - 5.0)),
            Text((right, low - 8.4), goes, align="end")]  # fmt: skip


def _arrow(start: Point, end: Point) -> list[Item]:
    x, y = end
    return [
        Line(start, end, "medium"),
        Polyline(((x, y), (x - 0.9, y + 2.0), (x + 0.9, y + 2.0)), "thin", True, "dark"),
    ]


def _grounding(plot: Plot) -> list[Item]:
    """The grounding conductor under all of it, up to every box and the equipment."""
    x, y, size = plot.x, plot.bond, plot.task.run.grounding
    array = plot.task.wired.array_ground
    riser, unit = x(_OUT + 4.0), x(_UNIT + 6.0)
    tops = [min(r.y for r in plot.rows if r.branch.box == b) - 1.6
            for b in dict.fromkeys(r.branch.box for r in plot.rows)]  # fmt: skip
    items: list[Item] = [
        sym.bond((x(8.0), y), (unit, y)), sym.bond((riser, max(tops)), (riser, y)),
        sym.bond((unit, plot.low - 6.0), (unit, y)), *sym.ground((unit, y)),
        *(sym.bond((x(_OUT), t), (riser, t)) for t in tops),
        *(Circle(p, 0.6, "thin", "dark") for p in ((riser, y), (unit, y))),
        *ring("6", (x(2.4), y)), Text(
            (x(10.0), y + 1.3), say("rails and boxes bonded: {size}", size=sized(array))
        ),
        Text((riser + 6.0, y + 1.3), say("with the run: {size}", size=sized(size))),
        Text((unit + 4.6, y - 3.6), say("grounding of the building")),
    ]  # fmt: skip
    return items
