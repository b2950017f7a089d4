"""The map of the strings, and the map of the wires that lead to the boxes, to scale."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import pairwise
from math import hypot

import numpy as np

from plumbrail.papers.furniture import Area, drawing_area, finished, notes, numbered, scale_bar
from plumbrail.papers.layers import on, resting
from plumbrail.papers.lettering import width
from plumbrail.papers.names import ASLANT, named
from plumbrail.papers.placing import Room
from plumbrail.papers.sheet import Circle, Item, Line, Page, Point, Polyline, Sheet, Text, View
from plumbrail.papers.wire_facts import MINUS, POLES, Task, cut_lengths, cut_words
from plumbrail.papers.wire_sheet import headed
from plumbrail.papers.wiring_map_view import Array, Seen, Strip, drawn, stacked, strips, words
from plumbrail.papers.words import say, tell
from plumbrail.wiring.strings import members

PATTERNS = ("heavy", "hidden", "medium", "centre", "frost", "base")
"""Lines of the strings in turn."""
WIRES = {"home run": "heavy", "jumper": "hidden", "run": "base"}
_BAND = 9.0
_SIGN = 2.0
_FIRST, _NEXT = 3.2, 3.6


@dataclass(frozen=True)
class Shown:
    """A strip at its place on a page."""

    task: Task
    seen: Seen
    strip: Strip
    area: Area
    top: float

    @property
    def origin(self) -> Point:
        """Page millimetres of the array's lower left corner."""
        return self.strip.origin(self.area, self.top)

    def at(self, point: Point) -> Point:
        """Page millimetres of a place."""
        x, y = self.origin
        return x + self.strip.k * point[0], y + self.strip.k * point[1]

    def place(self, point: Array) -> Point:
        """A point in local axes, as seen [m]."""
        u, v = self.seen.of(point)
        return float(u), float(v)

    def view(self, name: str, items: list[Item], names: tuple[Text, ...]) -> View:
        """Items in metres as a view."""
        return View(name, self.strip.scale.ratio, self.origin, tuple(items), names)

    def boxes(self) -> tuple[Text, ...]:
        """Names of the boxes at their places."""
        places = [self.place(p) for p in self.task.wired.boxes]
        held = [(f"C{i + 1}", p) for i, p in enumerate(places) if self.strip.holds(p[0])]
        return named([name for name, _ in held], [p for _, p in held], ASLANT)

    @property
    def modules(self) -> list[int]:
        """Modules of the strip."""
        column = self.task.model.modules.column
        return np.flatnonzero((column >= self.strip.first) & (column <= self.strip.last)).tolist()

    def edges(self) -> list[Text]:
        """What stands over and under the strip."""
        s, x = self.strip, self.at((self.strip.left, 0.0))[0]
        part = (
            "" if s.whole else ", " + say("columns {first} to {last}", first=s.first, last=s.last)
        )
        low = self.top - s.height + 1.6
        return [Text((x, self.top - 4.0), say("High edge, at the back") + part),
                Text((x, low), say("Low edge, at the front"))]  # fmt: skip


Draw = Callable[[Shown], tuple[View, list[Item]]]


def wiring_map(task: Task, page: Page) -> tuple[Sheet, ...]:
    """Sheets in order: which module is in which string, then the wires to the boxes.

    The page stands upright where the array is too high for it lying. Raises ValueError when it
    does not fit then either.
    """
    upright = replace(page, width=min(page.width, page.height), height=max(page.width, page.height))
    try:
        return _maps(task, page)
    except ValueError:
        return _maps(task, upright)


def _maps(task: Task, page: Page) -> tuple[Sheet, ...]:
    return numbered([
        *_sheets(say("Wiring map: strings"), task, page, _string_notes(task), _strings),
        *_sheets(say("Wiring map: wires to the boxes"), task, page, _wire_notes(task), _wires),
    ])  # fmt: skip


