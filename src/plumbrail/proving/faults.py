"""What can be wrong with a string, and how each fault shows in what is measured.

An effect is the change of a reading as a share of its expected value. How often each fault is met
is common practice, no published source: only the order of the weights matters much.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from plumbrail.notebook.proof_entries import Probe
from plumbrail.proving.parts import Array

V, I, VW, IW = Probe.OPEN, Probe.SHORT, Probe.WORKING_VOLTAGE, Probe.WORKING_CURRENT  # noqa: E741
DARKER = tuple(round(1.0 - 0.955**k, 3) for k in range(2, 50))
"""Shares of light that a shaded or dirty string may lack."""
JOINTS = tuple(round(0.03 * 1.2**k, 3) for k in range(14))
"""Shares of the working voltage that a bad joint may take."""
OTHER = 0.3
"""Standard deviation of the ratios under "something else"."""


@dataclass(frozen=True)
class Fault:
    """One kind of fault of one string, of one size."""

    name: str
    size: float | None
    weight: float
    effect: dict[Probe, float]
    other: bool = False
    """No pattern of its own: anything may be read."""


WEIGHTS = {
    "missing": 0.010, "two missing": 0.002, "module reversed": 0.004, "extra": 0.003,
    "two extra": 0.0005, "bypass": 0.004, "two bypass": 0.001, "shaded": 0.010,
    "partly shaded": 0.008, "open": 0.006, "polarity": 0.006, "joint": 0.006, "other": 0.003,
}  # fmt: skip
PAIRED = {"swapped": 0.004, "wrong string": 0.003, "crossed": 0.004}
EVERYWHERE = {"sensor": 0.02, "thermometer": 0.01}
WORDS = {
    "missing": "one module is missing from {strings}, or bridged",
    "two missing": "two modules are missing from {strings}, or bridged",
    "module reversed": "one module of {strings} is connected the wrong way round",
    "extra": "{strings} has one module more than planned",
    "two extra": "{strings} has two modules more than planned",
    "bypass": "a bypass diode of one module of {strings} is shorted",
    "two bypass": "two bypass diodes of {strings} are shorted",
    "shaded": "all of {strings} stands in shade or is dirty",
    "partly shaded": "some modules of {strings} are shaded while it works",
    "open": "{strings} is open: a connector, fuse or joint does not conduct",
    "polarity": "{strings} is reversed: plus and minus are exchanged",
    "joint": "a joint or connector of {strings} has a high resistance",
    "other": "something else is wrong with {strings}: no known pattern fits",
    "swapped": "the wires of {strings} are exchanged",
    "wrong string": "a module of one of {strings} is wired into the other",
    "crossed": "plus of one of {strings} is paired with minus of the other",
    "sensor": "the light sensor: not in the plane of the array, shaded, dirty or wrong; or all "
    "modules are dirty or shaded alike",
    "thermometer": "the thermometer: not on a cell's back, in the sun or wrong; or another module "
    "than the plan's",
    "healthy": "nothing is wrong",
}  # fmt: skip
CHECKS = {
    "missing": "count the modules of the string and follow its jumpers; measure each half of it",
    "two missing": "count the modules of the string and follow its jumpers; measure each half",
    "module reversed": "measure each half of the string, then halve again; the module that lowers "
    "the sum is the one; keep the string open until it is found, it heats",
    "extra": "count the modules of the string against the map",
    "two extra": "count the modules of the string against the map",
    "bypass": "thermal look at the junction boxes with the string loaded; measure each module "
    "open, one is a third low",
    "two bypass": "thermal look at the junction boxes with the string loaded; measure each module",
    "shaded": "look along the modules for shade and dirt, wait or clean, and measure again",
    "partly shaded": "look for shade on single modules at the time of the test; measure again at "
    "noon",
    "open": "isolate, look at the fuse, then measure open voltage from one end, module by module, "
    "to find where it stops",
    "polarity": "keep it away from other strings and from the equipment; check the leads of the "
    "meter on a known source, then exchange the wires at the box",
    "joint": "thermal look at every connector with the string loaded; open and remake the warm one",
    "other": "measure it again with another meter, then module by module",
    "swapped": "cover one module of one string and see which reading falls; mark the wires anew",
    "wrong string": "count both strings against the map",
    "crossed": "isolate both, follow the wires, and measure plus of each against minus of each",
    "sensor": "hold the sensor flat on the module plane, clean it, keep your shadow off it, and "
    "compare with a second one; then measure again",
    "thermometer": "tape the sensor to the back of a module in the middle, in the shade of it, "
    "wait five minutes, and measure again; compare the type plate with the plan",
    "healthy": "measure again with better meters or in steadier light",
}  # fmt: skip


def library(count: int, strips: int, fall: float) -> tuple[Fault, ...]:
    """Every fault of a string of ``count`` modules; ``fall`` of voc per ln of the light."""
    n, b = float(count), float(count * strips)

    def shape(name: str, size: float, volts: float) -> Fault:
        return Fault(name, size, WEIGHTS[name], {V: volts, VW: volts})

    found = [
        shape("missing", 1, -1 / n), shape("module reversed", 1, -2 / n),
        shape("extra", 1, 1 / n), shape("two extra", 2, 2 / n),
        shape("bypass", 1, -1 / b), shape("two bypass", 2, -2 / b),
        Fault("open", None, WEIGHTS["open"], dict.fromkeys((V, I, VW, IW), -1.0)),
        Fault("polarity", None, WEIGHTS["polarity"], {V: -2.0, VW: -2.0}),
        Fault("other", None, WEIGHTS["other"], {}, other=True),
    ]  # fmt: skip
    if count > 2:
        found.append(shape("two missing", 2, -2 / n))
    for q in DARKER:
        volts = fall * float(np.log1p(-q))
        weight = WEIGHTS["shaded"] / len(DARKER)
        found.append(Fault("shaded", q, weight, {V: volts, I: -q, VW: volts, IW: -q}))
    for x in JOINTS:
        found.append(Fault("joint", x, WEIGHTS["joint"] / len(JOINTS), {VW: -x}))
    parts = range(1, max(2, count * strips // 2 + 1))
    for d in parts:  # strips that their bypass diodes take out while it works
        weight = WEIGHTS["partly shaded"] / (2 * len(parts))
        found.append(Fault("partly shaded", d / b, weight, {VW: -d / b, V: -0.004}))
    for q in (0.1, 0.2, 0.35, 0.5):  # or the current is held down
        weight = WEIGHTS["partly shaded"] / 8
        found.append(Fault("partly shaded", q, weight, {IW: -q, VW: 0.02, V: -0.004}))
    return tuple(found)


def vector(effect: dict[Probe, float], kinds: list[Probe]) -> Array:
    """The effect on some readings, zero where it has none."""
    return np.array([effect.get(kind, 0.0) for kind in kinds])
