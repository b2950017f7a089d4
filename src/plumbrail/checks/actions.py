"""Loads of every basic case on the frame: dead, snow, wind, earthquake, wind on components.

All reach the frame as forces per length of member in global directions: the modules hand over to
the rails by tributary width, half by half; bars take their own weight and wind.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.bases.us.asce7 import seismic
from plumbrail.bases.us.loads import LoadCase
from plumbrail.bases.us.standards import load_standard
from plumbrail.checks.framing import Framing, Kind
from plumbrail.checks.wind import (
    TOWARD,
    WindCase,
    bar_pressures,
    component_pressures,
    tilt_of,
    wind_cases,
)
from plumbrail.frame import Loads, Spans
from plumbrail.model.build import module_sides
from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan
from plumbrail.tables.sections import GRAVITY
from plumbrail.trace import Certainty, given

Array = NDArray[np.float64]
UNIT_CASES = ("unit-x", "unit-y")
"""1 N on every post top along and across: the sway stiffness."""


@dataclass(frozen=True)
class Case:
    """A basic load case: id, nature (D, S, W, E_h, E_v, unit), words, and what it is for."""

    id: str
    nature: str
    words: str
    component: bool = False
    """Wind on components: for rails, clamps and modules only."""


@dataclass(frozen=True)
class Actions:
    """Line loads of all cases, global directions [N/m].

    ``rails`` (cases, halves, rails, 3); ``bars`` (cases, members, 3) over the whole member.
    """

    cases: tuple[Case, ...]
    rails: Array
    bars: Array
    wind: tuple[WindCase, ...]

    def of(self, component: bool) -> tuple[LoadCase, ...]:
        """Load cases to combine: of the frame, or of components."""
        natures = {"D", "S", "E_h", "E_v"}
        return tuple(
            LoadCase(c.id, c.nature)
            for c in self.cases
            if c.nature in natures - ({"E_h", "E_v"} if component else set())
            or (c.nature == "W" and c.component == component)
        )


def actions_of(plan: Plan, model: Model, framing: Framing) -> Actions:
    """All basic cases of a plan."""
    parts = [
        _dead(plan, model, framing),
        _snow(plan, model, framing),
        *_wind(plan, model, framing),
        *_earthquake(plan, model, framing),
        *_components(plan, model, framing),
    ]
    cases, rails, bars = zip(*parts, strict=True)
    return Actions(cases, np.array(rails), np.array(bars), wind_cases(plan, model))


_Part = tuple[Case, Array, Array]


def _none(framing: Framing) -> Array:
    return np.zeros((len(framing.kind), 3))


def module_load(plan: Plan, model: Model) -> Array:
    """Weight of the modules on each rail [N/m of slope], (rails,)."""
    along, _ = module_sides(plan)
    per_slope = plan.array.rows * plan.module.weight * GRAVITY / model.plane.slope_length
    return per_slope * model.rails.tributary / along


def _even(per_rail: Array, direction: tuple[float, float, float] | Array) -> Array:
    """The same load per rail on both halves, (2, rails, 3)."""
    return np.broadcast_to(per_rail[:, None] * np.asarray(direction), (2, len(per_rail), 3))


def _dead(plan: Plan, model: Model, framing: Framing) -> _Part:
    down = (0.0, 0.0, -1.0)
    bars = _none(framing)
    bars[:, 2] = -framing.frame.mass_per_length * GRAVITY
    return Case("D", "D", "own weight"), _even(module_load(plan, model), down), bars


def roof_snow(plan: Plan, model: Model) -> Array:
    """Snow [Pa] on the horizontal projection of the modules; 0-d."""
    s, P = plan.site, Certainty.PLAN
    return load_standard(plan.basis.us.loads).sloped_snow(
        p_g=given("site.ground_snow", "p_g [Pa]", s.ground_snow, P),
        C_e=given("site.snow_exposure_factor", "C_e [-]", s.snow_exposure_factor, P),
        C_t=given("site.snow_thermal_factor", "C_t [-]", s.snow_thermal_factor, P),
        risk_category=plan.basis.us.risk_category,
        theta=tilt_of(plan, model),
        slippery=s.snow_surface == "slippery",
    )


def _snow(plan: Plan, model: Model, framing: Framing) -> _Part:
    per_rail = float(roof_snow(plan, model)) * np.cos(model.plane.tilt) * model.rails.tributary
    return Case("S", "S", "snow"), _even(per_rail, (0.0, 0.0, -1.0)), _none(framing)


def _wind(plan: Plan, model: Model, framing: Framing) -> list[_Part]:
    exposed = _exposure(plan, model, framing)
    on_bars = bar_pressures(plan, model)
    parts = []
    for case in wind_cases(plan, model):
        toward = np.array(TOWARD[case.gamma])
        p = case.pressure() * model.rails.tributary
        flat, pipe = exposed.flat(case.gamma), exposed.pipe(case.gamma)
        if case.horizontal:
            rails = (p * abs(toward @ model.plane.normal))[..., None] * toward
            least = float(case.pressure()[0, 0])
            width = least * (flat + pipe)
        else:
            rails = -p[..., None] * model.plane.normal
            width = float(on_bars.flat) * flat + float(on_bars.pipe) * pipe
        parts.append((Case(case.id, "W", case.words), rails, width[:, None] * toward))
    return parts


@dataclass(frozen=True)
class _Exposure:
    """Width each member shows to wind across and along the row [m], (members,)."""

    pipe_across: Array
    pipe_along: Array
    flat_along: Array

    def pipe(self, gamma: int) -> Array:
        return self.pipe_across if gamma in (0, 180) else self.pipe_along

    def flat(self, gamma: int) -> Array:
        return np.zeros_like(self.flat_along) if gamma in (0, 180) else self.flat_along


def _exposure(plan: Plan, model: Model, framing: Framing) -> _Exposure:
    """Every bar in the air counts, none is sheltered by another."""
    kind, frame = framing.kind, framing.frame
    middle_z = frame.xyz[frame.ends].mean(axis=1)
    in_air = middle_z[:, 2] > model.terrain.height(middle_z[:, 0], middle_z[:, 1])
    posts = np.where((kind == Kind.POST) & in_air, model.posts.section.OD, 0.0)
    brace = model.braces.section.OD if model.braces.section else 0.0
    pipes = posts + np.where(kind == Kind.BRACE, brace, 0.0)
    beams = np.where(kind == Kind.BEAM, model.beams.section.OD, 0.0)
    rail = kind == Kind.RAIL
    # The module edge of the windward end rides on the end rails, whichever end that is.
    ends = rail & np.isin(framing.parent, [0, len(model.rails.ids) - 1])
    flat = np.where(rail, plan.frame.rail.height, 0.0) + np.where(ends, plan.module.thickness, 0.0)
    return _Exposure(pipes + beams, pipes, flat)


def _earthquake(plan: Plan, model: Model, framing: Framing) -> list[_Part]:
    S_DS = given("site.seismic_sds", "S_DS [-]", plan.site.seismic_sds, Certainty.PLAN)
    standard, category = load_standard(plan.basis.us.loads), plan.basis.us.risk_category
    C_s = float(standard.base_shear_coefficient(S_DS=S_DS, risk_category=category, rigid=False))
    _, dead_rails, dead_bars = _dead(plan, model, framing)
    s = plan.site
    flat = standard.flat_snow(p_g=s.ground_snow, C_e=s.snow_exposure_factor,
                              C_t=s.snow_thermal_factor, risk_category=category)  # fmt: skip
    snow = float(standard.snow_for_seismic(flat)) * np.cos(model.plane.tilt)
    weight_rails = -dead_rails[..., 2] + snow * model.rails.tributary
    parts = []
    for name, axis in (
        ("right", (1, 0, 0)),
        ("left", (-1, 0, 0)),
        ("back", (0, 1, 0)),
        ("front", (0, -1, 0)),
    ):
        toward = np.array(axis, dtype=float)
        parts.append((
            Case(f"E-{name}", "E_h", f"earthquake toward the {name}"),
            C_s * weight_rails[..., None] * toward, -C_s * dead_bars[:, 2:] * toward,
        ))  # fmt: skip
    lift = float(seismic.vertical_effect(S_DS, np.asarray(1.0)))
    parts.append(
        (Case("E-down", "E_v", "vertical earthquake"), lift * dead_rails, lift * dead_bars)
    )
    return parts


def rail_effective_area(model: Model) -> float:
    """Effective wind area of a rail: span times the larger of width carried and span / 3.

    ASCE 7 26.2, from memory; the span is the distance between the beams.
    """
    span = float(model.rails.span.min())
    return span * max(float(model.rails.tributary.min()), span / 3.0)


def _components(plan: Plan, model: Model, framing: Framing) -> list[_Part]:
    found = component_pressures(plan, model, rail_effective_area(model))
    parts = []
    for name, p in (("down", found.down), ("up", found.up)):
        rails = _even(-float(p) * model.rails.tributary, model.plane.normal)
        case = Case(f"W-part-{name}", "W", f"wind on parts, {name}", component=True)
        parts.append((case, rails, _none(framing)))
    return parts


def loads_of(model: Model, framing: Framing, actions: Actions) -> Loads:
    """The actions as frame loads, with two unit cases behind them for the sway stiffness."""
    ids = tuple(c.id for c in actions.cases) + UNIT_CASES
    nodal = np.zeros((len(ids), len(framing.frame.node_ids), 6))
    for axis in (0, 1):
        nodal[len(actions.cases) + axis, framing.top, axis] = 1.0
    return Loads(ids, nodal, Spans.joined(_rail_spans(model, framing, actions),
                                          _bar_spans(framing, actions)))  # fmt: skip


def _bar_spans(framing: Framing, actions: Actions) -> Spans:
    case, member = np.nonzero(np.abs(actions.bars).sum(axis=-1))
    length = framing.frame.length[member]
    w = actions.bars[case, member]
    return Spans(case, member, np.zeros_like(length), length, w, w)


def _rail_spans(model: Model, framing: Framing, actions: Actions) -> Spans:
    """Each rail member's share of the low and the high half of the plane."""
    members = np.flatnonzero(framing.kind == Kind.RAIL)
    start = framing.offset[members]
    end = start + framing.frame.length[members]
    middle, top = 0.5 * model.plane.slope_length, model.plane.slope_length
    pieces = []
    for number, (low, high) in enumerate(((0.0, middle), (middle, top))):
        a, b = np.maximum(start, low), np.minimum(end, high)
        here = b - a > 1e-9
        pieces.append((members[here], (a - start)[here], (b - start)[here],
                       np.full(int(here.sum()), number)))  # fmt: skip
    member = np.concatenate([p[0] for p in pieces])
    a, b = (np.concatenate([p[i] for p in pieces]) for i in (1, 2))
    half = np.concatenate([p[3] for p in pieces])
    w = actions.rails[:, half, framing.parent[member]]
    cases, k = w.shape[:2]
    w = w.reshape(cases * k, 3)
    return Spans(np.repeat(np.arange(cases), k), np.tile(member, cases), np.tile(a, cases),
                 np.tile(b, cases), w, w)  # fmt: skip
