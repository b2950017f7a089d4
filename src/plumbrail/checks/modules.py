"""Module pressure against its rating, and module clamps, with wind on components."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.bases.us.common import force_ratio
from plumbrail.bases.us.loads import LoadCase, expand
from plumbrail.bases.us.standards import load_standard
from plumbrail.check import Case, Check, not_checked
from plumbrail.checks.actions import roof_snow
from plumbrail.checks.stated import clamp_force, pressure_rating_ratio
from plumbrail.checks.wind import component_pressures, tilt_of
from plumbrail.model.build import module_sides
from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan
from plumbrail.tables.sections import GRAVITY
from plumbrail.trace import Certainty, given, provision

Array = NDArray[np.float64]


@provision(
    "load combination of pressures normal to the module", "p_r [Pa]",
    "abs(f_D*p_D + f_S*p_S + f_W*p_W)", Certainty.DERIVED,
    f_D="-", p_D="Pa", f_S="-", p_S="Pa", f_W="-", p_W="Pa",
)  # fmt: skip
def net_module_pressure(
    f_D: Array, p_D: Array, f_S: Array, p_S: Array, f_W: Array, p_W: Array
) -> Array:
    """Size of the combined pressure on a module, normal to it."""
    return np.abs(f_D * p_D + f_S * p_S + f_W * p_W)


@provision(
    "statics of a tilted plane", "p_D [Pa]", "m*g/A*cos(theta)", Certainty.DERIVED,
    constants={"g": (GRAVITY, "m/s**2")}, m="kg", A="m**2", theta="rad",
)  # fmt: skip
def dead_pressure(m: Array, A: Array, theta: Array) -> Array:
    """Own weight of a module as a pressure normal to it."""
    return m * GRAVITY / A * np.cos(theta)


@provision(
    "statics of a tilted plane", "p_S [Pa]", "p_s*cos(theta)**2", Certainty.DERIVED,
    p_s="Pa", theta="rad",
)  # fmt: skip
def snow_pressure(p_s: Array, theta: Array) -> Array:
    """Snow on the horizontal projection as a pressure normal to the module."""
    return p_s * np.cos(theta) ** 2


@dataclass(frozen=True)
class _Row:
    """One combination: factors of own weight, snow and wind."""

    id: str
    factors: Mapping[str, float]
    up: bool


def _rows(plan: Plan, method: str) -> list[_Row]:
    standard = load_standard(plan.basis.us.loads)
    cases = [LoadCase("D", "D"), LoadCase("S", "S"), LoadCase("W-part-down", "W"),
             LoadCase("W-part-up", "W")]  # fmt: skip
    f = expand(standard.combinations(method), cases)
    return [
        _Row(name, dict(zip(f.cases, row, strict=True)), bool(row[f.cases.index("W-part-up")]))
        for name, row in zip(f.ids, f.array, strict=True)
    ]


def _pressure(plan: Plan, model: Model, row: _Row, effective_area: float) -> Array:
    """Net pressure on one module in a combination, from recorded steps; 0-d.

    ``effective_area`` [m²]: of the part that the wind coefficient is looked up for.
    """
    P, m = Certainty.PLAN, plan.module
    area = given("module.length times module.width", "A [m**2]", m.length * m.width, P)
    theta = tilt_of(plan, model)
    mass = given("module.weight", "m [kg]", m.weight, P)
    found = component_pressures(plan, model, effective_area)
    wind = found.up if row.up else found.down
    name = "W-part-up" if row.up else "W-part-down"
    basis = plan.basis.us.loads

    def factor(case: str, symbol: str) -> Array:
        return given(f"{basis} combination {row.id}", f"{symbol} [-]", row.factors[case],
                     Certainty.SECOND_HAND)  # fmt: skip

    return net_module_pressure(
        factor("D", "f_D"), dead_pressure(mass, area, theta), factor("S", "f_S"),
        snow_pressure(roof_snow(plan, model), theta), factor(name, "f_W"), wind,
    )  # fmt: skip


def _nets(plan: Plan, model: Model, rows: Sequence[_Row], effective_area: float) -> Array:
    """Net pressure of every combination, + presses, - lifts, (rows,)."""
    m, theta = plan.module, np.asarray(model.plane.tilt)
    found = component_pressures(plan, model, effective_area)
    dead = dead_pressure(np.asarray(m.weight), np.asarray(m.length * m.width), theta)
    loads = {"D": dead, "S": snow_pressure(roof_snow(plan, model), theta),
             "W-part-down": found.down, "W-part-up": found.up}  # fmt: skip
    return np.array([sum(f * float(loads[c]) for c, f in r.factors.items()) for r in rows])


def module_cases(plan: Plan, model: Model) -> list[Case]:
    """Pressure up and down on the worst module, and the worst clamp.

    Ratings are allowable pressures, so these combinations are ASD; clamps use the plan's method.
    """
    area, rows = plan.module.length * plan.module.width, _rows(plan, "ASD")
    nets = _nets(plan, model, rows, area)
    cases = []
    for sign, word, field in (
        (-1.0, "pressure from below", "allowable_uplift"),
        (1.0, "pressure from above", "allowable_down"),
    ):
        i = int((sign * nets).argmax())
        if sign * nets[i] < 0.0:
            continue
        cases.append(_rating(plan, model, rows[i], abs(float(nets[i])), area, word, field))
    return [*cases, *_clamp_cases(plan, model)]


def _rating(
    plan: Plan, model: Model, row: _Row, net: float, area: float, word: str, field: str
) -> Case:
    allowed: float = getattr(plan.module, field)

    def run() -> Array:
        return pressure_rating_ratio(
            _pressure(plan, model, row, area),
            given(f"module.{field}", "p_a [Pa]", allowed, Certainty.MAKER),
        )

    return Case(
        f"module.{word.replace(' ', '-')}", "modules at the corners", word, "module", net / allowed,
        row.id, run, "pressure_rating_ratio", clause="module data sheet",
        note="the corner zone is applied to every module; the zone layout is from memory",
    )  # fmt: skip


def clamp_area(plan: Plan, model: Model) -> float:
    """Module area held by the busiest clamp between two modules [m²]: half of each of them."""
    _, up = module_sides(plan)
    return float(model.rails.tributary.max()) * up


def _clamp_cases(plan: Plan, model: Model) -> list[Case]:
    allowed, source = plan.frame.connections.clamp_uplift, plan.frame.connections.source
    if allowed is None:
        return []
    area = clamp_area(plan, model)
    # A fastener's effective wind area is what it holds, not the module (ASCE 7 26.2, from memory).
    rows = _rows(plan, plan.basis.us.method)
    nets = _nets(plan, model, rows, area)
    if not nets.min() < 0.0:
        return []
    row = rows[int(nets.argmin())]

    def run() -> Array:
        held = given("widest rail strip times module side", "A_t [m**2]", area, Certainty.DERIVED)
        return force_ratio(
            clamp_force(_pressure(plan, model, row, area), held),
            given(f"frame.connections.clamp_uplift: {source}", "R_c [N]", allowed, Certainty.MAKER),
        )

    return [Case(
        "joint.clamp-uplift", "module clamps at the corners", "clamp pulled off the rail", "joint",
        -float(nets.min()) * area / allowed, row.id, run, "force_ratio", clause=str(source),
    )]  # fmt: skip


def clamps_not_checked(plan: Plan) -> list[Check]:
    """The clamp check when the maker's figure is missing."""
    if plan.frame.connections.clamp_uplift is not None:
        return []
    return [not_checked("joint.clamp-uplift", "module clamps", "clamp pulled off the rail", "joint",
                        "give frame.connections.clamp_uplift from the maker's letter")]  # fmt: skip
