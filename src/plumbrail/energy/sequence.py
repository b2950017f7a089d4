"""Clear and dull days in a likely order, and hours that waver."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from plumbrail.energy.shapes import DayShapes
from plumbrail.trace import Certainty, provision
from plumbrail.weather.year import DAYS

Array = NDArray[np.float64]
BENDT = "Bendt, Collares-Pereira and Rabl 1981, Solar Energy 27"
GRAHAM = "Graham and Hollands 1990, Solar Energy 44"
M = Certainty.MEMORY
DULLEST_DAY = 0.05
"""Clearness of the dullest day, K_min."""
DAY_TO_DAY, HOUR_TO_HOUR = 0.29, 0.54
"""How far a day, and an hour, is like the one before: autocorrelation (Graham and Hollands)."""
CLEAREST_HOUR = 0.85
"""Clearness of an hour is not let above. A judgement."""


@provision(
    BENDT, "K_max [-]", "0.6313 + 0.267*K_T - 11.9*(K_T - 0.75)**8", M, K_T="-",
    ranges={"K_T": (0.2, 0.8)},
)  # fmt: skip
def clearest_day(K_T: Array) -> Array:
    """Clearness of the clearest day in a month of mean clearness K_T."""
    return np.asarray(0.6313 + 0.267 * K_T - 11.9 * (K_T - 0.75) ** 8)


@provision(
    BENDT, "F [-]", "(exp(gamma*K_min) - exp(gamma*K))/(exp(gamma*K_min) - exp(gamma*K_max))", M,
    K="-", K_min="-", K_max="-", gamma="-",
    ranges={"K": (0.1, 0.6), "K_min": (0.01, 0.09), "K_max": (0.6, 0.9), "gamma": (0.1, 9.0)},
)  # fmt: skip
def share_of_duller_days(K: Array, K_min: Array, K_max: Array, gamma: Array) -> Array:
    """Share of the days of a month that are duller than K."""
    low, high = np.exp(gamma * K_min), np.exp(gamma * K_max)
    return np.asarray((low - np.exp(gamma * K)) / (low - high))


@provision(GRAHAM, "sigma [-]", "0.1557*sin(pi*K/0.933)", M, K="-", ranges={"K": (0.05, 0.85)})
def hourly_scatter(K: Array) -> Array:
    """Standard deviation of the clearness of hours in a day of clearness K."""
    return np.asarray(0.1557 * np.sin(np.pi * K / 0.933))


def steepness(K_T: float) -> float:
    """γ of the distribution with the mean K_T, 0.05 < K_T <= 0.8."""
    width = float(clearest_day(np.array(max(K_T, 0.2)))) - DULLEST_DAY
    wanted = min(max((K_T - DULLEST_DAY) / width, 1e-3), 1 - 1e-3)
    if abs(wanted - 0.5) < 1e-6:
        return 12 * (wanted - 0.5) / width

    def gap(x: float) -> float:
        return -1 / np.expm1(-x) - 1 / x - wanted

    low, high = (1e-6, 2000.0) if wanted > 0.5 else (-700.0, -1e-6)
    return float(brentq(gap, low, high)) / width


def day_clearness(K_T: Array, rng: np.random.Generator) -> Array:
    """(365,) clearness of each day: Bendt's share of days, ranked like a series in which each day
    is a little like the one before."""
    series = persistent(rng.standard_normal(365), DAY_TO_DAY)
    return np.concatenate([
        _ranked(float(K), part)
        for K, part in zip(K_T, np.split(series, np.cumsum(DAYS)[:-1]), strict=True)
    ])  # fmt: skip


def _ranked(K_T: float, series: Array) -> Array:
    if K_T == 0:  # polar night
        return np.zeros(series.size)
    gamma = steepness(K_T)
    width = float(clearest_day(np.array(max(K_T, 0.2)))) - DULLEST_DAY
    p = (np.arange(series.size) + 0.5) / series.size
    x = gamma * width
    sorted_days = p if abs(x) < 1e-5 else (
        np.log1p(p * np.expm1(x)) / x if x < 500 else 1 + np.log(p) / x
    )  # fmt: skip
    return np.asarray((DULLEST_DAY + width * sorted_days)[np.argsort(np.argsort(series))])


def persistent(noise: Array, phi: float) -> Array:
    """A series of unit variance along the last axis, each value phi like the one before."""
    found = np.array(noise, dtype=float)
    for i in range(1, found.shape[-1]):
        found[..., i] = phi * found[..., i - 1] + np.sqrt(1 - phi**2) * noise[..., i]
    return found


def noisy_hours(H: Array, shapes: DayShapes, rng: np.random.Generator) -> Array:
    """(8760,) light of each hour [J/m2], wavering about the day's shape; each day sums to H."""
    mean = H[:, None] * shapes.total.reshape(365, 24)
    outside = shapes.outside[:, None] * shapes.even.reshape(365, 24)
    lit = outside > 0
    clear = np.where(lit, mean / np.where(lit, outside, 1.0), 0.0)
    K = H / np.where(shapes.outside > 0, shapes.outside, 1.0)
    noise = persistent(rng.standard_normal((365, 24)), HOUR_TO_HOUR)
    sigma = np.maximum(hourly_scatter(np.minimum(K, 0.93)), 0.0)[:, None]
    hours = outside * np.clip(clear + sigma * noise, 0.0, CLEAREST_HOUR)
    for _ in range(4):
        hours = np.minimum(hours * _scale(H, hours), CLEAREST_HOUR * outside)
    return np.asarray((hours * _scale(H, hours)).ravel())


def _scale(H: Array, hours: Array) -> Array:
    sums = hours.sum(axis=1)
    return np.asarray(np.where(sums > 0, H / np.where(sums > 0, sums, 1.0), 0.0))[:, None]
