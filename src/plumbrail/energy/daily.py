"""From the light of a day to its parts: outside the air, clearness, share of the sky, hours."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.trace import Certainty, provision

Array = NDArray[np.float64]
ERBS = "Erbs, Klein and Duffie 1982, Solar Energy 28"
M = Certainty.MEMORY
WINTER = float(np.radians(81.4))
"""Sunset hour angle up to which the season is winter."""
MEAN_DAY = np.array([17, 47, 75, 105, 135, 162, 198, 228, 258, 288, 318, 344])
"""Day of the year that stands for each month (Klein 1977)."""
_SUNSET = {"omega_s": (0.6, 2.6)}
_HOUR = {"omega": (-2.6, 2.6)}


def sunset_angle(phi: Array, delta: Array) -> Array:
    """Hour angle at which the sun's middle sets, arccos(−tan φ tan δ); 0 and π beyond the circles
    where it does not rise or set [rad]."""
    return np.asarray(np.arccos(np.clip(-np.tan(phi) * np.tan(delta), -1.0, 1.0)))


@provision(
    "Sunlight on level ground without air, summed over a day", "H_0 [J/m**2]",
    "t_day*G_on/pi*(cos(phi)*cos(delta)*sin(omega_s) + omega_s*sin(phi)*sin(delta))",
    Certainty.DERIVED, G_on="W/m**2", phi="rad", delta="rad", omega_s="rad",
    constants={"t_day": (86400.0, "s")},
    ranges={"phi": (-1.1, 1.1), "delta": (-0.4, 0.4)} | _SUNSET,
)  # fmt: skip
def daily_outside(G_on: Array, phi: Array, delta: Array, omega_s: Array) -> Array:
    """Energy of a day on level ground outside the air."""
    return np.asarray(86400.0 * G_on / np.pi * (
        np.cos(phi) * np.cos(delta) * np.sin(omega_s) + omega_s * np.sin(phi) * np.sin(delta)
    ))  # fmt: skip


@provision(
    ERBS + ", monthly", "f_d [-]",
    "where(omega_s <= omega_w, 1.391 - 3.560*K_T + 4.189*K_T**2 - 2.137*K_T**3,"
    " 1.311 - 3.022*K_T + 3.427*K_T**2 - 1.821*K_T**3)", M,
    K_T="-", omega_s="rad", constants={"omega_w": (WINTER, "rad")},
    ranges={"K_T": (0.3, 0.8)} | _SUNSET,
)  # fmt: skip
def monthly_sky_share(K_T: Array, omega_s: Array) -> Array:
    """Share of a mean day's light that comes from the sky, 0.3 <= K_T <= 0.8."""
    winter = 1.391 - 3.560 * K_T + 4.189 * K_T**2 - 2.137 * K_T**3
    summer = 1.311 - 3.022 * K_T + 3.427 * K_T**2 - 1.821 * K_T**3
    return np.where(omega_s <= WINTER, winter, summer)


@provision(
    ERBS + ", hourly", "f_d [-]",
    "where(k_T <= 0.22, 1 - 0.09*k_T, where(k_T <= 0.8, 0.9511 - 0.1604*k_T + 4.388*k_T**2"
    " - 16.638*k_T**3 + 12.336*k_T**4, 0.165))", M, k_T="-", ranges={"k_T": (0.0, 1.0)},
)  # fmt: skip
def hourly_sky_share(k_T: Array) -> Array:
    """Share of an hour's light that comes from the sky."""
    k_T = np.asarray(k_T)
    middle = 0.9511 - 0.1604 * k_T + 4.388 * k_T**2 - 16.638 * k_T**3 + 12.336 * k_T**4
    return np.where(k_T <= 0.22, 1 - 0.09 * k_T, np.where(k_T <= 0.8, middle, 0.165))


@provision(
    "Liu and Jordan 1960, Solar Energy 4", "r_d [-]",
    "pi/24*maximum(0, cos(omega) - cos(omega_s))/(sin(omega_s) - omega_s*cos(omega_s))", M,
    omega="rad", omega_s="rad", ranges=_HOUR | _SUNSET,
)  # fmt: skip
def hour_of_sky(omega: Array, omega_s: Array) -> Array:
    """Share of a day's sky light in the hour about omega; also of the light outside the air."""
    lit = np.maximum(0, np.cos(omega) - np.cos(omega_s))
    return np.asarray(np.pi / 24 * lit / (np.sin(omega_s) - omega_s * np.cos(omega_s)))


@provision(
    "Collares-Pereira and Rabl 1979, Solar Energy 22", "r_t [-]",
    "(0.409 + 0.5016*sin(omega_s - omega_60) + (0.6609 - 0.4767*sin(omega_s - omega_60))"
    "*cos(omega))*r_d", M,
    omega="rad", omega_s="rad", r_d="-", constants={"omega_60": (np.pi / 3, "rad")},
    ranges=_HOUR | _SUNSET,
)  # fmt: skip
def hour_of_total(omega: Array, omega_s: Array, r_d: Array) -> Array:
    """Share of a day's whole light in the hour about omega."""
    turned = np.sin(omega_s - np.pi / 3)
    return np.asarray((0.409 + 0.5016 * turned + (0.6609 - 0.4767 * turned) * np.cos(omega)) * r_d)
