"""What the pages and the server say to each other: JSON in SI, one revision number on each edit.

Local axes as everywhere: x along the row to the right, y to the back, z up, from hole F1 [m].
Angles [rad]. Text that a person reads comes ready to print in the units of the job.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field

Uid = Annotated[str, Field(min_length=8, max_length=64, pattern=r"^[A-Za-z0-9_-]+$")]
Point = tuple[float, float, float]
Spot = tuple[float, float]
Mark = Literal["pass", "near", "fail", "not checked", "none"]
"""near: passes at 0.9 or more. none: nothing is checked on it."""


class Message(BaseModel):
    """A message; unknown keys are refused."""

    model_config = ConfigDict(extra="forbid", frozen=True)


# ------------------------------------------------------------------ what the pages ask


class NewJob(Message):
    """POST /api/jobs: exactly one of the two."""

    uid: Uid
    demo: str | None = Field(None, description="Name of a demo plan, or starter.")
    plan: str | None = Field(None, max_length=2_000_000, description="Text of a plan file.")


class Change(Message):
    """One field of the plan; exactly one of value, places, remove, add."""

    path: str = Field(description='As problems name it: "site.shade.trees[1].at", "array.tilt".')
    value: Any = Field(None, description="As a builder writes it: text, number, list, true.")
    places: list[Spot] | None = Field(
        None,
        description="A place [x, y], or several, dragged on the plan [m]; the server writes them "
        "in the unit that the plan uses there.",
    )
    remove: bool = Field(False, description="Take the key, or the whole section, out of the plan.")
    add: bool = Field(
        False, description="Add a section of a list, or an optional section, as its example says."
    )


class Edit(Message):
    """POST /api/jobs/{job}/edits. 409 when the revision is not the job's last."""

    uid: Uid
    revision: int
    changes: list[Change] = Field(min_length=1, max_length=200)


class Go(Message):
    """POST /api/jobs/{job}/steps."""

    uid: Uid
    revision: int
    step: Literal["undo", "redo", "restore"]
    to: int | None = Field(None, description="For restore: the revision to bring back.")


class Name(Message):
    """POST /api/jobs/{job}/names."""

    revision: int
    name: str = Field(max_length=60)


class PlanText(Message):
    """POST /api/jobs/{job}/plan: take in a whole plan file."""

    uid: Uid
    revision: int
    plan: str = Field(max_length=2_000_000)


class RowIn(Message):
    """A row of the notebook from the phone; words as in the CSV."""

    uid: Uid
    time: str = Field("", max_length=40)
    kind: str = Field("", max_length=40)
    start: str = Field("", max_length=40)
    end: str = Field("", max_length=40)
    at_point: str = Field("", max_length=40)
    value: str = Field("", max_length=80)
    instrument: str = Field("", max_length=40)
    setup: str = Field("", max_length=40)
    note: str = Field("", max_length=400)
    strikes: str = Field("", max_length=64, description="Uid of a row to strike out.")


class RowsIn(Message):
    """POST /api/jobs/{job}/readings. Rows already there count once."""

    rows: list[RowIn] = Field(max_length=1000)


class NotebookText(Message):
    """POST /api/jobs/{job}/notebook: take in a CSV; rows get uids from their text and place."""

    text: str = Field(max_length=5_000_000)


class TestsText(Message):
    """POST /api/jobs/{job}/tests: judge a CSV of tests by the plan, and keep it."""

    text: str = Field(max_length=200_000)
    name: str = Field("", max_length=200)


class TickIn(Message):
    """A box ticked or cleared."""

    uid: Uid
    list: str = Field(max_length=40)
    item: str = Field(max_length=120)
    done: bool
    at: str = Field(max_length=40)


class TicksIn(Message):
    """POST /api/jobs/{job}/ticks."""

    ticks: list[TickIn] = Field(max_length=1000)


class TaskIn(Message):
    """POST /api/jobs/{job}/tasks: something that takes seconds."""

    kind: Literal["book", "drawings"]
    paper: Literal["letter", "tabloid", "a4", "a3"] = "letter"
    language: Literal["en", "es"] = "en"
    readings: bool = Field(False, description="With the job's notebook and its tests in it.")


class Pair(Message):
    """POST /pair: the code from the laptop's screen."""

    code: str = Field(max_length=80)
    name: str = Field(max_length=40, description="What to call this phone.")


# ------------------------------------------------------------------ what the server answers


class Refusal(Message):
    """Anything that was not done, with what to do; status 4xx."""

    error: str
    problems: list[FieldProblem] = []
    revision: int | None = Field(None, description="409: the job's last revision.")


class FieldProblem(Message):
    """What is wrong with one field; the last valid state stays."""

    path: str
    message: str


class JobItem(Message):
    """One of GET /api/jobs."""

    id: str
    name: str
    revision: int
    changed: str


class Figure(Message):
    """One figure of the strip that always shows."""

    id: Literal[
        "checks",
        "governs",
        "tilt",
        "yield",
        "pipe",
        "concrete",
        "weight",
        "unchecked",
        "gate",
        "tests",
    ]
    label: str
    value: str = Field(description="Ready to print; empty while it is being worked out.")
    detail: str = Field("", description="A second, smaller line.")
    mark: Mark = "none"
    pending: bool = False
    opens: str = Field("", description="What it opens: check:ID, part:cut, part:yield, unchecked.")


class CheckItem(Message):
    """A check in the list; the explanation is asked for by its id."""

    id: str
    subject: str
    title: str
    family: str
    status: Literal["pass", "fail", "not checked"]
    ratio: float | None
    note: str
    remedy: str
    parts: list[str] = Field(description="Ids of the bars, piers or modules it is about.")


