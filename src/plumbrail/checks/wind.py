"""Wind cases of the plan: net pressures on both halves of the plane, along the row, and on bars.

gamma 0: wind meets the high edge (from the back) and lifts; gamma 180: wind meets the low edge
(from the front) and presses down. Drawing: docs/method/wind-directions.svg.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.bases.us.asce7 import bars, components, resultant, wind
from plumbrail.bases.us.asce7 import cases as figure
from plumbrail.bases.us.asce7_22.ground_mount import (
    GroundMountCoefficients,
    governed,
    ground_mount_pressure,
)
from plumbrail.bases.us.loads import LoadStandard
from plumbrail.bases.us.standards import load_standard
from plumbrail.errors import RangeError
from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan
from plumbrail.trace import Certainty, given, recording

Array = NDArray[np.float64]

TOWARD = {0: (0.0, -1.0, 0.0), 180: (0.0, 1.0, 0.0), 90: (1.0, 0.0, 0.0), 270: (-1.0, 0.0, 0.0)}
"""Where the wind blows to, by direction gamma in degrees."""
FROM = {0: "back", 180: "front", 90: "left", 270: "right"}


@dataclass(frozen=True)
class WindSite:
    """What all wind cases share; 0-d arrays."""

    standard: LoadStandard
    q: Array
    """Velocity pressure at mean height, as the edition defines it."""
    K_d: Array
    G: Array
    h: float
    """Mean height of the plane above the ground under its middle [m]."""

    def pressure(self, C: Array, G: Array | None = None) -> Array:
        """Net pressure [Pa] for a net or force coefficient."""
        return self.standard.net_pressure(self.q, self.K_d, self.G if G is None else G, C)


@dataclass(frozen=True)
class WindCase:
    """One wind case: pressure on the plane by half and rail, and where it blows to."""

    id: str
    words: str
    gamma: int
    pressure: Callable[[], Array]
    """Net pressure (2 halves, rails) [Pa], + pushes the top surface; recomputed for a record."""
    horizontal: bool = False
    """The minimum force: acts along the wind on the projected area, not normal to the plane."""


def flows(plan: Plan) -> tuple[str, ...]:
    """Flow conditions to run."""
    return wind.FLOWS if plan.site.wind_flow == "both" else (plan.site.wind_flow,)


def tilt_of(plan: Plan, model: Model) -> Array:
    """Tilt of the modules, planned or as built; 0-d."""
    if plan.as_built is None:
        return given("array.tilt", "theta [rad]", model.plane.tilt, Certainty.PLAN)
    return given("as_built, plane through the heads", "theta [rad]", model.plane.tilt,
                 Certainty.DERIVED)  # fmt: skip


def mean_height(model: Model) -> float:
    """Height of the middle of the plane above the ground below it [m]."""
    p = model.plane
    middle = p.point(p.x_left + 0.5 * p.row_length, 0.5 * p.slope_length)
    return float(middle[2] - model.terrain.height(middle[0], middle[1]))


def wind_site(plan: Plan, model: Model, component: bool = False) -> WindSite:
    """Velocity pressure and factors of the site, for the frame or for components."""
    site, standard = plan.site, load_standard(plan.basis.us.loads)
    P = Certainty.PLAN
    K_d, G = wind.directionality_factor(), wind.gust_effect_factor()
    K_e = wind.ground_elevation_factor(given("site.elevation", "z_e [m]", site.elevation, P))
    h = mean_height(model)
    of = standard.component_velocity_pressure if component else standard.velocity_pressure
    q = of(
        V=given("site.wind_speed", "V [m/s]", site.wind_speed, P), exposure=site.exposure,
        z=given("mean height of the plane", "z [m]", h, Certainty.DERIVED),
        K_zt=given("site.topographic_factor", "K_zt [-]", site.topographic_factor, P),
        K_e=K_e, K_d=K_d,
    )  # fmt: skip
    return WindSite(standard, q, K_d, G, h)


def wind_cases(plan: Plan, model: Model) -> tuple[WindCase, ...]:
    """Every wind case of the frame, in a fixed order."""
    across = [*_figure_cases(plan, model), *_engineer_cases(plan, model)]
    if plan.frame.ground_mount is not None and plan.frame.ground_mount.reduce_below_figure:
        across = _engineer_cases(plan, model)
    return (*across, *_along_cases(plan, model), *_minimum_cases(model))


def _figure_cases(plan: Plan, model: Model) -> list[WindCase]:
    rails = len(model.rails.ids)

    def case(c: figure.WindCase) -> WindCase:
        def pressure() -> Array:
            site = wind_site(plan, model)
            theta = tilt_of(plan, model)
            found = wind.monoslope_coefficients(theta, c.flow, c.gamma, c.case)
            pair = wind.halves(c.gamma, found)
            p = np.stack([site.pressure(pair.C_low), site.pressure(pair.C_high)])
            return np.broadcast_to(p[:, None], (2, rails))

        words = f"wind from the {FROM[c.gamma]}, {c.flow} flow, case {c.case}"
        return WindCase(_id(c), words, c.gamma, pressure)

    return [case(c) for c in figure.across_cases(flows(plan))]


def _id(c: figure.WindCase) -> str:
    return f"W-{FROM[c.gamma]}-{c.flow}-{c.case}"


def _engineer_cases(plan: Plan, model: Model) -> list[WindCase]:
    own = plan.frame.ground_mount
    if own is None:
        return []
    if plan.basis.us.loads != "ASCE 7-22":
        raise RangeError(
            "frame.ground_mount: ground-mount coefficients belong to ASCE 7-22; write "
            'basis.us.loads = "ASCE 7-22" or leave the section out'
        )
    rails = len(model.rails.ids)

    def case(gamma: int, GC_n: float, sign: float) -> WindCase:
        name = (
            "windward" if sign * GC_n > 0 else "leeward"
        )  # a moment adds where it has GC_n's sign

        def pressure() -> Array:
            site = wind_site(plan, model)
            source = f"frame.ground_mount: {own.citation}"
            force = given(source, "GC_n [-]", GC_n, Certainty.MAKER)
            moment = given(source, "GC_m [-]", sign * own.moment, Certainty.MAKER)
            pair = resultant.halves_of(resultant.Resultant(force, moment))
            halves = wind.halves(gamma, pair)
            p = np.stack([
                ground_mount_pressure(site.q, site.K_d, C) for C in (halves.C_low, halves.C_high)
            ])  # fmt: skip
            return np.broadcast_to(p[:, None], (2, rails))

        return WindCase(f"W-{FROM[gamma]}-engineer-{name}",
                        f"wind from the {FROM[gamma]}, engineer's coefficients, more on the "
                        f"{name} half", gamma, pressure)  # fmt: skip

    return [
        case(gamma, GC_n, sign)
        for gamma, GC_n in ((0, own.uplift), (180, own.down))
        for sign in (1.0, -1.0)
    ]


def reduction_note(plan: Plan, model: Model) -> str:
    """By how much engineer's coefficients go below the code figure; empty when they do not."""
    own = plan.frame.ground_mount
    if own is None or not own.reduce_below_figure:
        return ""
    theta, G = model.plane.tilt, wind.gust_effect_factor()
    cases = figure.across_cases(flows(plan))
    pairs = [wind.monoslope_coefficients(theta, c.flow, c.gamma, c.case) for c in cases]
    code = [resultant.figure_resultant(G, pair) for pair in pairs]
    mine = GroundMountCoefficients(
        tuple(_id(c) for c in cases),
        np.array([own.uplift if c.gamma == 0 else own.down for c in cases]),
        np.full(len(cases), own.moment), own.citation,
    )  # fmt: skip
    floor = resultant.Resultant(
        np.array([f.GC_n for f in code]), np.abs(np.array([f.GC_m for f in code]))
    )
    return governed(mine, floor, reduce_below_figure=True).note


