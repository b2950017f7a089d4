"""What usually mends a check that fails, in the order a builder would try it.

Common practice, no published source; each has a price elsewhere, so check again after the change.
"""

from __future__ import annotations

from plumbrail.check import Check, Status

_STEEL = {
    "post": "heavier post pipe, more stations, braces across the rows, or a lower array",
    "beam": "heavier beam pipe, or posts closer together",
    "brace": "heavier brace pipe, or a shorter brace",
}
_REMEDIES = {
    ("frame", "sway stiffness"): "heavier post pipe, or diagonal braces in that direction",
    ("post", "sway of the top"): "heavier post pipe, diagonal braces, or a lower array",
    ("splice", "moment where it is joined"): "let the cut list choose the place (leave "
    "stock.splices.front and back out), or buy longer sticks",
    ("splice", "place"): "let the cut list choose the place, or buy longer sticks",
    ("splice", "bending of the joint"): "a stronger joint, or a place where the beam bends less",
    ("splice", "shear of the joint"): "a stronger joint, or a place further from the post",
    ("splice", "splices and cut list"): "longer sticks, a smaller shortest_piece, or a larger "
    "moment_share if the joint allows it",
    ("pier", "sideways hold in the soil"): "deeper or wider piers, more stations, or braces across",
    ("pier", "uplift"): "wider or deeper piers, more stations, or shaft friction from a report",
    ("pier", "bearing"): "wider piers, more stations, or soil values from a report",
    ("pier", "frost depth"): "dig below the frost line",
    ("pier", "concrete cover"): "a wider hole",
    ("module", "pressure from below"): "a module rated for more, or a lower tilt",
    ("module", "pressure from above"): "a module rated for more, or more rails if its maker rates "
    "it so",
    ("rail", "bending"): "a deeper rail, more rails to a column, or beam lines moved inward or "
    "outward to even out span and overhang",
    ("rail", "all together"): "a deeper or wider rail, modules that hold it sideways "
    "(frame.rail.side_support), or more rails to a column",
    ("rail", "shear"): "a rail with thicker webs, or more rails to a column",
    ("ground", "clear of buried services"): "move the posts; or have it dug up by hand and seen, "
    "agree the clear distance with its owner and write that as its tolerance",
    ("ground", "setback from the boundary"): "move the array, or ask the building department for a "
    "smaller setback in writing",
    (
        "ground",
        "easement kept free",
    ): "move the array; only the holder of the easement can allow it",
    ("ground", "keep-out area kept free"): "move the posts",
    ("site", "clearance"): "a larger low_edge_clearance, or graded ground",
}
_FEWER = "fewer modules in a string (wiring.per_string)"
_LONGER = "more modules in a string (wiring.per_string)"
_SPARE = "fewer strings in parallel: longer ones, or equipment with more inputs"
_ARRAY_WIRE = "a thicker wiring.conductors.array_size"
_RUN_WIRE = (
    "a thicker wiring.conductors.run_size, or leave it out so that the smallest that will do is "
    "taken"
)
_WIRING = {
    ("string", "voltage on the coldest morning"): f"{_FEWER}, or equipment that stands more",
    ("string", "voltage on the coldest morning, limit of the code"): _FEWER,
    ("string", "voltage on the coldest morning, limit of the module"): f"{_FEWER}, or modules for "
    "a higher system voltage",
    ("string", "working voltage on the hottest day"): f"{_LONGER}, or equipment that works from a "
    "lower voltage",
    ("string", "working voltage at its rating"): f"{_FEWER}, or equipment that works up to a "
    "higher voltage",
    ("string", "voltage to start up on a hot day"): f"{_LONGER}, or equipment that starts at less",
    ("string", "string fuse"): f"{_SPARE}; or modules that allow a larger fuse",
    ("string", "current from other strings"): f"{_ARRAY_WIRE}; or {_SPARE}",
    ("string", "ampacity in its place"): f"{_ARRAY_WIRE}, more boxes (wiring.combiners.count) so "
    "that fewer wires lie together, or wires out of the warm air behind the modules "
    "(wiring.conductors.module_air)",
    ("string", "ampacity at its terminals"): f"{_ARRAY_WIRE}, or boxes with terminals marked for "
    "75 °C (wiring.combiners.terminals)",
    ("string", "device for the conductor"): _ARRAY_WIRE,
    ("string", "device for a small conductor"): _ARRAY_WIRE,
    ("input", "short-circuit current"): _SPARE,
    ("array", "rated power of the array"): "fewer modules, or equipment for a larger array",
    ("array", "grouping in strings"): "leave wiring.per_string out, so that the best grouping is "
    "proposed; where none will do, other equipment or another number of modules",
    ("run", "ampacity in its place"): f"{_RUN_WIRE}; or conduit in the shade (wiring.run.sun_rise)",
    ("run", "ampacity at its terminals"): f"{_RUN_WIRE}; or terminals marked for 75 °C at both "
    "ends",
    ("run", "device for the conductor"): _RUN_WIRE,
    ("run", "device for a small conductor"): _RUN_WIRE,
    ("run", "current from elsewhere"): f"{_RUN_WIRE}; or {_SPARE}",
    ("run", "voltage lost from the modules to the equipment"): f"{_RUN_WIRE}; longer strings, a "
    "shorter run, or a larger wiring.conductors.voltage_drop",
    ("run", "cable in the ground"): "conduit (wiring.run.method), or wiring.conductors.run_type "
    "that is made for the ground",
    ("run", "cover"): "conduit in place of bare cable (wiring.run.method), or another way for the "
    "trench",
    ("conduit", "fill"): f"another wiring.run.method; or {_SPARE}, which leaves fewer or thinner "
    "wires",
    ("rules", "arc-fault protection"): "equipment that has a listed arc-fault interrupter, or one "
    "beside it (then say so in wiring.equipment.arc_fault)",
    ("rules", "ground-fault protection"): "equipment that has it, or a device beside it (then say "
    "so in wiring.equipment.ground_fault)",
    ("disconnect", "rated voltage"): "a disconnect for a higher voltage of direct current",
    ("disconnect", "rated current"): f"a larger disconnect; or {_SPARE}",
    ("disconnect", "wires it opens at once"): "a disconnect that opens both wires of a run at once",
    ("disconnect", "fault current"): "a disconnect, or one with a fuse, rated for more fault "
    "current",
    ("disconnect", "opening under load"): "a disconnect made to be opened under load with direct "
    "current",
    ("disconnect", "locking it open"): "a disconnect that can be locked open",
    ("grounding", "electrode conductor"): "a thicker wire to the electrode "
    "(wiring.grounding.electrode_conductor)",
}
_FAMILY = {
    "joint": "a stronger fitting, or more of them",
    "rail": "a deeper rail, or more rails to a column",
    **_STEEL,
}


def remedy(check: Check) -> str:
    """What usually mends the check; empty unless it fails."""
    if check.status is not Status.FAIL:
        return ""
    key = (check.family, check.title)
    return _REMEDIES.get(key) or _WIRING.get(key) or _FAMILY.get(check.family, "")


def every() -> tuple[str, ...]:
    """All remedies there are, each once."""
    found = [*_STEEL.values(), *_REMEDIES.values(), *_WIRING.values(), *_FAMILY.values()]
    return tuple(dict.fromkeys(found))
