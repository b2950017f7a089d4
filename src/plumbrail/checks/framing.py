"""The model as a frame of straight members; idealisations are drawn in docs/method/idealisation.md.

* Posts run on their centre lines from the depth of fixity to the beam's centre line and are fixed
  there; a node at grade gives what the pier has to take.
* Beams are continuous. A ``pinned`` post top passes no bending to the post; the beam's rotation
  about its own axis is then held by a nominal spring that carries nothing.
* Each rail stands off its beams by a stub (half the beam and half the rail), as stiff as the beam
  and without weight. The stub is fixed to the rail and hinged at the beam's centre about the beam's
  axis and about its own.
* Braces are pinned at both ends.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from plumbrail.frame import Frame
from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan
from plumbrail.tables.sections import PipeSection, steel

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

POISSON = 0.3
E_ALUMINIUM = 10100.0 * 6894757.293168361
"""Pa; 10,100 ksi, from memory of the aluminium manual; moves deflections, not moments."""
SNAP = 0.02
"""A rail this close [m] to a post shares its node."""
SAME_PLACE = 0.001
"""Ends of braces this close [m] to grade or to each other on a post share a node."""


class Kind(IntEnum):
    """What a member of the frame is part of."""

    POST = 0
    BEAM = 1
    RAIL = 2
    STUB = 3
    BRACE = 4


@dataclass(frozen=True)
class Framing:
    """The frame and how its members and nodes belong to the model.

    Axis member: ``kind``, ``parent`` (index of the post, beam, rail or brace; for a stub the rail)
    and ``offset`` (from the start of that part to the member's end i, m).
    """

    frame: Frame
    kind: IntArray
    parent: IntArray
    offset: Array
    stub_row: IntArray
    """(members,) 0 front, 1 back for stubs, -1 otherwise."""
    base: IntArray
    """(posts,) node where the post is fixed."""
    grade: IntArray
    """(posts,) node at grade; the same as base when fixed there."""
    top: IntArray
    """(posts,) node on the beam's centre line."""

    def members(self, kind: Kind, parent: int | None = None) -> IntArray:
        """Indices of the members of a kind, in order along their part."""
        mask = self.kind == kind
        if parent is not None:
            mask &= self.parent == parent
        found = np.flatnonzero(mask)
        return found[np.argsort(self.offset[found], kind="stable")]


class _Builder:
    """Collects nodes and members in order; nodes have names, a node may have several."""

    def __init__(self, E: float) -> None:
        self.E = E
        self.nodes: dict[str, Array] = {}
        self.index: dict[str, int] = {}
        self.rows: list[tuple[str, int, int, Kind, int, float, int]] = []
        self.up: list[Array] = []
        self.props: list[tuple[float, ...]] = []
        self.releases: list[NDArray[np.bool_]] = []

    def node(self, name: str, place: Array, near: Sequence[str] = ()) -> None:
        """A new node, or another name for one of ``near`` that stands at the same place."""
        for other in near:
            if np.linalg.norm(self.at(other) - place) < SAME_PLACE:
                self.index[name] = self.index[other]
                return
        self.index[name] = len(self.nodes)
        self.nodes[name] = np.asarray(place, dtype=float)

    def at(self, name: str) -> Array:
        """Place of a node under any of its names."""
        return list(self.nodes.values())[self.index[name]]

    def member(
        self, name: str, i: str, j: str, kind: Kind, parent: int, offset: float, up: Array,
        props: tuple[float, ...], release: tuple[int, ...] = (), stub_row: int = -1,
    ) -> None:  # fmt: skip
        self.rows.append((name, self.index[i], self.index[j], kind, parent, offset, stub_row))
        self.up.append(up)
        self.props.append(props)
        mask = np.zeros(12, dtype=bool)
        mask[list(release)] = True
        self.releases.append(mask)


def frame_of(plan: Plan, model: Model) -> Framing:
    """The frame of a model."""
    b = _Builder(steel(plan.frame.steel).E)
    x_beam = _beam_nodes(b, model)
    _post_nodes(b, plan, model)
    _add_posts(b, plan, model, x_beam)
    _add_beams(b, model, x_beam)
    _add_rails(b, plan, model, x_beam)
    _add_braces(b, model)
    return _assemble(b, plan, model)


def _pipe(E: float, s: PipeSection) -> tuple[float, ...]:
    return (E, _shear_modulus(E), s.A, s.I, s.I, s.J, s.mass)


def _shear_modulus(E: float) -> float:
    return E / (2.0 * (1.0 + POISSON))


def _beam_nodes(b: _Builder, model: Model) -> tuple[Array, Array]:
    """Distances from the left end where each beam has nodes; posts win over rails nearby."""
    front, back = (_add_beam_nodes(b, model, row) for row in (0, 1))
    return front, back


def _add_beam_nodes(b: _Builder, model: Model, row: int) -> Array:
    supports, rails = model.beams.supports[row], model.rails.on_beam[row]
    near = np.abs(rails[:, None] - supports).min(axis=1) <= SNAP
    x = np.unique(np.concatenate([[0.0], supports, rails[~near], [model.beams.length]]).round(9))
    x = x[np.concatenate([[True], np.diff(x) > 1e-6])]
    for i, place in enumerate(model.beams.point(row, x)):
        b.node(f"beam{row}.{i}", place)
    return x


def _nearest(x_beam: Array, distance: float) -> int:
    return int(np.abs(x_beam - distance).argmin())


def _post_nodes(b: _Builder, plan: Plan, model: Model) -> None:
    posts, braces = model.posts, model.braces
    for p, name in enumerate(posts.ids):
        if plan.frame.fixity_depth > 0.0:
            b.node(f"{name}.base", posts.at_height(p, posts.ground[p] - plan.frame.fixity_depth))
        b.node(f"{name}.grade", posts.base[p])
    on_post: dict[int, list[str]] = {p: [f"{name}.grade"] for p, name in enumerate(posts.ids)}
    for d, name in enumerate(braces.ids):
        for end, p in enumerate((int(braces.low_post[d]), int(braces.high_post[d]))):
            b.node(node := f"{name}.{('low', 'high')[end]}", braces.ends[d, end], on_post[p])
            on_post[p].append(node)


def _add_posts(b: _Builder, plan: Plan, model: Model, x_beam: tuple[Array, Array]) -> None:
    posts, braces = model.posts, model.braces
    props = _pipe(b.E, posts.section)
    pinned = (10, 11) if plan.frame.post_top == "pinned" else ()
    for p, name in enumerate(posts.ids):
        row = int(posts.row[p])
        distance = float(model.beams.supports[row, posts.station[p] - 1])
        top = f"beam{row}.{_nearest(x_beam[row], distance)}"
        between = [f"{braces.ids[d]}.low" for d in np.flatnonzero(braces.low_post == p)]
        between += [f"{braces.ids[d]}.high" for d in np.flatnonzero(braces.high_post == p)]
        chain = [f"{name}.base"] if plan.frame.fixity_depth > 0.0 else []
        chain += [f"{name}.grade", *sorted(between, key=lambda n: b.at(n)[2]), top]
        chain = list({b.index[n]: n for n in reversed(chain)}.values())[::-1]  # one name each
        foot = b.at(chain[0])
        for i, j in pairwise(chain):
            b.member(
                f"{name}:{i.split('.')[-1]}", i, j, Kind.POST, p,
                float(np.linalg.norm(b.at(i) - foot)),
                np.array([1.0, 0.0, 0.0]), props, pinned if j == top else (),
            )  # fmt: skip


def _add_beams(b: _Builder, model: Model, x_beam: tuple[Array, Array]) -> None:
    for row, name in enumerate(model.beams.ids):
        for i in range(len(x_beam[row]) - 1):
            b.member(
                f"{name}:{i + 1}", f"beam{row}.{i}", f"beam{row}.{i + 1}", Kind.BEAM, row,
                float(x_beam[row][i]), np.array([0.0, 0.0, 1.0]), _pipe(b.E, model.beams.section),
            )  # fmt: skip


def _add_rails(b: _Builder, plan: Plan, model: Model, x_beam: tuple[Array, Array]) -> None:
    """Each rail on the line through its two crossings, square off the beams by a stub."""
    rail, rails, beams = plan.frame.rail, model.rails, model.beams
    props = (E_ALUMINIUM, _shear_modulus(E_ALUMINIUM), rail.area, rail.inertia, rail.inertia_side,
             rail.inertia_side, rail.weight)  # fmt: skip
    stub = (*_pipe(b.E, beams.section)[:-1], 0.0)
    stands_off = 0.5 * beams.section.OD + 0.5 * rail.height
    for r, name in enumerate(rails.ids):
        s = [0.0, *rails.crossing[:, r], rails.length]
        node = [_nearest(x_beam[row], float(rails.on_beam[row, r])) for row in (0, 1)]
        front, back = (b.nodes[f"beam{row}.{node[row]}"] for row in (0, 1))
        way = (back - front) / np.linalg.norm(back - front)
        normal = np.cross(model.plane.row, way)
        normal /= np.linalg.norm(normal)
        places = (front - s[1] * way, front, back, back + (s[3] - s[2]) * way)
        chain = [f"{name}.{part}" for part in ("low", "front", "back", "high")]
        for part, place in zip(chain, places, strict=True):
            b.node(part, place + stands_off * normal)
        for k in range(3):
            b.member(f"{name}:{k + 1}", chain[k], chain[k + 1], Kind.RAIL, r, float(s[k]),
                     normal, props)  # fmt: skip
        for row in (0, 1):
            b.member(
                f"{name}:clamp{row}", f"beam{row}.{node[row]}", chain[row + 1], Kind.STUB, r, 0.0,
                beams.direction(row, float(rails.on_beam[row, r])), stub, (3, 5), row,
            )  # fmt: skip


def _add_braces(b: _Builder, model: Model) -> None:
    if model.braces.section is None:
        return
    for d, name in enumerate(model.braces.ids):
        b.member(name, f"{name}.low", f"{name}.high", Kind.BRACE, d, 0.0, np.array([0.0, 0.0, 1.0]),
                 _pipe(b.E, model.braces.section), (4, 5, 9, 10, 11))  # fmt: skip


def _assemble(b: _Builder, plan: Plan, model: Model) -> Framing:
    index, posts = b.index, model.posts
    names, i, j, kind, parent, offset, stub_row = zip(*b.rows, strict=True)
    props = np.array(b.props)
    grade = np.array([index[f"{p}.grade"] for p in posts.ids])
    base = np.array([index.get(f"{p}.base", index[f"{p}.grade"]) for p in posts.ids])
    kinds = np.array(kind, dtype=np.int64)
    ends = np.column_stack([i, j])
    last = [np.flatnonzero((kinds == Kind.POST) & (np.array(parent) == p))[-1]
            for p in range(len(posts.ids))]  # fmt: skip
    top = ends[last, 1]
    fixed = np.zeros((len(b.nodes), 6), dtype=bool)
    fixed[base] = True
    springs = np.zeros((len(b.nodes), 6))
    if plan.frame.post_top == "pinned":
        springs[top, 3] = 1e-3 * props[0, 1] * model.beams.section.J
    frame = Frame(
        tuple(_spoken(n, model) for n in b.nodes), names, ends, np.array(list(b.nodes.values())),
        props[:, 0], props[:, 1], props[:, 2], props[:, 3], props[:, 4], props[:, 5], props[:, 6],
        np.array(b.up), np.array(b.releases), fixed, springs,
    )  # fmt: skip
    return Framing(frame, kinds, np.array(parent, dtype=np.int64), np.array(offset),
                   np.array(stub_row, dtype=np.int64), base, grade, top)  # fmt: skip


def _spoken(name: str, model: Model) -> str:
    """Node name for messages: ``front beam, node 3`` rather than ``beam0.2``."""
    if name.startswith("beam"):
        row, node = name[4:].split(".")
        return f"{model.beams.ids[int(row)]}, node {int(node) + 1}"
    part, place = name.split(".")
    return f"{part} ({place})"
