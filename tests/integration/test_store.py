"""The store, the same tests against SQLite and a real PostgreSQL."""

from __future__ import annotations

import os
import sqlite3
import stat
import traceback
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Barrier

import pytest
from sqlalchemy import delete, insert, text, update
from sqlalchemy.exc import DBAPIError

from plumbrail.store import schema
from plumbrail.store import tables as t
from plumbrail.store.engine import Base
from plumbrail.store.failures import (
    BusyError,
    ClashError,
    FullError,
    JobThereError,
    NotAStoreError,
    Stale,
    StoreError,
    UnknownJobError,
    UnknownRevisionError,
    UnreachableError,
)
from plumbrail.store.places import where
from plumbrail.store.records import NewRow, NewTick, StepKind
from plumbrail.store.store import Store, open_store, restore
from stores import PASSWORD, PASSWORD_IN_URL, new_place, place_fixture, store_fixture  # noqa: F401

JOB = "alder"
TESTS = "string,kind,value\nS1,open-circuit voltage,431 V\n"
PLAN = '[job]\nname = "Alder – 8 ½ ft"\n'


def begun(store: Store, job: str = JOB) -> Store:
    store.add_job(job, f"begin-{job}", PLAN, "Alder", "desk", "begun")
    return store


def edit(store: Store, revision: int, uid: str, plan: str = "changed") -> int:
    made = store.add_step(JOB, revision, uid, StepKind.EDIT, plan, "Alder 2", "desk", "tilt")
    return made.revision


def reading(uid: str, value: str = "4 ft 3 1/2 in", strikes: str = "", note: str = "") -> NewRow:
    return NewRow(uid, kind="rod", start="F1", value=value, strikes=strikes, note=note)


# ------------------------------------------------------------------ jobs and steps


def test_a_job_and_its_steps(store: Store) -> None:
    first = begun(store).head(JOB)
    assert (first.revision, first.kind, first.of, first.by) == (1, StepKind.BEGUN, None, "desk")
    assert store.text_of(JOB, 1) == PLAN
    assert edit(store, 1, "edit-0001") == 2
    assert [step.revision for step in store.steps(JOB)] == [1, 2]
    (job,) = store.jobs()
    assert (job.id, job.name, job.revision) == (JOB, "Alder 2", 2)
    assert job.changed == store.head(JOB).at


def test_a_job_begun_twice_is_one_job(store: Store) -> None:
    begun(store)
    again = store.add_job("other-id", f"begin-{JOB}", PLAN, "Alder", "desk", "begun")
    assert again.job == JOB
    with pytest.raises(JobThereError, match="choose another id"):
        store.add_job(JOB, "begin-other", PLAN, "Alder", "desk", "begun")
    assert len(store.jobs()) == 1


def test_a_stale_edit_is_refused_with_the_last_revision(store: Store) -> None:
    edit(begun(store), 1, "edit-0001")
    with pytest.raises(Stale) as stale:
        edit(store, 1, "edit-0002")
    assert stale.value.revision == 2
    with pytest.raises(Stale):
        edit(store, 7, "edit-0002")


def test_an_edit_sent_twice_is_one_step(store: Store) -> None:
    """Also when others have gone on since."""
    edit(begun(store), 1, "edit-0001")
    edit(store, 2, "edit-0002")
    assert edit(store, 1, "edit-0001") == 2
    assert store.head(JOB).revision == 3
    assert store.step_of_uid(JOB, "edit-0001") == store.step(JOB, 2)
    assert store.step_of_uid(JOB, "edit-0009") is None


def test_what_is_not_there_is_said(store: Store) -> None:
    begun(store)
    for call in (store.head, store.steps, store.rows, store.ticks, store.names, store.notebook_csv):
        with pytest.raises(UnknownJobError, match="list of jobs"):
            call("elder")
    with pytest.raises(UnknownJobError):
        store.add_rows("elder", [reading("row-00001")], "phone")
    for revision in (0, -1, 2, 2**70):
        with pytest.raises(UnknownRevisionError, match="no revision"):
            store.text_of(JOB, revision)
    with pytest.raises(StoreError, match="no plan"):
        store.text("0" * 64)


