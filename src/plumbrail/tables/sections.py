"""Round steel sections and steels: from the tables by trade name, or a tube by its dimensions."""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass
from functools import cache

import numpy as np

from plumbrail.errors import TableError
from plumbrail.tables.loader import Table, load
from plumbrail.trace import Certainty, require

GRAVITY = 9.80665
"""Standard gravity in m/s^2, for the weight of a mass."""
_SERIES = {"STD": "STD", "STANDARD": "STD", "XS": "XS", "XSTRONG": "XS", "EXTRASTRONG": "XS"}
_NAME = re.compile(
    r"(?:NPS|PIPE)?\s*(?P<whole>\d+)?(?P<decimal>\.\d+)?(?:(?:^|[\s-]*)(?P<part>\d/\d))?"
    r"\s*(?:\"|IN\.?|INCH)?\s*(?P<series>STD|STANDARD|X-?STRONG|XS|EXTRA STRONG"
    r"|SCH(?:EDULE)?\.?\s*(?P<schedule>\d+))$"
)


@dataclass(frozen=True, slots=True)
class PipeSection:
    """A round hollow section in SI units."""

    name: str
    OD: float
    """Outside diameter [m]."""
    t_nom: float
    """Nominal wall [m], for weight, bore and fit."""
    t: float
    """Design wall [m], for strength."""
    mass: float
    """Mass per length [kg/m]."""
    A: float
    I: float  # noqa: E741
    S: float
    Z: float
    r: float
    J: float
    source: str
    certainty: Certainty

    @property
    def weight(self) -> float:
        """Weight per length [N/m]."""
        return self.mass * GRAVITY

    @property
    def bore(self) -> float:
        """Inside diameter from the nominal wall [m]."""
        return self.OD - 2 * self.t_nom


@dataclass(frozen=True, slots=True)
class SteelGrade:
    """A structural steel in SI units (Pa, kg/m^3)."""

    name: str
    F_y: float
    F_u: float
    E: float
    density: float
    source: str
    certainty: Certainty


@cache
def pipe(name: str) -> PipeSection:
    """The pipe of a trade name such as ``NPS 2-1/2 STD`` or ``2 1/2 Sch 40``.

    Raises TableError with the nearest names and the whole list for a name not in the table.
    """
    table = load("aisc", "pipe")
    key = _trade_name(name, table)
    names = table.words["name"]
    if key not in names:
        raise TableError(_unknown(f"pipe {name!r}", key or name, names, table.source))
    row = {c: float(table.numbers[c][names.index(key)]) for c in table.numbers}
    return PipeSection(
        key, row["OD"], row["t_nom"], row["t_des"], row["weight"], row["A"], row["I"], row["S"],
        row["Z"], row["r"], row["J"], f"{table.source}, {key}", table.certainty,
    )  # fmt: skip


def pipe_names() -> tuple[str, ...]:
    """Every pipe name of the table, in its order."""
    return load("aisc", "pipe").words["name"]


def round_tube(OD: float, t: float, design_factor: float, density: float) -> PipeSection:
    """A round tube that is in no table, from its outside diameter and nominal wall [m].

    ``design_factor`` times the wall is the design wall: 0.93 for electric-welded tube to AISC
    360 B4.2, 1.0 where the mill guarantees the wall. ``density`` in kg/m^3.
    """
    require("wall over outside diameter", 1e-4, t / OD, 0.5, "geometry",
            "Give the wall and the outside diameter of a tube.")  # fmt: skip
    require("design wall factor", 0.5, design_factor, 1.0, "AISC 360-22 B4.2",
            "Give 0.93, or 1.0 where the mill guarantees the wall.")  # fmt: skip
    t_des = t * design_factor
    d = OD - 2 * t_des
    A, I = np.pi / 4 * (OD**2 - d**2), np.pi / 64 * (OD**4 - d**4)  # noqa: E741
    mass = density * np.pi * (OD - t) * t
    return PipeSection(
        f"tube {OD * 1e3:.4g} x {t * 1e3:.3g} mm", OD, t, t_des, float(mass), float(A), float(I),
        float(2 * I / OD), (OD**3 - d**3) / 6, float(np.sqrt(I / A)), float(2 * I),
        "dimensions in the plan", Certainty.DERIVED,
    )  # fmt: skip


@cache
def steel(name: str) -> SteelGrade:
    """The steel of a name such as ``ASTM A53 B`` or ``A500 Gr C round``.

    Raises TableError with the nearest names and the whole list for a name in no table.
    """
    for table in _steel_tables():
        names = table.words["name"]
        known = {_steel_key(n): i for i, n in enumerate(names)}
        if (i := known.get(_steel_key(name))) is not None:
            row = {c: float(table.numbers[c][i]) for c in table.numbers}
            return SteelGrade(
                names[i], row["F_y"], row["F_u"], row["E"],
                float(load("astm", "density").numbers["density"][0]),
                f"{table.source}, {names[i]}", table.certainty,
            )  # fmt: skip
    raise TableError(_unknown(f"steel {name!r}", name, steel_names(), "the steel tables"))


def steel_names() -> tuple[str, ...]:
    """Every steel name of the tables."""
    return tuple(n for table in _steel_tables() for n in table.words["name"])


def _steel_tables() -> tuple[Table, ...]:
    """One table for each level of certainty."""
    return tuple(load("astm", t) for t in ("steel", "steel_a500", "steel_from_memory"))


def _trade_name(text: str, table: Table) -> str | None:
    """``2 1/2 in Sch 40`` to ``NPS 2-1/2 STD``; None when the text names no pipe."""
    match = _NAME.match(re.sub(r"\s+", " ", text.strip().upper()))
    if not match or not (match["whole"] or match["part"] or match["decimal"]):
        return None
    size = "-".join(p for p in (match["whole"], match["part"] or _fraction(match["decimal"])) if p)
    if number := match["schedule"]:
        for name, schedule in zip(table.words["name"], table.words["schedule"], strict=True):
            if schedule == number and name.startswith(f"NPS {size} "):
                return name
        return f"NPS {size} SCH {number}"
    return f"NPS {size} {_SERIES[re.sub(r'[^A-Z]', '', match['series'])]}"


def _fraction(decimal: str | None) -> str | None:
    return {".25": "1/4", ".5": "1/2", ".50": "1/2", ".75": "3/4"}.get(decimal or "", decimal)


def _steel_key(name: str) -> str:
    words = re.sub(r"[.,]", " ", name.upper()).split()
    return " ".join(w for w in words if w not in {"ASTM", "GR", "GRADE", "TYPE"})


def _unknown(what: str, wanted: str, names: tuple[str, ...], where: str) -> str:
    near = difflib.get_close_matches(wanted.upper(), names, 3, 0.5)
    hint = f"Did you mean {' or '.join(near)}? " if near else ""
    return f"{what} is not in {where}. {hint}It has: {', '.join(names)}."
