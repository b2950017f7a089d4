"""``plumbrail demo --json``."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from plumbrail.jobs.cut_output import CutReport
from plumbrail.jobs.output import CheckReport, Out
from plumbrail.jobs.prove_output import ProveReport
from plumbrail.jobs.stake_output import StakeReport
from plumbrail.jobs.trench_output import TrenchReport
from plumbrail.jobs.true_output import TrueReport
from plumbrail.jobs.wire_output import WireReport
from plumbrail.jobs.works_output import WorksReport
from plumbrail.jobs.yield_output import YieldReport


class DemoReport(Out):
    """Output of ``plumbrail demo --json``."""

    schema_name: Literal["plumbrail.demo"] = Field("plumbrail.demo", alias="schema")
    schema_version: Literal[1] = 1
    check: CheckReport
    cut: CutReport
    stake: StakeReport
    truing: list[TrueReport] = Field(description="One for each notebook of the demo, in order.")
    energy: YieldReport | None = Field(description="Null where the plan has no such section.")
    wiring: WireReport | None = Field(description="Null where the plan has no such section.")
    trench: TrenchReport | None = Field(description="Null where the plan has no such section.")
    proving: ProveReport | None = Field(description="Null where the demo has no tests.")
    works: WorksReport | None = Field(description="Null where the plan has no such section.")
    written: list[str] = Field(description="Files written.")
