"""The tasks of a whole build, from what the model counts."""

from __future__ import annotations

from dataclasses import dataclass

from plumbrail.plan.works import Inspections, Works
from plumbrail.tables.loader import load
from plumbrail.works.maturity import holding_maturity, strength_maturity
from plumbrail.works.parts import NOW, Kind, Link, Network, Task, Wait

VISIT = 1.0
"""Hours with an inspector on site. Common practice, no published source."""
WALK = 2.0
"""Hours to clear up and hand over. Common practice, no published source."""


@dataclass(frozen=True)
class PostWork:
    """What one post asks for."""

    id: str
    row: str
    """``front`` or ``back``."""
    hole: float
    """[m3]"""
    first: float
    """Concrete of the holding pour [m3]."""
    rest: float
    """[m3]"""


@dataclass(frozen=True)
class StringWork:
    """What one string of the new array asks for."""

    id: str
    modules: int
    terminations: int
    columns: tuple[int, ...]
    """Module columns, from 1, that it lies on."""


@dataclass(frozen=True)
class Dug:
    """Hours of one person for the trench, where its route is planned."""

    machine: float
    by_hand: float
    """Crossings included."""
    laying: float
    """Conduit with bedding and bends."""


@dataclass(frozen=True)
class Quantities:
    """What there is to do."""

    posts: tuple[PostWork, ...]
    beam: float
    """Length of one beam [m]."""
    braces: int
    cuts: int
    columns: tuple[int, ...]
    """Rails of each module column."""
    strings: tuple[StringWork, ...]
    run: float
    """Wires to the equipment [m]; 0: nothing is known of the wiring."""
    trench: float
    """[m]"""
    boxes: int
    units: str
    """``us`` or ``metric``: how the amounts are told."""
    dug: Dug | None = None
    """None: by its length."""


@dataclass(frozen=True)
class Rate:
    """Hours of one person for a unit of work."""

    hours: float
    unit: str
    least: int
    most: int
    stated: bool

    @property
    def people(self) -> tuple[int, ...]:
        """Numbers of people that can share it."""
        return tuple(range(self.least, self.most + 1))


class Rates:
    """Of the plan, else of common practice."""

    def __init__(self, works: Works, units: str) -> None:
        self.units = units
        table = load("practice", "works_rates")
        self.of: dict[str, Rate] = {}
        for i, name in enumerate(table.words["task"]):
            own = getattr(works.rates, name)
            numbers = {c: float(table.numbers[c][i]) for c in ("hours", "least", "most")}
            self.of[name] = Rate(
                numbers["hours"] if own is None else own, table.words["unit"][i],
                int(numbers["least"]), int(numbers["most"]), own is not None,
            )  # fmt: skip

    def task(
        self, rate: str, amount: float, id: str, words: str, chapter: str, after: list[Link],
        tools: tuple[str, ...] = (), one_day: bool = False,
    ) -> Task:  # fmt: skip
        """A task of so many units."""
        r = self.of[rate]
        source = "stated" if r.stated else "common practice"
        why = f"{_told(amount, r, self.units)} of one person each ({source})"
        return Task(id, words, chapter, r.hours * amount, r.people, tuple(after), tools,
                    one_day=one_day, why=why)  # fmt: skip


_FOREIGN = {"m": ("ft", 0.3048), "m3": ("yd³", 0.9144**3)}
"""Units of the rates as a plan in feet and inches tells them, in the unit of the table."""
_SIGNS = {"m3": "m³"}


def _told(amount: float, r: Rate, units: str) -> str:
    """``0.698 yd³ at 2.29 h``: amount and hours for one, in the units of the plan."""
    if r.unit not in _FOREIGN:
        many = r.unit if amount == 1 else f"{r.unit}s"
        return f"{amount:.3g} {many} at {r.hours:g} h"
    unit, size = _FOREIGN[r.unit] if units == "us" else (_SIGNS.get(r.unit, r.unit), 1.0)
    return f"{amount / size:.3g} {unit} at {r.hours * size:.3g} h"


def network(q: Quantities, works: Works, moved: tuple[Task, ...] = (),
            mounts: bool = True) -> Network:  # fmt: skip
    """All tasks. ``moved``: those of the changeover, which then mount and connect the modules."""
    made = _Maker(q, works)
    made.ground()
    made.frame()
    made.rails()
    made.electrical()
    if mounts:
        made.modules()
    made.tasks += moved
    made.end()
    tools = (("auger", works.augers), ("mixer", works.mixers))
    return Network(tuple(made.tasks), works.crew, tools, works.helper, "hand over")


