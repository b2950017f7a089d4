"""Sentences of the works that papers tell in the language spoken, one of each kind."""

from __future__ import annotations

WORKS = (
    "Set out the holes from the pins",
    "Drill hole B2",
    "Dig the trench",
    "Dig by hand: crossings, zones, roots",
    "Dig the rest of the trench with the machine",
    "Lay the conduit",
    "Inspection of the open trench",
    "Inspection of the holes",
    "Saw posts, beams, braces and rails",
    "Stand and brace post B2",
    "Holding pour B2",
    "Fill the trench, warning tape",
    "Lift and splice the back beam",
    "Lift and splice the front beam",
    "Fit the braces",
    "Measure and true the frame; pour gate",
    "Pour pier B2",
    "Piers have their strength",
    "Rails of column 2",
    "Bond rails, posts, boxes; electrode",
    "Mount boxes, switches, controller",
    "Pull the run through the conduit",
    "Electrical rough inspection",
    "Mount the modules of S1",
    "Land the ends of S1, switch open",
    "Test S1, then switch it in",
    "Disconnect old string S1: isolate, prove dead",
    "Take down and carry over S1",
    "Final inspection",
    "Clear up and hand over",
    "Inspection of the open trench: not asked for",
    "Open holes are covered or fenced every evening. Holes and trench are dug only after "
    "all owners of buried services have answered and marked.",
    "Fresh concrete burns skin and eyes: gloves, boots, goggles, water at hand. Bags: lift "
    "with two, or half.",
    "Nobody stands under a beam that is lifted, nor inside the frame before its braces are on.",
    "Modules are sails: none is carried in wind that lifts its edge.",
    "Hours by common practice, no published source, where works.rates states none. Work "
    "goes faster in proportion with people, up to the number that each task can use.",
    "Curing by Nurse-Saul maturity above -10 °C (14 °F), with the mean air of the month "
    "for the concrete; a day counts from the hour of the pour.",
    "An inspection comes so many of the inspector's working days after its work is ready. "
    "Call ahead of it and nobody waits.",
    "2 working days are allowed for weather, spread evenly: which days they are nobody knows.",
    "Bought modules first, then modules of the old array as they come down; a new string "
    "is mounted when there are modules for all of it.",
    "A string disconnected gives nothing on that day, nor do the others of its controller; "
    "a new string counts from the day after its test.",
    "Energy by the mean day of the season; the old array by its own tilt and azimuth, "
    "without shade at its place.",
    "What takes two people needs the helper on those days; the list marks them.",
    "Days lost to weather: none counted, works.weather_days is not stated.",
    "Wiring: the plan has no [wiring] section, so trench, conduit and boxes are not in the "
    "schedule; each row of modules counts as one string.",
    "Energy: without [energy] and pmax of the module only module-days are counted; write "
    "[energy.weather] with file, or sun and air.",
    "Battery: no reserve is kept, old_array.reserve is not stated.",
    "Plan the day: fair weather, two people, nobody else at the switches; rubber gloves, "
    "face shield and a meter rated above the largest voltage on the sign.",
    "Stop the load: switch the controller or inverter off by its own switch, so that no "
    "current flows. Wait as its maker says.",
    "Open the direct-current disconnect of the string. Never pull a connector, fuse or "
    "link under load: an arc of direct current does not go out by itself.",
    "Lock it out and tag it, on both sides: array and battery each feed a part.",
    "Cover the modules with something no light passes, or do it before sunrise: the string "
    "still has its open-circuit voltage, whatever the switch says.",
    "Prove dead: meter on a known live source, then plus to minus, plus to ground, minus "
    "to ground, then on the known source again. Clamp meter: no current.",
    "Only now unplug, from the ends inward. Cap both ends at once, mark string, plus and minus.",
    "Take modules down one by one; bond and grounding of what stays are never opened by it.",
    "Before a string is landed again: polarity and open-circuit voltage of every string on "
    "its own, against the sheet. One reversed string on a common box is a fire.",
    "Close in the reverse order: fuses, disconnect, controller. Write down time and readings.",
    "Disconnecting and connecting is work for a qualified person. Permits, the makers' "
    "instructions and the local code decide; this list is an aid to them, not an approval.",
    "Cold: the mean day of December and January is below 40 °F (4.4 °C). Keep ground and "
    "forms free of frost, warm mix, blankets; concrete that freezes before it holds about "
    "500 psi (3.5 MPa) is lost.",
    "Heat: in December and January afternoons pass 90 °F (32 °C). Pour in the morning, wet "
    "the hole, keep the top wet; water for the crew, shade, rest.",
)
