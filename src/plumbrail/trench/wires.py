"""What lies in the conduit, as far as pulling it is concerned."""

from __future__ import annotations

import numpy as np

from plumbrail.bases.us.nec import raceway
from plumbrail.bases.us.nec.wire import circular_mils
from plumbrail.errors import RangeError, TableError
from plumbrail.plan.models import Plan, Trench
from plumbrail.trace import Certainty, given
from plumbrail.trench import pulling
from plumbrail.trench.parts import Bundle, Wires
from plumbrail.trench.planar import Array

DENSITY = {"copper": 8890.0, "aluminium": 2700.0}
PLASTIC = 1400.0
"""Of the insulation, PVC and nylon [kg/m3]; practice."""
GRAVITY = 9.80665
INCH = 0.0254
RADII = {
    "1/2": 4.0, "3/4": 5.0, "1": 6.0, "1-1/4": 8.0, "1-1/2": 10.0, "2": 12.0, "2-1/2": 15.0,
    "3": 18.0, "3-1/2": 21.0, "4": 24.0,
}  # fmt: skip
"""Least radius of bends made in the field, to the centre line [in]: NFPA 70 Chapter 9 Table 2,
other bends, from memory."""


class Cable:
    """The wires of the run. Every number that it gives enters the record of who asks.

    Raises RangeError or TableError, in words, on making it for wires whose weight is not known.
    """

    def __init__(self, plan: Plan, trench: Trench, wires: Wires) -> None:
        self.plan, self.trench, self.wires = plan, trench, wires
        if not wires.trade:
            raise RangeError("the trade size of the conduit is not known: see the wiring")
        if trench.pull.bend_radius is None and wires.trade not in RADII:
            raise RangeError("give trench.pull.bend_radius")
        self.weight()
        self.correction()
        self.limit()

    @property
    def power(self) -> Bundle:
        """The circuit conductors."""
        return next(b for b in self.wires.bundles if not b.grounding)

    @property
    def count(self) -> int:
        """All wires, the grounding one too."""
        return sum(b.count for b in self.wires.bundles)

    def area(self, bundle: Bundle) -> Array:
        """Of one wire, insulation included [m2]."""
        own = self.plan.wiring.conductors.run_diameter if self.plan.wiring else None
        if own is not None and not bundle.grounding:
            return raceway.area_of_diameter(
                given("wiring.conductors.run_diameter", "OD [m]", own, Certainty.MAKER)
            )
        return raceway.conductor_area(bundle.size, bundle.insulation)

    def metal(self, bundle: Bundle) -> Array:
        """Area of metal of one wire [m2]."""
        area = float(circular_mils(bundle.size)) * pulling.CMIL
        return given("NFPA 70 Chapter 9 Table 8", "A [m**2]", area, Certainty.SECOND_HAND)

    def weight(self) -> Array:
        """Of all wires together [N/m]."""
        own = self.trench.pull.wire_weight
        if own is not None:
            return given("trench.pull.wire_weight", "w [N/m]", own * GRAVITY, Certainty.MAKER)
        total = 0.0
        for b in self.wires.bundles:
            dense = given("density of the metal", "rho_c [kg/m**3]", DENSITY[b.metal],
                          Certainty.MEMORY)  # fmt: skip
            plastic = given("density of insulation", "rho_i [kg/m**3]", PLASTIC, Certainty.PRACTICE)
            total += b.count * float(pulling.wire_weight(dense, self.metal(b), plastic,
                                                         self.area(b)))  # fmt: skip
        return given("all wires of the run", "w [N/m]", total, Certainty.PRACTICE)

    def diameter(self) -> float:
        """Of a wire, the mean of all [m]."""
        every = [float(np.sqrt(4 * float(self.area(b)) / np.pi)) for b in self.wires.bundles
                 for _ in range(b.count)]  # fmt: skip
        return float(np.mean(every))

    def inner(self) -> float:
        """Inner diameter of the conduit, the narrower of run and riser [m]."""
        return min(float(raceway.inner_diameter(m, self.wires.trade))
                   for m in (self.wires.method, self.wires.riser))  # fmt: skip

    def correction(self) -> Array:
        """Weight correction: the wires wedge themselves apart."""
        if self.count == 1:
            return given("a single wire", "W_c [-]", 1.0, Certainty.DERIVED)
        d = given("mean of the wires", "d [m]", self.diameter(), Certainty.SECOND_HAND)
        D = given("NFPA 70 Chapter 9 Table 4", "D [m]", self.inner(), Certainty.SECOND_HAND)
        return (pulling.cradled_weight if self.count <= 3 else pulling.many_weight)(d, D)

    def friction(self) -> Array:
        """Of wires in conduit."""
        return given("trench.pull.friction", "mu [-]", self.trench.pull.friction,
                     Certainty.PRACTICE)  # fmt: skip

    def limit(self) -> Array:
        """Tension that conductors and grip stand [N]; the grounding one is not counted."""
        b = self.power
        stress = pulling.COPPER if b.metal == "copper" else pulling.ALUMINIUM
        s = given("0.008 lbf on each circular mil of copper, 0.006 of aluminium", "s [Pa]", stress,
                  Certainty.SECOND_HAND)  # fmt: skip
        N = given("circuit conductors of the run", "N [-]", float(b.count), Certainty.DERIVED)
        stands = pulling.conductor_limit(N, s, self.metal(b))
        if b.count > 3:
            stands = pulling.shared_limit(stands)
        if self.trench.pull.grip == "eye":
            return stands
        grip = given("a basket grip, 1000 lbf", "T_g [N]", pulling.BASKET, Certainty.SECOND_HAND)
        return pulling.grip_limit(stands, grip)

    def radius(self) -> Array:
        """Of bends, to the centre line [m]."""
        own = self.trench.pull.bend_radius
        if own is not None:
            return given("trench.pull.bend_radius", "R [m]", own, Certainty.MAKER)
        least = RADII[self.wires.trade] * INCH
        return given("NFPA 70 Chapter 9 Table 2, other bends", "R [m]", least, Certainty.MEMORY)

    def jam(self) -> Array:
        """Ratio at which three wires jam [-]."""
        d = given("mean of the wires", "d [m]", self.diameter(), Certainty.SECOND_HAND)
        D = given("NFPA 70 Chapter 9 Table 4", "D [m]", self.inner(), Certainty.SECOND_HAND)
        return pulling.jam_ratio(D, d)


def cable(plan: Plan, trench: Trench, wires: Wires) -> Cable | str:
    """The wires, or why nothing can be said of pulling them."""
    try:
        return Cable(plan, trench, wires)
    except (RangeError, TableError) as error:
        return str(error)