def _along_cases(plan: Plan, model: Model) -> list[WindCase]:
    plane, x = model.plane, model.rails.x

    def case(c: figure.WindCase) -> WindCase:
        from_left = x - plane.x_left
        distance = from_left if c.gamma == 90 else plane.row_length - from_left

        def pressure() -> Array:
            site = wind_site(plan, model)
            C_N = wind.along_row_coefficients(distance, site.h, c.flow, c.case)
            return np.broadcast_to(site.pressure(C_N), (2, len(x)))

        words = f"wind along the row from the {FROM[c.gamma]}, {c.flow} flow, case {c.case}"
        return WindCase(_id(c), words, c.gamma, pressure)

    return [case(c) for c in figure.along_cases(flows(plan))]


def _minimum_cases(model: Model) -> list[WindCase]:
    rails = len(model.rails.ids)

    def case(gamma: int) -> WindCase:
        def pressure() -> Array:
            return np.broadcast_to(wind.minimum_force(np.asarray(1.0)), (2, rails))

        return WindCase(f"W-{FROM[gamma]}-least", f"least wind force from the {FROM[gamma]}",
                        gamma, pressure, horizontal=True)  # fmt: skip

    return [case(g) for g in (0, 180, 90, 270)]


@dataclass(frozen=True)
class BarPressures:
    """Net pressure on the area a bar shows to the wind, + along the wind [Pa]; 0-d."""

    pipe: Array
    flat: Array


