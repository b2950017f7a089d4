"""Point names: what people write, and what plumbrail calls it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plumbrail.errors import PlumbrailError
from plumbrail.notebook.names import Sort, canonical, named


@pytest.mark.parametrize(
    ("text", "name", "sort"),
    [
        ("F3", "F3", Sort.HEAD), ("f3", "F3", Sort.HEAD), (" F 3 ", "F3", Sort.HEAD),
        ("F03", "F3", Sort.HEAD), ("F3 beam", "F3", Sort.HEAD), ("F3 head", "F3", Sort.HEAD),
        ("front 3", "F3", Sort.HEAD), ("post B2", "B2", Sort.HEAD), ("B2", "B2", Sort.HEAD),
        ("F3 top", "F3 top", Sort.TOP), ("f3-Top", "F3 top", Sort.TOP),
        ("F3 base", "F3 base", Sort.BASE), ("F3_base", "F3 base", Sort.BASE),
        ("F3 foot", "F3 base", Sort.BASE), ("F3 post", "F3 post", Sort.POST),
        ("front left", "front left", Sort.END), ("Left Front", "front left", Sort.END),
        ("front beam left", "front left", Sort.END),
        ("left end of front beam", "front left", Sort.END),
        ("left end of the front beam", "front left", Sort.END),
        ("back right", "back right", Sort.END), ("back beam, right", "", None),
        ("pin 1", "pin 1", Sort.PIN), ("Pin2", "pin 2", Sort.PIN),
        ("front beam", "front beam", Sort.BEAM), ("Back  Beam", "back beam", Sort.BEAM),
        ("mark doorstep", "mark doorstep", Sort.MARK), ("Mark: BM 7", "mark BM 7", Sort.MARK),
        ("mark F3", "mark F3", Sort.MARK),
    ],
)  # fmt: skip
def test_what_people_write(text: str, name: str, sort: Sort | None) -> None:
    if sort is None:
        with pytest.raises(PlumbrailError):
            canonical(text, 4)
        return
    assert canonical(text, 4) == name
    assert named(text, 4).sort is sort


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("F9", "F9: this plan has posts F1 to F4 and B1 to B4"),
        ("F0 base", "F0: this plan has posts F1 to F4 and B1 to B4"),
        ("P3", "this plan has posts F1 to F4"),
        ("F3 topp", "did you mean F3 top"),
        ("frnt left", "did you mean front left"),
        ("pin 3", "there is no pin 3; write pin 1 or pin 2"),
        ("pn 1", "did you mean pin 1"),
        ("mark", "a mark needs a name"),
        ("mark " + "x" * 41, "longer than 40"),
        ("front", "did you mean"),
        ("", "no point is named; write F3, F3 top"),
        ("???", "is no point of the site; write F3"),
        ("x" * 5000, "is no point of the site"),
        ("F" + "9" * 5000, "is no point of the site"),
    ],
)
def test_what_is_refused(text: str, words: str) -> None:
    with pytest.raises(PlumbrailError) as caught:
        canonical(text, 4)
    assert words in str(caught.value)
    assert len(str(caught.value)) < 200


def test_a_plan_of_one_station_is_named_so() -> None:
    with pytest.raises(PlumbrailError, match="this plan has posts F1 and B1"):
        canonical("F2", 1)


def test_parts_of_names() -> None:
    assert named("b12 top", 12).post == "B12"
    assert named("b12 top", 12).spot == "B12"
    assert named("b12 base", 12).spot == "B12 base"
    assert named("back left", 12).post == ""
    assert (named("back left", 12).row, named("back left", 12).where) == ("back", "left")


NAMES = st.one_of(
    st.builds(
        lambda row, i, part: f"{row}{i}{part}",
        st.sampled_from("FB"), st.integers(1, 40), st.sampled_from(["", " top", " base", " post"]),
    ),
    st.sampled_from(["front left", "front right", "back left", "back right", "front beam",
                     "back beam", "pin 1", "pin 2"]),
)  # fmt: skip


@given(NAMES, st.randoms(use_true_random=False))
def test_canonical_names_stay_in_any_case(name: str, random) -> None:
    scrambled = "".join(random.choice([c.lower(), c.upper()]) for c in name)
    assert canonical(name, 40) == name
    assert canonical(f"  {scrambled} ", 40) == name


@given(st.text(max_size=30), st.integers(1, 60))
def test_any_text_is_a_name_or_refused_and_names_are_stable(text: str, stations: int) -> None:
    try:
        name = canonical(text, stations)
    except PlumbrailError:
        return
    assert canonical(name, stations) == name
