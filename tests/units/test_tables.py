"""Tables: whole, sourced, in SI, and never read beyond their ends."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest

from plumbrail.errors import RangeError, TableError
from plumbrail.tables import loader
from plumbrail.trace import Certainty, recording

DATA = Path(str(files("plumbrail.tables"))) / "data"
NAMES = sorted((p.parent.name, p.stem) for p in DATA.glob("*/*.csv"))


def write(folder: Path, csv: str, columns: str, sha: str | None = None) -> None:
    import hashlib

    place = folder / "data" / "doc"
    place.mkdir(parents=True)
    (place / "t.csv").write_text(csv, encoding="utf-8")
    digest = sha or hashlib.sha256(csv.encode()).hexdigest()
    (place / "t.toml").write_text(
        f'document = "Doc"\nedition = "1"\ntable = "Table 1"\ntitle = "T"\nobtained = "typed"\n'
        f'certainty = "memory"\nadvice = "Ask."\nsha256 = "{digest}"\n[columns]\n{columns}',
        encoding="utf-8",
    )


@pytest.fixture
def own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """A loader that reads from a folder of the test."""
    monkeypatch.setattr(loader, "files", lambda _: tmp_path)
    loader.load.cache_clear()
    yield tmp_path
    loader.load.cache_clear()


@pytest.mark.parametrize(("document", "table"), NAMES)
def test_every_table_is_whole_and_sourced(document: str, table: str):
    found = loader.load(document, table)
    assert found.document
    assert found.edition
    assert found.table
    assert found.title
    assert len(found.obtained) > 10, "says how the values were obtained"
    assert found.certainty in Certainty
    for column, array in found.numbers.items():
        assert np.isfinite(array).all(), column
        assert not array.flags.writeable


def test_csv_and_sidecars_come_in_pairs():
    assert NAMES
    assert sorted((p.parent.name, p.stem) for p in DATA.glob("*/*.toml")) == NAMES


CSV = "kind,span,load\na,1,10\na,3,30\nb,1,5\n"
COLUMNS = 'kind = "text"\nspan = "ft"\nload = "lbf"\n'


def test_numbers_come_in_si(own: Path):
    write(own, CSV, COLUMNS)
    table = loader.load("doc", "t")
    np.testing.assert_allclose(table.numbers["span"], np.array([1, 3, 1]) * 0.3048)
    assert table.value("load", kind="b").item() == pytest.approx(5 * 4.4482216152605)


def test_interpolation_is_linear_and_stops_at_the_ends(own: Path):
    write(own, CSV, COLUMNS)
    table = loader.load("doc", "t")
    found = table.interpolate("load", "span", [0.3048, 0.6096, 0.9144], kind="a")
    np.testing.assert_allclose(found / 4.4482216152605, [10, 20, 30])
    for outside in (0.30, 0.92, np.nan):
        with pytest.raises(RangeError, match=r"outside Doc Table 1.*1 to 3 ft.*Ask\."):
            table.interpolate("load", "span", outside, kind="a")


def test_a_lookup_is_recorded_with_its_certainty(own: Path):
    write(own, CSV, COLUMNS)
    table = loader.load("doc", "t")
    with recording() as record:
        table.value("load", kind="b")
    step = record.steps[0]
    assert step.provision.source == "Doc Table 1 (kind b)"
    assert (step.provision.unit, step.provision.certainty) == ("N", Certainty.MEMORY)


def test_unknown_rows_and_columns_are_refused_with_the_choices(own: Path):
    write(own, CSV, COLUMNS)
    table = loader.load("doc", "t")
    with pytest.raises(TableError, match=r"kind = 'c'; it has: a, b\. Ask\."):
        table.rows(kind="c")
    with pytest.raises(TableError, match="no column 'mind'"):
        table.rows(mind="a")
    with pytest.raises(TableError, match="2 rows, not one"):
        table.value("load", kind="a")


def test_a_changed_table_is_refused(own: Path):
    write(own, CSV, COLUMNS, sha="0" * 64)
    with pytest.raises(TableError, match="was changed"):
        loader.load("doc", "t")


def test_columns_must_be_those_of_the_sidecar(own: Path):
    write(own, CSV, 'kind = "text"\nspan = "ft"\n')
    with pytest.raises(TableError, match="columns differ"):
        loader.load("doc", "t")


def test_the_fingerprint_is_of_all_tables():
    assert len(loader.fingerprint()) == 64
    assert loader.fingerprint() == loader.fingerprint()
