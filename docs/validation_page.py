"""The validation report: every published value beside ours, by document."""

from __future__ import annotations

from collections import defaultdict
from typing import Any

WORDS = {
    "confirmed": "seen in a public document or library",
    "second_hand": "second-hand copy of the standard",
    "memory": "from memory",
    "derived": "from mechanics, no published number",
    "practice": "common practice, no published source",
}
INTRO = """\
# Validation

Made from the tests in `tests/validation` by `make docs`; every row is asserted there. *Published*
is typed as printed, the allowed difference is half the last printed digit unless the test says why
it is more. No standard was read in the original: the last column says how each value was obtained.
Rows of the shapes database compare two copies of one table and find slips of copying only; the
check of pipe properties from their dimensions is independent. What has no published value stands in
`tests/validation/MISSING.md` with the reason. A difference of *none* is under a thousandth of the
allowed one.
"""


def page(rows: list[dict[str, Any]]) -> str:
    """The whole report."""
    by_document: dict[str, list[dict[str, Any]]] = defaultdict(list)
    for row in rows:
        by_document[row["document"]].append(row)
    lines = [INTRO, _summary(rows, len(by_document))]
    for document in sorted(by_document):
        lines.append(f"## {document}\n")
        lines.append("| item | published | ours | difference | allowed | unit | obtained |")
        lines.append("|---|--:|--:|--:|--:|---|---|")
        ordered = sorted(by_document[document], key=lambda r: (r["test"], r["item"]))
        lines += [_row(r) for r in ordered]
        lines.append("")
    return "\n".join(lines)


def _summary(rows: list[dict[str, Any]], documents: int) -> str:
    counts = {k: sum(r["certainty"] == k for r in rows) for k in WORDS}
    parts = [f"- {n} {WORDS[k]}" for k, n in counts.items() if n]
    return "\n".join([f"{len(rows)} values from {documents} documents:\n", *parts, ""])


def _row(r: dict[str, Any]) -> str:
    # Differences far below the allowed one are rounding and vary between machines.
    difference = abs(r["ours"] - r["printed"])
    tiny = difference <= 1e-3 * r["tolerance"] or difference < 1e-9 * abs(r["printed"])
    shown = "none" if tiny else f"{difference:.1e}"
    item = str(r["item"]).replace("|", "\\|")
    return (
        f"| {item} | {r['printed']:g} | {r['ours']:.6g} | {shown} | {r['tolerance']:.1e} "
        f"| {r['unit']} | {r['certainty']} |"
    )
