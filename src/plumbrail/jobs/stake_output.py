"""``plumbrail stake --json``."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from pydantic import Field

from plumbrail.jobs.output import CAUTION, Out, RunOut, run_out
from plumbrail.jobs.staking import Staking
from plumbrail.setout.compass import MODEL
from plumbrail.setout.direction import Answer, Direction
from plumbrail.setout.shadow_day import Shadows
from plumbrail.setout.stakes import RodPoint
from plumbrail.setout.swing import Swing


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
    cautions: list[str] = Field(
        description="Buried services whose hand-dig zone the hole meets, areas it lies in. Empty: "
        "none known, which is not none there."
    )
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


class ShadowOut(Out):
    """The shadow of a plumb line over pin 1 at one clock time. Angles in rad."""

    clock: str = Field(description="As a clock on site shows it.")
    sun_height: float = Field(description="Over the horizon, as seen.")
    bearing: float = Field(description="Of the shadow, clockwise from true north.")
    from_row: float = Field(
        description="Clockwise from the way along the row to the right, minus pi to pi."
    )
    from_pin_2: float = Field(description="Clockwise from the way to pin 2, 0 to 2 pi.")
    along_base: float = Field(
        description="Where the shadow meets the square about pin 1: toward pin 2 [m]."
    )
    off_base: float = Field(description="The same point, square to the base line [m].")
    length: float = Field(description="Of the plumb line's shadow on level ground [m].")
    error: float = Field(description="Standard deviation of the base line's bearing found by it.")
    error_over_row: float = Field(description="The same as an offset over the row [m].")
    turns: float = Field(description="How fast the shadow turns [rad/s], clockwise positive.")
    use: Literal["best", "fair", "poor"]


class SwingOut(Out):
    """The base line by a measured shadow. Angles in rad."""

    base_bearing: float = Field(description="As it really lies, clockwise from true north.")
    error: float = Field(description="Its standard deviation.")
    turn: float = Field(description="Clockwise, from how it lies to how the plan has it.")
    move_pin_2: float = Field(description="How far pin 2 goes, pin 1 staying [m].")
    told: bool = Field(description="The turn is more than twice its standard deviation.")
    large: bool = Field(description="So large that a mistake is likelier than a wrong pin.")


class CompassOut(Out):
    """Magnetic declination and what a compass should read. Angles in rad."""

    model: str
    declination: float = Field(description="East positive.")
    yearly: float = Field(description="Change per year.")
    error: float = Field(description="Standard deviation by the model's own error model.")
    row: float = Field(description="Compass reading along the row to the right.")
    base: float = Field(description="Compass reading from pin 1 to pin 2.")


class DirectionOut(Out):
    """Direction of the row by the sun's shadow on a day."""

    day: str = Field(description="Year-month-day.")
    clock: str = Field(description="Which clock is meant.")
    plumb_line: float = Field(description="Height of the plumb line [m].")
    square: float = Field(description="Half-width of the square about pin 1 for the marks [m].")
    shadows: list[ShadowOut] = Field(
        description="Every half hour with the sun between 10 and 75 degrees."
    )
    asked: ShadowOut | None = Field(description="At the clock time of --clock.")
    swing: SwingOut | None = Field(description="By the mark of --shadow and --over.")
    compass: CompassOut | None = Field(description="None outside the model's years or places.")
    notes: list[str]


class GroundOut(Out):
    """One check of what is buried or of the property's lines, as plumbrail check has it."""

    id: str
    subject: str = Field(description="Hole and service, or what else is checked.")
    title: str
    status: Literal["pass", "fail", "not checked"]
    note: str = Field(description="Distances and what is not known, or what to ask for.")


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
    direction: DirectionOut | None = Field(description="None when no day is stated.")
    ground: list[GroundOut] = Field(
        description="Services located, holes clear of them, boundary, easements."
    )
    warnings: list[str]
    caution: str = CAUTION


