"""ASCE 7-16 as a load standard: tables looked up, provisions applied, arguments checked."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plumbrail.bases.us.asce7 import seismic, snow
from plumbrail.bases.us.asce7.checked import exponent_and_height, factor, kept, wind_speed
from plumbrail.bases.us.asce7.combinations import read_combinations
from plumbrail.bases.us.asce7.components import component_exposure_coefficient
from plumbrail.bases.us.asce7.lookup import row_value, value
from plumbrail.bases.us.asce7_16 import provisions
from plumbrail.bases.us.loads import Combination, Importance

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Asce716:
    """The answers of ASCE 7-16 to the ``LoadStandard`` protocol."""

    @property
    def title(self) -> str:
        """As cited."""
        return "ASCE 7-16"

    def velocity_pressure(
        self, *, V: ArrayLike, exposure: str, z: ArrayLike,
        K_zt: ArrayLike, K_e: ArrayLike, K_d: ArrayLike,
    ) -> Array:  # fmt: skip
        """Velocity pressure [Pa] at z [m] for V [m/s]; K_d is in it."""
        terms = factor("K_zt", K_zt), factor("K_d", K_d), factor("K_e", K_e)
        K_z = self.exposure_coefficient(exposure, z)
        return provisions.velocity_pressure(K_z, *terms, wind_speed(V))

    def component_velocity_pressure(
        self, *, V: ArrayLike, exposure: str, z: ArrayLike,
        K_zt: ArrayLike, K_e: ArrayLike, K_d: ArrayLike,
    ) -> Array:  # fmt: skip
        """As ``velocity_pressure`` for components: in exposure B with K_z not under 0.70."""
        terms = factor("K_zt", K_zt), factor("K_d", K_d), factor("K_e", K_e)
        K_z = component_exposure_coefficient(self.exposure_coefficient(exposure, z))
        return provisions.velocity_pressure(K_z, *terms, wind_speed(V))

    def exposure_coefficient(self, exposure: str, z: ArrayLike) -> Array:
        """K_z [-] at height z [m] for exposure B, C or D."""
        shape = exponent_and_height("exposure_16", exposure, z)
        return provisions.exposure_coefficient(shape.z, shape.z_g, shape.alpha)

    def net_pressure(self, q: ArrayLike, K_d: ArrayLike, G: ArrayLike, C_N: ArrayLike) -> Array:
        """Net pressure [Pa]; K_d is checked but not applied: it is in q."""
        factor("K_d", K_d)
        return provisions.net_pressure(kept(q), factor("G", G), kept(C_N))

    def flat_snow(
        self, *, p_g: ArrayLike, C_e: ArrayLike, C_t: ArrayLike, risk_category: str
    ) -> Array:
        """Flat roof snow load p_f [Pa]."""
        I_s = value("importance_snow", "I_s", risk_category=risk_category)
        terms = factor("C_e", C_e), factor("C_t", C_t), I_s
        return provisions.flat_snow(*terms, snow.checked_ground_snow(p_g))

    def sloped_snow(
        self, *, p_g: ArrayLike, C_e: ArrayLike, C_t: ArrayLike, risk_category: str,
        theta: ArrayLike, slippery: bool,
    ) -> Array:  # fmt: skip
        """Snow load [Pa] on the horizontal projection, with the minimum of slopes under 15 deg."""
        p_f = self.flat_snow(p_g=p_g, C_e=C_e, C_t=C_t, risk_category=risk_category)
        p_s = snow.balanced_snow(snow.slope_factor_of(theta, C_t, slippery), p_f)
        return snow.not_under_minimum(kept(theta), p_s, self.minimum_snow(p_g, risk_category))

    def minimum_snow(self, p_g: ArrayLike, risk_category: str) -> Array:
        """Minimum snow load p_m [Pa] of slopes under 15 deg."""
        I_s = value("importance_snow", "I_s", risk_category=risk_category)
        return provisions.minimum_snow(I_s, snow.checked_ground_snow(p_g))

    def thermal_factor(self) -> Array:
        """C_t of a structure in open air [-]."""
        condition = "unheated and open air"
        return row_value("snow_thermal", "C_t", "certainty_16", condition=condition)

    def snow_for_seismic(self, p_f: ArrayLike) -> Array:
        """Snow [Pa of horizontal projection] that counts as seismic weight."""
        return provisions.snow_in_seismic_weight(snow.checked_ground_snow(p_f))

    def base_shear_coefficient(self, *, S_DS: ArrayLike, risk_category: str, rigid: bool) -> Array:
        """Horizontal seismic force over seismic weight [-]."""
        return seismic.base_shear_coefficient(S_DS, risk_category, rigid)

    def importance(self, risk_category: str) -> Importance:
        """Importance factors of the risk category."""
        I_s = value("importance_snow", "I_s", risk_category=risk_category)
        return Importance(risk_category, I_s, seismic.importance_factor(risk_category))

    def combinations(self, method: str) -> tuple[Combination, ...]:
        """Combinations of ``ASD`` or ``LRFD`` in printed order."""
        return read_combinations("combinations_16", method)


STANDARD = Asce716()
"""ASCE 7-16."""
