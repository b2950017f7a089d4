"""The door of the sheet of tests: CSV text in, tests and every problem with its line out.

The first line names the columns (``time``, ``string``, ``kind``, ``value``, ``irradiance``, ``cell
temperature``, ``instrument``, ``note``), in any order and case. A row without a value is a blank;
a row whose note begins with ``struck`` is kept and not used.
"""

from __future__ import annotations

import hashlib
import os
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from pathlib import Path
from typing import TypeVar

from plumbrail.errors import PlanError, PlumbrailError, Problem, QuantityError
from plumbrail.notebook import proof_values as values
from plumbrail.notebook.proof_entries import CURRENTS, LIT, Probe, Proof, ProofBook
from plumbrail.notebook.reader import MOST_ROWS, file_words, text_of
from plumbrail.notebook.rows import Heads, Row, invisible
from plumbrail.notebook.table import lines_of, read_table
from plumbrail.notebook.taking import time_written
from plumbrail.notebook.values import quote

T = TypeVar("T")
COLUMNS = Heads(
    ("time", "string", "kind", "value", "irradiance", "cell temperature", "instrument", "note"),
    ("string", "kind", "value"),
    {"from": "this looks like the site notebook, not a sheet of tests; `plumbrail true` takes it"},
)
Places = Mapping[Probe, Sequence[str]]
"""Names that the plan has for each kind; a kind that is not there takes any."""
USUAL = {
    **dict.fromkeys((Probe.OPEN, Probe.WORKING_VOLTAGE, Probe.POLARITY, Probe.PLUS_TO_GROUND,
                     Probe.MINUS_TO_GROUND), "voltmeter"),
    **dict.fromkeys(CURRENTS, "ammeter"), Probe.CONTINUITY: "ohmmeter",
    Probe.INSULATION: "insulation tester", Probe.TORQUE: "torque tool",
    Probe.WARMTH: "thermal camera",
}  # fmt: skip
_SHORT = {
    "voc": Probe.OPEN, "open": Probe.OPEN, "isc": Probe.SHORT, "short": Probe.SHORT,
    "imp": Probe.WORKING_CURRENT, "vmp": Probe.WORKING_VOLTAGE, "riso": Probe.INSULATION,
    "insulation resistance": Probe.INSULATION, "continuity": Probe.CONTINUITY,
    "thermal": Probe.WARMTH, "placard": Probe.LABEL, "sign": Probe.LABEL,
    "functional test": Probe.FUNCTION,
}  # fmt: skip
_STRUCK = re.compile(r"struck\b", re.IGNORECASE)
_PLAN = re.compile(r"^[ \t]*\[(?:job|site|frame|array|wiring|tolerances)\]", re.MULTILINE)


def load_proofs(path: str | Path, places: Places) -> ProofBook:
    """Read a file of tests. Raises PlanError for a file that cannot be read at all."""
    source = os.fsencode(path).decode("utf-8", "replace")
    try:
        raw = Path(path).read_bytes()
    except (OSError, ValueError) as error:
        raise PlanError([Problem("", f"{source}: {file_words(error)}")], source) from None
    text = text_of(raw, source, "tests")
    return read_proofs(text, places, source, hashlib.sha256(raw).hexdigest())


def read_proofs(
    text: str, places: Places, source: str = "tests", sha256: str | None = None
) -> ProofBook:
    """What ``text`` says; rows that cannot be used come back as problems with their line.

    Raises PlanError only for a plan in place of tests and for more than 100 000 rows.
    """
    text = text.removeprefix("\ufeff")
    if _PLAN.search(text):
        words = (
            "this is a plan and no sheet of tests; give the filled sheet (CSV) here: a command "
            "takes the plan first and the tests after it"
        )
        raise PlanError([Problem("", words)], source)
    if len(lines_of(text)) > MOST_ROWS:
        words = f"more than {MOST_ROWS:,} rows are no tests of one array; split the file"
        raise PlanError([Problem("", words)], source)
    rows = read_table(text, COLUMNS)
    taken = [_take(row, places) for row in rows.rows]
    problems = [*rows.problems, *(p for one in taken for p in one.problems)]
    return ProofBook(
        tuple(one.proof for one in taken if one.proof is not None),
        tuple(one.struck for one in taken if one.struck),
        sum(one.blank for one in taken),
        tuple(sorted(problems, key=lambda p: p.line or 0)),
        sha256 or hashlib.sha256(text.encode("utf-8", "replace")).hexdigest(),
        source,
    )


