"""Truing in words: why not to pour, what to move, what to measure again, what to sign."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from plumbrail.papers.paragraphs import Para
from plumbrail.papers.tables import Table
from plumbrail.papers.truing_marks import small, turn
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import figures, later, say, tell
from plumbrail.truing.families import label
from plumbrail.truing.parts import Built, Gate, Mending, Outcome, Ready, Suspicion, Verdict

VERDICTS = {
    Ready.READY: later("READY TO POUR"), Ready.NOT_READY: later("NOT READY TO POUR"),
    Ready.TOO_FEW: later("NOT ENOUGH READINGS"),
}  # fmt: skip
SIGNS = {
    Ready.READY: Verdict.INSIDE, Ready.NOT_READY: Verdict.OUTSIDE, Ready.TOO_FEW: Verdict.UNSURE,
}  # fmt: skip
_OUTCOMES = {
    Outcome.NONE_NEEDED: later("No moves needed."),
    Outcome.MOVES: later("Make them in this order; tick each when it is done."),
    Outcome.COARSE: later("These moves do it on paper, but the readings are too uncertain to "
                          "promise that they suffice: take better readings first."),
    Outcome.IMPOSSIBLE: later("Nothing that may still be moved brings everything inside tolerance. "
                              "What would have to change is marked !: it was thought fixed. Decide "
                              "before touching it."),
}  # fmt: skip
_HOPELESS = later(
    "Nothing that may still be moved brings everything inside tolerance, and no change of what was "
    "thought fixed was found that does."
)
_BEFORE = 3.5
_HEADING = 3.4


def _heading(text: str) -> Para:
    return Para(text, _HEADING, bold=True, before=5.0, together=True)


def to_do(
    built: Built, mending: Mending, gate: Gate, suspicions: Sequence[Suspicion]
) -> list[Para]:
    """Reasons, doubtful readings, moves in their order, and what to measure again."""
    found = [_heading(say("What was found" if gate.ready is Ready.READY else "Why"))]
    reasons = gate.reasons or (say("No reason was given."),)
    found += [Para(tell(r), 2.8, verdict=_sign(r), bullet=True) for r in reasons]
    if suspicions:
        found.append(_heading(say("Readings that look wrong: look at these first")))
        found += [Para(tell(s.words), 2.8, tick=True, before=2.4) for s in suspicions]
    found += _moves(built, mending)
    if mending.remeasure:
        found.append(_heading(say("Then measure again")))
        found += [Para(tell(r), 2.8, tick=True, before=2.4) for r in mending.remeasure]
    return found


def _moves(built: Built, mending: Mending) -> list[Para]:
    hopeless = mending.outcome is Outcome.IMPOSSIBLE and not mending.moves
    words = say(_HOPELESS if hopeless else _OUTCOMES[mending.outcome])
    found = [_heading(say("Moves")), Para(words, 2.5, together=bool(mending.moves))]
    if mending.moves:
        found.append(Para(_proof(mending), 2.5, together=True))
    for k, move in enumerate(mending.moves, 1):
        words = f"{tell(move.words)} ! {say('thought fixed')}" if move.fixed else tell(move.words)
        last = k == len(mending.moves)
        found.append(Para(words, 3.2, True, _BEFORE, tick=True, number=str(k), together=not last))
    for i in mending.stuck:
        words = say("No allowed move helps: {subject}, {what}.", subject=tell(built.subject[i]),
                    what=tell(built.what[i]))  # fmt: skip
        found.append(Para(words, 2.5, verdict=Verdict.OUTSIDE))
    return found


def _sign(reason: str) -> Verdict | None:
    """The sign of the verdict that a reason begins with."""
    return next((v for v in Verdict if reason.startswith(v.value)), None)


def _proof(mending: Mending) -> str:
    sure = say("Room left: {aim}; confidence {share} %.", aim=tell(mending.aim),
               share=figures(f"{100 * mending.confidence:g}"))  # fmt: skip
    if mending.proven:
        return f"{say('No fewer moves do it: proven.')} {sure}"
    few = say("Not proven the fewest: at most {share} % of them may be needless.",
              share=f"{100 * mending.gap:.0f}")  # fmt: skip
    return f"{few} {sure}"


def to_sign(gate: Gate) -> list[Para]:
    """Hold points with lines for name and date."""
    found = [
        Para(say("Hold points"), _HEADING, True, 0.0, together=True),
        Para(say("Looked at and signed by a person, each at its time; plumbrail cannot see "
                 "them."), 2.5, together=True),
    ]  # fmt: skip
    points = [tell(p) for p in gate.hold_points]
    return found + [Para(p, 2.5, before=2.4, tick=True, sign_off=True) for p in points]


def cautions(gate: Gate) -> list[Para]:
    """Cautions, each with a sign."""
    found = [Para(say("Cautions"), _HEADING, True, 4.0, together=True)]
    return found + [Para(tell(c), 2.5, bullet=True) for c in gate.cautions]


def values_table(built: Built, mending: Mending, job: JobInfo) -> tuple[Table, int]:
    """Every value that is not inside, and how many are."""
    order = (Verdict.OUTSIDE, Verdict.UNSURE, Verdict.UNMEASURED, Verdict.UNSTATED)
    wanted = [i for v in order for i in np.flatnonzero(built.has(v)).tolist()]
    rows = tuple((str(k), *_value_row(built, mending, job, i)) for k, i in enumerate(wanted, 1))
    heads = (say("No."), say("What"), say("Where"), say("Now"), say("Least"), say("Most"),
             say("Sure to ±"), say("After moves"), say("Verdict"))  # fmt: skip
    title = say("Values that are not inside tolerance")
    return Table(title, heads, rows), int(built.has(Verdict.INSIDE).sum())


def _value_row(built: Built, mending: Mending, job: JobInfo, i: int) -> tuple[str, ...]:
    angle, signed = bool(built.angle[i]), built.family[i] != "tilt"
    name = label(built.ids[i])

    def shown(value: float, sign: bool = signed) -> str:
        if not np.isfinite(value):
            return "–"
        return turn(value, sign) if angle else small(job, value, sign)

    def told(value: float) -> str:
        words = shown(abs(value) if signed else value, False)
        if not signed or not words.strip("0.,°–"):
            return words
        way = name.family.more if value > 0 else name.family.less
        return f"{words} {tell(way.removeprefix('to the '))}"

    known = built.verdict[i] is not Verdict.UNMEASURED and bool(np.isfinite(built.sd[i]))
    sure = float(built.factor * built.sd[i])
    after = float(mending.after[i]) if known and mending.moves and len(mending.after) else np.nan
    return (
        tell(name.title), tell(name.place), told(float(built.value[i])) if known else "–",
        shown(float(built.low[i])), shown(float(built.high[i])),
        shown(sure, False) if known else "–", told(after), tell(built.verdict[i].value),
    )  # fmt: skip
