"""Batched elastic analysis of 3D frames; theory and signs in ``docs/method/frame.md``."""

from plumbrail.frame.internal import internal_forces
from plumbrail.frame.loading import combine, self_weight
from plumbrail.frame.model import (
    DOFS,
    Frame,
    FrameError,
    InternalForces,
    Loads,
    Points,
    Solution,
    Spans,
)
from plumbrail.frame.solver import UnbalancedError, solve

__all__ = [
    "DOFS", "Frame", "FrameError", "InternalForces", "Loads", "Points", "Solution", "Spans",
    "UnbalancedError", "combine", "internal_forces", "self_weight", "solve",
]  # fmt: skip
