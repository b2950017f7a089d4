"""Sections on the frame: rails, braces, splices, connections, deflection, posts and beams."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from plumbrail.plan import fields as f
from plumbrail.plan.section import Section

SpanRatio = Annotated[f.Number, Field(ge=30, le=1000)]


class Rail(Section):
    """The aluminium rail: section values, or the maker's allowable moment."""

    name: f.Text = Field(
        min_length=1, description="What to call the rail.", examples=["Generic 100"]
    )
    height: f.PositiveLength = Field(
        description="Height of the rail between beam and module.", examples=["100 mm"]
    )
    weight: f.LinearMass = Field(description="Weight per length.", examples=["1.9 kg/m"])
    area: f.Area = Field(description="Cross-section area.", examples=["1.09 in2"])
    inertia: f.SecondMoment = Field(
        description="Second moment of area, bending off the plane.", examples=["1.44 in4"]
    )
    inertia_side: f.SecondMoment = Field(
        description="Second moment of area, bending in the module plane.", examples=["0.29 in4"]
    )
    alloy: f.Text | None = Field(
        None,
        min_length=1,
        description="Alloy and temper. Give alloy and section_modulus, or allowable_moment.",
        examples=["6005A-T61"],
        json_schema_extra=f.STARTER,
    )
    section_modulus: f.SectionModulus | None = Field(
        None,
        description="Elastic section modulus, the smaller of top and bottom.",
        examples=["0.73 in3"],
        json_schema_extra=f.STARTER,
    )
    section_modulus_side: f.SectionModulus | None = Field(
        None,
        description="Elastic section modulus, bending in the module plane. Goes with alloy.",
        examples=["0.29 in3"],
        json_schema_extra=f.STARTER,
    )
    web_area: f.Area | None = Field(
        None,
        description="Area of the upright webs, which carry the shear. Goes with alloy.",
        examples=["0.47 in2"],
        json_schema_extra=f.STARTER,
    )
    side_support: f.PositiveLength | None = Field(
        None,
        description="Largest distance between points that hold the rail sideways, such as modules "
        "clamped across it; left out, the distance between the beams. An engineer's judgement.",
        examples=["45 in"],
    )
    allowable_moment: f.Moment | None = Field(
        None,
        description="Maker's allowable bending moment, in place of alloy and section_modulus.",
        examples=["1000 lbf*ft"],
    )
    allowable_loads: tuple[tuple[f.PositiveLength, f.LineLoad], ...] | None = Field(
        None,
        min_length=2,
        description="Maker's allowable line load by span, shortest span first, in place of alloy "
        "and section_modulus: [span, load] pairs, interpolated, never beyond the first and last.",
        examples=[[["6 ft", "180 plf"], ["8 ft", "101 plf"], ["10 ft", "65 plf"]]],
    )
    source: f.Text | None = Field(
        None,
        min_length=1,
        description="The maker's letter that the allowable figures are from.",
        examples=["Letter of the rail maker, 2 March"],
    )

    @model_validator(mode="after")
    def _cited(self) -> Self:
        if (self.allowable_moment or self.allowable_loads) and not self.source:
            raise ValueError("allowable figures need source: name the maker's letter or test")
        if self.allowable_moment and self.allowable_loads:
            raise ValueError("give allowable_moment or allowable_loads, not both")
        spans = [span for span, _ in self.allowable_loads or ()]
        if spans != sorted(set(spans)):
            raise ValueError("allowable_loads lists the shortest span first, each span once")
        return self


class Brace(Section):
    """One diagonal brace of pipe."""

    direction: Literal["across", "along"] = Field(
        description="across: from the front post to the back post of one station; along: between "
        "two stations of one row.",
        examples=["across"],
    )
    stations: tuple[f.Count, ...] = Field(
        min_length=1,
        max_length=2,
        description="One station (across) or two neighbours, low end first (along).",
        examples=[[2]],
    )
    row: Literal["front", "back"] | None = Field(
        None, description="Row of an along brace.", examples=["back"]
    )
    low: f.Depth = Field(
        description="Height of its low end above grade at that post.", examples=["6 in"]
    )
    high: f.PositiveLength = Field(
        description="Distance of its high end below the beam's centre line.", examples=["6 in"]
    )

    @model_validator(mode="after")
    def _ends(self) -> Self:
        if self.direction == "across" and (len(self.stations) != 1 or self.row is not None):
            raise ValueError("an across brace names one station and no row")
        if self.direction == "along" and (len(self.stations) != 2 or self.row is None):
            raise ValueError("an along brace names two stations, low end first, and a row")
        return self


