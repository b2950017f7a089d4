"""The shape of the plan file.

Frozen pydantic models with unknown keys refused. Every quantity is SI here; the plan file writes
it with a unit. A field without a default must be stated: the law, an engineer or the builder
decides it, and its description says whom to ask. The first of a field's ``examples`` is the value
in the starter plan and, where the field has a default, that default as a builder writes it.
"""

from __future__ import annotations

from pydantic import Field

from plumbrail.plan.as_built import AsBuilt, AsBuiltPost
from plumbrail.plan.layout import ArrayLayout, Module, SetOut
from plumbrail.plan.piers import Piers
from plumbrail.plan.place import Bases, Ground, Job, Site, Soil, UsBasis
from plumbrail.plan.section import SawnSticks, Section, Sticks
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
from plumbrail.plan.truing import Instrument, Tolerances, Truing

__all__ = [
    "ArrayLayout", "AsBuilt", "AsBuiltPost", "Bases", "Brace", "ConcreteStock", "Connections",
    "Deflection", "Frame",
    "Ground", "GroundMount", "Instrument", "Job", "Module", "Piers", "PipePrices", "PipeStock",
    "Plan", "Rail", "RailStock", "SawnSticks", "Section", "SetOut", "Site", "Soil", "Splice",
    "SpliceRules", "Sticks", "Stock", "Tolerances", "Truing", "Tube", "UsBasis",
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
    as_built: AsBuilt | None = None
