"""Checks of what is worked out behind an edit, as far as it is there: wiring, trench, works.

What is not there yet, or cannot be worked out, stands in the list as one check that was not made:
nothing passes by being absent.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from plumbrail.app.worked import PartDone

if TYPE_CHECKING:
    from plumbrail.app.messages import CheckItem
    from plumbrail.check import Check
    from plumbrail.plan.models import Plan

PARTS: tuple[str, ...] = ("wire", "trench", "works")
WORDS: Mapping[str, str] = {"wire": "wiring", "trench": "trench", "works": "works"}
"""What a part is called, and the family of its checks."""
COMING = "still being worked out"
_NO_WORKS = (
    "The order of the works: the plan has no [works] section, so no days, crew or inspections are "
    "looked at."
)
Done = Mapping[str, PartDone | None]


def asked(plan: Plan) -> tuple[str, ...]:
    """Parts whose checks count. An array has wires, and wires have a way to the house; the days
    of the works are planned only by whoever wants to."""
    return PARTS if plan.works is not None else PARTS[:2]


def not_asked(plan: Plan) -> list[str]:
    """What is never judged because the plan does not ask for it, in words."""
    return [] if plan.works is not None else [_NO_WORKS]


def placeholder(name: str) -> str:
    """Id of the check that stands for all those of a part."""
    return f"part.{name}"


def checks(plan: Plan, done: Done) -> list[Check]:
    """As they were reported; the steps are worked out when one is opened."""
    from plumbrail.check import Check, Status

    found: list[Check] = []
    for name in asked(plan):
        part = done.get(name)
        if part is None or "missing" in part.report:
            found.append(_open(name, COMING if part is None else str(part.report["missing"])))
            continue
        found += [
            Check(c["id"], c["subject"], c["title"], Status(c["status"]), c["ratio"], c["demand"],
                  c["capacity"], c["unit"], c["combination"], c["clause"], note=c["note"],
                  family=c["family"], rule=c["id"] in part.rules)
            for c in part.report.get("checks", [])
        ]  # fmt: skip
    return found


def ready(plan: Plan, name: str, part: PartDone | None) -> bool:
    """Whether there is an answer: its checks, why there are none, or nobody asked."""
    return part is not None or name not in asked(plan)


def _open(name: str, why: str) -> Check:
    from plumbrail.check import not_checked

    words = WORDS[name]
    subject = words if name == "wire" else f"the {words}"
    return not_checked(placeholder(name), subject, "every check of it", words, why)


def items(plan: Plan, done: Done) -> list[CheckItem]:
    """The same for the list of checks."""
    from plumbrail.app.messages import CheckItem

    said = _remedies(done)
    strings = _strings(done.get("wire"))
    return [
        CheckItem.model_construct(
            id=c.id, subject=c.subject, title=c.title,
            family=c.family if c.family in ("trench", "works") else "wiring",
            status=c.status.value, ratio=c.ratio, note=c.note, remedy=said.get(c.id, ""),
            parts=list(strings.get(c.id.partition(".")[0], []))
            if "every" not in c.subject else [],
        )
        for c in checks(plan, done)
    ]  # fmt: skip


def _remedies(done: Done) -> dict[str, str]:
    parts = [p for p in done.values() if p is not None]
    return {c["id"]: c["remedy"] for p in parts for c in p.report.get("checks", [])}


def _strings(wires: PartDone | None) -> Mapping[str, Sequence[str]]:
    reported: Sequence[Any] = [] if wires is None else wires.report.get("strings", [])
    return {s["id"]: s["modules"] for s in reported}
