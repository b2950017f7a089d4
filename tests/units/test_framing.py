"""The idealisation: what is joined to what, which joints hinge, and about which axis."""

from __future__ import annotations

import numpy as np
import pytest

from plans import FOOT, INCH, alder, plan_with, response_with
from plumbrail.checks.framing import SNAP, Framing, Kind, frame_of
from plumbrail.frame.element import local_axes
from plumbrail.model.build import build

BRACE = {"frame.brace": "NPS 1-1/2 STD"}


def brace(low: str, high: str, stations: list[int], row: str | None = None) -> dict[str, object]:
    own = {"direction": "along", "row": row} if row else {"direction": "across"}
    return {**own, "stations": stations, "low": low, "high": high}


def framed(changes: dict[str, object]) -> Framing:
    plan = plan_with(changes)
    return frame_of(plan, build(plan))


def test_every_piece_is_there_at_its_full_length() -> None:
    _, model, response = alder()
    framing = response.framing
    length = framing.frame.length
    for p in range(8):
        own = length[framing.members(Kind.POST, p)].sum()
        hand = model.posts.beam_centre[p] - model.posts.ground[p] + FOOT
        assert own == pytest.approx(hand)
    for row in (0, 1):
        assert length[framing.members(Kind.BEAM, row)].sum() == pytest.approx(model.beams.length)
    for r in range(12):
        assert length[framing.members(Kind.RAIL, r)].sum() == pytest.approx(model.rails.length)
    assert len(framing.members(Kind.STUB)) == 24


def test_stubs_stand_square_on_the_plane_and_reach_the_rail() -> None:
    _, model, response = alder()
    framing = response.framing
    stubs = framing.members(Kind.STUB)
    axis = local_axes(framing.frame)[0][0, stubs]
    np.testing.assert_allclose(axis[:, 0], np.tile(model.plane.normal, (24, 1)), atol=1e-9)
    np.testing.assert_allclose(axis[:, 2], np.tile([1.0, 0.0, 0.0], (24, 1)), atol=1e-9)
    assert framing.frame.length[stubs] == pytest.approx(0.050 + 1.75 * INCH)


def test_hinges() -> None:
    """Stubs hinge at the beam about the row (local z) and their own axis; nothing else does."""
    _, _, response = alder()
    frame, kind = response.framing.frame, response.framing.kind
    stubs = frame.releases[kind == Kind.STUB]
    assert (np.flatnonzero(stubs.any(axis=0)) == [3, 5]).all()
    assert stubs[:, [3, 5]].all()
    tops = [response.framing.members(Kind.POST, p)[-1] for p in range(8)]
    assert frame.releases[tops][:, [10, 11]].all(), "a pinned top passes no bending"
    assert frame.releases.sum() == 24 * 2 + 8 * 2
    _, rigid = response_with(plan_with({"frame.post_top": "rigid"}))
    assert rigid.framing.frame.releases.sum() == 24 * 2
    assert not rigid.framing.frame.springs.any()


def test_a_hinge_passes_no_moment_and_a_pinned_top_bends_no_post() -> None:
    _, _, response = alder()
    framing, end = response.framing, response.solution.end_forces[0]
    scale = np.abs(end[..., 3:6]).max()
    assert np.abs(end[:, framing.members(Kind.STUB)][..., [3, 5]]).max() <= 1e-9 * scale
    tops = [framing.members(Kind.POST, p)[-1] for p in range(8)]
    assert np.abs(end[:, tops][..., [10, 11]]).max() <= 1e-9 * scale


def test_a_rail_beside_a_post_shares_its_node() -> None:
    _, model, response = alder()
    framing = response.framing
    gap = np.abs(model.rails.x[:, None] - model.posts.xy[:4, 0]).min(axis=1)
    stubs = [framing.members(Kind.STUB, r) for r in range(12)]
    on_post = [bool(np.isin(framing.frame.ends[s, 0], framing.top).all()) for s in stubs]
    assert on_post == list(gap <= SNAP)
    assert sum(on_post) == 2


def test_without_fixity_depth_posts_are_fixed_at_grade() -> None:
    framing = framed({"frame.fixity_depth": "0 ft"})
    assert (framing.base == framing.grade).all()
    assert framing.frame.fixed[framing.base].all()
    assert framing.frame.fixed.sum() == 8 * 6


def test_brace_ends_divide_their_posts() -> None:
    framing = framed(BRACE | {"frame.braces": [brace("6 in", "9 in", [2])]})
    assert len(framing.members(Kind.POST, 1)) == 3
    assert len(framing.members(Kind.POST, 5)) == 3
    assert len(framing.members(Kind.POST, 0)) == 2
    (d,) = framing.members(Kind.BRACE)
    assert (np.flatnonzero(framing.frame.releases[d]) == [4, 5, 9, 10, 11]).all()


def test_a_brace_from_grade_and_braces_that_meet_share_nodes() -> None:
    framing = framed(BRACE | {"frame.braces": [
        brace("0 in", "6 in", [2]),
        brace("6 in", "6 in", [1, 2], "back"), brace("6 in", "6 in", [3, 2], "back"),
    ]})  # fmt: skip
    braces = framing.members(Kind.BRACE)
    ends = framing.frame.ends[braces]
    assert ends[0, 0] == framing.grade[1]
    assert len(set(ends[:, 1])) == 1, "all three end at one place of B2"
    assert (framing.frame.length > 1e-3).all()


def test_braces_carry_axial_force_and_stiffen() -> None:
    _, _, response = alder()
    _, braced = response_with(plan_with(BRACE | {"frame.braces": [
        brace("6 in", "6 in", [i]) for i in (1, 2, 3, 4)
    ]}))  # fmt: skip
    across = len(braced.actions.cases) + 1
    soft = response.solution.displacements[0, across, response.framing.top, 1].mean()
    stiff = braced.solution.displacements[0, across, braced.framing.top, 1].mean()
    assert 0 < stiff < 0.5 * soft


def test_node_names_are_for_people() -> None:
    frame = alder()[2].framing.frame
    assert "F1 (grade)" in frame.node_ids
    assert "front beam, node 1" in frame.node_ids
    assert "R3 (high)" in frame.node_ids


@pytest.mark.parametrize("posts", [2, 40])
def test_large_and_small_frames_are_solved(posts: int) -> None:
    columns = round(posts * 2.75 / 1.742)
    _, response = response_with(plan_with({"frame.posts": posts, "array.columns": columns}))
    assert response.residual <= 1e-9
