"""Checks of what lies in conduit and in the ground."""

from __future__ import annotations

from plumbrail.check import Check, Status
from plumbrail.plan.models import Plan
from plumbrail.trace import Certainty, given
from plumbrail.units import show
from plumbrail.wiring.circuits import Line
from plumbrail.wiring.conduits import Filled, cover_of, fill_of
from plumbrail.wiring.kinds import DIRECT, UNLISTED
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
    checks += _direct(wiring.conductors.run_type) if wiring.run.method == DIRECT else []
    if wiring.conductors.run_type in UNLISTED and wiring.run.method != DIRECT:
        checks.append(_in_raceway(wiring.conductors.run_type))
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


def _direct(kind: str) -> list[Check]:
    """Whether a kind of wire may lie straight in the ground."""
    id, title = "run.direct-burial", "cable in the ground"
    if kind == "USE-2":
        return [_allowed(id, title, "NFPA 70 338.10, 300.5", "USE-2 is made for it")]
    if kind in ("RHW-2", "PV wire"):
        mark = "USE-2 as well" if kind == "RHW-2" else "for direct burial"
        return [missing(id, RUN, title, f"see that it is marked {mark}")]
    why = (f"{kind} is made for conduit; only cable marked for it, such as USE-2 (RHW-2 is "
           "often marked for both) or PV wire, may lie straight in the ground")  # fmt: skip
    return [failed(id, RUN, title, why, "NFPA 70 300.5, 690.31, from memory")]


def _in_raceway(kind: str) -> Check:
    """USE-2 and PV wire in raceway; where USE-2 may not lie the plan was refused."""
    if kind == "USE-2":
        words = "USE-2 in raceway outside and in the ground, never in the building"
        return _allowed("run.kind", "kind of wire in raceway", "NFPA 70 338.10, 338.12", words)
    words = "PV wire in raceway, also indoors where the raceway is of metal"
    return _allowed("run.kind", "kind of wire in raceway", "NFPA 70 690.31(C), 690.31(D)", words)


def _allowed(id: str, title: str, clause: str, words: str) -> Check:
    return Check(id, RUN, title, Status.PASS, clause=clause, certainty=Certainty.MEMORY,
                 note=words, family="run", rule=True)  # fmt: skip


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
