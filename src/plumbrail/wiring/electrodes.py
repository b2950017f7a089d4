"""Conductors between the grounding and its electrodes: of the building, of the array."""

from __future__ import annotations

from plumbrail.bases.us.nec import grounding as nec
from plumbrail.bases.us.nec.wire import circular_mils
from plumbrail.check import Check, Status
from plumbrail.plan.models import Plan
from plumbrail.tables.loader import load
from plumbrail.trace import Certainty, given
from plumbrail.wiring import sizing
from plumbrail.wiring.circuits import Line
from plumbrail.wiring.parts import Array, Electrode
from plumbrail.wiring.provisions import area_ratio
from plumbrail.wiring.sheet import section_of
from plumbrail.wiring.string_checks import case, missing

BARE = "6 AWG"
"""Copper from which an electrode conductor needs no protection where nothing can damage it,
250.64(B); from memory."""
BUILDING, ARRAY = "the grounding of the building", "the electrode at the array"
SYSTEM = "the grounding of the array's circuits"
WIRE = "electrode conductor"
TABLE = "NFPA 70 250.66"
DIRECT = "NFPA 70 250.166"


def electrodes(plan: Plan, run: Line, egc: str) -> tuple[Electrode, ...]:
    """Every electrode conductor with its least size, or with what is missing; none for IEC.

    ``egc`` is the equipment grounding conductor that goes with the run.
    """
    if section_of(plan).basis.code == "IEC":
        return ()
    found = [_building(plan), _system(plan, run, egc)]
    if section_of(plan).grounding.array_electrode != "none":
        found.append(_own(plan, run))
    return tuple(found)


def _building(plan: Plan) -> Electrode:
    said = section_of(plan).grounding
    what = "from the grounding of the building to its electrode"
    lacks = [f"wiring.grounding.{name}" for name, value in (
        ("service_conductor", said.service_conductor), ("electrode", said.electrode))
        if value is None]  # fmt: skip
    if said.service_conductor is None or said.electrode is None:
        return Electrode("building", what, "", None, TABLE,
                         f"give {' and '.join(lacks)}: it goes by the largest wire of the "
                         "building's service, or of what supplies the building")  # fmt: skip
    least = nec.electrode_conductor(said.service_conductor, said.service_metal, "copper",
                                    said.electrode)  # fmt: skip
    return Electrode("building", what, least, None, TABLE,
                     f"for a service of {said.service_conductor} {said.service_metal} and "
                     f"electrodes of the kind {said.electrode}")  # fmt: skip


def _system(plan: Plan, run: Line, egc: str) -> Electrode:
    said, what = section_of(plan).grounding, "of the array's direct-current circuits"
    if said.system is None:
        return Electrode("system", what, "", None, "NFPA 70 690.47, 250.166",
                         "give wiring.grounding.system: the manual of the equipment says how it "
                         "grounds the array")  # fmt: skip
    if said.system == "functional":
        return Electrode("system", what, "", None, "NFPA 70 690.47(A)",
                         "none of its own: the equipment grounding conductor of the run "
                         f"({egc}) ties it to the electrodes of the building")  # fmt: skip
    if not run.wire.size:
        return Electrode("system", what, "", None, DIRECT, "no conductor of the run will do")
    # For a run of aluminium the same size in copper is never too small.
    least = nec.direct_current_electrode_conductor(run.wire.size, "copper",
                                                   said.electrode or "other")  # fmt: skip
    return Electrode("system", what, least, None, DIRECT,
                     "one pole is wired to ground: not smaller than the largest wire of the "
                     "circuits, 8 AWG at least")  # fmt: skip


def _own(plan: Plan, run: Line) -> Electrode:
    said, what = section_of(plan).grounding, "from the array's grounding to its own electrode"
    if not run.wire.size:
        return Electrode("array-electrode", what, "", None, TABLE,
                         "no conductor of the run will do")  # fmt: skip
    least = nec.electrode_conductor(run.wire.size, run.wire.laying.metal, "copper",  # type: ignore[arg-type]
                                    said.array_electrode)  # fmt: skip
    size = max(least, BARE, key=lambda s: float(circular_mils(s)))
    extra = "" if size == least else (f"; {size} is taken, which needs no protection where "
                                      "nothing can damage it (250.64(B), from memory)")  # fmt: skip
    return Electrode("array-electrode", what, size, said.array_electrode_wire,
                     "NFPA 70 690.47(B), 250.66", f"{least} at least{extra}; tied into the "
                     "electrodes of the building by the equipment grounding conductor, which it "
                     "never replaces")  # fmt: skip


def electrode_checks(plan: Plan, run: Line, found: tuple[Electrode, ...]) -> list[Check]:
    """A check for each: the size there is, or what it has to be at least."""
    return [_check(plan, run, e) for e in found]


_SUBJECTS = {"building": BUILDING, "system": SYSTEM, "array-electrode": ARRAY}


def _check(plan: Plan, run: Line, e: Electrode) -> Check:
    id, subject, said = f"grounding.{e.id}", _SUBJECTS[e.id], section_of(plan).grounding
    if e.id == "system" and said.system == "functional":
        return Check(id, subject, WIRE, Status.PASS, clause=e.clause, family="grounding",
                     certainty=Certainty.SECOND_HAND, note=e.words, rule=True)  # fmt: skip
    if not e.size:
        return missing(id, subject, WIRE, e.words)
    if e.id == "array-electrode":
        return _compared(id, subject, e, _least_own(plan, run), e.size, "the wire on the list")
    there = said.electrode_conductor
    if there is None:
        return missing(id, subject, WIRE, f"{e.size} copper at least ({e.clause}), {e.words}; look "
                       "what is there, give wiring.grounding.electrode_conductor")  # fmt: skip
    return _compared(id, subject, e, e.size, there, "wiring.grounding.electrode_conductor")


def _least_own(plan: Plan, run: Line) -> str:
    wire = run.wire
    return nec.electrode_conductor(wire.size, wire.laying.metal, "copper",  # type: ignore[arg-type]
                                   section_of(plan).grounding.array_electrode)  # fmt: skip


def _compared(id: str, subject: str, e: Electrode, least: str, there: str, field: str) -> Check:
    sure = load("nec", "electrode").certainty

    def run() -> Array:
        return area_ratio(
            given(f"{e.clause} ({least} copper)", "A_r [m**2]", sizing.area_of(least), sure),
            given(f"{field} ({there} copper)", "A_a [m**2]", sizing.area_of(there),
                  Certainty.PLAN),
        )  # fmt: skip

    return case(id, subject, WIRE, run, "area_ratio", e.clause,
                f"{there} copper against {least} at least: {e.words}", rule=True)  # fmt: skip
