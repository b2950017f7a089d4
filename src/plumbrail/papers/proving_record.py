"""The hand-over record: verdict, what is suspected, every test, instruments, calendar."""

from __future__ import annotations

from plumbrail.notebook.proof_entries import Probe
from plumbrail.papers.furniture import drawing_area, finished, numbered
from plumbrail.papers.paragraphs import Para, in_columns
from plumbrail.papers.proving_boxes import BoxTable, drawn_on_pages
from plumbrail.papers.proving_facts import GROUPS, ProofFacts, judged_words, mark, size_words
from plumbrail.papers.sheet import Page, Sheet
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import figures, say, tell
from plumbrail.proving.calendar import DUTIES
from plumbrail.proving.care import budget
from plumbrail.proving.cautions import CAUTIONS
from plumbrail.proving.parts import Array, Outcome, Suspicion
from plumbrail.proving.wanted import Subject

MOST_OPEN = 24


def headline(facts: ProofFacts) -> str:
    """The verdict in one line."""
    p = facts.proved
    if p.complete:
        return say("COMPLETE: every test was made and passes")
    rows = 0 if facts.book is None else len({x.line for x in facts.book.problems})
    if rows:
        return say("NOT COMPLETE: {fails} fail, {unsure} too uncertain, {left} not measured; "
                   "rows that cannot be used: {rows}", fails=p.count(Outcome.FAIL),
                   unsure=p.count(Outcome.UNSURE), left=p.count(Outcome.UNMEASURED),
                   rows=rows)  # fmt: skip
    return say("NOT COMPLETE: {fails} fail, {unsure} too uncertain, {left} not measured",
               fails=p.count(Outcome.FAIL), unsure=p.count(Outcome.UNSURE),
               left=p.count(Outcome.UNMEASURED))  # fmt: skip


def record_sheets(facts: ProofFacts, page: Page) -> tuple[Sheet, ...]:
    """Sheets in order: verdict and suspicions, tests, calendar and instruments."""
    area = drawing_area(page)
    told = [Para(headline(facts), 4.5, True, 0.6), *suspected(facts), *still_open(facts),
            *recorded(facts), *signed(facts), *cautions()]  # fmt: skip
    first = [(say("Hand-over record"), i) for i in in_columns(told, area)]
    tests = [(say("Hand-over record: tests"), i) for i in drawn_on_pages(_tests(facts), area)]
    last = [(say("Hand-over record: maintenance, instruments"), i)
            for i in drawn_on_pages([calendar(), _meters(facts)], area)]  # fmt: skip
    built = [(say("Hand-over record: the frame as built"), i)
             for i in drawn_on_pages(standing(facts), area) if i]  # fmt: skip
    return numbered([finished(title, page, facts.job, None, (), items)
                     for title, items in (*first, *tests, *built, *last)])  # fmt: skip


def suspected(facts: ProofFacts) -> list[Para]:
    """What the pattern of the readings points at."""
    found: list[Para] = []
    for s in facts.proved.suspicions:
        who = ", ".join(s.strings) or say("all strings")
        found.append(Para(say("Suspected: {who}", who=who), 3.2, True, 2.4, together=True))
        found += [Para(words, 2.8, bullet=True) for words in suspicion_words(s)]
    return found


def suspicion_words(s: Suspicion) -> list[str]:
    """Candidates with their probability and what to check, the evidence, what would part them."""
    said = [
        say("{chance}: {what}. Next: {check}.", chance=_chance(c.probability), what=tell(c.words),
            check=tell(c.check))
        for c in s.candidates
    ]  # fmt: skip
    if s.apart:
        said.append(f"{tell(s.apart)}.")
    return [*said, say("Evidence: {what}.", what="; ".join(tell(e) for e in s.evidence))]


def _chance(p: float) -> str:
    return say("over 99 %") if p > 0.99 else figures(f"{100 * p:.0f} %")


def still_open(facts: ProofFacts) -> list[Para]:
    """What stands between the array and its hand-over."""
    left = facts.proved.open
    if not left:
        return []
    more = [say("and {n} more", n=len(left) - MOST_OPEN)] if len(left) > MOST_OPEN else []
    return [
        Para(say("Still open"), 3.2, True, 2.4, together=True),
        *(Para(w, bullet=True) for w in [*map(tell, left[:MOST_OPEN]), *more]),
    ]


