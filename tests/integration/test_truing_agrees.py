"""The whole adjustment of the demo notebook against a general least-squares solver.

What each reading would read is written here once more, straight from its definition on the method
page; nothing of ``plumbrail.truing`` but its result is used. The solver is that of
``scipy.optimize.least_squares`` (Levenberg and Marquardt), with slopes by finite differences.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import least_squares
from scipy.stats import chi2

from plumbrail.jobs.truing import Truing, truing
from plumbrail.notebook.entries import Axis, Kind, Reading
from plumbrail.plan.demos import demo_notebooks, demo_text
from plumbrail.plan.reader import load_plan
from plumbrail.truing.points import Place

INCH = 0.0254
HALF_PIPE = 1.75 * INCH
"""Half the outside diameter of NPS 3 (3.5 in, ASME B36.10M)."""
ERROR = {
    Kind.ROD: INCH / 16, Kind.TAPE: INCH / 16, Kind.DIAGONAL: INCH / 16,
    Kind.STRING_SIDE: INCH / 16, Kind.PLUMB: np.radians(0.1), Kind.TILT: np.radians(0.15),
}  # fmt: skip
"""One reading of the usual instruments; common practice, no published source."""
TAPE_SHARE, LASER_SHARE = 2e-4, 1 / 16 / 1200
"""Of the length taped; 1/16 in at 100 ft. Common practice, no published source."""
PIN_ON_LINE, PINS_APART = 5e-4, INCH / 8

Places = dict[str, np.ndarray]


@dataclass(frozen=True)
class Solved:
    """What the general solver found. Unknowns: x, y, z of every name, then each laser."""

    names: list[str]
    x: np.ndarray
    cov: np.ndarray
    statistic: float
    freedom: int


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Truing:
    folder = tmp_path_factory.mktemp("agrees")
    (folder / "plan.toml").write_text(demo_text("alder-creek"), encoding="utf-8")
    name, text = next(iter(demo_notebooks("alder-creek").items()))
    (folder / name).write_text(text, encoding="utf-8")
    return truing(load_plan(folder / "plan.toml"), Path(folder / name))


def planned(made: Truing) -> Places:
    points = made.trued.survey.positions.points
    return {
        id: points.planned[i] for i, id in enumerate(points.ids) if points.place[i] != Place.END
    }


def computed(r: Reading, p: Places, lasers: dict[str, float]) -> float:
    """What this reading would read."""
    a = p[r.start]
    if r.kind is Kind.ROD:
        return lasers[r.setup] - a[2] - (HALF_PIPE if r.start[-1].isdigit() and " " not in r.start
                                         else 0.0)  # fmt: skip
    if r.kind is Kind.PLUMB:
        lean = a - p[f"{r.start} base"]
        return float(np.arctan(lean[0 if r.axis is Axis.ALONG else 1] / lean[2]))
    d = p[r.end] - a
    if r.kind is Kind.TILT:
        return float(np.arctan(d[2] / np.sqrt(d[0] ** 2 + d[1] ** 2)))
    if r.kind is Kind.STRING_SIDE:  # strings of the demo run to the right: the back is positive
        to_back = np.array([-d[1], d[0]]) / np.sqrt(d[0] ** 2 + d[1] ** 2)
        return float((p[r.at] - a)[:2] @ to_back)
    return float(np.sqrt(d @ d))


def deviation(r: Reading, p: Places) -> float:
    """Standard deviation of a reading, from the planned lengths."""
    if r.kind in (Kind.TAPE, Kind.DIAGONAL):
        share = TAPE_SHARE * np.linalg.norm(p[r.end] - p[r.start])
    else:
        share = LASER_SHARE * np.linalg.norm(p[r.start] - p["pin 1"]) * (r.kind is Kind.ROD)
    return float(np.hypot(ERROR[r.kind], share))


def solve(made: Truing) -> Solved:
    """Pin 1 stands still; pin 2 lies on the plan's line, at about its distance."""
    survey, plan = made.trued.survey, planned(made)
    used = [r for r, out in zip(survey.readings, survey.suspect, strict=True) if not out]
    names = [n for n in plan if n != "pin 1"]
    setups = sorted({r.setup for r in used if r.kind is Kind.ROD})
    sd = [deviation(r, plan) for r in used]
    along = (plan["pin 2"] - plan["pin 1"])[:2]
    along /= np.linalg.norm(along)

    def residuals(x: np.ndarray) -> np.ndarray:
        p = {"pin 1": plan["pin 1"]} | dict(
            zip(names, x[: 3 * len(names)].reshape(-1, 3), strict=True)
        )
        lasers = dict(zip(setups, x[3 * len(names) :], strict=True))
        off = [(computed(r, p, lasers) - r.value) / s for r, s in zip(used, sd, strict=True)]
        step = (p["pin 2"] - plan["pin 2"])[:2]
        return np.array([*off, (along[0] * step[1] - along[1] * step[0]) / PIN_ON_LINE,
                         along @ step / PINS_APART])  # fmt: skip

    start = np.concatenate([*(plan[n] for n in names), np.full(len(setups), 3.0)])
    found = least_squares(residuals, start, method="lm", jac=_slopes(residuals), xtol=1e-15,
                          ftol=1e-15, gtol=1e-15)  # fmt: skip
    assert found.success
    slopes = _slopes(residuals)(found.x)
    assert np.linalg.matrix_rank(slopes) == len(found.x)
    return Solved(names, found.x, np.linalg.inv(slopes.T @ slopes), 2 * found.cost,
                  len(slopes) - len(found.x))  # fmt: skip


