"""What stands beside the one-line diagram: the values of every numbered part."""

from __future__ import annotations

from math import isfinite

from plumbrail.papers.paragraphs import Para
from plumbrail.papers.wire_facts import (
    UNKNOWN,
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
from plumbrail.papers.wire_tables import cover_words
from plumbrail.units import show
from plumbrail.wiring.sheet import sheet_of

HEADS = {"1": "Strings", "2": "Boxes", "3": "Run", "4": "Disconnect", "5": "Equipment",
         "6": "Grounding"}  # fmt: skip


def run_words(task: Task) -> str:
    """Conductors of a run, short enough to stand on its line."""
    c = task.run
    if not c.size:
        return "wire: none will do"
    each = " each" if c.count > 1 else ""
    return f"2 x {c.size} {c.insulation}{each}".replace("mm2", "mm²")


def paragraphs(task: Task) -> list[Para]:
    """A paragraph for each number."""
    texts = {"1": _strings(task), "2": _boxes(task), "3": _run(task), "4": _disconnect(task),
             "5": _equipment(task), "6": _grounding(task)}  # fmt: skip
    return [Para(f"{HEADS[n]}. {text}", number=n, before=0.9) for n, text in texts.items()]


def _strings(task: Task) -> str:
    g, c, sheet = task.wired.chosen, task.string, sheet_of(task.plan)
    return (
        f"{g.strings} of {g.per_string} modules; one line stands for both wires. Open circuit "
        f"{volts(g.per_string * sheet.voc)} at 25 °C, {volts(g.cold)} on the coldest morning. "
        f"Working {volts(c.volts)} ({volts(g.hot)} on the hottest day) at {amps(c.i_op)}. "
        f"Short circuit {amps(c.i_sc)}, by the code {amps(c.i_max)}. Wire: {size_words(c)}, at "
        f"most {task.job.said(c.length)} one way.{_signs(task, 'strings')}"
    )


def _boxes(task: Task) -> str:
    most = max(len(b.strings) for b in branches(task.wired))
    device = task.string.device
    poles = "one in each pole" if task.section.basis.code == "IEC" else "one for each string"
    rated = f", {poles}, made for direct current of at least {volts(_cold(task))}"
    return (
        f"{len(task.wired.boxes)} outdoors, {task.job.said(task.section.combiners.height)} above "
        f"the ground, for {most} string{'s' if most > 1 else ''} on a run. String fuse: {device}"
        f"{rated if fused(task.string) else ''}.{_signs(task, 'boxes')}"
    )


def _cold(task: Task) -> float:
    return task.wired.chosen.cold


def _run(task: Task) -> str:
    c, job = task.run, task.job
    pipes = []
    for p in task.wired.conduits:
        cover = (
            f", cover at least {cover_words(job, p)}".replace("' ", "'\u00a0")
            if p.cover is not None
            else ""
        )
        words = f"{p.what} {conduit_words(task.wired, p)}, {job.said(p.length)}{cover}"
        if p.id in ("run.conduit", "riser.conduit") or len(task.wired.boxes) == 1:
            pipes.append(words)
    many = f"{c.count} runs, each " if c.count > 1 else ""
    lost = percent(task.wired.share_lost)
    return (
        f"{many}{size_words(c)}, {job.said(c.length)} one way. {amps(c.i_op)} at work, by the code "
        f"{amps(c.i_max)}; {_carries(task)}. Conduit: {'; '.join(pipes)}. Lost "
        f"in all wires: {lost} of the power at full sun."
    )


def _carries(task: Task) -> str:
    if not isfinite(task.run.ampacity):
        return f"what it carries there is {UNKNOWN}"
    return f"it carries {amps(task.run.ampacity)} there"


def _disconnect(task: Task) -> str:
    c = task.run
    device = c.device if fused(c) else f"device of the run: {c.device}"
    return (
        f"For direct current, lockable, made to break the load: at least {amps(c.i_max)} and "
        f"{volts(_cold(task))}. Within sight of the equipment and readily reached; its place is "
        f"not in the plan and {UNKNOWN}. Beside it, {device}.{_signs(task, 'disconnect')}"
    )


def _equipment(task: Task) -> str:
    e = task.section.equipment
    top = "" if e.max_short_circuit is None else (
        f" Stands {amps(e.max_short_circuit)} of short circuit on an input.")  # fmt: skip
    side = "battery" if e.kind == "controller" else "alternating-current"
    power = "" if e.max_power is None else f" Turns over {show(e.max_power, 'power', 'metric')}."
    return (
        f"{e.name}, {e.kind}: stands {volts(e.max_voltage)}, works from {volts(e.working[0])} to "
        f"{volts(e.working[1])}.{top}{power} Its {side} side is not part of this plan and "
        f"{UNKNOWN}.{_signs(task, 'battery', 'building')}"
    )


def _grounding(task: Task) -> str:
    size = task.run.grounding
    if task.section.basis.code == "IEC":
        return f"Every rail, module frame and box bonded. Sizes and electrodes: {UNKNOWN}."
    return (
        f"Every rail, module frame and box to one conductor of {size} copper, which follows the "
        f"run to the equipment and the electrode system of the building. An electrode at the array "
        "is allowed, not required; if set, it is tied to that system. Pipe legs in concrete are "
        "no electrode."
    )


def _signs(task: Task, *stations: str) -> str:
    found = signs_at(task.wired, *stations)
    return f" Signs: {found}." if found else ""