class _Maker:
    def __init__(self, q: Quantities, works: Works) -> None:
        self.q, self.works, self.rates = q, works, Rates(works, q.units)
        self.tasks: list[Task] = []
        self.holding = Wait("cure", holding_maturity(works.curing.holding))
        self.strength = Wait("cure", strength_maturity(works.curing.strength))

    def add(self, rate: str, amount: float, id: str, words: str, chapter: str,
            after: list[str | Link], tools: tuple[str, ...] = (),
            one_day: bool = False) -> None:  # fmt: skip
        links = [x if isinstance(x, Link) else Link(x) for x in after]
        self.tasks.append(self.rates.task(rate, amount, id, words, chapter, links, tools, one_day))

    def hold(self, name: str, letter: str, words: str, after: list[str]) -> None:
        """An inspection, or a milestone in its place when nobody asks for one."""
        wait = getattr(self.works.inspections, name)
        id = f"hold {name}"
        if wait == "none":
            links = tuple(Link(a) for a in after)
            self.tasks.append(Task(id, f"{words}: not asked for", "hold", 0.0, (), links,
                                   kind=Kind.MARK))  # fmt: skip
            return
        links = tuple(Link(a, Wait("visit", wait)) for a in after)
        days = "working day" if wait == 1 else "working days"
        why = f"{wait} {days} from ready to the visit (stated)"
        self.tasks.append(Task(id, words, "hold", VISIT, (1,), links, kind=Kind.HOLD, why=why,
                               letter=letter))  # fmt: skip

    def row(self, name: str) -> list[PostWork]:
        return [p for p in self.q.posts if p.row == name]

    def ground(self) -> None:
        q = self.q
        self.add("set_out", len(q.posts), "set out", "Set out the holes from the pins", "ground",
                 [])  # fmt: skip
        before = "set out"
        for p in [*self.row("back"), *self.row("front")]:
            after: list[str | Link] = [before] if self.works.augers == 1 else ["set out"]
            self.add("hole", p.hole, f"hole {p.id}", f"Drill hole {p.id}", "ground", after,
                     ("auger",))  # fmt: skip
            before = f"hole {p.id}"
        self.hold("footing", "F", "Inspection of the holes",
                  [f"hole {p.id}" for p in q.posts])  # fmt: skip
        self.add("saw", q.cuts, "saw", "Saw posts, beams, braces and rails", "frame", [])

    def frame(self) -> None:
        """Back row, its holding pour, front row, its own, truing, the rest of the concrete."""
        q = self.q
        for row, begin in (("back", "hold footing"), ("front", "beam back")):
            before: str | Link = begin
            for p in self.row(row):
                self.add("post", 1, f"post {p.id}", f"Stand and brace post {p.id}", "frame",
                         [before, "saw", "hold footing"])  # fmt: skip
                self.add("concrete", p.first, f"holding {p.id}",
                         f"Holding pour {p.id}", "concrete", [f"post {p.id}"], ("mixer",),
                         True)  # fmt: skip
                before = f"holding {p.id}"
            last = [Link(f"holding {p.id}", self.holding) for p in self.row(row)]
            self.add("beam", q.beam, f"beam {row}", f"Lift and splice the {row} beam", "frame",
                     [*last])  # fmt: skip
        true_after: list[str | Link] = ["beam back", "beam front"]
        if q.braces:
            self.add("brace", q.braces, "braces", "Fit the braces", "frame", [*true_after])
            true_after = ["braces"]
        self.add("truing", len(q.posts), "true", "Measure and true the frame; pour gate", "frame",
                 true_after)  # fmt: skip
        before = "true"
        for p in [*self.row("back"), *self.row("front")]:
            chain = before if self.works.mixers == 1 else "true"
            self.add("concrete", p.rest, f"pour {p.id}", f"Pour pier {p.id}", "concrete", [chain],
                     ("mixer",), True)  # fmt: skip
            before = f"pour {p.id}"

    def rails(self) -> None:
        cured = [Link(f"pour {p.id}", self.strength) for p in self.q.posts]
        self.tasks.append(Task("cured", "Piers have their strength", "concrete", 0.0, (),
                               tuple(cured), kind=Kind.MARK))  # fmt: skip
        for column, many in enumerate(self.q.columns, start=1):
            if many:
                self.add("rail", many, f"rails {column}", f"Rails of column {column}", "frame",
                         ["cured"])  # fmt: skip

    def electrical(self) -> None:
        q = self.q
        rails = [f"rails {c}" for c, many in enumerate(q.columns, start=1) if many]
        bonds = sum(q.columns) + len(q.posts) + q.boxes
        self.add("grounding", bonds, "bond", "Bond rails, posts, boxes; electrode",
                 "electrical", [*rails] or ["cured"])  # fmt: skip
        rough: list[str] = ["bond"]
        if q.run > 0:
            self._trench()
            self.add("equipment", q.boxes, "mount", "Mount boxes, switches, controller",
                     "electrical", ["cured"])  # fmt: skip
            self.add("pull", q.run, "pull", "Pull the run through the conduit", "electrical",
                     ["fill" if q.trench > 0 else "mount", "mount"])  # fmt: skip
            rough.append("pull")
        self.hold("rough", "R", "Electrical rough inspection", rough)

    def _trench(self) -> None:
        q = self.q
        if q.trench <= 0:
            return
        if q.dug is None:
            self.add("trench", q.trench, "dig", "Dig the trench", "ground", [])
            self.add("conduit", q.trench, "conduit", "Lay the conduit", "electrical", ["dig"])
        else:
            self._planned_trench(q.dug)
        self.hold("trench", "T", "Inspection of the open trench", ["conduit"])
        self.add("backfill", q.trench, "fill", "Fill the trench, warning tape", "ground",
                 ["hold trench"])  # fmt: skip

    def _planned_trench(self, dug: Dug) -> None:
        """By the hours of its route: services are laid bare by hand before the machine comes."""
        before: tuple[Link, ...] = ()
        for id, words, hours, people in (
            ("dig by hand", "Dig by hand: crossings, zones, roots", dug.by_hand,
             self.rates.of["trench"].people),
            ("dig", "Dig the rest of the trench with the machine", dug.machine, (1,)),
            ("conduit", "Lay the conduit", dug.laying, self.rates.of["conduit"].people),
        ):  # fmt: skip
            if hours > 0:
                chapter = "electrical" if id == "conduit" else "ground"
                why = f"{hours:.1f} h of one person: trench as planned"
                self.tasks.append(Task(id, words, chapter, hours, people, before, why=why))
                before = (Link(id),)

    def modules(self) -> None:
        """All modules bought: string by string."""
        for s in self.q.strings:
            self.tasks += string_tasks(s, self.rates, self.q, ())

    def end(self) -> None:
        ends = [t.id for t in self.tasks if not any(t.id == x.before for o in self.tasks
                                                    for x in o.after)]  # fmt: skip
        self.hold("final", "Z", "Final inspection", ends)
        self.tasks.append(Task("hand over", "Clear up and hand over", "hold", WALK, (1, 2),
                               (Link("hold final"),), why="common practice"))  # fmt: skip


def string_tasks(s: StringWork, rates: Rates, q: Quantities, extra: tuple[Link, ...]) -> list[Task]:
    """Mount, connect and test one string of the new array; ``extra``: what its modules wait for."""
    on = [Link(f"rails {c}") for c in s.columns if q.columns[c - 1]]
    mount = [*on, Link("cured"), Link("bond"), *extra]
    ready = Link("hold rough")
    return [
        rates.task("module", s.modules, f"mount {s.id}", f"Mount the modules of {s.id}",
                   "modules", mount),
        rates.task("termination", s.terminations, f"connect {s.id}",
                   f"Land the ends of {s.id}, switch open", "electrical",
                   [Link(f"mount {s.id}"), ready]),
        rates.task("test", 1, f"test {s.id}", f"Test {s.id}, then switch it in", "electrical",
                   [Link(f"connect {s.id}", NOW)], (), True),
    ]  # fmt: skip


def asked(inspections: Inspections) -> tuple[str, ...]:
    """Names of the inspections that somebody asks for."""
    names = ("footing", "trench", "rough", "final")
    return tuple(n for n in names if getattr(inspections, n) != "none")
