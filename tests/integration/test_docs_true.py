"""What the README and the method pages say is what the program does."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from docs import json_page, make_plan_reference

from plumbrail.cli.main import main, parser

ROOT = Path(__file__).parents[2]


def test_readme_shows_what_the_demo_says(tmp_path, capsys):
    main(["demo", "--out", str(tmp_path)])
    said = " ".join(capsys.readouterr().out.split())
    (block,) = re.findall(r"```text\n(.*?)```", (ROOT / "README.md").read_text("utf-8"), re.DOTALL)
    for part in " ".join(block.split()).split(" ... "):
        assert part in said


def test_readme_names_commands_that_exist():
    text = (ROOT / "README.md").read_text("utf-8")
    blocks = "".join(re.findall(r"```console\n(.*?)```", text, re.DOTALL))
    lines = re.findall(r"^plumbrail (.+?)(?:\s+#.*)?$", blocks, re.MULTILINE)
    assert len(lines) >= 5
    for line in lines:
        assert parser().parse_args(line.split()).command == line.split()[0]


@pytest.mark.parametrize("name", ["plan-file.md", "json.md"])
def test_generated_pages_are_up_to_date(name):
    made = {"plan-file.md": make_plan_reference.page, "json.md": json_page.page}[name]()
    assert (ROOT / "docs" / name).read_text("utf-8") == made, "run make docs"


def test_links_of_the_pages_lead_somewhere():
    for page in [ROOT / "README.md", *(ROOT / "docs").rglob("*.md")]:
        for target in re.findall(r"\]\(([^)#]+?)(?:#[^)]*)?\)", page.read_text("utf-8")):
            if not target.startswith("http"):
                assert (page.parent / target).exists(), f"{page.name} links to {target}"


def test_validation_report_holds_at_least_sixty_values():
    text = (ROOT / "docs" / "validation.md").read_text("utf-8")
    found = re.search(r"^(\d+) values from (\d+) documents", text, re.MULTILINE)
    assert found is not None
    assert int(found[1]) >= 60


def test_every_module_of_checks_is_on_the_checks_page():
    page = (ROOT / "docs" / "method" / "checks.md").read_text("utf-8")
    plumbing = {
        "__init__",
        "actions",
        "framing",
        "remedies",
        "response",
        "result",
        "stated",
        "wind",
    }
    for path in (ROOT / "src" / "plumbrail" / "checks").glob("*.py"):
        assert path.stem in plumbing or f"`{path.name}`" in page, path.name
