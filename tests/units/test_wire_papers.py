"""Papers of the wiring: words that overlap, maps that are to scale, lists that agree."""

from __future__ import annotations

import re
from functools import cache
from itertools import product
from xml.etree import ElementTree

import numpy as np
import pytest

from plumbrail.check import Status
from plumbrail.model.build import build
from plumbrail.papers import boxes, wire_tables
from plumbrail.papers.furniture import drawing_area
from plumbrail.papers.one_line import one_line
from plumbrail.papers.sheet import SMALLEST_TEXT, Polyline, page
from plumbrail.papers.svg import svg
from plumbrail.papers.wire_facts import (
    MINUS,
    Task,
    branches,
    capital,
    cut_lengths,
    cut_words,
    stretches,
)
from plumbrail.papers.wire_sheet import wiring_sheet
from plumbrail.papers.wire_tables import together
from plumbrail.papers.wiring_map import wiring_map
from plumbrail.papers.wiring_map_view import Seen, strips, words
from plumbrail.papers.wording import JobInfo
from plumbrail.wiring.run import wired
from plumbrail.wiring.strings import members
from wirings import LOW, wired_plan

HIGH = {"equipment.max_voltage": "600 V", "equipment.working": ["90 V", "550 V"]}
MANY = {
    **HIGH, "equipment.inputs": 4, "equipment.max_short_circuit": "90 A",
    "equipment.max_array": "200 kW", "combiners.count": 3,
}  # fmt: skip
ALONE = {
    **LOW, "per_string": 1, "equipment.max_short_circuit": "600 A",
    "equipment.max_current": "500 A", "equipment.working": ["20 V", "230 V"],
    "equipment.start_voltage": "20 V",
}  # fmt: skip
PLANS = {
    "two strings of 12 without fuses": (HIGH, {}),
    "three strings with fuses": ({}, {}),
    "six boxes": ({**LOW, "combiners.count": 6}, {}),
    "front left, per column": ({**LOW, "combiners.corner": "front left"}, {}),
    "200 modules": (MANY, {"array.columns": 50, "frame.posts": 32}),
    "every module alone": (ALONE, {}),
    "many runs": (
        {**MANY, **LOW, "combiners.count": 6, "equipment.inputs": 5},
        {"array.columns": 30, "frame.posts": 18},
    ),
    "high and narrow": (
        {**HIGH, "equipment.max_array": "200 kW", "equipment.max_short_circuit": "300 A"},
        {"array.orientation": "portrait", "array.rows": 6, "array.columns": 14, "frame.posts": 6},
    ),
    "infeasible": ({"per_string": 20}, {}),
    "IEC": ({"basis.code": "IEC"}, {}),
    "inverter, portrait": (
        {"equipment.kind": "inverter", "run.method": "direct burial"},
        {"array.orientation": "portrait", "array.rows": 2, "array.columns": 12, "frame.posts": 5},
    ),
}  # fmt: skip
PAGES = {"us": page("Letter"), "metric": page("A4")}
DRAW = {"one line": one_line, "map": wiring_map, "lists": wiring_sheet}
every = pytest.mark.parametrize(("name", "units"), list(product(PLANS, PAGES)))


@cache
def task(name, units="us"):
    changes, elsewhere = PLANS[name]
    plan = wired_plan(changes, elsewhere)
    model = build(plan)
    return Task(plan, model, wired(plan, model), JobInfo("A job", units, "abcd1234", "0.1"))


@cache
def sheets(name, units, kind):
    return DRAW[kind](task(name, units), PAGES[units])


def said(found):
    return [t.text.replace("\u00a0", " ") for s in found for t in boxes.texts(s)]


def told(found):
    """All words, those of a broken line joined again."""
    return " ".join(said(found))


@every
@pytest.mark.parametrize("kind", DRAW)
def test_no_text_overlaps_runs_off_is_cut_or_is_too_small(name, units, kind):
    for sheet in sheets(name, units, kind):
        assert boxes.overlaps(sheet) == []
        assert boxes.off_page(sheet) == []
        assert min(t.height for t in boxes.texts(sheet)) >= SMALLEST_TEXT
        assert not [t.text for t in boxes.texts(sheet) if t.text.endswith("…")]


@every
def test_every_sheet_is_well_formed_and_black(name, units):
    for sheet in (s for kind in DRAW for s in sheets(name, units, kind)):
        text = svg(sheet)
        ElementTree.fromstring(text)
        assert set(re.findall(r"#[0-9a-f]{3,6}\b", text)) <= {"#000", "#fff", "#e4e4e4"}


@every
def test_every_module_stands_once_on_the_map_with_its_string(name, units):
    t = task(name, units)
    found = [s for s in sheets(name, units, "map") if s.title.endswith("strings")]
    texts = said(found)
    for own, label in zip(t.model.modules.ids, words(t), strict=True):
        assert texts.count(own) == 1
        if label != "spare":
            assert texts.count(label) == 1
    spare = int((t.wired.strings.string < 0).sum())
    assert texts.count("spare") == spare
    assert texts.count("+") == texts.count(MINUS) == len(t.wired.strings.ids)


