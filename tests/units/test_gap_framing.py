"""How the frame is put together where a slip would not stop it from standing."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from plans import FOOT, alder, plan_with
from plumbrail.checks.framing import Framing, Kind, _add_beam_nodes, _Builder, frame_of
from plumbrail.frame.element import local_axes
from plumbrail.model.build import build, build_planned
from plumbrail.plan.models import Plan

KSI = 6894757.293168361


def brace(low: str, high: str, stations: list[int]) -> dict[str, Any]:
    return {"direction": "across", "stations": stations, "low": low, "high": high}


def braced(*braces: dict[str, Any], **more: Any) -> Framing:
    plan = plan_with({"frame.brace": "NPS 1-1/2 STD", "frame.braces": list(braces), **more})
    return frame_of(plan, build(plan))


def test_steel_and_aluminium() -> None:
    """E 29,000 ksi (AISC 360-22, list of symbols) and 10,100 ksi (ADM, from memory); Poisson 0.3:
    G = E/2.6, for steel 11,154 ksi."""
    frame, kind = alder()[2].framing.frame, alder()[2].framing.kind
    rail = kind == Kind.RAIL
    assert frame.E[~rail] == pytest.approx(29000 * KSI)
    assert frame.E[rail] == pytest.approx(10100 * KSI)
    assert frame.G[~rail] == pytest.approx(11153.846 * KSI, rel=1e-6)
    assert frame.G[rail] == pytest.approx(3884.615 * KSI, rel=1e-6)


def test_every_member_has_the_section_of_its_part() -> None:
    """Pipes alike both ways; a rail stiff square off the plane, soft along the row."""
    plan, model, response = alder()
    frame, kind = response.framing.frame, response.framing.kind
    for one, s in ((Kind.POST, model.posts.section), (Kind.BEAM, model.beams.section)):
        for name, value in (("A", s.A), ("I_y", s.I), ("I_z", s.I), ("J", s.J),
                            ("mass_per_length", s.mass)):  # fmt: skip
            assert getattr(frame, name)[kind == one] == pytest.approx(value)
    stub, s = kind == Kind.STUB, model.beams.section
    assert frame.A[stub] == pytest.approx(s.A) and frame.J[stub] == pytest.approx(s.J)
    assert not frame.mass_per_length[stub].any(), "the beam and the rail have their own"
    rail, own = kind == Kind.RAIL, plan.frame.rail
    for name, value in (("A", own.area), ("I_y", own.inertia), ("I_z", own.inertia_side),
                        ("J", own.inertia_side), ("mass_per_length", own.weight)):  # fmt: skip
        assert getattr(frame, name)[rail] == pytest.approx(value)
    axes = local_axes(frame)[0][0]
    assert axes[rail, 2] == pytest.approx(np.tile(model.plane.normal, (rail.sum(), 1)), abs=1e-9)


def test_posts_are_fixed_below_grade() -> None:
    """One foot under it in the demo; a node at grade between."""
    _, model, response = alder()
    framing = response.framing
    z = framing.frame.xyz[:, 2]
    assert z[framing.grade] == pytest.approx(model.posts.ground)
    assert z[framing.base] == pytest.approx(model.posts.ground - FOOT)
    assert z[framing.top] == pytest.approx(model.posts.beam_centre)
    assert (np.flatnonzero(framing.frame.fixed.all(axis=1)) == np.sort(framing.base)).all()


def test_members_run_from_the_start_of_their_part() -> None:
    """Posts up, beams left to right, rails up the slope, each member's offset where it begins."""
    _, model, response = alder()
    framing = response.framing
    i, j = (framing.frame.xyz[framing.frame.ends[:, end]] for end in (0, 1))
    run = j - i
    assert (run[framing.kind == Kind.POST][:, 2] > 0).all()
    assert (run[framing.kind == Kind.BEAM][:, 0] > 0).all()
    assert (run[framing.kind == Kind.RAIL][:, 1] > 0).all()
    for kind, count in ((Kind.POST, 8), (Kind.BEAM, 2), (Kind.RAIL, 12)):
        for parent in range(count):
            own = framing.members(kind, parent)
            ends = np.cumsum(framing.frame.length[own])
            assert framing.offset[own] == pytest.approx([0.0, *ends[:-1]], abs=1e-6)
            assert (framing.frame.ends[own[1:], 0] == framing.frame.ends[own[:-1], 1]).all()
    assert (framing.stub_row[framing.kind != Kind.STUB] == -1).all()
    stubs = framing.kind == Kind.STUB
    assert set(framing.stub_row[stubs]) == {0, 1}
    middle = 0.5 * (model.posts.xy[:4, 1].mean() + model.posts.xy[4:, 1].mean())
    assert ((i[stubs, 1] > middle) == (framing.stub_row[stubs] == 1)).all()


