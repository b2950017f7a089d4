"""Sections on the modules, their layout, and the setting out."""

from __future__ import annotations

import math
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from plumbrail.plan import fields as f
from plumbrail.plan.section import Section


class Module(Section):
    """One solar module, from its data sheet."""

    name: f.Text = Field(
        min_length=1, description="What to call the module.", examples=["Generic 430"]
    )
    length: f.ModuleSide = Field(description="Long side.", examples=["1722 mm"])
    width: f.ModuleSide = Field(description="Short side.", examples=["1134 mm"])
    thickness: f.ModuleThickness = Field(
        description="Height of the module frame.", examples=["30 mm"]
    )
    weight: f.Mass = Field(description="Weight of one module.", examples=["21.5 kg"])
    allowable_uplift: f.PositivePressure = Field(
        description="Design (not test) pressure the module may take from below, for clamps in the "
        "clamp zone. Test pressure is usually 1.5 times as much.",
        examples=["1600 Pa"],
    )
    allowable_down: f.PositivePressure = Field(
        description="Design (not test) pressure the module may take from above.",
        examples=["3600 Pa"],
    )
    clamp_zone: tuple[f.Share, f.Share] = Field(
        description="Where clamps may sit, measured from each end of the side the rails cross, as "
        "shares of that side. From the installation manual.",
        examples=[["15 %", "30 %"]],
    )
    pmax: f.Power | None = Field(None, description="Rated power.", examples=["430 W"])
    voc: f.Voltage | None = Field(None, description="Open-circuit voltage.", examples=["38.9 V"])
    isc: f.Current | None = Field(None, description="Short-circuit current.", examples=["14.0 A"])
    vmp: f.Voltage | None = Field(None, description="Voltage at rated power.", examples=["32.6 V"])
    imp: f.Current | None = Field(None, description="Current at rated power.", examples=["13.2 A"])
    voc_coefficient: f.TemperatureCoefficient | None = Field(
        None,
        description="Change of open-circuit voltage with temperature.",
        examples=["-0.25 %/K"],
    )
    isc_coefficient: f.TemperatureCoefficient | None = Field(
        None,
        description="Change of short-circuit current with temperature.",
        examples=["0.045 %/K"],
    )
    pmax_coefficient: f.TemperatureCoefficient | None = Field(
        None, description="Change of rated power with temperature.", examples=["-0.29 %/K"]
    )
    max_series_fuse: f.Current | None = Field(
        None, description="Largest series fuse.", examples=["25 A"]
    )
    max_system_voltage: f.Voltage | None = Field(
        None, description="Largest voltage of a string of them.", examples=["1000 V"]
    )
    cells: Annotated[f.Count, Field(ge=10, le=200)] | None = Field(
        None,
        description="Cells in series; of a module cut in two halves, the cells of one half.",
        examples=[54],
    )
    halves: Literal[1, 2] = Field(
        2,
        description="2 when the cells are cut in half and the two ends of the module work side by "
        "side, else 1.",
        examples=[2],
    )
    bypass: Annotated[f.Count, Field(ge=1, le=6)] = Field(
        3,
        description="Bypass diodes; each guards a strip of cells along the long side.",
        examples=[3],
    )
    noct: f.Temperature | None = Field(
        None,
        description="Cell temperature at 800 W/m2, 20 °C air and 1 m/s wind (NOCT or NMOT).",
        examples=["44 degC"],
    )

    @model_validator(mode="after")
    def _sides(self) -> Self:
        if self.width > self.length:
            raise ValueError("width is the short side; it is longer than length here")
        if not self.clamp_zone[0] < self.clamp_zone[1] <= 0.5:
            low, high = (f"{100 * edge:.4g} %" for edge in self.clamp_zone)
            raise ValueError(
                f"clamp_zone runs from {low} to {high}; it names the edge nearer the end of the "
                'module first and stops at 50 %: write for example ["15 %", "30 %"]'
            )
        return self


class ArrayLayout(Section):
    """How the modules are laid out."""

    rows: Annotated[f.Count, Field(ge=1, le=12)] = Field(
        description="Modules up the slope.", examples=[4]
    )
    columns: Annotated[f.Count, Field(ge=1, le=200)] = Field(
        description="Modules along the row.", examples=[6]
    )
    orientation: Literal["landscape", "portrait"] = Field(
        description="landscape: long side along the row; portrait: long side up the slope.",
        examples=["landscape"],
    )
    gap: f.Depth = Field(
        description="Gap between neighbouring modules, both ways; the width of the clamp between "
        "them.",
        examples=["20 mm"],
    )
    tilt: f.Tilt = Field(
        description="Tilt of the module plane from horizontal.", examples=["32 deg"]
    )
    tilt_band: tuple[f.Tilt, f.Tilt] = Field(
        description="Lowest and highest tilt that will still do on site.",
        examples=[["30 deg", "35 deg"]],
    )
    azimuth: f.Azimuth = Field(
        description="Direction the modules face, clockwise from true north; 180 deg is south.",
        examples=["178 deg"],
    )
    low_edge_clearance: f.Depth = Field(
        description="Least height of the low edge above the ground under it; think of snow, grass "
        "and animals.",
        examples=["30 in"],
    )

    @model_validator(mode="after")
    def _band(self) -> Self:
        if not self.tilt_band[0] <= self.tilt <= self.tilt_band[1]:
            low, tilt, high = (
                f"{math.degrees(a):.4g}" for a in (self.tilt_band[0], self.tilt, self.tilt_band[1])
            )
            raise ValueError(
                f"tilt is {tilt} deg and tilt_band runs from {low} deg to {high} deg; tilt must "
                "lie inside tilt_band, which names its lowest first"
            )
        return self


class SetOut(Section):
    """Pins and laser used for setting out, in the axes of hole F1: along, across."""

    pin_1: tuple[f.Length, f.Length] = Field(
        (-1.8288, -1.8288),
        description="First pin: 6 ft left of and 6 ft before F1 unless you say otherwise.",
        examples=[["-6 ft", "-6 ft"]],
    )
    pin_2: tuple[f.Length, f.Length] | None = Field(
        None,
        description="Second pin; left out, 6 ft right of and 6 ft before the last front hole.",
        examples=[["33 ft", "-6 ft"]],
    )
    pin_height: f.Depth = Field(
        0.0, description="Top of the pins above the ground.", examples=["0 in"]
    )
    laser_height: f.LaserHeight = Field(
        1.3716, description="Laser plane above the top of pin 1.", examples=["4 ft 6 in"]
    )
    day: f.Day | None = Field(
        None,
        description="Day of setting out, for the table of shadows: year-month-day.",
        examples=["2026-05-04"],
    )

    @model_validator(mode="after")
    def _apart(self) -> Self:
        if self.pin_2 is not None and self.pin_1 == self.pin_2:
            raise ValueError("pin_1 and pin_2 are the same place; two pins must stand apart")
        return self
