"""The shape of the plan file.

Frozen pydantic models with unknown keys refused. Every quantity is SI here; the plan file writes
it with a unit. A field without a default must be stated: the law, an engineer or the builder
decides it, and its description says whom to ask. The first of a field's ``examples`` is the value
in the starter plan and, where the field has a default, that default as a builder writes it.
"""

from __future__ import annotations

from pydantic import Field

from plumbrail.plan.as_built import AsBuilt, AsBuiltPost
from plumbrail.plan.changeover import OldArray, OldString, Reserve
from plumbrail.plan.energy import Energy, Generator, Losses, OffGrid, Weather
from plumbrail.plan.grounds import Boundary, Easement, Locate, Region, Service
from plumbrail.plan.layout import ArrayLayout, Module, SetOut
from plumbrail.plan.piers import Piers
from plumbrail.plan.place import Bases, Ground, Job, Site, Soil, UsBasis
from plumbrail.plan.proving import Meter, Proving
from plumbrail.plan.section import SawnSticks, Section, Sticks
from plumbrail.plan.shade import Box, OtherArray, Shade, Tree
from plumbrail.plan.structure import (
    Brace,
    Connections,
    Deflection,
    Frame,
    GroundMount,
    Rail,
    Splice,
    Tube,
)
from plumbrail.plan.supplies import (
    ConcreteStock,
    PipePrices,
    PipeStock,
    RailStock,
    SpliceRules,
    Stock,
)
from plumbrail.plan.trench import Trench
from plumbrail.plan.truing import Instrument, Tolerances, Truing
from plumbrail.plan.wiring import (
    Combiners,
    Conductors,
    ElectricBasis,
    Equipment,
    Run,
    WirePrices,
    Wiring,
)
from plumbrail.plan.works import Curing, Inspections, WorkRates, Works

__all__ = [
    "ArrayLayout", "AsBuilt", "AsBuiltPost", "Bases", "Boundary", "Box", "Brace", "Combiners",
    "ConcreteStock", "Conductors", "Connections", "Curing", "Deflection", "Easement",
    "ElectricBasis", "Energy", "Equipment", "Frame", "Generator", "Ground", "GroundMount",
    "Inspections", "Instrument", "Job", "Locate", "Losses", "Meter", "Module", "OffGrid",
    "OldArray", "OldString", "OtherArray", "Piers", "PipePrices", "PipeStock", "Plan", "Proving",
    "Rail", "RailStock", "Region", "Reserve", "Run", "SawnSticks", "Section", "Service", "SetOut",
    "Shade", "Site", "Soil", "Splice", "SpliceRules", "Sticks", "Stock", "Tolerances", "Tree",
    "Trench", "Truing", "Tube", "UsBasis", "Weather", "WirePrices", "Wiring", "WorkRates", "Works",
]  # fmt: skip


class Plan(Section):
    """The whole plan."""

    job: Job
    basis: Bases
    site: Site
    module: Module
    array: ArrayLayout
    frame: Frame
    piers: Piers
    stock: Stock
    tolerances: Tolerances
    setout: SetOut = Field(default_factory=SetOut)
    truing: Truing = Field(default_factory=Truing)
    energy: Energy | None = None
    wiring: Wiring | None = None
    trench: Trench | None = None
    works: Works | None = None
    old_array: OldArray | None = None
    proving: Proving = Field(default_factory=Proving)
    as_built: AsBuilt | None = None
