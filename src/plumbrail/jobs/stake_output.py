"""``plumbrail stake --json``."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from plumbrail.jobs.output import CAUTION, Out, RunOut, run_out
from plumbrail.jobs.staking import Staking
from plumbrail.setout.stakes import RodPoint


class RodOut(Out):
    """One height for the laser."""

    height: float = Field(description="Above the top of pin 1 [m].")
    reading: float = Field(description="Distance from the laser plane [m], never negative.")
    measure_up: bool = Field(
        description="The point is above the laser plane: measure up, no rod reading."
    )


class HoleOut(Out):
    """Setting out of one hole; plan lengths are level, in m."""

    id: str
    x: float = Field(description="Along the row from hole F1, to the right.")
    y: float = Field(description="From hole F1 to the back.")
    along_base: float = Field(description="Along the base line from pin 1.")
    off_base: float = Field(description="Square to the base line.")
    pin_1: float = Field(description="Level distance from pin 1.")
    pin_2: float = Field(description="Level distance from pin 2.")
    pin_1_on_ground: float = Field(description="Distance on the ground from pin 1.")
    pin_2_on_ground: float = Field(description="Distance on the ground from pin 2.")
    tapes_cross_at: float = Field(description="Angle between the two tapes [rad].")
    fix: Literal["good", "poor", "none"] = Field(description="How well two tapes fix the hole.")
    hole_depth: float = Field(description="Below grade.")
    post_above_ground: float
    post_length: float = Field(description="Cut length of the post.")
    ground: RodOut
    hole_bottom: RodOut
    post_top: RodOut


class LineOut(Out):
    """A check measurement between two holes [m]."""

    id: str
    kind: str = Field(description="row, diagonal, front to back or bay diagonal.")
    level: float
    on_ground: float
    compare_with: str = Field(description="The line that must be as long, level.")
    level_difference: float


class StakeReport(Out):
    """Output of ``plumbrail stake --json``."""

    schema_name: Literal["plumbrail.stake"] = Field("plumbrail.stake", alias="schema")
    schema_version: Literal[1] = 1
    run: RunOut
    job: str
    base_length: float = Field(description="Level distance between the pins [m].")
    base_bearing: float = Field(description="From pin 1 to pin 2, clockwise from true north [rad].")
    row_bearing: float = Field(description="Along the row to the right [rad].")
    laser: float = Field(description="Laser plane above the top of pin 1 [m].")
    pins: list[list[float]] = Field(description="Plan positions of the pins [m].")
    holes: list[HoleOut]
    lines: list[LineOut]
    warnings: list[str]
    caution: str = CAUTION


def stake_report(made: Staking) -> StakeReport:
    """Setting out as output."""
    s = made.stakes
    return StakeReport(
        run=run_out(made.run), job=made.plan.job.name, base_length=s.base.length,
        base_bearing=s.base.bearing, row_bearing=s.base.row_bearing, laser=s.levels.laser,
        pins=s.base.pins.tolist(), holes=[_hole(made, i) for i in range(len(s.ids))],
        lines=[_line(made, i) for i in range(len(s.lines.ids))], warnings=list(s.warnings),
    )  # fmt: skip


def _hole(made: Staking, i: int) -> HoleOut:
    s = made.stakes
    t, v = s.tapes, s.levels
    return HoleOut(
        id=s.ids[i], x=float(s.xy[i, 0]), y=float(s.xy[i, 1]), along_base=float(s.along[i]),
        off_base=float(s.across[i]), pin_1=float(t.level[i, 0]), pin_2=float(t.level[i, 1]),
        pin_1_on_ground=float(t.slope[i, 0]), pin_2_on_ground=float(t.slope[i, 1]),
        tapes_cross_at=float(t.angle[i]), fix=t.fix[i], hole_depth=float(v.hole_depth[i]),
        post_above_ground=float(v.post_above_ground[i]), post_length=float(v.post_length[i]),
        ground=_rod(v.ground, i), hole_bottom=_rod(v.hole_bottom, i), post_top=_rod(v.post_top, i),
    )  # fmt: skip


def _rod(point: RodPoint, i: int) -> RodOut:
    return RodOut(height=float(point.height[i]), reading=float(point.reading[i]),
                  measure_up=bool(point.up[i]))  # fmt: skip


def _line(made: Staking, i: int) -> LineOut:
    c = made.stakes.lines
    return LineOut(id=c.ids[i], kind=c.kind[i], level=float(c.level[i]),
                   on_ground=float(c.slope[i]), compare_with=c.ids[c.twin[i]],
                   level_difference=float(c.level_difference[i]))  # fmt: skip
