"""Field sheets and papers of truing in Spanish: complete, legible, machine words kept."""

from __future__ import annotations

import re
from argparse import Namespace
from functools import cache
from importlib.resources import as_file, files
from itertools import product

import pytest

from plumbrail.cli.true import run
from plumbrail.jobs.truing import field_papers, truing, truing_sheets
from plumbrail.notebook.reader import load_notebook
from plumbrail.papers import boxes
from plumbrail.papers.field_sheet import field_sheet
from plumbrail.papers.words import listening, speaking
from plumbrail.plan.demos import demo_text
from plumbrail.plan.reader import load_plan
from plumbrail.truing.parts import Outcome, Ready
from plumbrail.truing.scheme import field_readings
from units.test_truing_papers import (
    PAGES,
    SHAPES,
    as_built,
    legible,
    picture,
    pinned,
    words,
)


@pytest.mark.parametrize(("shape", "units"), list(product(SHAPES, PAGES)))
def test_the_spanish_field_sheet_is_legible_and_wholly_spanish(shape, units):
    job, paper = PAGES[units]
    points = pinned(shape)
    with speaking("es", units), listening() as unsaid:
        for expected in (as_built(shape), None):
            legible(field_sheet(points, field_readings(points), job, paper, expected))
    assert unsaid == []


MORE = ({"moves": 20}, {"moves": 5, "gaps": 2}, {"moves": 3, "free": True}, {"moves": 3,
        "sd": 0.02}, {"ready": Ready.READY, "moves": 0}, {"ready": Ready.TOO_FEW})  # fmt: skip


@pytest.mark.parametrize(("shape", "units"), list(product(SHAPES, PAGES)))
def test_the_spanish_picture_is_legible(shape, units):
    with speaking("es", units):
        for more in MORE:
            legible(picture.__wrapped__(shape, units, **more))


@cache
def demo():
    folder = files("plumbrail.plan") / "plans"
    with as_file(folder / "alder-creek.toml") as plan:
        loaded = load_plan(str(plan))
    found = []
    for name in ("alder-creek-readings.csv", "alder-creek-readings-after.csv"):
        with as_file(folder / name) as readings:
            found.append(truing(loaded, str(readings)))
    return loaded, found


def test_the_papers_of_the_demo_leave_nothing_in_english():
    _, found = demo()
    with listening() as unsaid:
        drawn = [truing_sheets(made, language="es") for made in found]
    assert unsaid == []
    large = []
    for one in drawn:
        legible(one.sheets)
        large.append({t.text for s in one.sheets for t in boxes.texts(s) if t.height > 5} - {"?"})
    assert large == [{"NO COLAR"}, {"LISTO PARA COLAR"}]
    flat = " ".join(words(drawn[0].sheets))
    moves = found[0].trued.mending
    assert moves.outcome is Outcome.MOVES
    for move in moves.moves:
        post = move.place.partition(" ")[0]
        assert re.search(rf"{post}(, poste entero)?: (mover|subir|bajar)", flat), move
    left = set(re.findall(r"[a-z]+", flat.lower())) & {
        "the", "and", "post", "posts", "beam", "reading", "readings", "tape", "not", "inside",
    }  # fmt: skip
    assert left == set()


def test_the_blank_notebook_keeps_the_words_that_the_reader_takes(tmp_path):
    loaded, found = demo()
    spanish = field_papers(loaded, str(tmp_path / "es"), "es")
    english = field_papers(loaded, str(tmp_path / "en"))
    lines = spanish[-1].read_text("utf-8").splitlines()
    kept = [line for line in lines if line not in english[-1].read_text("utf-8").splitlines()]
    assert len(kept) == 3
    assert all(line.startswith("# ") for line in kept)
    assert [line for line in lines if line not in kept] == (
        english[-1].read_text("utf-8").splitlines()
    )
    stations = found[0].model.stations
    books = [load_notebook(str(p[-1]), stations) for p in (spanish, english)]
    assert books[0].blank == books[1].blank > 0
    assert books[0].problems == ()


def test_the_sheet_shows_the_notebook_word_beside_the_spanish_one():
    job, paper = PAGES["us"]
    points = pinned("4")
    with speaking("es", "us"):
        found = words(field_sheet(points, field_readings(points), job, paper, None))
    flat = " ".join(found)
    for pair in ("MIRA (ROD)", "CINTA (TAPE)", "PLOMO (PLUMB)", "de (from)", "a (to)", "en (at)",
                 "Suelto (loose)", "Sujeto (set)", "Colado (concreted)", "pin 1 = estaca 1",
                 "up = arriba", "back = atrás"):  # fmt: skip
        assert pair in flat


def test_metric_papers_have_a_decimal_comma_and_others_a_point():
    with speaking("es", "metric"):
        metric = words(picture.__wrapped__("4", "metric", 3))
    with speaking("es", "us"):
        us = words(picture.__wrapped__("4", "us", 3))
    assert any(re.fullmatch(r"[+-]?\d+,\d°", w) for w in metric)
    assert not any(re.fullmatch(r"[+-]?\d+\.\d°", w) for w in metric)
    assert any(re.fullmatch(r"[+-]?\d+\.\d°", w) for w in us)


def test_the_command_writes_the_papers_in_the_language_asked_for(tmp_path, capsys):
    plan = tmp_path / "plan.toml"
    plan.write_text(demo_text("alder-creek"), encoding="utf-8")
    given = Namespace(plan=str(plan), readings=None, sheet=True, json=False, as_built=None,
                      all=False, out=str(tmp_path / "es"), language="es")  # fmt: skip
    assert run(given) == 0
    assert "field-sheet-1.svg" in capsys.readouterr().out
    text = (tmp_path / "es" / "field-sheet-1.svg").read_text("utf-8")
    assert "Hoja de campo: dónde medir" in text
