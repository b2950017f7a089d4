"""All drawings of the build books of the demo plans, made once for each paper and language."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from importlib.resources import as_file, files

from plumbrail.jobs.book_parts_drawings import Drawings, drawings
from plumbrail.jobs.book_parts_results import Results, results
from plumbrail.papers.sheet import Sheet, page
from plumbrail.papers.words import listening, speaking
from plumbrail.plan.demos import demo_notebooks
from plumbrail.plan.reader import load_plan


@cache
def demo(name: str, units: str = "") -> Results:
    """A demo plan worked out with its first notebook; in other units without the notebook."""
    folder = files("plumbrail.plan") / "plans"
    with as_file(folder / f"{name}.toml") as plan:
        loaded = load_plan(str(plan))
    if units:
        job = loaded.plan.job.model_copy(update={"units": units})
        plan_in_units = loaded.plan.model_copy(update={"job": job})
        return results(replace(loaded, plan=plan_in_units), None, lambda stage: None)
    for notebook in sorted(demo_notebooks(name))[:1]:
        with as_file(folder / notebook) as readings:
            return results(loaded, str(readings), lambda stage: None)
    return results(loaded, None, lambda stage: None)


@cache
def drawn(name: str, paper: str, language: str = "en", units: str = "") -> Drawings:
    """Every drawing of its book."""
    return heard(name, paper, language, units)[0]


@cache
def heard(name: str, paper: str, language: str, units: str = "") -> tuple[Drawings, list[str]]:
    """Every drawing, and the texts that stayed English."""
    found = demo(name, units)
    with speaking(language, found.plan.job.units), listening() as unsaid:
        return drawings(found, page(paper)), unsaid


def sheets(made: Drawings) -> list[tuple[str, Sheet]]:
    """Every sheet with the name of its drawing."""
    return [(d.name, s) for group in made.groups.values() for d in group for s in d.sheets]
