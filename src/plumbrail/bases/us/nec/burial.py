"""NFPA 70, 300.5: least cover over cables and raceways in the ground."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .lookup import number, words

Array = NDArray[np.float64]
VOLTAGE_LIMIT = 1000.0
"""[V] up to which the table holds; above, 300.50 gives other depths, not covered here."""
RISER_METHODS = ("PVC 80", "RMC")
"""Raceways that may come out of the ground where they can be damaged, 300.5(D)."""
RISER_TOP = 8 * 0.3048
"""Height above grade to which a riser is protected [m]; from memory."""
RISER_BOTTOM = 18 * 0.0254
"""Depth below grade from which it is protected at the most [m]; from memory."""
RIBBON_ABOVE = 12 * 0.0254
"""Height of a warning ribbon above the raceway [m]: asked of service conductors only, and good
practice for all others."""


def least_cover(method: str, surface: str) -> Array:
    """Least cover [m] from the top of a cable or raceway to finished grade; 0-d.

    ``method``: PVC 40, PVC 80, RMC, EMT or direct burial; ``surface`` as in the plan. Trench
    depth is cover, outer diameter and bedding together. Raises TableError for what the table does
    not have, such as bare cable under a building.
    """
    column = words("cover_column", "column", method=method)
    return number("cover", "cover", surface=surface, column=column)
