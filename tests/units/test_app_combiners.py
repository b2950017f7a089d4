"""The combiner boxes of the views: where they are wired, and before that where they will hang."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any, cast

import numpy as np
import pytest

from plumbrail.app import combiners
from plumbrail.errors import RangeError
from plumbrail.model.build import build
from plumbrail.plan.models import Plan
from plumbrail.wiring.run import hung, wired
from wirings import LOW, wired_plan

SHADE = np.linspace(0.0, 0.3, 24)


def shown(plan: Plan, report: Any = None) -> Any:
    design = SimpleNamespace(plan=plan, model=build(plan))
    return combiners.wired(cast(Any, design), report)


@pytest.mark.parametrize("corner", ["back right", "front left"])
@pytest.mark.parametrize("count", [1, 3])
def test_a_box_does_not_move_when_the_wiring_comes(corner: str, count: int) -> None:
    plan = wired_plan(LOW | {"combiners.corner": corner, "combiners.count": count})
    model = build(plan)
    found = hung(plan, model)
    assert len(found) == count
    for shade in (None, SHADE):
        assert np.array([b.point for b in found]) == pytest.approx(wired(plan, model, shade).boxes)
    strings, boxes = shown(plan)
    assert strings == {}
    assert [b.name for b in boxes] == [f"C{n + 1}" for n in range(count)]
    assert [tuple(b.place) for b in boxes] == [tuple(b.point) for b in found]


def test_where_shade_picks_the_modules_no_box_is_shown_yet() -> None:
    plan = wired_plan({"equipment.max_array": "7 kW"})
    model = build(plan)
    assert wired(plan, model).chosen.left_over > 0
    assert hung(plan, model) == []
    assert shown(plan) == ({}, [])


def test_without_wiring_there_is_no_box() -> None:
    assert shown(wired_plan().model_copy(update={"wiring": None})) == ({}, [])


def test_what_the_wiring_cannot_use_is_for_the_wiring_to_say(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def refuses(*_: Any) -> Any:
        raise RangeError("beyond the table")

    monkeypatch.setattr("plumbrail.wiring.run.volts_of", refuses)
    assert shown(wired_plan()) == ({}, [])


def test_boxes_and_strings_are_those_of_the_wiring_once_it_is_there() -> None:
    report = {"strings": [{"id": "S1", "modules": ["M1", "M2"]}],
              "boxes": [{"id": "C1", "x": 1.0, "y": 2.0, "z": 3.0}]}  # fmt: skip
    strings, (box,) = shown(wired_plan(), report)
    assert strings == {"M1": "S1", "M2": "S1"}
    assert (box.name, box.place) == ("C1", (1.0, 2.0, 3.0))
    assert shown(wired_plan(), {"missing": "no figures"}) == ({}, [])