def _sheets(
    title: str, task: Task, page: Page, said: tuple[str, ...], draw: Draw
) -> list[Sheet]:  # fmt: skip
    head, area = headed(task, drawing_area(page))
    lines, room = notes(area, said)
    bar = (room.left + 6.0, room.bottom + 1.0)
    room = Area(room.left, room.bottom + _BAND, room.right, room.top)
    found = []
    for part in strips(task, room):
        views, items = list[View](), [*head, *lines, *scale_bar(bar, part[0].scale, task.job)]
        for strip, top in zip(part, stacked(part, room), strict=True):
            view, more = draw(Shown(task, Seen(task), strip, room, top))
            views.append(view)
            items += more
        scale = part[0].scale
        if page.height > page.width:  # a narrow title strip has no room for more
            scale = replace(scale, words=f"1:{scale.ratio:g}")
        found.append(finished(title, page, task.job, scale, tuple(views), items))
    return found


def _string_notes(task: Task) -> tuple[str, ...]:
    left = int((task.wired.strings.string < 0).sum())
    spare = (say("spare: {n} modules are in no string.", n=left),) if left else ()
    return (
        say("Seen square to the modules, standing before the array: left is left. First line in a "
            "module: its name, row from the low edge and column from the left. Second: its string "
            "and its place in it, counted from the + end."),
        say("The line joins the modules of a string in order. Six patterns of lines take turns, "
            "and every other string is grey; always read the name. Ends in a ring are where the "
            "wires to the box start: + positive, − negative."),
        *spare,
    )  # fmt: skip


def _wire_notes(task: Task) -> tuple[str, ...]:
    slack = 100.0 * task.section.conductors.slack
    many = len(task.wired.boxes) > 1
    between = f" {say('Dash and two dots: from box to box.')}" if many else ""
    return (
        say("Name, pole and length to cut, with {slack} % slack, stand where a wire leaves its "
            "module's own lead. Thick: wires to a box, along rails and beams, several on one line "
            "where they lie together. Short dashes: jumpers.{between} Long and short dashes: "
            "rails.", slack=f"{slack:.0f}", between=between),
        say("A wire that comes down a post is drawn as seen, behind the modules. Boxes hang "
            "{height} above the ground. The grounding conductor follows the beam of the boxes past "
            "every rail. What finds no room here is in the table of wires to cut.",
            height=task.job.said(task.section.combiners.height)),
    )  # fmt: skip


def _outline(shown: Shown, m: int) -> tuple[Point, ...]:
    return tuple((float(u), float(v)) for u, v in shown.seen.modules[m])


def _node(shown: Shown, m: int) -> Point:
    """Where the line of a string passes a module: its lower right corner, inside [m]."""
    in_from = 2.5 / shown.strip.k
    u, v = shown.seen.modules[m][1]
    return float(u) - in_from, float(v) + in_from


def _strings(shown: Shown) -> tuple[View, list[Item]]:
    s, own = shown.task.wired.strings, shown.modules
    grey = {m: s.string[m] >= 0 and s.string[m] % 2 == 1 for m in own}
    items = [
        Polyline(_outline(shown, m), "medium", True, "light" if grey[m] else "paper", "modules")
        for m in own
    ]
    wires: list[Item] = []
    for k in range(len(s.ids)):
        line = np.array([_node(shown, m) for m in members(s, k).tolist()])
        pen = PATTERNS[k % len(PATTERNS)]
        wires += [Polyline(part, pen) for part in shown.strip.clipped(line) if len(part) > 1]
    wires += [Circle(_node(shown, m), 0.7 / shown.strip.k, "thin", "dark") for m in own
              if s.string[m] >= 0]  # fmt: skip
    view = shown.view(say("strings"), [*items, *on("wires", wires)], _module_names(shown))
    return view, [*shown.edges(), *_module_words(shown), *resting("wires", _ends(shown))]


def _module_names(shown: Shown) -> tuple[Text, ...]:
    """Name, string and place of every module at its lower left corner."""
    ids, said = shown.task.model.modules.ids, words(shown.task)
    corners = [_outline(shown, m)[0] for m in shown.modules]
    return named([f"{ids[m]} {said[m]}" for m in shown.modules], corners)


