"""Checks of what lies in conduit and in the ground."""

from __future__ import annotations

from plumbrail.check import Check
from plumbrail.plan.models import Plan
from plumbrail.trace import Certainty, given
from plumbrail.units import show
from plumbrail.wiring.circuits import Line
from plumbrail.wiring.conduits import DIRECT, Filled, cover_of, fill_of
from plumbrail.wiring.parts import Array
from plumbrail.wiring.provisions import share_ratio
from plumbrail.wiring.sheet import section_of
from plumbrail.wiring.string_checks import case, failed, missing

RUN = "the run to the equipment"


def buried_checks(plan: Plan) -> list[Check]:
    """Cable straight in the ground, cover, and growth where it comes out."""
    wiring, checks = section_of(plan), list[Check]()
    if wiring.basis.code == "IEC":
        return [missing("run.cover", RUN, "cover", "no depths are at hand for IEC")]
    if wiring.run.straight is None:
        checks.append(missing("riser.growth", "conduit above the ground", "growth in the sun",
                              "give wiring.run.straight"))  # fmt: skip
    if wiring.run.method == DIRECT:
        kind = wiring.conductors.run_type
        why = (f"{kind} is made for conduit; only cable marked for it, such as USE-2 (RHW-2 is "
               "often marked for both) or PV wire, may lie straight in the ground")  # fmt: skip
        if kind == "RHW-2":
            checks.append(missing("run.direct-burial", RUN, "cable in the ground",
                                  "see that it is marked USE-2 as well"))  # fmt: skip
        else:
            checks.append(failed("run.direct-burial", RUN, "cable in the ground", why,
                                 "NFPA 70 300.5, 690.31, from memory"))  # fmt: skip
    cover = cover_of(plan)
    if cover is not None:
        deep = show(cover, "length", plan.job.units)
        checks.append(missing("run.cover", RUN, "cover", f"measure it before the trench is closed: "
                              f"at least {deep} from the top of the {wiring.run.method} to the "
                              "finished ground (NFPA 70 Table 300.5(A))"))  # fmt: skip
    else:
        checks.append(failed("run.cover", RUN, "cover",
                             f"{wiring.run.method} {wiring.run.surface} is not in the table",
                             "NFPA 70 Table 300.5(A)"))  # fmt: skip
    return checks


def conduit_checks(plan: Plan, found: list[Filled], run: Line, grounding: str) -> list[Check]:
    """The fill of every conduit."""
    checks = []
    for one in found:
        pipe = one.conduit
        title, subject = "fill", f"conduit {pipe.what}"
        if one.why:
            checks.append(missing(pipe.id, subject, title, one.why))
        elif not pipe.trade:
            checks.append(failed(pipe.id, subject, title, "no listed trade size is large enough",
                                 "NFPA 70 Chapter 9"))  # fmt: skip
        else:
            checks.append(_fill(plan, one, run, grounding, subject))
    return checks


def _fill(plan: Plan, one: Filled, run: Line, grounding: str, subject: str) -> Check:
    pipe = one.conduit

    def ratio() -> Array:
        filled = fill_of(plan, run.wire.size, one.wires, grounding, pipe.method, pipe.trade)
        limit = given("NFPA 70 Chapter 9 Table 1", "f_a [-]", one.limit, Certainty.SECOND_HAND)
        return share_ratio(filled, limit)

    return case(pipe.id, subject, "fill", ratio, "share_ratio", "NFPA 70 Chapter 9 Table 1",
                f"{pipe.trade} in {pipe.method}")  # fmt: skip
