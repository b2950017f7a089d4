"""The buying list of the wiring, with slack, and with prices where the plan gives them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan
from plumbrail.wiring.parts import Circuit, Conduit, Item, Path, Placard, Strings
from plumbrail.wiring.sheet import section_of

NONE = "(no size will do)"
ENDS = 2
"""Home runs of a string; each meets a module's lead in a pair of connectors."""


@dataclass(frozen=True)
class Bill:
    """What the buying list is made from."""

    plan: Plan
    model: Model
    strings: Strings
    paths: Sequence[Path]
    string: Circuit
    run: Circuit
    conduits: Sequence[Conduit]
    placards: Sequence[Placard]
    run_wire: float
    """Both poles of all run circuits, without slack [m]."""
    run_ground: float
    """Grounding conductors along the run, without slack [m]."""
    expansion: bool
    """A fitting that takes up the conduit's growth is needed."""
    array_ground: str
    """Grounding conductor of the array: the largest that any of its circuits asks for."""


def buying_list(bill: Bill) -> tuple[Item, ...]:
    """Everything that is bought for the wiring."""
    return (*_array(bill), *_protection(bill), *_run(bill), *_bonding(bill))


def _metres(bill: Bill, what: str, length: float, note: str, price: float | None = None) -> Item:
    slack = section_of(bill.plan).conductors.slack
    bought = length * (1.0 + slack)
    cost = None if price is None else price * bought
    return Item(what, bought, "m", cost, f"{note}; with {100 * slack:.0f} % slack")


def _pieces(what: str, count: float, note: str, price: float | None = None) -> Item:
    return Item(what, float(count), "pieces", None if price is None else price * count, note)


def _sum(paths: Iterable[Path], *kinds: str) -> float:
    return sum(p.length for p in paths if p.kind in kinds)


def _array(bill: Bill) -> list[Item]:
    """Wire of the strings and its connectors."""
    prices = section_of(bill.plan).prices
    jumps = sum(p.kind == "jumper" for p in bill.paths)
    pairs = ENDS * len(bill.strings.ids) + 2 * jumps
    wire = _sum(bill.paths, "home run", "jumper")
    name = f"{bill.string.insulation} {bill.string.size or NONE}, {bill.string.metal}"
    return [
        _metres(bill, name, wire, "home runs and jumpers, both poles, marked by polarity",
                prices.array_wire),
        _pieces("pair of connectors", pairs, f"{ENDS} for each string, 2 for each of {jumps} "
                "jumpers; of the make of the modules' own, or listed to mate with them",
                prices.connector_pair),
    ]  # fmt: skip


def _protection(bill: Bill) -> list[Item]:
    """Boxes, fuses, the disconnect."""
    wiring, count = section_of(bill.plan), len(bill.strings.ids)
    boxes = wiring.combiners.count
    most = max(int((bill.strings.combiner == c).sum()) for c in range(boxes))
    items = [_pieces("combiner box", boxes, f"outdoor, for {most} strings and the largest voltage "
                     f"on the placard, terminals {wiring.combiners.terminals}")]  # fmt: skip
    if "fuse" in bill.string.device and "no compliant" not in bill.string.device:
        poles = 2 if wiring.basis.code == "IEC" else 1
        items.append(_pieces(f"{bill.string.device} for photovoltaic strings, with holder",
                             poles * count, f"{poles} for each string, rated for the largest "
                             "voltage on the placard"))  # fmt: skip
    if bill.run.device.endswith("device"):
        items.append(_pieces(f"{bill.run.device} for direct current", bill.run.count,
                             "at the equipment's end of each run circuit"))  # fmt: skip
    items.append(_pieces("disconnect for direct current", bill.run.count,
                         f"lockable, for at least {bill.run.i_max:.1f} A and the largest voltage "
                         "on the placard"))  # fmt: skip
    return items


def _run(bill: Bill) -> list[Item]:
    """Wires and conduits to the equipment."""
    run, wiring = bill.run, section_of(bill.plan)
    items = [
        _metres(bill, f"{run.insulation} {run.size or NONE}, {run.metal}", bill.run_wire,
                "run to the equipment, both poles"),
        _metres(bill, f"equipment grounding conductor, {run.grounding}", bill.run_ground,
                "with the run"),
    ]  # fmt: skip
    for pipe in bill.conduits:
        if pipe.trade:
            name = f"conduit {pipe.method}, trade size {pipe.trade}"
            items.append(_metres(bill, name, pipe.length, pipe.what))
    size = bill.conduits[-1].trade
    if size:
        items.append(_pieces(f"elbow 90 degrees, trade size {size}, {wiring.run.riser}", 2,
                             "one at the foot of each riser"))  # fmt: skip
        items.append(_pieces(f"bushing or sealing fitting, trade size {size}", 2,
                             "one at each end, sealed against moisture"))  # fmt: skip
    if bill.expansion:
        items.append(_pieces(f"expansion fitting, trade size {size}, {wiring.run.riser}", 1,
                             "for the straight piece above the ground"))  # fmt: skip
    return items


def _bonding(bill: Bill) -> list[Item]:
    """Grounding conductor of the array, lugs, jumpers, signs."""
    rails = len(bill.model.rails.ids)
    boxes = section_of(bill.plan).combiners.count
    return [
        _metres(bill, f"array grounding conductor, {bill.array_ground}",
                _sum(bill.paths, "ground"), "bare or green, along the beam; where it can be "
                "damaged 6 AWG at least, or in conduit"),
        _pieces("grounding lug", rails + boxes, "one on each rail and box; fewer where a listed "
                "mounting system bonds them by itself"),
        _pieces("bonding jumper", 2, "one from the grounding conductor to each beam; one more "
                "across every splice that is not listed for bonding"),
        *(_pieces(f"placard: {p.text}", 1, p.where) for p in bill.placards),
    ]  # fmt: skip
