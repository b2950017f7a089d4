"""Sections on the job and the place: names, design basis, weather, soil and ground."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, field_validator, model_validator

from plumbrail.plan import fields as f
from plumbrail.plan.grounds import Boundary, Easement, Locate, Region, Service, refuse_twins
from plumbrail.plan.section import Section
from plumbrail.plan.shade import Shade
from plumbrail.plan.zones import time_zone


class Job(Section):
    """What this job is called and how numbers are shown."""

    name: f.Text = Field(
        min_length=1,
        max_length=60,
        description="Name of the job, printed on every paper.",
        examples=["My ground mount"],
    )
    units: Literal["us", "metric"] = Field(
        description="How screens and papers show numbers: us is feet and inches. The plan itself "
        "may mix units as it likes.",
        examples=["us"],
    )
    basis: Literal["us"] = Field(
        description="Family of codes that loads and resistances come from.", examples=["us"]
    )


class UsBasis(Section):
    """Choices of the US design basis."""

    loads: Literal["ASCE 7-16", "ASCE 7-22"] = Field(
        description="Edition of the load standard. Ask the building department which one it "
        "adopted.",
        examples=["ASCE 7-16"],
    )
    method: Literal["ASD", "LRFD"] = Field(
        description="Allowable strength (ASD) or load and resistance factors (LRFD). Makers' "
        "figures must be of the same kind.",
        examples=["ASD"],
    )
    risk_category: Literal["I", "II", "III", "IV"] = Field(
        description="Risk category of the structure. Ask the building department; most arrays are "
        "I or II. Wind speed and snow must be read from the map of this category.",
        examples=["II"],
    )


class Bases(Section):
    """The design basis that the job names, with its choices."""

    us: UsBasis


SurveyPoint = tuple[f.Number, f.Number, f.Number]


class Ground(Section):
    """The lie of the ground: a plane through hole F1, or survey points."""

    slope_across: f.Slope | None = Field(
        None,
        description="Ground slope toward the back; positive rises to the back. Measure with a "
        "level and a tape.",
        examples=["4 %"],
        json_schema_extra=f.STARTER,
    )
    slope_along: f.Slope | None = Field(
        None,
        description="Ground slope along the row; positive rises to the right, seen from the front.",
        examples=["-1 %"],
        json_schema_extra=f.STARTER,
    )
    points: tuple[SurveyPoint, ...] | None = Field(
        None,
        min_length=3,
        max_length=10_000,
        description="In place of the two slopes: survey points [x, y, z] from hole F1: along, "
        "across, up. At least 3.",
        examples=[[[0.0, 0.0, 0.0], [27.0, 0.0, -0.3], [0.0, 9.0, 0.4]]],
    )
    points_unit: Literal["ft", "m", "in"] | None = Field(
        None, description="Unit of the survey points.", examples=["ft"]
    )

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        slopes = (self.slope_across is not None, self.slope_along is not None)
        if any(slopes) == (self.points is not None):
            raise ValueError(
                "give either slope_across and slope_along, or points; level ground is "
                'slope_across = "0 %" and slope_along = "0 %"'
            )
        if any(slopes) and not all(slopes):
            raise ValueError('give both slope_across and slope_along; level ground is "0 %"')
        if (self.points is None) != (self.points_unit is None):
            raise ValueError('points and points_unit go together, for example points_unit = "ft"')
        return self


class Soil(Section):
    """Soil values from a geotechnical report, in place of a presumptive class."""

    bearing: f.PositivePressure = Field(
        description="Allowable vertical bearing pressure.", examples=["2000 psf"]
    )
    lateral: f.PressureGradient = Field(
        description="Allowable lateral bearing pressure per depth below grade.",
        examples=["150 psf/ft"],
    )
    source: f.Text = Field(
        min_length=1,
        description="Report the values come from.",
        examples=["Geotechnical report 12, 3 May, table 2"],
    )


class Site(Section):
    """Where the array stands and what weather and ground do there."""

    latitude: f.Latitude = Field(description="Latitude, north positive.", examples=["44.10 deg"])
    longitude: f.Longitude = Field(
        description="Longitude, east positive; west of Greenwich it is negative.",
        examples=["-120.60 deg"],
    )
    elevation: f.Elevation = Field(
        description="Height above sea level, from a topographic map.", examples=["4200 ft"]
    )
    timezone: f.Text = Field(
        pattern=r"^[A-Za-z_]+(/[A-Za-z0-9_+\-]+)*$",
        description="Time zone by its name in the public time zone database.",
        examples=["America/Los_Angeles"],
    )
    wind_speed: f.Speed = Field(
        description="Basic wind speed of the load standard's map for the risk category. Ask the "
        "building department.",
        examples=["105 mph"],
    )
    exposure: Literal["B", "C", "D"] = Field(
        description="Wind exposure: B suburban or wooded, C open country, D flat shores and flats. "
        "Ask the building department when in doubt.",
        examples=["C"],
    )
    topographic_factor: Annotated[f.Number, Field(ge=1.0, le=3.0)] = Field(
        description="K_zt; 1.0 off hills and ridges. On a hill an engineer decides.",
        examples=[1.0],
    )
    wind_flow: Literal["clear", "obstructed", "both"] = Field(
        description="Air under the array: clear (at most half blocked), obstructed (goods, snow or "
        "brush block more than half), or both to take the worse.",
        examples=["both"],
    )
    ground_snow: f.Pressure = Field(
        description="Ground snow load p_g of the load standard's map. Ask the building department.",
        examples=["30 psf"],
    )
    snow_exposure_factor: Annotated[f.Number, Field(ge=0.7, le=1.2)] = Field(
        description="C_e: 0.9 fully exposed, 1.0 partly, 1.1 to 1.2 sheltered, by exposure.",
        examples=[1.0],
    )
    snow_thermal_factor: Annotated[f.Number, Field(ge=0.85, le=1.3)] = Field(
        description="C_t; 1.2 for an unheated structure in open air.", examples=[1.2]
    )
    snow_surface: Literal["slippery", "other"] = Field(
        description="slippery only where snow slides off freely with room to fall; a low front "
        "edge that snow piles up against is other.",
        examples=["other"],
    )
    frost_depth: f.Depth = Field(
        description="Frost depth. Ask the building department.", examples=["24 in"]
    )
    soil_class: Literal["1", "2", "3", "4", "5"] | None = Field(
        None,
        description="Presumptive soil class: 1 bedrock, 2 foliated rock, 3 gravel, 4 sand and "
        "silty or clayey sand, 5 clay and silt; mud, peat and fill have none. Or leave it out and "
        "give [site.soil].",
        examples=["4"],
        json_schema_extra=f.STARTER,
    )
    soil: Soil | None = None
    coldest: f.Temperature = Field(
        description="Lowest expected air temperature, from weather records.", examples=["-24 degC"]
    )
    hottest: f.Temperature = Field(
        description="Highest expected air temperature, from weather records.", examples=["38 degC"]
    )
    seismic_sds: Annotated[f.Number, Field(ge=0.0, le=3.0)] = Field(
        description="S_DS, design spectral acceleration at short periods, in g. Ask the building "
        "department or read the load standard's map.",
        examples=[0.40],
    )
    ground: Ground
    shade: Shade | None = None
    locate: Locate | None = None
    services: tuple[Service, ...] = Field((), description="What is buried.")
    boundary: Boundary | None = None
    easements: tuple[Easement, ...] = Field((), description="Where others have rights.")
    regions: tuple[Region, ...] = Field((), description="Paving, rock, roots, keep out.")

    @field_validator("timezone")
    @classmethod
    def _known_zone(cls, name: str) -> str:
        time_zone(name)
        return name

    @model_validator(mode="after")
    def _one_soil(self) -> Self:
        if (self.soil_class is None) == (self.soil is None):
            raise ValueError("give either soil_class or a [site.soil] section, not both or neither")
        if self.coldest >= self.hottest:
            raise ValueError("coldest must be lower than hottest")
        return self

    @model_validator(mode="after")
    def _told_apart(self) -> Self:
        around = self.shade or Shade()
        names = [s.name for s in self.services]
        names += [e.name for e in self.easements] + [r.name for r in self.regions]
        names += [b.name for b in around.boxes] + [t.name for t in around.trees]
        refuse_twins([*names, *(a.name for a in around.arrays)])
        return self
