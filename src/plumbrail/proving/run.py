"""Judge everything that was tested, and say what is still open before the array is handed over."""

from __future__ import annotations

from dataclasses import dataclass, replace

from plumbrail.notebook.proof_entries import CURRENTS, Probe, Proof, ProofBook
from plumbrail.proving import care, others
from plumbrail.proving.earth import earth_faults
from plumbrail.proving.expecting import MOST, readings
from plumbrail.proving.judging import against, alike
from plumbrail.proving.lasting import Repeated, latest
from plumbrail.proving.others import Insulation, insulation_test
from plumbrail.proving.parts import (
    EarthFault,
    Judged,
    Outcome,
    Readings,
    Suspicion,
    TestedString,
    Wanted,
)
from plumbrail.proving.suggesting import SEEN, outcome_of, suspicions
from plumbrail.proving.wanted import Subject, wanted
from plumbrail.trace import Certainty

_LIT = (Probe.OPEN, Probe.SHORT)
NO_FRAME = ("not measured: where the posts stand; give the site notebook with --notebook, or write "
            "the as-built plan with plumbrail true --as-built")  # fmt: skip


@dataclass(frozen=True)
class Proved:
    """What a sheet of tests says about an array."""

    subject: Subject
    wanted: tuple[Wanted, ...]
    insulation: Insulation
    proofs: tuple[Proof, ...]
    """The rows that count."""
    readings: Readings
    judged: tuple[Judged, ...]
    """One for each test that counts, in the order of the sheet."""
    again: tuple[Repeated, ...]
    """Tests made more than once."""
    notes: tuple[str, ...]
    """What was assumed and nobody wrote down."""
    beside: tuple[Judged, ...]
    """Verdicts that the others rest on: each reading against its expected value, strings alike."""
    suspicions: tuple[Suspicion, ...]
    earth: tuple[EarthFault, ...]
    open: tuple[str, ...]
    """Why it cannot be handed over yet; empty when it can."""

    @property
    def complete(self) -> bool:
        """Everything was measured and passed, every row could be used."""
        return not self.open

    def count(self, outcome: Outcome) -> int:
        """How many tests have that outcome."""
        return sum(j.outcome is outcome for j in self.judged)


def prove(s: Subject, book: ProofBook) -> Proved:
    """Verdicts, suspicions and what is open. Raises RangeError for more than low voltage."""
    test, rows = insulation_test(s), wanted(s)
    proofs, again = latest(book.proofs)
    r = readings(s.rules, s.module, s.strings, proofs)
    found, power = suspicions(s.module, s.strings, r)
    doubted = doubted_of(found)
    by = {j.id: j for j in (*against(s.rules, r), *alike(s.rules, r, s.strings, doubted))}
    last = {(p.place, p.kind): p for p in proofs}
    lit = {w.place: _string(s, r, w.place, by, found, power) for w in rows if w.kind in _LIT}
    made: list[Judged] = []
    for w in rows:
        if w.kind is Probe.OPEN:
            made += lit[w.place]
        elif w.kind is not Probe.SHORT:
            made.append(others.judged(s, w, _proof(last, w, s), test))
    volts = {x.id: s.module.voc * x.count for x in s.strings}
    volts |= {x.proof.place: x.value * (1 + x.ratio) for x in r.rows
              if x.proof.kind is Probe.OPEN and x.ratio > -0.5}  # fmt: skip
    earth = earth_faults(s.strings, proofs, volts, test.least)
    made += [_earth(e) for e in earth]
    whole = last.get(("array", Probe.INSULATION))
    if whole is not None:
        made.append(others.judged(s, Wanted(Probe.INSULATION, "array", "", "string"), whole, test))
    made += _hot(s, proofs, {w.place for w in rows if w.kind is Probe.WARMTH}, test)
    notes = care.unknown_meters(s.rules, proofs)
    return Proved(s, rows, test, proofs, r, tuple(made), again, notes, tuple(by.values()), found,
                  earth, _open(s, book, made, found))  # fmt: skip


def doubted_of(found: tuple[Suspicion, ...]) -> frozenset[str]:
    """Strings that are suspected, with which no other is compared."""
    return frozenset(id for x in found for id in x.strings)


def _proof(last: dict[tuple[str, Probe], Proof], w: Wanted, s: Subject) -> Proof | None:
    """The last row of a test; insulation of the whole array stands for its strings."""
    own = last.get((w.place, w.kind))
    return last.get(("array", w.kind)) if own is None and w.kind is Probe.INSULATION else own


def _string(
    s: Subject, r: Readings, id: str, by: dict[str, Judged], found: tuple[Suspicion, ...],
    power: dict[str, float],
) -> list[Judged]:  # fmt: skip
    """Open voltage, current, and the pattern of one string."""
    string = next(x for x in s.strings if x.id == id)
    doubted = any(not x.strings for x in found)
    return [_voltage(r, id, by, doubted), _current(s, r, id, by, doubted),
            *_more(id, by, doubted), _pattern(r, string, found, power)]  # fmt: skip


def _more(id: str, by: dict[str, Judged], doubted: bool) -> list[Judged]:
    """Readings beyond those asked for: what was measured is judged."""
    words = ["working-current"] if f"{id}.current" in by else []
    kept = [f"{id}.{word}" for word in (*words, "working-voltage") if f"{id}.{word}" in by]
    return [_near(by, name, doubted) for name in kept]


