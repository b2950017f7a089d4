"""Writing sheets as one DXF file: views at real size, and a paper layout for each sheet.

Lengths are inches on US papers and millimetres on metric ones. The views lie side by side in the
model space (:mod:`plumbrail.papers.dxf_places`); each sheet is a layout of its own that looks at
its views through viewports at their scales and has title, tables and notes in page millimetres.
The names of parts lie in the model space too, on a layer that is frozen in every viewport.
"""

from __future__ import annotations

from collections.abc import Sequence
from io import StringIO
from typing import TYPE_CHECKING, Literal

from plumbrail import __version__
from plumbrail.papers.dxf_items import Brush
from plumbrail.papers.dxf_places import Place, places
from plumbrail.papers.dxf_setup import PLAIN, UNITS, fixed_dates, new_document
from plumbrail.papers.dxf_text import plain_words, table_name
from plumbrail.papers.names import LAYER
from plumbrail.papers.sheet import SMALLEST_TEXT, Item, Page, Sheet, Text

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts.layout import Paperspace

_LOCKED = 16384


def dxf(sheets: Sequence[Sheet], units: Literal["us", "metric"], title: str = "") -> bytes:
    """The sheets as a DXF file of release 2010, the same bytes for the same sheets.

    Dates in the file are fixed, not those of today. Raises ValueError for no sheets and for a
    layer that is not in the list, AssertionError when the file would not pass its audit.
    """
    if not sheets:
        raise ValueError("a DXF file needs at least one sheet")
    with fixed_dates():
        doc = new_document(units)
        _about(doc, title or sheets[0].title)
        placed = places(sheets, units)
        for number, place in enumerate(placed, start=1):
            _model_space(doc, place, number, units)
        taken: set[str] = {"model"}
        layouts = [
            _paper_space(doc, sheet, table_name(f"{i + 1} {sheet.title}", taken), i == 0)
            for i, sheet in enumerate(sheets)
        ]
        for place in placed:
            _viewport(layouts[place.sheet], place, units)
        for sheet, layout in zip(sheets, layouts, strict=True):
            page = Brush(layout, UNITS[units], None)
            for item in text_last(sheet.items):
                page.draw(item)
        return _written(doc)


def text_last(items: Sequence[Item]) -> list[Item]:
    """The items with the words at the end, so that lines do not run over them."""
    return sorted(items, key=lambda item: isinstance(item, Text))


def _about(doc: Drawing, title: str) -> None:
    doc.header.custom_vars.append("Title", plain_words(title))
    doc.header.custom_vars.append("Program", f"plumbrail {__version__}")


def _model_space(doc: Drawing, place: Place, number: int, units: Literal["us", "metric"]) -> None:
    """One view at real size, kept together as a group; a note under it names its zero point."""
    space, view = doc.modelspace(), place.view
    brush = Brush(space, UNITS[units], view, place.shift)
    before = len(space)
    for item in text_last(view.items):
        brush.draw(item)
    for text in view.names:
        brush.draw(text)
    name = plain_words(view.name)
    group = doc.groups.new(f"view-{number}", description=name, selectable=False)
    group.extend(list(space)[before:])
    unit = "in" if units == "us" else "mm"
    note = f"{name}: 1:{view.scale:g}, its zero at x = {place.shift[0]:g} {unit}, y = 0"
    x, y = brush.from_page(place.window.low)
    origins = {"layer": "origins"}
    space.add_point(place.shift, origins)
    words = space.add_text(
        note, height=SMALLEST_TEXT * brush.mm, dxfattribs=origins | {"style": PLAIN}
    )
    words.set_placement((x, y - 5.0 * brush.mm))


def _paper_space(doc: Drawing, sheet: Sheet, name: str, first: bool) -> Paperspace:
    if first:
        doc.layouts.rename("Layout1", name)
    layout = doc.paperspace(name) if first else doc.layouts.new(name)
    _page(layout, sheet.page)
    return layout


def _page(layout: Paperspace, page: Page) -> None:
    layout.page_setup(size=(page.width, page.height), units="mm", name=page.name, device="none")
    for whole in layout.viewports():  # the one for the sheet itself, which the format asks for
        whole.dxf.layer = "viewports"


def _viewport(layout: Paperspace, place: Place, units: Literal["us", "metric"]) -> None:
    """A window of the sheet on the model space, at the scale of the view."""
    window, look = place.window, Brush(layout, UNITS[units], place.view, place.shift)
    made = layout.add_viewport(
        window.middle, window.size, look.from_page(window.middle), window.size[1] * look.mm,
        dxfattribs={"layer": "viewports", "flags": _LOCKED},
    )  # fmt: skip
    made.freeze(LAYER)


def _written(doc: Drawing) -> bytes:
    auditor = doc.audit()
    if auditor.has_errors or auditor.has_fixes:
        found = [e.message for e in (*auditor.errors, *auditor.fixes)]
        raise AssertionError(f"the DXF file is not sound: {found[:3]}")
    stream = StringIO()
    doc.write(stream)
    return stream.getvalue().encode("utf-8")