def test_undo_redo_and_restore_bring_the_very_text_back(store: Store) -> None:
    edit(begun(store), 1, "edit-0001", "two")
    assert (store.undo_target(JOB), store.redo_target(JOB)) == (1, None)
    undo = (StepKind.UNDO, "Alder", "desk", "undo", 1)
    with pytest.raises(StoreError, match="not that of revision 1"):
        store.add_step(JOB, 2, "undo-0001", undo[0], "else", *undo[1:])
    made = store.add_step(JOB, 2, "undo-0001", undo[0], PLAN, *undo[1:])
    assert (made.of, made.sha256) == (1, store.step(JOB, 1).sha256)
    assert (store.undo_target(JOB), store.redo_target(JOB)) == (None, 2)
    with pytest.raises(StoreError, match="not the one that a redo"):
        store.add_step(JOB, 3, "redo-0001", StepKind.REDO, PLAN, "n", "desk", "", 1)
    with pytest.raises(StoreError, match="only once"):
        store.add_step(JOB, 3, "begin-001", StepKind.BEGUN, PLAN, "n", "desk", "")
    with pytest.raises(StoreError, match="names an older revision"):
        store.add_step(JOB, 3, "redo-0001", StepKind.REDO, "two", "n", "desk", "")


def test_names_of_revisions(store: Store) -> None:
    edit(begun(store), 1, "edit-0001")
    for revision, name in ((1, "first"), (2, "for the county"), (1, "as sold"), (2, "")):
        store.name_revision(JOB, revision, name, "desk")
    assert [(n.revision, n.name) for n in store.names(JOB)] == [(1, "as sold")]
    at = store.name_revision(JOB, 1, "as sold", "desk").at
    assert store.name_revision(JOB, 1, "as sold", "phone").at == at
    with pytest.raises(UnknownRevisionError):
        store.name_revision(JOB, 3, "none", "desk")


@pytest.mark.parametrize("plan", ["a\0b", "a\ud800b"])
def test_a_plan_that_is_no_text_is_refused(store: Store, plan: str) -> None:
    with pytest.raises(StoreError, match="no text"):
        edit(begun(store), 1, "edit-0001", plan)
    assert store.head(JOB).revision == 1


def test_a_damaged_text_is_not_given_out(store: Store) -> None:
    begun(store)
    false = insert(t.texts).values(sha256="0" * 64, text="not this")
    with store._base.writing() as connection:
        connection.execute(false)
    with pytest.raises(NotAStoreError, match="damaged"):
        store.text("0" * 64)


# ------------------------------------------------------------------ many at once


def test_of_many_writers_at_once_one_is_first(store: Store) -> None:
    """Eight threads edit the same revision ten times over: one each time, the others are told."""
    begun(store)
    workers, rounds = 8, 10
    told: list[int] = []
    together = Barrier(workers)

    def work(worker: int) -> list[int]:
        made = []
        for round_ in range(rounds):
            together.wait()
            try:
                made.append(
                    edit(store, round_ + 1, f"edit-{round_}-{worker}", f"{round_} {worker}")
                )
            except Stale as stale:
                told.append(stale.revision - round_)
        return made

    with ThreadPoolExecutor(workers) as pool:
        made = [revision for some in pool.map(work, range(workers)) for revision in some]
    assert sorted(made) == list(range(2, rounds + 2))
    assert told == [2] * (workers - 1) * rounds


def test_the_same_step_from_many_threads_is_one(store: Store) -> None:
    begun(store)
    together = Barrier(8)

    def work(_: int) -> int:
        together.wait()
        return edit(store, 1, "edit-0001")

    with ThreadPoolExecutor(8) as pool:
        assert set(pool.map(work, range(8))) == {2}


def test_rows_from_many_threads_are_numbered_without_gaps(store: Store) -> None:
    """Each row is sent by two phones; reading and writing go on at once."""
    begun(store)

    def work(worker: int) -> None:
        for n in range(10):
            uids = [f"row-{worker // 2}-{n}-{k}" for k in range(3)]
            store.add_rows(JOB, [reading(uid) for uid in uids], f"phone {worker}")
            store.rows(JOB)

    with ThreadPoolExecutor(8) as pool:
        list(pool.map(work, range(8)))
    rows = store.rows(JOB)
    assert [row.seq for row in rows] == list(range(1, 4 * 10 * 3 + 1))
    assert len({row.uid for row in rows}) == len(rows)


