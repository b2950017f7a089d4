"""Arrays with a planted fault, measured with errors: by the physics of their modules, not by the
shares that the program's own list of faults states."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache

import numpy as np

from plumbrail.energy.module import fitted
from plumbrail.jobs.proving import subject_of
from plumbrail.jobs.wiring import WireJob, wiring
from plumbrail.notebook.proof_reader import read_proofs
from plumbrail.plan.demos import demo_text
from plumbrail.plan.reader import LoadedPlan, read_plan
from plumbrail.proving.parts import TestedString
from plumbrail.proving.run import Proved, prove
from plumbrail.proving.wanted import Subject, places

BYPASS = -0.5
HEAD = "time,string,kind,value,irradiance,cell temperature,instrument,note\n"


@cache
def demo_subject() -> Subject:
    """The demo plan's: two strings of twelve."""
    return subject_of(demo_wires())


@cache
def demo_wires() -> WireJob:
    text = demo_text("alder-creek")
    return wiring(LoadedPlan(read_plan(text), text, "demo", "0" * 64))


def subject_with(counts: tuple[int, ...]) -> Subject:
    """The demo's modules in strings of other lengths."""
    from dataclasses import replace

    strings = tuple(
        TestedString(f"S{k}", tuple(f"M{k}-{i}" for i in range(1, n + 1)), "C1", 1)
        for k, n in enumerate(counts, 1)
    )
    return replace(demo_subject(), strings=strings)


@dataclass
class Wired:
    """One string as it really is."""

    count: int
    light: list[float] = field(default_factory=list)
    """Share of the light on each module; all of it where none is given."""
    reversed_: int = 0
    shorted: int = 0
    """Bypass diodes that conduct both ways."""
    ohms: float = 0.0
    open: bool = False
    polarity: int = 1


@dataclass(frozen=True)
class Weather:
    light: float
    warmth: float


class Physics:
    """Voltage of a string at a current, module by module and strip by strip."""

    def __init__(self) -> None:
        module = demo_wires().plan.module
        self.diode, self.strips = fitted(module).diode, module.bypass

    def voltage(self, s: Wired, w: Weather, I: np.ndarray) -> np.ndarray:  # noqa: E741
        shares = s.light or [1.0] * s.count
        total = -I * s.ohms
        shorted = s.shorted
        for k, share in enumerate(shares):
            curve = self.diode.under(w.light * share, w.warmth)
            if k < s.reversed_:
                total = total - curve.voltage(-I)
                continue
            strip = np.maximum(curve.voltage(I) / self.strips, BYPASS)
            live = self.strips - min(shorted, self.strips)
            shorted -= self.strips - live
            total = total + live * strip
        return total

    def measured(self, s: Wired, w: Weather) -> tuple[float, float, float, float]:
        """Open voltage, short current, working voltage and current."""
        if s.open:
            return 0.0, 0.0, 0.0, 0.0
        opened = float(self.voltage(s, w, np.zeros(1))[0])
        low, high = 0.0, 1.4 * 14.0 * w.light / 1000.0
        for _ in range(30):
            mid = 0.5 * (low + high)
            low, high = (mid, high) if self.voltage(s, w, np.array([mid]))[0] > 0 else (low, mid)
        I = np.linspace(0.3 * low, low, 250)  # noqa: E741
        V = self.voltage(s, w, I)
        top = int(np.argmax(I * V))
        return s.polarity * opened, low, s.polarity * float(V[top]), float(I[top])


@dataclass
class Errors:
    """Draws within the common practice that the program states."""

    rng: np.random.Generator
    scale: float = 1.0

    def flat(self, largest: float) -> float:
        return self.scale * float(self.rng.uniform(-largest, largest))

    def bell(self, sd: float) -> float:
        return self.scale * float(self.rng.normal(0.0, sd))


