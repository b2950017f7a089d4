"""NFPA 70 Annex I: torque of screws where the maker states none."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .lookup import number

Array = NDArray[np.float64]


def torque(size: str, connector: str) -> Array:
    """Torque [N*m] by the conductor in the connector; 0-d.

    ``connector``: small slot (at most .047 in wide and 1/4 in long), large slot, split bolt,
    other. A torque marked on the equipment goes before it.
    """
    return number("torque", "torque", size=size, connector=connector)


def socket_torque(across: str) -> Array:
    """Torque [N*m] of a socket-head screw by its width across flats, e.g. ``3/16 in``; 0-d."""
    return number("socket_torque", "torque", across=across)