def test_two_jobs_with_the_same_text_at_once(store: Store) -> None:
    together = Barrier(6)

    def work(worker: int) -> str:
        together.wait()
        made = store.add_job(f"job{worker}", f"begin-{worker:03}", PLAN, "n", "desk", "begun")
        return made.sha256

    with ThreadPoolExecutor(6) as pool:
        assert len(set(pool.map(work, range(6)))) == 1
    assert len(store.jobs()) == 6


# ------------------------------------------------------------------ the notebook


def test_rows_keep_their_order_and_count_once(store: Store) -> None:
    begun(store)
    taken = store.add_rows(JOB, [reading("row-b"), reading("row-a"), reading("row-b")], "phone")
    assert (taken.uids, taken.new, taken.last) == (("row-b", "row-a"), 2, 2)
    again = store.add_rows(JOB, [reading("row-a"), reading("row-c")], "phone")
    assert (again.uids, again.new, again.last, again.different) == (("row-a", "row-c"), 1, 3, ())
    assert [row.uid for row in store.rows(JOB)] == ["row-b", "row-a", "row-c"]
    assert [row.uid for row in store.rows(JOB, after=2)] == ["row-c"]
    row = store.rows(JOB)[0]
    assert (row.kind, row.start, row.value, row.device) == ("rod", "F1", "4 ft 3 1/2 in", "phone")
    assert row.taken


def test_a_uid_with_another_content_is_reported_and_the_first_stays(store: Store) -> None:
    begun(store).add_rows(JOB, [reading("row-1", "1 ft")], "phone")
    taken = store.add_rows(JOB, [reading("row-1", "2 ft")], "phone")
    assert taken.different == ("row-1",)
    assert store.rows(JOB)[0].value == "1 ft"
    twice = store.add_rows(JOB, [reading("row-2", "1 ft"), reading("row-2", "2 ft")], "phone")
    assert twice.different == ("row-2",)


def test_no_rows_at_all(store: Store) -> None:
    assert begun(store).add_rows(JOB, [], "phone").last == 0
    assert store.rows(JOB) == ()


def test_struck_rows_stay_in_the_csv(store: Store) -> None:
    rows = [reading("row-1", "1 ft"), reading("row-2", "2 ft", note="windy"), reading("row-3"),
            NewRow("row-4", strikes="row-1", note="rod upside down"),
            reading("row-5", "3 ft", strikes="row-2")]  # fmt: skip
    assert begun(store).add_rows(JOB, rows, "phone").unknown_strikes == ()
    assert store.notebook_csv(JOB).splitlines()[1:] == [
        ",rod,F1,,,1 ft,,,struck: rod upside down",
        ",rod,F1,,,2 ft,,,struck: windy",
        ",rod,F1,,,4 ft 3 1/2 in,,,",
        ",rod,F1,,,3 ft,,,",
    ]
    store.add_rows(JOB, [NewRow("row-6", strikes="row-4")], "phone")  # it was right after all
    assert store.notebook_csv(JOB).splitlines()[1] == ",rod,F1,,,1 ft,,,"


def test_a_strike_of_an_unknown_row_is_kept_and_reported(store: Store) -> None:
    """The row may be on its way from another phone; then the strike counts."""
    taken = begun(store).add_rows(JOB, [NewRow("row-2", strikes="row-1")], "phone")
    assert taken.unknown_strikes == ("row-2",)
    store.add_rows(JOB, [reading("row-1", "1 ft")], "other phone")
    assert store.notebook_csv(JOB).splitlines()[1] == ",rod,F1,,,1 ft,,,struck"


def test_no_reading_is_lost_for_a_letter(store: Store) -> None:
    """What no database can hold becomes a mark; a line break in a note does not break the CSV."""
    taken = begun(store).add_rows(JOB, [reading("row-1", note="a\0b\ud800c\nd")], "phone")
    assert taken.new == 1
    assert store.rows(JOB)[0].note == "a\ufffdb\ufffdc\nd"
    assert store.notebook_csv(JOB).splitlines()[1].endswith(",a\ufffdb\ufffdc d")
    again = store.add_rows(JOB, [reading("row-1", note="a\0b\ud800c\nd")], "phone")
    assert (again.new, again.different) == (0, ())


DEMOS = sorted((Path(schema.__file__).parents[1] / "plan" / "plans").glob("*readings*.csv"))


