"""States of jobs for browser tests of the views, made from demo plans without a server."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from functools import cache
from typing import Any

import tomlkit

from plumbrail.app.messages import Scene, State
from plumbrail.app.scene import check_items, part_map, scene
from plumbrail.app.things import Combiner
from plumbrail.jobs.live import live
from plumbrail.plan.demos import demo_text
from plumbrail.plan.reader import LoadedPlan, read_plan

SITE = """
[[site.services]]
name = "Well line"
kind = "water"
points = [["-46 ft", "34 ft"], ["20 ft", "30 ft"], ["58 ft", "44 ft"]]
located_by = "locator"
depth = "4 ft"

[[site.services]]
name = "Yard feeder"
kind = "power"
points = [["50 ft", "-44 ft"], ["48 ft", "50 ft"]]
located_by = "record drawing"

[[site.services]]
name = "Gas to the barn"
kind = "gas"
points = [["-50 ft", "-52 ft"], ["60 ft", "-50 ft"]]
located_by = "locator"
depth = "30 in"

[site.boundary]
points = [["-70 ft", "-64 ft"], ["104 ft", "-64 ft"], ["110 ft", "66 ft"], ["-66 ft", "72 ft"]]
known_by = "markers found"
setback = "10 ft"
easements_read = true

[[site.easements]]
name = "Utility strip"
points = [["-70 ft", "-64 ft"], ["104 ft", "-64 ft"], ["104 ft", "-56 ft"], ["-70 ft", "-56 ft"]]

[[site.regions]]
name = "Yard paving"
kind = "paving"
points = [["40 ft", "0 ft"], ["56 ft", "0 ft"], ["56 ft", "40 ft"], ["40 ft", "40 ft"]]
dig_factor = 4.0
"""


def site_text(changes: Mapping[str, Any] | None = None, site: bool = True) -> str:
    """The Alder Creek demo, with buried services and bounds where it has none, and changes."""
    document = tomlkit.parse(demo_text("alder-creek"))
    more = tomlkit.parse(SITE)["site"] if site else {}
    for name in more:
        if name not in document["site"]:
            document["site"][name] = more[name]
    for place, value in (changes or {}).items():
        *path, last = place.split(".")
        holder: Any = document
        for step in path:
            holder = holder[step]
        holder[last] = value
    return tomlkit.dumps(document)


def state_of(text: str) -> dict[str, Any]:
    """What the server would answer about this plan, as JSON, but for the strip."""
    sha256 = hashlib.sha256(text.encode()).hexdigest()
    design = live(LoadedPlan(read_plan(text), text, sha256, "plan.toml"))
    parts = part_map(design)
    corner = design.model.modules.corners[-1, 2]
    drawn = scene(design, parts, {}, [Combiner("1", [float(c) for c in corner])])
    Scene.model_validate(drawn.model_dump())
    state = State(
        job="demo", name=design.plan.job.name, units=design.plan.job.units, revision=1,
        sha256=sha256, can_undo=False, can_redo=False,
        values=tomlkit.parse(text).unwrap(), shown={}, strip=[],
        checks=check_items(design.checks.checks, parts), scene=drawn, notes=[], not_covered=[],
        pending=[], took=0.0,
    )  # fmt: skip
    return state.model_dump(mode="json")


@cache
def demo_state() -> dict[str, Any]:
    """The demo on its site."""
    return state_of(site_text())


@cache
def windy_state() -> dict[str, Any]:
    """The demo in more wind than it bears: parts pass, come near and fail."""
    return state_of(site_text({"site.wind_speed": "130 mph"}))


def large_text(rows: int, columns: int) -> str:
    """A longer row of the demo's modules, on posts as far apart as they must be."""
    length = 1.742 * columns
    posts = min(int(length / 2.7432) + 1, 40)
    spacing = f"{length / (posts + 0.2):.3f} m"
    changes = {"array.rows": rows, "array.columns": columns, "frame.posts": posts,
               "frame.spacing": spacing}  # fmt: skip
    return site_text(changes, site=False)