def recorded(facts: ProofFacts) -> list[Para]:
    """Geometry as built, serial numbers, photos."""
    s, proofs = facts.subject, () if facts.book is None else facts.book.proofs
    found = [Para(say("On record"), 3.2, True, 2.4, together=True),
             Para(say("Geometry: {what}", what=geometry_words(s)), bullet=True)]  # fmt: skip
    found += [Para(tell(x.words), bullet=True) for x in facts.proved.again]
    found += [Para(tell(x), bullet=True) for x in facts.proved.notes]
    for kind, title in ((Probe.SERIAL, say("Serial numbers")), (Probe.PHOTO, say("Photos"))):
        rows = "; ".join(f"{p.place}: {p.text}" for p in proofs if p.kind is kind)
        found.append(Para(f"{title}: {rows or say('none')}", bullet=True))
    return found


def geometry_words(s: Subject) -> str:
    """What the places of the posts come from, or that they were not measured."""
    b = s.built
    if b is None or not b.posts:
        return say("not measured")
    known = b.readings[:12]
    if not b.measured:
        return say("posts and beams as measured, readings {hash}", hash=known)
    return say("posts and beams as measured on {day}, readings {hash}", day=b.measured, hash=known)


def standing(facts: ProofFacts) -> list[BoxTable]:
    """Where every post stands, and how far off the plan."""
    b, job = facts.subject.built, facts.job
    if b is None or not b.posts:
        return []
    across, up = say("across"), say("up")
    heads = (say("Post"), say("Beam: along"), across, up, say("off: along"), across, up,
             say("At grade: along"), across, say("off: along"), across)  # fmt: skip
    rows = tuple((p.id, *_whole(job, p.head), *_small(job, p.head - p.planned_head),
                  *_whole(job, p.base[:2]), *_small(job, (p.base - p.planned_base)[:2]))
                 for p in b.posts)  # fmt: skip
    title = say("The frame as it stands, from the planned hole F1; off: built less planned "
                "({unit})", unit=job.unit)  # fmt: skip
    long, short = 2.0, 1.3
    shares = (1.2, *(long,) * 3, *(short,) * 3, *(long,) * 2, *(short,) * 2)
    return [BoxTable(title, heads, shares, rows)]


def _whole(job: JobInfo, place: Array) -> list[str]:
    return [figures(job.length(float(v))).replace(" ", "\u00a0") for v in place]


def _small(job: JobInfo, off: Array) -> list[str]:
    return [figures(job.fine(float(v))).replace(" ", "\u00a0") for v in off]


def signed(facts: ProofFacts) -> list[Para]:
    """Lines to sign; nothing is signed by plumbrail."""
    return [Para(say("Tested by: {name}", name=facts.by or "____________"), before=3.0,
                 sign_off=True),
            Para(say("Taken over by the owner"), before=3.0, sign_off=True)]  # fmt: skip


def cautions() -> list[Para]:
    """What can hurt whoever tests again."""
    return [Para(say("Live array: read this first"), 3.2, True, 2.4, together=True),
            *(Para(tell(c), bullet=True) for c in CAUTIONS)]  # fmt: skip


def _tests(facts: ProofFacts) -> list[BoxTable]:
    heads = (say("Where"), say("Test"), say("Result"), say("Read and expected"), say("By"))
    found = []
    for group, title in GROUPS.items():
        rows = tuple(
            (j.subject, tell(j.title), mark(j.outcome), judged_words(facts, j),
             tell(j.source) or "–")
            for j in facts.proved.judged if j.group == group
        )  # fmt: skip
        found.append(BoxTable(say(title), heads, (1.3, 2.2, 1.9, 7.6, 2.0), rows))
    return [t for t in found if t.rows]


def calendar() -> BoxTable:
    """What the array needs through the years."""
    heads = (say("What"), say("Every"), say("First after"), say("Done on"))
    rows = tuple((tell(d.words), say("{n} months", n=d.months), say("{n} months", n=d.first), " ")
                 for d in DUTIES)  # fmt: skip
    title = say("Maintenance; common practice, no published source")
    return BoxTable(title, heads, (9.0, 1.8, 1.8, 3.0), rows)


def _meters(facts: ProofFacts) -> BoxTable:
    own = facts.subject.rules.instruments
    rows = [(tell(p.words), size_words(p), tell(p.certainty.words), " ", " ")
            for p in budget(facts.subject.rules)]  # fmt: skip
    rows += [(name, tell(m.kind), say("stated in the plan"), m.serial or " ",
              str(m.calibrated or " ")) for name, m in own.items()]  # fmt: skip
    heads = (say("Meter or cause"), say("Largest error"), say("How sure"), say("Serial number"),
             say("Calibrated"))  # fmt: skip
    return BoxTable(say("Instruments and uncertainties"), heads, (4.0, 2.0, 3.0, 3.0, 2.0),
                    tuple(rows))  # fmt: skip
