"""What surrounds a drawing: frame, title strip, notes, scale bar, north arrow."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import cos, sin

from plumbrail.papers.layers import on, resting
from plumbrail.papers.lettering import fit, width, wrap
from plumbrail.papers.sheet import Item, Line, Page, Point, Polyline, Scale, Sheet, Text, View
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import later, say

MARGIN = 9.0
STRIP = 17.0
NOTE_PITCH = 4.4
CAUTION = later("An aid, not an approval; local codes and licensed practice decide.")


@dataclass(frozen=True, slots=True)
class Area:
    """A free rectangle on a page [mm]."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """Width [mm]."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Height [mm]."""
        return self.top - self.bottom


def drawing_area(page: Page) -> Area:
    """What the frame and the title strip leave free."""
    return Area(
        MARGIN + 3, MARGIN + STRIP + 3, page.width - MARGIN - 3, page.height - MARGIN - 3
    )  # fmt: skip


def finished(
    title: str, page: Page, job: JobInfo, scale: Scale | None, views: tuple[View, ...],
    items: list[Item], layer: str = "table",
) -> Sheet:  # fmt: skip
    """A sheet with its frame and title strip; :func:`numbered` fills in the sheet numbers.

    ``layer``: of lines on the page that have none of their own.
    """
    frame = on("title", _frame(title, page, job, scale))
    return Sheet(title, page, views, (*resting(layer, items, every=True), *frame))


def numbered(sheets: list[Sheet]) -> tuple[Sheet, ...]:
    """The sheets of one set, each with its number of the total."""
    return tuple(
        replace(s, items=(*s.items, Text(
            (s.page.width - MARGIN - 2, MARGIN + 2.2),
            say("Sheet {number} of {total}", number=i + 1, total=len(sheets)),
            align="end", bold=True, layer="title",
        )))
        for i, s in enumerate(sheets)
    )  # fmt: skip


def _frame(title: str, page: Page, job: JobInfo, scale: Scale | None) -> list[Item]:
    left, right, low = MARGIN, page.width - MARGIN, MARGIN
    top, strip = page.height - MARGIN, low + STRIP
    cell = left + 0.56 * (right - left)
    room, side = cell - left - 4, right - cell - 4
    corners = ((left, low), (right, low), (right, top), (left, top))
    origin = say("Plan {hash} · plumbrail {version}", hash=job.plan_hash, version=job.version)
    unit = say(job.unit_note)
    drawn = say("Lengths in {unit}", unit=unit) if scale is None else (
        say("Scale {scale} · {unit}", scale=scale.words, unit=unit)
    )  # fmt: skip
    return [
        Polyline(corners, "medium", closed=True),
        Line((left, strip), (right, strip), "medium"),
        Line((left, low + 5.6), (right, low + 5.6)),
        Line((cell, low + 5.6), (cell, strip)),
        Text((left + 2, low + 12.6), fit(title, room, 3.0, True), 3.0, bold=True),
        Text((left + 2, low + 7.4), fit(job.name, room, 2.5)),
        Text((cell + 2, low + 12.6), fit(drawn, side, 2.5)),
        Text((cell + 2, low + 7.4), fit(origin, side, 2.5)),
        Text((left + 2, low + 2.0), fit(say(CAUTION), right - left - 32, 2.5)),
    ]


def notes(area: Area, lines: tuple[str, ...]) -> tuple[list[Item], Area]:
    """Notes at the bottom of an area, and what they leave of it."""
    rows: list[tuple[float, str]] = []
    for text in lines:
        wrapped = wrap(text, area.width - 5, 2.5)
        rows += [(0.0 if i == 0 else 2.4, w if i else f"• {w}") for i, w in enumerate(wrapped)]
    items: list[Item] = [
        Text((area.left + indent, area.bottom + NOTE_PITCH * (len(rows) - 1 - i) + 1.0), words)
        for i, (indent, words) in enumerate(rows)
    ]
    return items, replace(area, bottom=area.bottom + NOTE_PITCH * len(rows) + 2.0)


def scale_bar(at: Point, scale: Scale, job: JobInfo) -> list[Item]:
    """A bar of round lengths, about 50 mm long, to check that the print came out to scale."""
    unit, name = (0.3048, "ft") if job.units == "us" else (1.0, "m")
    sizes = [m * 10.0**e for e in (-1, 0, 1, 2) for m in (1, 2, 5)]
    part = min(sizes, key=lambda s: abs(s * unit * 1000 / scale.ratio - 14.0))
    step = part * unit * 1000 / scale.ratio
    x, y = at
    items: list[Item] = [
        Polyline(
            ((x + i * step, y), (x + (i + 1) * step, y), (x + (i + 1) * step, y + 1.5),
             (x + i * step, y + 1.5)),
            closed=True, fill="paper" if i % 2 else "dark",
        )
        for i in range(4)
    ]  # fmt: skip
    items.append(Text((x, y + 2.7), "0", align="middle"))
    items.append(Text((x + 2 * step, y + 2.7), f"{2 * part:g}", align="middle"))
    items.append(Text((x + 4 * step, y + 2.7), f"{4 * part:g} {name}", align="middle"))
    return list(on("scale bar", items))


def north_arrow(at: Point, row_bearing: float) -> list[Item]:
    """An arrow to true north on a drawing whose x axis has the bearing ``row_bearing`` [rad]."""
    # x points along the bearing, so north lies that bearing counter-clockwise from x.
    u = (cos(row_bearing), sin(row_bearing))
    v = (-u[1], u[0])

    def p(along: float, aside: float) -> Point:
        return at[0] + along * u[0] + aside * v[0], at[1] + along * u[1] + aside * v[1]

    letter = p(8.6, 0.0)
    found: list[Item] = [
        Line(p(-6.0, 0.0), p(6.0, 0.0), "medium"),
        Polyline((p(6.0, 0.0), p(0.0, 2.0), p(1.5, 0.0)), closed=True, fill="paper"),
        Polyline((p(6.0, 0.0), p(0.0, -2.0), p(1.5, 0.0)), closed=True, fill="dark"),
        Text((letter[0], letter[1] - 1.5), "N", 3.0, "middle", bold=True),
    ]
    return list(on("north", found))


def widest(texts: list[str], height: float = 2.5, bold: bool = False) -> float:
    """Width of the widest of the texts [mm]; 0 when there are none."""
    return max((width(t, height, bold) for t in texts), default=0.0)