@pytest.mark.parametrize("demo", DEMOS, ids=lambda path: path.stem)
def test_a_notebook_in_and_out_is_the_same_file(store: Store, demo: Path) -> None:
    text_in = demo.read_text(encoding="utf-8")
    taken = begun(store).import_csv(JOB, text_in, "desk")
    assert taken.new == len(taken.uids) > 10
    out = store.notebook_csv(JOB)
    assert out.splitlines() == text_in.splitlines()
    assert store.import_csv(JOB, text_in, "desk").new == 0
    assert store.import_csv(JOB, out, "desk").uids == taken.uids


def test_an_import_brings_only_what_is_new(store: Store) -> None:
    """Rows of phones, rows struck since the file was saved, and rows that stand twice."""
    begun(store).add_rows(JOB, [reading("row-1", "1 ft"), reading("row-2", "1 ft")], "phone")
    before = store.notebook_csv(JOB)
    store.add_rows(JOB, [NewRow("row-3", strikes="row-1")], "phone")
    after = store.notebook_csv(JOB)
    assert store.import_csv(JOB, before, "desk").new == 0
    assert store.import_csv(JOB, after, "desk").new == 0
    third = store.import_csv(JOB, f"{before},rod,F1,,,1 ft,,,\n,rod,F2,,,,,,\n", "desk")
    assert third.new == 2
    assert len(store.rows(JOB)) == 5


@pytest.mark.parametrize(
    ("text_in", "words"),
    [
        ("", "the first line names the columns"),
        ("kind,from,value,weather\nrod,F1,1 ft,dry", "line 1: weather is no column"),
        ("kind,from,from,value\n", "from stands twice"),
        ("kind,to\nrod,F1", "from is missing"),
        ("kind,from,value\nrod,F1,1 ft,more", "line 2: this row has 4 cells under 3 headings"),
        ("kind,from,value\n####,F1,1 ft", "line 2, kind: the spreadsheet"),
        ('kind,from,value\nrod,F1,"1 ft', "line 2, value: the double quote"),
        ("kind,from,value,\nrod,F1,1 ft,more", "under no heading"),
        ("kind,from,value\n" + "x" * 10_001, "line 2: this line is longer"),
        ("kind,from,value\n" + "\n" * 100_000, "more than 100,000 lines"),
    ],
)
def test_a_file_that_would_lose_something_is_refused(
    tmp_path: Path, text_in: str, words: str
) -> None:
    with open_store(tmp_path / "store.db") as made:
        with pytest.raises(StoreError, match=words):
            begun(made).import_csv(JOB, text_in, "desk")
        assert made.rows(JOB) == ()


# ------------------------------------------------------------------ ticks and devices


def test_the_later_tick_counts(store: Store) -> None:
    def tick(uid: str, at: str, done: bool, item: str = "A1") -> NewTick:
        return NewTick(uid, "cut", item, done, at)

    begun(store)
    taken = store.add_ticks(JOB, [tick("tick-2", "2026-05-12T09:00:00Z", True)], "one")
    assert taken.uids == ("tick-2",)
    # another phone was out of reach: earlier by its clock although it comes later
    store.add_ticks(JOB, [tick("tick-1", "2026-05-12T10:30:00+02:00", False)], "two")
    assert [(k.item, k.done) for k in store.ticks(JOB)] == [("A1", True)]
    store.add_ticks(JOB, [tick("tick-3", "2026-05-12T09:00:00.000Z", False)], "two")
    assert store.ticks(JOB)[0].done is False  # at the same moment: what came later
    again = store.add_ticks(JOB, [tick("tick-2", "2026-05-12T09:00:00Z", True)], "one")
    assert again.new == 0
    assert store.ticks(JOB)[0].done is False


def test_a_clock_that_is_ahead_does_not_win_for_ever(store: Store) -> None:
    begun(store)
    store.add_ticks(JOB, [NewTick("tick-1", "cut", "A1", True, "2999-01-01T00:00:00Z")], "one")
    store.add_ticks(JOB, [NewTick("tick-2", "cut", "A1", False, "2999-01-01T00:00:00Z")], "two")
    assert store.ticks(JOB)[0].done is False
    store.add_ticks(JOB, [NewTick("tick-3", "cut", "A1", True, "no time")], "two")
    assert store.ticks(JOB)[0].done is False


