"""Signs, order of work and what is not checked, as paragraphs. Steps are common practice."""

from __future__ import annotations

from plumbrail.check import Status
from plumbrail.papers.paragraphs import Para
from plumbrail.papers.wire_facts import (
    Task,
    amps,
    device_lacking,
    failing_words,
    fused,
    subject_words,
    volts,
)
from plumbrail.papers.words import say, tell
from plumbrail.wiring.sheet import sheet_of


def signs(task: Task) -> list[Para]:
    """Every sign with its place and exact values."""
    found = [Para(say("Signs"), 3.0, True, 2.4, together=True)]
    if not task.wired.placards:
        none = say("Not checked: no list of signs is at hand for this code.")
        return [*found, Para(none)]
    for i, p in enumerate(task.wired.placards):
        values = f" {say('Write in: {values}.', values=tell(p.values))}" if p.values else ""
        found.append(Para(say(
            "P{n}: {text}. Place: {place}.{values} ({clause})", n=i + 1, text=p.text,
            place=tell(p.where), values=values, clause=p.clause,
        ), tick=True))  # fmt: skip
    ours = say("The wording is ours; the code in force has the exact words and colours.")
    found.append(Para(ours))
    return found


def cautions(task: Task) -> list[Para]:
    """What can hurt whoever does the work."""
    return [
        Para(say("Direct current: read this first"), 3.0, True, 0.6, together=True),
        *(Para(tell(text), bullet=True) for text in task.wired.cautions),
    ]


def steps(task: Task) -> list[Para]:
    """The order of work, a box to tick for each step."""
    texts = [
        *_frame_first(task), *_wires(task), *_measure(task), *_switch_on(task)
    ]  # fmt: skip
    head = Para(say("Order of work"), 3.0, True, 2.4, together=True)
    return [head, *(Para(f"{i + 1}. {text}", tick=True) for i, text in enumerate(texts))]


def _frame_first(task: Task) -> list[str]:
    cold = task.wired.chosen.cold
    gear = say(
        "Have a meter, leads and gloves made for more than {volts} direct current and meter and "
        "leads above {twice}, which two strings give when one is crossed. Do not work alone.",
        volts=volts(cold), twice=volts(2 * cold),
    ) if len(task.wired.strings.ids) > 1 else say(
        "Have a meter, leads and gloves made for more than {volts} direct current. Do not work "
        "alone.", volts=volts(cold),
    )  # fmt: skip
    return [
        gear,
        say("Bond rails, module frames and boxes and run the grounding conductor before the first "
            "string is connected."),
        say("Lay the run. Lock the disconnect open, switch the equipment off, take out every fuse."
            if fused(task.string)
            else "Lay the run. Lock the disconnect open, switch the equipment off."),
    ]  # fmt: skip


def _wires(task: Task) -> list[str]:
    return [
        say("Cut the wires of the strings by the table. Mark both ends at once with string and "
            "polarity; black or white tape alone is no mark."),
        say("Put on connectors with the maker's own tool. Mate only connectors of one make and "
            "kind, or listed to mate; push until they click, then pull."),
        say("Connect the modules of a string but leave one joint in its middle open: the string "
            "is dead at both ends until you close it."),
        say("Clip wires to rails and beams, off sharp edges, with loops that let water drip off; "
            "both poles close together all the way."),
    ]  # fmt: skip


def _measure(task: Task) -> list[str]:
    per, voc = task.wired.chosen.per_string, sheet_of(task.plan).voc
    return [
        say("With the ends apart and covered, close the open joint of one string. It is live from "
            "now on."),
        say("Measure it at the box before it touches a terminal: about {open} at 25 °C, at most "
            "{cold} on the coldest morning. A minus sign means that the poles are crossed: open "
            "the joint, mend, measure again.", open=volts(per * voc),
            cold=volts(task.wired.chosen.cold)),
        say("All strings must agree within a few per cent. One that is lower by a module's {volts} "
            "has a module crossed or missed.", volts=volts(voc)),
        *_parallel(task),
    ]  # fmt: skip


def _parallel(task: Task) -> list[str]:
    if len(task.wired.strings.ids) == 1:
        return []
    if fused(task.string):
        return [say("With the negatives landed and the fuses still out, measure between any two "
                    "positives: near 0 V. Twice the string voltage means one is crossed. Only "
                    "then put in the fuses.")]  # fmt: skip
    if device_lacking(task.string):
        return [say("No fuse of a standard size suits these strings: do NOT put them in parallel.")]
    return [say(
        "Land one string. Before the next meets it, measure between their positives with the "
        "negatives landed: near 0 V. Twice the string voltage means one is crossed."
    )]  # fmt: skip


def _switch_on(task: Task) -> list[str]:
    first = say(
        "Connect battery and array in the order that the maker of the equipment gives."
        if task.section.equipment.kind == "controller" else
        "Switch on both sides in the order that the maker of the equipment gives."
    )  # fmt: skip
    return [
        say("Tighten every terminal with a torque tool to the maker's mark on it, which rules; "
            "without one by the table of the lists, or ask the maker. Torque is not checked here: "
            "mark each screw that is done."),
        say("Measure polarity and voltage at the disconnect and at the equipment's open terminals "
            "before anything is closed."),
        first,
        say("In sun, clamp every string: they should carry alike, up to {current}.",
            current=amps(task.string.i_op)),
        say("Hang the signs. Write the measured voltages and currents on this sheet."),
        say("To stop: equipment off, disconnect open and locked, then fuses or joints, with no "
            "current left on the clamp. Never part a connector under load."),
    ]  # fmt: skip


def unchecked(task: Task) -> list[Para]:
    """Checks that fail, and what somebody else has to look at."""
    found: list[Para] = []
    failed = [c for c in task.wired.checks if c.status is Status.FAIL]
    left = [c for c in task.wired.checks if c.status is Status.NOT_CHECKED]
    if failed:
        found.append(Para(say("Fails"), 3.0, True, 2.4, together=True))
    found += [Para(failing_words(c), bullet=True) for c in failed]
    found.append(Para(say("Not checked"), 3.0, True, 2.4, together=True))
    found += [Para(f"{subject_words(c)}: {tell(c.note)}", bullet=True) for c in left]
    torque = say("Torque of terminals: take it from the marking or the maker.")
    found.append(Para(torque, bullet=True))
    return found


def assumed(task: Task) -> list[Para]:
    """What was assumed, and what is to be kept in mind."""
    return [
        Para(say("To keep in mind"), 3.0, True, 2.4, together=True),
        *(Para(tell(note), bullet=True) for note in task.wired.notes),
    ]
