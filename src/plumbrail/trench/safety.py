"""What can hurt whoever digs, and what is done in which order before and while digging.

Clauses are those of 29 CFR 1926 Subpart P, which binds employers; whoever works on his own land
does well to keep them too. The rest is common practice.
"""

from __future__ import annotations

import numpy as np

from plumbrail.plan.models import Trench
from plumbrail.site.grounds import Grounds
from plumbrail.trench.parts import Crossing, Piece

FOOT = 0.3048
EGRESS, PROTECTION, ENGINEER = 4.0 * FOOT, 5.0 * FOOT, 20.0 * FOOT
"""Depths [m] from which the rules ask for more."""
SLOPES = {"A": 0.75, "B": 1.0, "C": 1.5}
"""Run over rise of the steepest side allowed, by kind of soil, below 20 ft."""
ROUNDING = 1e-6


def slope_angle(soil: str) -> float:
    """Steepest side of a trench in a soil of type A, B or C, from level [rad]."""
    return float(np.arctan(1.0 / SLOPES[soil]))


def triggers(depth: float) -> tuple[str, ...]:
    """What a depth [m] asks for: egress, protection, engineer."""
    steps = (("egress", EGRESS), ("protection", PROTECTION))
    found = [name for name, least in steps if depth >= least - ROUNDING]
    return (*found, "engineer") if depth > ENGINEER + ROUNDING else tuple(found)


def cautions(depth: float) -> tuple[str, ...]:
    """For a trench whose deepest place is ``depth`` [m]."""
    asked = triggers(depth)
    found = [
        "Spoil, pipe and machine stay 2 ft (0.6 m) from the edge at the least (1926.651(j)(2)).",
        "A competent person looks at the trench every day before work, after rain, and whenever "
        "something has changed (1926.651(k)).",
    ]  # fmt: skip
    if "protection" in asked:
        found.append(
            "5 ft (1.5 m) deep or more: nobody goes in without a box, shoring or sloped sides, "
            "unless it is all in stable rock (1926.652(a)). Soil that nobody has classified is "
            "type C: no steeper than 1-1/2 level to 1 upright, 34 degrees."
        )
    else:
        found.append(
            "Less than 5 ft (1.5 m) deep: sides may stand only where a competent person sees no "
            "sign that they could cave in (1926.652(a)); one who kneels in a shallow trench can "
            "be buried too."
        )
    if "egress" in asked:
        found.append(
            "4 ft (1.2 m) deep or more: a ladder or ramp within 25 ft (7.6 m) of everybody in it, "
            "3 ft (0.9 m) above the edge (1926.651(c)(2)); test the air where it could be bad, as "
            "near a landfill, fuel or sewer (1926.651(g))."
        )
    if "engineer" in asked:
        found.append("More than 20 ft (6 m) deep: an engineer designs what holds it (1926.652).")
    return (
        *found,
        "An open trench is a trap: fence it or cover it whenever nobody works at it, and close it "
        "soon.",
        "A service that is hit: stop, keep everybody away, leave it as it is, call its owner and "
        "the emergency number. Gas: no engine, no switch, no flame, go upwind.",
        "Every service counts as live, the abandoned ones too. Machines stay out of the marked "
        "zones.",
    )  # fmt: skip


def checklist(trench: Trench, found: Grounds, passed: tuple[Crossing, ...]) -> tuple[str, ...]:
    """Before and while digging, in order."""
    steps = [
        "Mark the route in white, paint or flags, as staked out, with a little to each side.",
        "Call or click 811 two to three working days before the first cut; the law of the state "
        "decides. Write down the number of the ticket and the day on which it expires.",
        "Wait until every owner on the ticket has answered, marked or cleared; ask again for "
        "those who have not.",
        "Have your own lines found by a hired locator: from the meter on, well, septic, propane, "
        "irrigation, feeders. No locate centre marks those.",
        "Photograph the marks with something that tells the place. Keep them until the trench is "
        "closed.",
        "Compare the marks with this sheet. Where one lies elsewhere, or is not on the sheet, stop "
        "and plan anew.",
        "Look up too: overhead lines over the route and where the machine swings.",
    ]  # fmt: skip
    if passed:
        steps += [
            "Dig up every crossing by hand until you see the service, and measure its depth and "
            "its width, before the machine comes near.",
            "Hold up what is laid bare so that it does not hang; put sand about it and its own "
            "marking tape over it before the trench is closed.",
        ]  # fmt: skip
    return (
        *steps,
        "Dig by hand wherever the sheet says so: no machine between the marked limits.",
        "Roots thicker than a thumb are not cut: tunnel under them."
        if trench.roots == "dig by hand" else "Stay out of the root zones with machine and spoil.",
        "Lay the conduit on its bedding, glue or thread every joint, close both ends against "
        "water and mice at once.",
        "Measure the cover in three places, and at every crossing, and have the inspector see the "
        "open trench before it is closed.",
        "Fill in layers and tread them down; no stones or rubble next to the conduit. Warning tape "
        "12 in (0.3 m) over it: recommended.",
        "Measure what lies where, from two fixed points, and write it into the record: nobody "
        "marks your own conduit for you.",
    )  # fmt: skip


SEPARATIONS = {
    "gas": "Gas: enough room that they do not touch and either can be mended; ask the gas company. "
    "The electrical code sets no distance from conduit.",
    "water": "Water: the electrical code sets no distance; the water company or the plumbing code "
    "may.",
    "reclaimed": "Irrigation: no distance is set; keep clear of its fittings.",
    "sewer": "Sewer: the electrical code sets no distance; some towns want 5 ft (1.5 m) from any "
    "other service. Never through a drain field.",
    "power": "Electric power: in a common trench 12 in (0.3 m) between new direct-buried supply "
    "lines, good practice; ask its owner.",
    "communication": "Telephone and fibre: 12 in (0.3 m) from direct-buried power, not asked where "
    "one of them is in conduit (800.47, from memory).",
}  # fmt: skip


def separations(passed: tuple[Crossing, ...], pieces: tuple[Piece, ...]) -> tuple[str, ...]:
    """Rules, or that there is none, for every kind that is met."""
    kinds = dict.fromkeys(c.kind for c in passed)
    return tuple(SEPARATIONS[k] for k in kinds)
