"""Where a number of the yield comes from: the published formulas, one hour or one module at a time.

``module``: the diode from the data sheet. ``light``, ``reflection``, ``cell-temperature`` and
``wiring``: for one hour, noon of 21 June unless the id says another, as ``light.12-21.10``.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from difflib import get_close_matches

import numpy as np
from numpy.typing import NDArray

from plumbrail.energy import cells, diode, perez, sky
from plumbrail.energy.chain import Lit, lit
from plumbrail.energy.losses import wire_loss
from plumbrail.energy.module import NEEDED
from plumbrail.errors import PlumbrailError
from plumbrail.jobs.yielding import YieldJob
from plumbrail.papers.yield_words import MONTHS
from plumbrail.tables import loader
from plumbrail.trace import Certainty, Record, analysis, given, recording
from plumbrail.weather.year import DAYS, HOURS, Origin

Array = NDArray[np.float64]

_USUAL = (6, 21, 12)
_HOURLY = re.compile(r"([a-z-]+)\.([0-9]{1,2})-([0-9]{1,2})\.([0-9]{1,2})")
_UNITS = {
    "pmax": "W", "voc": "V", "isc": "A", "vmp": "V", "imp": "A", "voc_coefficient": "1/K",
    "isc_coefficient": "1/K", "pmax_coefficient": "1/K", "cells": "-",
}  # fmt: skip
PLAN, D = Certainty.PLAN, Certainty.DERIVED


@dataclass(frozen=True)
class YieldExplanation:
    """The steps behind one number."""

    id: str
    title: str
    moment: str
    """The hour, in words; empty where there is none."""
    notes: tuple[str, ...]
    record: Record


@dataclass(frozen=True)
class _Asked:
    made: YieldJob
    hour: int


def explain_yield(made: YieldJob, id: str) -> YieldExplanation:
    """The steps; raises PlumbrailError with the ids there are, or why there are no steps."""
    wanted = id.strip().lower()
    hourly = _HOURLY.fullmatch(wanted)
    name = hourly[1] if hourly else wanted
    if name not in _STORIES or (hourly and name == "module"):
        near = get_close_matches(name, list(_STORIES), 1, 0.3)
        raise PlumbrailError(
            f"there is no number {id!r} to explain. There are: {', '.join(_STORIES)}; all but the "
            f"first also for another hour, as {near[0] if near else 'light'}.12-21.10 for "
            "21 December, the hour from 10:00 standard time"
        )
    month, day, hour = (int(g) for g in hourly.groups()[1:]) if hourly else _USUAL
    asked = _Asked(made, _index(month, day, hour))
    title, story = _STORIES[name]
    with recording() as record:
        notes = story(asked)
    moment = "" if name == "module" else (
        f"{day} {MONTHS[month - 1]}, the hour from {hour}:00 standard time"
    )  # fmt: skip
    return YieldExplanation(wanted, title, moment, notes, record)


def _index(month: int, day: int, hour: int) -> int:
    if not (1 <= month <= 12 and hour < 24 and 1 <= day <= int(DAYS[month - 1])):
        raise PlumbrailError(
            f"{month}-{day}.{hour} is no hour of the year; write month-day.hour with hours 0 to 23,"
            " as 12-21.10"
        )
    return int(24 * (DAYS[: month - 1].sum() + day - 1) + hour)


def _module(asked: _Asked) -> tuple[str, ...]:
    """The curve at standard conditions."""
    sheet, module = asked.made.plan.module, asked.made.ready.module
    d = module.diode
    nameplate = {
        name: (given(f"plan, module.{name}", f"{name} [{_UNITS[name]}]",
                     float(getattr(sheet, name)), Certainty.MAKER, words), _UNITS[name])
        for name, words in NEEDED.items()
    }  # fmt: skip
    top = diode.best_point(d.under(diode.RATED_LIGHT, diode.RATED_WARMTH))
    vmp, imp = float(nameplate["vmp"][0]), float(nameplate["imp"][0])
    miss = max(abs(float(top.voltage) / vmp - 1), abs(float(top.current) / imp - 1))

    def solved(symbol: str, value: float, words: str) -> Array:
        return analysis(f"{diode.DE_SOTO}, solved from the data sheet", symbol, value,
                        Certainty.CONFIRMED, miss, words, nameplate)  # fmt: skip

    I_Lr = solved("I_Lr [A]", d.light, "light current at standard conditions")
    I_0r = solved("I_0r [A]", d.saturation, "saturation current at standard conditions")
    R_s = solved("R_s [ohm]", d.series, "series resistance")
    R_shr = solved("R_shr [ohm]", d.shunt, "shunt resistance at standard conditions")
    a_r = solved("a_r [V]", d.ideality, "modified ideality at standard conditions")
    alpha = solved("alpha [A/K]", d.coefficient, "coefficient of the light current, adjusted")
    G = given("standard test conditions", "G [W/m**2]", diode.RATED_LIGHT, Certainty.CONFIRMED)
    T = given("standard test conditions", "T [K]", diode.RATED_WARMTH, Certainty.CONFIRMED)
    _curve(G, T, (I_Lr, I_0r, R_shr, a_r, alpha, R_s), asked)
    return (f"The diode meets vmp and imp of the data sheet to {miss:.1e}.",)


def _curve(G: Array, T: Array, of: tuple[Array, ...], asked: _Asked) -> diode.Point:
    """The five parameters under light and warmth, and the best point of their curve."""
    I_Lr, I_0r, R_shr, a_r, alpha, R_s = of
    I_L = diode.light_current(G, T, I_Lr, alpha)
    I_0 = diode.saturation_current(T, I_0r, diode.band_gap(T))
    a, G_sh = diode.ideality(T, a_r), diode.shunt_conductance(G, R_shr)
    top = diode.best_point(diode.Curve(I_L, I_0, a, G_sh, R_s))
    again = asked.made.ready.module.diode.under(G, T)
    off = abs(float(diode.best_point(again).power) - float(top.power))
    inputs = {"I_L": (I_L, "A"), "I_0": (I_0, "A"), "a": (a, "V"), "G_sh": (G_sh, "S"),
              "R_s": (R_s, "ohm")}  # fmt: skip
    words = "Best point of I = I_L - I_0*(exp(D/a) - 1) - D*G_sh, V = D - I*R_s, by Newton"
    for symbol, value in (("V_mp [V]", top.voltage), ("I_mp [A]", top.current),
                          ("P_mp [W]", top.power)):  # fmt: skip
        analysis(words, symbol, value, D, off, "", inputs)
    return top


def _weather(asked: _Asked, symbol: str, value: float, words: str) -> Array:
    year = asked.made.year
    sure = Certainty.CONFIRMED if year.origin is Origin.FILE else Certainty.DERIVED
    return given(year.source, symbol, value, sure, words)


def _sun(asked: _Asked) -> tuple[Array, Array]:
    """Height and bearing; refuses an hour of night."""
    sun, k = asked.made.facts.sun, asked.hour
    if not sun.up[k]:
        raise PlumbrailError("the sun is down in that hour; ask for one of day, as light.06-21.12")
    spa = "Sun by NREL/TP-560-34302, middle of the lit part of the hour"
    h = given(spa, "h [rad]", sun.height[k], Certainty.CONFIRMED, "height above level")
    return h, given(spa, "Z [rad]", sun.bearing[k], Certainty.CONFIRMED, "bearing from true north")


def _plane(asked: _Asked) -> tuple[Array, Array]:
    plane = asked.made.model.plane
    tilt = given("plan, array.tilt, or as built", "beta [rad]", plane.tilt, PLAN)
    return tilt, given("plan, array.azimuth, or as built", "gamma [rad]", plane.azimuth, PLAN)


def _light(asked: _Asked) -> tuple[str, ...]:
    """Perez's sky and the light on the open plane."""
    f, k = asked.made.facts, asked.hour
    h, Z = _sun(asked)
    beta, gamma = _plane(asked)
    year, sun = f.year, f.sun
    ghi = _weather(asked, "I [W/m**2]", year.ghi[k], "light on level ground")
    dni = _weather(asked, "I_bn [W/m**2]", year.dni[k], "straight from the sun")
    dhi = _weather(asked, "I_d [W/m**2]", year.dhi[k], "from the rest of the sky")
    rho = _weather(asked, "rho [-]", year.albedo[k], "albedo")
    if year.dhi[k] <= 0:
        raise PlumbrailError("there is no light of the sky in that hour; ask for another")
    theta = given("90 degrees less the height", "theta_z [rad]", np.pi / 2 - sun.height[k], D)
    mass = given("Kasten and Young 1989", "m [-]", sun.air_mass[k], Certainty.CONFIRMED, "air mass")
    outside = given("Spencer 1971", "I_on [W/m**2]", sun.outside[k], Certainty.MEMORY)
    epsilon, Delta = perez.clearness(dhi, dni, theta), perez.brightness(dhi, mass, outside)
    F = _factors(float(epsilon))
    F_1 = perez.about_the_sun(F[0], F[1], F[2], Delta, theta)
    F_2 = perez.at_the_horizon(F[3], F[4], F[5], Delta, theta)
    b = given(f"{perez.PEREZ}: sin h, not below cos 85°", "b [-]",
              max(np.sin(sun.height[k]), np.cos(perez.LOWEST)), Certainty.CONFIRMED)  # fmt: skip
    cosine = sky.incidence_cosine(h, Z, beta, gamma)
    ahead = analysis("0 where the sun is behind the plane", "cos_theta [-]",
                     np.maximum(cosine, 0.0), D, 0.0, "", {"cos_theta": (cosine, "-")})  # fmt: skip
    parts = {
        "G_dome": (sky.from_dome(dhi, F_1, beta), "W/m**2"),
        "G_halo": (sky.from_halo(dhi, F_1, ahead, b), "W/m**2"),
        "G_line": (sky.from_skyline(dhi, F_2, beta), "W/m**2"),
        "G_g": (sky.from_ground(ghi, rho, beta), "W/m**2"),
        "I_bn": (dni, "W/m**2"), "cos_theta": (ahead, "-"),
    }  # fmt: skip
    total = float(f.light.total[k])
    dark = float(parts["G_dome"][0] + parts["G_halo"][0])
    line = max(float(parts["G_line"][0]), -dark)
    own = dark + line + float(parts["G_g"][0]) + float(dni * ahead)
    analysis("I_bn*cos_theta + G_dome + G_halo + G_line + G_g", "G [W/m**2]", total, D,
             abs(own - total), "light on the open plane", parts)  # fmt: skip
    return ("Before anything that stands around.",)


