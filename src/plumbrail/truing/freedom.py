"""What can still be moved, which way and how far, and where the points go with it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.model.parts import Model
from plumbrail.notebook.entries import Axis, Hold, Notebook
from plumbrail.plan.truing import Truing
from plumbrail.truing.parts import Positions
from plumbrail.truing.points import Place, Points

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

COVER = 0.0762
"""3 in around the post: cover of concrete cast against and permanently in contact with earth
(ACI 318-14 Table 20.6.1.3.1, for reinforcement; from memory). For a plain post it is the same
figure by common practice."""
BEYOND = 0.1524
"""6 in: how far a change of what was thought fixed is looked for; a bound of the search, no
property of the site."""
AXES = (Axis.ALONG, Axis.ACROSS, Axis.UP)


@dataclass(frozen=True)
class Freedom:
    """Everything that could be moved. Axis: action."""

    place: tuple[str, ...]
    """``F3`` (head with beam), ``F3 base``, ``F3 post`` (both together) or ``front beam``."""
    axis: tuple[Axis, ...]
    least: Array
    """Zero or negative [m], from where the place stands now."""
    most: Array
    """Zero or positive [m]."""
    fixed: Mask
    """True: not allowed; only asked what it would take."""
    effect: Array
    """(actions, 3 points) displacement of the coordinates per metre of the action."""
    shared: Array
    """(limits, actions) sums of actions that have a limit of their own: a hole has room for the
    shifts of base and whole post together."""
    shared_least: Array
    shared_most: Array


@dataclass(frozen=True, slots=True)
class _Action:
    place: str
    axis: Axis
    least: float
    most: float
    fixed: bool = False


def freedom(model: Model, positions: Positions, notebook: Notebook, truing: Truing) -> Freedom:
    """Actions by post and beam, from how each post is held and what slides.

    The latest ``held`` row of a post decides, loose where there is none; the latest ``slides`` row
    of a place. Limits count from where the place stood when that row was written, so later moves
    of it are taken off. Positions are needed for the room left in the holes.
    """
    site = _Site(model, positions, notebook, truing)
    actions = [a for post in range(len(model.posts.ids)) for a in site.of_post(post)]
    actions += [a for beam in model.beams.ids for a in site.of_beam(beam)]
    actions = [a for a in actions if a.most - a.least > 1e-9]
    shared = _shared(actions, site)
    return Freedom(
        tuple(a.place for a in actions), tuple(a.axis for a in actions),
        np.array([a.least for a in actions]), np.array([a.most for a in actions]),
        np.array([a.fixed for a in actions], dtype=bool),
        np.array([effect(positions.points, a.place, a.axis) for a in actions]), *shared,
    )  # fmt: skip


@dataclass(frozen=True)
class _Site:
    model: Model
    positions: Positions
    notebook: Notebook
    truing: Truing

    def hold(self, post: str) -> tuple[Hold, int]:
        """How a post stands, and since which line of the notebook."""
        rows = [h for h in self.notebook.held if h.post == post]
        return (rows[-1].hold, rows[-1].line) if rows else (Hold.LOOSE, 0)

    def moved(self, place: str, axis: Axis, since: int) -> float:
        """How far a place was moved after a line."""
        rows = self.notebook.moved
        return sum(m.amount for m in rows if (m.point, m.axis) == (place, axis) and m.line > since)

    def slide(self, place: str, axis: Axis) -> _Action | None:
        """What the latest slides row of a place leaves."""
        rows = [s for s in self.notebook.slides if s.place == place]
        if not rows:
            return None
        gone = self.moved(place, axis, rows[-1].line)
        return _from_zero(place, axis, rows[-1].least - gone, rows[-1].most - gone)

    def of_beam(self, beam: str) -> Iterator[_Action]:
        """A beam along itself."""
        slide = self.slide(beam, Axis.ALONG)
        if slide is not None:
            yield slide
        yield _Action(beam, Axis.ALONG, -BEYOND, BEYOND, fixed=True)

    def of_post(self, post: int) -> Iterator[_Action]:
        """A post by how it is held, then what it would take beyond that."""
        id = self.model.posts.ids[post]
        hold, since = self.hold(id)
        if hold is not Hold.CONCRETED:
            yield from self.top(id, hold, since)
        if hold is Hold.LOOSE:
            yield from self.whole(post, since)
        slide = self.slide(id, Axis.UP)
        if slide is not None:
            yield slide
        for place, axes in ((id, 2), (f"{id} base", 2), (f"{id} post", 3)):
            for axis in AXES[:axes]:
                yield _Action(place, axis, -BEYOND, BEYOND, fixed=True)

    def top(self, id: str, hold: Hold, since: int) -> Iterator[_Action]:
        """The top leaned; of a loose post also as far as its foot could have followed."""
        reach = self.truing.lean + (self.base_shift() if hold is Hold.LOOSE else 0.0)
        for axis in AXES[:2]:
            gone = self.moved(id, axis, since)
            yield _from_zero(id, axis, -reach - gone, reach - gone)

    def base_shift(self) -> float:
        """How far a loose post may be shifted in its hole each way.

        From the model: half the side of the square in the circle that keeps the cover all around,
        so that along and across together keep it too.
        """
        if self.truing.base_shift is not None:
            return self.truing.base_shift
        circle = 0.5 * self.model.piers.diameter - 0.5 * self.model.posts.section.OD - COVER
        return max(circle, 0.0) / np.sqrt(2.0)

    def room(self, post: int, axis: Axis) -> _Action:
        """Room of a base in its hole: a stated shift counts from where the post stood, a derived
        one from the middle of the hole."""
        id, shift = self.model.posts.ids[post], self.base_shift()
        if self.truing.base_shift is None:
            base = self.positions.points.index(f"{id} base")
            gone = float(self.positions.off[base, AXES.index(axis)])
        else:
            since = self.hold(id)[1]
            gone = sum(self.moved(f"{id} {part}", axis, since) for part in ("base", "post"))
        return _from_zero(id, axis, -shift - gone, shift - gone)

    def whole(self, post: int, since: int) -> Iterator[_Action]:
        """Foot alone and whole post in the hole, and the post up and down."""
        id, points = self.model.posts.ids[post], self.positions.points
        for axis in AXES[:2]:
            room = self.room(post, axis)
            for part in ("base", "post"):
                yield _Action(f"{id} {part}", axis, room.least, room.most)
        gone = self.moved(f"{id} post", Axis.UP, since)
        # A head under its planned height means that the foot has come nearer to the bottom.
        sunk = min(float(self.positions.off[points.index(id), 2]), 0.0)
        down = min(self.truing.lift + gone, self.model.piers.cover_below + sunk)
        yield _from_zero(f"{id} post", Axis.UP, -down, self.truing.lift - gone)


def _from_zero(place: str, axis: Axis, least: float, most: float) -> _Action:
    """Staying where it is is always allowed."""
    return _Action(place, axis, min(least, 0.0), max(most, 0.0))


def _shared(actions: list[_Action], site: _Site) -> tuple[Array, Array, Array]:
    """The room of each hole for base and whole post together."""
    index = {(a.place, a.axis): i for i, a in enumerate(actions) if not a.fixed}
    rows, limits = [], []
    for post, id in enumerate(site.model.posts.ids):
        for axis in AXES[:2]:
            places = [(f"{id} {part}", axis) for part in ("base", "post")]
            pair = [index[p] for p in places if p in index]
            if len(pair) < 2:
                continue
            row = np.zeros(len(actions))
            row[pair] = 1.0
            rows.append(row)
            limits.append(site.room(post, axis))
    least, most = (np.array([getattr(r, k) for r in limits]) for k in ("least", "most"))
    return np.array(rows).reshape(-1, len(actions)), least, most


def effect(points: Points, place: str, axis: Axis) -> Array:
    """(3 points,) displacement of the coordinates per metre that a place is moved.

    A base point lies at grade: a post that is raised takes only its head along. Beam ends follow
    the two nearest heads on a straight line, up and across; along they follow the beam.
    """
    moved = np.zeros((len(points.ids), 3))
    c = AXES.index(axis)
    if place in ("front beam", "back beam"):
        moved[points.of(Place.END, row=int(place == "back beam")), c] = 1.0
        return moved.ravel()
    id, _, part = place.partition(" ")
    if part != "base":
        head = points.index(id)
        moved[head, c] = 1.0
        if axis is not Axis.ALONG:
            _ends_follow(points, head, moved[:, c])
    if part in ("base", "post") and axis is not Axis.UP:
        moved[points.index(f"{id} base"), c] = 1.0
    return moved.ravel()


def _ends_follow(points: Points, head: int, moved: Array) -> None:
    """Straight extrapolation from the outermost two heads on either side."""
    row = int(points.row[head])
    heads = points.of(Place.HEAD, row)
    x = points.planned[:, 0]
    for end, (outer, inner) in zip(
        points.of(Place.END, row), (heads[:2], heads[:-3:-1]), strict=True
    ):
        reach = (x[end] - x[outer]) / (x[inner] - x[outer])
        if head == outer:
            moved[end] = 1.0 - reach
        elif head == inner:
            moved[end] = reach
