"""What is bought, moved and worked. Rates and swell are the plan's; left out, common practice."""

from __future__ import annotations

import math

import numpy as np

from plumbrail.plan.models import Trench
from plumbrail.trench.parts import Amount, Box, Crossing, Hours, Option, Piece, Profile, Wires
from plumbrail.trench.planar import Array

PRACTICE = "rates of the plan, or common practice"


def volume(p: Profile, width: float) -> float:
    """Ground dug out [m3]."""
    return float(np.trapezoid(p.bottom, p.at)) * width


def amounts(
    option: Option, pieces: tuple[Piece, ...], passed: tuple[Crossing, ...], p: Profile,
    boxes: tuple[Box, ...], bends: Array, conduit: float, outer: float, wires: Wires,
    trench: Trench,
) -> tuple[Amount, ...]:  # fmt: skip
    """Every line."""
    prices, swell = trench.prices, 1.0 + trench.digging.swell
    long, dug = option.length, volume(p, trench.width)
    pipe = 0.25 * math.pi * outer**2 * long
    sand = (2.0 * trench.bedding + outer) * trench.width * long - pipe
    wire = sum(b.count for b in wires.bundles) * conduit * (1.0 + wires.slack)
    name = f"{wires.method} {wires.trade}".strip()
    hour = hours(pieces, passed, option, trench)
    return (
        _line(f"conduit {name}", conduit, "m", prices.conduit, f"{wires.riser} at the risers"),
        _line("quarter sweeps at the risers", 2, "pieces", prices.bend),
        _line("bends on the way", len(bends), "pieces", prices.bend,
              "cut from sweeps, or bent on site"),
        _line("pull boxes", len(boxes), "pieces", prices.box),
        _line("wire, all together", wire, "m", prices.wire,
              f"{wires.slack:.0%} slack" if wires.bundles else ""),
        _line("warning tape", long, "m", prices.tape, "recommended"),
        _line("bedding: sand or fine soil", sand, "m3", prices.sand),
        _line("ground dug out, as it lies", dug, "m3", None),
        _line("spoil, loose", dug * swell, "m3", None, f"{trench.digging.swell:.0%} looser"),
        _line("spoil left over, loose", (sand + pipe) * swell, "m3", None),
        _line("machine with its driver", hour.machine, "h", prices.machine_hour, PRACTICE),
        _line("hand work", hour.by_hand + hour.laying, "h", prices.hour, PRACTICE),
    )  # fmt: skip


def hours(
    pieces: tuple[Piece, ...], passed: tuple[Crossing, ...], option: Option, trench: Trench
) -> Hours:
    """Digging with the machine and by hand, crossings with the latter; laying with bends."""
    d = trench.digging
    machine = sum(p.long * p.factor / d.machine for p in pieces if not p.hand)
    hand = sum(p.long * p.factor / d.hand for p in pieces if p.hand)
    hand += sum(float(getattr(trench.crossings, c.kind)) / max(math.sin(c.angle), 0.05)
                for c in passed)  # fmt: skip
    laying = d.quarter_bend * option.bends / (0.5 * math.pi) + option.length / d.lay
    return Hours(machine, hand, laying)


def _line(what: str, amount: float, unit: str, price: float | None, note: str = "") -> Amount:
    return Amount(what, float(amount), unit, None if price is None else amount * price, note)
