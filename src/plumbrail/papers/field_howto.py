"""How to take each reading, in small pictures and words; cautions; are the instruments good enough.

Rules of the trade here are common practice, no published source.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite

import numpy as np

from plumbrail.notebook.entries import Kind
from plumbrail.papers.furniture import Area
from plumbrail.papers.lettering import wrap
from plumbrail.papers.paragraphs import Para
from plumbrail.papers.sheet import Circle, Hatch, Item, Line, Polyline, Text
from plumbrail.papers.truing_marks import arrow, said, turn
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import figures, language, later, say, tell
from plumbrail.truing.families import label
from plumbrail.truing.parts import Built, Verdict
from plumbrail.truing.points import Place, Points

HEIGHT = 62.0
CAUTIONS = (
    later("Laser: never look into the beam or let it strike eyes; set it above or below eye "
          "height."),
    later("Ladders on firm level ground, one person holds; never lean out with rod or tape."),
    later("Posts that are not braced or set can fall: brace before anybody stands near or hooks a "
          "tape."),
    later("Overhead lines: keep rod, pipe and ladder far away, at least 10 ft (3 m), and further "
          "where the utility says so. Stop in a thunderstorm."),
    later("Open holes are covered or fenced while you walk with your eyes on a tape."),
)  # fmt: skip
_RULES = (
    later("Write each reading at once, as read, with its unit; strike out, never rub out."),
    later("Say which way: front or back, left or right, above or below. Left and right are seen "
          "from the front, looking at the array."),
    later("A new laser set-up gets a new letter; read pin 1 first and last in each."),
    later("Anything that is moved or bumped: note it with the time, and read again what it "
          "touches."),
    later("Read the tape twice, feet included; the second reader has not heard the first."),
)  # fmt: skip
_WAYS = ("up", "down", "back", "front", "left", "right", "along", "across")
_GROUPS = {
    "straight.side": later("straight, seen from above"),
    "straight.height": later("straight, in height"), "level": later("level"),
    "parallel.height": later("parallel in height"), "parallel.plan": later("parallel in plan"),
    "parallel.distance": later("parallel in distance"),
    "plumb.along": later("plumb along the row"), "plumb.across": later("plumb across the row"),
    "plane": later("plane"), "tilt": later("tilt"), "spacing": later("spacing along the beams"),
    "spacing.across": later("spacing across"), "square": later("square"), "height": later("height"),
}  # fmt: skip


def notebook_words(points: Points) -> tuple[str, ...]:
    """What the notebook takes in English only, with its meaning; nothing on an English sheet."""
    if language() == "en":
        return ()
    names = [points.ids[i] for place in (Place.END, Place.PIN) for i in points.of(place)]
    told = ", ".join(f"{name} = {tell(name)}" for name in names)
    return (say("F = front row, B = back row. Names as in the .csv file: {names}.", names=told),)


def csv_words() -> tuple[str, ...]:
    """Comments over a blank notebook, in the language of the crew; none in English."""
    if language() == "en":
        return ()
    return (say("Write each value with its unit and a decimal point: 4 ft 3 1/2 in or 1.31 m."),
            _ways(), say("To strike a row out begin its note with: struck"))  # fmt: skip


def _ways() -> str:
    pairs = ", ".join(f"{way} = {tell(way)}" for way in _WAYS)
    return say("In the .csv file directions are written in English: {pairs}.", pairs=pairs)


def rules() -> list[Para]:
    """How to write it down, then cautions."""
    found = [Para(say("Write it down"), 3.2, True, 0.0, together=True)]
    found += [Para(say(r), bullet=True) for r in _RULES]
    if language() != "en":
        found += [Para(w, bullet=True) for w in csv_words()]
    found.append(Para(say("Cautions"), 3.2, True, 3.5, together=True))
    return found + [Para(say(c), bullet=True) for c in CAUTIONS]


def instruments(expected: Built | None, job: JobInfo) -> list[Para]:
    """Whether the readings of this sheet can tell inside from outside, for each tolerance."""
    found = [Para(say("Are the instruments good enough?"), 3.2, True, 3.5, together=True)]
    if expected is None:
        return [*found, Para(say("Not worked out for this sheet."), bullet=True)]
    kinds = [label(id).kind for id in expected.ids]
    for kind, name in _GROUPS.items():
        which = [i for i, k in enumerate(kinds) if k == kind]
        if which:
            verdict, words = _good(expected, which, job)
            found.append(Para(f"{say(name)}: {words}", verdict=verdict, before=1.0))
    return found


def _good(expected: Built, which: Sequence[int], job: JobInfo) -> tuple[Verdict, str]:
    pick = list(which)
    half = float(np.min(0.5 * (expected.high[pick] - expected.low[pick])))
    sd = float(np.max(expected.sd[pick])) * expected.factor
    angle = bool(expected.angle[pick[0]])

    def shown(value: float) -> str:
        words = turn(value, signed=False) if angle else said(job, value)
        if not words.startswith("0\u00a0") and words != figures("0.0°"):
            return words
        return figures("0.1°") if angle else said(job, 0.0254 / 16 if job.units == "us" else 0.001)

    if not isfinite(half):
        return Verdict.UNSTATED, say("no tolerance stated, not checked")
    if not isfinite(sd):
        return Verdict.UNMEASURED, say("these readings do not tell it everywhere")
    words = say("± {sure} of ± {allowed} allowed", sure=shown(sd), allowed=shown(half))
    if sd >= half:
        return Verdict.OUTSIDE, f"{words}: {say('not good enough to show anything inside')}"
    if sd > 0.5 * half:
        return Verdict.UNSURE, f"{words}: {say('only just')}"
    return Verdict.INSIDE, f"{words}: {say('good enough')}"


def pictures(area: Area, kinds: Sequence[Kind]) -> list[Item]:
    """Five small pictures in a row at the top of an area; ``kinds``: those that are wanted."""
    made = (
        (Kind.ROD, say("ROD"), say("Stand it plumb on top of the pipe, straight over the post. "
         "Rock it: the least reading counts."), _rod),
        (Kind.TAPE, say("TAPE"), say("Hook the same side of both pipes: that is centre to centre. "
         "Never left side to right side."), _tape),
        (Kind.STRING_SIDE, say("STRING"), say("Tight on equal blocks at both ends. Measure to the "
         "string, subtract the block."), _string),
        (Kind.PLUMB, say("PLUMB"), say("Level on two faces a quarter turn apart; turn it end for "
         "end and take the middle."), _plumb),
        (Kind.TILT, say("TILT"), say("Straight trial rail across both beams; gauge both ways "
         "round, take the middle."), _tilt),
    )  # fmt: skip
    wide = area.width / len(made)
    items: list[Item] = []
    for k, (kind, name, words, draw) in enumerate(made):
        left = area.left + k * wide
        asked = kind in kinds or (kind is Kind.STRING_SIDE and Kind.STRING_HEIGHT in kinds)
        title = name if asked else f"{name}: {say('not asked here')}"
        items.append(Text((left + 1.5, area.top - 4.2), title, 3.0 if asked else 2.5,
                          bold=True))  # fmt: skip
        items += draw(left + 0.5 * wide, area.top - 33.0)
        lines = wrap(words, wide - 5.0, 2.5)
        items += [
            Text((left + 1.5, area.top - 40.5 - 4.0 * i), line) for i, line in enumerate(lines)
        ]
    return items


def _pipe(x: float, y: float, r: float = 4.0) -> Circle:
    return Circle((x, y), r, "medium", "paper")


def _rod(x: float, y: float) -> list[Item]:
    staff = ((x - 1.0, y + 8.0), (x + 1.0, y + 8.0), (x + 1.0, y + 25.0), (x - 1.0, y + 25.0))
    items: list[Item] = [
        Line((x - 1.8, y - 3.0), (x - 1.8, y), "medium"),
        Line((x + 1.8, y - 3.0), (x + 1.8, y), "medium"), _pipe(x, y + 4.0),
        Polyline(staff, "medium", True, "paper"),
        Line((x - 15.0, y + 20.0), (x + 15.0, y + 20.0), "centre"),
    ]  # fmt: skip
    items += arrow((x + 5.0, y + 14.0), (x + 5.0, y + 20.0))
    return items + arrow((x + 5.0, y + 14.0), (x + 5.0, y + 8.0))


def _tape(x: float, y: float) -> list[Item]:
    a, b = x - 13.0, x + 11.0
    return [
        _pipe(a, y + 9.0), _pipe(b, y + 9.0), Line((a - 4.0, y + 9.0), (a - 4.0, y + 18.0)),
        Line((b - 4.0, y + 9.0), (b - 4.0, y + 18.0)),
        *arrow((x, y + 16.0), (a - 4.0, y + 16.0)), *arrow((x, y + 16.0), (b - 4.0, y + 16.0)),
        Line((a - 4.0, y + 12.0), (a - 4.0, y + 6.0), "heavy"),
        Line((b - 4.0, y + 12.0), (b - 4.0, y + 6.0), "heavy"),
    ]  # fmt: skip


def _string(x: float, y: float) -> list[Item]:
    def block(at: float) -> Polyline:
        return Polyline(((at - 1.4, y + 6.0), (at + 1.4, y + 6.0), (at + 1.4, y + 12.0),
                         (at - 1.4, y + 12.0)), "medium", True, "light")  # fmt: skip

    beam = ((x - 20.0, y + 2.0), (x, y + 4.0), (x + 20.0, y + 2.0), (x + 20.0, y + 6.0),
            (x, y + 8.0), (x - 20.0, y + 6.0))  # fmt: skip
    return [
        Polyline(beam, "medium", True, "paper"), block(x - 18.0), block(x + 18.0),
        Line((x - 22.0, y + 12.0), (x + 22.0, y + 12.0), "hidden"),
        *arrow((x, y + 17.0), (x, y + 12.0)), Line((x, y + 8.0), (x, y + 12.0), "heavy"),
    ]  # fmt: skip


def _plumb(x: float, y: float) -> list[Item]:
    post = ((x - 2.5, y), (x + 2.5, y), (x + 4.0, y + 24.0), (x - 1.0, y + 24.0))
    soil = ((x - 14.0, y), (x + 14.0, y), (x + 14.0, y - 2.5), (x - 14.0, y - 2.5))
    level = ((x - 5.4, y + 4.0), (x - 2.8, y + 4.0), (x - 1.6, y + 20.0), (x - 4.2, y + 20.0))
    return [
        Hatch(soil, "ground"), Line((x - 14.0, y), (x + 14.0, y), "medium"),
        Polyline(post, "medium", True, "paper"), Polyline(level, "medium", True, "light"),
        Circle((x - 3.4, y + 12.0), 0.9, "medium", "paper"),
        Line((x, y), (x, y + 25.5), "centre"), *arrow((x + 5.5, y + 23.0), (x + 9.5, y + 23.0)),
    ]  # fmt: skip


def _tilt(x: float, y: float) -> list[Item]:
    rail = ((x - 18.0, y + 4.6), (x + 18.0, y + 20.6), (x + 17.2, y + 22.6), (x - 18.8, y + 6.6))
    gauge = ((x - 3.0, y + 13.6), (x + 3.0, y + 16.2), (x + 1.8, y + 19.0), (x - 4.2, y + 16.4))
    return [
        _pipe(x - 11.0, y + 4.0, 3.2), _pipe(x + 12.0, y + 14.2, 3.2),
        Polyline(rail, "medium", True, "paper"), Polyline(gauge, "medium", True, "light"),
        Line((x - 18.0, y - 1.0), (x + 18.0, y - 1.0)),
    ]  # fmt: skip
