"""Rough input: any text is a notebook with problems, never a traceback."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plumbrail.notebook.reader import read_notebook

IN, FT = 0.0254, 0.3048
HEAD = "time,kind,from,to,at,value,instrument,set-up,note\n"
PAGE = Path(__file__).parents[2] / "docs" / "method" / "readings.md"

NOISE = st.sampled_from(
    [*"\"',;\t\n\r#=[]{}–½′“” \u00a0\0\ufeff/-.0149", "[[reading]]\n", "kind", "value", "rod",
     "F1", "4 ft", "struck", "back", '"""', "\n\n"]
)  # fmt: skip
ROWS = st.lists(
    st.sampled_from(["rod", "tape", "F1", "B2", "F2 top", "mark x", "4 ft", "1/8 in / 4 ft back",
                     "", '"', '"a,b"', "up", "plumb", "state", "set", "####", "# x", "=1", "9" * 90,
                     "2026-05-03", "\x1b[31m", "1\" back"]) | st.text(max_size=5),
    max_size=11,
)  # fmt: skip


def must_be_a_notebook(text: str) -> None:
    last = len(re.split(r"\r\n|\n|\r", text))
    for form in ("csv", "toml"):
        found = read_notebook(text, 4, form=form)
        for problem in found.problems:
            assert problem.message
            assert problem.line is None or 1 <= problem.line <= last
            for foreign in ("Traceback", "None", "object at", "Invalid", "Expected"):
                assert foreign not in problem.message or foreign in text
        for reading in found.readings:
            assert reading.start
            assert reading.note.isprintable()


@settings(max_examples=300, deadline=None)
@given(st.lists(NOISE | st.text(max_size=3), max_size=40).map("".join))
def test_any_text_is_a_notebook_with_problems(text: str) -> None:
    must_be_a_notebook(text)
    must_be_a_notebook(HEAD + text)


@settings(max_examples=300, deadline=None)
@given(st.lists(ROWS.map(",".join), max_size=5), st.sampled_from(["\n", "\r\n"]))
def test_any_rows_are_read_or_named(rows: list[str], end: str) -> None:
    must_be_a_notebook((HEAD + "\n".join(rows)).replace("\n", end))


@settings(max_examples=200, deadline=None)
@given(st.data())
def test_scribbling_on_a_good_notebook(data: st.DataObject) -> None:
    page = PAGE.read_text("utf-8")
    text = data.draw(st.sampled_from(re.findall(r"```(?:csv|toml)\n(.*?)```", page, re.DOTALL)))
    for _ in range(data.draw(st.integers(1, 5))):
        at = data.draw(st.integers(0, len(text)))
        cut = data.draw(st.sampled_from([0, 0, 1, 2, 30]))
        text = text[:at] + data.draw(NOISE) + text[at + cut :]
    must_be_a_notebook(text)


POINTS = st.sampled_from(["F1", "F2", "B3 base", "B4 top", "front left", "pin 1", "pin 2"])
NOTES = st.text(st.characters(exclude_categories=["Cc", "Cf", "Cs", "Zl", "Zp", "Zs", "Cn", "Co"])
                | st.just(" "), max_size=20)  # fmt: skip


@settings(deadline=None)
@given(
    st.lists(st.tuples(st.sampled_from(["tape", "level tape", "diagonal"]), POINTS, POINTS,
                       st.integers(1, 4000), NOTES)),
    st.sampled_from([",", ";", "\t"]), st.booleans(),
)  # fmt: skip
def test_what_a_spreadsheet_writes_reads_back(
    rows: list[tuple[str, str, str, int, str]], separator: str, all_quoted: bool
) -> None:
    """The writer is the standard library's, which quotes as spreadsheets do."""
    rows = [r for r in rows if r[1] != r[2] and not r[4].lower().strip().startswith("struck")]
    out = io.StringIO()
    quoting = csv.QUOTE_ALL if all_quoted else csv.QUOTE_MINIMAL
    writer = csv.writer(out, delimiter=separator, quoting=quoting)
    writer.writerow(["kind", "from", "to", "value", "note"])
    writer.writerows([[k, a, b, f"{n // 16}' {n % 12} 1/2\"", note] for k, a, b, n, note in rows])
    found = read_notebook(out.getvalue(), 4)
    assert found.problems == ()
    assert [(r.kind, r.start, r.end) for r in found.readings] == [(k, a, b) for k, a, b, *_ in rows]
    for reading, (*_, n, note) in zip(found.readings, rows, strict=True):
        assert reading.value == pytest.approx((n // 16) * FT + (n % 12 + 0.5) * IN, rel=1e-12)
        assert reading.note in (tidied := " ".join(note.split()), tidied.strip("“”„ "))