@every
def test_strips_hold_every_column_once(name, units):
    t = task(name, units)
    pages = strips(t, drawing_area(PAGES[units]))
    columns = [c for p in pages for s in p for c in range(s.first, s.last + 1)]
    assert columns == list(range(1, int(t.model.modules.column.max()) + 1))


def test_the_map_is_to_scale():
    """A module on paper, times the scale, is the module of the plan."""
    t = task("three strings with fuses")
    for sheet in sheets("three strings with fuses", "us", "map"):
        (view,) = sheet.views
        shape = next(i for i in view.items if isinstance(i, Polyline) and i.closed)
        on_page = np.array([view.to_page(p) for p in shape.points])
        sides = np.abs(np.diff(on_page, axis=0)).max(axis=1) * view.scale / 1000.0
        corners = t.model.modules.corners[0]
        real = np.linalg.norm(np.diff(corners, axis=0), axis=1)
        assert sides == pytest.approx(real, rel=1e-9)


def test_a_wire_to_a_box_is_drawn_where_it_lies():
    """Along rails and beams the map shows true lengths; only the way down a post looks shorter."""
    t = task("three strings with fuses")
    seen = Seen(t)
    wires = [p for p in t.wired.paths if p.kind == "home run"]
    assert wires
    for path in wires:
        flat = seen.of(path.points)
        assert np.linalg.norm(np.diff(flat, axis=0), axis=1).sum() <= path.length + 1e-9
        low, high = seen.modules.reshape(-1, 2).min(axis=0), seen.modules.reshape(-1, 2).max(axis=0)
        assert np.all(flat[0] >= low) and np.all(flat[0] <= high)
        assert flat[-1] == pytest.approx(seen.of(t.wired.boxes[0]))


@every
def test_lengths_to_cut_are_the_paths_with_slack(name, units):
    t = task(name, units)
    cuts = cut_lengths(t.plan, t.model, t.wired)
    laid = sum(p.length for p in t.wired.paths if p.kind in ("home run", "jumper"))
    assert sum(c.laid for c in cuts) == pytest.approx(laid)
    for c in cuts:
        assert c.cut == pytest.approx(1.1 * c.laid)  # the plan's slack is 10 %
    for k, string in enumerate(t.wired.strings.ids):
        ends = {c.wire: c.start for c in cuts if c.string == string}
        own = [t.model.modules.ids[m] for m in members(t.wired.strings, k)]
        assert (ends["positive"], ends["negative"]) == (own[0], own[-1])


def test_a_wire_is_never_cut_short():
    us, metric = (JobInfo("", u, "", "") for u in ("us", "metric"))
    assert cut_words(us, 0.3048) == "1' 0\"" and cut_words(us, 0.3049) == "1' 1\""
    assert cut_words(metric, 1.0) == "1000" and cut_words(metric, 1.0001) == "1010"


@every
def test_stretches_name_every_module_in_order(name, units):
    t = task(name, units)
    m = t.model.modules
    place = dict(zip(m.ids, zip(m.row.tolist(), m.column.tolist(), strict=True), strict=True))
    back = {v: k for k, v in place.items()}
    for k in range(len(t.wired.strings.ids)):
        own = members(t.wired.strings, k).tolist()
        named = []
        for part in stretches(t.model, own):
            ends = [place[e] for e in part.split(" to ")]
            (r0, c0), (r1, c1) = ends[0], ends[-1]
            n = max(abs(r1 - r0), abs(c1 - c0))
            row, column = np.sign(r1 - r0), np.sign(c1 - c0)
            named += [back[r0 + i * row, c0 + i * column] for i in range(n + 1)]
        assert named == [t.model.modules.ids[m] for m in own]


def test_the_diagram_says_the_values():
    texts = told(sheets("three strings with fuses", "us", "one line"))
    for words_ in (
        "373.4 V on the coldest", "14.0 A", "17.5 A", "10 AWG copper PV wire", "2 x 4 AWG THWN-2",
        "PVC 40, trade size 1", "140' 0\" one way", "rails and boxes bonded: 8 AWG",
        "to the battery",
        "signs P1, P2, P3", "one line stands for both wires",
    ):  # fmt: skip
        assert words_ in texts, words_


@pytest.mark.parametrize(("name", "fuses"), [("two strings of 12 without fuses", 0),
                                             ("three strings with fuses", 3),
                                             ("six boxes", 12)])  # fmt: skip
def test_the_diagram_draws_a_fuse_where_there_is_one(name, fuses):
    """Six boxes of one string have a fuse and a device of the run each."""
    texts = said(sheets(name, "us", "one line"))
    assert texts.count("25 A") == fuses


def test_each_run_is_a_line_with_its_strings():
    t = task("200 modules")
    found = branches(t.wired)
    assert sorted(s for b in found for s in b.strings) == list(range(len(t.wired.strings.ids)))
    for b in found:
        assert {int(t.wired.strings.combiner[s]) for s in b.strings} == {b.box}
    texts = told(sheets("200 modules", "us", "one line"))
    assert all(f"input {b.input + 1}" in texts for b in found)


