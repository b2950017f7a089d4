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
    ("site", "clearance"): "a larger low_edge_clearance, or graded ground",
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
    return _REMEDIES.get((check.family, check.title), _FAMILY.get(check.family, ""))
