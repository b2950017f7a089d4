"""The page on the plan file says what the models say."""

from __future__ import annotations

import importlib.util
import re
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType
from typing import get_args

import pytest

from plumbrail.plan.demos import demo_plan_names, demo_text
from plumbrail.plan.models import Plan, Section
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


def sections_in(annotation: object) -> list[type[Section]]:
    if isinstance(annotation, type) and issubclass(annotation, Section):
        return [annotation]
    return [inner for arg in get_args(annotation) for inner in sections_in(arg)]


def every_field(model: type[Section], path: str = "") -> Iterator[tuple[str, str]]:
    """Section and key of every line of a plan, from pydantic's own fields."""
    for name, field in model.model_fields.items():
        inner = sections_in(field.annotation)
        if not inner:
            yield path, name
        for section in inner:
            yield from every_field(section, f"{path}.{name}".lstrip("."))


def test_every_field_of_every_model_stands_in_its_section(page: str) -> None:
    """Walks the models and not the outline, which could lose a field unseen."""
    headings = re.findall(
        r"^## `\[+([a-z_.]+?)(?:\.\"name\")?\]+`\n(.*?)(?=^<a )", page, re.DOTALL | re.MULTILINE
    )
    shown = [
        (heading, key)
        for heading, body in headings
        for key in re.findall(r"^\| `(\w+)`", body, re.M)
    ]
    assert sorted(shown) == sorted(every_field(Plan))
    assert len(shown) > 100


def test_every_link_of_the_page_has_its_target(page: str) -> None:
    links = set(re.findall(r"\]\(#([^)]+)\)", page))
    assert links == set(re.findall(r'<a id="([^"]+)">', page))


def test_every_unit_of_the_kinds_in_use_is_listed(page: str) -> None:
    table = page.partition("## Units")[2].partition("Other spellings")[0]
    for kind in ("length", "angle", "pressure", "second_moment", "temperature_coefficient"):
        for unit in KINDS[kind].units:
            assert f"`{unit}`" in table


def test_every_example_of_a_unit_is_accepted(page: str) -> None:
    words = page.partition("## Units")[2].partition("Other spellings")[0]
    listed = [k for k in KINDS.values() if f"| {k.words.split(' ', 1)[1]} |" in words]
    assert len(listed) > 15
    for kind in listed:
        for example in kind.examples:
            assert f"`{example}`" in words
            parse(example, kind.name)


@pytest.mark.parametrize("name", demo_plan_names())
def test_demo_plans_read(name: str) -> None:
    assert read_plan(demo_text(name), name).job.name


def test_the_whole_example_plan_on_the_page_reads(page: str) -> None:
    text = page.partition("```toml\n")[2].partition("```")[0]
    assert read_plan(text).job.name == "Alder Creek cold store"