def _module_words(shown: Shown) -> list[Item]:
    said, ids, found = words(shown.task), shown.task.model.modules.ids, list[Item]()
    for m in shown.modules:
        x, y = shown.at(_outline(shown, m)[3])
        for row, text in enumerate((ids[m], said[m])):
            reach = x + 0.8 + width(text, 2.5) > shown.at(_node(shown, m))[0] - 1.0
            found.append(Text((x + 0.8, y - _FIRST - _NEXT * row), text, clear=reach))
    return found


def _ends(shown: Shown) -> list[Item]:
    """Rings with + and − at the ends of every string."""
    s, found = shown.task.wired.strings, list[Item]()
    for k in range(len(s.ids)):
        own = members(s, k).tolist()
        for m, sign in ((own[0], "+"), (own[-1], MINUS)):
            if m not in shown.modules:
                continue
            x, y = shown.at(_node(shown, m))
            x -= 2 * _SIGN + 0.4 if len(own) == 1 and sign == "+" else 0.0
            found += [Circle((x, y), _SIGN, "medium", "paper"),
                      Text((x, y - 1.2), sign, 2.5, "middle", bold=True)]  # fmt: skip
    return found


def _wires(shown: Shown) -> tuple[View, list[Item]]:
    model, seen, strip = shown.task.model, shown.seen, shown.strip
    items: list[Item] = [
        Polyline(_outline(shown, m), "thin", True, layer="modules") for m in shown.modules
    ]
    for a, b, column in zip(seen.of(model.rails.start), seen.of(model.rails.end),
                            model.rails.column.tolist(), strict=True):  # fmt: skip
        if strip.first <= column <= strip.last:
            ends = (float(a[0]), float(a[1])), (float(b[0]), float(b[1]))
            items.append(Line(*ends, "centre", "rails"))
    for row in (0, 1):
        whole = np.vstack([model.beams.start[row], model.beams.heads[row], model.beams.end[row]])
        items += [Polyline(part, "medium", layer="beams")
                  for part in strip.clipped(seen.of(whole))]  # fmt: skip
    for p in shown.task.wired.paths:
        if drawn(p.kind, p.what):
            items += [Polyline(part, WIRES[p.kind], layer="wires")
                      for part in strip.clipped(seen.of(p.points))]  # fmt: skip
    names = named([model.modules.ids[m] for m in shown.modules],
                  [_outline(shown, m)[0] for m in shown.modules])  # fmt: skip
    return shown.view(say("wires"), items, names + shown.boxes()), _wire_words(shown)


def _wire_words(shown: Shown) -> list[Item]:
    """Boxes with their names and places, and the length of every wire at its start."""
    edges = shown.edges()
    area = Area(shown.area.left, shown.top - shown.strip.height, shown.area.right, shown.top)
    named = [*edges, *_end_names(shown)]
    free, items = Labels(Room(area, named), _ways(shown)), list[Item](named)
    room = free.room
    places = [shown.place(p) for p in shown.task.wired.boxes]
    boxes = [(i, p) for i, p in enumerate(places) if shown.strip.holds(p[0])]
    starts = _starts(shown)
    for point in [shown.at(p) for _, p in boxes] + [shown.at(p) for p, _ in starts]:
        room.keep_clear(point, 1.6)
    for i, place in boxes:
        x, y = shown.at(place)
        items.append(Polyline(((x - 1.8, y - 1.8), (x + 1.8, y - 1.8), (x + 1.8, y + 1.8),
                               (x - 1.8, y + 1.8)), "medium", True, "dark",
                              "equipment"))  # fmt: skip
        items += free.beside((x, y), [f"C{i + 1}{_hangs(shown.task, i)}", f"C{i + 1}"], True)
    items += _beam_names(shown, room)
    for place, labels in starts:
        point = shown.at(place)
        items.append(Circle(point, 0.9, "thin", "paper", "wires"))
        items += free.beside(point, labels, False)
    return items