def test_devices_are_let_in_and_shut_out(store: Store) -> None:
    one, two = store.let_in("Anna's phone"), store.let_in("tablet")
    assert store.device_of(one.token) == one.device
    for wrong in ("", one.token[:-1], one.device.token_sha256, "\ud800", "ü" * 50):
        assert store.device_of(wrong) is None
    store.seen(two.device.id)
    store.revoke(one.device.id)
    assert store.revoke(one.device.id).revoked  # twice is once
    assert store.device_of(one.token) is None
    revoked, other = sorted(store.devices(), key=lambda d: d.name)
    assert revoked.revoked
    assert not other.revoked
    assert other.seen
    for call in (store.revoke, store.seen):
        with pytest.raises(StoreError, match="no device"):
            call("none")


def test_the_token_is_kept_nowhere(tmp_path: Path) -> None:
    path = tmp_path / "store.db"
    with open_store(path) as made:
        token = made.let_in("phone").token
        for file in tmp_path.iterdir():
            assert token.encode() not in file.read_bytes()


def test_seen_by_many_threads(store: Store) -> None:
    device = store.let_in("phone").device.id
    with ThreadPoolExecutor(8) as pool:
        list(pool.map(lambda _: store.seen(device), range(16)))
    assert store.devices()[0].seen


# ------------------------------------------------------------------ files of tests


def test_the_last_file_of_tests_counts_and_every_one_is_kept(store: Store) -> None:
    assert begun(store).last_proof(JOB) is None
    first = store.add_proof(JOB, TESTS, "a.csv", "desk")
    assert store.add_proof(JOB, TESTS, "a.csv", "phone") == first  # the same once more
    second = store.add_proof(JOB, f"{TESTS}S2,polarity,right\n", "a.csv", "desk")
    assert store.last_proof(JOB) == second and second.seq == 2
    back = store.add_proof(JOB, TESTS, "a.csv", "desk")
    assert (back.seq, back.sha256) == (3, first.sha256)
    assert store.text(first.sha256) == TESTS and store.text(second.sha256).endswith("right\n")
    begun(store, "other")
    assert store.last_proof("other") is None


def test_a_file_of_tests_with_letters_that_no_database_holds(store: Store) -> None:
    kept = begun(store).add_proof(JOB, "S1\0\ud800,x\n", "\ud800.csv", "desk")
    assert store.text(kept.sha256) == "S1\ufffd\ufffd,x\n"
    assert kept.name == "\ufffd.csv" and store.last_proof(JOB) == kept


@pytest.mark.parametrize("ask", [lambda s: s.last_proof("none"),
                                 lambda s: s.add_proof("none", TESTS, "", "desk")])  # fmt: skip
def test_tests_of_a_job_that_is_not_there(store: Store, ask: Callable[[Store], object]) -> None:
    with pytest.raises(UnknownJobError):
        ask(store)


def test_files_of_tests_from_many_threads_are_numbered_without_gaps(store: Store) -> None:
    begun(store)
    with ThreadPoolExecutor(8) as pool:
        done = list(pool.map(lambda n: store.add_proof(JOB, f"{TESTS}{n}\n", "", "desk"), range(8)))
    assert sorted(p.seq for p in done) == list(range(1, 9))


# ------------------------------------------------------------------ append-only


@pytest.fixture
def filled(store: Store) -> Store:
    """A row in every table."""
    edit(begun(store), 1, "edit-0001")
    store.name_revision(JOB, 1, "first", "desk")
    store.add_rows(JOB, [reading("row-1")], "phone")
    store.add_ticks(JOB, [NewTick("tick-1", "cut", "A1", True, "2026-05-12T09:00:00Z")], "phone")
    store.add_proof(JOB, TESTS, "tests.csv", "desk")
    device = store.let_in("phone").device.id
    store.seen(device)
    store.revoke(device)
    return store


@pytest.mark.parametrize("table", t.append_only(), ids=lambda table: table.name)
def test_the_database_itself_refuses_to_change_rows(filled: Store, table: t.Table) -> None:
    column = next(c for c in table.columns if not c.primary_key)
    statements = [
        update(table).values({column.name: column}), delete(table),
        text(f"DELETE FROM {table.name}"),
    ]  # fmt: skip
    if filled._base.engine.dialect.name == "postgresql":
        statements.append(text(f"TRUNCATE {table.name} CASCADE"))
    else:
        statements.append(text(f"INSERT OR REPLACE INTO {table.name} SELECT * FROM {table.name}"))
    for statement in statements:
        with filled._base.engine.connect() as connection:
            with pytest.raises(DBAPIError, match="only ever added"):
                connection.execute(statement)
            connection.rollback()


