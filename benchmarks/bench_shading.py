"""Speed of a year of shade on 24 modules from five things, beside a plain loop over the hours.

Six strips a module with 2 points each; the sun of every hour of a year at 44° north, by a textbook
formula that serves here only as a list of directions. The loop asks every thing about every point
in every hour of the day with the very same line tests, without windows of bearings, chunks or
packed bits, and leaves the sky out; the largest difference of what comes through is a row of the
report. Run: ``python benchmarks/bench_shading.py``.
"""

from __future__ import annotations

import time

import numpy as np

from benchmarks.timing import quickest
from plumbrail.energy.blame import shade_without
from plumbrail.energy.casts import CHUNK, cast, product
from plumbrail.energy.patches import Patches, patches
from plumbrail.energy.rays import blocked
from plumbrail.energy.shading import Traced, trace
from plumbrail.model.build import build
from plumbrail.model.parts import Model
from plumbrail.plan.demos import demo_text
from plumbrail.plan.models import Plan
from plumbrail.plan.reader import read_plan
from plumbrail.plan.shade import Box, OtherArray, Shade, Tree
from plumbrail.site.bearings import row_bearing
from plumbrail.site.surroundings import Surroundings, surroundings
from plumbrail.weather.year import hour_of_day, month_of_hours

LATITUDE = np.radians(44.1)


def sun_directions(bearing: float) -> np.ndarray:
    """(8760, 3) toward the sun in local axes: cosine declination, no equation of time."""
    day = np.arange(8760) // 24
    declination = np.radians(-23.44) * np.cos(2 * np.pi * (day + 10.5) / 365)
    hour = (hour_of_day() + 0.5 - 12.0) * np.pi / 12
    east = -np.cos(declination) * np.sin(hour)
    north = (np.cos(LATITUDE) * np.sin(declination)
             - np.sin(LATITUDE) * np.cos(declination) * np.cos(hour))  # fmt: skip
    up = (np.sin(LATITUDE) * np.sin(declination)
          + np.cos(LATITUDE) * np.cos(declination) * np.cos(hour))  # fmt: skip
    along = east * np.sin(bearing) + north * np.cos(bearing)
    back = north * np.sin(bearing) - east * np.cos(bearing)
    return np.stack([along, back, up], axis=-1)


def five_things() -> Shade:
    """Two spruces, an apple tree, a shed and an older array before 24 modules."""
    box, tree, sheet = (c.model_construct for c in (Box, Tree, OtherArray))
    return Shade.model_construct(
        boxes=(box(name="Shed", at=(20.0, -6.0), size=(8.0, 6.0), turn=0.3, height=5.0),),
        trees=(
            tree(name="West spruce", at=(-8.0, -2.0), height=14.0, radius=2.7),
            tree(name="East spruce", at=(22.0, 4.0), height=11.0, radius=2.2),
            tree(name="Apple", at=(2.0, -11.0), height=5.0, crown_from=1.5, radius=2.5,
                 crown="round", light_through=0.2, light_through_bare=0.7,
                 bare_months=(11, 12, 1, 2, 3)),
        ),
        arrays=(sheet(name="Old array", at=(4.0, -7.0), row_length=8.0, slope_length=3.4,
                      tilt=np.radians(30), azimuth=np.radians(178), low_edge=0.6),),
    )  # fmt: skip


def setting() -> tuple[Plan, Model, Surroundings]:
    """The demo's 24 modules and what stands around them."""
    plan = read_plan(demo_text("alder-creek"))
    model = build(plan)
    return plan, model, surroundings(five_things(), model.terrain, row_bearing(plan.array.azimuth))


def plain_loop(
    spots: Patches, around: Surroundings, toward: np.ndarray, month: np.ndarray, up: np.ndarray
) -> np.ndarray:
    """(hours, points) what comes through, hour by hour."""
    through = np.ones((len(toward), len(spots.xyz)), dtype=np.float32)
    for h in np.flatnonzero(up & (toward @ spots.normal > 0.0)):
        for k in range(len(around.names)):
            hit = blocked(around, k, spots.xyz, toward[h : h + 1])[0]
            through[h] *= np.where(hit, np.float32(around.light[k, month[h] - 1]), 1.0)
    return through


def run() -> list[tuple[str, float, str]]:
    """Rows (name, value, unit); processor seconds."""
    plan, model, around = setting()
    toward = sun_directions(around.row_bearing)
    month, up = month_of_hours(), toward[:, 2] > 0.0
    rows = []
    for each in (1, 2, 4):
        spots = patches(model, plan, each)
        rows += _of(spots, around, (toward, month, up), each)
    spots = patches(model, plan, 2)
    lit = int((up & (toward @ spots.normal > 0.0)).sum())
    traced = trace(spots.xyz, spots.normal, around, toward, month, up)
    kept = sum(c.hit.nbytes + c.light.nbytes + c.rows.nbytes for c in traced.beam + traced.sky)
    begin = time.process_time()
    loop = plain_loop(spots, around, toward, month, up)
    slow = time.process_time() - begin
    whole = quickest(
        lambda: _every_ray(spots, around, toward[up & (toward @ spots.normal > 0.0)]), 2
    )
    beam = quickest(lambda: _beam_alone(spots, around, (toward, month, up)), 3)
    shares = traced.all().through[up & (toward @ spots.normal > 0.0)]
    rows += [
        ("mean of what comes through by day", float(shares.mean()), "-"),
        ("hours with the sun before the plane", float(lit), "-"),
        ("rays to the sun, 2 points a strip", float(lit * len(spots.xyz) * 5), "-"),
        ("kept of all rays to leave one thing out", kept / 1e6, "MB"),
        ("plain loop over hours, sun only", slow, "s"),
        ("the same line tests on every ray, in chunks of hours, sun only", whole, "s"),
        ("plumbrail, sun only", beam, "s"),
        ("times faster than the loop, sun only", slow / beam, "x"),
        ("times faster than every ray, sun only", whole / beam, "x"),
        ("largest difference of what comes through",
         float(np.abs(loop - traced.all().through).max()), "-"),
    ]  # fmt: skip
    return rows


def _every_ray(spots: Patches, around: Surroundings, toward: np.ndarray) -> None:
    for k in range(len(around.names)):
        for part in np.array_split(toward, max(1, len(toward) * len(spots.xyz) // CHUNK)):
            blocked(around, k, spots.xyz, part)


def _of(
    spots: Patches, around: Surroundings, sun: tuple[np.ndarray, ...], each: int
) -> list[tuple[str, float, str]]:
    def traced() -> Traced:
        return trace(spots.xyz, spots.normal, around, *sun)

    whole = quickest(lambda: traced().all(), 3)
    done = traced()
    without = quickest(lambda: [s for _, s in shade_without(done)], 2)
    words = f"{len(spots.xyz)} points, {each} a strip"
    return [
        (f"year of sun and sky, {words}", whole, "s"),
        (f"the same five times more, each with one thing left out, {words}", without, "s"),
    ]


def _beam_alone(spots: Patches, around: Surroundings, sun: tuple[np.ndarray, ...]) -> np.ndarray:
    toward, month, up = sun
    lit = np.flatnonzero(up & (toward @ spots.normal > 0.0))
    casts = [
        cast(around, k, spots.xyz, toward[lit], around.light[k, month[lit] - 1][:, None])
        for k in range(len(around.names))
    ]
    return product(casts, len(lit), len(spots.xyz))


if __name__ == "__main__":
    for name, value, unit in run():
        print(f"{name:80s} {value:12.4g} {unit}")