def _beam_names(shown: Shown, room: Room) -> list[Item]:
    """Names of the beams over their left ends, on the first strip."""
    if shown.strip.first > 1:
        return []
    found: list[Item] = []
    beams = shown.task.model.beams
    for start, name in zip(beams.start, map(tell, beams.ids), strict=True):
        x, y = shown.at(shown.place(start))
        text = Text((x + 1.0, y + 1.0), name, clear=True)
        if room.free(text):
            found += room.beside((x + 1.0, y - 1.8), name, ("above",))
    return found


def _end_names(shown: Shown) -> list[Text]:
    """Names of the modules at the ends of strings."""
    s, own = shown.task.wired.strings, set(shown.modules)
    ends = {int(m) for k in range(len(s.ids)) for m in members(s, k)[[0, -1]]} & own
    found = []
    for m in sorted(ends):
        x, y = shown.at(_outline(shown, m)[3])
        found.append(Text((x + 0.8, y - _FIRST), shown.task.model.modules.ids[m]))
    return found


def _ways(shown: Shown) -> list[Point]:
    """Places along every wire, close enough together to keep words off it [mm]."""
    found: list[Point] = []
    for p in shown.task.wired.paths:
        if not drawn(p.kind, p.what):
            continue
        for part in shown.strip.clipped(shown.seen.of(p.points)):
            for a, b in pairwise([shown.at(q) for q in part]):
                count = int(hypot(b[0] - a[0], b[1] - a[1]) / 2.0) + 2
                shares = np.linspace(0.0, 1.0, count).tolist()
                found += [(a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])) for t in shares]
    return found


class Labels:
    """Finds room for words: off the wires where it can, else off other words only."""

    def __init__(self, room: Room, ways: list[Point]) -> None:
        self.room, self.ways = room, ways

    def beside(self, point: Point, labels: list[str], bold: bool) -> list[Item]:
        """The longest of the labels that finds room; none where none does."""
        for ways in (self.ways, []):
            for label in labels[: 1 if ways else None]:
                found = self._tried(point, label, bold, ways)
                if found:
                    return found
        return []

    def _tried(self, point: Point, label: str, bold: bool, ways: list[Point]) -> list[Item]:
        strict = Room(self.room.area)
        strict.boxes = list(self.room.boxes)
        for way in ways:
            strict.keep_clear(way, 0.3)
        try:
            found = strict.beside(point, label, ("right", "left", "above", "below"), bold)
        except ValueError:
            return []
        self.room.boxes.append(strict.boxes[-1])
        return found


def _hangs(task: Task, i: int) -> str:
    """The post that a box hangs on."""
    away = np.hypot(*(task.model.posts.xy - task.wired.boxes[i][:2]).T)
    near = int(away.argmin())
    if away[near] < 0.3:
        return f" {say('on {post}', post=task.model.posts.ids[near])}"
    return f" {say('on its own upright')}"


def _starts(shown: Shown) -> list[tuple[Point, list[str]]]:
    """Start of every wire with what may stand there, those at one place put together."""
    lengths = {(c.string, c.wire): c.cut for c in
               cut_lengths(shown.task.plan, shown.task.model, shown.task.wired)}  # fmt: skip
    found: dict[tuple[float, float], list[tuple[str, str]]] = {}
    for p in shown.task.wired.paths:
        string, _, wire = p.id.partition(" ")
        if p.kind not in ("home run", "jumper"):
            continue
        spot = shown.place(p.points[0])
        if shown.strip.holds(spot[0]):
            key = (round(spot[0], 3), round(spot[1], 3))
            found.setdefault(key, []).append((string, wire))
    return [(key, _labels(shown.task, wires, lengths)) for key, wires in found.items()]


def _labels(
    task: Task, wires: list[tuple[str, str]], lengths: dict[tuple[str, str], float]
) -> list[str]:
    short = [f"{s} {POLES.get(w) or tell(w)}" for s, w in wires]
    both = [
        f"{name} {cut_words(task.job, lengths[w])}" for name, w in zip(short, wires, strict=True)
    ]
    names = list(dict.fromkeys(s for s, _ in wires))
    return ["; ".join(both), "; ".join(short), ", ".join(names)]
