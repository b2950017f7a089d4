"""What can be wrong with planned works, as checks: read off their report, never taken as passed."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from plumbrail.check import Check
    from plumbrail.plan.models import Plan

SUBJECT, FAMILY = "the works", "works"
_WH = 3600.0


def works_checks(report: Mapping[str, Any], plan: Plan) -> list[Check]:
    """Days proven, power kept while the arrays change over, and whatever was not counted."""
    found = [_proven(report), *_changeover(report, plan)]
    return [*found, *(_uncounted(n, words) for n, words in enumerate(report["unchecked"], 1))]


def _rule(id: str, title: str, met: bool, note: str, clause: str, **sides: Any) -> Check:
    from plumbrail.check import Check, Status

    status = Status.PASS if met else Status.FAIL
    return Check(f"works.{id}", SUBJECT, title, status, clause=clause, note=note, family=FAMILY,
                 rule=True, **sides)  # fmt: skip


def _open(id: str, title: str, why: str) -> Check:
    from plumbrail.check import not_checked

    return not_checked(f"works.{id}", SUBJECT, title, FAMILY, why)


def _proven(report: Mapping[str, Any]) -> Check:
    title = "no order of the tasks ends sooner"
    if report["proven"]:
        return _rule("days", title, True, f"proven: they end on {day(report['end'])}", "[works]")
    return _open("days", title, f"not proven: they end on {day(report['end'])} and cannot end "
                                f"before {day(report['bound'])}")  # fmt: skip


def _changeover(report: Mapping[str, Any], plan: Plan) -> list[Check]:
    """The plan's own limits on each day of the changeover, looked at once more in its days."""
    change, old = report["changeover"], plan.old_array
    if change is None or old is None:
        return []
    days: Sequence[Mapping[str, Any]] = change["days"]
    return [*_charge(days, plan), *_live(days, old.least_modules)]


def _charge(days: Sequence[Mapping[str, Any]], plan: Plan) -> list[Check]:
    assert plan.old_array is not None
    reserve, title = plan.old_array.reserve, "charge of the battery while the arrays change over"
    known = [d for d in days if d["charge"] is not None]
    if reserve is None:  # said among what was not counted
        return []
    if len(known) < len(days) or not known:
        return [_open("battery", title, "the charge of some days is not known")]
    worst = min(known, key=lambda d: float(d["charge"]))
    charge, least = _WH * float(worst["charge"]), float(reserve.least)
    met = charge >= least
    left = f"{_kwh(charge)} are left before sunrise on {day(worst['day'])}"
    note = left if met else f"{left}, the reserve is {_kwh(least)}"
    ratio = least / charge if charge > 0 else None
    return [_rule("battery", title, met, note, "old_array.reserve.least", ratio=ratio,
                  demand=least, capacity=charge, unit="J")]  # fmt: skip


def _live(days: Sequence[Mapping[str, Any]], least: int | None) -> list[Check]:
    title = "modules that give power on each day of the changeover"
    if not least or not days:
        return []
    worst = min(days, key=lambda d: int(d["modules"]))
    count = int(worst["modules"])
    note = f"fewest on {day(worst['day'])}: {count}; the plan asks for {least}"
    return [_rule("modules", title, count >= least, note, "old_array.least_modules",
                  ratio=least / count if count else None, demand=float(least),
                  capacity=float(count))]  # fmt: skip


def _uncounted(n: int, words: str) -> Check:
    """A line of what was not counted; what stands before its colon says which."""
    head, colon, rest = words.partition(": ")
    title, why = (head[:1].lower() + head[1:], rest) if colon else ("not counted", words)
    slug = re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-") or str(n)
    return _open(slug if colon else f"{slug}-{n}", title, why)


def lines(report: Mapping[str, Any], check: Check) -> list[dict[str, Any]]:
    """What a check of the works is read off, day by day, as printed steps."""
    if check.id == "works.days":
        held = [t for t in report["tasks"] if t["critical"]]
        return [
            _line(t["words"], " to ".join(map(day, dict.fromkeys((t["start_day"], t["end_day"])))),
                  f"no room; {t['why']}" if t["why"] else "no room")
            for t in held
        ]  # fmt: skip
    if check.capacity is None or report["changeover"] is None:
        return []
    charge = check.id == "works.battery"
    return [
        _line(day(d["day"]),
              _kwh(_WH * float(d["charge"])) if charge else f"{d['modules']} modules",
              f"gives power: {' '.join(d['live']) or 'none'}")
        for d in report["changeover"]["days"]
    ]  # fmt: skip


def _line(what: str, result: str, clause: str) -> dict[str, Any]:
    return {"number": 0, "what": what, "clause": clause, "certainty": "", "formula": "",
            "numbers": "", "result": result, "si": ""}  # fmt: skip


def day(iso: str) -> str:
    """``Fri, Jun 5, 2026``."""
    at = date.fromisoformat(iso)
    return f"{at:%a, %b} {at.day}, {at.year}"


def _kwh(joules: float) -> str:
    return f"{joules / 3.6e6:.1f} kWh"
