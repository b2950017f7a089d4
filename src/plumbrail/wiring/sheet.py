"""What the wiring needs of the module's data sheet."""

from __future__ import annotations

from dataclasses import dataclass

from plumbrail.errors import PlanError, Problem
from plumbrail.plan.models import Plan, Wiring
from plumbrail.wiring.kinds import refuse_kind

NEEDED = {
    "pmax": '"430 W"', "voc": '"38.9 V"', "isc": '"14.0 A"', "vmp": '"32.6 V"', "imp": '"13.2 A"',
    "pmax_coefficient": '"-0.29 %/K"', "isc_coefficient": '"0.045 %/K"',
    "voc_coefficient": '"-0.25 %/K"',
}  # fmt: skip


@dataclass(frozen=True)
class Sheet:
    """Electrical figures of one module, SI."""

    pmax: float
    voc: float
    isc: float
    vmp: float
    imp: float
    pmax_coefficient: float
    isc_coefficient: float
    voc_coefficient: float
    noct: float | None
    max_series_fuse: float | None
    max_system_voltage: float | None


def section_of(plan: Plan) -> Wiring:
    """The plan's wiring section; PlanError when there is none, or one that cannot be met."""
    if plan.wiring is None:
        raise PlanError([Problem("wiring", "the plan has no [wiring] section; write one with "
                                 "basis, equipment, combiners and run")])  # fmt: skip
    if plan.wiring.conductors.voltage_drop == 0.0:
        raise PlanError([Problem("wiring.conductors.voltage_drop", "no wire loses nothing; write "
                                 'for example "2 %"')])  # fmt: skip
    refuse_kind(plan.wiring)
    return plan.wiring


def sheet_of(plan: Plan) -> Sheet:
    """The module's figures; PlanError that names every missing one, or ones that disagree."""
    m = plan.module
    got = {name: getattr(m, name) for name in NEEDED}
    problems = [
        Problem(f"module.{name}", "the wiring needs this from the module's data sheet; write for "
                f"example {name} = {example}")
        for name, example in NEEDED.items() if got[name] is None
    ]  # fmt: skip
    if not problems:
        problems = _odd(got, m.max_series_fuse)
    if problems:
        raise PlanError(problems)
    return Sheet(**got, noct=m.noct, max_series_fuse=m.max_series_fuse,
                 max_system_voltage=m.max_system_voltage)  # fmt: skip


def _odd(got: dict[str, float], fuse: float | None) -> list[Problem]:
    """Figures that no data sheet can hold together."""
    found = []
    if got["vmp"] >= got["voc"]:
        found.append(Problem("module.vmp", "must be lower than voc"))
    if got["imp"] >= got["isc"]:
        found.append(Problem("module.imp", "must be lower than isc"))
    if fuse is not None and fuse <= got["isc"]:
        found.append(Problem("module.max_series_fuse", f"is {fuse:.4g} A, no more than isc; the "
                             "data sheet's largest fuse lies above it"))  # fmt: skip
    for name in ("voc_coefficient", "pmax_coefficient"):
        if got[name] >= 0.0:
            found.append(Problem(f"module.{name}", "must be negative, for example "
                                 f"{NEEDED[name]}"))  # fmt: skip
    product = got["vmp"] * got["imp"]
    if abs(product / got["pmax"] - 1.0) > 0.05:
        found.append(Problem("module.pmax", f"is {got['pmax']:.4g} W, yet vmp times imp is "
                             f"{product:.4g} W; one of the three is a slip"))  # fmt: skip
    return found
