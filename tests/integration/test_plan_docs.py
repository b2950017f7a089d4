"""The page on the plan file says what the models say."""

from __future__ import annotations

import importlib.util
import re
from pathlib import Path
from types import ModuleType

import pytest

from plumbrail.plan.demos import demo_plan_names, demo_text
from plumbrail.plan.models import Plan
from plumbrail.plan.outline import outline
from plumbrail.plan.reader import read_plan
from plumbrail.units import KINDS, parse

DOCS = Path(__file__).parents[2] / "docs"


@pytest.fixture(scope="module")
def generator() -> ModuleType:
    spec = importlib.util.spec_from_file_location("plan_page", DOCS / "make_plan_reference.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def page() -> str:
    return (DOCS / "plan-file.md").read_text("utf-8")


def test_the_committed_page_is_what_the_generator_writes(generator: ModuleType, page: str) -> None:
    assert page == generator.page(), "run python docs/make_plan_reference.py"


def test_every_field_of_every_model_stands_in_its_section(page: str) -> None:
    """Counted on pydantic's own fields, so that the outline cannot lose one unseen."""
    sections = dict(
        re.findall(r"^## `\[+([a-z_.0-9]+)[^`\n]*`\n(.*?)(?=^<a |\Z)", page, re.DOTALL | re.M)
    )
    schema = Plan.model_json_schema()["$defs"]
    homes = {"ArrayLayout": "array", "UsBasis": "basis.us"}
    for part in outline().walk():
        if not part.keys:
            continue
        body = sections[".".join(part.path)]
        assert [k.name for k in part.keys] == re.findall(r"^\| `(\w+)` \|", body, re.M)
    shown = {
        name for body in sections.values() for name in re.findall(r"^\| `(\w+)` \|", body, re.M)
    }
    shown |= {step for name in sections for step in name.split(".")}
    fields = {name for model in schema.values() for name in model["properties"]}
    assert fields | set(Plan.model_fields) <= shown
    assert set(homes.values()) <= set(sections)


def test_every_link_of_the_page_has_its_target(page: str) -> None:
    links = set(re.findall(r"\]\(#([^)]+)\)", page))
    assert links == set(re.findall(r'<a id="([^"]+)">', page))


def test_every_unit_of_the_kinds_in_use_is_listed(page: str) -> None:
    table = page.partition("## Units")[2].partition("Other spellings")[0]
    for kind in ("length", "angle", "pressure", "second_moment", "temperature_coefficient"):
        for unit in KINDS[kind].units:
            assert f"`{unit}`" in table


def test_every_example_on_the_page_is_accepted(page: str) -> None:
    rows = re.findall(r"^\| (?!unit|key|quantity|---)[^|]+ \| `.*` \| (`.*`) \|$", page, re.M)
    words = page.partition("## Units")[2].partition("Other spellings")[0]
    assert rows
    for kind in KINDS.values():
        row = f"| {kind.words.split(' ', 1)[1]} |"
        if row in words:
            for example in kind.examples:
                assert f"`{example}`" in words
                parse(example, kind.name)


@pytest.mark.parametrize("name", demo_plan_names())
def test_demo_plans_read(name: str) -> None:
    assert read_plan(demo_text(name), name).job.name


def test_the_whole_example_plan_on_the_page_reads(page: str) -> None:
    text = page.partition("```toml\n")[2].partition("```")[0]
    assert read_plan(text).job.name == "Alder Creek cold store"
