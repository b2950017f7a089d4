"""``plumbrail book``: its files read back, its JSON, its progress, its refusals."""

from __future__ import annotations

import io
import json
import re
import shutil
import subprocess
from argparse import Namespace

import ezdxf
import pytest
import tomlkit
from rich.console import Console

from plumbrail.cli.book import progress, run
from plumbrail.errors import PlumbrailError
from plumbrail.jobs.book_parts_results import STAGES
from plumbrail.plan.demos import demo_notebooks, demo_text

pytestmark = pytest.mark.usefixtures("worked_once")
reads_pdf = pytest.mark.skipif(
    any(shutil.which(tool) is None for tool in ("pdftotext", "pdfinfo")),
    reason="poppler's command line tools are not installed",
)


NOT_THE_FRAME = ("energy", "wiring", "trench", "works", "old_array")


def ask(plan, out, **given):
    """The command as the command line calls it."""
    asked = {
        "json": True,
        "readings": None,
        "tests": None,
        "language": "en",
        "paper": None,
        **given,
    }
    return run(Namespace(plan=str(plan), out=str(out), **asked))


def changed(name, changes, drop=()):
    plan = tomlkit.parse(demo_text(name))
    for key in drop:
        del plan[key]
    for place, value in changes.items():
        *path, last = place.split(".")
        holder = plan
        for step in path:
            holder = holder[step]
        holder[last] = value
    return tomlkit.dumps(plan)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("books")


CASES = {
    "alder": (demo_text("alder-creek"), {}),
    "readings": (demo_text("alder-creek"), {"readings": "alder-creek-readings-after.csv"}),
    "gulch": (demo_text("dry-gulch"), {}),
    "metric": (changed("alder-creek", {"job.units": "metric"}, ("energy",)),
               {"paper": "a4", "language": "es"}),
    "bare": (changed("alder-creek", {}, NOT_THE_FRAME), {"paper": "tabloid"}),
}  # fmt: skip


@pytest.fixture(scope="module")
def books(folder):
    """Each book is made once."""
    made = {}

    def book(name, capsys):
        if name not in made:
            text, given = CASES[name]
            plan = folder / f"{name}.toml"
            plan.write_text(text, "utf-8")
            if "readings" in given:
                notebook = folder / given["readings"]
                notebook.write_text(demo_notebooks("alder-creek")[notebook.name], "utf-8")
                given = {**given, "readings": str(notebook)}
            capsys.readouterr()
            code = ask(plan, folder / name, **given)
            told = capsys.readouterr()
            made[name] = (code, json.loads(told.out), told.err, folder / name)
        return made[name]

    return book


every = pytest.mark.parametrize("name", list(CASES))


@every
def test_all_files_are_written_and_nothing_else_is_said(name, books, capsys):
    code, report, err, out = books(name, capsys)
    assert code == (0 if name == "bare" else 1)  # wires leave checks to people on site
    assert err == ""  # no bar where nobody watches
    assert report["schema"] == "plumbrail.book"
    assert sorted(report["written"]) == sorted(str(p) for p in out.iterdir())
    assert (out / "book.pdf").read_bytes().startswith(b"%PDF-")
    files = {d["file"] for d in report["drawings"]} | {"book.pdf"}
    assert files == {p.name for p in out.iterdir()}


@every
def test_dxf_files_open_without_audit_errors(name, books, capsys):
    _, report, _, out = books(name, capsys)
    for path in out.glob("*.dxf"):
        doc = ezdxf.readfile(path)
        found = doc.audit()
        assert not found.errors
        assert not found.fixes
        assert len(doc.modelspace()) + sum(len(layout) for layout in doc.layouts) > 20
        sheets = sum(d["sheets"] for d in report["drawings"] if d["file"] == path.name)
        assert len(doc.layouts) - 1 == sheets