def test_another_program_cannot_change_rows_of_the_file_either(tmp_path: Path) -> None:
    """Without any setting of ours on its connection."""
    path = tmp_path / "store.db"
    with open_store(path) as made:
        begun(made)
    raw = sqlite3.connect(path)
    for statement in (
        "UPDATE steps SET words = 'else'",
        "DELETE FROM steps",
        "INSERT OR REPLACE INTO steps SELECT * FROM steps",
        "REPLACE INTO texts SELECT sha256, 'else' FROM texts",
    ):
        with pytest.raises(sqlite3.IntegrityError, match="only ever added"):
            raw.execute(statement)
    raw.close()


def test_a_clash_is_an_error_in_plain_words(filled: Store) -> None:
    with pytest.raises(ClashError, match="nothing was written"), filled._base.writing() as raw:
        raw.execute(insert(t.jobs).values(id=JOB, uid="other-uid"))


# ------------------------------------------------------------------ backup


def everything(store: Store) -> tuple[object, ...]:
    return (
        store.jobs(), store.steps(JOB), store.text_of(JOB, 1), store.names(JOB), store.rows(JOB),
        store.ticks(JOB), store.devices(), store.notebook_csv(JOB), store.last_proof(JOB),
    )  # fmt: skip


@pytest.mark.parametrize("back", ["sqlite", "postgresql"])
def test_a_backup_of_either_opens_and_goes_back_into_either(
    filled: Store, back: str, tmp_path: Path
) -> None:
    saved = filled.backup(tmp_path / "backup.db")
    assert stat.S_IMODE(saved.stat().st_mode) == 0o600
    before = saved.read_bytes()
    target = new_place(back, tmp_path)
    restore(saved, target)
    assert saved.read_bytes() == before
    with open_store(target) as again, open_store(saved) as itself:
        assert everything(again) == everything(itself) == everything(filled)
        assert edit(again, 2, "edit-0002") == 3
    with pytest.raises(StoreError, match="not empty"):
        restore(saved, target)
    assert not list(tmp_path.glob(".*.part"))


def test_a_backup_is_one_state_while_others_write(store: Store, tmp_path: Path) -> None:
    """Every edit is followed by a row of the same number: a copy has as many rows as edits, or one
    edit more; never a row without its edit."""
    begun(store)
    stop = Barrier(2)

    def write() -> int:
        n = 0
        while stop.n_waiting == 0:
            n += 1
            edit(store, n, f"edit-{n:04}", f"plan {n}")
            store.add_rows(JOB, [reading(f"row-{n:04}")], "phone")
        stop.wait()
        return n

    with ThreadPoolExecutor(1) as pool:
        writing = pool.submit(write)
        saved = [store.backup(tmp_path / f"backup-{n}.db") for n in range(4)]
        stop.wait()
        assert writing.result() > 4
    for one in saved:
        with open_store(one) as copy:
            edits, rows = copy.head(JOB).revision - 1, len(copy.rows(JOB))
            assert rows in (edits, edits - 1)
            raw = sqlite3.connect(one)
            assert raw.execute("PRAGMA integrity_check").fetchone() == ("ok",)
            raw.close()


def test_a_backup_never_overwrites(filled: Store, tmp_path: Path) -> None:
    there = tmp_path / "there.db"
    there.write_text("mine")
    with pytest.raises(StoreError, match="is there already"):
        filled.backup(there)
    assert there.read_text() == "mine"
    with pytest.raises(StoreError, match="cannot be written"):
        filled.backup(tmp_path / "no folder" / "backup.db")
    (tmp_path / "link.db").symlink_to(tmp_path / "nowhere")
    with pytest.raises(StoreError, match="is there already"):
        filled.backup(tmp_path / "link.db")


def test_what_is_no_backup_is_not_brought_back(tmp_path: Path) -> None:
    other = tmp_path / "other"
    for content, words in ((None, "no backup"), (b"", "empty"), (b"x" * 5000, "no store")):
        if content is not None:
            other.write_bytes(content)
        with pytest.raises(StoreError, match=words) as refused:
            restore(other, tmp_path / "new.db")
        assert str(other) in str(refused.value)
        assert not (tmp_path / "new.db").exists()


