"""What stands beside the one-line diagram: the values of every numbered part."""

from __future__ import annotations

from math import isfinite

from plumbrail.papers.paragraphs import Para
from plumbrail.papers.wire_facts import (
    Task,
    amps,
    branches,
    conduit_words,
    fused,
    percent,
    signs_at,
    size_words,
    volts,
)
from plumbrail.papers.wire_tables import cover_words, electrode_size
from plumbrail.papers.words import figures, later, say, say_many, tell
from plumbrail.units import show
from plumbrail.wiring.disconnect_checks import poles_needed
from plumbrail.wiring.sheet import sheet_of

HEADS = {"1": later("Strings"), "2": later("Boxes"), "3": later("Run"), "4": later("Disconnect"),
         "5": later("Equipment"), "6": later("Grounding")}  # fmt: skip


def run_words(task: Task) -> str:
    """Conductors of a run, short enough to stand on its line."""
    c = task.run
    if not c.size:
        return say("wire: none will do")
    each = f" {say('each')}" if c.count > 1 else ""
    return f"2 x {c.size} {c.insulation}{each}".replace("mm2", "mm²")


def paragraphs(task: Task) -> list[Para]:
    """A paragraph for each number."""
    texts = {"1": _strings(task), "2": _boxes(task), "3": _run(task), "4": _disconnect(task),
             "5": _equipment(task), "6": _grounding(task)}  # fmt: skip
    return [Para(f"{say(HEADS[n])}. {text}", number=n, before=0.9) for n, text in texts.items()]


def _strings(task: Task) -> str:
    g, c, sheet = task.wired.chosen, task.string, sheet_of(task.plan)
    return say(
        "{n} of {per} modules; one line stands for both wires. Open circuit {open} at 25 °C, "
        "{cold} on the coldest morning. Working {work} ({hot} on the hottest day) at {current}. "
        "Short circuit {short}, by the code {code}. Wire: {wire}, at most {length} one way.{signs}",
        n=g.strings, per=g.per_string, open=volts(g.per_string * sheet.voc), cold=volts(g.cold),
        work=volts(c.volts), hot=volts(g.hot), current=amps(c.i_op), short=amps(c.i_sc),
        code=amps(c.i_max), wire=size_words(c), length=task.job.said(c.length),
        signs=_signs(task, "strings"),
    )  # fmt: skip


def _boxes(task: Task) -> str:
    most = max(len(b.strings) for b in branches(task.wired))
    poles = say("one in each pole" if task.section.basis.code == "IEC" else "one for each string")
    rated = say(", {poles}, made for direct current of at least {volts}", poles=poles,
                volts=volts(_cold(task)))  # fmt: skip
    return say(
        "{n} outdoors, {height} above the ground, for {strings} on a run. String fuse: "
        "{device}{rated}.{signs}",
        n=len(task.wired.boxes), height=task.job.said(task.section.combiners.height),
        strings=say_many("{n} string", "{n} strings", most), device=tell(task.string.device),
        rated=rated if fused(task.string) else "", signs=_signs(task, "boxes"),
    )  # fmt: skip


def _cold(task: Task) -> float:
    return task.wired.chosen.cold


def _run(task: Task) -> str:
    c, job = task.run, task.job
    pipes = []
    for p in task.wired.conduits:
        cover = (
            ""
            if p.cover is None
            else say(", cover at least {cover}", cover=cover_words(job, p).replace("' ", "'\u00a0"))
        )
        words = f"{tell(p.what)} {conduit_words(task.wired, p)}, {job.said(p.length)}{cover}"
        if p.id in ("run.conduit", "riser.conduit") or len(task.wired.boxes) == 1:
            pipes.append(words)
    many = f"{say('{n} runs, each', n=c.count)} " if c.count > 1 else ""
    return say(
        "{many}{wire}, {length} one way. {current} at work, by the code {code}; {carries}. "
        "Conduit: {pipes}. Lost in all wires: {lost} of the power at full sun.",
        many=many, wire=size_words(c), length=job.said(c.length), current=amps(c.i_op),
        code=amps(c.i_max), carries=_carries(task), pipes="; ".join(pipes),
        lost=percent(task.wired.share_lost),
    )  # fmt: skip


def _carries(task: Task) -> str:
    if not isfinite(task.run.ampacity):
        return say("what it carries there is not checked")
    return say("it carries {current} there", current=amps(task.run.ampacity))


def _disconnect(task: Task) -> str:
    c = task.run
    device = tell(c.device)
    poles = say("both wires of a run" if poles_needed(task.plan) > 1
                else "the wire of a run that is not grounded")  # fmt: skip
    return say(
        "For direct current, opens {poles} at once, made to break the load, lockable: at least "
        "{current} and {volts}; its fault rating is asked of its maker. Within sight of the "
        "equipment and readily reached; its place is not in the plan and not checked. Beside it, "
        "{device}.{signs}", poles=poles, current=amps(c.i_max), volts=volts(_cold(task)),
        device=device if fused(c) else say("device of the run: {device}", device=device),
        signs=_signs(task, "disconnect"),
    )  # fmt: skip


def _equipment(task: Task) -> str:
    e = task.section.equipment
    found = [say(
        "{name}, {kind}: stands {volts}, works from {low} to {high}.", name=e.name,
        kind=tell(e.kind), volts=volts(e.max_voltage), low=volts(e.working[0]),
        high=volts(e.working[1]),
    )]  # fmt: skip
    if e.max_short_circuit is not None:
        found.append(say("Stands {current} of short circuit on an input.",
                         current=amps(e.max_short_circuit)))  # fmt: skip
    if e.max_power is not None:
        found.append(say("Turns over {power}.", power=figures(show(e.max_power, "power",
                                                                   "metric"))))  # fmt: skip
    found.append(say(
        "Its battery side is not part of this plan and not checked." if e.kind == "controller"
        else "Its alternating-current side is not part of this plan and not checked."
    ))  # fmt: skip
    return f"{' '.join(found)}{_signs(task, 'battery', 'building')}"


def _grounding(task: Task) -> str:
    size = task.wired.array_ground
    if task.section.basis.code == "IEC":
        return say("Every rail, module frame and box bonded. Sizes and electrodes: not checked.")
    return say(
        "Every rail, module frame and box to one conductor of {size} copper, which follows the run "
        "to the equipment and the electrode system of the building. An electrode at the array is "
        "allowed, not required; if set, it is tied to that system. Pipe legs in concrete are no "
        "electrode. Electrode conductor {wires}.", size=size, wires=_electrodes(task),
    )  # fmt: skip


def _electrodes(task: Task) -> str:
    """Sizes of the conductors to electrodes, or what is not known."""
    return "; ".join(
        f"{tell(e.what)}: {electrode_size(e)} ({e.clause})" for e in task.wired.electrodes
    )


def _signs(task: Task, *stations: str) -> str:
    found = signs_at(task.wired, *stations)
    return f" {say('Signs: {numbers}.', numbers=found)}" if found else ""
