"""Beams against published tables.

AISC Steel Construction Manual, Table 3-23 "Shears, Moments and Deflections": the closed forms are
typed from memory of that table (it was not at hand), so they are marked "memory"; they can be
derived by anyone from elastic beam theory. Continuous beams: coefficients of the same table for
equal spans, all loaded, from memory; inflection points and overhangs: three-moment equation,
derived.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from plumbrail.frame import Frame, InternalForces, Loads, Points, Spans, internal_forces, solve

TABLE = "AISC Manual, Table 3-23"
THREE_MOMENT = "Three-moment equation, equal spans"
E, I, L, w, P = 200e9, 8e-7, 3.0, 750.0, 2100.0  # noqa: E741
EXACT = 1e-9

PIN = (1, 2)
CLAMP = (0, 1, 2, 3, 4, 5)
Published = Callable[..., None]


def beam(x: list[float], supports: dict[int, tuple[int, ...]]) -> Frame:
    """A beam along x with z up; twist and sideways held at every support."""
    n = len(x)
    fixed = np.zeros((n, 6), dtype=bool)
    fixed[0, [0, 3]] = True
    for node, dofs in supports.items():
        fixed[node, list(dofs)] = True
    ends = np.column_stack([np.arange(n - 1), np.arange(1, n)])
    section = [np.full(n - 1, v) for v in (E, 77e9, 1.3e-3, I, I, 2 * I, 10.0)]
    return Frame(
        tuple(f"n{i}" for i in range(n)), tuple(f"m{i}" for i in range(n - 1)), ends,
        np.column_stack([x, np.zeros(n), np.zeros(n)]), *section,
        np.tile([0.0, 0.0, 1.0], (n - 1, 1)), np.zeros((n - 1, 12), dtype=bool), fixed,
        np.zeros((n, 6)),
    )  # fmt: skip


def loaded(frame: Frame, spans: list = (), points: list = (), tip: float = 0.0) -> Loads:
    """Downward: ``spans`` (member, a, b, w_a, w_b), ``points`` (member, a, P); tip load."""
    down = np.array([0.0, 0.0, -1.0])
    nodal = np.zeros((1, len(frame.node_ids), 6))
    nodal[0, -1, 2] = -tip
    s = np.array(spans, dtype=float).reshape(-1, 5)
    p = np.array(points, dtype=float).reshape(-1, 3)
    none = np.zeros(len(s), dtype=int), np.zeros(len(p), dtype=int)
    return Loads(
        ("load",), nodal,
        Spans(none[0], s[:, 0].astype(int), s[:, 1], s[:, 2], s[:, 3:4] * down, s[:, 4:5] * down),
        Points(none[1], p[:, 0].astype(int), p[:, 1], p[:, 2:] * down, np.zeros((len(p), 3))),
    )  # fmt: skip


class Result:
    """Sagging moments, reactions and downward deflections as the tables print them."""

    def __init__(self, frame: Frame, loads: Loads, at: int | np.ndarray = 5) -> None:
        self.answer = solve(frame, loads)
        self.inner: InternalForces = internal_forces(frame, loads, self.answer, at)
        self.M = -self.inner.M_y[0, 0]
        self.V = self.inner.V_z[0, 0]
        self.down = -self.inner.deflection[0, 0, :, :, 2]
        self.R = self.answer.reactions[0, 0, :, 2]
        self.M_support = self.answer.reactions[0, 0, :, 4]


SINGLE = {
    # name: supports, spans, points, tip, {quantity: (formula value, getter)}
    "case 1, simple beam, uniform": (
        {0: PIN, 1: PIN}, [(0, 0, L, w, w)], [], 0.0,
        {"R": (w * L / 2, lambda r: r.R[0]),
         "M max": (w * L**2 / 8, lambda r: r.M[0].max()),
         "deflection": (5 * w * L**4 / (384 * E * I), lambda r: r.down[0].max())},
    ),
    "case 2, simple beam, load increasing to one end": (
        {0: PIN, 1: PIN}, [(0, 0, L, 0, w)], [], 0.0,
        {"R1 = W/3": (w * L / 6, lambda r: r.R[0]), "R2 = 2W/3": (w * L / 3, lambda r: r.R[1]),
         "M at .5774 L = .1283 W L": (0.1283 * w * L**2 / 2, lambda r: r.M[0].max()),
         "deflection at .5193 L = .01304 W L3/EI": (
             0.01304 * w * L**4 / (2 * E * I), lambda r: r.down[0].max())},
    ),
    "case 7, simple beam, load at centre": (
        {0: PIN, 1: PIN}, [], [(0, L / 2, P)], 0.0,
        {"M max": (P * L / 4, lambda r: r.M[0].max()),
         "deflection": (P * L**3 / (48 * E * I), lambda r: r.down[0].max())},
    ),
    "case 9, simple beam, two equal loads at a": (
        {0: PIN, 1: PIN}, [], [(0, 0.8, P), (0, L - 0.8, P)], 0.0,
        {"M max": (P * 0.8, lambda r: r.M[0].max()),
         "deflection": (P * 0.8 * (3 * L**2 - 4 * 0.8**2) / (24 * E * I),
                        lambda r: r.down[0].max())},
    ),
    "case 12, fixed and simple, uniform": (
        {0: CLAMP, 1: PIN}, [(0, 0, L, w, w)], [], 0.0,
        {"R1": (3 * w * L / 8, lambda r: r.R[1]), "R2": (5 * w * L / 8, lambda r: r.R[0]),
         "M max": (w * L**2 / 8, lambda r: -r.M[0].min()),
         "M1 at 3/8 L": (9 * w * L**2 / 128, lambda r: r.M[0].max()),
         "deflection": (w * L**4 / (185 * E * I), lambda r: r.down[0].max())},
    ),
    "case 13, fixed and simple, load at centre": (
        {0: CLAMP, 1: PIN}, [], [(0, L / 2, P)], 0.0,
        {"R1": (5 * P / 16, lambda r: r.R[1]), "M at fixed end": (3 * P * L / 16,
                                                                 lambda r: -r.M[0].min()),
         "M at load": (5 * P * L / 32, lambda r: r.M[0].max()),
         "deflection at load": (7 * P * L**3 / (768 * E * I),
                                lambda r: np.interp(L / 2, r.inner.x[0, 0], r.down[0]))},
    ),
    "case 15, fixed at both ends, uniform": (
        {0: CLAMP, 1: CLAMP}, [(0, 0, L, w, w)], [], 0.0,
        {"M at ends": (w * L**2 / 12, lambda r: -r.M[0].min()),
         "M at centre": (w * L**2 / 24, lambda r: r.M[0].max()),
         "deflection": (w * L**4 / (384 * E * I), lambda r: r.down[0].max())},
    ),
    "case 16, fixed at both ends, load at centre": (
        {0: CLAMP, 1: CLAMP}, [], [(0, L / 2, P)], 0.0,
        {"M max": (P * L / 8, lambda r: r.M[0].max()),
         "deflection": (P * L**3 / (192 * E * I), lambda r: r.down[0].max())},
    ),
    "case 19, cantilever, uniform": (
        {0: CLAMP}, [(0, 0, L, w, w)], [], 0.0,
        {"M max": (w * L**2 / 2, lambda r: -r.M[0].min()),
         "deflection": (w * L**4 / (8 * E * I), lambda r: r.down[0].max())},
    ),
    "case 22, cantilever, load at free end": (
        {0: CLAMP}, [], [], P,
        {"M max": (P * L, lambda r: -r.M[0].min()),
         "deflection": (P * L**3 / (3 * E * I), lambda r: r.down[0].max())},
    ),
}  # fmt: skip

ROUNDED = {  # printed with a rounded coefficient: half its last digit, relative
    "M at .5774 L = .1283 W L": 0.00005 / 0.1283,
    "deflection at .5193 L = .01304 W L3/EI": 0.000005 / 0.01304,
    ("case 12, fixed and simple, uniform", "deflection"): 0.5 / 185,
}


@pytest.mark.parametrize("case", SINGLE)
def test_single_span(case: str, published: Published) -> None:
    supports, spans, points, tip, values = SINGLE[case]
    frame = beam([0.0, L], supports)
    fractions = np.union1d(np.linspace(0, 1, 2001), [0.375, 0.5774, 0.5193])
    result = Result(frame, loaded(frame, spans, points, tip), fractions)
    for quantity, (printed, get) in values.items():
        share = ROUNDED.get(quantity, ROUNDED.get((case, quantity), 1e-6))
        unit = "m" if "deflection" in quantity else "N·m" if quantity.startswith("M") else "N"
        published(TABLE, f"{case}: {quantity}", printed, get(result), share * printed, unit,
                  "memory")  # fmt: skip


def test_simple_beam_load_at_any_point(published: Published) -> None:
    a = 1.1
    frame = beam([0.0, L], {0: PIN, 1: PIN})
    result = Result(frame, loaded(frame, points=[(0, a, P)]))
    b, item = L - a, "case 8, simple beam, load at any point: "
    at_load = np.interp(a, result.inner.x[0, 0], result.down[0])
    published(TABLE, item + "M = P a b / L", P * a * b / L, result.M[0].max(), EXACT * P, "N·m",
              "memory")  # fmt: skip
    published(TABLE, item + "deflection = P a2 b2 / 3 E I L", P * a**2 * b**2 / (3 * E * I * L),
              at_load, EXACT, "m", "memory")  # fmt: skip
    step = result.V[0][np.isclose(result.inner.x[0, 0], a)]
    assert step.max() - step.min() == pytest.approx(P)  # both sides of the load are there


def test_partial_uniform_load(published: Published) -> None:
    """Case 4, simple beam, load partially distributed over b from a."""
    a, b = 0.6, 1.3
    frame = beam([0.0, L], {0: PIN, 1: PIN})
    r = Result(frame, loaded(frame, [(0, a, a + b, w, w)]), np.linspace(0, 1, 4001))
    c = L - a - b
    R1 = w * b * (2 * c + b) / (2 * L)
    item = "case 4, simple beam, part uniform: "
    published(TABLE, item + "R1", R1, r.R[0], 1e-9 * R1, "N", "memory")
    printed = R1 * (a + R1 / (2 * w))
    published(TABLE, item + "M max", printed, r.M[0].max(), 1e-6 * printed, "N·m", "memory")


def test_overhanging_one_support(published: Published) -> None:
    """Cases 24 and 26: simple beam overhanging one support."""
    a = 0.9
    frame = beam([0.0, L, L + a], {0: PIN, 1: PIN})
    item = "case 24, overhanging one support, uniform: "
    r = Result(frame, loaded(frame, [(0, 0, L, w, w), (1, 0, a, w, w)]), 4001)
    R1, R2 = w * (L**2 - a**2) / (2 * L), w * (L + a) ** 2 / (2 * L)
    M1 = w * (L + a) ** 2 * (L - a) ** 2 / (8 * L**2)
    tip = w * a * (4 * a**2 * L - L**3 + 3 * a**3) / (24 * E * I)
    published(TABLE, item + "R1", R1, r.R[0], 1e-9 * R1, "N", "memory")
    published(TABLE, item + "R2 = V2 + V3", R2, r.R[1], 1e-9 * R2, "N", "memory")
    published(TABLE, item + "M1", M1, r.M[0].max(), 1e-6 * M1, "N·m", "memory")
    published(TABLE, item + "M2", w * a**2 / 2, -r.M[1].min(), 1e-9 * w, "N·m", "memory")
    published(TABLE, item + "tip", tip, r.down[1, -1], 1e-9 * abs(tip), "m", "memory")
    item = "case 26, overhanging one support, load at end: "
    r = Result(frame, loaded(frame, tip=P), 4001)
    tip = P * a**2 * (L + a) / (3 * E * I)
    published(TABLE, item + "R1 (down)", P * a / L, -r.R[0], EXACT * P, "N", "memory")
    published(TABLE, item + "tip", tip, r.down[1, -1], 1e-9 * tip, "m", "memory")
    rise = P * a * L**2 / (9 * np.sqrt(3) * E * I)
    published(TABLE, item + "rise between supports", rise, -r.down[0].min(), 1e-6 * rise, "m",
              "memory")  # fmt: skip


CONTINUOUS = {
    # spans: support moments, span moments, reactions, deflection, its place, inflections (x / L)
    2: ((-0.125,), (0.0703,), (0.375, 1.25), 0.00542, 0.421, ((0.75,),)),
    3: ((-0.100,), (0.080, 0.025), (0.40, 1.10), 0.00688, 0.446, ((0.80,), (0.276, 0.724))),
    4: ((-0.1071, -0.0714), (0.0772, 0.0364), (0.393, 1.143, 0.929), 0.00646, 0.440,
        ((0.786,), (0.266, 0.805))),
    5: ((-0.1053, -0.0789), (0.0779, 0.0332, 0.0461), (0.395, 1.132, 0.974), 0.00657, 0.442,
        ((0.789,), (0.268, 0.784), (0.197, 0.803))),
}  # fmt: skip


def half_digit(value: float) -> float:
    """Half the last printed digit of a coefficient as typed."""
    return 0.5 * 10 ** -len(repr(value).partition(".")[2])


def continuous(spans: int, overhang: float = 0.0) -> tuple[Result, int]:
    """Unit beam, all spans loaded; gives the result and the member of the first span."""
    x = list(np.arange(spans + 1) * L)
    first = int(overhang > 0)
    if overhang:
        x = [-overhang, *x, spans * L + overhang]
    frame = beam(x, {i + first: PIN for i in range(spans + 1)})
    lengths = np.diff(x)
    return Result(frame, loaded(frame, [(m, 0, n, w, w) for m, n in enumerate(lengths)]),
                  4001), first  # fmt: skip


def zero_places(x: np.ndarray, M: np.ndarray) -> np.ndarray:
    """Where the moment changes sign inside a span."""
    inner = (np.abs(M) > 1e-9 * np.abs(M).max()) & (x > 0)
    x, M = x[inner], M[inner]
    k = np.flatnonzero(M[1:] * M[:-1] < 0)
    return np.asarray(x[k] - M[k] * (x[k + 1] - x[k]) / (M[k + 1] - M[k]))


@pytest.mark.parametrize("spans", CONTINUOUS)
def test_continuous_beam(spans: int, published: Published) -> None:
    moments, fields, reactions, sag, place, inflections = CONTINUOUS[spans]
    r, _ = continuous(spans)
    title = f"{spans} equal spans, all loaded: "

    def compare(item: str, printed: float, ours: float, unit: str) -> None:
        published(TABLE, title + item, printed, ours, half_digit(printed), unit, "memory")

    for i, value in enumerate(moments):
        compare(f"M at support {i + 2}", value, r.M[i + 1, 0] / (w * L**2), "w L²")
    for i, value in enumerate(fields):
        compare(f"M in span {i + 1}", value, r.M[i].max() / (w * L**2), "w L²")
    for i, value in enumerate(reactions):
        compare(f"R at support {i + 1}", value, r.R[i] / (w * L), "w L")
    compare("largest deflection", sag, r.down[0].max() * E * I / (w * L**4), "w L⁴/EI")
    compare("place of it", place, r.inner.x[0, 0, r.down[0].argmax()] / L, "L")
    # e.g. five spans, span 2: -2/19 + 10/19 x - x²/2 = 0 at x = 0.2685 and 0.7842
    for i, values in enumerate(inflections):
        ours = zero_places(r.inner.x[0, i], r.M[i]) / L
        assert len(ours) == len(values)
        for printed, value in zip(values, ours, strict=True):
            published(THREE_MOMENT, title + f"inflection in span {i + 1}", printed, value,
                      half_digit(printed), "L", "derived")  # fmt: skip


@pytest.mark.parametrize("spans", [2, 3, 4])
@pytest.mark.parametrize("share", [0.1, 0.3, 0.4])
def test_equal_overhangs(spans: int, share: float, published: Published) -> None:
    """Closed forms of the three-moment equation for beams with equal loaded overhangs."""
    a = share * L
    r, first = continuous(spans, a)
    title = f"{spans} spans with overhangs of {share} L: "
    B, C = {2: (-w * L**2 / 8 + w * a**2 / 4, None), 3: (-w * (L**2 - a**2) / 10, None),
            4: (-3 * w * L**2 / 28 + w * a**2 / 7, -w * (L**2 + a**2) / 14)}[spans]  # fmt: skip
    published(THREE_MOMENT, title + "M_A", -w * a**2 / 2, r.M[first, 0], 1e-9 * w, "N·m", "derived")
    published(THREE_MOMENT, title + "M_B", B, r.M[first + 1, 0], 1e-9 * w, "N·m", "derived")
    if C is not None:
        published(THREE_MOMENT, title + "M_C", C, r.M[first + 2, 0], 1e-9 * w, "N·m", "derived")


@pytest.mark.parametrize(
    ("spans", "M", "field", "sag", "inflections", "tip"),
    [(3, (-0.0910,), 0.0581, 0.00455, (0.113, 0.795), -0.00244),
     (4, (-0.0943, -0.0779), 0.0566, 0.00435, (0.114, 0.787), -0.00227)],
)  # fmt: skip
def test_overhang_of_three_tenths(
    spans: int, M: tuple[float, ...], field: float, sag: float,
    inflections: tuple[float, float], tip: float, published: Published,
) -> None:  # fmt: skip
    r, first = continuous(spans, 0.3 * L)
    title = f"{spans} spans, overhang 0.3 L: "
    unit = w * L**4 / (E * I)

    def compare(item: str, printed: float, ours: float, unit: str, digits: int) -> None:
        published(THREE_MOMENT, title + item, printed, ours, 0.5 * 10**-digits, unit, "derived")

    for i, value in enumerate(M):
        compare(f"M at support {i + 2}", value, r.M[first + 1 + i, 0] / (w * L**2), "w L²", 4)
    compare("M in end span", field, r.M[first].max() / (w * L**2), "w L²", 4)
    compare("deflection", sag, r.down[first].max() / unit, "w L⁴/EI", 5)
    compare("tip", tip, r.down[0, 0] / unit, "w L⁴/EI", 5)
    places = zero_places(r.inner.x[0, first], r.M[first]) / L
    for printed, ours in zip(inflections, places, strict=True):
        compare("inflection", printed, ours, "L", 3)