def test_parts_of_the_frame_lie_on_layers_of_their_own(books, capsys):
    _, _, _, out = books("alder", capsys)
    doc = ezdxf.readfile(out / "frame.dxf")
    used = {e.dxf.layer for e in doc.modelspace()}
    assert {"posts", "beams", "piers", "ground", "rails", "modules", "dimensions"} <= used
    site = {e.dxf.layer for e in ezdxf.readfile(out / "site.dxf").modelspace()}
    assert {"setting out", "piers", "modules"} <= site
    cuts = ezdxf.readfile(out / "cutting.dxf")
    assert any(e.dxf.layer == "cuts" for layout in cuts.layouts for e in layout)


def text_of(out):
    done = subprocess.run(["pdftotext", "-layout", str(out / "book.pdf"), "-"],
                          capture_output=True, check=True)  # fmt: skip
    return done.stdout.decode("utf-8").replace("\u00a0", " ").replace("\u200b", "")


@reads_pdf
def test_the_words_of_the_pdf_can_be_found(books, capsys):
    _, report, _, out = books("readings", capsys)
    said = text_of(out)
    for words in (
        *report["chapters"], f"{report['summary']['cost']:,.0f}", "Alder Creek cold store",
        report["run"]["plan_sha256"][:8], "Caution: direct current", "Hole B4", "Not judged by",
    ):  # fmt: skip
        assert words in said, words
    for id in report["calculations"]:
        assert id in re.sub(r"\s+", "", said), id


@reads_pdf
def test_paper_and_language(books, capsys):
    _, report, _, out = books("metric", capsys)
    done = subprocess.run(["pdfinfo", "-f", "1", "-l", "6", str(out / "book.pdf")],
                          capture_output=True, check=True).stdout.decode()  # fmt: skip
    sizes = set(re.findall(r"size:\s+([\d.]+) x ([\d.]+)", done))
    assert {(round(float(a)), round(float(b))) for a, b in sizes} == {(595, 842), (842, 595)}
    assert report["language"] == "es"
    assert books("alder", capsys)[1]["untranslated"] == []
    wide = str(books("bare", capsys)[3] / "book.pdf")
    done = subprocess.run(["pdfinfo", "-f", "4", "-l", "4", wide],
                          capture_output=True, check=True).stdout.decode()  # fmt: skip
    assert re.search(r"1224 x 792", done)  # 11 in by 17 in, lying


def test_the_same_plan_gives_the_same_bytes(folder, books, capsys):
    _, _, _, out = books("bare", capsys)
    ask(folder / "bare.toml", folder / "again", paper="tabloid")
    for path in out.iterdir():
        assert path.read_bytes() == (folder / "again" / path.name).read_bytes(), path.name


def test_words_for_a_person_say_what_fails_and_what_is_missing(folder, books, capsys):
    books("gulch", capsys)
    ask(folder / "gulch.toml", folder / "said", json=False)
    said = " ".join(capsys.readouterr().out.split())
    assert "57 fail" in said
    assert "Not in this book: " in said
    assert "book.pdf" in said
    assert "licensed practice decide" in said


def test_a_bar_on_a_terminal_and_silence_elsewhere():
    shown, hidden = io.StringIO(), io.StringIO()
    with progress(Console(file=shown, force_terminal=True, width=80)) as tick:
        for stage in STAGES:
            tick(stage)
    assert STAGES[-1] in shown.getvalue()
    with progress(Console(file=hidden, force_terminal=False)) as tick:
        for stage in STAGES:
            tick(stage)
    assert hidden.getvalue() == ""


@pytest.mark.parametrize(("given", "words"), [
    ({"language": "fr"}, "--language fr"), ({"paper": "legal"}, "--paper legal"),
])  # fmt: skip
def test_options_that_are_not_there_are_refused(folder, given, words, books, capsys):
    books("bare", capsys)
    with pytest.raises(PlumbrailError, match=words):
        ask(folder / "bare.toml", folder / "never", **given)
    assert not (folder / "never").exists()


def test_readings_in_place_of_the_plan_and_unreadable_ones_are_refused(folder, books, capsys):
    books("readings", capsys)
    with pytest.raises(PlumbrailError, match="name the plan first"):
        ask(folder / "alder-creek-readings-after.csv", folder / "never")
    with pytest.raises(PlumbrailError, match="there is no such file"):
        ask(folder / "alder.toml", folder / "never", readings=str(folder / "none.csv"))
    assert not (folder / "never").exists()
