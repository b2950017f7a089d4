"""The frame solved once for all basic cases, and combined where it is asked for."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.bases.us.common import Method
from plumbrail.bases.us.loads import Factors, expand
from plumbrail.bases.us.standards import load_standard
from plumbrail.checks.actions import UNIT_CASES, Actions, actions_of, loads_of
from plumbrail.checks.framing import Framing, frame_of
from plumbrail.frame import InternalForces, Solution, internal_forces, solve
from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
STATIONS = 9
"""Places along each member, and every step of the load besides."""


@dataclass(frozen=True)
class Combined:
    """Combinations over all basic cases of the solution (unit cases have factor 0)."""

    factors: Factors
    matrix: Array
    """(combinations, cases of the solution)."""
    method: Method

    @property
    def ids(self) -> tuple[str, ...]:
        """Names of the combinations."""
        return self.factors.ids


@dataclass(frozen=True)
class Forces:
    """Stress resultants (members, combinations, stations), local axes of the members."""

    N: Array
    V_y: Array
    V_z: Array
    T: Array
    M_y: Array
    M_z: Array


@dataclass(frozen=True)
class Response:
    """Everything the checks ask of the frame."""

    framing: Framing
    actions: Actions
    solution: Solution
    internal: InternalForces
    strength: Combined
    """Combinations of the plan's method with wind on the frame."""
    parts: Combined
    """The same with wind on components."""
    service: Combined
    """Allowable-stress combinations with wind on the frame: soil, deflection."""

    @property
    def residual(self) -> float:
        """Largest unbalanced share of the load over all cases."""
        return float(self.solution.residual.max())

    def forces(self, members: IntArray, combined: Combined) -> Forces:
        """Combined stress resultants of some members."""
        i = self.internal

        def of(values: Array) -> Array:
            return combined.matrix @ np.moveaxis(values[0][:, members], 0, 1)

        return Forces(of(i.N), of(i.V_y), of(i.V_z), of(i.T), of(i.M_y), of(i.M_z))

    def places(self, members: IntArray) -> Array:
        """Distance of the stations from the start of the part, (members, stations) [m]."""
        return self.framing.offset[members, None] + self.internal.x[0, members]

    def deflections(self, members: IntArray, combined: Combined) -> Array:
        """(members, combinations, stations, 3) global [m]."""
        values = np.moveaxis(self.internal.deflection[0][:, members], 0, 1)
        many, cases, stations, _ = values.shape
        found = combined.matrix @ values.reshape(many, cases, -1)
        return np.asarray(found.reshape(many, -1, stations, 3))

    def displacements(self, nodes: IntArray, combined: Combined) -> Array:
        """(nodes, combinations, 6) global."""
        values = self.solution.displacements[0][:, nodes]
        return np.asarray(combined.matrix @ np.moveaxis(values, 0, 1))

    def end_forces(self, members: IntArray, combined: Combined) -> Array:
        """(members, combinations, 12) of the nodes on the members, local axes."""
        values = self.solution.end_forces[0][:, members]
        return np.asarray(combined.matrix @ np.moveaxis(values, 0, 1))

    def upward(self, nodes: IntArray, combined: Combined) -> Array:
        """(combinations, nodes) vertical reactions [N]."""
        return np.asarray(combined.matrix @ self.solution.reactions[0][:, nodes, 2])


def response_of(plan: Plan, model: Model) -> Response:
    """Solve the frame of a plan and prepare its combinations."""
    framing = frame_of(plan, model)
    actions = actions_of(plan, model, framing)
    loads = loads_of(model, framing, actions)
    solution = solve(framing.frame, loads)
    internal = internal_forces(framing.frame, loads, solution, STATIONS)
    method = plan.basis.us.method
    return Response(
        framing, actions, solution, internal,
        combinations_of(plan, actions, method, component=False),
        combinations_of(plan, actions, method, component=True),
        combinations_of(plan, actions, "ASD", component=False),
    )  # fmt: skip


def combinations_of(plan: Plan, actions: Actions, method: Method, component: bool) -> Combined:
    """The standard's combinations spread over the plan's cases."""
    standard = load_standard(plan.basis.us.loads)
    factors = expand(standard.combinations(method), actions.of(component))
    column = {c.id: i for i, c in enumerate(actions.cases)}
    matrix = np.zeros((len(factors.ids), len(actions.cases) + len(UNIT_CASES)))
    matrix[:, [column[c] for c in factors.cases]] = factors.array
    return Combined(factors, matrix, method)