class Splice(Section):
    """How two lengths of beam are joined; leave it out and splices show as not checked."""

    moment_capacity: f.Moment | None = Field(
        None,
        description="Maker's allowable (ASD) or design (LRFD) moment of the joint.",
        examples=["1500 lbf*ft"],
    )
    shear_capacity: f.Force | None = Field(
        None, description="Maker's figure for shear.", examples=["2500 lbf"]
    )
    sleeve: f.Text | None = Field(
        None, min_length=1, description="Pipe used as an inner sleeve.", examples=["NPS 2-1/2 STD"]
    )
    sleeve_insertion: f.PositiveLength | None = Field(
        None,
        description="Length of sleeve inside each beam end; not looked at where moment_capacity "
        "and shear_capacity are given.",
        examples=["9 in"],
    )
    source: f.Text | None = Field(
        None,
        min_length=1,
        description="Letter or test the capacities come from.",
        examples=["Letter of the splice maker, 12 March"],
    )

    @model_validator(mode="after")
    def _cited(self) -> Self:
        if (self.moment_capacity or self.shear_capacity) and not self.source:
            raise ValueError("stated capacities need source: name the maker's letter or test")
        if (self.sleeve is None) != (self.sleeve_insertion is None):
            raise ValueError("sleeve and sleeve_insertion go together")
        return self


class Connections(Section):
    """Allowable (ASD) or design (LRFD) forces from makers' letters; one left out is not checked."""

    rail_to_beam_uplift: f.Force | None = Field(
        None, description="Rail lifted off the beam.", examples=["1200 lbf"]
    )
    rail_to_beam_slip: f.Force | None = Field(
        None, description="Rail sliding down the slope.", examples=["600 lbf"]
    )
    beam_to_post_uplift: f.Force | None = Field(
        None, description="Beam lifted off the post.", examples=["4000 lbf"]
    )
    beam_to_post_lateral: f.Force | None = Field(
        None, description="Beam pushed off the post.", examples=["2000 lbf"]
    )
    post_top_moment: f.Moment | None = Field(
        None,
        description="Bending of a rigid post top; for pinned tops leave it out.",
        examples=["5000 lbf*ft"],
    )
    brace_end: f.Force | None = Field(
        None, description="Pull or push on the fitting at a brace's end.", examples=["1500 lbf"]
    )
    clamp_uplift: f.Force | None = Field(
        None, description="Module clamp pulled off the rail.", examples=["600 lbf"]
    )
    source: f.Text | None = Field(
        None,
        min_length=1,
        description="The letters the figures come from.",
        examples=["Letter of the fitting maker, 12 March"],
    )

    @model_validator(mode="after")
    def _cited(self) -> Self:
        figures = self.model_dump(exclude={"source"}).values()
        if any(v is not None for v in figures) and not self.source:
            raise ValueError("connection figures need source: name the makers' letters")
        return self


class Deflection(Section):
    """Deflection limits as span divided by this number; leave one out and it is not checked."""

    beam: SpanRatio | None = Field(None, description="Beams.", examples=[180])
    rail: SpanRatio | None = Field(None, description="Rails.", examples=[120])
    post: Annotated[f.Number, Field(ge=20, le=1000)] | None = Field(
        None, description="Post height over sideways movement of the post top.", examples=[60]
    )


class Tube(Section):
    """A round tube that the pipe table does not hold."""

    outside_diameter: f.TubeDiameter = Field(description="Outside diameter.", examples=["2.375 in"])
    design_wall: f.PositiveLength = Field(
        description="Design wall thickness (93 % of nominal for most welded tube).",
        examples=["0.121 in"],
    )
    weight: f.LinearMass = Field(description="Weight per length.", examples=["3.1 lb/ft"])

    @model_validator(mode="after")
    def _hollow(self) -> Self:
        if 2 * self.design_wall >= self.outside_diameter:
            raise ValueError("two design_walls are as thick as the tube; check both numbers")
        if 500 * self.design_wall < self.outside_diameter:
            raise ValueError("design_wall is under 1/500 of outside_diameter; check both numbers")
        return self


class GroundMount(Section):
    """Wind coefficients for ground-mounted arrays (ASCE 7-22), supplied by an engineer."""

    uplift: Annotated[f.Number, Field(lt=0, ge=-20)] = Field(
        description="Net normal coefficient lifting the plane (negative), both halves.",
        examples=[-1.4],
    )
    down: Annotated[f.Number, Field(gt=0, le=20)] = Field(
        description="Net normal coefficient pressing the plane (positive), both halves.",
        examples=[1.5],
    )
    moment: Annotated[f.Number, Field(ge=0, le=20)] = Field(
        description="Moment coefficient about the panel centre, times the chord.", examples=[0.2]
    )
    citation: f.Text = Field(
        min_length=8,
        description="Engineer, document, date and page.",
        examples=["Letter of the engineer of record, 4 April, page 2"],
    )
    reduce_below_figure: f.Flag = Field(
        description="true only when the engineer's letter says so; otherwise the larger of the two "
        "coefficients is used.",
        examples=[False],
    )


