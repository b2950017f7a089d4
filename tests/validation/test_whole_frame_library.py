"""The whole frame of the Alder Creek demo built anew in PyNiteFEA 3.2.0, an independent library.

Nodes, members, hinges and loads are put together here from the model's points and from the
coefficients of ASCE 7-16 typed below, not from the program's own frame or load cases. Reactions at
every post foot are compared, moments among them.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from plans import FOOT, PSF, G, alder, plan_with, response_with

DOCUMENT = "PyNiteFEA 3.2.0 (independent frame library)"
E_STEEL, E_RAIL = 29000.0 * 6894757.293168361, 10100.0 * 6894757.293168361
ROWS = np.array([1.0, 0.0, 0.0])
UP = np.array([0.0, 0.0, 1.0])

pytestmark = [
    pytest.mark.filterwarnings("ignore::DeprecationWarning"),
    pytest.mark.filterwarnings("ignore::PendingDeprecationWarning"),
    pytest.mark.filterwarnings("ignore::scipy.sparse.SparseEfficiencyWarning"),
]


class Library:
    """A model of the library with local z axes given as directions."""

    def __init__(self) -> None:
        from Pynite import FEModel3D

        self.model = FEModel3D()
        self.length: dict[str, float] = {}
        for name, E in (("steel", E_STEEL), ("rail", E_RAIL)):
            self.model.add_material(name, E, E / 2.6, 0.3, 1.0)

    def node(self, name: str, place: np.ndarray) -> None:
        self.model.add_node(name, *map(float, place))

    def section(self, name: str, A: float, I_y: float, I_z: float, J: float) -> None:
        self.model.add_section(name, A, I_y, I_z, J)

    def member(
        self, name: str, i: str, j: str, kind: str, z: np.ndarray, released: tuple[int, ...] = ()
    ) -> None:
        self.model.add_member(name, i, j, "rail" if kind == "rail" else "steel", kind)
        member = self.model.members[name]
        x, y, own = np.asarray(member.T()[:3, :3], dtype=float)
        toward = z - (z @ x) * x
        member.rotation = float(np.degrees(np.arctan2(-(toward @ y), toward @ own)))
        self.model.def_releases(name, *(k in released for k in range(12)))
        self.length[name] = float(member.L())

    def line(
        self, name: str, w: np.ndarray, case: str, a: float = 0.0, b: float | None = None
    ) -> None:
        end = self.length[name] if b is None else b
        for way, value in zip(("FX", "FY", "FZ"), w, strict=True):
            if value:
                self.model.add_member_dist_load(name, way, value, value, a, end, case)


def built(plan, model) -> Library:
    """The frame from the model's points: beams through posts and rails, stubs, posts in the ground.

    Two rails of this demo stand 18 mm beside a post; the idealisation puts them on the post.
    """
    lib = Library()
    post, beam, rail = model.posts.section, model.beams.section, plan.frame.rail
    for name, s in (("post", post), ("beam", beam), ("stub", beam)):
        lib.section(name, s.A, s.I, s.I, s.J)
    lib.section("rail", rail.area, rail.inertia, rail.inertia_side, rail.inertia_side)
    shared = tags(model)
    places = sorted(
        [(x, f"{i}") for i, x in enumerate(model.posts.xy[: model.stations, 0])]
        + [(x, f"r{i}") for i, x in enumerate(model.rails.x) if shared[i] == f"r{i}"]
        + [(model.beams.start[0, 0], "left"), (model.beams.end[0, 0], "right")]
    )
    for row in (0, 1):
        for x, tag in places:
            lib.node(f"b{row}.{tag}", np.array([x, *model.beams.start[row, 1:]]))
        for (_, i), (_, j) in pairwise(places):
            lib.member(f"b{row}.{i}-{j}", f"b{row}.{i}", f"b{row}.{j}", "beam", UP)
    _posts(lib, plan, model)
    _rails(lib, model, plan)
    return lib


def tags(model) -> list[str]:
    """Node of the beam that each rail sits on: its own, or that of a post within 2 cm."""
    gap = np.abs(model.rails.x[:, None] - model.posts.xy[: model.stations, 0])
    return [f"{row.argmin()}" if row.min() <= 0.02 else f"r{r}" for r, row in enumerate(gap)]


def _posts(lib: Library, plan, model) -> None:
    n = model.stations
    hinge = (10, 11) if plan.frame.post_top == "pinned" else ()
    for p, name in enumerate(model.posts.ids):
        x, y = model.posts.xy[p]
        top = f"b{p // n}.{p % n}"
        lib.node(f"{name}.foot", np.array([x, y, model.posts.ground[p] - 0.3048]))
        lib.node(f"{name}.grade", np.array([x, y, model.posts.ground[p]]))
        lib.member(f"{name}.in", f"{name}.foot", f"{name}.grade", "post", ROWS)
        lib.member(f"{name}.out", f"{name}.grade", top, "post", ROWS, hinge)
        lib.model.def_support(f"{name}.foot", *(True,) * 6)
        if hinge:
            k = 1e-3 * E_STEEL / 2.6 * model.beams.section.J
            lib.model.def_support_spring(top, "RX", float(k))


def _rails(lib: Library, model, plan) -> None:
    plane = model.plane
    n = np.array([0.0, -np.sin(plane.tilt), np.cos(plane.tilt)])
    s = [0.0, *model.beams.slope_distance, plane.slope_length]
    for r, tag in enumerate(tags(model)):
        x = model.rails.x[r] if tag == f"r{r}" else model.posts.xy[int(tag), 0]
        low = np.array([x, plane.low_y, plane.low_z]) - 0.5 * plan.frame.rail.height * n
        for k, distance in enumerate(s):
            up = np.array([0.0, np.cos(plane.tilt), np.sin(plane.tilt)])
            lib.node(f"r{r}.{k}", low + distance * up)
        for k in range(3):
            lib.member(f"r{r}:{k}", f"r{r}.{k}", f"r{r}.{k + 1}", "rail", n)
        for row in (0, 1):
            # hinged at the beam about the row (local z) and about its own axis
            lib.member(f"s{row}.{r}", f"b{row}.{tag}", f"r{r}.{row + 1}", "stub", ROWS, (3, 5))


def on_rails(lib: Library, model, low: np.ndarray, high: np.ndarray, case: str) -> None:
    """Forces per slope length (rails, 3) on the low and the high half."""
    s = [0.0, *model.beams.slope_distance, model.plane.slope_length]
    middle = 0.5 * model.plane.slope_length
    for r in range(len(model.rails.x)):
        lib.line(f"r{r}:0", low[r], case)
        lib.line(f"r{r}:1", low[r], case, 0.0, middle - s[1])
        lib.line(f"r{r}:1", high[r], case, middle - s[1])
        lib.line(f"r{r}:2", high[r], case)


def q_G() -> float:
    """105 mph, exposure C, 4200 ft, ASCE 7-16 Eq. 26.10-1, times G = 0.85."""
    K_z, K_e = 2.01 * (15 / 900) ** (2 / 9.5), np.exp(-0.000119 * 4200 * FOOT)
    return float(0.00256 * K_z * 0.85 * K_e * 105**2 * PSF * 0.85)


def loaded(lib: Library, plan, model) -> None:
    """Dead load, snow, wind from the back and front (clear, B) and from the left (clear, A)."""
    trib = np.full(len(model.rails.x), 0.5 * 1.722)
    tilt, normal = model.plane.tilt, model.plane.normal
    post, beam = model.posts.section, model.beams.section
    weight = 24 * 21.5 * G / (12 * model.plane.slope_length) + 1.9 * G
    both = np.tile([0.0, 0.0, -weight], (12, 1))
    on_rails(lib, model, both, both, "D")
    snow = -0.84 * 30 * PSF * np.cos(tilt) * trib[:, None] * UP
    on_rails(lib, model, snow, snow, "S")
    for name in lib.length:
        mass = {"b": beam.mass, "F": post.mass, "B": post.mass}.get(name[0], 0.0)
        lib.line(name, np.array([0.0, 0.0, -mass * G]), "D")
    # Fig. 27.3-4 at 32 deg between 30 and 37.5
    t, p = 2.0 / 7.5, q_G()
    strip = trib[:, None] * normal
    back = (-0.5 - 0.1 * t, -2.5 + 0.1 * t)
    front = (2.6 + 0.1 * t, 1.0 + 0.1 * t)
    for case, (low, high), way in (("back", back, -1.0), ("front", front, 1.0)):
        on_rails(lib, model, -p * low * strip, -p * high * strip, case)
        for name in lib.length:
            D = post.OD if name.endswith(".out") else beam.OD if name[0] == "b" else 0.0
            lib.line(name, np.array([0.0, way * 1.2 * p * D, 0.0]), case)
    _from_the_left(lib, model, p)


def _from_the_left(lib: Library, model, p: float) -> None:
    plane = model.plane
    middle = plane.low_y + 0.5 * plane.slope_length * np.cos(plane.tilt)
    h = plane.low_z + 0.5 * plane.slope_length * np.sin(plane.tilt)
    h -= -0.01 * (plane.x_left + 0.5 * plane.row_length) + 0.04 * middle
    distance = model.rails.x - plane.x_left
    C = np.select([distance <= h, distance <= 2 * h], [-0.8, -0.6], -0.3)
    edge = np.full(12, 0.100) + np.where(np.isin(np.arange(12), [0, 11]), 0.030, 0.0)
    w = -p * C[:, None] * 0.861 * plane.normal + 2.0 * p * edge[:, None] * ROWS
    on_rails(lib, model, w, w, "left")
    for name in lib.length:
        if name.endswith(".out"):
            lib.line(name, 1.2 * p * model.posts.section.OD * ROWS, "left")


CASES = {"D": "D", "S": "S", "back": "W-back-clear-B", "front": "W-front-clear-B",
         "left": "W-left-clear-A"}  # fmt: skip
NAMES = ("FX", "FY", "FZ", "MX", "MY", "MZ")


@pytest.mark.parametrize("top", ["pinned", "rigid"])
def test_reactions_agree(top: str, published) -> None:
    plan, model, response = alder()
    if top == "rigid":
        plan = plan_with({"frame.post_top": "rigid"})
        model, response = response_with(plan)
    lib = built(plan, model)
    loaded(lib, plan, model)
    for case in CASES:
        lib.model.add_load_combo(case, {case: 1.0})
    lib.model.analyze_linear(check_stability=False)
    ids = [c.id for c in response.actions.cases]
    for case, ours in CASES.items():
        R = response.solution.reactions[0, ids.index(ours), response.framing.base]
        theirs = np.array([
            [getattr(lib.model.nodes[f"{p}.foot"], f"Rxn{n}")[case] for n in NAMES]
            for p in model.posts.ids
        ])  # fmt: skip
        for part, words, unit in ((slice(0, 3), "force", "N"), (slice(3, 6), "moment", "N·m")):
            scale = np.abs(theirs[:, part]).max()
            assert np.abs(R[:, part] - theirs[:, part]).max() <= 1e-6 * scale, (case, words)
            place = np.unravel_index(np.abs(theirs[:, part]).argmax(), (len(R), 3))
            item = f"whole frame, {top} tops, {ours}, largest {words} at a foot"
            published(DOCUMENT, item, theirs[:, part][place], R[:, part][place], 1e-6 * scale, unit)