def test_a_backup_that_fails_halfway_leaves_nothing(
    filled: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "backups"
    folder.mkdir()

    def full(_path: Path) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("plumbrail.store.backup._flush", full)
    with pytest.raises(StoreError, match="No space left"):
        filled.backup(folder / "backup.db")
    assert list(folder.iterdir()) == []


def test_a_backup_where_files_have_one_name_only(
    filled: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As on a memory stick, which knows no second name for a file."""

    def refused(*_: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", refused)
    with open_store(filled.backup(tmp_path / "backup.db")) as copy:
        assert everything(copy) == everything(filled)


# ------------------------------------------------------------------ opening, versions, faults


def test_a_store_opened_again_has_everything(place: str) -> None:
    with open_store(place) as first:
        begun(first)
        before = first.steps(JOB)
    with open_store(place) as again:
        assert again.steps(JOB) == before


def test_a_newer_store_is_refused(place: str) -> None:
    with open_store(place) as made, made._base.writing() as connection:
        connection.execute(insert(t.versions).values(version=t.VERSION + 1, at="later"))
    with pytest.raises(NotAStoreError, match="made by a newer plumbrail"):
        open_store(place)


def test_an_older_store_is_migrated_all_or_nothing(place: str) -> None:
    """A next version, as one would be written: a new column and a new table, rows kept."""

    def to_next(connection: schema.Connection) -> None:
        connection.exec_driver_sql("ALTER TABLE devices ADD COLUMN colour TEXT DEFAULT 'none'")
        connection.exec_driver_sql("CREATE TABLE photos (id TEXT PRIMARY KEY)")

    def broken(connection: schema.Connection) -> None:
        to_next(connection)
        connection.exec_driver_sql("INSERT INTO no_such_table VALUES (1)")

    with open_store(place) as made:
        device = made.let_in("phone").device
        base, words, newer = made._base, made.place, t.VERSION + 1
        with pytest.raises(StoreError), base.writing() as connection:
            schema.prepare(connection, words, {t.VERSION: broken}, newer)
        assert made.devices() == (device,)
        open_store(place).close()  # still of this version
        with pytest.raises(NotAStoreError, match="unknown version"), base.writing() as connection:
            schema.prepare(connection, words, {}, newer)
        for _ in range(2):  # the second time there is nothing to do
            with base.writing() as connection:
                schema.prepare(connection, words, {t.VERSION: to_next}, newer)
        with base.reading() as connection:
            assert connection.exec_driver_sql("SELECT id, colour FROM devices").all() == [
                (device.id, "none")
            ]
            versions = connection.exec_driver_sql("SELECT version FROM store_versions").all()
            assert sorted(versions) == [(t.VERSION,), (newer,)]
    with pytest.raises(NotAStoreError, match="newer plumbrail"):
        open_store(place)


def test_a_store_of_before_the_files_of_tests_is_brought_up_to_date(place: str) -> None:
    """As version 1 made it: all but the table of these files."""
    old = Base(where(place))
    with old.writing() as connection:
        t.METADATA.create_all(connection, tables=[x for x in t.METADATA.sorted_tables
                                                  if x.name != "proofs"])  # fmt: skip
        schema.first_guards(connection, tuple(x for x in t.append_only() if x.name != "proofs"))
        connection.execute(insert(t.versions).values(version=1, at="before"))
    old.close()
    for _ in range(2):  # the second time there is nothing to do
        with open_store(place) as made:
            begun(made)
            kept = made.add_proof(JOB, TESTS, "tests.csv", "desk")
            assert made.last_proof(JOB) == kept and kept.seq == 1
            with made._base.engine.connect() as connection:
                with pytest.raises(DBAPIError, match="only ever added"):
                    connection.execute(delete(t.proofs))
                connection.rollback()


def test_a_database_of_something_else_is_left_alone(place: str) -> None:
    other = Base(where(place))
    with other.writing() as connection:
        connection.exec_driver_sql("CREATE TABLE jobs (id TEXT PRIMARY KEY)")
    with pytest.raises(NotAStoreError, match="something else"):
        open_store(place)
    with other.reading() as connection:
        assert connection.exec_driver_sql("SELECT * FROM jobs").all() == []
    other.close()


def test_a_locked_store_says_so(place: str) -> None:
    with open_store(place, wait=0.2) as one, open_store(place) as other:
        begun(one)
        with other._base.writing() as connection:
            connection.execute(t.jobs.select().where(t.jobs.c.id == JOB).with_for_update())
            assert one.head(JOB).revision == 1  # who only reads does not wait
            with pytest.raises(BusyError, match="in use by another program"):
                one.add_rows(JOB, [reading("row-1")], "phone")
        assert one.add_rows(JOB, [reading("row-1")], "phone").new == 1


def test_a_full_disk_says_so_and_nothing_is_half_written(tmp_path: Path) -> None:
    with open_store(tmp_path / "store.db") as made:
        begun(made)
        with made._base.engine.connect() as connection:  # SQLite's own limit: the same error
            connection.exec_driver_sql("PRAGMA max_page_count = 1")
        with pytest.raises(FullError, match="no space is left"):
            edit(made, 1, "edit-0001", "x" * 1_000_000)
        assert made.head(JOB).revision == 1
        made._base.engine.dispose()  # a new connection has no such limit
        assert edit(made, 1, "edit-0001", "x" * 1_000_000) == 2


@pytest.mark.parametrize(
    "content", [b"time,kind,from\n" * 500, b"x", b"SQLite format 3\0" + b"x" * 5000]
)
def test_a_file_that_is_no_store_is_left_alone(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "readings.csv"
    path.write_bytes(content)
    with pytest.raises(NotAStoreError, match="no store of plumbrail"):
        open_store(path)
    assert path.read_bytes() == content


def test_files_are_closed_to_others(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setattr("sys.platform", "linux")
    with open_store() as made:
        begun(made)
        path = Path(made.place)
        assert path == tmp_path / "data" / "plumbrail" / "plumbrail.db"
        for file in path.parent.iterdir():
            assert stat.S_IMODE(file.stat().st_mode) == 0o600, file
        assert len(list(path.parent.iterdir())) == 3  # with its log and index
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700


def test_every_connection_is_safe(store: Store) -> None:
    with store._base.writing() as connection:
        if connection.dialect.name == "sqlite":
            asked = ("journal_mode", "synchronous", "foreign_keys")
            said = [connection.exec_driver_sql(f"PRAGMA {name}").scalar() for name in asked]
            assert said == ["wal", 2, 1]  # 2 is FULL
        else:
            asked = ("synchronous_commit", "fsync", "lock_timeout")
            said = [connection.exec_driver_sql(f"SHOW {name}").scalar() for name in asked]
            assert said == ["on", "on", "10s"]


# ------------------------------------------------------------------ the server and its password


@pytest.fixture
def url(tmp_path: Path) -> str:
    return new_place("postgresql", tmp_path)


def test_every_spelling_of_the_url(url: str) -> None:
    for start in ("postgresql://", "postgres://", "postgresql+pg8000://"):
        with open_store(url.replace("postgresql://", start)) as made:
            assert PASSWORD not in made.place
            assert PASSWORD_IN_URL not in made.place
            made.jobs()


def test_no_error_has_the_password_in_it(url: str) -> None:
    secret = "hush-hush-1"
    user = url.replace(PASSWORD_IN_URL, secret)
    head, _, database = user.rpartition("/")
    for wrong, words in (
        (user, "refuses the user or the password"),
        (url.replace(PASSWORD_IN_URL, secret).replace("crew:", "crow:"), "refuses the user"),
        (head.rpartition(":")[0] + ":1/" + database, "does not answer"),
        (user.replace("127.0.0.1", "no-such-host.invalid"), "does not answer"),
        (user + "?connect_timeout=3", "only sslmode="),
        (user + "?sslmode=prefer", "only sslmode="),
        (user + "?sslmode=require", "does not answer"),
        (user.replace("postgresql", "mysql"), "names no store"),
        (user.replace(secret, f"{secret}@:/["), "names no store|does not answer|refuses"),
        (f"postgresql://crew:{secret}@", "names no store"),
    ):
        with pytest.raises(StoreError, match=words) as refused:
            open_store(wrong)
        assert secret not in str(refused.value)
        assert secret not in "".join(traceback.format_exception(refused.value))
    with pytest.raises(UnreachableError, match="no database") as refused:
        open_store(url.rpartition("/")[0] + "/none")
    assert PASSWORD not in str(refused.value)
    assert PASSWORD_IN_URL not in str(refused.value)