def test_the_spring_that_holds_a_beam_about_its_own_axis() -> None:
    """A thousandth of the beam's G J, on post tops alone, about the row."""
    _, model, response = alder()
    framing = response.framing
    hand = 1e-3 * 29000 * KSI / 2.6 * model.beams.section.J
    assert framing.frame.springs[framing.top, 3] == pytest.approx(hand)
    assert np.count_nonzero(framing.frame.springs) == 8


def test_nodes_of_a_beam_are_counted_from_one() -> None:
    """In messages; as many as there are pieces of the beam and one."""
    framing = alder()[2].framing
    for row, name in enumerate(("front beam", "back beam")):
        count = len(framing.members(Kind.BEAM, row)) + 1
        names = [n for n in framing.frame.node_ids if n.startswith(name)]
        assert names == [f"{name}, node {k}" for k in range(1, count + 1)]


def beam_nodes(supports: list[float], rails: list[float]) -> np.ndarray:
    """Distances of the nodes of the back beam, 4 m long."""
    beams = SimpleNamespace(
        supports=[np.array([9.0]), np.array(supports)], length=4.0,
        point=lambda row, x: np.column_stack([x, 0 * x + row, 0 * x]),
    )  # fmt: skip
    model: Any = SimpleNamespace(
        beams=beams, rails=SimpleNamespace(on_beam=[np.array([9.0]), np.array(rails)])
    )
    b = _Builder(1.0)
    found = _add_beam_nodes(b, model, 1)
    assert list(b.index) == [f"beam1.{i}" for i in range(len(found))]
    assert [float(b.at(f"beam1.{i}")[0]) for i in range(len(found))] == found.tolist()
    return found


def test_a_rail_within_20_mm_of_a_post_takes_its_node() -> None:
    """Not at 21 mm; nodes stand at both ends, in order, none twice."""
    assert beam_nodes([1.0, 3.0], [1.019, 2.0]).tolist() == [0.0, 1.0, 2.0, 3.0, 4.0]
    assert beam_nodes([1.0, 3.0], [1.021, 2.0]).tolist() == [0.0, 1.0, 1.021, 2.0, 3.0, 4.0]
    assert beam_nodes([0.0, 4.0], [2.0, 2.0000001]).tolist() == [0.0, 2.0, 4.0]
    assert beam_nodes([0.0, 4.0], [2.0, 2.001]).tolist() == [0.0, 2.0, 2.001, 4.0]


def test_brace_ends_within_a_millimetre_share_a_node() -> None:
    b = _Builder(1.0)
    b.node("a", np.zeros(3))
    b.node("b", np.array([0.0, 0.0, 0.0009]), ["a"])
    b.node("c", np.array([0.0, 0.0, 0.0011]), ["a"])
    b.node("d", np.zeros(3))
    assert b.index == {"a": 0, "b": 0, "c": 1, "d": 2}
    assert b.at("c") == pytest.approx([0, 0, 0.0011])


def test_brace_ends_divide_a_post_from_below_up() -> None:
    """Written the upper one first; the post goes through both in the order they stand."""
    framing = braced(brace("12 in", "9 in", [2]), brace("6 in", "6 in", [2]))
    for p in (1, 5):
        own = framing.members(Kind.POST, p)
        z = framing.frame.xyz[framing.frame.ends[own]][..., 2]
        assert len(own) == 4
        assert (z[:, 1] > z[:, 0]).all()
        assert framing.frame.releases[own].any(axis=1).tolist() == [False, False, False, True]
        assert framing.top[p] == framing.frame.ends[own[-1], 1]
        assert framing.frame.ends[own[0], 0] == framing.base[p]