def _factors(epsilon: float) -> list[Array]:
    table = loader.load("perez", "sky").numbers
    row = int(np.searchsorted(table["clearness"][1:], epsilon, side="right"))
    return [
        given(f"{perez.PEREZ}, table of factors, row {row + 1}", f"F_{n} [-]",
              float(table[f"F{n}"][row]), Certainty.CONFIRMED)
        for n in ("11", "12", "13", "21", "22", "23")
    ]  # fmt: skip


def _reflection(asked: _Asked) -> tuple[str, ...]:
    f, k = asked.made.facts, asked.hour
    h, Z = _sun(asked)
    beta, gamma = _plane(asked)
    a_r = given(cells.MARTIN_RUIZ, "a_r [-]", cells.GLASS, Certainty.CONFIRMED, "clean glass")
    c_2 = given(cells.MARTIN_RUIZ, "c_2 [-]", cells.SECOND, Certainty.CONFIRMED)
    c = sky.incidence_cosine(h, Z, beta, gamma)
    if f.light.cosine[k] > 0:
        cells.straight_light_passed(c, a_r)
    cells.sky_light_passed(beta, a_r, c_2)
    if f.model.plane.tilt > 1e-6:
        cells.ground_light_passed(beta, a_r, c_2)
    return ("Shares of the light that pass the glass, against light that comes head-on.",)


