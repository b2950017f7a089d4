"""What wires and raceways are called under each code, and where a kind of wire may lie."""

from __future__ import annotations

from plumbrail.errors import PlanError, Problem
from plumbrail.plan.models import Plan, Wiring

DIRECT = "direct burial"
UNLISTED = ("USE-2", "PV wire")
"""Kinds whose area the code's table does not list: their diameter is on their data sheet."""
LISTED_GROUND = "THWN-2"
"""Insulation of the grounding conductor beside wires of an unlisted kind."""
_METHODS = {
    "PVC 40": "plastic conduit", "PVC 80": "heavy plastic conduit", "RMC": "steel conduit",
    "EMT": "thin steel conduit",
}  # fmt: skip


def array_kind(wiring: Wiring) -> str:
    """Kind of wire of the strings; for IEC the cable of IEC 62930 (its number from memory)."""
    return "solar cable" if wiring.basis.code == "IEC" else wiring.conductors.array_type


def run_kind(wiring: Wiring) -> str:
    """Kind of wire of the run; IEC has no such names and the plan does not ask for others."""
    return "cable of the run" if wiring.basis.code == "IEC" else wiring.conductors.run_type


def method_words(wiring: Wiring, method: str) -> str:
    """A raceway in the words of the code."""
    return _METHODS.get(method, method) if wiring.basis.code == "IEC" else method


def ground_insulation(wiring: Wiring) -> str:
    """Insulation that the fill counts for the grounding conductor of the run."""
    kind = wiring.conductors.run_type
    return LISTED_GROUND if kind in UNLISTED else kind


def diameter_field(plan: Plan, size: str) -> str:
    """Field of wiring.conductors that holds the diameter of the run's wires; empty for none."""
    assert plan.wiring is not None
    c = plan.wiring.conductors
    if c.run_diameter is not None and c.run_size == size:
        return "run_diameter"
    same = c.run_type == c.array_type and size == c.array_size and c.run_metal == "copper"
    return "array_diameter" if same and c.array_diameter is not None else ""


def refuse_kind(wiring: Wiring) -> None:
    """PlanError for a kind of wire where the code does not allow it, or a diameter of no use.

    NFPA 70 338.10 and 338.12 for USE-2, from memory.
    """
    if wiring.basis.code == "IEC":
        return
    c, problems = wiring.conductors, list[Problem]()
    if c.run_type == "USE-2" and wiring.run.ends == "inside":
        problems.append(Problem(
            "wiring.conductors.run_type", "USE-2 is not allowed inside a building (NFPA 70 338.12) "
            'and wiring.run.ends says "inside"; write "RHW-2" if it is marked so too, another '
            "kind, or let the run end outside"))  # fmt: skip
    if c.run_diameter is not None and c.run_type not in UNLISTED:
        problems.append(Problem(
            "wiring.conductors.run_diameter", f"the code's own table has the area of {c.run_type}; "
            "leave the diameter out, it is for USE-2 and PV wire"))  # fmt: skip
    elif c.run_diameter is not None and c.run_size is None:
        problems.append(Problem(
            "wiring.conductors.run_diameter", "belongs to one size of wire; write run_size "
            "with it"))  # fmt: skip
    if problems:
        raise PlanError(problems)
