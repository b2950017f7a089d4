"""Sway of the whole frame: the amplifier B₂ by direction, and whether the method still holds."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.bases.us.aisc360 import stability
from plumbrail.check import Case
from plumbrail.checks.response import Combined, Response
from plumbrail.trace import Certainty, given, provision

Array = NDArray[np.float64]
DIRECTIONS = ("along the row", "across the row")
D = Certainty.DERIVED


@provision(
    "AISC 360-22 App. 7.2.1", "ratio [-]", "B_2/B_max", Certainty.MEMORY,
    constants={"B_max": (1.5, "-")}, B_2="-",
)  # fmt: skip
def sway_ratio(B_2: Array) -> Array:
    """Sway amplifier over 1.5, up to which amplified first-order forces are good enough."""
    return B_2 / 1.5


@dataclass(frozen=True)
class Story:
    """What the sway of one direction depends on.

    ``P_story`` (combinations,) vertical load on all posts, not less than a trace; ``H`` unit
    force on all post tops, ``L`` height of the shortest post, ``Delta_H`` drift under ``H``.
    """

    P_story: Array
    H: float
    L: float
    Delta_H: float

    def amplifier(self, combined: Combined, k: int | None = None) -> Array:
        """B_2 of every combination, or of the one numbered ``k``."""
        P = given(
            "frame analysis", "P_story [N]", self.P_story if k is None else self.P_story[k], D
        )
        R_M = stability.frame_share(P, P)
        P_e = stability.story_critical_load(
            R_M, given("unit load on post tops", "H [N]", self.H, D),
            given("shortest post", "L [m]", self.L, D),
            given("frame analysis, unit load", "Delta_H [m]", self.Delta_H, D),
        )  # fmt: skip
        return stability.story_amplifier(stability.load_factor(combined.method), P, P_e)


def stories(response: Response, combined: Combined) -> tuple[Story, Story]:
    """Along and across the row.

    The shortest post stands for the story height, which is cautious where the rows differ.
    """
    framing, frame = response.framing, response.framing.frame
    tops, base = framing.top, framing.base
    L = float((frame.xyz[tops, 2] - frame.xyz[base, 2]).min())
    P_story = np.maximum(response.upward(base, combined).sum(axis=1), 1e-9)
    first = len(response.actions.cases)
    drifts = [
        float(response.solution.displacements[0, first + axis, tops, axis].mean())
        for axis in (0, 1)
    ]
    H = float(len(tops))
    return Story(P_story, H, L, drifts[0]), Story(P_story, H, L, drifts[1])


def sway_amplifier(response: Response, combined: Combined) -> Array:
    """B_2 of each combination, the larger of both directions, (combinations,)."""
    return np.max([s.amplifier(combined) for s in stories(response, combined)], axis=0)


def sway_cases(response: Response) -> list[Case]:
    """Whether the frame is stiff enough sideways for its load, by direction."""
    combined = response.strength
    return [
        _case(story, words, combined)
        for story, words in zip(stories(response, combined), DIRECTIONS, strict=True)
    ]


def _case(story: Story, words: str, combined: Combined) -> Case:
    B_2 = story.amplifier(combined)
    k = int(B_2.argmax())
    return Case(
        f"frame.sway-{words.replace(' ', '-')}", f"whole frame, {words}", "sway stiffness", "frame",
        float(sway_ratio(B_2[k])), combined.ids[k],
        lambda: sway_ratio(story.amplifier(combined, k)), "sway_ratio",
        "AISC 360-22 App. 7.2.1, App. 8",
        "over 1 the frame sways too much for these forces to be trusted: brace it or stiffen posts",
    )  # fmt: skip
