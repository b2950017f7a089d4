"""Moves in words of the site."""

from __future__ import annotations

from plumbrail.notebook.entries import Axis
from plumbrail.units import show, show_length_inches

_FOOT = 0.3048
_WAYS = {
    Axis.ALONG: ("to the left", "to the right"),
    Axis.ACROSS: ("toward the front", "toward the back"),
    Axis.UP: ("down", "up"),
}


def amount_words(amount: float, units: str) -> str:
    """A size without its sign: ``5/16 in``, ``8 mm``; from a foot on as feet and inches."""
    size = abs(amount)
    if units == "us" and size < _FOOT - 1e-6:
        return show_length_inches(size).rstrip('"') + " in"
    return show(size, "length", units)


def beam_of(post: str) -> str:
    """The beam over a post."""
    return "front beam" if post.startswith("F") else "back beam"


def move_words(place: str, axis: Axis, amount: float, fixed: bool, units: str) -> str:
    """What to do: ``front beam at F3: up 5/16 in``; what was thought fixed would *have to*."""
    way, size = _WAYS[axis][amount > 0], amount_words(amount, units)
    if place.endswith("beam"):
        return f"{place} would have to slide {size} {way}" if fixed else (
            f"{place}: slide {size} {way}"
        )  # fmt: skip
    post, _, part = place.partition(" ")
    if fixed:
        what = {"": f"{post} top", "base": f"{post} base", "post": post}[part]
        verb = "come" if axis is Axis.UP and amount < 0 else "go"
        return f"{what} would have to {verb} {way} {size}"
    if axis is Axis.UP and not part:
        return f"{beam_of(post)} at {post}: {way} {size}"
    what = {"": f"{post} top", "base": f"{post} base", "post": f"{post}, whole post"}[part]
    return f"{what}: {way} {size}"


def listed(names: list[str]) -> str:
    """``F1, F2 and F3``."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
