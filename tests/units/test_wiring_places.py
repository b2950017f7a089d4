"""Strings, boxes and paths: where they are and how long, on the 24 modules of a demo."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from plans import model_with
from plumbrail.model.parts import Model
from plumbrail.plan.models import Combiners
from plumbrail.wiring import places, routes, strings
from plumbrail.wiring.parts import Array, Grouping, Path, Strings

LEAD = 1.1


@cache
def frame() -> Model:
    return model_with()


def group(per: int, count: int, inputs: tuple[int, ...] = ()) -> Grouping:
    return Grouping(per, count, inputs or (count,), 24 - per * count, 0.0, 0.0, 0.0, (), (), 0.0)


def box_at(corner: str, count: int = 1) -> Combiners:
    return Combiners.model_validate(
        {"count": count, "corner": corner, "terminals": "75 degC", "height": "4 ft"}
    )


def laid(
    per: int, count: int, corner: str = "back right", box_count: int = 1, shade: Array | None = None
) -> tuple[Strings, list[places.Box], list[Path]]:
    model, g = frame(), group(per, count)
    light = np.zeros(24) if shade is None else shade
    taken = strings.in_use(24, g.left_over, light)
    each = strings.strings_of_boxes(g, box_count)
    parts = places.shares(model, taken, each, per)
    found = places.boxes(model, box_at(corner, box_count), parts)
    got = strings.assigned(model, g, parts, found, light, LEAD)
    paths = []
    for s in range(count):
        paths += routes.home_runs(model, got, s, found[got.combiner[s]], LEAD)
        paths += routes.jumpers(model, got, s, LEAD)
    start = places.start_of_run(box_at(corner, box_count), found)
    paths += routes.run_paths(model, found, start) + routes.ground_paths(model, found, parts)
    return got, found, paths


def test_a_string_of_a_whole_column_is_that_column_in_order() -> None:
    got, _, paths = laid(4, 6)
    for s in range(6):
        own = strings.members(got, s)
        assert len(set(frame().modules.column[own].tolist())) == 1
        assert abs(np.diff(frame().modules.row[own])).tolist() == [1] * 3
    assert not [p for p in paths if p.kind == "jumper"]


def test_strings_of_six_need_no_jumpers_either() -> None:
    _, _, paths = laid(6, 4)
    assert not [p for p in paths if p.kind == "jumper"]


def test_shares_of_two_boxes_are_the_two_halves_of_the_row() -> None:
    got, found, _ = laid(4, 6, box_count=2)
    left = frame().modules.column <= 3
    assert (got.combiner[got.string[left]] == 0).all()
    assert (got.combiner[got.string[~left]] == 1).all()
    assert [b.id for b in found] == ["C1", "C2"]
    assert found[0].post != found[1].post


@pytest.mark.parametrize(
    ("corner", "post"),
    [("front left", "F1"), ("front right", "F4"), ("back left", "B1"), ("back right", "B4")],
)
def test_the_box_hangs_on_the_post_of_its_corner_at_its_height(corner: str, post: str) -> None:
    _, (box,), _ = laid(6, 4, corner)
    assert frame().posts.ids[box.post] == post
    ground = frame().posts.ground[box.post]
    assert box.point[2] == pytest.approx(ground + 4 * 0.3048)
    assert box.point[:2] == pytest.approx(frame().posts.xy[box.post])


def test_more_boxes_than_posts_get_places_of_their_own() -> None:
    _, found, _ = laid(4, 6, box_count=6)
    assert sorted(b.post for b in found)[:2] == [-1, -1]
    assert len({tuple(b.point.round(3)) for b in found}) == 6


def test_a_home_run_is_as_long_as_its_pieces_by_hand() -> None:
    """The last module of the lowest row: along the slope on its rail, then down to the box."""
    _, (box,), _ = laid(6, 4)
    model = frame()
    lowest = int(np.flatnonzero((model.modules.row == 1) & (model.modules.column == 6))[0])
    way = routes.way_to_box(model, lowest, box)
    spot = places.junctions(model)[lowest]
    rail = int(np.flatnonzero(np.abs(model.rails.start[:, 0] - spot[0]) < 0.6)[0])
    # slope distances: 1134 mm / 2 to the junction, the back beam at 79 % of the slope length
    s_box, s_spot = 0.79 * model.plane.slope_length, 0.5 * 1.134
    hop = np.hypot(abs(model.rails.start[rail, 0] - spot[0]), 0.05)
    drop = 0.05 + 0.5 * model.beams.section.OD
    beam = abs(float(model.rails.on_beam[1, rail]) - box.along)
    down = model.beams.point(1, box.along)[2] - box.point[2]
    assert routes.length_of(way) == pytest.approx(
        hop + (s_box - s_spot) + drop + beam + down, abs=1e-6
    )


def test_trimming_takes_exactly_that_much_off() -> None:
    line = np.array([[0.0, 0, 0], [3, 0, 0], [3, 4, 0]])
    assert routes.length_of(routes.trimmed(line, 1.5, 2.5)) == pytest.approx(3.0)
    assert routes.trimmed(line, 1.5, 2.5)[0] == pytest.approx([1.5, 0, 0])


def test_a_jumper_closes_what_the_leads_leave_open() -> None:
    """A string over two rows of a share: M1-6 and M2-1 are 5 modules and a row apart."""
    model = frame()
    ids = model.modules.ids
    one, two = ids.index("M1-6"), ids.index("M2-1")
    string, place = np.full(24, -1), np.full(24, -1)
    string[[one, two]], place[[one, two]] = 0, [0, 1]
    pair = Strings(string, place, ("S1",), np.array([0]), np.array([0]))
    (jumper,) = routes.jumpers(model, pair, 0, LEAD)
    assert jumper.length == pytest.approx(5 * 1.742 + 1.154 - 2 * LEAD)


def test_modules_of_like_shade_share_a_string() -> None:
    """A wall that shades the three left columns all alike, and a string takes 12."""
    shade = np.where(frame().modules.column <= 3, 0.2, 0.0)
    got, _, _ = laid(12, 2, shade=shade)
    for s in range(2):
        assert np.ptp(shade[strings.members(got, s)]) == 0.0


def test_a_single_shaded_corner_does_not_spoil_two_strings() -> None:
    ids = frame().modules.ids
    shade = np.zeros(24)
    for name in ("M1-1", "M1-2", "M2-1", "M2-2"):
        shade[ids.index(name)] = 0.3
    got, _, _ = laid(8, 3, shade=shade)
    hurt = {int(s) for s in got.string[shade > 0]}
    assert len(hurt) == 1


def test_the_most_shaded_modules_are_left_over() -> None:
    shade = np.zeros(24)
    shade[[3, 7, 11, 20]] = 0.5
    got, _, _ = laid(5, 4, shade=shade)
    assert np.flatnonzero(got.string < 0).tolist() == [3, 7, 11, 20]


def test_the_grounding_conductor_passes_every_rail() -> None:
    _, (box,), paths = laid(6, 4)
    line = next(p for p in paths if p.id == "C1 ground")
    x = frame().beams.point(box.row, frame().rails.on_beam[box.row])[:, 0]
    assert line.points[:, 0].min() == pytest.approx(x.min())
    assert line.points[:, 0].max() == pytest.approx(x.max())