def _slopes(f: Callable[[np.ndarray], np.ndarray]) -> Callable[[np.ndarray], np.ndarray]:
    """Central differences; the readings are smooth over metres, so a step of 0.1 mm does."""

    def slopes(x: np.ndarray, step: float = 1e-4) -> np.ndarray:
        steps = step * np.eye(len(x))
        return np.column_stack([(f(x + d) - f(x - d)) / (2 * step) for d in steps])

    return slopes


@pytest.fixture(scope="module")
def solved(made: Truing) -> Solved:
    return solve(made)


def test_standard_deviations(made):
    plan = planned(made)
    ours = [deviation(r, plan) for r in made.trued.survey.readings]
    assert made.trued.survey.sd == pytest.approx(ours, rel=1e-6)


def test_places_agree_to_a_micrometre(made, solved):
    where = made.trued.survey.positions
    for i, name in enumerate(solved.names):
        theirs = solved.x[3 * i : 3 * i + 3]
        assert where.xyz[where.points.index(name)] == pytest.approx(theirs, abs=1e-6), name
    heights = solved.x[3 * len(solved.names) :]
    ours = dict(zip(made.trued.survey.setups, made.trued.survey.setup_height, strict=True))
    assert [ours[s] for s in sorted(ours)] == pytest.approx(heights, abs=1e-6)


def test_sum_of_squares_and_global_test_agree(made, solved):
    survey = made.trued.survey
    assert survey.freedom == solved.freedom
    assert survey.statistic == pytest.approx(solved.statistic, rel=1e-6)
    limit = chi2.ppf(0.95, solved.freedom)
    assert survey.limit == pytest.approx(limit, rel=1e-6)
    grown = np.sqrt(solved.statistic / solved.freedom) if solved.statistic > limit else 1.0
    assert survey.enlarged == pytest.approx(max(grown, 1.0), rel=1e-6)


def test_covariance_of_what_is_judged_agrees(made, solved):
    """As correlations, so that small covariances count as much as large ones."""
    built, survey = made.trued.built, made.trued.survey
    points = survey.positions.points
    known = 3 * points.index("pin 1") + np.arange(3)
    columns = [3 * points.index(n) + k for n in solved.names for k in range(3)]
    slope = np.zeros((len(built.ids), len(solved.x)))
    slope[:, : len(columns)] = built.slope[:, columns]
    assert np.delete(built.slope, [*columns, *known], axis=1).any() == np.False_
    theirs = survey.enlarged**2 * slope @ solved.cov @ slope.T
    ours = built.slope @ survey.positions.cov @ built.slope.T
    sd = np.sqrt(np.diag(theirs))
    assert built.sd == pytest.approx(sd, rel=1e-3)
    assert np.abs(ours - theirs).max() > 0  # two ways, not one
    assert np.abs((ours - theirs) / np.outer(sd, sd)).max() < 1e-3


def test_redundancy_numbers_agree(made, solved):
    """r = 1 - s_f²/s²; they add up to the redundant readings, those of the pins included."""
    survey = made.trued.survey
    kept = ~survey.suspect
    assert survey.redundancy[kept].sum() <= solved.freedom
    assert survey.redundancy[kept].sum() == pytest.approx(solved.freedom, abs=2.0)
