"""``plumbrail check PLAN --explain ID``."""

from __future__ import annotations

import re

import numpy as np
from rich.console import Console

from plumbrail.cli.show import balance, console, marked, print_json, quantity, share_used
from plumbrail.jobs.designing import Design
from plumbrail.jobs.explaining import Explanation, explain
from plumbrail.jobs.output import CAUTION, explain_report
from plumbrail.trace import Record, Step
from plumbrail.units import from_si, show


def show_explanation(design: Design, id: str, as_json: bool) -> None:
    """The steps of one check on the terminal or as JSON."""
    found = explain(design, id)
    if as_json:
        print_json(explain_report(design.run, found))
        return
    out = console()
    _heading(out, design, found)
    for story in found.loads:
        out.print(f"\nLoad {story.case}, factor {story.factor:g}: {story.words}", style="bold",
                  markup=False)  # fmt: skip
        if story.record is not None:
            show_steps(out, story.record, design.plan.job.units)
    if found.loads:
        out.print("\nFrame analysis: forces in balance within "
                  f"{balance(found.residual)} of the load.", style="bold")  # fmt: skip
    out.print("\nThe check", style="bold")
    show_steps(out, found.record, design.plan.job.units)
    out.print(f"\n{CAUTION}")


def _heading(out: Console, design: Design, found: Explanation) -> None:
    c, system = found.check, design.plan.job.units
    out.print(f"{c.id}: {c.subject}, {c.title}", style="bold", markup=False)
    demand, capacity = (quantity(v, c.unit, system) for v in (c.demand, c.capacity))
    numbers = f"{demand} of {capacity}, " if demand else ""
    if c.ratio is not None:
        out.print(f"{numbers}{share_used(c.ratio, c.rule)}: ", end="", markup=False)
    out.print(marked(c.status.value))
    sure = c.certainty.words if c.certainty is not None else "unknown"
    out.print(f"by {c.clause}; least sure value: {sure}", markup=False)
    if c.note:
        out.print(f"at {c.note}", markup=False)
    if found.combination:
        out.print(f"governing: {c.combination} = {found.combination} ({found.combination_source})",
                  markup=False)  # fmt: skip


def show_steps(out: Console, record: Record, system: str) -> None:
    """The steps of a record with their numbers."""
    place = {step.number: i + 1 for i, step in enumerate(record.steps)}
    for step in record.steps:
        out.print(f"{place[step.number]:>4}  {step.provision.symbol} = {_value(step, system)}",
                  markup=False)  # fmt: skip
        if step.provision.formula:
            out.print(f"        = {_pretty(step.provision.formula)}", markup=False)
            out.print(f"        with {_inputs(step, place)}", markup=False)
        title = f"{step.provision.title}; " if step.provision.title else ""
        sure = step.provision.certainty.words
        out.print(f"        {title}{step.provision.source} ({sure})", style="dim", markup=False)
        if step.residual is not None:
            out.print(f"        converged, misfit {step.residual:.1e}", style="dim")


def _value(step: Step, system: str) -> str:
    """Value in SI, with the plan's own units behind it where they differ."""
    text = f"{_number(step.value)} {_unit(step.provision.unit)}".rstrip()
    if system == "us" and step.value.size == 1:
        own = _us(float(step.value.item()), step.provision.unit)
        text += f" ({own})" if own else ""
    return text


_US = {"m**2": "in2", "m**3": "in3", "m**4": "in4", "m/s": "mph", "rad": "deg", "Pa/m": "psf/ft"}
_MEGA, _THIN = 1e6, 0.05


def _us(value: float, unit: str) -> str:
    """The value in US units; walls in thousandths of an inch, not in sixteenths."""
    if unit == "Pa" and abs(value) >= _MEGA:
        return show(value, "strength", "us")
    if unit == "m" and abs(value) < _THIN:
        return f"{from_si(value, 'in'):.3f} in"
    if unit in _US:
        return f"{from_si(value, _US[unit]):.4g} {_US[unit]}"
    return quantity(value, unit, "us")


def _number(value: object) -> str:
    """One number, or the range of several."""
    array = np.atleast_1d(np.asarray(value, dtype=float)).ravel()
    low, high = f"{array.min():.5g}", f"{array.max():.5g}"
    return low if low == high else f"{low} to {high} ({len(array)} places)"


def _unit(unit: str) -> str:
    if unit in ("-", "1"):
        return ""
    raised = re.sub(r"\*\*(-?\d)", lambda m: m[1].translate(str.maketrans("-1234", "⁻¹²³⁴")), unit)
    return raised.replace("*", "·")


def _pretty(formula: str) -> str:
    return (
        formula.replace("**", "^")
        .replace("*", " · ")
        .replace("minimum", "min")
        .replace("maximum", "max")
    )


def _inputs(step: Step, place: dict[int, int]) -> str:
    parts = [f"{k} = {v:.5g}" for k, (v, _) in step.provision.constants.items()]
    for name, value in step.inputs.items():
        origin = step.origins[name]
        where = f" ({place[origin]})" if origin in place else ""
        parts.append(
            f"{name} = {_number(value)} {_unit(step.provision.units[name])}".rstrip() + where
        )
    return ", ".join(parts)
