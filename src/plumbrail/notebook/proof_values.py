"""Values of a sheet of tests: text with a unit in, SI out; every refusal says what to write."""

from __future__ import annotations

import re
from dataclasses import dataclass

from plumbrail.errors import QuantityError
from plumbrail.notebook.proof_entries import Probe
from plumbrail.notebook.values import quote
from plumbrail.units import parse

SCREWS = ("small slot", "large slot", "split bolt", "other")
_COMMA = re.compile(r"[0-9],[0-9]")
_PARTS = re.compile(r"\s*(?:\bat\b|@)\s*", re.IGNORECASE)
_MARKED = re.compile(r"\s*(?:,|;)?\s*\b(?:of|marked)\b\s*", re.IGNORECASE)
_DEGREES = re.compile(r"\s*(?:deg\s*|°\s*)([CF])$", re.IGNORECASE)
_POLARITY = {"right": 1.0, "correct": 1.0, "ok": 1.0, "reversed": -1.0, "wrong": -1.0}
_GOOD = {"in place": 1.0, "yes": 1.0, "ok": 1.0, "works": 1.0, "done": 1.0,
         "missing": 0.0, "no": 0.0, "fails": 0.0, "not done": 0.0}  # fmt: skip
_TYPED = {
    Probe.OPEN: ("voltage", 2000.0, "452.3 V"), Probe.WORKING_VOLTAGE: ("voltage", 2000.0, "385 V"),
    Probe.PLUS_TO_GROUND: ("voltage", 2000.0, "180 V"),
    Probe.MINUS_TO_GROUND: ("voltage", 2000.0, "-270 V"),
    Probe.SHORT: ("current", 1000.0, "11.9 A"),
    Probe.WORKING_CURRENT: ("current", 1000.0, "11.2 A"),
}  # fmt: skip
_MOST_LIGHT, _LEAST_WARM, _MOST_WARM = 1600.0, 233.15, 383.15
_HOTTEST = 150.0
_MOST_OHMS, _MOST_TORQUE = 1e6, 200.0
_LEAST_TEST, _MOST_TEST = 10.0, 5000.0
_NO_PATH = {"ol", "o.l", "o.l.", "0l", "open", "over range", "overload", "infinite"}
"""What a meter shows, or people write, where nothing conducts."""


@dataclass(frozen=True, slots=True)
class Said:
    """One value."""

    value: float | None
    at_least: bool = False
    under: float | None = None
    screw: str = ""


def said(kind: Probe, text: str) -> Said:
    """The value of one kind; QuantityError in words."""
    if kind in (Probe.SERIAL, Probe.PHOTO):
        return Said(None)
    if kind is Probe.POLARITY:
        return Said(_word(text, _POLARITY, "right or reversed"))
    if kind in (Probe.LABEL, Probe.FUNCTION):
        words = "in place or missing" if kind is Probe.LABEL else "works or fails"
        return Said(_word(text, _GOOD, words))
    if text.lstrip().startswith(("=", "#")):
        raise QuantityError(f"{quote(text)} will not do; write the value that was read")
    if _COMMA.search(text):
        raise QuantityError(f"{quote(text)} has a comma in a number; write a decimal point")
    if kind is Probe.INSULATION:
        return _insulation(text)
    if kind is Probe.TORQUE:
        return _torque(text)
    if kind is Probe.WARMTH:
        return _hotter(text)
    if kind is Probe.CONTINUITY:
        return _continuity(text)
    sort, most, example = _TYPED[kind]
    value = _parsed(text, sort, example)
    unit = "V" if sort == "voltage" else "A"
    return Said(_within(value, most, text, f"{most:g} {unit}"))


def light(text: str) -> float:
    """Irradiance [W/m2]."""
    value = _parsed(text, "irradiance", "820 W/m2")
    if not 0.0 <= value <= _MOST_LIGHT:
        raise QuantityError(f"{quote(text)} is no light of the sun on a module; write 0 to "
                            f"{_MOST_LIGHT:g} W/m2")  # fmt: skip
    return value


