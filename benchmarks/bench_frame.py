"""Speed of the frame analysis beside a general-purpose frame library, in one run.

The frame carries 24 modules: 8 posts at 4 stations, 2 beams, 12 rails of 3 pieces; 9 load cases,
20 combinations, 21 stations on every member. Both sides analyse the very same frame, and the
largest difference of their displacements is a row of the report. Times are those of the analysis
alone, model and loads ready made; the library runs without its stability check. Ours solves the
basic cases and superposes them, the library solves each combination.
Run: ``python benchmarks/bench_frame.py``.
"""

from __future__ import annotations

import time
import warnings
from itertools import pairwise
from typing import Any

import numpy as np

from benchmarks.timing import quickest_wall
from plumbrail.frame import (
    Frame,
    Loads,
    Spans,
    combine,
    internal_forces,
    self_weight,
    solve,
)

STATIONS = 21
CANDIDATES = 100
G = 9.80665


def array_frame(scale: np.ndarray | float = 1.0) -> Frame:
    """The 24-module frame; ``scale`` (candidates,) stretches the post spacing and sections."""
    s = np.atleast_1d(np.asarray(scale, dtype=float))
    posts = np.arange(4) * 2.74
    rails = (np.arange(12) + 0.5) * (10.3 / 12) - 1.04
    stops = np.sort(np.concatenate([posts, rails, [-1.1, 9.32]]))
    line = {"F": (0.85, 1.25), "B": (2.75, 2.44)}
    slope = np.array([np.cos(np.radians(32)), np.sin(np.radians(32))])
    xyz: list[tuple[float, float, float]] = []
    ids: list[str] = []
    pairs: list[tuple[int, int, str]] = []

    def node(name: str, x: float, y: float, z: float) -> int:
        ids.append(name)
        xyz.append((x, y, z))
        return len(ids) - 1

    beam: dict[str, list[int]] = {}
    for key, (y, z) in line.items():
        beam[key] = [node(f"{key}b{i}", x, y, z) for i, x in enumerate(stops)]
        pairs += [(a, b, "beam") for a, b in pairwise(beam[key])]
        for i, x in enumerate(posts):
            base = node(f"{key}{i + 1}", x, y, -0.3)
            pairs.append((base, beam[key][int(np.searchsorted(stops, x))], "post"))
    for i, x in enumerate(rails):
        at = int(np.searchsorted(stops, x))
        low = node(f"R{i}low", x, *(np.array(line["F"]) - 0.9 * slope))
        high = node(f"R{i}high", x, *(np.array(line["B"]) + 0.9 * slope))
        chain = [low, beam["F"][at], beam["B"][at], high]
        pairs += [(a, b, "rail") for a, b in pairwise(chain)]
    kind = np.array([p[2] for p in pairs])

    def prop(post: float, beam_: float, rail: float) -> np.ndarray:
        return np.select([kind == "post", kind == "beam"], [post, beam_], rail)

    fixed = np.zeros((len(ids), 6), dtype=bool)
    springs = np.zeros((len(ids), 6))
    for i, name in enumerate(ids):
        if "b" not in name and not name.startswith("R"):
            fixed[i, [2, 5]] = True
            springs[i, :2], springs[i, 3:5] = 2e6, 6e5
    up = np.where((kind == "post")[:, None], [1.0, 0, 0], [0, 0, 1.0])
    stretch = np.array(xyz) * np.stack([s, np.ones_like(s), np.ones_like(s)], axis=-1)[:, None]
    size = s[:, None]
    return Frame(
        tuple(ids), tuple(f"{k}{i}" for i, k in enumerate(kind)),
        np.array([p[:2] for p in pairs]), stretch,
        prop(200e9, 200e9, 69.6e9), prop(77e9, 77e9, 26e9), prop(1.35e-3, 1.04e-3, 6e-4) * size,
        prop(7.6e-7, 6.05e-7, 5.5e-7) * size, prop(7.6e-7, 6.05e-7, 2.5e-7) * size,
        prop(1.52e-6, 1.21e-6, 1e-8), prop(11.4, 8.6, 1.7),
        up, np.zeros((len(kind), 12), dtype=bool), fixed, springs,
    )  # fmt: skip


