"""An independent look at a finished plan: nothing here knows how the plan was found."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from plumbrail.errors import CuttingError
from plumbrail.stock.records import Cut, CutPlan, LongPiece, Piece, Stick, Stock


def verify(
    plan: CutPlan, stock: Stock, pieces: Sequence[Piece], long_pieces: Sequence[LongPiece],
    offcuts: Sequence[float] = (),
) -> None:  # fmt: skip
    """Raise CuttingError unless the plan can be sawn as written and makes every piece once.

    Parts may be up to one grid step too long, never short by more than a rounding error.
    """
    faults = [
        *(f for s in plan.sticks for f in _stick_faults(s, stock, plan.grid)),
        *_piece_faults(plan, pieces, long_pieces),
        *(f for b in long_pieces for f in _splice_faults(b, plan)),
        *_count_faults(plan, stock, offcuts),
    ]
    if faults:
        raise CuttingError(
            f"the cut list of {stock.section} failed its own check and must not be used: "
            + "; ".join(faults)
        )


def _stick_faults(stick: Stick, stock: Stock, grid: float) -> list[str]:
    slack = 1e-3 * grid
    used = sum(c.length for c in stick.cuts)
    least = stock.trim + used + (len(stick.cuts) - 1) * stock.kerf
    faults = []
    if least > stick.length + slack:
        faults.append(f"a stick of {stick.length:.4f} m needs {least:.4f} m")
    told = stick.trim + used + stick.kerf_lost + stick.offcut
    if abs(told - stick.length) > slack:
        faults.append(f"a stick of {stick.length:.4f} m adds up to {told:.4f} m")
    if stick.offcut < -slack or not stick.cuts or any(c.length <= 0 for c in stick.cuts):
        faults.append("a stick is empty, or a length is negative")
    if stick.offcut > slack and stick.kerf_lost < len(stick.cuts) * stock.kerf - slack:
        faults.append("a saw cut before an offcut is not counted")
    return faults


def _piece_faults(plan: CutPlan, pieces: Sequence[Piece], longs: Sequence[LongPiece]) -> list[str]:
    cuts: dict[str, list[Cut]] = {}
    for stick in plan.sticks:
        for cut in stick.cuts:
            cuts.setdefault(cut.id, []).append(cut)
    wanted = {p.id: p.length for p in pieces} | {b.id: b.length for b in longs}
    faults = [f"{i} is cut but not wanted" for i in cuts.keys() - wanted.keys()]
    whole = {p.id for p in pieces} | {b.id for b in longs if not b.zones}
    for name, length in wanted.items():
        parts = sorted(cuts.get(name, []), key=lambda c: c.part)
        if [c.part for c in parts] != list(range(1, len(parts) + 1)) or not parts:
            faults.append(f"{name} is not cut exactly once")
        made = sum(c.length for c in parts)
        if not -1e-3 * plan.grid <= made - length <= 1.001 * plan.grid:
            faults.append(f"{name} is {length:.4f} m but {made:.4f} m is cut")
        if name in whole and len(parts) > 1:
            faults.append(f"{name} must not be spliced")
    return faults


def _splice_faults(beam: LongPiece, plan: CutPlan) -> list[str]:
    places = [p for s in plan.splices if s.id == beam.id for p in s.positions]
    parts = sorted((c for s in plan.sticks for c in s.cuts if c.id == beam.id),
                   key=lambda c: c.part)  # fmt: skip
    slack = 1e-3 * plan.grid
    faults = []
    joints = [c.start for c in parts[1:]]
    if len(joints) != len(places) or any(
        abs(a - b) > slack for a, b in zip(joints, places, strict=False)
    ):
        faults.append(f"the parts of {beam.id} do not end at its splices")
    for place in places:
        if not any(a - slack <= place <= b + slack for a, b in beam.zones):
            faults.append(f"{beam.id} is spliced at {place:.4f} m, outside every zone")
    supports = sorted(beam.supports)
    spans = [sum(s < p for s in supports) for p in places]
    if any(n in (0, len(supports)) for n in spans):
        faults.append(f"{beam.id} is spliced in an overhang")
    if any(n > 1 for n in Counter(spans).values()):
        faults.append(f"{beam.id} has two splices in one span")
    if places and any(c.length < beam.min_segment - slack for c in parts):
        faults.append(f"a part of {beam.id} is shorter than allowed")
    return faults


def _count_faults(plan: CutPlan, stock: Stock, offcuts: Sequence[float]) -> list[str]:
    faults = []
    told = {round(b.length / plan.grid): b.count for b in plan.bought}
    real = Counter(round(s.length / plan.grid) for s in plan.sticks if not s.own)
    if {k: n for k, n in told.items() if n} != dict(real):
        faults.append("the sticks to buy are not the sticks that are cut")
    for offer in stock.lengths:
        if offer.available is not None:
            n = sum(s.price == offer.price and abs(s.length - offer.length) < plan.grid
                    for s in plan.sticks if not s.own)  # fmt: skip
            if n > offer.available and not _twin(stock, offer.length, plan.grid):
                faults.append(f"more sticks of {offer.length:.4f} m than there are")
    own = sorted((s.length for s in plan.sticks if s.own), reverse=True)
    yard = sorted(offcuts, reverse=True)
    if len(own) > len(yard) or any(a > b + 1e-3 * plan.grid
                                   for a, b in zip(own, yard, strict=False)):  # fmt: skip
        faults.append("more own offcuts are used than there are")
    cost = sum(s.price for s in plan.sticks)
    waste = sum(s.length - sum(c.length for c in s.cuts) for s in plan.sticks)
    if abs(cost - plan.cost) > 1e-6 * max(1.0, cost) or abs(waste - plan.waste) > 1e-6:
        faults.append("cost or waste is added up wrongly")
    if plan.waste < -1e-9 or any(v.value < v.bound - 1e-6 * max(1.0, v.value) for v in plan.levels):
        faults.append("a bound lies above what the plan reaches")
    return faults


def _twin(stock: Stock, length: float, grid: float) -> bool:
    return sum(abs(s.length - length) < grid for s in stock.lengths) > 1
