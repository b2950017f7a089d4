"""``plumbrail demo --json``."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from plumbrail.jobs.cut_output import CutReport
from plumbrail.jobs.output import CheckReport, Out
from plumbrail.jobs.stake_output import StakeReport
from plumbrail.jobs.true_output import TrueReport


class DemoReport(Out):
    """Output of ``plumbrail demo --json``."""

    schema_name: Literal["plumbrail.demo"] = Field("plumbrail.demo", alias="schema")
    schema_version: Literal[1] = 1
    check: CheckReport
    cut: CutReport
    stake: StakeReport
    truing: list[TrueReport] = Field(description="One for each notebook of the demo, in order.")
    written: list[str] = Field(description="Files written.")
