"""What can hurt whoever tests a live array. Common practice throughout."""

from __future__ import annotations

CAUTIONS = (
    "Every string is live while it is light, at nearly its full voltage even at dawn and under "
    "cloud; it cannot be switched off. Touching both ends can kill.",
    "Two people, never one alone; both know where to switch off, and one can give first aid. Dry "
    "hands and ground, gloves rated for the voltage, arc-rated clothes and face shield, no rings.",
    "Lock out and tag every source before a box is opened: disconnect, equipment, battery, supply. "
    "Then measure that it is dead, with a meter proved on a known source before and after.",
    "Polarity and open voltage first, current afterwards, insulation last. Meter and leads rated "
    "over the coldest voltage on the sign, category III or IV.",
    "Short-circuit current only through a shorting switch rated for the voltage and current of "
    "direct current: connect with the switch open, close, read with a clamp, open, disconnect. "
    "Never short or part a connector by hand: the arc does not go out.",
    "Insulation tester: it puts up to 1000 V on the wires and charges them. Disconnect equipment, "
    "surge arresters and electronics first, keep everyone off frame and wires, and let it "
    "discharge after every test before anything is touched.",
    "Do not look for a ground fault by touching frame and ground: a frame with a fault may be "
    "live. Cover the modules or wait for the dark before it is mended.",
    "This is work for a qualified person. Licensed practice, the inspector and the adopted local "
    "code decide; a pass on this sheet is no approval.",
)
STEPS = (
    "Lock out everything. Fuses out, connectors at the boxes open, equipment off.",
    "Grounding: ohmmeter from the grounding conductor to every place on the list.",
    "Sensor of light flat on the module plane, unshaded; thermometer taped to the back of a module "
    "in the middle, shaded. Write both with every voltage and current.",
    "Every string: polarity, then open voltage. Stop at one that is reversed.",
    "Every string: short-circuit current with the shorting switch, in steady sun; or its operating "
    "current after switching on.",
    "Insulation: surge arresters and electronics disconnected; minus to ground, then plus to "
    "ground, or both joined through a rated shorting box.",
    "Connect, torque every screw, mark it. Switch on in the order of the equipment's manual.",
    "Functions, then the thermal look in good sun with everything loaded.",
    "Signs, photos, serial numbers. Give the record to the owner.",
)
"""Order of the tests; after IEC 62446-1."""