def sheet(
    strings: list[Wired], e: Errors, *, working: bool = False, sensor: float = 0.0,
    thermometer: float = 0.0,
) -> str:  # fmt: skip
    """A file of tests of these strings; ``sensor`` and ``thermometer`` are faults of theirs."""
    physics, rows = Physics(), []
    vgain, again = 1 + e.flat(0.005), 1 + e.flat(0.02)
    lgain, tgain = (1 + e.flat(0.05)) * (1 + sensor), e.flat(3.0) + thermometer
    vbatch, ibatch, wbatch = 1 + e.flat(0.03), 1 + e.flat(0.03), 1 + e.bell(0.015)
    for k, s in enumerate(strings, 1):
        w = Weather(float(e.rng.uniform(550.0, 1000.0)), float(e.rng.uniform(300.0, 325.0)))
        own = Weather(w.light * (1 + e.bell(0.01)), w.warmth + e.bell(0.7))
        V, I, VW, IW = physics.measured(s, own)  # noqa: E741
        spread = 1 + e.bell(0.005) / s.count**0.5
        lit = f"{w.light * lgain:.1f} W/m2,{w.warmth + tgain - 273.15:.2f} degC,,"
        rows += [f",S{k},voc,{V * vbatch * vgain * spread * (1 + e.bell(0.001)):.2f} V,{lit}",
                 f",S{k},isc,{I * ibatch * again * (1 + e.bell(0.005)):.3f} A,{lit}"]  # fmt: skip
        if working:
            rows += [
                f",S{k},operating voltage,{VW * vbatch * vgain * wbatch * (1 + e.bell(0.01)):.2f} "
                f"V,{lit}",
                f",S{k},operating current,{IW * ibatch * again * (1 + e.bell(0.01)):.3f} A,{lit}",
            ]
    back = 2.5  # the sheets below write the cell's own warmth; the program adds this in full sun
    text = HEAD + "\n".join(rows) + "\n"
    return _as_back(text, back)


def _as_back(text: str, more: float) -> str:
    """Cell temperatures as they are read on the back of a module."""
    out = []
    for line in text.splitlines():
        cells = line.split(",")
        if cells[5].endswith("degC"):
            light, warm = float(cells[4].split()[0]), float(cells[5].split()[0])
            cells[5] = f"{warm - more * light / 1000.0:.2f} degC"
        out.append(",".join(cells))
    return "\n".join(out) + "\n"


def judged(subject: Subject, text: str) -> Proved:
    """The program's answer."""
    return prove(subject, read_proofs(text, places(subject)))


def blamed(found: Proved) -> str:
    """First suspected fault, ``sound`` where there is none."""
    if not found.suspicions:
        return "sound"
    return found.suspicions[0].candidates[0].fault if found.suspicions[0].candidates else "none"


def arrays(n: int, count: int, rng: np.random.Generator) -> dict[str, dict[str, object]]:
    """One array for each kind of fault, planted in its first string."""
    good = [Wired(n) for _ in range(count - 1)]
    share = 1.0 - float(rng.uniform(0.12, 0.6))
    dark = [1.0 - float(rng.uniform(0.3, 0.7)) if i < max(1, n // 4) else 1.0 for i in range(n)]

    def array(first: Wired, **more: object) -> dict[str, object]:
        return {"strings": [first, *good], **more}

    return {
        "sound": array(Wired(n)),
        "missing": array(Wired(n - 1)),
        "module reversed": array(Wired(n, reversed_=1)),
        "extra": array(Wired(n + 1)),
        "bypass": array(Wired(n, shorted=1)),
        "shaded": array(Wired(n, light=[share] * n)),
        "partly shaded": array(Wired(n, light=dark), working=True),
        "open": array(Wired(n, open=True)),
        "polarity": array(Wired(n, polarity=-1)),
        "joint": array(Wired(n, ohms=float(rng.uniform(3.0, 8.0))), working=True),
        "wrong string": {"strings": [Wired(n - 1), Wired(n + 1), *good[1:]]},
        "crossed": {"strings": [Wired(n, open=True), Wired(n, open=True), *good[1:]]},
        "sensor": array(Wired(n), sensor=float(rng.choice([-1, 1])) * float(
            rng.uniform(0.2, 0.4))),
        "thermometer": array(Wired(n), thermometer=-float(rng.uniform(22.0, 30.0))),
    }  # fmt: skip
