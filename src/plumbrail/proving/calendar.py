"""What a finished array needs through the years. Common practice, no published source."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from plumbrail.trace import Certainty


@dataclass(frozen=True)
class Duty:
    """One thing to do again and again."""

    words: str
    months: int
    """Between two times."""
    first: int
    """Months after the hand-over."""
    certainty: Certainty = Certainty.PRACTICE

    def due(self, start: date) -> date:
        """Day of the first time after a hand-over on ``start``."""
        month = start.month - 1 + self.first
        year, month = start.year + month // 12, month % 12 + 1
        return date(year, month, min(start.day, 28))


DUTIES = (
    Duty("Look at the equipment: no fault shown, power as the light has it", 1, 1),
    Duty("Marks on screws and clamps: none has turned. Re-torque only where the maker says so: a "
         "screw that was right reads lower later", 12, 3),
    Duty("Vegetation: nothing shades or touches modules, clear access and fire break", 3, 3),
    Duty("Cleaning: by the loss in power, with water and no pressure washer; never hot glass with "
         "cold water", 6, 6),
    Duty("Frame and piers: plumb, zinc, cracks, frost heave, water standing at posts", 12, 12),
    Duty("Wires: clips, chafing, gnawing, connectors closed and dry; conduit and expansion", 12,
         12),
    Duty("Signs legible, disconnect turns and locks", 12, 12),
    Duty("Ground-fault and arc-fault tests of the equipment by its manual", 12, 12),
    Duty("Thermal look in good sun", 24, 12),
    Duty("Open voltage, current and insulation of every string, against this record", 36, 36),
)  # fmt: skip