def _near(by: dict[str, Judged], name: str, doubted: bool) -> Judged:
    """A reading against its expected value and beside the other strings."""
    own, near = by[name], by.get(f"{name}-alike")
    return _with(own, _both(own, near, doubted), near, doubted)


def _unmeasured(id: str, word: str, title: str, why: str) -> Judged:
    return Judged(f"{id}.{word}", id, title, Outcome.UNMEASURED, why)


def _refused(r: Readings, id: str, kinds: tuple[Probe, ...]) -> str:
    return "; ".join(f"line {p.line}: {why}" for p, why in r.refused
                     if p.place == id and p.kind in kinds)  # fmt: skip


def _voltage(r: Readings, id: str, by: dict[str, Judged], doubted: bool) -> Judged:
    if f"{id}.voltage" not in by:
        why = _refused(r, id, (Probe.OPEN,))
        return _unmeasured(id, "voltage", "open-circuit voltage", why)
    return _near(by, f"{id}.voltage", doubted)


def _current(
    s: Subject, r: Readings, id: str, by: dict[str, Judged], doubted: bool
) -> Judged:  # fmt: skip
    for word in ("current", "working-current"):
        own, near = by.get(f"{id}.{word}"), by.get(f"{id}.{word}-alike")
        if own is None:
            continue
        outcome = _both(own, near, doubted)
        sensor = near is not None and near.outcome is Outcome.PASS and not doubted
        if own.outcome is Outcome.UNSURE and sensor:
            outcome = Outcome.PASS  # what is uncertain is the light sensor, which all share
        return _with(own, outcome, near, doubted)
    return _unmeasured(id, "current", "short-circuit current", _refused(r, id, CURRENTS))


def _both(own: Judged, near: Judged | None, doubted: bool) -> Outcome:
    """Against the expected value and against the others: a failure of either is one."""
    if own.measured is not None and own.measured > (1 + MOST) * (own.expected or 0.0):
        return Outcome.FAIL  # whatever else is wrong
    if near is not None and near.outcome is Outcome.FAIL:
        return Outcome.FAIL
    return Outcome.UNSURE if doubted and own.outcome is Outcome.FAIL else own.outcome


def _with(own: Judged, outcome: Outcome, near: Judged | None, doubted: bool) -> Judged:
    words = own.words if near is None else f"{own.words}. {near.title}: {near.words}"
    if doubted:
        words += ". All strings are off together: see what is suspected first"
    return replace(own, outcome=outcome, words=words)


def _pattern(
    r: Readings, s: TestedString, found: tuple[Suspicion, ...], power: dict[str, float]
) -> Judged:
    id, title = f"{s.id}.pattern", "all readings of it together"
    if any(x.proof.place == s.id for x in r.beyond):
        words = "a reading of it is more than any fault of one string gives: measure it again"
        return Judged(id, s.id, title, Outcome.FAIL, words, source="statistics of the readings",
                      certainty=Certainty.DERIVED)  # fmt: skip
    if r.of(s.id, Probe.OPEN) is None:
        return _unmeasured(s.id, "pattern", title, "without its open voltage nothing can be said")
    mine = next((x for x in found if s.id in x.strings), None)
    seen = power.get(s.id, 0.0)
    outcome = outcome_of(1.0 if mine is None else mine.sound, seen)
    if mine is not None and mine.candidates:
        words = f"likeliest: {mine.candidates[0].words}"
    elif seen < SEEN:
        words = (
            f"one module of {s.count} missing would stand out by {seen:.1f} standard "
            f"uncertainties only ({SEEN:g} wanted): count them, and measure each half"
        )
    else:
        words = (f"nothing suspected; one module missing would stand out by {seen:.0f} standard "
                 "uncertainties")  # fmt: skip
    return Judged(id, s.id, title, outcome, words, source="statistics of the readings",
                  certainty=Certainty.DERIVED)  # fmt: skip


def _earth(e: EarthFault) -> Judged:
    return Judged(f"{e.string}.earth", e.string, "ends to ground", e.outcome, e.words,
                  source="ratio of the voltages", certainty=Certainty.DERIVED)  # fmt: skip


def _hot(
    s: Subject, proofs: tuple[Proof, ...], listed: set[str], test: Insulation
) -> list[Judged]:  # fmt: skip
    """Thermal looks at single modules, beside those that were asked for."""
    more = {p.place: p for p in proofs if p.kind is Probe.WARMTH and p.place not in listed}
    return [others.judged(s, Wanted(Probe.WARMTH, place, "", "thermal"), p, test)
            for place, p in more.items()]  # fmt: skip


def _open(
    s: Subject, book: ProofBook, made: list[Judged], found: tuple[Suspicion, ...]
) -> tuple[str, ...]:
    """Everything that stands between the array and its hand-over."""
    said = [f"row that cannot be used: {p}" for p in book.problems]
    said += [f"suspected on all strings: {x.candidates[0].words}" for x in found
             if not x.strings and x.candidates]  # fmt: skip
    for outcome in (Outcome.FAIL, Outcome.UNSURE, Outcome.UNMEASURED):
        said += [f"{outcome.value}: {j.subject}, {j.title}" for j in made if j.outcome is outcome]
    said += [NO_FRAME] if s.built is None else s.built.open
    kinds = {p.kind for p in book.proofs}
    said += ["not recorded: serial numbers"] if Probe.SERIAL not in kinds else []
    said += ["not recorded: photos"] if Probe.PHOTO not in kinds else []
    if not s.signs:
        said.append("not checked: no list of signs is at hand for this code")
    return tuple(said)