def warmth(text: str) -> float:
    """Cell temperature [K]."""
    value = _parsed(text, "temperature", "46 degC")
    if not _LEAST_WARM <= value <= _MOST_WARM:
        raise QuantityError(f"{quote(text)} is outside -40 degC to 110 degC: a slip of unit?")
    return value


def _parsed(text: str, sort: str, example: str) -> float:
    try:
        return parse(text, sort)
    except QuantityError as error:
        words = str(error).partition("; write for example")[0]
        raise QuantityError(f"{words}; write for example {example}") from None


def _within(value: float, most: float, text: str, words: str) -> float:
    if abs(value) > most:
        raise QuantityError(f"{quote(text)} is more than {words}: a slip of unit or number?")
    return value


def _word(text: str, known: dict[str, float], write: str) -> float:
    plain = text.strip().lower()
    if plain not in known:
        raise QuantityError(f"{quote(text)} will not do; write {write}")
    return known[plain]


def _hotter(text: str) -> Said:
    """``4 K``; the hottest place is never colder than the others."""
    value = _within(_difference(text), _HOTTEST, text, f"{_HOTTEST:g} K")
    if value < 0.0:
        raise QuantityError(f"{quote(text)} is below zero; write by how much the hottest place is "
                            "hotter than the others, for example 4 K")  # fmt: skip
    return Said(value)


def _continuity(text: str) -> Said:
    """``0.2 ohm``; ``OL`` and ``> 40 Mohm`` say that there is no path."""
    if text.strip().lower() in _NO_PATH:
        return Said(_MOST_OHMS, at_least=True)
    bare = text.strip()
    over = bare.startswith(">")
    value = _parsed(bare.removeprefix(">").strip(), "resistance", "0.2 ohm, or OL")
    if value < 0.0:
        raise QuantityError(f"{quote(text)} is below zero; write for example 0.2 ohm")
    return Said(min(value, _MOST_OHMS), over or value >= _MOST_OHMS)


def _insulation(text: str) -> Said:
    """``55 Mohm at 1000 V``, ``> 200 Mohm at 500 V``."""
    ohms, *rest = _PARTS.split(text.strip(), maxsplit=1)
    over = ohms.startswith((">", "over "))
    value = _parsed(ohms.removeprefix(">").removeprefix("over ").strip(), "resistance",
                    "55 Mohm at 1000 V")  # fmt: skip
    if value < 0.0:
        raise QuantityError(f"{quote(text)} is below zero; write for example 55 Mohm at 1000 V")
    under = _parsed(rest[0], "voltage", "55 Mohm at 1000 V") if rest else None
    if under is not None and not _LEAST_TEST <= under <= _MOST_TEST:
        raise QuantityError(f"{quote(rest[0])} is no test voltage; write {_LEAST_TEST:g} V to "
                            f"{_MOST_TEST:g} V")  # fmt: skip
    return Said(value, over, under)


def _torque(text: str) -> Said:
    """``35 lbf*in of 35 lbf*in`` as marked, or ``35 lbf*in large slot`` by the code's table."""
    example = "35 lbf*in of 35 lbf*in, or 35 lbf*in large slot"
    made, *rest = _MARKED.split(text.strip(), maxsplit=1)
    if rest:
        return Said(_positive(made, example), under=_positive(rest[0], example))
    screw = next((s for s in SCREWS if made.lower().rstrip().endswith(s)), "")
    bare = made[: len(made.rstrip()) - len(screw)].rstrip(" ,;") if screw else made
    return Said(_positive(bare, example), screw=screw)


def _positive(text: str, example: str) -> float:
    value = _parsed(text, "moment", example)
    if value <= 0.0:
        raise QuantityError(f"{quote(text)} is no torque; write for example {example}")
    if value > _MOST_TORQUE:
        raise QuantityError(f"{quote(text)} is more than {_MOST_TORQUE:g} N*m, which no terminal "
                            f"takes: a slip of unit? Write for example {example}")  # fmt: skip
    return value


def _difference(text: str) -> float:
    plain = _DEGREES.sub(lambda m: f" delta_deg{m[1].upper()}", text.strip())
    return _parsed(plain, "temperature_difference", "4 K")
