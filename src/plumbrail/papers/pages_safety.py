"""What can hurt someone, at the head of the chapter of the work. Common practice throughout."""

from __future__ import annotations

from collections.abc import Sequence

from plumbrail.papers.pdf_blocks import Block, Caution
from plumbrail.papers.words import say, tell


def digging() -> list[Block]:
    """Buried services and open holes."""
    return [
        Caution(say("buried services"), (
            say("Call before you dig. Have every buried service located and marked, public and "
                "private, before the first pin goes in; wait until all owners have answered."),
            say("Within the marked zone dig by hand. If a service is hit: stop, keep everyone "
                "away, call its owner and the emergency number."),
        )),
        Caution(say("holes and drills"), (
            say("An open hole is a trap for people and animals: cover or fence it whenever nobody "
                "works at it. Nobody climbs into a hole."),
            say("Drills catch clothes and throw their handles when they meet a root or a stone: "
                "two people, no loose clothes, stop lever in reach."),
        )),
    ]  # fmt: skip


def lifting() -> list[Block]:
    """Heavy steel and frames that are not braced yet."""
    return [
        Caution(say("lifting"), (
            say("Lift pipe and modules with two or more people, with the legs, or with a stand. "
                "Gloves: cut ends are sharp. Nobody stands under a beam that hangs or is loose."),
            say("A frame is not stable until its piers have set and its braces are on: brace "
                "every post both ways. Modules are sails: none in wind."),
            say("Keep long pipe away from overhead lines; carry it lying."),
        )),
    ]  # fmt: skip


def sawing() -> list[Block]:
    """Saws, grinders, heat on zinc."""
    return [
        Caution(say("saw and grinder"), (
            say("Goggles, ears covered, guard on, work clamped. Sparks set dry grass alight: "
                "water and a watch for an hour after."),
        )),
        Caution(say("heat on galvanized steel"), (
            say("Welding, burning or torch-cutting zinc gives fumes that make ill. Saw it cold. "
                "Where heat cannot be avoided: grind the zinc off first, work in the open, upwind, "
                "with a respirator made for metal fumes."),
            say("Cut ends have no zinc left: brush them clean and paint them with zinc-rich "
                "paint."),
        )),
    ]  # fmt: skip


def loose_posts() -> list[Block]:
    """A frame that is pushed about before the rest is poured."""
    return [
        Caution(say("posts that are not set"), (
            say("A post in its first pour can fall when it is pushed: one person moves it, one "
                "holds it, braces are eased one at a time and tightened at once."),
            say("Keep rods, tape and string clear of overhead lines. Never look into a laser. "
                "Mind the open holes."),
        )),
    ]  # fmt: skip


def concrete() -> list[Block]:
    """Cement."""
    return [
        Caution(say("fresh concrete"), (
            say("Fresh concrete burns skin and eyes: waterproof gloves, goggles, boots. Wash "
                "splashes off at once with plenty of water; change soaked clothes."),
            say("Cement dust harms the lungs: mask on, stand upwind. Bags are heavy: lift with "
                "two, or wheel them."),
        )),
    ]  # fmt: skip


def electricity(cautions: Sequence[str]) -> list[Block]:
    """Direct current, in the words of the wiring, and stored energy."""
    return [
        Caution(say("direct current"), tuple(tell(c) for c in cautions)),
        Caution(say("stored energy"), (
            say("Batteries and the capacitors of equipment stay charged when everything is "
                "switched off. A wrench across a battery's terminals melts: insulated tools, no "
                "rings or watches, covers on. Wait as the maker says, then measure."),
        )),
    ]  # fmt: skip