def array_loads(frame: Frame) -> Loads:
    """Weight, snow, six winds that differ on the two halves of the plane, along-row wind."""
    cases = ("dead", "snow", "w1", "w2", "w3", "w4", "w5", "w6", "along")
    rails = np.array([i for i, n in enumerate(frame.member_ids) if n.startswith("rail")])
    posts = np.array([i for i, n in enumerate(frame.member_ids) if n.startswith("post")])
    length = np.atleast_2d(frame.length)
    normal = np.array([0.0, -np.sin(np.radians(32)), np.cos(np.radians(32))])

    def on(case: int, which: np.ndarray, a: float, b: float, w: np.ndarray) -> Spans:
        L = length[:, which]
        many = np.broadcast_to(w, (len(which), 3))
        return Spans(np.full(len(which), case), which, a * L, b * L, many, many)

    parts = [self_weight(frame, G, 0), on(0, rails, 0, 1, np.array([0, 0, -110.0])),
             on(1, rails, 0, 1, np.array([0, 0, -620.0]))]  # fmt: skip
    for case, (low, high) in enumerate(
        [(-900, -300), (-300, -900), (700, 250), (250, 700), (-500, 300), (300, -500)], start=2
    ):
        third = len(rails) // 3
        lower, middle, upper = (rails[i::3] for i in range(3))
        assert len(middle) == third
        parts += [on(case, lower, 0, 1, low * normal), on(case, middle, 0, 0.5, low * normal)]
        parts += [on(case, middle, 0.5, 1, high * normal), on(case, upper, 0, 1, high * normal)]
    parts.append(on(8, posts, 0.1, 1, np.array([60.0, 0, 0])))
    return Loads(cases, np.zeros((len(cases), len(frame.node_ids), 6)), Spans.joined(*parts))


def combinations() -> np.ndarray:
    """20 combinations of the nine cases."""
    rows = [[1, 0] + [0] * 7, [1, 1] + [0] * 7]
    for wind in range(6):
        unit = [float(i == wind) for i in range(6)]
        rows += [[1, 0, *(0.6 * u for u in unit), 0], [1, 0.75, *(0.45 * u for u in unit), 0],
                 [0.6, 0, *(0.6 * u for u in unit), 0]]  # fmt: skip
    return np.array(rows)


def full(frame: Frame, loads: Loads, factors: np.ndarray, stations: bool = True) -> list[Any]:
    """What a check needs: node results and, if wanted, all station results, per combination."""
    answer = solve(frame, loads)
    out = [combine(factors, answer.displacements), combine(factors, answer.reactions),
           combine(factors, answer.end_forces)]  # fmt: skip
    if stations:
        out.append(internal_forces(frame, loads, answer, STATIONS, factors))
    return out


def library_model(frame: Frame, loads: Loads, factors: np.ndarray) -> Any:
    """The same frame in the general-purpose library; local axes agree by turning its members."""
    from Pynite import FEModel3D

    model = FEModel3D()
    for name, place in zip(frame.node_ids, frame.xyz.reshape(-1, 3), strict=True):
        model.add_node(name, *map(float, place))
    flat = {n: np.ravel(getattr(frame, n)) for n in ("E", "G", "A", "I_y", "I_z", "J")}
    for i, name in enumerate(frame.member_ids):
        model.add_material(name, flat["E"][i], flat["G"][i], 0.3, 1.0)
        model.add_section(name, flat["A"][i], flat["I_y"][i], flat["I_z"][i], flat["J"][i])
        a, b = (frame.node_ids[n] for n in frame.ends[i])
        model.add_member(name, a, b, name, name)
        model.members[name].rotation = _turned(model.members[name].T()[:3, :3], frame.up[i])
    for name, row, spring in zip(frame.node_ids, frame.fixed, frame.springs, strict=True):
        model.def_support(name, *map(bool, row))
        for dof, k in zip(("DX", "DY", "DZ", "RX", "RY", "RZ"), spring, strict=True):
            if k:
                model.def_support_spring(name, dof, float(k))
    s = loads.spans
    a, b = np.atleast_2d(s.a)[0], np.atleast_2d(s.b)[0]
    w_a, w_b = (w.reshape(-1, len(s.case), 3)[0] for w in (s.w_a, s.w_b))
    for k in range(len(s.case)):
        for d, way in enumerate(("FX", "FY", "FZ")):
            if w_a[k, d] or w_b[k, d]:
                model.add_member_dist_load(frame.member_ids[s.member[k]], way, w_a[k, d], w_b[k, d],
                                           a[k], b[k], loads.case_ids[s.case[k]])  # fmt: skip
    for i, row in enumerate(factors):
        own = {c: float(f) for c, f in zip(loads.case_ids, row, strict=True) if f}
        model.add_load_combo(f"c{i}", own)
    return model


