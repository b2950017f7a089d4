"""GET /api/jobs/{job}/compare: which fields changed between two revisions, which numbers moved."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from plumbrail.app import reported
from plumbrail.app.messages import Comparison, Moved
from plumbrail.app.office import At, Office
from plumbrail.app.paths import path_of
from plumbrail.app.worked import PartDone, Stuck, Worked
from plumbrail.plan.outline import toml

if TYPE_CHECKING:
    from plumbrail.app.messages import CheckItem
    from plumbrail.check import Check

LEAST = 0.005
"""A ratio has changed from this on."""
_KWH = 3.6e6


def compare(office: Office, a: At, b: At) -> Comparison:
    """Revision ``a`` against ``b``."""
    one, two = office.bench.worked(a.sha256, a.text), office.bench.worked(b.sha256, b.text)
    changed = fields(a.text, b.text)
    if isinstance(one, Stuck) or isinstance(two, Stuck):
        return Comparison(a=a.step.revision, b=b.step.revision, fields=changed,
                          numbers=_cannot(one, two), checks=[])  # fmt: skip
    sides = Side(a, one, _parts(office, a)), Side(b, two, _parts(office, b))
    late = [name for name in reported.PARTS if not all(s.ready(name) for s in sides)]
    numbers = [*_numbers(*sides, late), _yield(office, a, b)]
    return Comparison(
        a=a.step.revision, b=b.step.revision, fields=changed,
        numbers=[m for m in numbers if m is not None], checks=_checks(*sides, late),
        left_out=[_left_out(name, sides) for name in late],
    )  # fmt: skip


@dataclass(frozen=True)
class Side:
    """One of the two revisions."""

    at: At
    worked: Worked
    done: Mapping[str, PartDone | None]
    """Parts whose checks are worked out behind, as far as they are there."""

    def ready(self, name: str) -> bool:
        """Whether the checks of a part can be compared."""
        return reported.ready(self.worked.loaded.plan, name, self.done[name])

    def checks(self, late: Sequence[str]) -> list[Check]:
        """Checks of the frame and of every part that is not late."""
        left = {reported.placeholder(name) for name in late}
        found = reported.checks(self.worked.loaded.plan, self._without(late))
        return [*self.worked.design.checks.checks, *(c for c in found if c.id not in left)]

    def items(self, late: Sequence[str]) -> list[CheckItem]:
        """The same for the list."""
        left = {reported.placeholder(name) for name in late}
        found = reported.items(self.worked.loaded.plan, self._without(late))
        return [*self.worked.items, *(i for i in found if i.id not in left)]

    def _without(self, late: Sequence[str]) -> dict[str, PartDone | None]:
        return {name: None if name in late else part for name, part in self.done.items()}


def _parts(office: Office, at: At) -> dict[str, PartDone | None]:
    return {name: office.bench.part(at.sha256, name) for name in reported.PARTS}


def _left_out(name: str, sides: tuple[Side, Side]) -> str:
    words = reported.WORDS[name]
    open_ = [str(s.at.step.revision) for s in sides if not s.ready(name)]
    of = f"revision {open_[0]}" if len(open_) == 1 else f"revisions {open_[0]} and {open_[1]}"
    return (f"Checks of the {words} are not compared: of {of} they are not worked out now. "
            "They are kept for some time after a revision was the plan on the screen.")  # fmt: skip


def fields(a: str, b: str) -> list[Moved]:
    """Fields that are written otherwise, in the order of the plan."""
    one, two = dict(_leaves(_read(a), ())), dict(_leaves(_read(b), ()))
    return [
        Moved(what=path_of(place), before=_said(one.get(place)), after=_said(two.get(place)))
        for place in dict.fromkeys([*one, *two])
        if one.get(place) != two.get(place)
    ]


def _read(text: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except ValueError:
        return {}


def _leaves(data: Any, place: tuple[str | int, ...]) -> Iterator[tuple[tuple[str | int, ...], Any]]:
    if isinstance(data, dict) and data:
        for key, value in data.items():
            yield from _leaves(value, (*place, key))
    elif isinstance(data, list) and data and all(isinstance(v, dict) for v in data):
        for i, value in enumerate(data):
            yield from _leaves(value, (*place, i))
    else:
        yield place, data


def _said(value: Any) -> str:
    if value is None:
        return ""
    text = value if isinstance(value, str) else toml(value)
    return text if len(text) <= 120 else f"{text[:119]}…"


def _cannot(one: Worked | Stuck, two: Worked | Stuck) -> list[Moved]:
    said = ["cannot be worked out" if isinstance(x, Stuck) else "can be worked out"
            for x in (one, two)]  # fmt: skip
    return [Moved(what="The plan", before=said[0], after=said[1],
                  better=None if said[0] == said[1] else said[1].startswith("can be"))]  # fmt: skip


def _numbers(a: Side, b: Side, late: Sequence[str]) -> list[Moved | None]:
    """Numbers that moved; what is not worked out of both is left out."""
    one, two = a.worked, b.worked
    checks = [s.checks(late) for s in (a, b)]
    return [
        _number("Checks that fail", *(_count(c, "fail") for c in checks)),
        _number("Checks not made", *(_count(c, "not checked") for c in checks)),
        _number("Largest ratio, %", *(100 * _worst(c) for c in checks), digits=1),
        _number("Pipe and rails", *(w.shop.sticks.cost for w in (one, two))),
        _number("Concrete", *(w.shop.bag_cost for w in (one, two))),
        _number("Bags", *(w.shop.bags.total for w in (one, two))),
        _number("Sticks", *(sum(x.count for x in w.shop.sticks.lines) for w in (one, two))),
        _number("Weight of all sticks, kg", *(w.shop.sticks.mass for w in (one, two))),
    ]


def _count(checks: Sequence[Check], status: str) -> float:
    return sum(c.status.value == status for c in checks)


def _worst(checks: Sequence[Check]) -> float:
    from plumbrail.check import worst

    top = worst(checks)
    return 0.0 if top is None else top.ratio or 0.0


def _yield(office: Office, a: At, b: At) -> Moved | None:
    found = [office.bench.part(x.sha256, "yield") for x in (a, b)]
    reports = [p.report for p in found if p is not None and "energy" in p.report]
    if len(reports) < 2:
        return None
    energies = [float(r["energy"]) / _KWH for r in reports]
    return _number("Yield, kWh a year", *energies, more=True)


def _number(
    what: str, before: float, after: float, *, digits: int = 0, more: bool = False
) -> Moved | None:
    """Less is better, unless ``more`` is; None where nothing shows."""
    said = [f"{v:,.{digits}f}" for v in (before, after)]
    if said[0] == said[1]:
        return None
    return Moved(what=what, before=said[0], after=said[1], better=(after > before) is more)


def _checks(one: Side, two: Side, late: Sequence[str]) -> list[Moved]:
    before, after = ({i.id: i for i in s.items(late)} for s in (one, two))
    found = []
    for id in dict.fromkeys([*before, *after]):
        a, b = before.get(id), after.get(id)
        if not _changed(a, b):
            continue
        better = None
        if a is not None and b is not None and a.ratio is not None and b.ratio is not None:
            better = b.ratio < a.ratio
        item = b or a
        found.append(
            (
                _jump(a, b),
                Moved(
                    what=f"{item.subject}: {item.title}" if item else id,
                    before=_outcome(a),
                    after=_outcome(b),
                    better=better,
                ),
            )
        )
    return [m for _, m in sorted(found, key=lambda f: -f[0])]


def _jump(a: Any, b: Any) -> float:
    """How much a check moved; a changed outcome comes first."""
    turned = 100.0 if a is None or b is None or a.status != b.status else 0.0
    ratios = [x.ratio for x in (a, b) if x is not None and x.ratio is not None]
    return turned + (abs(ratios[0] - ratios[1]) if len(ratios) == 2 else 0.0)


def _changed(a: Any, b: Any) -> bool:
    if a is None or b is None or a.status != b.status or (a.ratio is None) != (b.ratio is None):
        return True
    return a.ratio is not None and abs(a.ratio - b.ratio) >= LEAST


def _outcome(item: Any) -> str:
    if item is None:
        return "no such check"
    return item.status if item.ratio is None else f"{item.status}, {100 * item.ratio:.1f} %"