def bar_pressures(plan: Plan, model: Model) -> BarPressures:
    """Pressures on round pipe and on flat-sided edges (rails, module frames)."""
    site = wind_site(plan, model)
    # The smallest pipe has the largest coefficient; it is used for all.
    sections = (model.posts.section, model.beams.section, model.braces.section)
    D = min(s.OD for s in sections if s is not None)
    # Every bar counts without shelter, so the solidity is that of a single bar.
    one = np.asarray(1.0)
    q = site.pressure(one, one)
    C_round, C_flat = (bars.bar_coefficient(shape, 0.0, D, q) for shape in ("round", "flat"))
    return BarPressures(site.pressure(C_round), site.pressure(C_flat))


def wind_certainty(plan: Plan, model: Model, case: WindCase) -> Certainty:
    """The least sure value behind a wind case.

    Along the row the bars carry the case, so their coefficients count; across it the plane does.
    """
    with recording() as record:
        case.pressure()
        if case.gamma in (90, 270):
            bar_pressures(plan, model)
    return record.certainty


@dataclass(frozen=True)
class ComponentPressures:
    """Design wind pressures on a component, worst of zones and flows asked for [Pa]; 0-d."""

    down: Array
    up: Array
    """Negative."""


def component_pressures(
    plan: Plan, model: Model, effective_area: float, zones: tuple[int, ...] = components.ZONES
) -> ComponentPressures:
    """Components-and-cladding pressures for a part that carries ``effective_area`` [m²]."""
    site, plane = wind_site(plan, model, component=True), model.plane
    theta = tilt_of(plan, model)
    area = given("model", "A [m**2]", effective_area, Certainty.DERIVED)
    B = min(plane.row_length, plane.slope_length * float(np.cos(plane.tilt)))
    a = components.zone_width(
        given("model", "B [m]", B, Certainty.DERIVED),
        given("model", "h [m]", site.h, Certainty.DERIVED),
    )
    found = [
        components.component_coefficients(theta, flow, zone, area, a)
        for flow in flows(plan)
        for zone in zones
    ]
    # max and min hand on the very array that was looked up, so that a record knows its origin.
    down = max((c.down for c in found), key=float)
    up = min((c.up for c in found), key=float)
    least = components.least_component_pressure
    return ComponentPressures(least(site.pressure(down)), least(site.pressure(up)))
