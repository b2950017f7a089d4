"""Quantities at the doors: text with a unit in, SI inside, feet-inches or metric out.

* :func:`to_si`, :func:`from_si`, :func:`si_unit`: numbers of a table in its printed unit.
* :func:`parse`: what a person wrote, to SI.
* :func:`show`, :func:`show_length_inches`: SI to what a person reads.
* :func:`print_words`: words with units as a plan writes them, as they are printed.
* :data:`UNITS`, :data:`ALIASES`, :data:`KINDS`: every unit and kind, for the documentation.
"""

from plumbrail.units.kinds import KINDS, Kind
from plumbrail.units.reading import parse
from plumbrail.units.showing import print_words, show, show_length_inches
from plumbrail.units.table import ALIASES, UNITS, Unit, from_si, si_unit, to_si

__all__ = [
    "ALIASES", "KINDS", "UNITS", "Kind", "Unit",
    "from_si", "parse", "print_words", "show", "show_length_inches", "si_unit", "to_si",
]  # fmt: skip
