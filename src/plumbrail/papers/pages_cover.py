"""Cover and summary of the book."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plumbrail.check import Check
from plumbrail.papers.pages_calculation import table_of
from plumbrail.papers.pdf_blocks import (
    BigNumber,
    BigNumbers,
    Block,
    Bullets,
    Caution,
    Contents,
    Heading,
    Paragraph,
    Table,
)
from plumbrail.papers.words import figures, say, say_many


@dataclass(frozen=True)
class RunFacts:
    """What the book was made from."""

    job: str
    source: str
    plan: str
    """Checksum of the plan."""
    program: str
    tables: str
    readings: str = ""
    """Checksum of the site notebook; empty: none."""
    codes: tuple[str, ...] = ()


@dataclass(frozen=True)
class SummaryFacts:
    """Plain numbers, SI; words in the language of the results."""

    modules: int
    rated: float | None
    """[W]; None: the data sheet of the module is not in the plan."""
    holes: int
    deepest: str
    """In words, with its unit."""
    concrete: str
    cost: float
    bags: int
    heaviest: str
    energy: float | None
    """Of the year [J]; None: not in the plan."""
    upper_bound: bool
    checks: Tally
    wiring: Tally | None
    nearest: tuple[Check, ...]
    """The checks that are most used, or fail most."""
    remedies: tuple[str, ...]
    """For what fails, in words."""
    system: str
    verdict: str = ""
    """Of the pour gate; empty: no readings."""


@dataclass(frozen=True)
class Tally:
    """How a set of checks came out."""

    passed: int
    failed: int
    open: int
    governs: str
    """Which check governs, in words; empty: none has a ratio."""

    @property
    def total(self) -> int:
        """All of them."""
        return self.passed + self.failed + self.open


def cover(run: RunFacts, contents: Contents, missing: Sequence[str]) -> list[Block]:
    """Title, contents, what is not in this book, the run."""
    found: list[Block] = [
        Heading(say("Build book: {job}", job=run.job)),
        Paragraph(say("From one plan file: what to buy, where to dig, where to saw, what to "
                      "measure, how to wire it, and the calculation behind it.")),
        Caution(say("an aid, not an approval"), (
            say("This book is an aid to a competent person and no approval. The codes in force "
                "where you build, the building department, the engineer of record and licensed "
                "practice decide."),
            say("Read the caution at the head of each chapter before the work of that chapter."),
        )),
        Heading(say("In this book"), 2),
        contents,
    ]  # fmt: skip
    if missing:
        found += [Heading(say("Not in this book"), 2), Bullets(tuple(missing))]
    return [*found, Heading(say("What it was made from"), 2), _run(run)]


def _run(run: RunFacts) -> Table:
    rows = [
        (say("Plan file"), run.source),
        (say("Checksum of the plan"), _grouped(run.plan)),
        (say("Program"), f"plumbrail {run.program}"),
        (say("Checksum of the tables"), _grouped(run.tables)),
        *((say("Code"), code) for code in run.codes),
    ]
    if run.readings:
        rows.append((say("Checksum of the readings"), _grouped(run.readings)))
    note = say("Pages with another checksum at their foot do not belong to this book.")
    return Table((say("What"), say("Which")), tuple(rows), note=note)


def _grouped(checksum: str) -> str:
    """In groups of eight, so that two people can compare it."""
    return " ".join(checksum[i : i + 8] for i in range(0, len(checksum), 8))


def summary(facts: SummaryFacts) -> list[Block]:
    """Verdict, three numbers, what governs, what nobody checked."""
    found: list[Block] = [Heading(say("Summary"))]
    found += _verdicts(facts)
    found += [BigNumbers(three(facts)), Paragraph(_in_words(facts))]
    found += _tally(say("Frame, piers, rails and modules"), facts.checks)
    if facts.wiring is not None:
        found += _tally(say("Wiring"), facts.wiring)
    if facts.verdict:
        found.append(Paragraph(say("By the readings: {verdict}.", verdict=facts.verdict), True))
    if facts.remedies:
        found += [Heading(say("What usually mends it"), 3), Bullets(facts.remedies)]
    if facts.nearest:
        title = say("Most used; the calculation pages have every step")
        found.append(table_of(facts.nearest, facts.system, title))
    return found


def _verdicts(facts: SummaryFacts) -> list[Block]:
    """What stands in the way of building it, before everything else."""
    tallies = [t for t in (facts.checks, facts.wiring) if t is not None]
    failed, left = sum(t.failed for t in tallies), sum(t.open for t in tallies)
    total = sum(t.total for t in tallies)
    if failed:
        return [Caution(say("do not build from this book"), (
            say_many("{n} check FAILS. Change the plan and make the book again; this one is for "
                     "finding out why.", "{n} of {total} checks FAIL. Change the plan and make "
                     "the book again; this one is for finding out why.", failed, total=total),
        ))]  # fmt: skip
    if left:
        return [Paragraph(say_many(
            "No check fails; {n} of {total} is NOT CHECKED: see the last chapter.",
            "No check fails; {n} of {total} are NOT CHECKED: see the last chapter.", left,
            total=total,
        ), strong=True)]  # fmt: skip
    return [Paragraph(say("All {n} checks pass.", n=total), strong=True)]


def three(facts: SummaryFacts) -> tuple[BigNumber, ...]:
    """What a builder asks first: what it costs, how much there is to dig, what it gives."""
    cost = BigNumber(figures(f"{facts.cost:,.0f}"), "", say(
        "for pipe, rails and concrete, at the plan's prices and in its money; nothing else is "
        "counted"))  # fmt: skip
    holes = BigNumber(str(facts.holes), "", say(
        "holes, the deepest {deep}; {bags} bags, {concrete} of concrete in all",
        deep=facts.deepest, bags=facts.bags, concrete=facts.concrete))  # fmt: skip
    if facts.energy is None:
        return cost, holes, BigNumber(facts.heaviest, "", say("the heaviest stick to be carried"))
    most = say("at the most, a year: a sky without clouds") if facts.upper_bound else (
        say("in a usual year, after all losses")
    )  # fmt: skip
    return cost, holes, BigNumber(figures(f"{facts.energy / 3.6e6:,.0f}"), "kWh", most)


def _in_words(facts: SummaryFacts) -> str:
    if facts.rated is None:
        size = say("{n} modules.", n=facts.modules)
    else:
        power = figures(f"{facts.rated / 1000:.2f}\u00a0kW")
        size = say("{n} modules, {power}.", n=facts.modules, power=power)
    return size + " " + say("The heaviest stick weighs {mass}.", mass=facts.heaviest)


def _tally(title: str, t: Tally) -> list[Block]:
    numbers = say("{total} checks: {passed} pass, {failed} fail, {open} not checked.",
                  total=t.total, passed=t.passed, failed=t.failed, open=t.open)  # fmt: skip
    return [Heading(title, 3), Paragraph(f"{numbers} {t.governs}".rstrip())]
