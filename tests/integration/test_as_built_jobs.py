"""`check`, `cut` and `stake` of a plan that says how its posts came to stand."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from plans import INCH
from plumbrail.cli.main import main
from plumbrail.jobs.designing import design
from plumbrail.jobs.drawing import frame_sheets
from plumbrail.jobs.explaining import explain
from plumbrail.model.build import build_planned
from plumbrail.papers.svg import svg
from plumbrail.plan.as_built_writer import StandingPosts, with_as_built
from plumbrail.plan.demos import demo_text
from plumbrail.plan.reader import load_plan, read_plan

SHA = "1a2b3c4d" * 8


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """The demo, and the same with every post up to 3/8 in off."""
    folder = tmp_path_factory.mktemp("plans")
    text = demo_text("alder-creek")
    posts = build_planned(read_plan(text)).posts
    off = np.random.default_rng(2).uniform(-3 / 8 * INCH, 3 / 8 * INCH, (2, 8, 3))
    stands = StandingPosts(posts.ids, posts.head + off[0], posts.base + off[1])
    planned, built = folder / "planned.toml", folder / "built.toml"
    planned.write_text(text, encoding="utf-8")
    built.write_text(with_as_built(text, stands, SHA), encoding="utf-8")
    return planned, built


def printed(capsys: pytest.CaptureFixture[str], *arguments: object) -> dict:
    main([str(a) for a in arguments])
    return json.loads(capsys.readouterr().out)


def test_check_says_that_it_judges_what_was_built(files, capsys) -> None:
    planned, built = (printed(capsys, "check", f, "--json") for f in files)
    assert (planned["as_built"], planned["as_built_readings"]) == (False, None)
    assert (built["as_built"], built["as_built_readings"]) == (True, SHA)
    assert built["splices"] == planned["splices"], "what was sawn followed the plan"
    assert [c["id"] for c in built["checks"]] == [c["id"] for c in planned["checks"]]
    both = zip(planned["checks"], built["checks"], strict=True)
    pairs = [(a["ratio"], b["ratio"]) for a, b in both if a["ratio"]]
    assert any(abs(a - b) > 1e-3 for a, b in pairs)
    assert max(b / a for a, b in pairs if a > 0.5) < 1.1
    assert any("as built: readings 1a2b3c4d" in n for n in built["notes"])
    assert any("off the middle of their piers" in n for n in built["not_covered"])
    assert not any("off the middle" in n for n in planned["not_covered"])


def test_check_prints_it(files, capsys) -> None:
    main(["check", str(files[1])])
    said = " ".join(capsys.readouterr().out.split())
    assert "Posts, beams and tilt as built: readings 1a2b3c4d." in said
    assert "Still as planned:" in said


@pytest.mark.parametrize("command", ["cut", "stake"])
def test_saw_and_stakes_keep_to_the_plan(command: str, files, capsys) -> None:
    planned, built = (printed(capsys, command, f, "--json") for f in files)
    for found in (planned, built):
        found.pop("run")
    assert built == planned


def test_drawings_and_explanations_work(files) -> None:
    made, plain = (design(load_plan(f)) for f in reversed(files))
    pages, others = ([svg(s) for d in frame_sheets(m) for s in d.sheets] for m in (made, plain))
    assert all("drawn as planned, not as built" in page for page in pages)
    assert not any("not as built" in page for page in others)
    story = explain(made, "F1.all-together")
    records = [load.record for load in story.loads if load.record]
    sources = {s.provision.source for record in records for s in record.steps}
    assert "as_built, plane through the heads" in sources
    assert all(s.holds() for s in story.record.steps)


def test_a_missing_post_is_refused_with_its_line(files, tmp_path, capsys) -> None:
    text = files[1].read_text(encoding="utf-8")
    cut = text.index("[as_built.posts.B4]")
    bad = tmp_path / "bad.toml"
    bad.write_text(text[:cut], encoding="utf-8")
    assert main(["check", str(bad)]) == 2
    said = " ".join(capsys.readouterr().err.split())
    assert "as_built.posts: B4 is missing" in said
    assert "line" in said
