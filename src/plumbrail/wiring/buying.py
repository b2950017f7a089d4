"""The buying list of the wiring, with slack, and with prices where the plan gives them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil

from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan
from plumbrail.units import print_words, show
from plumbrail.wiring.disconnect_checks import asked_words
from plumbrail.wiring.kinds import DIRECT, method_words
from plumbrail.wiring.parts import Circuit, Conduit, Electrode, Item, Path, Placard, Strings
from plumbrail.wiring.sheet import section_of

NONE = "(no size will do)"
CLIPS = 24 * 0.0254
"""Most between clips [m]."""
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
    electrodes: Sequence[Electrode]
    cold: float
    """Largest voltage [V]."""

    @property
    def iec(self) -> bool:
        """Names and sizes of the American code have no place."""
        return section_of(self.plan).basis.code == "IEC"


def buying_list(bill: Bill) -> tuple[Item, ...]:
    """Everything that is bought for the wiring."""
    return (
        *_array(bill), *_held(bill), *_protection(bill), *_run(bill), *_bonding(bill),
        *_electrodes(bill),
    )  # fmt: skip


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
    laid = "home runs and jumpers" if jumps else "home runs"
    return [
        _metres(bill, name, wire, f"{laid}, both poles, marked by polarity", prices.array_wire),
        _pieces("pair of connectors", pairs, f"{ENDS} for each string{_for_jumpers(jumps)}; of the "
                "make of the modules' own, or listed to mate with them", prices.connector_pair),
    ]  # fmt: skip


def _for_jumpers(count: int) -> str:
    """Connectors of the jumpers, in words; nothing where there are none."""
    if count == 0:
        return ""
    return ", 2 for the jumper" if count == 1 else f", 2 for each of {count} jumpers"


def _held(bill: Bill) -> list[Item]:
    """Clips and cable glands of the wires of the strings."""
    wire, size = section_of(bill.plan).conductors, "see the wire's outer diameter"
    if wire.array_diameter is not None:
        size = f"for wire of {show(wire.array_diameter, 'length', bill.plan.job.units)} outside"
    own = " (690.31(C), from memory)" if not bill.iec else ""
    far = "half a metre" if bill.plan.job.units != "us" else "24 in"
    open_wire = _sum(bill.paths, "home run", "jumper")
    return [
        _pieces("clip for wire on rails and beams", ceil(open_wire / CLIPS - 1e-9),
                f"not over {far} apart{own}, common practice; {size}"),
        _pieces("cable gland for a wire of a string", ENDS * len(bill.strings.ids),
                f"where it enters its box; {size}"),
    ]  # fmt: skip


def _protection(bill: Bill) -> list[Item]:
    """Boxes, fuses, the disconnect."""
    wiring, count = section_of(bill.plan), len(bill.strings.ids)
    boxes = wiring.combiners.count
    most = max(int((bill.strings.combiner == c).sum()) for c in range(boxes))
    items = [_pieces("combiner box", boxes, f"outdoor, for {most} strings and {bill.cold:.0f} V, "
                     f"terminals for {print_words(wiring.combiners.terminals)}")]  # fmt: skip
    if "fuse" in bill.string.device and "no compliant" not in bill.string.device:
        poles = 2 if wiring.basis.code == "IEC" else 1
        items.append(_pieces(f"{bill.string.device} for photovoltaic strings, with holder",
                             poles * count, f"{poles} for each string, rated for "
                             f"{bill.cold:.0f} V of direct current"))  # fmt: skip
    if bill.run.device.endswith("device"):
        items.append(_pieces(f"{bill.run.device} for direct current", bill.run.count,
                             "at the equipment's end of each run circuit"))  # fmt: skip
    items.append(_pieces(f"disconnect for direct current, {bill.run.i_max:.1f} A at "
                         f"{bill.cold:.0f} V, load break", bill.run.count,
                         asked_words(bill.plan, bill.cold, bill.run.i_max)))  # fmt: skip
    return items


def _run(bill: Bill) -> list[Item]:
    """Wires and conduits to the equipment."""
    run, wiring = bill.run, section_of(bill.plan)
    riser = method_words(wiring, wiring.run.riser)
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
        elif bill.iec and pipe.method != DIRECT:
            items.append(_metres(bill, f"{pipe.method}, size not checked", pipe.length, pipe.what))
    size = bill.conduits[-1].trade
    if size:
        items.append(_pieces(f"elbow 90 degrees, trade size {size}, {riser}", 2,
                             "one at the foot of each riser"))  # fmt: skip
        items.append(_pieces(f"bushing or sealing fitting, trade size {size}", 2,
                             "one at each end, sealed against moisture"))  # fmt: skip
    if bill.expansion:
        items.append(_pieces(f"expansion fitting, trade size {size}, {riser}", 1,
                             "for the straight piece above the ground"))  # fmt: skip
    return items


def _bonding(bill: Bill) -> list[Item]:
    """Grounding conductor of the array, lugs, jumpers, signs."""
    rails = len(bill.model.rails.ids)
    boxes = section_of(bill.plan).combiners.count
    return [
        _metres(bill, f"array grounding conductor, {bill.array_ground}",
                _sum(bill.paths, "ground"), "along the beam" if bill.iec else "bare or green, "
                "along the beam; where it can be damaged 6 AWG at least, or in conduit"),
        _pieces("grounding lug", rails + boxes, "one on each rail and box; fewer where a listed "
                "mounting system bonds them by itself"),
        _pieces("bonding jumper", 2, "one from the grounding conductor to each beam; one more "
                "across every splice that is not listed for bonding"),
        *(_pieces(f"placard: {p.text}", 1, p.where) for p in bill.placards),
    ]  # fmt: skip


def _electrodes(bill: Bill) -> list[Item]:
    """Conductors to electrodes that are to be set, and those that are there to be compared."""
    items = list[Item]()
    for e in bill.electrodes:
        name = f"grounding electrode conductor, {e.size} copper"
        if not e.size or e.id == "system":
            continue
        if e.id == "building":
            if section_of(bill.plan).grounding.electrode_conductor is None:
                items.append(_pieces(f"{name} at least", 1, f"{e.what}; see first what is there: "
                                     "its length is not in the plan"))  # fmt: skip
            continue
        if e.length is None:
            items.append(_pieces(name, 1, f"{e.what}; measure its length, or give "
                                 "wiring.grounding.array_electrode_wire"))  # fmt: skip
        else:
            items.append(_metres(bill, name, e.length, e.what))
    if section_of(bill.plan).grounding.array_electrode == "rod" and not bill.iec:
        items.append(_pieces("ground rod, 8 ft of 5/8 in, with clamp", ENDS, "6 ft apart at least; "
                             "one will do if measured at 25 ohm or less (250.53)"))  # fmt: skip
    return items
