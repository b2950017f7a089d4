"""The demo plans that come with the program."""

from __future__ import annotations

from importlib.resources import files

from plumbrail.errors import PlanError, Problem

_FOLDER = "plans"


def demo_plan_names() -> tuple[str, ...]:
    """Names of the demo plans, in alphabetical order."""
    entries = (files("plumbrail.plan") / _FOLDER).iterdir()
    return tuple(sorted(e.name.removesuffix(".toml") for e in entries if e.name.endswith(".toml")))


def demo_notebooks(name: str) -> dict[str, str]:
    """Texts of the notebooks that come with a demo plan by file name, in the order of the work."""
    folder = files("plumbrail.plan") / _FOLDER
    found = [e for e in folder.iterdir() if e.name.startswith(f"{name}-readings")]
    return {e.name: e.read_text("utf-8") for e in sorted(found, key=lambda e: len(e.name))}


def demo_tests(name: str) -> dict[str, str]:
    """Text of the tests that come with a demo plan by file name; empty where there are none."""
    found = files("plumbrail.plan") / _FOLDER / f"{name}-tests.csv"
    return {found.name: found.read_text("utf-8")} if found.is_file() else {}


def demo_text(name: str) -> str:
    """Text of a demo plan; raises PlanError when there is none of that name."""
    if name not in demo_plan_names():
        known = ", ".join(demo_plan_names())
        raise PlanError([Problem("", f"there is no demo plan {name!r}; there are: {known}")], name)
    return (files("plumbrail.plan") / _FOLDER / f"{name}.toml").read_text("utf-8")
