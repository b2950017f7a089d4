"""What is ticked off on site: every joint, bag and terminal once, under a name that stays."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from scipy.constants import inch, lbf

from plumbrail.app import ticklists
from plumbrail.app.ticklists import _cut, _figures, _hold, _item, _pour, _short, _terminals, _torque
from plumbrail.bases.us.nec.torque import torque
from plumbrail.papers import pages_pour
from plumbrail.papers.pdf_blocks import Ticks
from plumbrail.truing.holdpoints import CAUTIONS, HOLD_POINTS

OFFICE: Any = "office"
AT: Any = "at"


def items(found: dict[str, Any], group: int) -> list[tuple[str, str, str]]:
    return [(i["item"], i["words"], i["detail"]) for i in found["groups"][group]["items"]]


def worked(**more: Any) -> Any:
    """Two posts, a joint in the front beam and two in the back one, one rail, one module."""
    model = SimpleNamespace(
        posts=SimpleNamespace(ids=("F1", "B1")), rails=SimpleNamespace(ids=("R1",)),
        braces=SimpleNamespace(ids=more.get("braces", ())), modules=SimpleNamespace(ids=("M1-1",)),
    )  # fmt: skip
    cutting = SimpleNamespace(splices=((3.0,), (2.0, 4.0)))
    return SimpleNamespace(
        design=SimpleNamespace(analysis=SimpleNamespace(planned=model), cutting=cutting)
    )


def test_every_joint_of_the_frame_once() -> None:
    """Joints of a beam are counted from its left end; what the plan has none of is no group."""
    found = _torque(worked(), {"circuits": []})
    assert [g["title"] for g in found["groups"]] == [
        "Beam on post", "Joints of the beams", "Rail on beam", "Clamps and grounding lug",
    ]  # fmt: skip
    makers = "the maker's figure"
    assert items(found, 0) == [
        ("Beam on post: F1", "F1: beam on post", makers),
        ("Beam on post: B1", "B1: beam on post", makers),
    ]
    assert items(found, 1) == [
        ("Joints of the beams: front 1", "front beam, joint 1 from the left", makers),
        ("Joints of the beams: back 1", "back beam, joint 1 from the left", makers),
        ("Joints of the beams: back 2", "back beam, joint 2 from the left", makers),
    ]
    assert items(found, 2) == [
        ("Rail on beam: R1 front", "R1 on the front beam", makers),
        ("Rail on beam: R1 back", "R1 on the back beam", makers),
    ]
    assert items(found, 3) == [("Clamps and grounding lug: M1-1", "M1-1: clamps", makers)]
    braced = _torque(worked(braces=("K1",)), {"circuits": []})
    assert items(braced, 2) == [("Braces: K1", "K1: both ends", makers)]


def test_terminals_that_were_not_worked_out_are_said_to_be_open() -> None:
    assert "NOT CHECKED" not in _torque(worked(), {"circuits": []})["note"]
    pending = _torque(worked(), {})["note"]
    assert pending.endswith("Terminals: NOT CHECKED, the wiring is still being worked out; open "
                            "this list again.")  # fmt: skip
    why = _torque(worked(), {"missing": "there is no wiring section"})["note"]
    assert why.endswith("Terminals: NOT CHECKED, there is no wiring section.")


def wires(size: str | None, **more: Any) -> dict[str, Any]:
    return {"circuits": [{"id": "S1", "what": "string 1", "size": size}], **more}


def test_terminals_of_a_circuit_have_the_figures_of_the_code() -> None:
    """NFPA 70 Annex I for 10 AWG: 20, 35, 80 and 75 lbf in (table from memory)."""
    (one,) = _terminals(wires("10 AWG copper"))["items"]
    assert (one["item"], one["words"]) == ("terminals S1", "string 1: both ends")
    assert one["detail"] == (
        "conductor 10 AWG copper; marked figure first, else NFPA 70 Annex I: small slot 20 lbf·in "
        "(2.3 N·m), large slot 35 lbf·in (4.0 N·m), split bolt 80 lbf·in (9.0 N·m), other 75 "
        "lbf·in (8.5 N·m)"
    )
    (iec,) = _terminals(wires("10 AWG", code="iec"))["items"]
    assert iec["detail"] == "conductor 10 AWG; marked figure first"
    (nec,) = _terminals(wires("10 AWG", code="NEC 2023"))["items"]
    assert "Annex I" in nec["detail"]
    (none,) = _terminals(wires(None))["items"]
    assert none["detail"] == "no conductor found"


def test_figures_say_both_units_and_only_what_the_table_has() -> None:
    for size in ("10 AWG", "2/0 AWG", "500 kcmil"):
        said = _figures(size)
        for connector in ("small slot", "large slot", "split bolt", "other"):
            try:
                value = float(torque(size, connector))
            except Exception:
                assert connector not in said
                continue
            assert f"{connector} {value / (lbf * inch):.0f} lbf·in ({value:.1f} N·m)" in said
    assert _figures("4 mm2") == ""


def test_the_cut_list_says_when_a_better_one_may_come(monkeypatch: pytest.MonkeyPatch) -> None:
    """The pieces of each stick, with the piece that a tick is for."""
    piece = {"item": "A1 / stick 3", "label": "A1", "words": "3 ft", "piece": "A1"}
    bar = {"section": "NPS 3", "what": "posts", "number": 3, "words": "21 ft", "pieces": [piece]}
    for pending in (True, False):
        monkeypatch.setattr(
            ticklists.parts, "cut",
            lambda o, a, p=pending: {"bars": [bar][: (o, a) == ("office", "at")], "pending": p},
        )  # fmt: skip
        found = _cut(OFFICE, AT)
        assert found["note"].startswith("A better cut list") is pending
        assert found["note"].endswith("Mark every piece as soon as it is cut.")
    (group,) = found["groups"]
    assert group["title"] == "NPS 3, posts: stick 3, 21 ft"
    assert group["items"] == [
        {"item": "A1 / stick 3", "words": "A1", "detail": "3 ft", "piece": "A1"}
    ]


def test_a_person_answers_for_every_hold_point() -> None:
    found = _hold()
    assert [words for _, words, _ in items(found, 0)] == list(HOLD_POINTS)
    names = [name for name, _, _ in items(found, 0)]
    assert len(set(names)) == len(HOLD_POINTS)
    assert found["note"].endswith(CAUTIONS[-1])


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Weather, cold: no concrete", "Weather, cold"), ("a: b: c", "a"),
        ("x" * 60 + "y", "x" * 60), ("x" * 59 + " y", "x" * 59), ("", ""),
    ],
)  # fmt: skip
def test_the_words_by_which_a_hold_point_is_known(text: str, name: str) -> None:
    assert _short(text) == name


def test_names_of_items_fit_the_store() -> None:
    assert _item("x" * 101, "w") == {"item": "x" * 100, "words": "w", "detail": ""}


def test_bags_of_each_hole_in_both_pours(monkeypatch: pytest.MonkeyPatch) -> None:
    """First pour and rest apart, in the order of the pour; steps as the sheet of the book says."""
    plan = SimpleNamespace(
        job=SimpleNamespace(units="us"),
        stock=SimpleNamespace(concrete=SimpleNamespace(holding_height=0.3048)),
    )
    bags = SimpleNamespace(size=SimpleNamespace(name="80 lb"), per_pier=np.array([[2, 3], [4, 5]]))
    shop = SimpleNamespace(concrete=SimpleNamespace(ids=("F1", "B1")), bags=bags)
    job = SimpleNamespace(said=lambda m: f"{m / 0.3048:.0f} ft")
    seen: list[Any] = []

    def sheet(poured: Any) -> list[Any]:
        seen.append(poured)
        return ["a heading", Ticks(("Mix: by the bag", "Vibrate")), Ticks(("Cure: a week",))]

    monkeypatch.setattr("plumbrail.jobs.drawing.job_info",
                        lambda run, of: job if (run, of) == ("run", plan) else None)  # fmt: skip
    monkeypatch.setattr(pages_pour, "pour_sheet", sheet)
    done: Any = SimpleNamespace(design=SimpleNamespace(plan=plan, run="run"), shop=shop)
    found = _pour(done)
    assert items(found, 0) == [
        ("first pour F1", "F1: 2 bags", "80 lb"), ("first pour B1", "B1: 3 bags", "80 lb"),
    ]  # fmt: skip
    assert items(found, 1) == [
        ("rest F1", "F1: 4 bags", "80 lb"), ("rest B1", "B1: 5 bags", "80 lb"),
    ]  # fmt: skip
    assert items(found, 2) == [
        ("step Mix", "Mix: by the bag", ""), ("step Vibrate", "Vibrate", ""),
        ("step Cure", "Cure: a week", ""),
    ]  # fmt: skip
    assert found["groups"][0]["title"] == "First pour: 1 ft in every hole, in this order"
    assert (seen[0].ready, seen[0].verdict, seen[0].holding) == (False, "", 0.3048)


@pytest.mark.parametrize("there", [True, False])
def test_the_four_lists_with_the_wiring_as_far_as_it_is_worked_out(
    monkeypatch: pytest.MonkeyPatch, there: bool
) -> None:
    done = SimpleNamespace(report=wires("10 AWG")) if there else None
    held = {("sum", "wire"): done}
    monkeypatch.setattr(ticklists, "_pour", lambda worked: {"id": "pour"})
    monkeypatch.setattr(
        ticklists, "_cut", lambda office, at: {"id": f"cut {office.name} {at.name}"}
    )
    at: Any = SimpleNamespace(sha256="sum", name="at")
    office: Any = SimpleNamespace(
        name="office", worked=lambda a: worked() if a is at else None,
        bench=SimpleNamespace(part=lambda sha, name: held[sha, name]),
    )  # fmt: skip
    found = ticklists.lists(office, at)["lists"]
    assert [one["id"] for one in found] == ["cut office at", "hold", "pour", "torque"]
    titles = [g["title"] for g in found[-1]["groups"]]
    assert ("Terminals of the circuits" in titles) is there
    assert ("NOT CHECKED" in found[-1]["note"]) is not there
