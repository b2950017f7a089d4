"""A sheet as SVG for the PDF, lettered in the monospaced sans-serif face that comes with Typst.

That face is the only one without serifs there. Its letters are all as wide as each other; each
line of words is made narrower until it keeps the width it was given on the drawing, the height of
its letters unchanged.
"""

from __future__ import annotations

from plumbrail.papers.explode import on_page
from plumbrail.papers.lettering import DESCENT, size, width
from plumbrail.papers.sheet import Sheet, Text
from plumbrail.papers.svg import escaped, svg

FACE = "DejaVu Sans Mono"
ADVANCE = 1233 / 2048
"""Width of every letter as a share of the type size, read from the file of the face."""
WIDEST = 0.88
"""Never wider than this share, so that all words of a sheet look alike."""
_START = {"start": 0.0, "middle": 0.5, "end": 1.0}


def sheet_svg(sheet: Sheet) -> str:
    """The sheet as an SVG document whose words keep their widths in :data:`FACE`."""
    marks = on_page(sheet)
    lines = tuple(m for m in marks if not isinstance(m, Text))
    words = [_words(m, sheet.page.height) for m in marks if isinstance(m, Text) and m.text.strip()]
    bare = svg(Sheet(sheet.title, sheet.page, (), lines))
    return bare.removesuffix("</svg>\n") + "\n".join([*words, "</svg>\n"])


def squeeze(text: Text) -> float:
    """Share of its own width at which a text is drawn."""
    own = len(text.text) * ADVANCE * size(text.height)
    return min(WIDEST, width(text.text, text.height, text.bold) / own)


def _words(text: Text, top: float) -> str:
    share, type_size = squeeze(text), size(text.height)
    wide = share * len(text.text) * ADVANCE * type_size
    back = ""
    if text.clear:
        left, up = -_START[text.align] * wide - 0.4, -text.height - 0.3
        high = text.height * (1 + DESCENT) - 0.2
        back = f'<rect x="{left:.3f}" y="{up:.3f}" width="{wide + 0.8:.3f}" height="{high:.3f}" '
        back += 'fill="#fff"/>'
    weight = ' font-weight="bold"' if text.bold else ""
    return (
        f'<g transform="translate({text.at[0]:.3f} {top - text.at[1]:.3f}) '
        f'rotate({-text.angle:.3f})">{back}<text transform="scale({share:.4f} 1)" '
        f'font-family="{FACE}" font-size="{type_size:.3f}" text-anchor="{text.align}"{weight}>'
        f"{escaped(text.text)}</text></g>"
    )
