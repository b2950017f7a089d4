"""Checks of the trench, each with its steps where it has numbers."""

from __future__ import annotations

from collections.abc import Callable

from plumbrail.check import ALMOST_ONE, Case, Check, Status, explained, not_checked
from plumbrail.plan.models import Plan, Trench
from plumbrail.site.grounds import Grounds
from plumbrail.trace import Certainty, given
from plumbrail.trench import legs, pulling
from plumbrail.trench.parts import Crossing, Leg, Profile, Wires
from plumbrail.trench.planar import Array
from plumbrail.trench.wires import Cable
from plumbrail.units import show

ROUTE, FAMILY = "the trench", "trench"
JAM = (2.8, 3.2)


def case(
    id: str, subject: str, title: str, run: Callable[[], Array], step: str, clause: str,
    note: str = "", rule: bool = False,
) -> Check:  # fmt: skip
    """A check with a ratio."""
    return explained(Case(id, subject, title, FAMILY, float(run()), "", run, step, clause, note,
                          rule))  # fmt: skip


def _open(id: str, subject: str, title: str, why: str) -> Check:
    return not_checked(id, subject, title, FAMILY, why)


def place_checks(
    plan: Plan, trench: Trench, found: Grounds, guessed: tuple[str, ...], length: float,
    wires: Wires,
) -> list[Check]:  # fmt: skip
    """What is known of the place, and the length that the wires were sized for."""
    checks = list[Check]()
    if found.locate is None:
        checks.append(
            _open(
                "trench.located",
                ROUTE,
                "buried services located",
                "call before you dig and give site.locate: nobody has marked anything",
            )
        )
    elif not found.locate.own_lines:
        checks.append(_open("trench.located", ROUTE, "own lines located",
                            "no locate centre marks the owner's own lines: find them and set "
                            "site.locate.own_lines"))  # fmt: skip
    if found.boundary is None:
        checks.append(
            _open(
                "trench.boundary",
                ROUTE,
                "inside the boundary",
                "give site.boundary: where the property ends is not in the plan",
            )
        )
    elif found.boundary.known_by in ("fence", "map"):
        checks.append(
            _open(
                "trench.boundary",
                ROUTE,
                "inside the boundary",
                f"a {found.boundary.known_by} is not the boundary: find the markers",
            )
        )
    checks += [
        _open(f"trench.roots.{k + 1}", f"roots of {name}", "root zone",
              "the crown stands for it: measure the stem 4 ft 6 in above the ground and give trunk")
        for k, name in enumerate(guessed)
    ]  # fmt: skip

    def longer() -> Array:
        own = given("route, with both risers", "L_r [m]", length, Certainty.DERIVED)
        planned = given("wiring.run.length", "L_p [m]", wires.planned, Certainty.DERIVED)
        return pulling.length_ratio(own, planned)

    checks.append(case("trench.length", "the run to the equipment", "length", longer,
                       "length_ratio", "wiring.run.length",
                       "the wires were sized for that length", True))  # fmt: skip
    return checks


def depth_checks(p: Profile, passed: tuple[Crossing, ...], plan: Plan) -> list[Check]:
    """Cover as drawn, and the gap at every service."""
    k = int((p.cover - p.top).argmax())

    def cover() -> Array:
        asked = given("NFPA 70 Table 300.5(A)", "c_r [m]", p.cover[k], Certainty.SECOND_HAND)
        return pulling.cover_ratio(asked, given("profile", "c [m]", p.top[k], Certainty.DERIVED))

    checks = [case("trench.cover", ROUTE, "cover, as drawn", cover, "cover_ratio",
                   "NFPA 70 Table 300.5(A)", _cover_note(p, k, plan.job.units), True)]  # fmt: skip
    for c in passed:
        subject = f"{c.number}, {c.service}"
        if not c.sure:
            checks.append(_open(f"{c.number}.place", subject, "its place",
                                "known from paper or memory only: have it located"))  # fmt: skip
        if c.gap is None:
            checks.append(
                _open(
                    f"{c.number}.gap",
                    subject,
                    "gap to the conduit",
                    "its depth is not known: dig it up by hand and measure",
                )
            )
        else:
            checks.append(_gap(c, subject))
    return checks


