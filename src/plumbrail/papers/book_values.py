"""Recorded numbers as calculation pages print them: SI as computed, and the job's units beside."""

from __future__ import annotations

import io
import re
from collections.abc import Mapping
from math import isfinite
from tokenize import NAME, OP, TokenInfo, generate_tokens

import numpy as np

from plumbrail.papers.wire_facts import quantity as electric
from plumbrail.trace import FUNCTIONS, Step
from plumbrail.units import from_si, show

_RAISED = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")
_KINDS = {"N": "force", "N*m": "moment", "Pa": "pressure", "m": "length"}
_US = {"m**2": "in2", "m**3": "in3", "m**4": "in4", "m/s": "mph", "rad": "deg", "Pa/m": "psf/ft"}
_POWERS = str.maketrans("234", "²³⁴")
_MEGA, _THIN = 1e6, 0.05
_SAID = {"minimum": "min", "maximum": "max", "where": "if"}
_GREEK = {
    "alpha": "α", "beta": "β", "gamma": "γ", "delta": "δ", "Delta": "Δ", "epsilon": "ε",
    "theta": "θ", "lambda": "λ", "lamda": "λ", "mu": "μ", "nu": "ν", "rho": "ρ", "sigma": "σ",
    "tau": "τ", "phi": "φ", "psi": "ψ", "omega": "ω", "Omega": "Ω", "pi": "π", "eta": "η",
    "kappa": "κ",
}  # fmt: skip
_SIGNS = {"*": " · ", "**": "^", "<=": " ≤ ", ">=": " ≥ ", "<": " < ", ">": " > ", ",": ", ",
          "+": " + ", "-": " − ", "&": " and ", "|": " or "}  # fmt: skip


def figure(value: float) -> str:
    """Five figures; large and small ones with a power of ten: ``1.2×10⁸``."""
    if not isfinite(value):
        return "∞" if value > 0 else "−∞" if value < 0 else "?"
    text = f"{value + 0.0:.5g}"  # no minus before nothing
    mantissa, _, power = text.partition("e")
    words = f"{mantissa}×10{str(int(power)).translate(_RAISED)}" if power else mantissa
    return words.replace("-", "−", 1) if value < 0 else words


def figures(value: object) -> str:
    """One number, or the range of several."""
    array = np.atleast_1d(np.asarray(value, dtype=float)).ravel()
    low, high = figure(float(array.min())), figure(float(array.max()))
    return low if low == high else f"{low} … {high} ({len(array)})"


def symbol(name: str) -> str:
    """``theta_1`` as ``θ_1``."""
    head, mark, rest = name.partition("_")
    return _GREEK.get(head, head) + mark + rest


def unit_words(unit: str) -> str:
    """``m**2`` as ``m²``; nothing for a pure number."""
    if unit in ("-", "1"):
        return ""
    raised = re.sub(r"\*\*(-?\d)", lambda m: m[1].translate(_RAISED), unit)
    return raised.replace("*", "·").replace("ohm", "Ω")


def valued(value: object, unit: str) -> str:
    """A number with its unit, never parted: ``1047.1 Pa``."""
    return f"{figures(value)}\u00a0{unit_words(unit)}".rstrip("\u00a0")


def in_own_units(value: object, unit: str, system: str) -> str:
    """The same number in US units; empty in metric jobs and where there is no other unit."""
    array = np.asarray(value, dtype=float)
    if system != "us" or array.size != 1 or not isfinite(array.item()):
        return ""
    number = float(array.item())
    if unit == "Pa" and abs(number) >= _MEGA:
        return show(number, "strength", "us")
    if unit == "m" and abs(number) < _THIN:
        return f"{from_si(number, 'in'):.3f} in"
    if unit in _US:
        return f"{from_si(number, _US[unit]):.4g} {_US[unit].translate(_POWERS)}"
    return quantity(number, unit, "us") if unit in _KINDS else ""


def both(value: object, unit: str, system: str) -> str:
    """SI, and the job's own units behind it where they differ."""
    own = in_own_units(value, unit, system)
    return f"{valued(value, unit)} ({own})" if own else valued(value, unit)


def quantity(value: float | None, unit: str, system: str) -> str:
    """A demand or capacity as people say it; empty when only the ratio has a meaning."""
    if value is None:
        return ""
    if unit in _KINDS:
        return show(value, _KINDS[unit], system)
    return electric(value, unit)


def printed(formula: str) -> str:
    """A formula of a provision with the signs of print."""
    return _written(formula, {})


def filled_in(step: Step, place: Mapping[int, int]) -> str:
    """The formula with its numbers and units; ``[3]`` says that a number is the result of step 3.

    ``place``: number of a step in its record to the number it is printed under.
    """
    return _written(step.provision.formula, _inputs(step, place))


def fed(step: Step, place: Mapping[int, int]) -> str:
    """What an analysis starts from: ``P = 100 N, L = 3 m``."""
    words = _inputs(step, place)
    return ", ".join(f"{symbol(name)}\u00a0=\u00a0{words[name]}" for name in step.inputs)


def _inputs(step: Step, place: Mapping[int, int]) -> dict[str, str]:
    meta = step.provision
    words = {k: valued(v, unit) for k, (v, unit) in meta.constants.items()}
    for name, value in step.inputs.items():
        origin = step.origins.get(name)
        where = f"\u00a0[{place[origin]}]" if origin is not None and origin in place else ""
        words[name] = valued(value, meta.units[name]) + where
    return words


def _written(formula: str, words: Mapping[str, str]) -> str:
    tokens = [t for t in generate_tokens(io.StringIO(formula).readline) if t.string.strip()]
    return "".join(
        _token(t, tokens[i - 1] if i else None, tokens[i + 1] if i + 1 < len(tokens) else None,
               words)
        for i, t in enumerate(tokens)
    )  # fmt: skip


def _token(
    token: TokenInfo, before: TokenInfo | None, after: TokenInfo | None, words: Mapping[str, str]
) -> str:
    text = token.string
    if token.type == NAME:
        if text in FUNCTIONS and text not in words:
            return _SAID.get(text, text)
        value = words.get(text, symbol(text))
        power = after is not None and after.string == "**"
        signed = value.startswith("−") and before is not None and before.string != "("
        return f"({value})" if (power and "\u00a0" in value) or signed else value
    if token.type == OP:
        leading = before is None or (before.type == OP and before.string != ")")
        if text == "-" and leading:
            return "−"
        return _SIGNS.get(text, text)
    return text