@dataclass
class _Taken:
    row: Row
    proof: Proof | None = None
    struck: str = ""
    blank: bool = False
    problems: list[Problem] = field(default_factory=list)

    def ask(self, column: str, read: Callable[[], T]) -> T | None:
        """What ``read`` gives; a refusal becomes a problem of the column."""
        try:
            return read()
        except PlumbrailError as error:
            self.problems.append(self.row.problem(column, str(error)))
            return None


def _take(row: Row, places: Places) -> _Taken:
    taken = _Taken(row, problems=invisible(row))
    if _STRUCK.match(row["note"]) and not taken.problems:
        taken.struck = f"line {row.line}: {row['string']}, {row['kind']}, {row['value']}"
        return taken
    time = taken.ask("time", lambda: time_written(row["time"])) or ""
    kind = taken.ask("kind", lambda: kind_named(row["kind"]))
    if kind is None:
        return taken
    place = taken.ask("string", lambda: _place(row["string"], kind, places)) or ""
    if not row["value"]:
        taken.blank = not taken.problems
        return taken
    value = taken.ask("value", lambda: values.said(kind, row["value"]))
    light = taken.ask("irradiance", lambda: _light(row, kind))
    warm = taken.ask("cell temperature", lambda: _warmth(row, kind))
    if value is not None and not taken.problems:
        name = row["instrument"] or USUAL.get(kind, "")
        taken.proof = Proof(
            row.line, time, place, kind, value.value, value.at_least, value.under, value.screw,
            light, warm, name, row["note"], row["value"],
        )  # fmt: skip
    return taken


def kind_named(text: str) -> Probe:
    """The kind that a cell names, in any case; QuantityError with a near one otherwise."""
    plain = text.strip().lower()
    if plain in _SHORT:
        return _SHORT[plain]
    try:
        return Probe(plain)
    except ValueError:
        near = get_close_matches(plain[:40], [*(k.value for k in Probe), *_SHORT], 1, 0.6)
        hint = f"did you mean {near[0]}?" if near else f"kinds: {', '.join(k.value for k in Probe)}"
        what = f"{quote(text)} is no kind of test" if plain else "the kind of the test is missing"
        raise QuantityError(f"{what}; {hint}") from None


def _place(text: str, kind: Probe, places: Places) -> str:
    if not text:
        raise QuantityError("it does not say what was tested; write for example S1")
    if kind not in places:
        return text
    known = {name.casefold(): name for name in places[kind]}
    if text.casefold() in known:
        return known[text.casefold()]
    shown = ", ".join(list(places[kind])[:12]) or "none"
    raise QuantityError(f"{quote(text)} is nothing that {kind.value} is tested on here; there are: "
                        f"{shown}")  # fmt: skip


def _light(row: Row, kind: Probe) -> float | None:
    if row["irradiance"]:
        return values.light(row["irradiance"])
    if kind in CURRENTS:
        raise QuantityError(f"{kind.value} says nothing without the light at that moment; write "
                            "for example 820 W/m2")  # fmt: skip
    return None


def _warmth(row: Row, kind: Probe) -> float | None:
    if row["cell temperature"]:
        return values.warmth(row["cell temperature"])
    if kind in LIT:
        raise QuantityError(f"{kind.value} says nothing without the warmth of the cells at that "
                            "moment; write for example 46 degC")  # fmt: skip
    return None