class Frame(Section):
    """Posts, beams, rails and how they are joined."""

    posts: Annotated[f.Count, Field(ge=2, le=40)] = Field(
        description="Posts in each of the two rows.", examples=[4]
    )
    spacing: f.OneOrEach = Field(
        description="Distance between neighbouring posts; one length, or one for each bay.",
        examples=["9 ft", ["9 ft", "9 ft 6 in", "9 ft"]],
    )
    post: f.Text = Field(
        min_length=1,
        description="Pipe of the posts: a standard size, or a tube of your own in [frame.tubes].",
        examples=["NPS 4 STD"],
    )
    beam: f.Text = Field(min_length=1, description="Pipe of the beams.", examples=["NPS 3 STD"])
    brace: f.Text | None = Field(
        None, min_length=1, description="Pipe of the braces.", examples=["NPS 1-1/2 STD"]
    )
    steel: f.Text = Field(
        min_length=1,
        description="Steel of all pipe. Ask the yard for the mill certificate; fence pipe is often "
        "weaker.",
        examples=["ASTM A53 B"],
    )
    beam_inset: tuple[f.Share, f.Share] = Field(
        description="Beam lines from the low and from the high edge, as shares of the slope "
        "length.",
        examples=[["21 %", "21 %"]],
    )
    beam_end: f.Depth = Field(
        0.0762, description="Beam beyond the outermost rail.", examples=["3 in"]
    )
    beam_length: f.PositiveLength | None = Field(
        None,
        description="Whole length of each beam; left out, it follows from beam_end.",
        examples=["33 ft"],
    )
    fitting_rise: f.Length | None = Field(
        None,
        description="From the cut end of a post up to the beam's centre line; left out, half the "
        "beam's outside diameter. Measure your fitting.",
        examples=["2 in"],
    )
    rails_per_column: Annotated[f.Count, Field(ge=2, le=6)] = Field(
        description="Rails under each column of modules.", examples=[2]
    )
    rail_inset: f.Share = Field(
        description="Outer rails from the ends of the module side they cross, as a share of it; "
        "inside the clamp zone.",
        examples=["22 %"],
    )
    post_top: Literal["pinned", "rigid"] = Field(
        description="Joint of post and beam: pinned (a fitting that can rock) or rigid (welded).",
        examples=["pinned"],
    )
    fixity_depth: f.Depth = Field(
        description="Depth below grade where a post counts as fixed. An engineer's choice; soft "
        "ground fixes it deeper.",
        examples=["1 ft"],
    )
    post_effective_length_factor: Annotated[f.Number, Field(ge=0.65, le=3.0)] = Field(
        description="K of the posts: 2.1 for a post free to sway at the top. An engineer's choice.",
        examples=[2.1],
    )
    braces: tuple[Brace, ...] = Field((), description="Diagonal braces.")
    rail: Rail
    splice: Splice = Field(default_factory=Splice)
    connections: Connections = Field(default_factory=Connections)
    deflection: Deflection = Field(default_factory=Deflection)
    tubes: dict[str, Tube] = Field(
        default_factory=dict,
        description="Round tubes of your own, by the name used above.",
        examples=["My tube 2-3/8"],
    )
    ground_mount: GroundMount | None = None

    @model_validator(mode="after")
    def _counts(self) -> Self:
        if isinstance(self.spacing, tuple) and len(self.spacing) != self.posts - 1:
            raise ValueError(
                f"spacing lists {len(self.spacing)} bays; {self.posts} posts have {self.posts - 1}"
            )
        if self.braces and self.brace is None:
            raise ValueError('braces need a pipe: write brace = "NPS 1-1/2 STD" or the like')
        for brace in self.braces:
            named = ", ".join(str(s) for s in brace.stations)
            if not all(1 <= s <= self.posts for s in brace.stations):
                raise ValueError(
                    f"a brace names station {named}; stations run from 1 to {self.posts}"
                )
            if len(brace.stations) == 2 and abs(brace.stations[0] - brace.stations[1]) != 1:
                raise ValueError(
                    f"a brace names stations {named}; an along brace joins two neighbours"
                )
        return self

    @model_validator(mode="after")
    def _beams_apart(self) -> Self:
        if sum(self.beam_inset) >= 1.0:
            raise ValueError("beam_inset puts the front beam behind the back one")
        return self