def _behind_shade(made: YieldJob) -> Lit:
    """Light of every hour of day, as the yield has it, clean of dust; leaves no steps."""
    ready = made.ready
    with recording():  # a record of its own, thrown away
        through = cells.passed(ready.light, ready.plan.array.tilt)
    return lit(ready.light, through, np.ones(HOURS), ready.snow, made.facts.shading, ready.place)


def _warmth(asked: _Asked) -> tuple[str, ...]:
    _cell_temperature(asked)
    return ("One temperature holds for the whole array.",)


def _cell_temperature(asked: _Asked) -> Array:
    made, k = asked.made, asked.hour
    found = _behind_shade(made)
    at = np.flatnonzero(found.hours == k)
    light = float(found.shaded[at[0]]) if len(at) else 0.0
    G = given("light on the array behind all shade", "G [W/m**2]", light, D, "see light")
    T_a = _weather(asked, "T_a [K]", made.year.air[k], "air")
    v = _weather(asked, "v [m/s]", made.year.wind[k], "wind at the modules")
    u_1 = given(cells.FAIMAN, "u_1 [W*s/(m**3*K)]", cells.WINDY, Certainty.CONFIRMED)
    noct = made.plan.module.noct
    if noct is None:
        u_0 = given(cells.FAIMAN, "u_0 [W/(m**2*K)]", cells.STILL, Certainty.CONFIRMED)
    else:
        T_n = given("plan, module.noct", "T_n [K]", noct, Certainty.MAKER)
        u_0 = cells.loss_from_nominal(T_n, u_1)
    return cells.cell_temperature(T_a, G, v, u_0, u_1)


