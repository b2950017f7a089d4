"""Marks and figures of the papers of truing: signs that need no colour, small lengths with a sign.

Shapes on a page are in millimetres.
"""

from __future__ import annotations

from math import degrees, isfinite

from plumbrail.papers.lettering import width
from plumbrail.papers.sheet import Circle, Item, Line, Point, Polyline, Text
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import figures, later, say
from plumbrail.truing.parts import Verdict
from plumbrail.units import show_length_inches

MARK = 4.0
"""Width kept for a mark beside its figure [mm]."""
MEANINGS = {
    Verdict.INSIDE: later("inside tolerance"), Verdict.OUTSIDE: later("outside"),
    Verdict.UNSURE: later("too uncertain to say"), Verdict.UNMEASURED: later("not measured"),
    Verdict.UNSTATED: later("no tolerance stated: not checked"),
}  # fmt: skip
_GRAVE = (
    Verdict.OUTSIDE, Verdict.UNSURE, Verdict.INSIDE, Verdict.UNSTATED, Verdict.UNMEASURED,
)  # fmt: skip


def gravest(verdicts: list[Verdict]) -> Verdict | None:
    """The one that matters most to a person on site; None of none."""
    return min(verdicts, key=_GRAVE.index, default=None)


def mark(verdict: Verdict | None, at: Point, size: float = 1.4) -> list[Item]:
    """The sign of a verdict about a point; a dot where there is no value."""
    x, y = at
    match verdict:
        case None:
            return [Circle(at, 0.6, "thin", "dark")]
        case Verdict.INSIDE:
            return [Circle(at, size, "medium", "paper")]
        case Verdict.OUTSIDE:
            h, w = 1.25 * size, 1.35 * size
            return [Polyline(((x - w, y - h), (x + w, y - h), (x, y + h)), "medium", True, "dark")]
        case Verdict.UNSURE:
            high = max(2.5, 1.6 * size)
            asked = Text((x, y - 0.5 * high), "?", high, "middle", bold=True)
            return [Circle(at, 1.45 * size, "thin", "paper"), asked]
        case Verdict.UNMEASURED:
            dash = Line((x - 0.8 * size, y), (x + 0.8 * size, y), "heavy")
            return [Circle(at, 1.45 * size, "thin", "paper"), dash]
    spots = ((x - size, y), (x, y - size), (x + size, y), (x, y + size))
    return [Polyline(spots, "medium", True, "paper")]


def small(job: JobInfo, value: float, signed: bool = True) -> str:
    """A small length without its unit: ``+3/16`` inches, or ``-4`` whole millimetres."""
    if not isfinite(value):
        return "–"
    if job.units == "us":
        words = show_length_inches(abs(value)).removesuffix('"')
    else:
        words = figures(f"{round(1000.0 * abs(value)):d}")
    if words == "0" or not signed:
        return words
    return f"-{words}" if value < 0 else f"+{words}"


def turn(value: float, signed: bool = True) -> str:
    """An angle in degrees to one decimal, with its sign."""
    if not isfinite(value):
        return "–"
    words = f"{degrees(value):+.1f}°" if signed else f"{degrees(value):.1f}°"
    return figures(words if words.strip("+-") != "0.0°" else "0.0°")


def unit(job: JobInfo) -> str:
    """What small figures are in."""
    return say("inches") if job.units == "us" else say("millimetres")


def said(job: JobInfo, value: float) -> str:
    """A small length in a sentence, with its unit, kept on one line."""
    words = f"{small(job, value, signed=False)} {short_unit(job)}"
    return words.replace(" ", "\u00a0")


def short_unit(job: JobInfo) -> str:
    """``in`` or ``mm``."""
    return say("in") if job.units == "us" else "mm"


def figure(verdict: Verdict | None, words: str, at: Point, bold: bool = False) -> list[Item]:
    """A mark and its figure, together centred on ``at`` (base line of the letters)."""
    x, y = at
    wide = width(words, 2.5, bold)
    if verdict is None or words == "–":
        return [Text(at, words, align="middle", bold=bold)]
    left = x - 0.5 * (MARK + wide)
    return [*mark(verdict, (left + 1.6, y + 1.25), 1.2), Text((left + MARK, y), words, bold=bold)]


def arrow(start: Point, end: Point, pen: str = "medium", head: float = 1.8) -> list[Item]:
    """An arrow with a filled head."""
    (x0, y0), (x1, y1) = start, end
    length = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
    u, v = (x1 - x0) / length, (y1 - y0) / length
    foot = (x1 - head * u, y1 - head * v)
    sides = ((foot[0] - 0.5 * head * v, foot[1] + 0.5 * head * u),
             (foot[0] + 0.5 * head * v, foot[1] - 0.5 * head * u))  # fmt: skip
    return [Line(start, foot, pen), Polyline((end, *sides), "thin", True, "dark")]


def ring(number: str, at: Point) -> list[Item]:
    """A number in a ring, centred on ``at``."""
    radius = ring_radius(number)
    return [
        Circle(at, radius, "medium", "paper"),
        Text((at[0], at[1] - 1.25), number, 2.5, "middle", bold=True),
    ]


def ring_radius(number: str) -> float:
    """Radius of the ring round a number [mm]."""
    return max(0.5 * width(number, 2.5, True) + 0.7, 2.4)


def box(left: float, low: float, size: float = 3.6) -> Polyline:
    """An empty square to tick."""
    return Polyline(
        ((left, low), (left + size, low), (left + size, low + size), (left, low + size)),
        "medium", True, "paper",
    )  # fmt: skip
