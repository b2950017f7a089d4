"""Notebooks for tests: a simulated crew's readings written down as a person would."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from benchmarks.truing_site import INCH, Crew

from plumbrail.jobs.truing import pin_tops
from plumbrail.model.build import build_planned
from plumbrail.notebook.entries import Axis, Kind, Reading
from plumbrail.plan.reader import read_plan
from plumbrail.truing.parts import Array, Wanted
from plumbrail.truing.points import Place, Points, points_of
from plumbrail.truing.scheme import field_readings

HEADER = "time,kind,from,to,at,value,instrument,set-up,note"
WAYS = {Kind.STRING_SIDE: ("back", "front"), Kind.STRING_HEIGHT: ("up", "down")}
LEANS = {Axis.ACROSS: ("back", "front"), Axis.ALONG: ("right", "left")}


@dataclass(frozen=True)
class Row:
    """One line of a notebook."""

    kind: str
    start: str
    value: str
    end: str = ""
    at: str = ""
    setup: str = ""
    note: str = ""

    @property
    def csv(self) -> str:
        cells = ("", self.kind, self.start, self.end, self.at, self.value, "", self.setup,
                 self.note)  # fmt: skip
        return ",".join(f'"{c}"' if "," in c else c for c in cells)

    @property
    def toml(self) -> str:
        cells = {"kind": self.kind, "from": self.start, "to": self.end, "at": self.at,
                 "value": self.value, "set-up": self.setup, "note": self.note}  # fmt: skip
        lines = (f"{key} = '{cell}'" for key, cell in cells.items() if cell)
        return "\n".join(["[[reading]]", *lines, ""])


def points_for(plan: str) -> Points:
    """The points of a plan's text."""
    read = read_plan(plan)
    model = build_planned(read)
    return points_of(model, pin_tops(read, model))


def readings_on(
    plan: str, off: Mapping[str, tuple[float, float, float]] | None = None, seed: int = 1,
    wanted: Sequence[Wanted] | None = None, metric: bool = False,
) -> list[Row]:  # fmt: skip
    """What a crew reads on a frame whose points are ``off`` the plan by so many inches.

    A base moves with its head sideways unless it is named itself. ``wanted``: the readings of the
    field sheet unless given.
    """
    points = points_for(plan)
    crew = Crew(points, _standing(points, off or {}), np.random.default_rng(seed), 0.0)
    crew.measure(field_readings(points) if wanted is None else wanted)
    return [row_of(reading, metric) for reading in crew.readings]


def _standing(points: Points, off: Mapping[str, tuple[float, float, float]]) -> Array:
    xyz = points.planned.copy()
    for id, inches in off.items():
        i, step = points.index(id), np.array(inches) * INCH
        xyz[i] += step
        base = f"{id} base"
        if points.place[i] == Place.HEAD and base not in off:
            xyz[points.index(base), :2] += step[:2]
    return xyz


def row_of(r: Reading, metric: bool = False) -> Row:
    """A reading as it is written, with its direction in words."""
    words = WAYS.get(r.kind) or (LEANS[r.axis] if r.axis else ())
    value = abs(r.value) if words else r.value
    if r.kind in (Kind.PLUMB, Kind.TILT):
        text = f"{np.degrees(value):.2f} deg"
    else:
        text = f"{1000 * value:.1f} mm" if metric else f"{value / INCH:.4f} in"
    way = f" {words[int(r.value < 0)]}" if words else ""
    return Row(str(r.kind), r.start, text + way, r.end, r.at, r.setup)


def written(path: Path, rows: Sequence[Row]) -> str:
    """Write rows as CSV, or TOML by the file's suffix; returns the file's name."""
    form: Callable[[Row], str] = (lambda r: r.toml) if path.suffix == ".toml" else (lambda r: r.csv)
    head = [] if path.suffix == ".toml" else [HEADER]
    path.write_text("\n".join([*head, *(form(r) for r in rows), ""]), encoding="utf-8")
    return str(path)


def held(points: Points, hold: str) -> list[Row]:
    """Every post stands so."""
    return [Row("state", points.ids[i], hold) for i in points.of(Place.HEAD)]


def misread(rows: Sequence[Row], kind: str, start: str, end: str, by: float) -> list[Row]:
    """The same with one tape or rod reading wrong by so many inches."""
    found = list(rows)
    (k,) = [i for i, r in enumerate(found) if (r.kind, r.start, r.end) == (kind, start, end)]
    inches = float(found[k].value.removesuffix(" in")) + by
    found[k] = replace(found[k], value=f"{inches:.4f} in")
    return found