class Bar(Message):
    """A straight member: post, piece of beam between posts, rail, brace, pier."""

    id: str
    part: Literal["post", "beam", "rail", "brace", "pier"]
    words: str = Field(description="What it is, with its pipe: Front post F3, NPS 4 standard.")
    start: Point
    end: Point
    size: float = Field(description="Outer diameter, or depth of a rail.")
    wide: float = Field(description="The same, or width of a rail.")
    ratio: float | None
    mark: Mark
    check: str = Field(description="Id of its worst check, empty if none.")


class Panel(Message):
    """A module: four corners of its underside, low left, low right, high right, high left."""

    id: str
    corners: tuple[Point, Point, Point, Point]
    thick: float
    string: str = Field("", description="Its string, once the wiring is worked out.")


class Thing(Message):
    """What stands, lies or runs on the site; drawn in 3D and on the site plan."""

    id: str
    kind: Literal[
        "box", "tree", "array", "service", "boundary", "easement", "region", "pin", "combiner",
        "equipment", "hole", "setback",
    ]  # fmt: skip
    name: str
    places: list[Spot] = Field(description="Its place, line or outline in plan.")
    closed: bool = False
    height: float = Field(0.0, description="Of its top over the ground; of a service: -depth.")
    from_: float = Field(0.0, description="Where a crown begins, over the ground.")
    radius: float = Field(0.0, description="Of a crown or hole; half the zone about a service.")
    shape: str = Field("", description="cone, round; or the marking kind of a service.")
    letter: str = Field("", description="Of a service, as on the drawings.")
    ground: float = Field(0.0, description="Height of the ground under it.")
    path: str = Field(
        "",
        description="Field that holds its places, of a combiner its corner of the array; empty: it "
        "cannot be dragged.",
    )
    handles: list[Spot] = Field([], description="Points that can be dragged, in the field's order.")


class Scene(Message):
    """Everything that is drawn."""

    bars: list[Bar]
    panels: list[Panel]
    things: list[Thing]
    ground: list[Point] = Field(description="A grid of ground points, row by row.")
    ground_columns: int
    row_bearing: float = Field(description="True bearing of +x [rad].")
    section: list[Bar] = Field(description="Bars of the deepest station, for the side section.")
    lengths: list[Label] = Field(description="Dimensions for the side section and the plan.")


class Label(Message):
    """A dimension to draw between two points."""

    view: Literal["section", "plan"]
    start: Point
    end: Point
    words: str


class State(Message):
    """A job at one revision: answer to GET /api/jobs/{job}, to edits and to steps."""

    job: str
    name: str
    units: Literal["us", "metric"]
    revision: int
    sha256: str
    can_undo: bool
    can_redo: bool
    values: dict[str, Any] = Field(description="The plan as it is written, as JSON.")
    shown: dict[str, str] = Field(
        description="Path to its value in the units of the job, where that differs from what is "
        "written."
    )
    strip: list[Figure]
    checks: list[CheckItem]
    scene: Scene
    notes: list[str]
    not_covered: list[str]
    pending: list[Literal["cut", "yield", "wire", "trench", "works"]] = Field(
        description="Parts still being worked out; an event tells when each is there."
    )
    took: float = Field(description="Seconds the server worked on it.")


class Broken(Message):
    """A job whose plan cannot be worked out although its fields are valid, or cannot be read."""

    job: str
    name: str
    revision: int
    can_undo: bool
    can_redo: bool
    values: dict[str, Any]
    problems: list[FieldProblem]


class RevisionItem(Message):
    """One of GET /api/jobs/{job}/revisions, newest first."""

    revision: int
    kind: str
    words: str
    name: str
    by: str
    at: str


class Moved(Message):
    """A number or field in a comparison."""

    what: str
    before: str
    after: str
    better: bool | None = Field(None, description="None: neither.")


class Comparison(Message):
    """GET /api/jobs/{job}/compare?a=1&b=2."""

    a: int
    b: int
    fields: list[Moved]
    numbers: list[Moved]
    checks: list[Moved] = Field(description="Checks whose outcome or ratio (by 0.005) changed.")
    left_out: list[str] = Field(
        default_factory=list, description="Checks that are not compared, in words."
    )


class Taken(Message):
    """Answer to readings and ticks: what the server now has for certain."""

    uids: list[str]
    last: int = Field(description="Number of the last row.")


class TaskState(Message):
    """GET /api/tasks/{id}; events say when it changes."""

    id: str
    kind: str
    state: Literal["waiting", "working", "done", "failed", "stopped"]
    done: float = Field(description="0 to 1.")
    words: str
    files: list[str] = Field([], description="Names for GET /api/tasks/{id}/files/{name}.")


class Event(Message):
    """One event of GET /api/events (text/event-stream, name of the event: plumbrail)."""

    kind: Literal["revision", "part", "readings", "ticks", "task", "devices"]
    job: str = ""
    revision: int = 0
    part: str = ""
    task: str = ""
    last: int = 0


class Invitation(Message):
    """POST /api/invitations: a code that lets one phone in, once, for five minutes."""

    url: str = Field(description="Page to open; the code stands after #, which is never sent.")
    code: str
    svg: str = Field(description="The same as a square code to scan.")
    expires: str


class DeviceItem(Message):
    """One of GET /api/devices; DELETE /api/devices/{id} shuts it out."""

    id: str
    name: str
    let_in: str
    seen: str
    revoked: bool
    own: bool = Field(
        False, description="The device that asks; it is not offered to shut itself out."
    )


Refusal.model_rebuild()
Scene.model_rebuild()
