"""Power of strings in patchy light, batteries and sizes. Rows: (name, value, unit)."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import tomlkit

from benchmarks.timing import quickest
from plumbrail.energy.battery import cycle
from plumbrail.energy.diode import best_point
from plumbrail.energy.module import fitted
from plumbrail.energy.sizing import through
from plumbrail.energy.strings import shared_power, string_power
from plumbrail.plan.demos import demo_text
from plumbrail.plan.energy import OffGrid
from plumbrail.plan.reader import read_plan

Row = tuple[str, float, str]
HOURS, MODULES, STRIPS = 4400, 24, 3
KWH = 3.6e6


def seconds(call: Callable[[], object]) -> float:
    """Processor time of one call."""
    return quickest(call, 3)


def strings() -> list[Row]:
    """Every hour of day patchy, which no real place is."""
    from pvlib.pvsystem import singlediode

    text = tomlkit.parse(demo_text("alder-creek"))
    text["module"]["cells"] = 54
    module = read_plan(tomlkit.dumps(text)).module
    diode = fitted(module).diode
    rng = np.random.default_rng(1)
    shape = (HOURS, MODULES * STRIPS)
    light = np.where(rng.random(shape) < 0.3, rng.uniform(80.0, 400.0, shape),
                     rng.uniform(500.0, 1000.0, (HOURS, 1)))  # fmt: skip
    warm = rng.uniform(270.0, 330.0, HOURS)
    string = np.arange(shape[1]) // (shape[1] // 6)
    one = np.zeros(6, dtype=np.int64)
    c = diode.under(light, warm[:, None])
    a, dark = np.broadcast_to(c.a, shape), np.broadcast_to(c.I_0, shape)
    library = seconds(
        lambda: singlediode(c.I_L.ravel(), dark.ravel(), c.R_s, 1.0 / c.G_sh.ravel(), a.ravel())
    )
    return [
        ("data sheet fitted", 1e3 * seconds(lambda: fitted(module)), "ms"),
        (f"best points of {light.size} curves", seconds(lambda: best_point(c)), "s"),
        ("the same by pvlib.pvsystem.singlediode", library, "s"),
        (f"6 strings of 4 modules, {HOURS} patchy hours, each its own best point",
         seconds(lambda: string_power(diode, STRIPS, light, warm, string, 6)), "s"),
        ("the same on one common voltage",
         seconds(lambda: shared_power(diode, STRIPS, light, warm, string, one)), "s"),
    ]  # fmt: skip


def batteries() -> list[Row]:
    """One battery hour by hour, and 100 pairs of array and battery at once."""
    rng = np.random.default_rng(2)
    day = np.clip(np.sin((np.arange(8760) % 24 - 6) / 12 * np.pi), 0.0, None)
    power = day * np.repeat(rng.uniform(0.1, 1.0, 365), 24)
    load = np.full(8760, 375.0)
    one = OffGrid.model_validate({"daily": ["9 kWh"], "usable": "20 kWh"})
    arrays, sizes = np.linspace(1e3, 1e4, 10), np.linspace(5, 50, 10) * KWH
    return [
        ("battery, a year twice", 1e3 * seconds(lambda: cycle(4e3 * power, load, one)), "ms"),
        ("10 arrays by 10 batteries, a year twice",
         seconds(lambda: through(power, load, one, arrays, sizes)), "s"),
    ]  # fmt: skip


def run() -> list[Row]:
    """All rows."""
    return [*strings(), *batteries()]


if __name__ == "__main__":
    for name, value, unit in run():
        print(f"{name:<72} {value:>12.4g} {unit}")