def _cover_note(p: Profile, k: int, units: str) -> str:
    """What is short where it is shortest, before what is to be done about it."""
    said = "measure it before the trench is closed"
    short = float(p.cover[k] - p.top[k])
    if short <= (ALMOST_ONE - 1.0) * float(p.top[k]):
        return said
    missing, at, there, asked = (
        show(v, "length", units)
        for v in (short, float(p.at[k]), float(p.top[k]), float(p.cover[k]))
    )
    return (f"{missing} of cover are missing {at} along the route: {there} there, {asked} asked "
            f"for. Dig deeper there, and {said}")  # fmt: skip


def _gap(c: Crossing, subject: str) -> Check:
    def run() -> Array:
        asked = given("trench.service_gap", "g_r [m]", c.asked, Certainty.PRACTICE)
        return pulling.gap_ratio(asked, given("profile", "g [m]", float(c.gap or 0.0),
                                              Certainty.DERIVED))  # fmt: skip

    note = "the conduit passes " + ("over it" if c.over else "under it")
    if not c.width:
        note += "; its width is not known and counts as nothing"
    return case(f"{c.number}.gap", subject, "gap to the conduit", run, "gap_ratio",
                "trench.service_gap", note, True)  # fmt: skip


def pull_checks(
    found: tuple[Leg, ...], cable: Cable | str, trench: Trench, fill: float, plan: Plan
) -> list[Check]:
    """Bends, pull, pressure and jamming."""
    checks = list[Check]()
    for leg in found:
        subject = f"{leg.name}, {leg.start} to {leg.end}"

        def bends(leg: Leg = leg) -> Array:
            own = given("all bends of the leg", "theta [rad]", leg.bends, Certainty.DERIVED)
            turn = given("one full turn", "theta_a [rad]", legs.TURN, Certainty.SECOND_HAND)
            return pulling.bend_ratio(own, turn)

        checks.append(case(f"{leg.name}.bends", subject, "bends between pulling points", bends,
                           "bend_ratio", "NFPA 70 352.26, 344.26", "", True))  # fmt: skip
        if isinstance(cable, str):
            checks.append(_open(f"{leg.name}.tension", subject, "pull on the wires", cable))
            checks.append(_open(f"{leg.name}.sidewall", subject, "pressure in bends", cable))
        else:
            checks += _strength(leg, subject, cable, trench, plan)
    if not isinstance(cable, str) and cable.count == 3:
        checks.append(_jam(cable))
    return checks


def _strength(leg: Leg, subject: str, cable: Cable, trench: Trench, plan: Plan) -> list[Check]:
    toward = leg.directions[leg.better].toward
    other = leg.directions[1 - leg.better]
    worst = show(float(other.tension.max()), "force", plan.job.units)
    note = f"pulled toward the {toward}; the other way {worst}"

    def tension() -> Array:
        found = legs.walk(cable, leg.elements, toward)
        return pulling.tension_ratio(legs.most(found.tension), cable.limit())

    def pressure() -> Array:
        found = legs.walk(cable, leg.elements, toward)
        allowed = given("trench.pull.sidewall", "P_a [N/m]", trench.pull.sidewall,
                        Certainty.SECOND_HAND)  # fmt: skip
        return pulling.pressure_ratio(legs.most(found.sidewall), allowed)

    return [
        case(f"{leg.name}.tension", subject, "pull on the wires", tension, "tension_ratio",
             "pulling guides of cable makers", note),
        case(f"{leg.name}.sidewall", subject, "pressure in bends", pressure, "pressure_ratio",
             "pulling guides of cable makers", note),
    ]  # fmt: skip


def _jam(cable: Cable) -> Check:
    ratio = float(cable.jam())
    ok = not JAM[0] < ratio < JAM[1]
    words = (f"{ratio:.2f}, by the mean of the three wires; they wedge side by side in a bend "
             f"from {JAM[0]} to {JAM[1]}")  # fmt: skip
    return Check("pull.jam", "three wires in the conduit", "jamming",
                 Status.PASS if ok else Status.FAIL, clause="pulling guides of cable makers",
                 certainty=Certainty.MEMORY, note=words, family=FAMILY, rule=True)  # fmt: skip