def stake_report(made: Staking, answer: Answer | None = None) -> StakeReport:
    """Setting out as output."""
    s = made.stakes
    cautions = made.cautions
    return StakeReport(
        run=run_out(made.run), job=made.plan.job.name, base_length=s.base.length,
        base_bearing=s.base.bearing, row_bearing=s.base.row_bearing, laser=s.levels.laser,
        pins=s.base.pins.tolist(), holes=[_hole(made, i, cautions[i]) for i in range(len(s.ids))],
        lines=[_line(made, i) for i in range(len(s.lines.ids))],
        direction=_direction(made.direction, answer), warnings=list(s.warnings),
        ground=[
            GroundOut(id=c.id, subject=c.subject, title=c.title, status=c.status.value, note=c.note)
            for c in made.ground
        ],
    )  # fmt: skip


def _hole(made: Staking, i: int, cautions: Sequence[str]) -> HoleOut:
    s = made.stakes
    t, v = s.tapes, s.levels
    return HoleOut(
        id=s.ids[i], x=float(s.xy[i, 0]), y=float(s.xy[i, 1]), along_base=float(s.along[i]),
        off_base=float(s.across[i]), pin_1=float(t.level[i, 0]), pin_2=float(t.level[i, 1]),
        pin_1_on_ground=float(t.slope[i, 0]), pin_2_on_ground=float(t.slope[i, 1]),
        tapes_cross_at=float(t.angle[i]), fix=t.fix[i], hole_depth=float(v.hole_depth[i]),
        post_above_ground=float(v.post_above_ground[i]), post_length=float(v.post_length[i]),
        ground=_rod(v.ground, i), hole_bottom=_rod(v.hole_bottom, i), post_top=_rod(v.post_top, i),
        cautions=list(cautions),
    )  # fmt: skip


def _rod(point: RodPoint, i: int) -> RodOut:
    return RodOut(height=float(point.height[i]), reading=float(point.reading[i]),
                  measure_up=bool(point.up[i]))  # fmt: skip


def _line(made: Staking, i: int) -> LineOut:
    c = made.stakes.lines
    return LineOut(id=c.ids[i], kind=c.kind[i], level=float(c.level[i]),
                   on_ground=float(c.slope[i]), compare_with=c.ids[c.twin[i]],
                   level_difference=float(c.level_difference[i]))  # fmt: skip


def _direction(of: Direction | None, answer: Answer | None) -> DirectionOut | None:
    if of is None:
        return None
    notes = [*of.warnings, *([of.no_field] if of.no_field else [])]
    return DirectionOut(
        day=of.day.isoformat(), clock=of.clock, plumb_line=of.rig.plumb, square=of.rig.reach,
        shadows=[_shadow(of.shadows, i) for i in range(len(of.shadows.clock))],
        asked=_shadow(answer.shadow, 0) if answer else None,
        swing=_swing(answer.swing) if answer and answer.swing else None,
        compass=_compass(of), notes=notes + list(answer.notes if answer else ()),
    )  # fmt: skip


def _shadow(s: Shadows, i: int) -> ShadowOut:
    return ShadowOut(
        clock=s.clock[i], sun_height=float(s.sun.height[i]), bearing=float(s.bearing[i]),
        from_row=float(s.from_row[i]), from_pin_2=float(s.from_base[i]),
        along_base=float(s.legs[i, 0]), off_base=float(s.legs[i, 1]), length=float(s.length[i]),
        error=float(s.errors.total[i]), error_over_row=float(s.over_row[i]),
        turns=float(s.sun.rate[i]), use=s.use[i],
    )  # fmt: skip


def _swing(s: Swing) -> SwingOut:
    return SwingOut(base_bearing=s.bearing, error=s.sd, turn=s.turn, move_pin_2=s.move,
                    told=s.told, large=s.large)  # fmt: skip


def _compass(of: Direction) -> CompassOut | None:
    f = of.field
    if f is None:
        return None
    return CompassOut(
        model=MODEL, declination=f.declination, yearly=f.yearly, error=f.sd,
        row=f.compass(of.base.row_bearing), base=f.compass(of.base.bearing),
    )  # fmt: skip