@pytest.mark.parametrize("kind", DRAW)
def test_sheets_of_a_wiring_that_fails_say_so_first(kind):
    for sheet in sheets("infeasible", "us", kind):
        assert any(t.startswith("DO NOT BUILD FROM THIS SHEET: 3 of") for t in said([sheet]))
    for sheet in sheets("three strings with fuses", "us", kind):
        assert any(t.startswith("No check fails; 14 of 36 are not checked") for t in said([sheet]))


@pytest.mark.parametrize("name", PLANS)
def test_the_lists_hold_every_sign_caution_and_open_check(name):
    t, flat = task(name), told(sheets(name, "us", "lists"))
    for i, p in enumerate(t.wired.placards):
        values = f" Write in: {p.values}." if p.values else ""
        assert f"P{i + 1}: {p.text}. Place: {p.where}.{values} ({p.clause})" in flat
    for caution in t.wired.cautions:
        assert caution in flat
    for c in t.wired.checks:
        if c.status is Status.NOT_CHECKED:
            assert f"{capital(c.subject)}, {c.title}: {c.note}" in flat
    assert "Torque of terminals" in flat and "Never part a connector under load" in flat


def test_what_is_not_known_for_iec_is_said():
    texts = told(sheets("IEC", "metric", "lists")) + told(sheets("IEC", "metric", "one line"))
    assert "no list of signs is at hand" in texts
    assert "size not checked" in texts and "what it carries there is not checked" in texts
    assert "one in each pole" in texts


def test_no_fuse_that_suits_forbids_strings_in_parallel():
    changes = {**LOW, "conductors.array_size": "10 AWG"}
    plan = wired_plan(changes, {"module.max_series_fuse": "15 A"})
    model = build(plan)
    t = Task(plan, model, wired(plan, model), JobInfo("A job", "us", "abcd1234", "0.1"))
    assert t.string.device == "no compliant fuse"
    assert "no fuse suits" in said(one_line(t, PAGES["us"]))
    assert "do NOT put them in" in told(wiring_sheet(t, PAGES["us"]))


def test_things_bought_under_one_name_are_one_line():
    bought = task("six boxes").wired.buying
    found = together(bought)
    assert len({i.what for i in found}) == len(found) < len(bought)
    pipe = next(i.what for i in bought if "conduit PVC 80" in i.what)
    assert next(i.amount for i in found if i.what == pipe) == pytest.approx(
        sum(i.amount for i in bought if i.what == pipe)
    )


def test_what_fails_is_told_with_its_numbers():
    flat = told(sheets("infeasible", "us", "lists"))
    assert "voltage on the coldest morning: 933.6 V against 450.0 V" in flat


def test_a_diagram_with_many_runs_goes_on_more_sheets():
    t = task("many runs")
    found = [s for s in sheets("many runs", "us", "one line") if s.title == "One-line diagram"]
    texts = said(found)
    assert len(found) > 1 and len(branches(t.wired)) > 8
    assert [x for x in texts if x.startswith("box C")] == [f"box C{i + 1}" for i in range(6)]


def test_the_map_of_a_high_array_stands_upright():
    assert all(s.page.height > s.page.width for s in sheets("high and narrow", "us", "map"))


@pytest.mark.parametrize(("metres", "us", "metric"), [
    (264 * 0.3048, "264 ft", "81 m"), (264.0000001 * 0.3048, "264 ft", "81 m"),
    (np.nextafter(264 * 0.3048, 100), "264 ft", "81 m"), (264.001 * 0.3048, "265 ft", "81 m"),
    (80.0, "263 ft", "80 m"), (80.00000001, "263 ft", "80 m"), (80.001, "263 ft", "81 m"),
    (0.1 + 0.2 + 0.7, "4 ft", "1 m"), (0.0, "0 ft", "0 m"), (0.01, "1 ft", "1 m"),
])  # fmt: skip
def test_lengths_to_buy_are_rounded_up_but_not_for_noise(metres, us, metric):
    said = [wire_tables.amount(metres, "m", s).replace("\u00a0", " ") for s in ("us", "metric")]
    assert said == [us, metric]


def test_every_foot_bought_whole_stays_as_many():
    """Sums of metres that make whole feet, added up in any order, buy not one foot more."""
    feet = np.arange(1, 2001)
    sums = [float(np.add.accumulate(np.full(n, 0.3048))[-1]) for n in feet[::50]]
    said = [wire_tables.amount(s, "m", "us") for s in sums]
    assert said == [f"{n}\u00a0ft" for n in feet[::50]]


@every
def test_a_list_to_buy_has_degrees_and_no_jumpers_where_there_are_none(name, units):
    made = task(name, units)
    words = [f"{i.what} {i.note}" for i in made.wired.buying]
    pairs = next(i.note for i in made.wired.buying if i.what == "pair of connectors")
    jumps = sum(p.kind == "jumper" for p in made.wired.paths)
    assert ("jumper" in pairs) == (jumps > 0)
    assert not [w for w in words if re.search(r"deg[CF]|\bof 0\b", w)]
    assert any("terminals for 75 °C" in w for w in words)
