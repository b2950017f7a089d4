"""What is taken where nobody says. Common practice, no published source."""

from __future__ import annotations

GRASS = 0.2
"""Albedo: grass."""
MODULE_WIND = float((2 / 10) ** (1 / 7))
"""Wind 2 m above open ground over that at 10 m, where stations measure: power of 1/7."""
DAILY_SWING = 10.0
"""Warmest less coldest hour of a day [K]."""
WARMEST = 15.0
"""Hour of the day, standard time, that is warmest."""
