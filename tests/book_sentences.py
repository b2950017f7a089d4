"""Sentences of the engineering packages that pages of the book tell in another language."""

from __future__ import annotations

BOOK = (
    "Shade was not looked at: modules are in strings by their places alone.",
    (
        "wiring.run.length is 60' 0\", yet in a straight line it is 84' 3 1/2\" from C1 to "
        "wiring.equipment.at; one of the two is a slip, and the wires were sized for the shorter "
        "way"
    ),
    "public document",
    "Torque of fittings and terminals without a maker's figure",
    ('not over 24 in apart (690.31(C), from memory), common practice; for wire of 1/4" outside'),
    "second-hand copy",
    "front post F3",
    "rail R1",
    "rail clamps, R5 on the front beam",
    "tape along the front beam, bay by bay: F1 to F4",
    (
        "too uncertain to say: level of the back beam, 1 of 4 posts, worst at B1: 3/16 in "
        "high (1/4 in allowed), give or take 1/16 in"
    ),
    "module clamps",
    "clamps on modules",
    "every string",
    "every string's wires",
    "one input of the equipment",
    "the whole array",
    "the run to the equipment",
    "the installation",
    "conduit above the ground",
    "grouping in strings",
    "bending, shear and reinforcement of the concrete pier itself",
    "bending",
    "axial force and torsion through the splice (an unbolted sleeve carries neither)",
    "all together",
    "bearing",
    "uplift",
    "sideways hold in the soil",
    "rail sliding down the slope",
    "clamp pulled off the rail",
    "deflection",
    "sway of the top",
    "voltage on the coldest morning",
    "voltage on the coldest morning, limit of the module",
    "working voltage at its rating",
    "voltage to start up on a hot day",
    "working current that can be used",
    "ampacity in its place",
    "ampacity at its terminals",
    "current from the equipment",
    "current from other strings",
    "current from elsewhere",
    "voltage lost from the modules to the equipment",
    "growth in the sun",
    "cover",
    "rapid shutdown",
    "system disconnect",
    "open wires within reach",
    "metal raceway indoors",
    "arc-fault protection",
    "ground-fault protection",
    "give frame.connections.clamp_uplift from the maker's letter",
    "give wiring.run.straight",
    "give wiring.equipment.backfeed: what it can push back, ask its maker",
    "give wiring.equipment.backfeed: ask its maker",
    (
        "measure it before the trench is closed: at least 1' 6\" from the top of the PVC 40 to"
        " the finished ground (NFPA 70 Table 300.5(A))"
    ),
    (
        "give wiring.equipment.arc_fault; A listed arc-fault interrupter for direct current. "
        "The exception for circuits in metal raceway or under ground, away from buildings, "
        "does not free the open wires of the array."
    ),
    (
        "give wiring.equipment.ground_fault; Detection that stops the current and shows the "
        "fault where it is seen. Only a solidly grounded array of at most two modules in "
        "parallel, away from buildings, is free of it."
    ),
    (
        "The run enters the building: its circuits there fall to 30 V within 30 s of the "
        "switch being opened; a switch and labels belong to it."
    ),
    (
        "A marked, lockable disconnect in a readily accessible place, at most six in one "
        "group, rated for voltage, current and fault current. Its door needs a lock or a tool"
        " above 30 V."
    ),
    (
        "Open wires that anyone can reach: put them in raceway or metal-clad cable, or behind"
        " a guard or fence; wires 8 ft above the ground are often accepted as out of reach. "
        "The building department decides."
    ),
    ("Inside the building: metal raceway, metal-clad cable of the named kind, or metal boxes."),
    "wider or deeper piers, more stations, or shaft friction from a report",
    "deeper or wider piers, more stations, or braces across",
    "heavier post pipe, more stations, braces across the rows, or a lower array",
    "heavier post pipe, diagonal braces, or a lower array",
    "mismatch",
    "first light",
    "conversion",
    "down time",
    "soiling",
    (
        "shading of the sun, shading of the sky, uneven light: the plan says nothing of what "
        "stands around; write [site.shade]"
    ),
    "snow: no snowfall in the weather file; give energy.losses.snow_depth",
    "limits of the equipment: no max_current or max_power of the equipment is stated",
    "Water for the concrete: ask the bag",
    "beam on post",
    "rail on beam",
    "joints of the beams",
    "grounding lugs",
    "10 AWG, small slot",
    "10 AWG, large slot",
    "10 AWG, split bolt",
    "10 AWG, other",
    "1/8 in",
    "bond of the post in the concrete",
    "frost heave gripping the shaft (adfreeze)",
    "piers closer together than their soil wedges, and piers at a slope or edge",
    "ground water, scour and softening of the upper soil",
    "local buckling of thin walls and lips of the rail",
    "lateral-torsional buckling of the rail between its clamps",
    "web crippling and slot opening at clamps and bolts",
    "loss of strength near welds",
    "wall of the pipe under the sleeve's bearing",
    "bolts, holes and net section of a bolted sleeve",
    "welds of a welded splice",
    "snow that drifts or slides onto the array from walls, hedges, roofs or other rows",
    ("snow or wind on one part of the row only (ASCE 7 7.5: partial loading of continuous beams)"),
    "ice, rain on snow, flood and tornado",
    ("bolt holes through posts, beams and braces, and pipe walls dented by saddles and clamps"),
    ("modules sliding down the slope in their clamps, and rail clamps sliding along the beams"),
    (
        "settlement and movement of the ground as a whole, and the give of piers in it (posts"
        " count as fixed at frame.fixity_depth; a pier that tilts lets the frame sway more)"
    ),
    ("swaying in gusts of a frame that is not stiff (the gust factor used is for a stiff frame)"),
    "loosening, corrosion and fatigue of fittings, and galvanic corrosion of mixed metals",
    "weight of fittings, clamps and cables",
    "the array while it is half built",
    (
        "Wind that meets the high edge is taken to lift (gamma = 0 in the figure), wind that "
        "meets the low edge to press down (gamma = 180): concluded from the signs of the "
        "coefficients, since the figure itself was not read."
    ),
    (
        "A ground snow load belongs to its edition: ASCE 7-22 maps are strength level and "
        "drawn per risk category; never mix them with factors of ASCE 7-16."
    ),
    (
        "Makers' figures for joints, splices and rails are taken as allowable (ASD) values; "
        "check that their letters mean the same."
    ),
    (
        "Wind on single bars, the least wind force, and earthquake coefficients rest on "
        "values from memory; a check that such a load governs says so."
    ),
    (
        'frame.fixity_depth is 6": posts count as fixed almost at grade, which makes their '
        "bending and sway look small. Soil at the surface seldom holds that well."
    ),
    "A module's leads are taken to start in the middle of its underside.",
    "The modules' own leads are not in the voltage lost.",
    "Whether a grouping suits the battery's voltage is not checked.",
    (
        "Not checked: wires, fuses, disconnects and grounding from the equipment on, to "
        "battery, loads, generator or grid."
    ),
    "The code's table of factors is for crystalline silicon only.",
    "The hottest cell is estimated by Faiman's own figures; module.noct would serve better.",
    (
        "Bends between two pull points add up to 360 degrees at most; the elbows at the feet "
        "of both risers take 180 of them. Past that, set a pull box."
    ),
    (
        "Lengths of the risers are estimated: from the box, and from 8 ft up the wall, to the"
        " depth of the run."
    ),
    (
        "The straight piece of PVC 80 above the ground grows by 5.8 mm between cold and sun: "
        "it needs no fitting (352.44; from 1/4 in on)."
    ),
    "Growth of the conduit above the ground is not checked: give wiring.run.straight.",
    (
        "rapid shutdown, 690.12(A): Circuits of an array apart from the building that end on "
        "its outside are exempt."
    ),
    (
        "equipment disconnect, 690.15: Isolation of the equipment: in it, or in sight and "
        "within 10 ft, or lockable. Up to 30 A an isolator not rated for load will do, marked"
        " so."
    ),
    (
        "equipment disconnect, 690.15: Isolation of the equipment: in it, or in sight and "
        "within 10 ft, or lockable. Above 30 A of largest current it must be able to break "
        "the load."
    ),
    (
        "separate raceways, 690.31(B): No circuits other than solar ones in the same raceway "
        "or box without a barrier."
    ),
    "metal raceway indoors, 690.31(D): The run does not enter a building.",
    (
        "bonding of frame and rails, 690.43: All bare metal that carries no current goes to "
        "the equipment grounding conductor at any voltage, by listed parts or by jumpers "
        "between sections."
    ),
    "deeper burial above 1000 V, 300.50: Up to 1000 V the cover of 300.5 holds.",
    "An electrode at the array is allowed and not required. (690.47(B))",
    ("Pipe legs set in concrete touch no earth: they are no rod or pipe electrode. (250.52(A)(5))"),
    (
        "A concrete-encased electrode needs 20 ft of 4 AWG bare copper or 1/2 in reinforcing "
        "bar in the concrete. (250.52(A)(3))"
    ),
    (
        "Metal of a structure is an electrode only with 10 ft of it upright in direct contact"
        " with the earth. (250.52(A)(2))"
    ),
    "A rod is 8 ft long and 5/8 in thick unless listed. (250.52(A)(5))",
    "A pipe electrode is 3/4 in trade size at least and galvanized. (250.52(A)(5))",
    "A single rod needs 25 ohm or a second one, 6 ft away at least. (250.53(A))",
    (
        "A rod at the array belongs to the one grounding electrode system; left by itself it "
        "is a hazard, and it never replaces the equipment grounding conductor. (250.54, "
        "250.50)"
    ),
    (
        "A grounding conductor smaller than 6 AWG is protected where it can be damaged (from "
        "memory)."
    ),
    (
        "The wording here is ours. Take the exact words, colours and sizes from the code in "
        "force; signs are durable, legible, and not written by hand except where numbers "
        "change (110.21(B), from memory)."
    ),
    (
        "A breaker set in the run, also as its disconnect, would have to be 25 A at least, "
        "and 12 AWG takes 20 A at most (240.4, 690.9(B)): use a disconnect without one, or "
        "write a thicker wiring.conductors.run_size."
    ),
    (
        "Clear and dull days in a likely order (seed 1), not those of any real year. Measured"
        " on three typical years made again from their own monthly means: light of the year "
        "on a tilted plane within 3 %, of a month within 3 to 15 %, the most beyond 50° of "
        "latitude."
    ),
    (
        "Air: smooth through the monthly means, 10 K between the coldest and the warmest hour"
        " of a day, 15:00 (common practice)."
    ),
    "Air: none stated, 5 °C all year (standard atmosphere).",
    "Albedo: none stated, 20% taken (grass).",
    "cell temperature: no NOCT in the plan; Faiman's own figures are taken.",
    (
        "A sky without any cloud: an upper bound that no real year reaches. Give "
        "energy.weather.file, or the monthly means sun and air."
    ),
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
    "Weather: made from the twelve monthly means of the plan.",
    "Weather: none stated, a sky without any cloud all year.",
    (
        "UPPER BOUND: no real year gives this. Measured light on level ground is smaller by a"
        " factor of 1.2 (sunny coast) to 1.9 (cloudy coast). Give energy.weather.file, or the"
        " monthly means sun and air."
    ),
    (
        "Light of the year on a tilted plane within 3 %, of a month within 3 to 15 %, the "
        "most beyond 50° of latitude (three typical years made again from their own means); "
        "what the means themselves are off comes on top. One year differs from the next: "
        "single years lie within about 10 % of a typical one (common practice, no published "
        "source)."
    ),
    "Generator of 5 kW: 19 hours, 94 kWh a year; unmet with it: 0 kWh.",
    (
        "Load 7,131 kWh a year; spilled with the battery full 8,615 kWh, lost in the battery "
        "230 kWh."
    ),
    "Tightest month: December, when the array gives 148 % of the load.",
    (
        "Smallest array and battery that serve 99 % of the load without a generator in at "
        "least 18 of 20 made years, any of: 16 modules with 60 kWh; 20 modules with 40 kWh; "
        "24 modules with 30 kWh; 32 modules with 20 kWh."
    ),
    (
        "Looked at in steps of 4 modules and 10 kWh; a larger array is taken to be shaded "
        "like this one, with equipment to match. A harder winter will come."
    ),
    "PV wire 10 AWG, copper",
    "pair of connectors",
    "clip for wire on rails and beams",
    "cable gland for a wire of a string",
    "combiner box",
    "disconnect for direct current, 17.5 A at 560 V, load break",
    "THWN-2 12 AWG, copper",
    "equipment grounding conductor, 12 AWG",
    "conduit PVC 80, trade size 1/2",
    "elbow 90 degrees, trade size 1/2, PVC 80",
    "bushing or sealing fitting, trade size 1/2",
    "array grounding conductor, 10 AWG",
    "grounding lug",
    "bonding jumper",
    (
        "An array cannot be switched off while it is light: every string is live from the "
        "moment it is connected, at nearly its full voltage even at dawn and under cloud. "
        "Cover modules or work without light where ends are bare."
    ),
    (
        "Never open a connector, a fuse holder or an isolator that is not made for it while "
        "current flows: an arc of direct current does not go out by itself."
    ),
    (
        "Measure volts before amperes, with a meter rated above the largest voltage on the "
        "placard, and check the polarity of every string before it meets another one or the "
        "equipment."
    ),
    (
        "Open contacts do not prove that both sides are dead: array, battery and equipment "
        "can each feed a part. Lock out all of them, wait as the maker says, and measure."
    ),
    (
        "This is work for a qualified person. Permits, inspection and the adopted local code "
        "decide; what is written here is an aid to them, not an approval."
    ),
    "rated voltage",
    "rated current",
    "wires it opens at once",
    "fault current",
    "opening under load",
    "locking it open",
    "the grounding of the building",
    "the grounding of the array's circuits",
    "electrode conductor",
    (
        "ask for 560 V of direct current at least (a rating for alternating current does not "
        "count) and give wiring.disconnect.voltage"
    ),
    (
        "ask for 17.5 A of direct current at least, at the strings' voltage, and give "
        "wiring.disconnect.current"
    ),
    (
        "ask that it opens both wires of a run at once at their voltage (where the sheet puts"
        " poles in series to reach the voltage, they count as one) and give "
        "wiring.disconnect.poles"
    ),
    (
        "ask its maker what fault current of direct current it stands or breaks, alone or "
        "with a fuse; give wiring.disconnect.interrupting; the array alone gives 17.5 A"
    ),
    (
        "ask its maker what fault current of direct current it stands or breaks, alone or "
        "with a fuse; give wiring.disconnect.interrupting; ask the maker of the equipment "
        "what a battery or the grid can drive back through it and give "
        "wiring.equipment.backfeed; the array alone gives 34.8 A"
    ),
    (
        "ask whether it may be opened under load with direct current at the voltage of the "
        "strings and give wiring.disconnect.load_break"
    ),
    "ask whether it can be locked open and give wiring.disconnect.lockable",
    (
        "give wiring.grounding.service_conductor and wiring.grounding.electrode: it goes by "
        "the largest wire of the building's service, or of what supplies the building"
    ),
    ("give wiring.grounding.system: the manual of the equipment says how it grounds the array"),
    "2 current-carrying conductors together",
    "75 °C column",
    (
        "at rated current, wires warm; a choice of the plan, no code sets it; longer strings,"
        " a shorter or thicker run, or a larger share would do"
    ),
    (
        "354.0 V on the coldest morning is over what the equipment stands "
        "(wiring.equipment.max_voltage): 250 V; 251.2 V at its rating is over the working "
        "window to 230 V"
    ),
    (
        "The grouping in strings does not pass; see plumbrail wire: 354.0 V on the coldest "
        "morning is over what the equipment stands (wiring.equipment.max_voltage): 250 V; "
        "251.2 V at its rating is over the working window to 230 V."
    ),
    (
        "a thicker wiring.conductors.run_size, or leave it out so that the smallest that will"
        " do is taken; or terminals marked for 75 °C at both ends"
    ),
    (
        "a thicker wiring.conductors.run_size, or leave it out so that the smallest that will"
        " do is taken; longer strings, a shorter run, or a larger "
        "wiring.conductors.voltage_drop"
    ),
    (
        "a thicker wiring.conductors.run_size, or leave it out so that the smallest that will"
        " do is taken; or conduit in the shade (wiring.run.sun_rise)"
    ),
    (
        "Wires of one box count as one bundle in the air behind the modules, 15 K warmer than"
        " site.hottest, 38 °C: wiring.conductors.module_air (common practice, not stated)."
    ),
    (
        "Conduit above the ground counts as 30 °F warmer than site.hottest in the sun: "
        "wiring.run.sun_rise (common practice, not stated). The adder of the code for raceway"
        " close to a roof (310.15) does not apply to an array on the ground."
    ),
    "home runs and jumpers, both poles, marked by polarity; with 10 % slack",
    (
        "2 for each string, 2 for each of 3 jumpers; of the make of the modules' own, or "
        "listed to mate with them"
    ),
    (
        "2 for each string, 2 for the jumper; of the make of the modules' own, or listed to mate "
        "with them"
    ),
    "2 for each string; of the make of the modules' own, or listed to mate with them",
    "home runs, both poles, marked by polarity; with 10 % slack",
    (
        "not over 24 in apart (690.31(C), from memory), common practice; see the wire's outer"
        " diameter"
    ),
    (
        "not over half a metre apart (690.31(C), from memory), common practice; for wire of "
        "6.9 mm outside"
    ),
    (
        "not over half a metre apart (690.31(C), from memory), common practice; see the "
        "wire's outer diameter"
    ),
    'where it enters its box; for wire of 1/4" outside',
    "where it enters its box; see the wire's outer diameter",
    "outdoor, for 2 strings and 560 V, terminals for 75 °C",
    (
        "for direct current of at least 17.5 A at 560 V, opens 2 wires of a run at once, made"
        " to break the load, lockable open; its fault rating is asked of its maker"
    ),
    "run to the equipment, both poles; with 10 % slack",
    "with the run; with 10 % slack",
    "from C1 down into the ground; with 10 % slack",
    "in the ground; with 10 % slack",
    "one at the foot of each riser",
    "one at each end, sealed against moisture",
    (
        "bare or green, along the beam; where it can be damaged 6 AWG at least, or in "
        "conduit; with 10 % slack"
    ),
    "one on each rail and box; fewer where a listed mounting system bonds them by itself",
    (
        "one from the grounding conductor to each beam; one more across every splice that is "
        "not listed for bonding"
    ),
    "system disconnect, or the equipment",
    "connectors and isolators that cannot break the load",
    "all connections and splices",
    (
        "raceways, boxes and fittings inside the building, every 10 ft at the most and on "
        "each side of walls and floors"
    ),
    "rapid shutdown switch, within 3 ft",
    "service equipment of the building",
    "disconnect of the battery",
    "where solar conductors reach the battery",
    "outside of a building that stands alone",
    "panel fed with one 120 V supply",
    "largest voltage: 560 V",
    "place of the switch: to be filled in",
    "place of the disconnect: to be filled in",
    "battery voltage: to be filled in; fault current: to be filled in",
    "largest DC voltage",
    "what it is: disconnect of the solar system; open and closed shown",
    "warning, electric shock: both sides may be live when it is open",
    "do not open under load",
    "polarity, plus and minus",
    "solar DC circuit; capitals 3/8 in high, white on red",
    ("solar system with rapid shutdown, where its switch is, with a small plan of the building"),
    "rapid shutdown switch for the solar system; reflective, white on red, 3/8 in",
    "what it is, nominal voltage, fault current, what to do in an emergency",
    "directory: power system that stands alone, place of its disconnect",
    "single 120 V supply: connect no multiwire branch circuits",
    (
        "Reliability MET: in 20 of 20 made years as much of the load is served as the plan "
        "asks for, which must be so in 90 % of them. In the year shown here sun and battery "
        "alone serve 99.94 % of the load, the plan asks for 99 %. Unmet without a generator: "
        "4.5 kWh in 18 hours."
    ),
    (
        "Over all 20 made years sun and battery alone serve 99.85 % of the load in the mean, "
        "99.52 % in the worst (standard deviation 0.15 %); 26 hours are short in the mean, 0 "
        "to 82 (standard deviation 24)."
    ),
    "posts, beams",
    "from the grounding of the building to its electrode",
    "of the array's direct-current circuits",
    "give module.max_system_voltage",
    "give wiring.equipment.start_voltage",
    "give wiring.equipment.max_current",
    "stated in the plan",
    "from mechanics",
    "back post B2",
    "rail R5 between the beams",
    "rail R5 overhangs",
    "rail clamps, R5 on the back beam",
    "post tops, B2",
    "F1-F2",
    "front beam, splice at 12' 7\"",
    "back beam, splice at 12' 7\"",
    "module clamps at the corners",
    "modules at the corners",
    "modules over the ground",
    "whole frame, along the row",
    "whole frame, across the row",
    "sway stiffness",
    "tension",
    "compression",
    "moment where it is joined",
    "bending of the joint",
    "shear of the joint",
    "strength of the joint",
    "sleeve in the pipe",
    "concrete cover",
    "frost depth",
    "rail lifted off the beam",
    "beam lifted off the post",
    "beam pushed off the post",
    "pressure from below",
    "pressure from above",
    "deflection of the overhang",
    "clearance",
    "bending and shear",
    "overhangs",
    "splices and cut list",
    "height of the plane",
    "voltage on the coldest morning, limit of the code",
    "working voltage on the hottest day",
    "short-circuit current",
    "rated power of the array",
    "string fuse",
    "fill",
    "give frame.splice from the maker's letter, or a sleeve",
    "Buried services: have them located and marked",
    "The plan has no [wiring] section.",
    "No table is at hand for IEC: take the marking of the equipment.",
    "brace on post",
    "up to the equipment; with 10 % slack",
)
