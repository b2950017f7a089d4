"""How far a weather station is from the site."""

from __future__ import annotations

import numpy as np

from plumbrail.weather.year import WeatherYear

FAR, HIGHER = 80_000.0, 300.0
"""Distance and difference of height [m] from which a warning is due. Judgements."""
EARTH = 6371008.8
"""Mean radius of the earth [m]."""


def far_from(year: WeatherYear, latitude: float, longitude: float, elevation: float) -> str | None:
    """A warning when the year was not measured at the site (rad, rad, m); None when it was."""
    distance = ground_distance(year.latitude, year.longitude, latitude, longitude)
    higher = elevation - year.elevation
    words = []
    if distance > FAR:
        words.append(f"{distance / 1000:.0f} km ({distance / 1609.344:.0f} mi) away from the site")
    if abs(higher) > HIGHER:
        way = "below" if higher > 0 else "above"
        words.append(f"{abs(higher):.0f} m ({abs(higher) / 0.3048:.0f} ft) {way} it")
    if not words:
        return None
    return (
        f"The weather was measured {' and '.join(words)} ({year.source}). Sun, cold and snow may "
        "differ; take a nearer station or monthly means for the site."
    )


def ground_distance(phi_1: float, lambda_1: float, phi_2: float, lambda_2: float) -> float:
    """Distance [m] over the earth taken as a sphere, by the haversine formula; angles in rad."""
    half = np.sin((phi_2 - phi_1) / 2) ** 2
    half += np.cos(phi_1) * np.cos(phi_2) * np.sin((lambda_2 - lambda_1) / 2) ** 2
    return float(2 * EARTH * np.arcsin(np.sqrt(min(half, 1.0))))
