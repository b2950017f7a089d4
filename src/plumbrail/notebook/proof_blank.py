"""A sheet of tests with its rows and no values yet, to be filled in on site."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plumbrail.notebook.blank import quoted
from plumbrail.notebook.proof_entries import Probe
from plumbrail.notebook.proof_reader import COLUMNS
from plumbrail.notebook.rows import tidy

HINTS = (
    "Write each value with its unit: 452.3 V, 11.9 A, 0.2 ohm (OL: no path), > 200 Mohm at "
    "1000 V, 4 K.",
    "Irradiance on the module plane and cell temperature at the same moment: 820 W/m2, 46 degC or "
    "115 degF.",
    "Polarity: right or reversed. Label: in place or missing. Function: works or fails.",
    "To strike a row out begin its note with: struck",
)
"""How to fill it in."""


@dataclass(frozen=True, slots=True)
class BlankProof:
    """One test to make."""

    kind: Probe
    place: str
    hint: str = ""
    """What to mind; it goes into the note."""


def blank_proofs(rows: Sequence[BlankProof], hints: Sequence[str] = HINTS) -> str:
    """CSV text that ``read_proofs`` reads back with as many blanks as there are rows.

    ``hints``: comments over it.
    """
    lines = [*(f"# {tidy(words)}" for words in hints), ",".join(COLUMNS.names)]
    for row in rows:
        note = tidy(row.hint)
        note = f"note: {note}" if note.lower().startswith("struck") else note
        lines.append(",".join(quoted(c) for c in ("", row.place, row.kind.value, "", "", "", "",
                                                  note)))  # fmt: skip
    return "".join(f"{line}\n" for line in lines)
