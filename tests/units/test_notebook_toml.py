"""Notebooks in TOML: located, and a slip in one reading spoils no other."""

from __future__ import annotations

import pytest

from plumbrail.notebook.entries import Kind
from plumbrail.notebook.reader import read_notebook

IN = 0.0254

TOML = """\
# A day's work
[[reading]]
kind = "rod"      # from the laser
from = "F1"
value = '''4' 3 1/2"'''
set-up = 2
time = 2026-05-03T08:10:00

[[reading]]
kind = "tape"
from = "F1"
to = "F9"
value = 9

[[ "reading" ]]
"kind" = "tilt"
from = "F2"
to = "B2"
value = "32 deg"
setup = "x"
note = "ok"
[[reading]]
kind = "rod"
from = "F2"
"""


def test_toml() -> None:
    found = read_notebook(TOML, 4, form="toml")
    first, second = found.readings
    assert (first.line, first.kind, first.start, first.setup) == (2, Kind.ROD, "F1", "2")
    assert first.value == pytest.approx(51.5 * IN)
    assert first.time == "2026-05-03T08:10:00"
    assert (second.line, second.kind, second.setup, second.note) == (15, Kind.TILT, "x", "ok")
    assert [(p.line, p.path) for p in found.problems] == [(12, "to"), (13, "value")]
    assert found.blank == 1


@pytest.mark.parametrize(
    ("slip", "line", "path", "words"),
    [
        ('value = 4 ft"', 4, "value", "text in quotes; write for example value ="),
        ('value = "4\' 3""', 4, "value", 'write "in" for inches'),
        ('value = "4 ft', 4, "value", "text in quotes"),
        ('kind = "rod"', 4, "kind", "a key is written twice in this reading"),
        ('valeu = "4 ft"', 4, "valeu", "did you mean `value`?"),
        ('setup = "A"\nset-up = "A"', 5, "set-up", "written twice"),
        ('value = ["4 ft"]', 4, "value", "write one text in quotes"),
        ("value = true", 4, "value", "write one text in quotes"),
        ('value = {a = "1"}', 4, "value", "write one text in quotes"),
        ("value", 4, "", "a line is written key = value"),
        (f"value = {'9' * 5000}", None, None, ""),
        (f"value = {'[' * 5000}", None, None, ""),
        ("[reading]", 4, "", "each reading begins with [[reading]]"),
        ("[[readings]]", 4, "", "each reading begins with [[reading]]"),
    ],
)
def test_a_slip_in_one_block_of_toml_spoils_no_other(
    slip: str, line: int | None, path: str | None, words: str
) -> None:
    text = f'[[reading]]\nkind = "rod"\nfrom = "F1"\n{slip}\n[[reading]]\nkind = "rod"\n'
    found = read_notebook(f'{text}from = "F2"\nvalue = "4 ft"\n', 4, form="toml")
    assert [r.start for r in found.readings] == ["F2"]
    (problem,) = found.problems
    assert words in problem.message
    assert line is None or (problem.line, problem.path) == (line, path)


def test_toml_outside_of_readings() -> None:
    assert "begin each one with [[reading]]" in str(read_notebook("# x\n", 4, form="toml").problems)
    (problem,) = read_notebook('# x\nkind = "rod"\n', 4, form="toml").problems
    assert (problem.line, problem.message) == (
        2, "this line stands in no reading; begin with [[reading]]",
    )  # fmt: skip
