"""What the phone is given: readings to take, lists to tick off, rows by the lines of the CSV."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

from tests.app_client import demo, desk

from plumbrail.app.fieldwork import uids_of_lines
from plumbrail.notebook.blank import BlankRow, blank_csv
from plumbrail.notebook.entries import Axis, Kind
from plumbrail.notebook.reader import read_notebook
from plumbrail.store.records import NewRow


def test_every_line_of_the_notebook_is_known_by_its_row(tmp_path: Path) -> None:
    text = (files("plumbrail.plan") / "plans" / "alder-creek-readings.csv").read_text("utf-8")
    with desk(tmp_path) as (client, works):
        job = demo(client)["job"]
        works.store.import_csv(job, text, "desk")
        aim = works.store.rows(job)[40].uid
        works.store.add_rows(job, [NewRow("strike-0001", strikes=aim, note="misread")], "phone")
        works.store.add_rows(
            job, [NewRow("late-000001", kind="rod", start="F1", value="1 ft 3 in")], "phone"
        )
        rows = works.store.rows(job)
        book = read_notebook(works.store.notebook_csv(job), 4)
        by_uid = {row.uid: row for row in rows}
        lines = uids_of_lines(rows)
        assert len(book.readings) > 90
        for reading in book.readings:
            row = by_uid[lines[str(reading.line)]]
            assert row.value == reading.text
        assert [lines[str(s.line)] for s in book.struck] == [aim]


def test_the_field_sheet_of_the_phone_can_be_written_into_a_notebook(tmp_path: Path) -> None:
    with desk(tmp_path) as (client, _):
        job = demo(client)["job"]
        sheet = client.get(f"/api/jobs/{job}/field").json()
    rows = [row for group in sheet["groups"] for row in group["rows"]]
    assert [row["number"] for row in rows] == list(range(1, len(rows) + 1))
    blanks = [
        BlankRow(Kind(r["kind"]), r["start"], r["end"], r["at_point"], setup=r["setup"],
                 axis=Axis(r["axis"]) if r["axis"] else None)
        for r in rows
    ]  # fmt: skip
    book = read_notebook(blank_csv(blanks), sheet["stations"])
    assert (book.blank, book.problems) == (len(rows), ())
    named = {p["id"] for p in sheet["points"]}
    assert {r["start"] for r in rows} <= named


def test_items_to_tick_have_names_of_their_own_that_fit(tmp_path: Path) -> None:
    with desk(tmp_path) as (client, _):
        job = demo(client)["job"]
        found = client.get(f"/api/jobs/{job}/lists").json()["lists"]
    assert [one["id"] for one in found] == ["cut", "hold", "pour", "torque"]
    for one in found:
        names = [item["item"] for group in one["groups"] for item in group["items"]]
        assert len(names) == len(set(names)) > 5, one["id"]
        assert max(map(len, names)) <= 120
    assert "NOT CHECKED" in found[-1]["note"]  # the wiring was not worked out here


def test_the_result_names_what_to_read_in_cells_of_the_notebook(tmp_path: Path) -> None:
    text = (files("plumbrail.plan") / "plans" / "alder-creek-readings.csv").read_text("utf-8")
    with desk(tmp_path) as (client, works):
        job = demo(client)["job"]
        works.store.import_csv(job, text, "desk")
        report = client.get(f"/api/jobs/{job}/truing").json()
    again = report["wanted"]["again"]
    assert {w["setup"] for w in again if w["kind"] == "rod"} == {"C"}
    assert len(report["picture"]["moves"]) == len(report["mending"]["moves"]) > 0
    (slip,) = report["suspicions"]
    assert all(str(line) in report["lines"] for line in slip["lines"])
