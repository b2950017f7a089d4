"""An empty CAD document with our layers, dash patterns, text styles and dimension styles."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from plumbrail.papers.layers import LAYERS
from plumbrail.papers.sheet import DASHES, SMALLEST_TEXT

if TYPE_CHECKING:
    from ezdxf.document import Drawing

BLACK = 7
"""Colour index that is black on paper and on a light screen, white on a dark one."""
PLAIN, BOLD = "plain", "bold"
_FONTS = {PLAIN: "arial.ttf", BOLD: "arialbd.ttf"}
"""The name CAD programs replace by the plain sans-serif face of the machine."""
_TICK = 0.84


@dataclass(frozen=True, slots=True)
class Units:
    """The unit of the model space."""

    per_metre: float
    insunits: int
    """As the format counts units: 1 inch, 4 millimetre."""
    measurement: int
    """0 imperial, 1 metric."""
    writing: int
    """How a CAD program writes lengths: 4 feet and fractional inches, 2 decimal."""
    places: int
    """Sixteenths as a power of two, or decimal places."""

    @property
    def per_millimetre(self) -> float:
        """Drawing units to the millimetre of paper at full size."""
        return self.per_metre / 1000.0


UNITS = {"us": Units(1 / 0.0254, 1, 0, 4, 4), "metric": Units(1000.0, 4, 1, 2, 0)}
"""Inches or millimetres, at real size."""


@contextmanager
def fixed_dates() -> Iterator[None]:
    """Inside, documents get fixed dates and identifiers, so that a repeat has the same bytes."""
    import ezdxf

    options = ezdxf.options  # type: ignore[attr-defined]  # documented, not in its list of exports
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def new_document(units: Literal["us", "metric"]) -> Drawing:
    """A document of release 2010 (the first that editors of today all read, in Unicode)."""
    from ezdxf.filemanagement import new

    doc, unit = new("R2010"), UNITS[units]
    for name, value in (
        ("$INSUNITS", unit.insunits), ("$MEASUREMENT", unit.measurement), ("$LUNITS", unit.writing),
        ("$LUPREC", unit.places), ("$LTSCALE", 1.0), ("$PSLTSCALE", 1), ("$LWDISPLAY", 1),
    ):  # fmt: skip
        doc.header[name] = value
    for name, (_, dashes) in DASHES.items():
        # pen down, pen up in turn; lengths are those on paper
        lengths = [d if i % 2 == 0 else -d for i, d in enumerate(dashes)]
        doc.linetypes.add(name, [sum(dashes), *lengths], description=f"plumbrail {name}")
    for style, font in _FONTS.items():
        doc.styles.add(style, font=font)
    for layer in LAYERS.values():
        made = doc.layers.add(
            layer.name, color=BLACK, linetype=layer.linetype or "Continuous",
            lineweight=weight(layer.weight), plot=layer.printed,
        )  # fmt: skip
        made.description = layer.holds
    return doc


def weight(millimetres: float) -> int:
    """A width as the format writes it, in hundredths of a millimetre."""
    return round(100 * millimetres)


def dimension_style(doc: Drawing, ratio: float, mm: float, unit: Units) -> str:
    """Name of the dimension style of a scale, made at its first use.

    Its sizes are those on paper; ``mm`` is the number of drawing units to a millimetre of paper.
    """
    name = f"1-{ratio:g}" if ratio != 1.0 else "page"
    if name not in doc.dimstyles:
        style = doc.dimstyles.add(name)
        for key, value in (
            ("dimscale", mm), ("dimtxt", SMALLEST_TEXT), ("dimtxsty", PLAIN), ("dimtsz", _TICK),
            ("dimexe", 1.2), ("dimexo", 1.0), ("dimgap", 0.9), ("dimdle", 0.0), ("dimtad", 1),
            ("dimtih", 0), ("dimtoh", 0), ("dimtofl", 1), ("dimtmove", 2), ("dimtfill", 1),
            ("dimlunit", unit.writing), ("dimdec", unit.places), ("dimzin", 3), ("dimfrac", 2),
            ("dimlwd", 18), ("dimlwe", 18), ("dimclrd", 256), ("dimclre", 256), ("dimclrt", 256),
        ):  # fmt: skip
            style.dxf.set(key, value)
    return name
