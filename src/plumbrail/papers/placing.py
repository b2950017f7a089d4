"""Finding room for words: labels pushed apart along a line, labels beside a point."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from math import atan2, degrees, hypot

from plumbrail.papers.boxes import Box, text_box
from plumbrail.papers.explode import moved, plain
from plumbrail.papers.furniture import Area
from plumbrail.papers.lettering import DESCENT, width
from plumbrail.papers.sheet import Align, Item, Line, Point, Text, View


def spread(wanted: list[float], sizes: list[float], gap: float) -> list[float]:
    """Centres along a line, in the order given, as near as can be to ``wanted`` (rising).

    Neighbours keep their sizes and the gap apart. Least squares, by pooling those that touch.
    """
    pools: list[tuple[list[int], float]] = []
    reach = [0.0]
    for i in range(1, len(wanted)):
        reach.append(reach[-1] + 0.5 * (sizes[i - 1] + sizes[i]) + gap)
    free = [w - r for w, r in zip(wanted, reach, strict=True)]
    for i, value in enumerate(free):
        pools.append(([i], value))
        while len(pools) > 1 and pools[-2][1] > pools[-1][1]:
            members = pools[-2][0] + pools[-1][0]
            pools[-2:] = [(members, sum(free[k] for k in members) / len(members))]
    return [value + reach[k] for members, value in pools for k in members]


def lettered_row(
    xs: list[float], texts: list[str], y: float, down: bool, from_y: float,
    bold: bool = False,
) -> list[Item]:  # fmt: skip
    """Words in a row at height ``y`` under (or over) points at ``xs`` [mm], level if they fit.

    Where they do not they stand upright, and where even those would touch they are pushed apart;
    a thin leader from ``from_y`` then leads to each.
    """
    sizes = [width(t, 2.5, bold) for t in texts]
    level = spread(xs, sizes, 1.2)
    if _close(level, xs, 0.6):
        at = y - 2.5 if down else y
        return [
            Text((x, at), t, align="middle", bold=bold, clear=True)
            for x, t in zip(level, texts, strict=True)
        ]
    height = 2.5 * (1 + DESCENT)
    upright = spread(xs, [height] * len(xs), 0.5)
    led = not _close(upright, xs, 0.4)
    start = y + (-2.5 if down else 2.5) if led else y
    items: list[Item] = []
    for x, at, words in zip(xs, upright, texts, strict=True):
        if led:
            items.append(Line((x, from_y), (at, start), layer="dimensions"))
        base = at + 0.5 * 2.5
        align: Align = "end" if down else "start"
        foot = start + (-0.8 if down else 0.8)
        items.append(Text((base, foot), words, 2.5, align, 90.0, bold, clear=True))
    return items


def row_height(xs: list[float], texts: list[str], bold: bool = False) -> float:
    """Height on paper [mm] that :func:`lettered_row` takes."""
    items = lettered_row(xs, texts, 0.0, down=True, from_y=0.0, bold=bold)
    low = [c[1] for m in items if isinstance(m, Text) for c in text_box(m).corners]
    return -min(low, default=0.0)


def _close(places: list[float], wanted: list[float], by: float) -> bool:
    return all(abs(p - w) <= by for p, w in zip(places, wanted, strict=True))


class Room:
    """Keeps what is taken on a page, and finds a free place for a label."""

    def __init__(self, area: Area, taken: Iterable[Text] = ()) -> None:
        self.area = area
        self.boxes: list[Box] = [text_box(t) for t in taken]

    def avoid(self, view: View) -> None:
        """Mark the words of a view, those of its dimensions too."""
        marks = [m for item in view.items for m in plain(moved(item, view))]
        self.boxes += [text_box(m) for m in marks if isinstance(m, Text)]

    def free(self, text: Text) -> bool:
        """Inside the area, and nothing taken lies under the text."""
        box, area = text_box(text), self.area
        inside = all(
            area.left <= x <= area.right and area.bottom <= y <= area.top for x, y in box.corners
        )
        return inside and not any(box.meets(b, -1.2) for b in self.boxes)

    def keep_clear(self, point: Point, radius: float) -> None:
        """Mark a square round a point [mm]."""
        x, y, r = *point, radius
        corners = ((x - r, y - r), (x + r, y - r), (x + r, y + r), (x - r, y + r))
        self.boxes.append(Box(corners, ((1.0, 0.0), (0.0, 1.0))))

    def beside(
        self, point: Point, words: str, prefer: tuple[str, ...], bold: bool = False
    ) -> list[Item]:
        """A label at the nearest free place by a point, the sides in ``prefer`` tried in turn.

        One that had to go further off gets a leader. Raises ValueError when there is no place.
        """
        x, y = point
        for far in (2.8, 5.0, 8.0, 12.0, 17.0, 23.0, 30.0):
            sides = {
                "right": Text((x + far, y - 1.25), words, bold=bold),
                "left": Text((x - far, y - 1.25), words, align="end", bold=bold),
                "below": Text((x, y - far - 2.5), words, align="middle", bold=bold),
                "above": Text((x, y + far), words, align="middle", bold=bold),
            }
            for side in prefer:
                text = replace(sides[side], clear=True)
                if self.free(text):
                    self.boxes.append(text_box(text))
                    way = {"right": (1, 0), "left": (-1, 0), "below": (0, -1), "above": (0, 1)}[
                        side
                    ]
                    tip = (x + (far - 0.6) * way[0], y + (far - 0.6) * way[1])
                    return [Line(point, tip), text] if far > 5.0 else [text]
        raise ValueError(f"no room on the drawing for {words!r}; take a larger page")

    def on_line(self, start: Point, end: Point, words: str) -> Text | None:
        """A label along a line, on its first third where it is free; None when it is nowhere."""
        if start[0] > end[0]:
            start, end = end, start
        dx, dy = end[0] - start[0], end[1] - start[1]
        if hypot(dx, dy) < 2 * width(words, 2.5) or abs(dy) < 16.0:
            return None
        for share in (0.25, 0.3, 0.2, 0.7, 0.75, 0.8, 0.35, 0.65):
            at = (start[0] + share * dx, start[1] + share * dy)
            turned = degrees(atan2(dy, dx))
            off = (1.25 * dy / hypot(dx, dy), -1.25 * dx / hypot(dx, dy))
            text = Text((at[0] + off[0], at[1] + off[1]), words, align="middle", angle=turned,
                        clear=True)  # fmt: skip
            if self.free(text):
                self.boxes.append(text_box(text))
                return text
        return None