def _wiring(asked: _Asked) -> tuple[str, ...]:
    """Of the first string, at rated current and in that hour."""
    made = asked.made
    ready = made.ready
    if ready.wiring is None:
        raise PlumbrailError("the loss in the wires was not checked, so it has no steps: give "
                             "[wiring] with its run, or energy.losses.wiring")  # fmt: skip
    stated = ready.losses.wiring is not None
    source = "plan, energy.losses.wiring" if stated else "the wires of [wiring], see plumbrail wire"
    w = given(source, "w [-]", ready.wiring, PLAN if stated else D, "lost at rated power")
    P_r = given("modules of the first string", "P_r [W]", ready.counts[0] * ready.module.rated, D)
    I_r = given("plan, module.imp", "I_r [A]", ready.module.imp, Certainty.MAKER)
    wire_loss(w, P_r, I_r, I_r)
    T = _cell_temperature(asked)
    found = _behind_shade(made)
    at = np.flatnonzero(found.hours == asked.hour)
    light = float(found.snow[at[0]]) if len(at) else 0.0
    G = given("light under the glass, behind all shade and snow, clean", "G [W/m**2]", light, D)
    top = diode.best_point(ready.module.diode.under(G, T))
    I = analysis("Best point of the module's diode, see module", "I [A]", top.current, D, 0.0,  # noqa: E741
                 "", {"G": (G, "W/m**2"), "T": (T, "K")})  # fmt: skip
    wire_loss(w, P_r, I, I_r)
    return ("Of the first string: first at rated current, then in that hour with its modules "
            "evenly lit and clean.",)  # fmt: skip


_STORIES: dict[str, tuple[str, Callable[[_Asked], tuple[str, ...]]]] = {
    "module": ("The module's diode at standard conditions", _module),
    "light": ("Light on the open plane in one hour", _light),
    "reflection": ("What the glass lets through in one hour", _reflection),
    "cell-temperature": ("Temperature of the cells in one hour", _warmth),
    "wiring": ("Lost in the wires in one hour", _wiring),
}
