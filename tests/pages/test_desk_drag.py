"""Each kind of thing dragged on the site plan against the real server: its field, and back."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import Any

import pytest
from tests.desk_app import Desk, ask, opened_desk, settled, soon

JOB = "/api/jobs/alder-creek"
SLOW = 300_000
"""Milliseconds until the wiring, and with it the combiner's place, is worked out."""
FIELDS = {
    "box-1": {"site.shade.boxes.1.at"},
    "tree-1": {"site.shade.trees.1.at"},
    "array-1": {"site.shade.arrays.1.at"},
    "service-1": {"site.services.1.points"},
    "service-2": {"site.services.2.points"},
    "service-3": {"site.services.3.points"},
    "boundary": {"site.boundary.points"},
    "easement-1": {"site.easements.1.points"},
    "region-1": {"site.regions.1.points"},
    "region-2": {"site.regions.2.points"},
    "pin-1": {"setout.pin_1"},
    "pin-2": {"setout.pin_2"},
    "equipment": {"wiring.equipment.at"},
    "combiner-C1": {"wiring.combiners.corner"},
}
"""Field of each thing in the plan file."""

GRIP = """(id) => {
  const picture = document.querySelector(".plan-picture").getBoundingClientRect();
  const ends = [...document.querySelectorAll(`.handle[data-of="${id}"]`)];
  const marks = document.querySelectorAll(`.plan-picture [data-id="${id}"]`);
  for (const node of ends.length ? ends : marks) {
    const box = node.getBoundingClientRect();
    for (const [u, v] of [[0.5, 0.5], [0.3, 0.3], [0.7, 0.3], [0.3, 0.7], [0.7, 0.7], [0.5, 0.2]]) {
      const [x, y] = [box.left + u * box.width, box.top + v * box.height];
      if (x < picture.left + 12 || x > picture.right - 12) continue;
      if (y < picture.top + 12 || y > picture.bottom - 12) continue;
      const at = document.elementFromPoint(x, y);
      const held = at?.closest("[data-of]")?.dataset.of ?? at?.closest("[data-id]")?.dataset.id;
      if (held === id) return [x, y];
    }
  }
  return null;
}"""


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    with opened_desk(tmp_path_factory.mktemp("drag")) as found:
        yield found


def plan(page: Any) -> str:
    """The plan file as it is now."""
    return page.evaluate("async (u) => (await fetch(u)).text()", f"{JOB}/plan.toml")


def leaves(value: Any, path: str = "") -> dict[str, Any]:
    """Every field of a plan by its path; lists of sections count from 1, other lists are values."""
    if isinstance(value, dict):
        pairs = [(str(k), v) for k, v in value.items()]
    elif isinstance(value, list) and value and isinstance(value[0], dict):
        pairs = [(str(i + 1), v) for i, v in enumerate(value)]
    else:
        return {path: value}
    found: dict[str, Any] = {}
    for key, inner in pairs:
        found |= leaves(inner, f"{path}.{key}" if path else key)
    return found


def changed(before: str, after: str) -> set[str]:
    """Paths of the fields that differ between two plan files."""
    a, b = leaves(tomllib.loads(before)), leaves(tomllib.loads(after))
    return {path for path in a.keys() | b.keys() if a.get(path) != b.get(path)}


def open_plan(page: Any, show: str) -> None:
    page.locator(".plan-things").evaluate("(n) => { n.open = true; }")
    page.locator(".plan-picture").scroll_into_view_if_needed()
    page.get_by_label(show, exact=True).click()
    page.locator(".plan-picture").evaluate(
        "(n) => n.scrollIntoView({ block: 'center' })"
    )  # fmt: skip
    page.wait_for_timeout(200)


def pull(page: Any, id: str, by: tuple[float, float]) -> None:
    """Chooses a thing on the list and drags it, or a corner of it, on the drawing."""
    page.locator(f'[data-row="{id}"] > button').evaluate("(n) => n.click()")
    page.wait_for_timeout(150)
    at = page.evaluate(GRIP, id)
    assert at is not None, f"{id} cannot be taken hold of"
    page.mouse.move(*at)
    page.mouse.down()
    page.mouse.move(at[0] + by[0], at[1] + by[1], steps=6)
    page.mouse.up()


def undo(page: Any, before: str) -> None:
    page.get_by_role("button", name="Undo").click()
    soon(
        page,
        "async ([u, t]) => (await (await fetch(u)).text()) === t",
        arg=[f"{JOB}/plan.toml", before],
    )
    settled(page)


@pytest.mark.parametrize("id", list(FIELDS))
def test_each_thing_changes_its_own_field_and_undo_puts_the_file_back(desk: Desk, id: str):
    with desk.page(size=(1600, 1000)) as page:
        before = plan(page)
        page.locator(f'.plan-picture [data-id="{id}"]').first.wait_for(
            state="attached", timeout=SLOW
        )
        show = "Show the array" if id[:3] in ("pin", "com") else "Show the whole site"
        open_plan(page, show)
        if id.startswith("combiner"):
            wide = page.locator('.plan-picture [data-id="array"]').first.bounding_box()["width"]
            pull(page, id, (-0.7 * wide, 0))
        else:
            pull(page, id, (-9, 6))
        soon(
            page,
            "async ([u, t]) => (await (await fetch(u)).text()) !== t",
            arg=[f"{JOB}/plan.toml", before],
        )
        settled(page)
        after = plan(page)
        assert changed(before, after) == FIELDS[id]
        assert page.locator(f'.plan-picture [data-id="{id}"]').count()  # before the wires are done
        if id == "combiner-C1":
            assert tomllib.loads(after)["wiring"]["combiners"]["corner"] == "back left"
        undo(page, before)


def test_the_array_is_dragged_and_the_land_goes_the_other_way(desk: Desk):
    with desk.page(size=(1600, 1000)) as page:
        before = plan(page)
        open_plan(page, "Show what stands around the array")
        k = page.evaluate("document.querySelector('.furniture .bar-fill').getBBox().width")
        own = page.locator('.plan-picture [data-id="array"]').first
        box = own.bounding_box()
        at = (box["x"] + 0.5 * box["width"], box["y"] + 0.5 * box["height"])
        page.mouse.click(*at)
        page.mouse.move(*at)
        page.mouse.down()
        page.mouse.move(at[0] + 0.5 * k, at[1], steps=6)
        page.mouse.up()
        soon(
            page,
            "async ([u, t]) => (await (await fetch(u)).text()) !== t",
            arg=[f"{JOB}/plan.toml", before],
        )
        settled(page)
        after = plan(page)
        here = ("pin-1", "pin-2", "combiner-C1")
        land = set().union(*(paths for id, paths in FIELDS.items() if id not in here))
        told = changed(before, after)
        rest = {p for p in told - land if not p.startswith("site.shade.trees.")}
        assert land <= told and rest <= {"site.ground.points"}
        now = ask(page, JOB)["answer"]["values"]["site"]["shade"]["trees"][0]["at"]
        was = tomllib.loads(before)["site"]["shade"]["trees"][0]["at"]
        assert now[0] != was[0] and now[1] == was[1]
        undo(page, before)
