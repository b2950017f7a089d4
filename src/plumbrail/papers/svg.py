"""Writing a sheet as SVG text: black and white, real text, nothing fetched from elsewhere."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, radians, sin

from plumbrail.papers.explode import on_page
from plumbrail.papers.lettering import DESCENT, size, width
from plumbrail.papers.sheet import (
    DASHES,
    PENS,
    Arc,
    Circle,
    Hatch,
    Item,
    Line,
    Point,
    Polyline,
    Sheet,
    Text,
)

_FILLS = {None: "none", "paper": "#fff", "light": "#e4e4e4", "dark": "#000"}
_PATTERNS = (
    '<pattern id="ground" width="3" height="3" patternUnits="userSpaceOnUse" '
    'patternTransform="rotate(45)"><path d="M0 0V3" stroke="#000" stroke-width=".15"/></pattern>'
    '<pattern id="concrete" width="3" height="3" patternUnits="userSpaceOnUse">'
    '<circle cx=".6" cy=".7" r=".16"/><circle cx="2.1" cy="1.4" r=".1"/>'
    '<path d="M1 2.3l.5-.5.3.6z" fill="none" stroke="#000" stroke-width=".1"/></pattern>'
)

_LEGIBLE = 3.6
"""Pixels per millimetre at which the smallest text, 2.5 mm capitals, is 9 pixels high."""


def svg(sheet: Sheet) -> str:
    """The sheet as an SVG document whose user unit is 1 mm on paper."""
    w, h = _n(sheet.page.width), _n(sheet.page.height)
    body = "\n".join(line for mark in on_page(sheet) for line in _mark(mark, sheet.page.height))
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm" '
        f'viewBox="0 0 {w} {h}" font-family="sans-serif" role="img">\n'
        f"<title>{escaped(sheet.title)}</title>\n"
        # on a screen as wide as the window, on a phone still large enough to read and to be moved
        # about with a finger; on paper true to scale
        f"<style>@media screen{{svg:root{{width:100%;min-width:{_n(_LEGIBLE * sheet.page.width)}px;"
        f"height:auto}}}}"
        f"@page{{size:{w}mm {h}mm;margin:0}}</style>\n<defs>{_PATTERNS}</defs>\n"
        f'<rect width="{w}" height="{h}" fill="#fff"/>\n{body}\n</svg>\n'
    )


def escaped(text: str) -> str:
    """Text safe inside an element or an attribute; characters XML forbids become spaces."""
    allowed = "".join(c if c >= " " and not "\ud800" <= c <= "\udfff" else " " for c in text)
    for raw, safe in (("&", "&amp;"), ("<", "&lt;"), (">", "&gt;"), ('"', "&quot;")):
        allowed = allowed.replace(raw, safe)
    return allowed


def _n(value: float) -> str:
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _pen(name: str) -> str:
    if name in PENS:
        return f'stroke="#000" stroke-width="{PENS[name]}"'
    wide, dashes = DASHES[name]
    pattern = " ".join(_n(d) for d in dashes)
    return f'stroke="#000" stroke-width="{wide}" stroke-dasharray="{pattern}"'


def _mark(mark: Item, top: float) -> Iterator[str]:
    def xy(p: Point) -> str:
        return f"{_n(p[0])} {_n(top - p[1])}"

    match mark:
        case Line(start, end, pen):
            yield f'<path d="M{xy(start)}L{xy(end)}" {_pen(pen)}/>'
        case Polyline(points, pen, closed, fill):
            path = "L".join(xy(p) for p in points) + ("Z" if closed else "")
            yield f'<path d="M{path}" fill="{_FILLS[fill]}" {_pen(pen)}/>'
        case Circle(centre, radius, pen, fill):
            x, y = xy(centre).split()
            yield f'<circle cx="{x}" cy="{y}" r="{_n(radius)}" fill="{_FILLS[fill]}" {_pen(pen)}/>'
        case Arc(centre, radius, first, last, pen):
            ends = [
                xy((centre[0] + radius * cos(radians(a)), centre[1] + radius * sin(radians(a))))
                for a in (first, last)
            ]
            r, large = _n(radius), int((last - first) % 360 > 180)
            yield f'<path d="M{ends[0]}A{r} {r} 0 {large} 0 {ends[1]}" fill="none" {_pen(pen)}/>'
        case Hatch(points, pattern):
            path = "L".join(xy(p) for p in points)
            yield f'<path d="M{path}Z" fill="url(#{pattern})"/>'
        case Text():
            yield from _text(mark, top)


def _text(text: Text, top: float) -> Iterator[str]:
    x, y = text.at[0], top - text.at[1]
    turn = f' transform="rotate({_n(-text.angle)} {_n(x)} {_n(y)})"' if text.angle else ""
    if text.clear:
        wide = width(text.text, text.height, text.bold)
        left = x - {"start": 0.0, "middle": 0.5, "end": 1.0}[text.align] * wide
        yield (
            f'<rect x="{_n(left - 0.4)}" y="{_n(y - text.height - 0.3)}" width="{_n(wide + 0.8)}" '
            f'height="{_n(text.height * (1 + DESCENT) - 0.2)}" fill="#fff"{turn}/>'
        )
    weight = ' font-weight="bold"' if text.bold else ""
    yield (
        f'<text x="{_n(x)}" y="{_n(y)}" font-size="{_n(size(text.height))}" '
        f'text-anchor="{text.align}"{weight}{turn}>{escaped(text.text)}</text>'
    )
