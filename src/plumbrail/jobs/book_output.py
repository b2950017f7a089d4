"""``plumbrail book --json``."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Literal

from pydantic import Field

from plumbrail.jobs.book import BookJob
from plumbrail.jobs.book_parts_facts import torque_facts
from plumbrail.jobs.output import CAUTION, Out, RunOut, run_out
from plumbrail.papers.pages_calculation import chosen
from plumbrail.papers.pages_cover import Tally


class TallyOut(Out):
    """How a set of checks came out."""

    passed: int = Field(description="Checks passed.")
    failed: int = Field(description="Checks failed.")
    not_checked: int = Field(description="Checks that could not be made.")


class SummaryOut(Out):
    """The numbers of the summary page."""

    cost: float = Field(description="Of pipe, rails and concrete, in the plan's money.")
    heaviest: float = Field(description="Mass of the heaviest stick to be bought [kg].")
    holes: int
    deepest: float = Field(description="Depth of the deepest hole below grade [m].")
    bags: int = Field(description="Bags of concrete, each pier and pour by itself.")
    concrete: float = Field(description="All concrete [m3].")
    modules: int
    rated: float | None = Field(description="Rated power [W]; null: not in the plan.")
    energy: float | None = Field(description="Delivered in the year [J]; null: not in the plan.")
    frame: TallyOut
    wiring: TallyOut | None = Field(description="Null where the plan has no wiring.")
    gate: str | None = Field(description="Verdict before the pour; null without readings.")


class DrawingOut(Out):
    """A drawing of the book."""

    name: str
    file: str = Field(description="DXF file that holds it.")
    sheets: int = Field(description="Pages in the book.")


class TorqueOut(Out):
    """One line of the torque table."""

    where: str = Field(description="Conductor and kind of connector, or width of the socket.")
    torque: float | None = Field(description="[N*m]; null: the table has none.")
    certainty: str


class BookReport(Out):
    """Output of ``plumbrail book --json``."""

    schema_name: Literal["plumbrail.book"] = Field("plumbrail.book", alias="schema")
    schema_version: Literal[1] = 1
    run: RunOut
    job: str
    readings_sha256: str | None = Field(description="Checksum of the site notebook; null: none.")
    language: str
    summary: SummaryOut
    chapters: list[str] = Field(description="Titles in order.")
    calculations: list[str] = Field(description="Ids of the checks that have calculation pages.")
    torques: list[TorqueOut] = Field(description="Torque table of terminals and sockets.")
    drawings: list[DrawingOut]
    missing: list[str] = Field(description="What is not in this book, and why.")
    untranslated: list[str] = Field(
        description="Texts without a message in that language; they stand in English."
    )
    written: list[str] = Field(description="Files written.")
    caution: str = CAUTION


def book_report(made: BookJob, written: Sequence[Path]) -> BookReport:
    """The book as output."""
    r = made.results
    torques = torque_facts(r)
    with_pages = [c.id for of in (r.design.checks.checks, r.wires.checks if r.wires else ())
                  for c in chosen(of) if c.replay is not None]  # fmt: skip
    return BookReport(
        run=run_out(r.run), job=r.plan.job.name,
        readings_sha256=None if r.truing is None else r.truing.notebook.sha256,
        language=made.book.language, summary=_summary(made),
        chapters=[c.title for c in made.chapters], calculations=with_pages,
        torques=[TorqueOut(where=t.where, torque=t.value, certainty=t.sure)
                 for t in (*torques.terminals, *torques.sockets)],
        drawings=[DrawingOut(name=d.name, file=f"{group}.dxf", sheets=len(d.sheets))
                  for group, drawn in made.drawings.groups.items() for d in drawn],
        missing=list(made.missing), untranslated=list(made.unsaid),
        written=[str(p) for p in written],
    )  # fmt: skip


def _summary(made: BookJob) -> SummaryOut:
    r, s = made.results, made.summary
    return SummaryOut(
        cost=r.shop.cost, heaviest=r.shop.sticks.heaviest, holes=s.holes,
        deepest=float(r.design.analysis.planned.piers.depth.max()), bags=s.bags,
        concrete=r.shop.concrete.total, modules=s.modules, rated=s.rated, energy=s.energy,
        frame=_tally(s.checks), wiring=None if s.wiring is None else _tally(s.wiring),
        gate=None if r.truing is None else r.truing.trued.gate.ready.value,
    )  # fmt: skip


def _tally(t: Tally) -> TallyOut:
    return TallyOut(passed=t.passed, failed=t.failed, not_checked=t.open)
