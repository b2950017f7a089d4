"""Truing in words: why not to pour, what to move, what to measure again, what to sign."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from plumbrail.papers.paragraphs import Para
from plumbrail.papers.tables import Table
from plumbrail.papers.truing_marks import small, turn
from plumbrail.papers.wording import JobInfo
from plumbrail.truing.families import label
from plumbrail.truing.parts import Built, Gate, Mending, Outcome, Ready, Suspicion, Verdict

VERDICTS = {
    Ready.READY: "READY TO POUR", Ready.NOT_READY: "NOT READY TO POUR",
    Ready.TOO_FEW: "NOT ENOUGH READINGS",
}  # fmt: skip
SIGNS = {
    Ready.READY: Verdict.INSIDE, Ready.NOT_READY: Verdict.OUTSIDE, Ready.TOO_FEW: Verdict.UNSURE,
}  # fmt: skip
_OUTCOMES = {
    Outcome.NONE_NEEDED: "No moves needed.",
    Outcome.MOVES: "Make them in this order; tick each when it is done.",
    Outcome.COARSE: "These moves do it on paper, but the readings are too uncertain to promise "
    "that they suffice: take better readings first.",
    Outcome.IMPOSSIBLE: "Nothing that may still be moved brings everything inside tolerance. What "
    "would have to change is marked !: it was thought fixed. Decide before touching it.",
}
_HOPELESS = (
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
    found = [_heading("Why" if gate.ready is not Ready.READY else "What was found")]
    reasons = gate.reasons or ("No reason was given.",)
    found += [Para(r, 2.8, verdict=_sign(r), bullet=True) for r in reasons]
    if suspicions:
        found.append(_heading("Readings that look wrong: look at these first"))
        found += [Para(s.words, 2.8, tick=True, before=2.4) for s in suspicions]
    found += _moves(built, mending)
    if mending.remeasure:
        found.append(_heading("Then measure again"))
        found += [Para(r, 2.8, tick=True, before=2.4) for r in mending.remeasure]
    return found


def _moves(built: Built, mending: Mending) -> list[Para]:
    hopeless = mending.outcome is Outcome.IMPOSSIBLE and not mending.moves
    words = _HOPELESS if hopeless else _OUTCOMES[mending.outcome]
    found = [_heading("Moves"), Para(words, 2.5, together=bool(mending.moves))]
    if mending.moves:
        found.append(Para(_proof(mending), 2.5, together=True))
    for k, move in enumerate(mending.moves, 1):
        words = f"{move.words}{' ! thought fixed' * move.fixed}"
        last = k == len(mending.moves)
        found.append(Para(words, 3.2, True, _BEFORE, tick=True, number=str(k), together=not last))
    for i in mending.stuck:
        words = f"No allowed move helps: {built.subject[i]}, {built.what[i]}."
        found.append(Para(words, 2.5, verdict=Verdict.OUTSIDE))
    return found


def _sign(reason: str) -> Verdict | None:
    """The sign of the verdict that a reason begins with."""
    return next((v for v in Verdict if reason.startswith(v.value)), None)


def _proof(mending: Mending) -> str:
    sure = f"Room left: {mending.aim}; confidence {100 * mending.confidence:g} %."
    if mending.proven:
        return f"No fewer moves do it: proven. {sure}"
    return (
        f"Not proven the fewest: at most {100 * mending.gap:.0f} % of them may be needless. {sure}"
    )


def to_sign(gate: Gate) -> list[Para]:
    """Hold points with lines for name and date."""
    found = [
        Para("Hold points", _HEADING, True, 0.0, together=True),
        Para("Looked at and signed by a person, each at its time; plumbrail cannot see "
             "them.", 2.5, together=True),
    ]  # fmt: skip
    return found + [Para(p, 2.5, before=2.4, tick=True, sign_off=True) for p in gate.hold_points]


def cautions(gate: Gate) -> list[Para]:
    """Cautions, each with a sign."""
    found = [Para("Cautions", _HEADING, True, 4.0, together=True)]
    return found + [Para(c, 2.5, bullet=True) for c in gate.cautions]


def values_table(built: Built, mending: Mending, job: JobInfo) -> tuple[Table, int]:
    """Every value that is not inside, and how many are."""
    order = (Verdict.OUTSIDE, Verdict.UNSURE, Verdict.UNMEASURED, Verdict.UNSTATED)
    wanted = [i for v in order for i in np.flatnonzero(built.has(v)).tolist()]
    rows = tuple((str(k), *_value_row(built, mending, job, i)) for k, i in enumerate(wanted, 1))
    heads = ("No.", "What", "Where", "Now", "Least", "Most", "Sure to ±", "After moves", "Verdict")
    return Table("Values that are not inside tolerance", heads, rows), int(
        built.has(Verdict.INSIDE).sum()
    )


def _value_row(built: Built, mending: Mending, job: JobInfo, i: int) -> tuple[str, ...]:
    angle, signed = bool(built.angle[i]), built.family[i] != "tilt"
    name = label(built.ids[i])

    def shown(value: float, sign: bool = signed) -> str:
        if not np.isfinite(value):
            return "–"
        return turn(value, sign) if angle else small(job, value, sign)

    def told(value: float) -> str:
        words = shown(value, False)
        if not signed or not words.strip("0.°–"):
            return words
        way = name.family.more if value > 0 else name.family.less
        return f"{words} {way.removeprefix('to the ')}"

    known = built.verdict[i] is not Verdict.UNMEASURED and bool(np.isfinite(built.sd[i]))
    sure = float(built.factor * built.sd[i])
    after = float(mending.after[i]) if known and mending.moves and len(mending.after) else np.nan
    return (
        name.title, name.place, told(float(built.value[i])) if known else "–",
        shown(float(built.low[i])), shown(float(built.high[i])),
        shown(sure, False) if known else "–", told(after), str(built.verdict[i].value),
    )  # fmt: skip
