"""The steps behind a number as the page prints them: first in the units of the job, SI beside."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

import numpy as np

from plumbrail.papers import book_values as values
from plumbrail.papers.wire_facts import capital
from plumbrail.trace import Record, Step
from plumbrail.units import from_si, show

_KINDS = {
    "N": "force", "N*m": "moment", "m": "length", "m**4": "second_moment", "m/s": "speed",
    "rad": "angle", "Pa/m": "pressure_gradient", "N/m": "line_load", "N/m**3": "unit_weight",
    "kg": "mass", "kg/m": "linear_mass", "kg/m**3": "density", "s": "time", "J": "energy",
    "V": "voltage", "A": "current", "W": "power", "ohm": "resistance", "ohm/m": "line_resistance",
}  # fmt: skip
_FIGURES = re.compile(r"(?<![A-Za-z_\d])−?\d[\d.,]*")
_FIGURE = re.compile(r"[1-9]")
_STEEL = 1e6
"""From here on a pressure [Pa] is one of materials."""
_THIN, _WALL = 0.05, 0.005
"""Walls [m] are said in decimals of an inch, thin ones with one more."""
_HOLE, _FLOOR = 0.01, 0.1
"""From here on a volume [m³], not a modulus; an area [m²] of a place, not of a section."""
_MOST = 1e15


def printed(record: Record, units: str) -> list[dict[str, Any]]:
    """``what``, ``clause``, ``certainty``, ``formula``, ``numbers`` and ``result`` of each step.

    ``numbers`` and ``result`` are in the units of the job; ``si`` is the formula filled in with
    coherent numbers, where those are others. ``number`` is 0 for a number that was given: it has
    no formula.
    """
    given = [s for s in record.steps if s.kind == "given"]
    worked = [s for s in record.steps if s.kind != "given"]
    place = {s.number: i + 1 for i, s in enumerate(worked)}
    once = {(s.provision.symbol, s.provision.source, s.value.tobytes()): s for s in given}
    return [_given(s, units) for s in once.values()] + [_step(s, place, units) for s in worked]


def _given(s: Step, units: str) -> dict[str, Any]:
    meta = s.provision
    name = values.symbol(meta.symbol)
    return {
        "number": 0, "what": capital(meta.title or "given"), "clause": meta.source,
        "certainty": meta.certainty.words, "formula": "", "numbers": "",
        "result": f"{name} = {said(s.value, meta.unit, units)}",
        "si": _aside(f"{name} = ", s, units),
    }  # fmt: skip


def _step(s: Step, place: Mapping[int, int], units: str) -> dict[str, Any]:
    meta = s.provision
    name = values.symbol(meta.symbol)
    sure = meta.certainty.words
    if s.residual is not None:
        sure = f"{sure}; misfit {s.residual:.1e}"
    result = said(s.value, meta.unit, units)
    filled = f"{name} = {values.filled_in(s, place)}" if meta.formula else ""
    numbers, si = _fed(s, place, units), _aside(f"{name} = ", s, units)
    if not meta.formula:
        numbers = f"from {numbers}" if numbers else "from the analysis"
    elif _shape(numbers) == _shape(_fed(s, place, "")):  # said in the units of the formula
        numbers = filled
    else:
        numbers, si = f"with {numbers}", f"{filled} = {values.valued(s.value, meta.unit)}"
    return {
        "number": place[s.number], "what": capital(meta.title or "step"), "clause": meta.source,
        "certainty": sure, "numbers": numbers, "result": f"{name} = {result}", "si": si,
        "formula": f"{name} = {values.printed(meta.formula)}" if meta.formula else "",
    }  # fmt: skip


def _aside(head: str, s: Step, units: str) -> str:
    """The value in SI where the job says it otherwise."""
    plain = values.valued(s.value, s.provision.unit)
    return "" if _shape(plain) == _shape(said(s.value, s.provision.unit, units)) else head + plain


def _shape(text: str) -> str:
    """Without its figures: alike where only the rounding is not."""
    return _FIGURES.sub("#", text)


def _fed(s: Step, place: Mapping[int, int], units: str) -> str:
    """``V = 105 mph, K_z = 0.85 [3]``; ``[3]``: it is the result of step 3."""
    meta, found = s.provision, []
    for name, (constant, unit) in meta.constants.items():
        found.append(f"{values.symbol(name)} = {said(constant, unit, units)}")
    for name, value in s.inputs.items():
        origin = s.origins.get(name)
        where = f" [{place[origin]}]" if origin is not None and origin in place else ""
        found.append(f"{values.symbol(name)} = {said(value, meta.units[name], units)}{where}")
    return ", ".join(found)


def said(value: object, unit: str, units: str) -> str:
    """A number, or the range of several, as the job says it; SI where it has no word for it."""
    array = np.atleast_1d(np.asarray(value, dtype=float)).ravel()
    low, high = float(array.min()), float(array.max())
    if not np.isfinite(array).all():
        return values.valued(value, unit)
    ends = [_said(low, unit, units)] + ([] if low == high else [_said(high, unit, units)])
    if not all(ends):
        return values.valued(value, unit)
    return ends[0] if len(ends) == 1 else f"{ends[0]} … {ends[1]} ({len(array)})"


def _said(value: float, unit: str, units: str) -> str:
    """Empty where the job has no word for this unit, or none was asked for."""
    size = abs(value)
    if size > _MOST or not units:
        return ""
    text = _in(value, unit, units).replace(" ", "\u00a0")  # a number is never parted from its unit
    if value and not _FIGURE.search(text):
        return ""  # too small for the unit: it would read as nothing
    return text.replace("-", "−", 1) if value < 0 else text


def _in(value: float, unit: str, units: str) -> str:
    size = abs(value)
    if unit == "m" and units == "us" and size < _THIN:
        digits = 3 if size >= _WALL else 4
        return f"{from_si(value, 'in'):.{digits}f} in"
    if unit == "m**2" and size >= _FLOOR:
        return f"{from_si(value, 'ft2'):.4g} ft²" if units == "us" else f"{value:.4g} m²"
    if unit == "m**3" and size >= _HOLE:
        return show(value, "volume", units)
    kind = {"m**2": "area", "m**3": "section_modulus"}.get(unit) or _KINDS.get(unit, "")
    if unit == "Pa":
        kind = "strength" if size >= _STEEL else "pressure"
    return show(value, kind, units) if kind else ""
