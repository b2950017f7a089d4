"""Snow and earthquake of ASCE 7-16 and ASCE 7-22 against published numbers."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from plumbrail.bases.us.asce7 import seismic, snow
from plumbrail.bases.us.asce7.lookup import PSF
from plumbrail.bases.us.asce7_16 import STANDARD as ASCE_7_16
from plumbrail.bases.us.asce7_16 import provisions as p16
from plumbrail.bases.us.asce7_22 import STANDARD as ASCE_7_22
from plumbrail.bases.us.asce7_22 import provisions as p22

Published = Callable[..., None]
SHEET = "Load calculation of an open structure, ASCE 7-16 (scribd 694096767)"
FORUM = "eng-tips.com qid=49583, worked answer on minimum snow loads"
NFBA = "NFBA, September 2025, pp. 25-26, snow loads of ASCE 7-22"
BUTTE = "Calculation of a ground-mounted array, ASCE 7-10, Butte County permit file 1220933"
COPY = "Second-hand copy of ASCE 7-16 chapter 7"
MEMORY = "from memory, not found in print"


def test_flat_and_sloped_snow_of_an_open_structure(published: Published) -> None:
    C_e = snow.exposure_factor("C", "fully exposed")
    C_t = ASCE_7_16.thermal_factor()
    I_s = ASCE_7_16.importance("II").I_s
    published(SHEET, "C_e, exposure C, fully exposed", 0.9, C_e, 0.05)
    published(SHEET, "C_t, open air", 1.2, C_t, 0.05)
    published(SHEET, "I_s, risk category II", 1.0, I_s, 0.05)
    p_f = p16.flat_snow(C_e, C_t, I_s, 20.0 * PSF)
    published(SHEET, "p_f, 20 psf", 15.12, p_f / PSF, 0.005, "psf")
    p_s = snow.balanced_snow(snow.slope_factor_of(0.0, C_t, slippery=False), p_f)
    published(SHEET, "p_s, flat", 15.12, p_s / PSF, 0.005, "psf")


@pytest.mark.parametrize(
    ("category", "printed"), [("I", 0.8), ("II", 1.0), ("III", 1.1), ("IV", 1.2)]
)
def test_snow_importance(published: Published, category: str, printed: float) -> None:
    ours = ASCE_7_16.importance(category).I_s
    published(SHEET, f"I_s, risk category {category}", printed, ours, 0.05)


def test_flat_snow_of_7_22_has_no_importance(published: Published) -> None:
    ours = p22.flat_snow(1.0, 1.0, 40.0) / 40.0
    published(NFBA, "p_f / p_g with C_e = C_t = 1: 0.7 in Eq. 7.3-1", 0.7, ours, 0.05)


def test_minimum_snow_of_low_slopes(published: Published) -> None:
    ours = p16.minimum_snow(1.0, np.array([15.0, 60.0]) * PSF) / PSF
    published(FORUM, "p_g 15 psf", 15.0, ours[0], 0.5, "psf")
    published(FORUM, "p_g 60 psf", 20.0, ours[1], 0.5, "psf")
    low = snow.not_under_minimum(np.radians([14.9, 15.0]), 10.0, 20.0)
    published(COPY, "7.3.4, slope 14.9 deg: minimum holds", 20.0, low[0], 1e-9,
              certainty="second_hand")  # fmt: skip
    published(COPY, "7.3.4, slope 15 deg: no minimum", 10.0, low[1], 1e-9,
              certainty="second_hand")  # fmt: skip


@pytest.mark.parametrize(("category", "printed"), [("I", 25), ("II", 30), ("III", 35), ("IV", 40)])
def test_upper_limit_of_the_minimum_in_7_22(
    published: Published, category: str, printed: float
) -> None:
    source = f"ASCE 7-22 Table 7.3-4, {MEMORY}"
    ours = ASCE_7_22.minimum_snow(60.0 * PSF, category) / PSF
    published(source, f"p_m,max, {category}", printed, ours, 0.5, "psf", "memory")
    capped = p22.minimum_snow(20.0 * PSF, printed * PSF) / PSF
    published(source, f"p_m at p_g 20 psf, {category}", 20.0, capped, 0.5, "psf", "memory")


# C_t, slippery, theta up to which C_s is 1 (deg)
LINES = [
    (1.0, True, 5.0), (1.0, False, 30.0), (1.1, True, 10.0),
    (1.1, False, 37.5), (1.2, True, 15.0), (1.2, False, 45.0),
]  # fmt: skip


@pytest.mark.parametrize(("C_t", "slippery", "limit"), LINES)
def test_slope_factor_lines(published: Published, C_t: float, slippery: bool, limit: float) -> None:
    angles = np.radians([limit, (limit + 70.0) / 2, 70.0, 80.0])
    ours = snow.slope_factor_of(angles, C_t, slippery)
    item = f"Fig. 7.4-1, C_t {C_t}, {'slippery' if slippery else 'other'}"
    for place, printed, value in zip(
        ("last full slope", "half way to 70 deg", "70 deg", "80 deg"), (1.0, 0.5, 0.0, 0.0), ours,
        strict=True,
    ):  # fmt: skip
        published(COPY, f"{item}, {place}", printed, value, 1e-9, certainty="second_hand")


def test_slope_factor_of_a_typical_array(published: Published) -> None:
    tilt = np.radians(32.0)
    by_hand = "Computed by hand from 1 - (t - 15)/55"
    ours = snow.slope_factor(tilt, np.radians(15.0))
    published(by_hand, "32 deg, slippery, open air", 0.691, ours, 5e-4, certainty="derived")
    rough = snow.slope_factor_of(tilt, 1.2, slippery=False)
    published(by_hand, "32 deg, not slippery", 1.0, rough, 0.0, certainty="derived")
    limit = np.degrees(snow.slope_that_holds(1.2, *np.radians([5.0, 10.0, 15.0])))
    published(COPY, "Fig. 7.4-1, C_t 1.2, slippery", 15.0, limit, 1e-9, "deg",
              "second_hand")  # fmt: skip


EXPOSURES = {"B": (0.9, 1.0, 1.2), "C": (0.9, 1.0, 1.1), "D": (0.8, 0.9, 1.0)}


@pytest.mark.parametrize("exposure", EXPOSURES)
def test_snow_exposure_factor(published: Published, exposure: str) -> None:
    words = ("fully exposed", "partially exposed", "sheltered")
    for surroundings, printed in zip(words, EXPOSURES[exposure], strict=True):
        ours = snow.exposure_factor(exposure, surroundings)
        published(COPY, f"Table 7.3-1, {exposure}, {surroundings}", printed, ours, 1e-9,
                  certainty="second_hand")  # fmt: skip


def test_snow_in_the_seismic_weight(published: Published) -> None:
    below, above = 29.9 * PSF, 30.1 * PSF
    ours = p16.snow_in_seismic_weight(np.array([below, above])) / np.array([below, above])
    published(NFBA, "7-16, share up to 30 psf", 0.0, ours[0], 0.005)
    published(NFBA, "7-16, share above 30 psf", 0.20, ours[1], 0.005)
    below, above = 44.9 * PSF, 45.1 * PSF
    ours = p22.snow_in_seismic_weight(np.array([below, above])) / np.array([below, above])
    published(NFBA, "7-22, share up to 45 psf", 0.0, ours[0], 0.005)
    published(NFBA, "7-22, share above 45 psf", 0.15, ours[1], 0.005)


def test_seismic_coefficient_of_a_ground_array(published: Published) -> None:
    # S_DS 0.60, R 1.25, I_e 1.0; the sheet prints 0.026 for 0.044 S_DS I_e and does not apply the
    # 0.03 of Eq. 15.4-1, which does not matter beside 0.48.
    R, I_e = seismic.response_factor(), seismic.importance_factor("II")
    published(BUTTE, "R, Table 15.4-2", 1.25, R, 0.005)
    published(BUTTE, "importance factor", 1.00, I_e, 0.005)
    published(BUTTE, "C_s, S_DS 0.60", 0.480, seismic.plateau_coefficient(0.6, R, I_e), 5e-4)
    governs = ASCE_7_16.base_shear_coefficient(S_DS=0.6, risk_category="II", rigid=False)
    published(BUTTE, "C_s, design", 0.480, governs, 5e-4)
    least = seismic.least_coefficient(np.array([0.6, 1.0]), 1.0)
    source = f"ASCE 7-16 Eq. 15.4-1, {MEMORY}"
    published(source, "least C_s", 0.03, least[0], 5e-3, certainty="memory")
    published(source, "0.044 S_DS I_e at S_DS 1", 0.044, least[1], 5e-4, certainty="memory")


def test_rigid_structure_and_vertical_effect(published: Published) -> None:
    source = f"ASCE 7-16, {MEMORY}"
    ours = seismic.rigid_coefficient(1.0, 1.0)
    published(f"{source}, Eq. 15.4-5", "V / (S_DS W I_e)", 0.30, ours, 5e-3, certainty="memory")
    ours = seismic.vertical_effect(1.0, 1.0)
    published(f"{source}, Eq. 12.4-4a", "E_v / (S_DS D)", 0.2, ours, 0.05, certainty="memory")
