"""Taking a notebook in again: nothing twice, and no reading lost for one that was struck out."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from plumbrail.store.failures import UnknownJobError
from plumbrail.store.notebook_csv import import_uid
from plumbrail.store.records import NewRow
from plumbrail.store.store import Store, open_store

JOB = "alder"
HEAD = "time,kind,from,to,at,value,instrument,set-up,note\n"
PLAIN, STRUCK = ",rod,F1,,,1 ft,,,\n", ",rod,F1,,,1 ft,,,struck\n"


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with open_store(tmp_path / "store.db") as made:
        made.add_job(JOB, "begin-alder", "a plan", "Alder", "desk", "begun")
        yield made


def brought(store: Store, *lines: str) -> int:
    return store.import_csv(JOB, HEAD + "".join(lines), "desk").new


def written(store: Store) -> list[str]:
    return [f"{line}\n" for line in store.notebook_csv(JOB).splitlines()[1:]]


def test_a_reading_struck_by_mistake_and_written_again_is_a_new_row(store: Store) -> None:
    """The saved file has the struck row; the same reading below it counts, and counts once."""
    assert brought(store, PLAIN) == 1
    (old,) = store.rows(JOB)
    store.add_rows(JOB, [NewRow("strike-1", strikes=old.uid)], "phone")
    assert written(store) == [STRUCK]
    assert brought(store, STRUCK, PLAIN) == 1
    assert written(store) == [STRUCK, PLAIN]
    assert brought(store, STRUCK, PLAIN) == brought(store, PLAIN, STRUCK) == 0


def test_a_file_from_before_the_strike_brings_nothing(store: Store) -> None:
    """Two rows alike, one struck: the older file has both as they were sent."""
    alike = [NewRow(f"row-{n}", kind="rod", start="F1", value="1 ft") for n in (1, 2)]
    store.add_rows(JOB, [*alike, NewRow("row-3", strikes="row-1")], "phone")
    assert brought(store, PLAIN, PLAIN) == brought(store, PLAIN) == 0
    assert {*store.import_csv(JOB, f"{HEAD}{PLAIN}{PLAIN}", "desk").uids} == {"row-1", "row-2"}
    assert brought(store, PLAIN, PLAIN, PLAIN) == 1
    assert brought(store, STRUCK, PLAIN, PLAIN) == 0


def test_a_letter_that_no_database_holds_brings_nothing_twice(store: Store) -> None:
    """It is kept as a mark; the same file again is the same row."""
    line = ",rod,F1,,,1 ft,,,a\0b\n"
    assert (brought(store, line), brought(store, line)) == (1, 0)


def test_only_a_strike_of_a_row_that_is_not_there_is_said_to_be_open(store: Store) -> None:
    """Not a reading, not a strike of a row that came before or with it."""
    first = store.add_rows(JOB, [NewRow("row-1", kind="rod", start="F1", value="1 ft")], "phone")
    assert first.unknown_strikes == ()
    sent = [
        NewRow("s-1", strikes="row-1"),
        NewRow("s-2", strikes="row-9"),
        NewRow("s-3", strikes="row-2"),
        NewRow("row-2", kind="rod", start="F2", value="2 ft"),
    ]
    assert store.add_rows(JOB, sent, "phone").unknown_strikes == ("s-2",)


def test_rows_come_in_their_order_and_after_a_number(store: Store) -> None:
    store.add_rows(JOB, [NewRow(f"row-{n}", kind="rod") for n in (3, 1, 2)], "phone")
    assert [row.uid for row in store.rows(JOB)] == ["row-3", "row-1", "row-2"]
    assert [row.uid for row in store.rows(JOB, 1)] == ["row-1", "row-2"]
    assert store.rows(JOB, 3) == ()


def test_a_row_of_a_file_has_the_uid_of_its_cells_and_of_how_many_came_before(
    store: Store,
) -> None:
    """So that two devices that take in one file have the same rows."""
    assert brought(store, PLAIN, PLAIN) == 2
    cells = ("", "rod", "F1", "", "", "1 ft", "", "", "")
    assert [row.uid for row in store.rows(JOB)] == [import_uid(cells, n) for n in (1, 2)]


def test_a_job_that_is_not_there_has_no_rows(store: Store) -> None:
    with pytest.raises(UnknownJobError):
        store.rows("nobody")
