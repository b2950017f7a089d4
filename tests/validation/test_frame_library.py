"""The frame analysis against PyNiteFEA 3.2.0, an independent general-purpose frame library.

Random frames: geometry, sections, member orientation, released ends, supports, ground springs,
nodal loads, partial linear loads and point loads all vary. Node results and member end forces have
the same signs on both sides; of the internal forces only M_y has: axial force, shears, torque and
M_z of the library are those on the other face of the cut (``SIGNS``).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from plumbrail.errors import MechanismError
from plumbrail.frame import Frame, Loads, Points, Spans, combine, internal_forces, solve
from plumbrail.frame.element import local_axes

DOCUMENT = "PyNiteFEA 3.2.0 (independent frame library)"
DOFS = ("DX", "DY", "DZ", "RX", "RY", "RZ")
STATIONS = 9
SIGNS = {"N": -1, "V_y": -1, "V_z": -1, "T": -1, "M_y": 1, "M_z": -1}
FACTORS = np.array([[0.6, 1.0, 0.75], [1.2, -0.5, 1.6]])

pytestmark = [
    pytest.mark.filterwarnings("ignore::DeprecationWarning"),
    pytest.mark.filterwarnings("ignore::PendingDeprecationWarning"),
    pytest.mark.filterwarnings("ignore::scipy.sparse.SparseEfficiencyWarning"),
]


def random_frame(rng: np.random.Generator) -> Frame:
    """A stable random frame: a chain through random places, extra members, three supports."""
    nodes = int(rng.integers(5, 10))
    xyz = rng.uniform(-3, 3, (nodes, 3)) + np.arange(nodes)[:, None] * [1.5, 0.3, 0.2]
    chain = [(i, i + 1) for i in range(nodes - 1)]
    extra = [(i, j) for i in range(nodes) for j in range(i + 2, nodes)]
    picks = rng.choice(len(extra), size=min(len(extra), nodes), replace=False)
    ends = np.array(chain + [extra[p] for p in picks])
    ends = np.where(rng.random((len(ends), 1)) < 0.5, ends, ends[:, ::-1])
    if rng.random() < 0.7:  # a vertical member, which the library treats apart
        xyz[1, [0, 1]] = xyz[0, [0, 1]]
    m = len(ends)
    fixed = np.zeros((nodes, 6), dtype=bool)
    springs = np.zeros((nodes, 6))
    fixed[0] = True
    fixed[nodes - 1, :3] = True
    springs[nodes // 2, :3] = 10 ** rng.uniform(4, 7, 3)
    springs[nodes - 1, 3:] = 10 ** rng.uniform(3, 6, 3)

    def between(low: float, high: float) -> np.ndarray:
        return rng.uniform(low, high, m)

    frame = Frame(
        tuple(f"n{i}" for i in range(nodes)), tuple(f"m{i}" for i in range(m)), ends, xyz,
        between(60e9, 210e9), between(25e9, 80e9), between(5e-4, 3e-3), between(2e-7, 4e-6),
        between(2e-7, 4e-6), between(1e-8, 6e-6), between(1, 20), rng.normal(size=(m, 3)),
        np.zeros((m, 12), dtype=bool), fixed, springs,
    )  # fmt: skip
    return _with_releases(frame, rng)


def _with_releases(frame: Frame, rng: np.random.Generator) -> Frame:
    """Random hinges, slides and swivels, as many as leave the frame stable."""
    releases = frame.releases.copy()
    choices = [[4], [5], [4, 5], [10, 11], [3], [9], [4, 5, 10, 11], [11], [2, 4], [6]]
    for member in range(len(releases)):
        if rng.random() < 0.5:
            trial = releases.copy()
            trial[member, choices[rng.integers(len(choices))]] = True
            candidate = replace(frame, releases=trial)
            try:
                u = solve(candidate, Loads(("t",), np.ones((1, len(frame.node_ids), 6))))
            except MechanismError:
                continue
            if np.abs(u.displacements).max() < 1.0:
                releases = trial
    return replace(frame, releases=releases)


def random_loads(frame: Frame, rng: np.random.Generator) -> Loads:
    nodes, m, k = len(frame.node_ids), len(frame.member_ids), 14
    nodal = rng.normal(size=(3, nodes, 6)) * 800 * (rng.random((3, nodes, 1)) < 0.4)
    member = rng.integers(0, m, k)
    a, b = np.sort(rng.uniform(0, 1, (2, k)), axis=0) * frame.length[member]
    whole = rng.random(k) < 0.4
    a, b = np.where(whole, 0, a), np.where(whole, frame.length[member], b)
    spans = Spans(rng.integers(0, 3, k), member, a, b, *rng.normal(size=(2, k, 3)) * 900)
    at = rng.integers(0, m, 6)
    points = Points(rng.integers(0, 3, 6), at, rng.uniform(0.1, 0.9, 6) * frame.length[at],
                    *rng.normal(size=(2, 6, 3)) * 700)  # fmt: skip
    return Loads(("g", "s", "w"), nodal, spans, points)


def library_model(frame: Frame, loads: Loads):
    from Pynite import FEModel3D

    model = FEModel3D()
    for name, place in zip(frame.node_ids, frame.xyz, strict=True):
        model.add_node(name, *map(float, place))
    for i, name in enumerate(frame.member_ids):
        model.add_material(name, frame.E[i], frame.G[i], 0.3, 1.0)
        model.add_section(name, frame.A[i], frame.I_y[i], frame.I_z[i], frame.J[i])
        model.add_member(name, *(frame.node_ids[n] for n in frame.ends[i]), name, name)
        x, y, z = np.asarray(model.members[name].T()[:3, :3], dtype=float)
        up = frame.up[i] - (frame.up[i] @ x) * x
        model.members[name].rotation = float(np.degrees(np.arctan2(-(up @ y), up @ z)))
        model.def_releases(name, *map(bool, frame.releases[i]))
    for name, row, spring in zip(frame.node_ids, frame.fixed, frame.springs, strict=True):
        model.def_support(name, *map(bool, row))
        for dof, k in zip(DOFS, spring, strict=True):
            if k:
                model.def_support_spring(name, dof, float(k))
    _library_loads(model, frame, loads)
    for c, row in enumerate(FACTORS):
        combo = {i: float(f) for i, f in zip(loads.case_ids, row, strict=True)}
        model.add_load_combo(f"c{c}", combo)
    model.analyze_linear(check_stability=False)
    return model


def _library_loads(model, frame: Frame, loads: Loads) -> None:
    force, moment = ("FX", "FY", "FZ"), ("MX", "MY", "MZ")
    for case, name in enumerate(loads.case_ids):
        for node, row in zip(frame.node_ids, loads.nodal[case], strict=True):
            for way, value in zip(force + moment, row, strict=True):
                if value:
                    model.add_node_load(node, way, value, name)
    s, p = loads.spans, loads.points
    for k in range(len(s.case)):
        where = frame.member_ids[s.member[k]]
        for d, way in enumerate(force):
            model.add_member_dist_load(where, way, s.w_a[k, d], s.w_b[k, d], s.a[k], s.b[k],
                                       loads.case_ids[s.case[k]])  # fmt: skip
    for k in range(len(p.case)):
        where = frame.member_ids[p.member[k]]
        for d in range(3):
            for way, value in ((force[d], p.force[k, d]), (moment[d], p.moment[k, d])):
                model.add_member_pt_load(where, way, value, p.a[k], loads.case_ids[p.case[k]])


def library_stations(model, frame: Frame) -> dict[str, np.ndarray]:
    ask = {
        "N": lambda m, c: m.axial_array(STATIONS, c), "T": lambda m, c: m.torque_array(STATIONS, c),
        "V_y": lambda m, c: m.shear_array("Fy", STATIONS, c),
        "V_z": lambda m, c: m.shear_array("Fz", STATIONS, c),
        "M_y": lambda m, c: m.moment_array("My", STATIONS, c),
        "M_z": lambda m, c: m.moment_array("Mz", STATIONS, c),
        "d_x": lambda m, c: m.deflection_array("dx", STATIONS, c),
        "d_y": lambda m, c: m.deflection_array("dy", STATIONS, c),
        "d_z": lambda m, c: m.deflection_array("dz", STATIONS, c),
    }  # fmt: skip
    combos = [f"c{c}" for c in range(len(FACTORS))]
    return {
        q: np.array([[f(model.members[m], c)[1] for m in frame.member_ids] for c in combos])
        for q, f in ask.items()
    }


def our_stations(frame: Frame, loads: Loads, answer) -> dict[str, np.ndarray]:
    inner = internal_forces(frame, loads, answer, STATIONS)
    grid = np.linspace(0, 1, STATIONS) * frame.length[:, None]
    pick = np.abs(inner.x[0][:, :, None] - grid[:, None, :]).argmin(axis=1)
    out = {q: np.take_along_axis(combine(FACTORS, getattr(inner, q))[0], pick[None], axis=2)
           for q in SIGNS}  # fmt: skip
    local = combine(FACTORS, inner.deflection) @ np.swapaxes(local_axes(frame)[0], -1, -2)[:, None]
    for d, q in enumerate(("d_x", "d_y", "d_z")):
        out[q] = np.take_along_axis(local[0, ..., d], pick[None], axis=2)
    return out


def close(name: str, ours: np.ndarray, theirs: np.ndarray, tolerance: float = 1e-6) -> None:
    scale = np.abs(theirs).max()
    assert np.abs(ours - theirs).max() <= tolerance * scale, (
        f"{name}: differs by {np.abs(ours - theirs).max() / scale:.2e} of the largest"
    )


@pytest.mark.parametrize("seed", range(24))
def test_random_frame_agrees(seed: int, published) -> None:
    rng = np.random.default_rng(seed)
    frame = random_frame(rng)
    loads = random_loads(frame, rng)
    answer = solve(frame, loads)
    model = library_model(frame, loads)
    combos = [f"c{c}" for c in range(len(FACTORS))]

    ours = combine(FACTORS, answer.displacements)[0]
    theirs = np.array([[[getattr(model.nodes[n], d)[c] for d in DOFS] for n in frame.node_ids]
                       for c in combos])  # fmt: skip
    for part, words in ((slice(0, 3), "displacements"), (slice(3, 6), "rotations")):
        close(words, ours[..., part], theirs[..., part])
    _publish(published, seed, "displacement", ours[..., :3], theirs[..., :3], "m")

    ours = combine(FACTORS, answer.reactions)[0]
    theirs = np.array([[[getattr(model.nodes[n], "Rxn" + d.replace("D", "F").replace("R", "M"))[c]
                         for d in DOFS] for n in frame.node_ids] for c in combos])  # fmt: skip
    for part, words in ((slice(0, 3), "reactions"), (slice(3, 6), "reaction moments")):
        close(words, ours[..., part], theirs[..., part])
    _publish(published, seed, "reaction", ours[..., :3], theirs[..., :3], "N")

    ours = combine(FACTORS, answer.end_forces)[0]
    theirs = np.array([[model.members[m].f(c).ravel() for m in frame.member_ids] for c in combos])
    moments = [3, 4, 5, 9, 10, 11]
    forces = [0, 1, 2, 6, 7, 8]
    close("end forces", ours[..., forces], theirs[..., forces])
    close("end moments", ours[..., moments], theirs[..., moments])
    _publish(published, seed, "end moment", ours[..., moments], theirs[..., moments], "N·m")

    mine, library = our_stations(frame, loads, answer), library_stations(model, frame)
    for quantity, sign in SIGNS.items():
        close(quantity, mine[quantity], sign * library[quantity])
    # the library draws a member whose end i may slide sideways from its node, not from that end
    slides = frame.releases[:, [1, 2]].any(axis=1)
    for quantity in ("d_x", "d_y", "d_z"):
        close(quantity, mine[quantity][:, ~slides], library[quantity][:, ~slides])
    bending = SIGNS["M_z"] * library["M_z"]
    _publish(published, seed, "internal moment M_z", mine["M_z"], bending, "N·m")


def _publish(published, seed: int, what: str, ours, theirs, unit: str) -> None:
    """Keep the largest value of the frame as a row."""
    place = np.unravel_index(np.abs(theirs).argmax(), theirs.shape)
    published(DOCUMENT, f"random frame {seed}, largest {what}", float(theirs[place]), ours[place],
              1e-6 * abs(float(theirs[place])), unit)  # fmt: skip
