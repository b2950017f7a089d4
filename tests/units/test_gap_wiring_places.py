"""Where boxes hang when posts run out, which module belongs to which, and where the run starts."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from plans import FOOT
from plumbrail.plan.models import Combiners
from plumbrail.wiring.places import BACK, FRONT, Box, boxes, nearest, shares, split, start_of_run


def combiners(corner: str, count: int = 1) -> Combiners:
    return Combiners.model_validate(
        {"count": count, "corner": corner, "terminals": "75 degC", "height": "4 ft"}
    )


def model(x: list[float]) -> Any:
    """Modules a metre wide beginning at ``x``; one front and one back post at 3 m.

    The back beam begins at 2 m and ends at 12 m, 20 m long along itself; the ground rises 0.1 m
    per metre of x and falls 0.2 m per metre of y.
    """
    corners = np.zeros((len(x), 4, 3))
    corners[:, :, 0] = np.array(x)[:, None] + [0.0, 1.0, 1.0, 0.0]
    start = np.array([[0.0, 0.0, 2.0], [2.0, 5.0, 3.0]])
    end = np.array([[10.0, 0.0, 2.0], [12.0, 5.0, 3.0]])
    posts = SimpleNamespace(
        row=np.array([FRONT, BACK]), head=np.array([[3.0, 0, 2], [3.0, 5, 3]]),
        ground=np.array([0.3, -0.7]), station=np.array([1, 1]),
        at_height=lambda p, z: np.array([3.0, 5.0 * p, z]),
    )  # fmt: skip
    beams = SimpleNamespace(
        start=start, end=end, length=20.0, supports=np.array([[3.0], [2.0]]),
        point=lambda row, along: start[row] + along / 20.0 * (end[row] - start[row]),
    )  # fmt: skip
    terrain = SimpleNamespace(height=lambda x, y: 0.1 * x - 0.2 * y)
    return SimpleNamespace(
        modules=SimpleNamespace(corners=corners), posts=posts, beams=beams, terrain=terrain
    )


def all_in_one(count: int) -> list[Any]:
    return [np.array([i]) for i in range(count)]


@pytest.mark.parametrize(
    ("total", "parts", "found"),
    [(6, 1, (6,)), (7, 2, (4, 3)), (8, 3, (3, 3, 2)), (2, 3, (1, 1, 0)), (9, 3, (3, 3, 3))],
)
def test_the_larger_parts_come_first(total: int, parts: int, found: tuple[int, ...]) -> None:
    assert split(total, parts) == found


def test_shares_are_whole_columns_and_keep_the_order_of_the_modules() -> None:
    """Two columns of three, numbered by rows; strings of two, one for the first box, two for the
    second: the left column's lower two, then the rest. Nobody takes module 5."""
    grid: Any = SimpleNamespace(modules=SimpleNamespace(
        row=np.array([1, 1, 2, 2, 3, 3, 1]), column=np.array([1, 2, 1, 2, 1, 2, 3])
    ))  # fmt: skip
    taken = np.array([0, 1, 2, 3, 4, 6])
    found = shares(grid, taken, (1, 2), 2)
    assert [part.tolist() for part in found] == [[0, 2], [1, 3, 4, 6]]


def test_distances_that_differ_by_less_than_100_mm_are_equal() -> None:
    """So that posts that stand a little off do not change the wiring."""
    assert nearest(np.array([5.0, 1.09, 1.0, 1.11])).tolist() == [1, 2]
    near = model([2.0, 4.0])
    near.posts.row = np.array([BACK, BACK])
    near.posts.head = np.array([[3.05, 5, 3], [3.0, 5, 3]])
    near.beams.supports = np.array([[9.0, 9.0], [1.0, 2.0]])
    near.posts.station = np.array([1, 2])
    (box,) = boxes(near, combiners("back left"), [np.array([0])])
    assert (box.post, box.along) == (0, 1.0)


def test_a_box_hangs_on_its_post() -> None:
    """4 ft over the ground there, where the beam passes that post."""
    (box,) = boxes(model([2.0]), combiners("back right"), all_in_one(1))
    assert (box.id, box.row, box.post, box.along) == ("C1", BACK, 1, 2.0)
    assert box.point == pytest.approx([3.0, 5.0, -0.7 + 4 * FOOT])


@pytest.mark.parametrize(
    ("corner", "x", "along", "ground"),
    [  # along: (x - 2 m) of 10 m on a beam of 20 m; ground there: 0.1 x - 0.2 x 5 m
        ("back left", 5.0, 6.0, -0.5),
        ("back right", 6.0, 8.0, -0.4),
    ],
)
def test_a_box_without_a_post_has_its_own_upright(
    corner: str, x: float, along: float, ground: float
) -> None:
    """Under the beam beside the corner of its share, 4 ft over the ground there."""
    first, second = boxes(model([2.0, 5.0]), combiners(corner, 2), all_in_one(2))
    assert (first.post, second.post, second.id) == (1, -1, "C2")
    assert second.along == pytest.approx(along)
    assert second.point == pytest.approx([x, 5.0, ground + 4 * FOOT])


def test_it_stays_under_the_beam_where_modules_stand_over_its_ends() -> None:
    """Modules from 1 m to 13 m, a beam from 2 m to 12 m."""
    left = boxes(model([5.0, 1.0]), combiners("back left", 2), all_in_one(2))[1]
    right = boxes(model([5.0, 12.0]), combiners("back right", 2), all_in_one(2))[1]
    assert (left.along, left.point[0]) == (0.0, 2.0)
    assert (right.along, right.point[0]) == (20.0, 12.0)


def test_the_run_starts_at_the_outermost_box_of_the_chosen_side() -> None:
    row = [Box(f"C{k}", BACK, 0.0, np.zeros(3), k) for k in (1, 2, 3)]
    assert start_of_run(combiners("back right", 3), row) == 2
    assert start_of_run(combiners("front right", 3), row) == 2
    assert start_of_run(combiners("back left", 3), row) == 0
