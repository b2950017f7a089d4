"""What may be moved, in which order, and what is measured after."""

from __future__ import annotations

import numpy as np
import pytest

from made_frames import INCH, Frame, X, Y, Z, frame_of, model_of
from plumbrail.notebook.entries import Axis, Hold, Moved
from plumbrail.truing.freedom import COVER, effect
from plumbrail.truing.order import ordered
from plumbrail.truing.parts import Move
from plumbrail.truing.points import Place
from plumbrail.truing.words import amount_words, listed, move_words


def limits(frame: Frame, place: str, axis: Axis, fixed: bool = False) -> tuple[float, float] | None:
    f = frame.freedom
    for i, key in enumerate(zip(f.place, f.axis, f.fixed, strict=True)):
        if key == (place, axis, fixed):
            return float(f.least[i]), float(f.most[i])
    return None


def test_a_loose_post_moves_every_way() -> None:
    f = frame_of(4, {}, held={}, lean=INCH, lift=2 * INCH, base_shift=3 * INCH)
    assert limits(f, "F2", Axis.ACROSS) == pytest.approx((-4 * INCH, 4 * INCH))
    assert limits(f, "F2 base", Axis.ALONG) == pytest.approx((-3 * INCH, 3 * INCH))
    assert limits(f, "F2 post", Axis.ALONG) == pytest.approx((-3 * INCH, 3 * INCH))
    assert limits(f, "F2 post", Axis.UP) == pytest.approx((-2 * INCH, 2 * INCH))
    assert limits(f, "F2", Axis.UP) is None


def test_a_set_post_leans_only() -> None:
    f = frame_of(4, {}, held={"F2": Hold.SET}, lean=INCH)
    assert limits(f, "F2", Axis.ALONG) == pytest.approx((-INCH, INCH))
    assert limits(f, "F2 post", Axis.UP) is None and limits(f, "F2 base", Axis.ALONG) is None


def test_a_concreted_post_slides_in_its_collar_only() -> None:
    f = frame_of(4, {}, held={"F2": Hold.CONCRETED}, slides={"F2": (-INCH, 0.5 * INCH)})
    assert limits(f, "F2", Axis.UP) == pytest.approx((-INCH, 0.5 * INCH))
    assert limits(f, "F2", Axis.ACROSS) is None
    assert limits(f, "F2", Axis.ACROSS, fixed=True) is not None


def test_a_beam_slides_where_the_notebook_says_so() -> None:
    f = frame_of(4, {}, slides={"front beam": (-INCH, 2 * INCH)})
    assert limits(f, "front beam", Axis.ALONG) == pytest.approx((-INCH, 2 * INCH))
    assert limits(f, "back beam", Axis.ALONG) is None


def test_limits_count_from_where_the_post_stood() -> None:
    moved = (
        Moved(1, "", "F2", Axis.ACROSS, 9.0),  # before the post was set: another matter
        Moved(7, "", "F2", Axis.ACROSS, 0.75 * INCH),
        Moved(8, "", "F3", Axis.UP, -0.5 * INCH),
    )
    held = {"F2": Hold.SET, "F3": Hold.SET}
    f = frame_of(4, {}, held=held, slides={"F3": (-INCH, INCH)}, moved=moved, lean=INCH)
    assert limits(f, "F2", Axis.ACROSS) == pytest.approx((-1.75 * INCH, 0.25 * INCH))
    assert limits(f, "F3", Axis.UP) == pytest.approx((-0.5 * INCH, 1.5 * INCH))


def test_room_in_the_hole_keeps_the_cover_in_every_direction() -> None:
    model = model_of(4)
    f = frame_of(4, {("F2 base", X): 0.5 * INCH}, held={})
    least, most = limits(f, "F2 post", Axis.ALONG) or (0, 0)
    circle = 0.5 * (model.piers.diameter - model.posts.section.OD) - COVER
    assert most - least == pytest.approx(2 * circle / np.sqrt(2))
    assert most + least == pytest.approx(-2 * 0.5 * INCH)
    corner = np.hypot(most + 0.5 * INCH, (limits(f, "F2 post", Axis.ACROSS) or (0, 0))[1])
    assert corner == pytest.approx(circle)


def test_a_post_is_not_lowered_into_the_bottom_of_its_hole() -> None:
    model = model_of(4)
    f = frame_of(4, {("F2", Z): -2 * INCH}, held={}, lift=6 * INCH)
    least, most = limits(f, "F2 post", Axis.UP) or (0, 0)
    assert least == pytest.approx(-(model.piers.cover_below - 2 * INCH))
    assert most == pytest.approx(6 * INCH)


def test_beam_ends_follow_the_heads_in_a_straight_line() -> None:
    f = frame_of(4, {})
    points = f.positions.points
    for c, axis in ((Y, Axis.ACROSS), (Z, Axis.UP)):
        total = sum(effect(points, f"F{s}", axis) * points.planned[points.index(f"F{s}"), 0]
                    for s in range(1, 5)).reshape(-1, 3)  # fmt: skip
        on_beam = np.concatenate([points.of(Place.HEAD, 0), points.of(Place.END, 0)])
        assert total[on_beam, c] == pytest.approx(points.planned[on_beam, 0])
    along = effect(points, "front beam", Axis.ALONG).reshape(-1, 3)
    assert along[points.of(Place.END, 0), X].tolist() == [1.0, 1.0] and along.sum() == 2.0


def move(place: str, axis: str, amount: float = 0.01, fixed: bool = False) -> Move:
    return Move(place, axis, amount, "", fixed)


def test_the_order_is_back_row_first_feet_then_heights_then_tops_then_beams() -> None:
    want = [
        move("B3 post", "up", fixed=True), move("B2", "across"), move("F4 base", "along"),
        move("F1 post", "up"), move("F2", "up"), move("F1", "across"), move("F3", "along"),
        move("front beam", "along"),
    ]  # fmt: skip
    assert list(ordered(reversed(want))) == want


@pytest.mark.parametrize(
    ("place", "axis", "inches", "fixed", "text"),
    [
        ("F3", Axis.UP, 5 / 16, False, "front beam at F3: up 5/16 in"),
        ("F2", Axis.ACROSS, 1 / 4, False, "F2 top: toward the back 1/4 in"),
        ("F2 post", Axis.ALONG, -1 / 2, False, "F2, whole post: to the left 1/2 in"),
        ("B2 base", Axis.ACROSS, -1.5, False, "B2 base: toward the front 1 1/2 in"),
        ("back beam", Axis.ALONG, 1.0, False, "back beam: slide 1 in to the right"),
        ("B3 post", Axis.UP, -3 / 8, True, "B3 would have to come down 3/8 in"),
        ("B3", Axis.ALONG, 3 / 8, True, "B3 top would have to go to the right 3/8 in"),
        ("front beam", Axis.ALONG, -1.0, True, "front beam would have to slide 1 in to the left"),
    ],
)
def test_words(place: str, axis: Axis, inches: float, fixed: bool, text: str) -> None:
    assert move_words(place, axis, inches * INCH, fixed, "us") == text


def test_amounts_in_words() -> None:
    assert amount_words(-0.008, "metric") == "8 mm"
    assert amount_words(12.5 * INCH, "us") == "1' 0 1/2\""
    assert (listed(["F1"]), listed(["F1", "F2", "B1"])) == ("F1", "F1, F2 and B1")