def _turned(axes: np.ndarray, up: np.ndarray) -> float:
    x, y, z = np.asarray(axes, dtype=float)
    want = up - (up @ x) * x
    return float(np.degrees(np.arctan2(-(want @ y), want @ z)))


def library_stations(model: Any, combos: int) -> list[np.ndarray]:
    """The same station arrays, asked member by member as the library offers them."""
    out = []
    for member in model.members.values():
        own = []
        for c in range(combos):
            name = f"c{c}"
            own.append([
                member.axial_array(STATIONS, name)[1], member.shear_array("Fy", STATIONS, name)[1],
                member.shear_array("Fz", STATIONS, name)[1], member.torque_array(STATIONS, name)[1],
                member.moment_array("My", STATIONS, name)[1],
                member.moment_array("Mz", STATIONS, name)[1],
                *(member.deflection_array(d, STATIONS, name)[1] for d in ("dx", "dy", "dz")),
            ])  # fmt: skip
        out.append(np.array(own))
    return out


def agreement(frame: Frame, loads: Loads, factors: np.ndarray, model: Any) -> float:
    """Largest difference of a node displacement over the largest displacement."""
    ours = full(frame, loads, factors, stations=False)[0][0]
    theirs = np.array([
        [[getattr(n, d)[f"c{c}"] for d in ("DX", "DY", "DZ", "RX", "RY", "RZ")]
         for n in model.nodes.values()] for c in range(len(factors))
    ])  # fmt: skip
    return float(np.abs(ours - theirs).max() / np.abs(theirs).max())


def run(library: bool = True) -> list[tuple[str, float, str]]:
    """Rows (name, value, unit)."""
    one, factors = array_frame(), combinations()
    loads = array_loads(one)
    many = array_frame(np.linspace(0.9, 1.1, CANDIDATES))
    many_loads = array_loads(many)
    rows = [("nodes", float(len(one.node_ids)), "-"), ("members", float(len(one.member_ids)), "-"),
            ("combinations", float(len(factors)), "-")]  # fmt: skip
    times = {}
    for words, stations in (("", True), (" without stations", False)):
        times["alone" + words] = quickest_wall(lambda s=stations: full(one, loads, factors, s), 15)
        batch = quickest_wall(lambda s=stations: full(many, many_loads, factors, s), 3)
        times[f"in a batch of {CANDIDATES}" + words] = batch / CANDIDATES
    rows += [(f"plumbrail, one frame {w}", 1e3 * t, "ms") for w, t in times.items()]
    if not library:
        return rows
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        model = library_model(one, loads, factors)
        begin = time.perf_counter()
        model.analyze_linear(check_stability=False)
        nodes_only = time.perf_counter() - begin
        begin = time.perf_counter()
        library_stations(model, len(factors))
        whole = nodes_only + time.perf_counter() - begin
    rows.append(("PyNiteFEA, one frame, analysis only", 1e3 * nodes_only, "ms"))
    rows.append(("PyNiteFEA, one frame, with stations", 1e3 * whole, "ms"))
    rows.append(("largest difference of displacements", agreement(one, loads, factors, model), "-"))
    for words, t in times.items():
        base = nodes_only if "without" in words else whole
        rows.append((f"times faster, {words}", base / t, "x"))
    return rows


if __name__ == "__main__":
    for name, value, unit in run():
        print(f"{name:60s} {value:12.4g} {unit}")
