"""The key of the picture of truing: signs, lines, and a bar for the size of deviations."""

from __future__ import annotations

from plumbrail.papers.furniture import Area
from plumbrail.papers.lettering import width
from plumbrail.papers.sheet import Item, Line, Polyline, Text
from plumbrail.papers.truing_band import Look
from plumbrail.papers.truing_marks import MEANINGS, arrow, mark, short_unit, small, unit
from plumbrail.papers.words import figures, say

LEGEND = 17.5
"""Height kept for the key [mm]."""
_PITCH = 5.2


def legend(area: Area, look: Look, factor: int, to_scale: bool) -> list[Item]:
    """Three lines at the foot of an area."""
    y = area.bottom + 2 * _PITCH + 1.2
    items: list[Item] = [Line((area.left, y + 4.6), (area.right, y + 4.6))]
    x = area.left + 2.0
    for verdict, meaning in MEANINGS.items():
        words = say(meaning)
        items += mark(verdict, (x + 1.6, y + 1.25))
        items.append(Text((x + 5.0, y), words))
        x += 5.0 + width(words, 2.5) + 6.0
    items += _lines(area.left + 2.0, y - _PITCH, look)
    return items + _size(area, y - 2 * _PITCH, look, factor if to_scale else 0)


def _lines(x: float, y: float, look: Look) -> list[Item]:
    middle = y + 1.25
    items: list[Item] = []
    for pen, words in (("heavy", say("as built")), ("hidden", say("tolerance"))):
        items += [Line((x, middle), (x + 8, middle), pen), Text((x + 9.5, y), words)]
        x += 9.5 + width(words, 2.5) + 5.0
    items += [Line((x, y - 0.8), (x, y + 3.2), "medium"),
              Line((x - 0.8, y - 0.8), (x + 0.8, y - 0.8), "medium"),
              Line((x - 0.8, y + 3.2), (x + 0.8, y + 3.2), "medium")]  # fmt: skip
    words = say("how sure, {share} %", share=figures(f"{100 * look.confidence:g}"))
    items.append(Text((x + 2.5, y), words))
    x += 2.5 + width(words, 2.5) + 5.0
    items += arrow((x, y - 0.8), (x, y + 3.2), "heavy", 2.4)
    words = say("move, ! thought fixed")
    items.append(Text((x + 3.0, y), words))
    x += 3.0 + width(words, 2.5) + 5.0
    words = say("post leans from foot to head")
    square = ((x, y + 0.5), (x + 1.4, y + 0.5), (x + 1.4, y + 1.9), (x, y + 1.9))
    items += [Line((x + 1.4, y + 1.2), (x + 5.4, y + 1.2), "medium"),
              Polyline(square, "medium", True, "paper"),
              Text((x + 7.0, y), words)]  # fmt: skip
    x += 7.0 + width(words, 2.5) + 5.0
    return [*items, Text((x, y), say("sign: gravest of all values"))]


def _size(area: Area, y: float, look: Look, factor: int) -> list[Item]:
    one = 0.0254 / 4 if look.job.units == "us" else 0.005
    while one * look.per_metre > 22.0:
        one /= 2 if look.job.units == "us" else 5
    while one * look.per_metre < 2.0:
        one *= 2
    long = one * look.per_metre
    x, middle = area.left + 2.0, y + 1.25
    words = say("deviations drawn as large as the spacing of the posts")
    if factor > 1:
        words = say("deviations drawn {factor} times too large against the spacing of the posts",
                    factor=factor)  # fmt: skip
    if not factor:
        words = say("deviations drawn much too large, posts not spaced to scale")
    size = f"{small(look.job, one, signed=False)} {short_unit(look.job)}"
    parts = say("this long is {size}; {words}. Beam ends drawn short. Figures in {unit}.",
                size=size, words=words, unit=unit(look.job))  # fmt: skip
    return [
        Line((x, middle), (x + long, middle), "heavy"),
        Line((x, y + 0.2), (x, y + 2.3), "medium"),
        Line((x + long, y + 0.2), (x + long, y + 2.3), "medium"),
        Text((x + long + 2.5, y), parts),
    ]