def test_a_brace_goes_from_its_low_post_to_its_high_post() -> None:
    """Low end 6 in above grade of one, high end 9 in under the beam of the other."""
    plan = plan_with({"frame.brace": "NPS 1-1/2 STD", "frame.braces": [brace("6 in", "9 in", [2])]})
    model = build(plan)
    framing = frame_of(plan, model)
    (d,) = framing.members(Kind.BRACE)
    ends = framing.frame.xyz[framing.frame.ends[d]]
    assert ends == pytest.approx(model.braces.ends[0])
    low, high = int(model.braces.low_post[0]), int(model.braces.high_post[0])
    assert framing.frame.ends[d, 0] in framing.frame.ends[framing.members(Kind.POST, low)]
    assert framing.frame.ends[d, 1] in framing.frame.ends[framing.members(Kind.POST, high)]
    assert model.braces.section is not None
    assert framing.frame.A[d] == pytest.approx(model.braces.section.A)
    assert framing.frame.mass_per_length[d] == pytest.approx(model.braces.section.mass)


def crooked() -> tuple[Any, Framing]:
    """The demo as built, its front posts 0.1 m further right and F2 0.25 m: rows unlike."""
    plan = plan_with()
    posts = build_planned(plan).posts
    off = np.zeros_like(posts.head)
    off[:4, 0], off[1, 0] = 0.1, 0.25
    stood = {
        name: {"head": [f"{v!r} m" for v in map(float, posts.head[i] + off[i])],
               "base": [f"{v!r} m" for v in map(float, posts.base[i] + off[i])]}
        for i, name in enumerate(posts.ids)
    }  # fmt: skip
    data = plan.model_dump(mode="json", exclude_none=True)
    data["as_built"] = {"readings": "1a2b3c4d" * 8, "posts": stood}
    built = Plan.model_validate(data)
    model = build(built)
    return model, frame_of(built, model)


def test_rows_that_stand_unlike_keep_each_their_own_nodes() -> None:
    """Posts and rails come to each beam where that beam has them, 20 mm or less beside."""
    model, framing = crooked()
    xyz = framing.frame.xyz
    assert xyz[framing.top] == pytest.approx(
        np.array([model.beams.point(int(r), model.beams.supports[r, s - 1])
                  for r, s in zip(model.posts.row, model.posts.station, strict=True)]), abs=1e-6
    )  # fmt: skip
    assert abs(model.beams.supports[0] - model.beams.supports[1]).max() > 0.1
    for r in range(len(model.rails.ids)):
        for s in framing.members(Kind.STUB, r):
            row = int(framing.stub_row[s])
            there = model.beams.point(row, model.rails.on_beam[row, r])
            assert np.linalg.norm(xyz[framing.frame.ends[s, 0]] - there) <= 0.02


def test_a_rail_stands_off_its_beams_by_half_of_each_also_where_it_lies_askew() -> None:
    """Square to the rail and to the row, however they lie: a pipe of 3.5 in, a rail of 100 mm."""
    model, framing = crooked()
    stubs = framing.members(Kind.STUB)
    assert framing.frame.length[stubs] == pytest.approx(0.5 * 3.5 * 0.0254 + 0.5 * 0.1, rel=1e-9)
    ends, askew = framing.frame.xyz[framing.frame.ends], 0.0
    for r in range(len(model.rails.ids)):
        first, middle, last = framing.members(Kind.RAIL, r)
        way = ends[middle, 1] - ends[middle, 0]
        askew = max(askew, abs(float(way[0])))
        for s in framing.members(Kind.STUB, r):
            up = ends[s, 1] - ends[s, 0]
            assert up @ way == pytest.approx(0.0, abs=1e-9)
            assert up @ model.plane.row == pytest.approx(0.0, abs=1e-9)
            assert up[2] > 0
        for piece in (first, last):
            own = ends[piece, 1] - ends[piece, 0]
            assert np.linalg.norm(np.cross(own, way)) < 1e-9, "one straight line"
        own = framing.frame.length[[first, last]]
        crossing = model.rails.crossing[:, r]
        assert own == pytest.approx([crossing[0], model.rails.length - crossing[1]])
    assert askew > 0.005, "one takes the node of a post beside it on one beam alone"
