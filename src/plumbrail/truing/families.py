"""How each kind of value is called where many are put in one line."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from plumbrail.units import show, show_length_inches


@dataclass(frozen=True, slots=True)
class Family:
    """Words for one kind of value."""

    title: str
    """``level of the front beam``; ``{row}`` is front or back."""
    noun: str
    """What the values are counted in."""
    more: str
    """Which way a value is wrong above its limits."""
    less: str


_FAMILIES = {
    "straight.side": Family("line of the {row} beam seen from above", "places", "to the back",
                            "to the front"),
    "straight.height": Family("line of the {row} beam in height", "places", "high", "low"),
    "level": Family("level of the {row} beam", "posts", "high", "low"),
    "parallel.height": Family("beams parallel in height", "stations", "too much", "too little"),
    "parallel.plan": Family("beams parallel seen from above", "stations", "wide", "narrow"),
    "parallel.distance": Family("beams parallel in distance", "stations", "wide", "narrow"),
    "plumb.along": Family("plumb of the posts along the row", "posts", "to the right",
                          "to the left"),
    "plumb.across": Family("plumb of the posts across the row", "posts", "to the back",
                           "to the front"),
    "plane": Family("beams in one plane", "posts", "high", "low"),
    "tilt": Family("tilt", "stations", "too steep", "too flat"),
    "spacing": Family("spacing along the {row} beam", "bays", "long", "short"),
    "spacing.across": Family("spacing from beam to beam", "stations", "wide", "narrow"),
    "square": Family("back posts square behind their front posts", "stations", "to the right",
                     "to the left"),
    "height": Family("height over pin 1", "posts", "high", "low"),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Label:
    """An id taken apart: ``front.straight.height.F3``."""

    row: str
    """``front``, ``back`` or empty."""
    kind: str
    """``straight.height``."""
    place: str
    """``F3``, ``station 3``, ``left end``, ``F1 to F2``."""

    @property
    def family(self) -> Family:
        """Its words."""
        return _FAMILIES[self.kind]

    @property
    def title(self) -> str:
        """Its title with the row filled in."""
        return self.family.title.format(row=self.row)


@lru_cache(maxsize=4096)
def label(id: str) -> Label:
    """Take the id of a value apart."""
    parts = id.split(".")
    row = parts.pop(0) if parts[0] in {"front", "back"} else ""
    place = next(p for p in parts if re.search(r"\d|^left$|^right$", p))
    kind = ".".join(p for p in parts if p != place)
    if place.isdecimal():
        place = f"station {place}"
    elif place in {"left", "right"}:
        place = f"{place} end"
    return Label(row, kind, place.replace("-", " to "))


def amounts(values: list[float], angle: bool, units: str) -> list[str]:
    """Sizes as read on site, with more digits where two different ones would read the same."""
    for step in range(3):
        texts = [_amount(abs(v), angle, units, step) for v in values]
        if len(set(texts)) >= len({round(abs(v), 9) for v in values}):
            break
    return texts


def _amount(value: float, angle: bool, units: str, step: int) -> str:
    if angle:
        return f"{value * 57.29577951308232:.{step + 1}f}°"
    if units == "us":
        return show_length_inches(value, (16, 32, 64)[step]).removesuffix('"') + " in"
    return show(value, "length", units)
