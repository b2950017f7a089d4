"""Sections on strings, combiners, equipment and the run to it."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from plumbrail.plan import fields as f
from plumbrail.plan.polygons import Place
from plumbrail.plan.section import Price, Section

SIZES = ("14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG", "4 AWG", "3 AWG", "2 AWG", "1 AWG",
         "1/0 AWG", "2/0 AWG", "3/0 AWG", "4/0 AWG", "250 kcmil", "300 kcmil", "350 kcmil",
         "400 kcmil", "500 kcmil")  # fmt: skip
Size = Literal["14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG", "4 AWG", "3 AWG", "2 AWG", "1 AWG",
               "1/0 AWG", "2/0 AWG", "3/0 AWG", "4/0 AWG", "250 kcmil", "300 kcmil", "350 kcmil",
               "400 kcmil", "500 kcmil"]  # fmt: skip
Corner = Literal["front left", "front right", "back left", "back right"]
Terminals = Literal["60 degC", "75 degC", "90 degC"]
Warmth = Annotated[float, f.Quantity("temperature_difference", least="0 K", most="60 K")]
BigCurrent = Annotated[float, f.Quantity("current", above="0 A", slip="200000 A")]
Electrode = Literal["rod", "concrete-encased", "other"]


class Equipment(Section):
    """The charge controller or inverter that the strings feed, from its data sheet."""

    name: f.Text = Field(
        min_length=1, description="What to call it.", examples=["Generic controller 80"]
    )
    kind: Literal["controller", "inverter"] = Field(
        description="controller: charges a battery; inverter: makes alternating current.",
        examples=["controller"],
    )
    at: Place | None = Field(
        None,
        description="Where it hangs and the trench ends, measured from hole F1: [along the row to "
        "the right, to the back], seen from the front. Negative is to the left and to the front.",
        examples=[["57 ft", "25 ft"]],
    )
    max_voltage: f.Voltage = Field(
        description="Input voltage that must never be passed, even on the coldest morning.",
        examples=["250 V"],
    )
    working: tuple[f.Voltage, f.Voltage] = Field(
        description="Input voltage between which it finds the best power.",
        examples=[["60 V", "230 V"]],
    )
    start_voltage: f.Voltage | None = Field(
        None, description="Voltage it needs to start up.", examples=["65 V"]
    )
    inputs: Annotated[f.Count, Field(ge=1, le=12)] = Field(
        1, description="Inputs that find their best power each by itself.", examples=[1]
    )
    max_short_circuit: f.Current | None = Field(
        None, description="Short-circuit current allowed on one input.", examples=["60 A"]
    )
    max_current: f.Current | None = Field(
        None,
        description="Working current one input can use; what is over it is lost.",
        examples=["50 A"],
    )
    max_power: f.BigPower | None = Field(
        None, description="Power it can turn over.", examples=["5 kW"]
    )
    max_array: f.BigPower | None = Field(
        None, description="Largest rated array power its maker allows.", examples=["7 kW"]
    )
    backfeed: f.CurrentOrNone | None = Field(
        None,
        description="Current it can push back into the array when something fails; 0 A where the "
        "maker says none. Ask the maker.",
        examples=["0 A"],
    )
    terminals: Terminals = Field(
        description="Temperature its terminals are marked for.", examples=["75 degC"]
    )
    arc_fault: bool | None = Field(
        None,
        strict=True,
        description="Whether it has a listed arc-fault interrupter for direct current.",
        examples=[True],
    )
    ground_fault: bool | None = Field(
        None,
        strict=True,
        description="Whether it detects and clears ground faults.",
        examples=[True],
    )


class Combiners(Section):
    """The boxes at the array where strings come together."""

    count: Annotated[f.Count, Field(ge=1, le=6)] = Field(
        1, description="Boxes along the row, one to six.", examples=[1]
    )
    corner: Corner = Field(
        description="Where a box hangs, in its share of the array.", examples=["back right"]
    )
    terminals: Terminals = Field(
        description="Temperature their terminals are marked for.", examples=["75 degC"]
    )
    height: f.PositiveLength = Field(1.2192, description="Box above the ground.", examples=["4 ft"])


class Run(Section):
    """The run from the boxes to the equipment."""

    length: f.PositiveLength = Field(
        description="Length of conduit from the array to the equipment, with its risers.",
        examples=["140 ft"],
    )
    method: Literal["PVC 40", "PVC 80", "RMC", "EMT", "direct burial"] = Field(
        description="Conduit in the ground, or cable laid straight into it.", examples=["PVC 40"]
    )
    surface: Literal[
        "yard", "under 2 in concrete", "under building", "under 4 in slab", "road",
        "dwelling driveway", "airfield",
    ] = Field(description="What lies over it.", examples=["yard"])  # fmt: skip
    riser: Literal["PVC 80", "RMC"] = Field(
        "PVC 80", description="Conduit where it comes out of the ground.", examples=["PVC 80"]
    )
    straight: f.PositiveLength | None = Field(
        None,
        description="Longest straight piece above the ground between fixed points, for its "
        "growth in the sun. Left out, that is not checked.",
        examples=["8 ft"],
    )
    ground_temperature: f.Temperature = Field(
        298.15, description="Warmest the ground gets at that depth.", examples=["25 degC"]
    )
    sun_rise: Warmth = Field(
        16.666666666666668,
        description="How much warmer than site.hottest the air in conduit above the ground is "
        "while the sun is on it; 0 K for conduit in the shade. Left out, 30 degF, as for its "
        "growth; common practice, no code sets it for conduit that is not on a roof.",
        examples=["30 delta_degF"],
    )
    ends: Literal["outside", "inside"] = Field(
        description="outside: the run ends on the outer wall; inside: it enters the building.",
        examples=["inside"],
    )
    building: Literal["dwelling", "other", "solar only"] = Field(
        description="What building that is: a one- or two-family dwelling, another one, or one "
        "that holds solar equipment only.",
        examples=["other"],
    )


class Conductors(Section):
    """Wires."""

    array_size: Size = Field(
        "10 AWG", description="Wire of the strings, at least this.", examples=["10 AWG"]
    )
    array_diameter: f.WireDiameter | None = Field(
        None,
        description="Outer diameter of that wire, from its data sheet; for its clips and cable "
        "glands, and for the fill of conduit where the run is of the same wire.",
        examples=["0.27 in"],
    )
    array_type: Literal["PV wire", "USE-2"] = Field(
        "PV wire", description="Kind of wire in the open.", examples=["PV wire"]
    )
    module_air: Warmth = Field(
        15.0,
        description="How much warmer than site.hottest the air behind the modules is, where the "
        "wires of the strings lie. Left out, 15 K for an open frame on the ground; common "
        "practice, no published source. More where little air gets behind the modules.",
        examples=["15 K"],
    )
    run_type: Literal["THWN-2", "XHHW-2", "RHW-2", "USE-2", "PV wire"] = Field(
        "THWN-2",
        description="Insulation of the wires of the run. USE-2 only outside, PV wire in raceway "
        "or where it is marked for it straight in the ground; both need run_diameter for the fill.",
        examples=["THWN-2"],
    )
    run_diameter: f.WireDiameter | None = Field(
        None,
        description="Outer diameter of the wires of the run, from their data sheet, with "
        "run_size; for USE-2 and PV wire, which the code's table does not list.",
        examples=["0.33 in"],
    )
    run_metal: Literal["copper", "aluminium"] = Field(
        "copper", description="Metal of the wires in the conduit.", examples=["copper"]
    )
    run_size: Size | None = Field(
        None,
        description="Size of the wires in the conduit; left out, the smallest that will do.",
        examples=["4 AWG"],
    )
    voltage_drop: f.Share = Field(
        0.02,
        description="Most that may be lost from the modules to the equipment at full sun; your own "
        "choice, no code sets it.",
        examples=["2 %"],
    )
    slack: f.Share = Field(0.1, description="Extra length bought.", examples=["10 %"])
    module_lead: f.PositiveLength = Field(
        1.1, description="Length of each of a module's own two leads.", examples=["1.1 m"]
    )


class Disconnect(Section):
    """The switch in the run at the equipment, from its data sheet."""

    voltage: f.Voltage | None = Field(
        None, description="Rated direct-current voltage.", examples=["600 V"]
    )
    current: f.Current | None = Field(
        None, description="Rated direct current at that voltage.", examples=["60 A"]
    )
    poles: Annotated[f.Count, Field(ge=1, le=8)] | None = Field(
        None,
        description="Wires of one run that it opens at once, at that voltage; poles in series "
        "count as one.",
        examples=[2],
    )
    interrupting: BigCurrent | None = Field(
        None,
        description="Fault current that it, or it with its fuse, is rated to stand or break.",
        examples=["10000 A"],
    )
    load_break: bool | None = Field(
        None,
        strict=True,
        description="Whether it may be opened under load, with direct current.",
        examples=[True],
    )
    lockable: bool | None = Field(
        None, strict=True, description="Whether it can be locked open.", examples=[True]
    )


class Grounding(Section):
    """How the array is grounded, and the electrodes that its ground ends at."""

    system: Literal["functional", "solid"] | None = Field(
        None,
        description="functional: through the equipment, or not at all, as nearly all equipment "
        "has it; solid: one pole is wired straight to ground. See the equipment's manual.",
        examples=["functional"],
    )
    electrode: Electrode | None = Field(
        None,
        description="Electrode of the building: rod (rods, pipes or plates only), concrete-encased "
        "(only), or other, also for several kinds together.",
        examples=["rod"],
    )
    service_conductor: Size | None = Field(
        None,
        description="Largest wire of the building's service, or of what supplies the building in "
        "its place.",
        examples=["2/0 AWG"],
    )
    service_metal: Literal["copper", "aluminium"] = Field(
        "copper", description="Metal of that wire.", examples=["copper"]
    )
    electrode_conductor: Size | None = Field(
        None,
        description="Copper wire from the building's grounding to its electrode, as found or as it "
        "will be.",
        examples=["6 AWG"],
    )
    array_electrode: Literal["none", "rod", "concrete-encased", "other"] = Field(
        "none",
        description="An electrode of its own at the array. Where none is asked for, none is the "
        "simplest.",
        examples=["none"],
    )
    array_electrode_wire: f.PositiveLength | None = Field(
        None,
        description="Length of wire from the array's grounding to that electrode.",
        examples=["6 ft"],
    )


class ElectricBasis(Section):
    """Choices of the electrical code."""

    code: Literal["NEC 2017", "NEC 2020", "NEC 2023", "IEC"] = Field(
        description="Edition in force. Ask the building department.", examples=["NEC 2023"]
    )
    cold_voltage: Literal["coefficient", "table", "larger"] = Field(
        description="How the voltage in the cold is found: by the maker's coefficient, by the "
        "code's table, or the larger of both.",
        examples=["larger"],
    )
    extreme_low: f.Temperature | None = Field(
        None,
        description="Extreme annual mean minimum design temperature of the nearest station, where "
        "it differs from site.coldest. The lower, the safer.",
        examples=["-24 degC"],
    )


class WirePrices(Section):
    """Prices for the buying list, in your own money."""

    array_wire: Price | None = Field(
        None, description="Wire of the strings, per metre.", examples=[1.6]
    )
    connector_pair: Price | None = Field(None, description="A pair of connectors.", examples=[4.5])


class Wiring(Section):
    """Strings, boxes, wires."""

    basis: ElectricBasis
    equipment: Equipment
    combiners: Combiners
    run: Run
    conductors: Conductors = Field(default_factory=Conductors)
    disconnect: Disconnect = Field(default_factory=Disconnect)
    grounding: Grounding = Field(default_factory=Grounding)
    prices: WirePrices = Field(default_factory=WirePrices)
    per_string: Annotated[f.Count, Field(ge=1, le=60)] | None = Field(
        None,
        description="Modules in a string; left out, the best grouping is proposed.",
        examples=[4],
    )

    @model_validator(mode="after")
    def _window(self) -> Self:
        low, high = self.equipment.working
        if not low < high <= self.equipment.max_voltage:
            raise ValueError(
                "equipment.working must name its lower voltage first and end at or below "
                "equipment.max_voltage"
            )
        return self
