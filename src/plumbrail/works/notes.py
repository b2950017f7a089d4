"""What is to be known of a plan of works: what was assumed, what can hurt, what was not counted."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from plumbrail.plan.models import Plan
from plumbrail.works.calendar import Calendar
from plumbrail.works.changeover import Change
from plumbrail.works.maturity import COLD, HOT
from plumbrail.works.parts import Network, Schedule

SAFE_ORDER = (
    "Plan the day: fair weather, two people, nobody else at the switches; rubber gloves, face "
    "shield and a meter rated above the largest voltage on the sign.",
    "Stop the load: switch the controller or inverter off by its own switch, so that no current "
    "flows. Wait as its maker says.",
    "Open the direct-current disconnect of the string. Never pull a connector, fuse or link under "
    "load: an arc of direct current does not go out by itself.",
    "Lock it out and tag it, on both sides: array and battery each feed a part.",
    "Cover the modules with something no light passes, or do it before sunrise: the string still "
    "has its open-circuit voltage, whatever the switch says.",
    "Prove dead: meter on a known live source, then plus to minus, plus to ground, minus to "
    "ground, then on the known source again. Clamp meter: no current.",
    "Only now unplug, from the ends inward. Cap both ends at once, mark string, plus and minus.",
    "Take modules down one by one; bond and grounding of what stays are never opened by it.",
    "Before a string is landed again: polarity and open-circuit voltage of every string on its "
    "own, against the sheet. One reversed string on a common box is a fire.",
    "Close in the reverse order: fuses, disconnect, controller. Write down time and readings.",
)
"""Usual practice, our own words; the makers' instructions and the code in force go before it."""
DEFER = (
    "Disconnecting and connecting is work for a qualified person. Permits, the makers' "
    "instructions and the local code decide; this list is an aid to them, not an approval."
)
_COLD = (
    "Cold: the mean day of {months} is below 40 °F (4.4 °C). Keep ground and forms free of frost, "
    "warm mix, blankets; concrete that freezes before it holds about 500 psi (3.5 MPa) is lost."
)
_HOT = (
    "Heat: in {months} afternoons pass 90 °F (32 °C). Pour in the morning, wet the hole, keep the "
    "top wet; water for the crew, shade, rest."
)
_ALWAYS = (
    "Open holes are covered or fenced every evening. Holes and trench are dug only after all "
    "owners of buried services have answered and marked.",
    "Fresh concrete burns skin and eyes: gloves, boots, goggles, water at hand. Bags: lift with "
    "two, or half.",
    "Nobody stands under a beam that is lifted, nor inside the frame before its braces are on.",
    "Modules are sails: none is carried in wind that lifts its edge.",
)
_MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September",
           "October", "November", "December")  # fmt: skip


@dataclass(frozen=True)
class Said:
    """In words."""

    notes: tuple[str, ...]
    cautions: tuple[str, ...]
    unchecked: tuple[str, ...]


def notes_of(
    plan: Plan, cal: Calendar, net: Network, found: Schedule, change: Change | None, wired: bool
) -> Said:
    """Notes, cautions, and what was not counted."""
    works = plan.works
    assert works is not None
    notes = [
        "Hours by common practice, no published source, where works.rates states none. Work goes "
        "faster in proportion with people, up to the number that each task can use.",
        "Curing by Nurse-Saul maturity above -10 °C (14 °F), with the mean air of the month for "
        "the concrete; a day counts from the hour of the pour.",
        "An inspection comes so many of the inspector's working days after its work is ready. Call "
        "ahead of it and nobody waits.",
    ]
    unchecked: list[str] = []
    if works.weather_days is None:
        unchecked.append("Days lost to weather: none counted, works.weather_days is not stated.")
    else:
        lost = int(cal.lost[: cal.day_of_end(found.finish) + 1].sum())
        notes.append(f"{lost} working days are allowed for weather, spread evenly: which days they "
                     "are nobody knows.")  # fmt: skip
    if not wired:
        unchecked.append("Wiring: the plan has no [wiring] section, so trench, conduit and boxes "
                         "are not in the schedule; each row of modules counts as one "
                         "string.")  # fmt: skip
    if works.helper and net.crew == 1:
        notes.append("What takes two people needs the helper on those days; the list marks them.")
    if change is not None:
        notes += _of_change(change)
        unchecked += _not_of_change(change)
    return Said(tuple(notes), _cautions(net, cal, found), tuple(unchecked))


def _of_change(change: Change) -> list[str]:
    found = [
        "Bought modules first, then modules of the old array as they come down; a new string is "
        "mounted when there are modules for all of it.",
        "A string disconnected gives nothing on that day, nor do the others of its controller; a "
        "new string counts from the day after its test.",
    ]
    if change.unit == "Wh":
        found.append("Energy by the mean day of the season; the old array by its own tilt and "
                     "azimuth, without shade at its place.")  # fmt: skip
    return found


def _not_of_change(change: Change) -> list[str]:
    found: list[str] = []
    if change.unit != "Wh":
        found.append("Energy: without [energy] and pmax of the module only module-days are "
                     "counted; write [energy.weather] with file, or sun and air.")  # fmt: skip
    if change.battery is None:
        found.append("Battery: no reserve is kept, old_array.reserve is not stated.")
    return found


def _cautions(net: Network, cal: Calendar, found: Schedule) -> tuple[str, ...]:
    pours = [i for i, t in enumerate(net.tasks) if t.chapter == "concrete" and found.people[i]]
    days = sorted({cal.day_of_start(int(found.start[i])) for i in pours})
    said = list(_ALWAYS)
    for limit, words, colder in ((COLD, _COLD, True), (HOT, _HOT, False)):
        at = [d for d in days if (cal.air[d] < limit if colder else cal.air[d] >= limit)]
        months = list(dict.fromkeys(_MONTHS[cal.date(d).month - 1] for d in at))
        if months:
            said.append(words.format(months=", ".join(months)))
    return tuple(said)


def cure_days(cal: Calendar, maturity: float, day: int) -> float:
    """Days [d] until concrete placed at noon of a day has its maturity."""
    from plumbrail.works.maturity import cured, gained

    clock = np.array([24.0 * day + 12.0])
    return float((cured(clock, maturity, gained(cal.air))[0] - clock[0]) / 24.0)
