"""What the frame analysis takes and gives: frozen dataclasses of arrays.

Every array of a frame or of its loads may have a leading candidate axis; without it the values
hold for all candidates. Results always have it (size 1 for one frame). Axes and signs are drawn in
``docs/method/frame.md``.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any, Self

import numpy as np
from numpy.typing import NDArray

from plumbrail.errors import PlumbrailError

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]

DOFS = ("u_x", "u_y", "u_z", "r_x", "r_y", "r_z")
"""Order of the six directions of a node; a member end has the same six in local axes."""


class FrameError(PlumbrailError, ValueError):
    """A frame or its loads are put together wrongly; the message names the member or field."""


def _store(owner: Any, name: str, tail: tuple[int, ...], kind: type = float) -> int:
    """Turn a field into an array of shape ``tail`` or (candidates, *tail); give candidates."""
    array: NDArray[Any] = np.asarray(getattr(owner, name), dtype=kind)
    lead = array.shape[: array.ndim - len(tail)]
    if array.shape[len(lead) :] != tail or len(lead) > 1:
        raise FrameError(
            f"{type(owner).__name__}.{name} has the shape {array.shape}; "
            f"write {tail} or (candidates, {', '.join(map(str, tail))})"
        )
    if kind is float and not np.isfinite(array).all():
        raise FrameError(f"{type(owner).__name__}.{name} holds a value that is not a number")
    object.__setattr__(owner, name, array)
    return lead[0] if lead else 1


def _agree(owner: Any, sizes: dict[str, int]) -> int:
    """The one number of candidates of all fields; 1 fits any."""
    many = {name: n for name, n in sizes.items() if n != 1}
    if len(set(many.values())) > 1:
        raise FrameError(f"{type(owner).__name__}: numbers of candidates differ: {many}")
    return max([1, *many.values()])


def _cut(array: Array, dims: int, candidate: int | slice) -> Any:
    if array.ndim == dims or (len(array) == 1 and isinstance(candidate, slice)):
        return array
    return array[candidate if len(array) > 1 else 0]


@dataclass(frozen=True, eq=False)
class Frame:
    """A frame of straight members, or many candidates of the same topology.

    Shapes below may be preceded by a candidate axis where marked *. SI units. Raises
    :class:`FrameError` when shapes disagree or a member has no length or a property is not > 0.
    """

    node_ids: tuple[str, ...]
    member_ids: tuple[str, ...]
    ends: IntArray
    """(members, 2) node indices of end i and end j."""
    xyz: Array
    """*(nodes, 3) m; x along the row, y across to the back, z up."""
    E: Array
    """*(members,) Pa."""
    G: Array
    """*(members,) Pa."""
    A: Array
    """*(members,) m²."""
    I_y: Array
    """*(members,) m⁴, bending in the local x-z plane."""
    I_z: Array
    """*(members,) m⁴, bending in the local x-y plane."""
    J: Array
    """*(members,) m⁴."""
    mass_per_length: Array
    """*(members,) kg/m."""
    up: Array
    """(members, 3) local z is the part of ``up`` normal to the member; never parallel to it."""
    releases: BoolArray
    """(members, 12) released end forces, local axes, [u_x u_y u_z r_x r_y r_z] of i, then of j."""
    fixed: BoolArray
    """(nodes, 6) global supports."""
    springs: Array
    """*(nodes, 6) global springs to the ground, N/m and N·m/rad; 0 where there is none."""
    ties: IntArray = field(default_factory=lambda: np.zeros((0, 2), dtype=np.int64))
    """(ties, 2) leading node and follower at the same place: a joint inside a node, e.g. a rail
    that runs on over a beam but is hinged about it."""
    tied: BoolArray = field(default_factory=lambda: np.zeros((0, 6), dtype=bool))
    """(ties, 6) global directions in which the follower moves with its leader."""

    def __post_init__(self) -> None:
        members, nodes = len(self.member_ids), len(self.node_ids)
        _store(self, "ends", (members, 2), np.int64)
        _store(self, "up", (members, 3))
        _store(self, "releases", (members, 12), bool)
        _store(self, "fixed", (nodes, 6), bool)
        _store(self, "ties", (len(self.ties), 2), np.int64)
        _store(self, "tied", (len(self.ties), 6), bool)
        sizes = {"xyz": _store(self, "xyz", (nodes, 3))}
        sizes["springs"] = _store(self, "springs", (nodes, 6))
        for name in (*_SECTION, "mass_per_length"):
            sizes[name] = _store(self, name, (members,))
        object.__setattr__(self, "candidates", _agree(self, sizes))
        _check_frame(self)

    candidates: int = field(init=False, repr=False, compare=False)
    """Number of candidates; 1 when no field has a candidate axis."""

    @property
    def length(self) -> Array:
        """*(members,) m."""
        span = self.xyz[..., self.ends[:, 1], :] - self.xyz[..., self.ends[:, 0], :]
        return np.asarray(np.linalg.norm(span, axis=-1))

    def at(self, candidate: int | slice) -> Self:
        """One candidate without candidate axes, or a slice of the candidates."""
        cut: dict[str, Any] = {
            n: _cut(getattr(self, n), 1, candidate) for n in (*_SECTION, "mass_per_length")
        }
        cut |= {n: _cut(getattr(self, n), 2, candidate) for n in ("xyz", "springs")}
        return replace(self, **cut)


_SECTION = ("E", "G", "A", "I_y", "I_z", "J")


def _check_frame(frame: Frame) -> None:
    if frame.ends.size and not (0 <= frame.ends.min() <= frame.ends.max() < len(frame.node_ids)):
        raise FrameError("Frame.ends points to a node that does not exist")
    size = float(np.ptp(frame.xyz, axis=-2).max()) if len(frame.node_ids) else 0.0
    _refuse(
        frame.member_ids,
        frame.length <= 1e-9 * size,
        "has no length; join its two nodes or move one",
    )
    for name in _SECTION:
        _refuse(frame.member_ids, getattr(frame, name) <= 0, f"needs {name} greater than 0")
    if (frame.springs < 0).any() or (frame.mass_per_length < 0).any():
        raise FrameError("Frame.springs and Frame.mass_per_length cannot be negative")
    _check_ties(frame, size)


def _check_ties(frame: Frame, size: float) -> None:
    leader, follower = frame.ties[:, 0], frame.ties[:, 1]
    apart = np.abs(frame.xyz[..., leader, :] - frame.xyz[..., follower, :]).max(axis=-1)
    names = tuple(frame.node_ids[n] for n in follower)
    _refuse(
        names,
        apart > 1e-9 * max(size, 1e-300),
        "is tied to a node at another place; use a short member",
        "node",
    )
    twice = np.isin(follower, leader) | (np.bincount(follower, minlength=1)[follower] > 1)
    _refuse(names, twice, "is a follower and also a leader, or follows twice", "node")
    _refuse(names, (frame.tied & frame.fixed[follower]).any(axis=1),
            "follows another node; support that one instead", "node")  # fmt: skip


def _refuse(ids: tuple[str, ...], bad: Any, words: str, what: str = "member") -> None:
    """``bad`` is *(ids,)."""
    if np.any(bad):
        place = int(np.argmax(bad)) % len(ids)
        raise FrameError(f"{what} {ids[place]} {words}")


@dataclass(frozen=True, eq=False)
class Spans:
    """Loads spread over part of a member, linear from ``w_a`` at ``a`` to ``w_b`` at ``b``.

    Global directions, force per length of member. Lengths from end i. Shapes may be preceded by a
    candidate axis where marked *.
    """

    case: IntArray
    """(k,) index of the load case."""
    member: IntArray
    """(k,) index of the member."""
    a: Array
    """*(k,) m."""
    b: Array
    """*(k,) m, greater than a and at most the length."""
    w_a: Array
    """*(k, 3) N/m."""
    w_b: Array
    """*(k, 3) N/m."""

    candidates: int = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        k = np.shape(self.case)[0]
        _store(self, "case", (k,), np.int64)
        _store(self, "member", (k,), np.int64)
        sizes = {n: _store(self, n, (k,)) for n in ("a", "b")}
        sizes |= {n: _store(self, n, (k, 3)) for n in ("w_a", "w_b")}
        object.__setattr__(self, "candidates", _agree(self, sizes))

    @classmethod
    def none(cls) -> Self:
        """No such load."""
        i, z, w = np.zeros(0, dtype=np.int64), np.zeros(0), np.zeros((0, 3))
        return cls(i, i, z, z, w, w)

    @classmethod
    def joined(cls, *parts: Spans) -> Self:
        """All parts as one list."""
        return cls(**_joined(parts, {"case": 1, "member": 1, "a": 1, "b": 1, "w_a": 2, "w_b": 2}))

    def at(self, candidate: int | slice) -> Self:
        """One candidate without candidate axes, or a slice of the candidates."""
        cut: dict[str, Any] = {n: _cut(getattr(self, n), 1, candidate) for n in ("a", "b")}
        cut |= {n: _cut(getattr(self, n), 2, candidate) for n in ("w_a", "w_b")}
        return replace(self, **cut)


@dataclass(frozen=True, eq=False)
class Points:
    """Forces and moments at one place on a member, global directions."""

    case: IntArray
    """(k,) index of the load case."""
    member: IntArray
    """(k,) index of the member."""
    a: Array
    """*(k,) m from end i."""
    force: Array
    """*(k, 3) N."""
    moment: Array
    """*(k, 3) N·m."""

    candidates: int = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        k = np.shape(self.case)[0]
        _store(self, "case", (k,), np.int64)
        _store(self, "member", (k,), np.int64)
        sizes = {"a": _store(self, "a", (k,))}
        sizes |= {n: _store(self, n, (k, 3)) for n in ("force", "moment")}
        object.__setattr__(self, "candidates", _agree(self, sizes))

    @classmethod
    def none(cls) -> Self:
        """No such load."""
        i, w = np.zeros(0, dtype=np.int64), np.zeros((0, 3))
        return cls(i, i, np.zeros(0), w, w)

    @classmethod
    def joined(cls, *parts: Points) -> Self:
        """All parts as one list."""
        return cls(**_joined(parts, {"case": 1, "member": 1, "a": 1, "force": 2, "moment": 2}))

    def at(self, candidate: int | slice) -> Self:
        """One candidate without candidate axes, or a slice of the candidates."""
        cut: dict[str, Any] = {n: _cut(getattr(self, n), 2, candidate) for n in ("force", "moment")}
        return replace(self, a=_cut(self.a, 1, candidate), **cut)


def _joined(parts: tuple[Any, ...], dims: dict[str, int]) -> dict[str, Any]:
    """Each field of all parts, one after the other along the list axis."""
    many = max([1, *(p.candidates for p in parts)])

    def column(name: str, dim: int) -> Array:
        arrays = [np.asarray(getattr(p, name)) for p in parts]
        if any(a.ndim > dim for a in arrays):
            arrays = [np.broadcast_to(a, (many, *a.shape[a.ndim - dim :])) for a in arrays]
        return np.concatenate(arrays, axis=arrays[0].ndim - dim)

    return {name: column(name, dim) for name, dim in dims.items()}


@dataclass(frozen=True, eq=False)
class Loads:
    """The basic load cases of a frame."""

    case_ids: tuple[str, ...]
    nodal: Array
    """*(cases, nodes, 6) global, N and N·m."""
    spans: Spans = field(default_factory=Spans.none)
    points: Points = field(default_factory=Points.none)

    candidates: int = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        if np.ndim(self.nodal) not in (3, 4):
            raise FrameError("Loads.nodal needs the axes (cases, nodes, 6)")
        tail = (len(self.case_ids), np.shape(self.nodal)[-2], 6)
        sizes = {"nodal": _store(self, "nodal", tail)}
        sizes |= {"spans": self.spans.candidates, "points": self.points.candidates}
        object.__setattr__(self, "candidates", _agree(self, sizes))
        for part in (self.spans, self.points):
            if part.case.size and not (0 <= part.case.min() <= part.case.max() < tail[0]):
                raise FrameError("a member load points to a load case that does not exist")

    def at(self, candidate: int | slice) -> Self:
        """One candidate without candidate axes, or a slice of the candidates."""
        spans, points = self.spans.at(candidate), self.points.at(candidate)
        return replace(self, nodal=_cut(self.nodal, 3, candidate), spans=spans, points=points)


@dataclass(frozen=True, eq=False)
class Solution:
    """Answer of the whole frame for every candidate and load case."""

    displacements: Array
    """(candidates, cases, nodes, 6) global, m and rad."""
    reactions: Array
    """(candidates, cases, nodes, 6) global, of supports and springs on the frame, N and N·m."""
    end_forces: Array
    """(candidates, cases, members, 12) of the nodes on the member, local axes, N and N·m."""
    end_displacements: Array
    """(candidates, cases, members, 12) of the member itself (a released end moves apart from its
    node), local axes, m and rad."""
    residual: Array
    """(candidates, cases) largest unbalanced force over the size of the loads; never over 1e-9."""


@dataclass(frozen=True, eq=False)
class InternalForces:
    """Stress resultants and deflections along the members.

    Forces are those on the cross-section whose outward normal is local +x, in local axes:
    (candidates, cases, members, stations). N is tension positive.
    """

    x: Array
    """(1 or candidates, members, stations) m from end i."""
    N: Array
    V_y: Array
    V_z: Array
    T: Array
    M_y: Array
    M_z: Array
    deflection: Array
    """(candidates, cases, members, stations, 3) global, m, from the unloaded place."""
