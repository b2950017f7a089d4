"""Sentences of the trench, as its papers tell them in another language."""

from __future__ import annotations

TRENCH = (
    "0.1 h more work",
    "1' 1\" longer",
    "10% slack",
    "2' 11\" shorter",
    "25% looser",
    "4 ft (1.2 m) deep or more: a ladder or ramp within 25 ft (7.6 m) of everybody in it,"
    " 3 ft (0.9 m) above the edge (1926.651(c)(2)); test the air where it could be bad, "
    "as near a landfill, fuel or sewer (1926.651(g)).",
    "4' 9\" more by hand",
    "5 ft (1.5 m) deep or more: nobody goes in without a box, shoring or sloped sides, "
    "unless it is all in stable rock (1926.652(a)). Soil that nobody has classified is "
    "type C: no steeper than 1-1/2 level to 1 upright, 34 degrees.",
    "A competent person looks at the trench every day before work, after rain, and "
    "whenever something has changed (1926.651(k)).",
    "A service that is hit: stop, keep everybody away, leave it as it is, call its owner "
    "and the emergency number. Gas: no engine, no switch, no flame, go upwind.",
    "An open trench is a trap: fence it or cover it whenever nobody works at it, and "
    "close it soon.",
    "Call or click 811 two to three working days before the first cut; the law of the "
    "state decides. Write down the number of the ticket and the day on which it expires.",
    "Compare the marks with this sheet. Where one lies elsewhere, or is not on the sheet,"
    " stop and plan anew.",
    "Dig by hand wherever the sheet says so: no machine between the marked limits.",
    "Dig up every crossing by hand until you see the service, and measure its depth and "
    "its width, before the machine comes near.",
    "Electric power: in a common trench 12 in (0.3 m) between new direct-buried supply "
    "lines, good practice; ask its owner.",
    "Every service counts as live, the abandoned ones too. Machines stay out of the marked zones.",
    "Fill in layers and tread them down; no stones or rubble next to the conduit. Warning"
    " tape 12 in (0.3 m) over it: recommended.",
    "Gas: enough room that they do not touch and either can be mended; ask the gas "
    "company. The electrical code sets no distance from conduit.",
    "Have your own lines found by a hired locator: from the meter on, well, septic, "
    "propane, irrigation, feeders. No locate centre marks those.",
    "Hold up what is laid bare so that it does not hang; put sand about it and its own "
    "marking tape over it before the trench is closed.",
    "Irrigation: no distance is set; keep clear of its fittings.",
    "Lay the conduit on its bedding, glue or thread every joint, close both ends against "
    "water and mice at once.",
    "Less than 5 ft (1.5 m) deep: sides may stand only where a competent person sees no "
    "sign that they could cave in (1926.652(a)); one who kneels in a shallow trench can "
    "be buried too.",
    "Look up too: overhead lines over the route and where the machine swings.",
    "Mark the route in white, paint or flags, as staked out, with a little to each side.",
    "Measure the cover in three places, and at every crossing, and have the inspector see"
    " the open trench before it is closed.",
    "Measure what lies where, from two fixed points, and write it into the record: nobody"
    " marks your own conduit for you.",
    "More than 20 ft (6 m) deep: an engineer designs what holds it (1926.652).",
    "Photograph the marks with something that tells the place. Keep them until the trench"
    " is closed.",
    "Roots thicker than a thumb are not cut: tunnel under them.",
    "Sewer: the electrical code sets no distance; some towns want 5 ft (1.5 m) from any "
    "other service. Never through a drain field.",
    "Some of the ground is beyond the survey points: its height is a guess.",
    "Spoil, pipe and machine stay 2 ft (0.6 m) from the edge at the least (1926.651(j)(2)).",
    "Stay out of the root zones with machine and spoil.",
    "Telephone and fibre: 12 in (0.3 m) from direct-buried power, not asked where one of "
    "them is in conduit (800.47, from memory).",
    "The plan names no buried service. That clears nothing: have the ground located.",
    "The route is the one with the fewest hours of work by the plan's rates; left out, "
    "those are common practice.",
    "Hours: digging, crossings, bends, conduit with its bedding; filling the trench is a "
    "task of the works.",
    "The route runs under paving, counted as a road: trench.paved_as says what it is.",
    "Wait until every owner on the ticket has answered, marked or cleared; ask again for "
    "those who have not.",
    "Water: the electrical code sets no distance; the water company or the plumbing code may.",
    "X1 Old array feeder: depth not known",
    "X1, Old array feeder",
    "a fence is not the boundary: find the markers",
    "a map is not the boundary: find the markers",
    "bedding: sand or fine soil",
    "bend 5° left",
    "bend 5° right",
    "bends between pulling points",
    "bends on the way",
    "beside pier B4",
    "buried services located",
    "by hand from here",
    "by hand to here",
    "call before you dig and give site.locate: nobody has marked anything",
    "cover, as drawn",
    '3" of cover are missing 10\' 0" along the route: 1\' 3" there, 1\' 6" asked for. Dig deeper '
    "there, and measure it before the trench is closed",
    "cut from sweeps, or bent on site",
    "gap to the conduit",
    "give site.boundary: where the property ends is not in the plan",
    "ground dug out, as it lies",
    "hand work",
    "inside the boundary",
    "its depth is not known: dig it up by hand and measure",
    "jamming",
    "known from paper or memory only: have it located",
    "leg1, C1 to equipment",
    "length",
    "machine with its driver",
    "more than one full turn of bends",
    "no locate centre marks the owner's own lines: find them and set site.locate.own_lines",
    "own lines located",
    "pressure in bends",
    "pull boxes",
    "pull on the wires",
    "pulled toward the array; the other way 18.19 lbf",
    "quarter sweeps at the risers",
    "rates of the plan, or common practice",
    "recommended",
    "riser of the array",
    "root zone",
    "spoil left over, loose",
    "spoil, loose",
    "the conduit passes over it",
    "the conduit passes over it; its width is not known and counts as nothing",
    "the conduit passes under it",
    "the conduit passes under it; its width is not known and counts as nothing",
    "the crown stands for it: measure the stem 4 ft 6 in above the ground and give trunk",
    "the pull would be too strong",
    "the same in all figures",
    "the trade size of the conduit is not known: see the wiring",
    "the wires were sized for that length",
    "three wires in the conduit",
    "too much pressure in a bend",
    "wall, riser",
    "wire, all together",
    "leg1, C1 to PB1",
    "leg2, PB1 to PB2",
    "leg3, PB2 to equipment",
    "1 fewer crossing",
    "1 more crossing",
    "2 fewer crossings",
    "2 more crossings",
    "3' 2\" less by hand",
    "3' 2\" more by hand",
    "1.5 h less work",
    "1.5 h more work",
    "it lies in: well line",
    "pull box PB1",
    "roots of North-west spruce",
    "The route passes just beyond the known end of water: make sure that it ends there.",
    "pulled toward the equipment; the other way 18 lbf",
    "Flatter than trench.least_angle: water.",
    "water: conduit passes under",
    "water: conduit passes over",
)
