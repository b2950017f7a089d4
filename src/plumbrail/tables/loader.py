"""Reading tables: verified, in SI, looked up exactly or by linear interpolation."""

from __future__ import annotations

import csv
import hashlib
import io
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plumbrail import units
from plumbrail.errors import RangeError, TableError
from plumbrail.trace import Certainty, given

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Column:
    """One column of a table: its unit as printed and its SI unit for records."""

    name: str
    printed_unit: str
    """``text`` for a column of words."""
    symbol: str


@dataclass(frozen=True)
class Table:
    """A table of numbers in SI units, with words for keys.

    ``numbers`` maps a column to an array (rows,), ``words`` a text column to a tuple of strings.
    """

    document: str
    edition: str
    table: str
    title: str
    obtained: str
    certainty: Certainty
    advice: str
    sha256: str
    columns: Mapping[str, Column]
    numbers: Mapping[str, Array]
    words: Mapping[str, tuple[str, ...]]

    @property
    def source(self) -> str:
        """Document and table as cited on paper."""
        return f"{self.document} {self.table}"

    def rows(self, **key: str | float) -> NDArray[np.bool_]:
        """Mask of the rows that match the key exactly; raises when none does."""
        size = max(len(column) for group in (self.numbers, self.words) for column in group.values())
        mask = np.ones(size, dtype=bool)
        for name, wanted in key.items():
            column = self.words.get(name, self.numbers.get(name))
            if column is None:
                raise TableError(f"{self.source} has no column {name!r}")
            here = np.array([value == wanted for value in column])
            if not (mask & here).any():
                choices = ", ".join(str(v) for v in dict.fromkeys(column))
                raise TableError(
                    f"{self.source} has no row with {name} = {wanted!r}; it has: {choices}. "
                    f"{self.advice}".strip()
                )
            mask &= here
        return mask

    def value(self, column: str, **key: str | float) -> Array:
        """The single number in ``column`` for a key, entered in the record; 0-d array."""
        mask = self.rows(**key)
        if mask.sum() != 1:
            raise TableError(f"{self.source}: {key} fits {mask.sum()} rows, not one")
        return self._given(column, self.numbers[column][mask][0], key)

    def interpolate(self, column: str, along: str, x: ArrayLike, **key: str | float) -> Array:
        """``column`` interpolated linearly over ``along`` at ``x`` (SI), for rows with the key."""
        mask = self.rows(**key)
        xs, ys = self.numbers[along][mask], self.numbers[column][mask]
        order = np.argsort(xs)
        low, high = xs[order][0], xs[order][-1]
        wanted = np.asarray(x, dtype=float)
        slack = 1e-9 * max(1.0, abs(high))  # a unit conversion may miss the last printed digit
        if not ((wanted >= low - slack) & (wanted <= high + slack)).all():
            unit = self.columns[along].printed_unit
            show = units.from_si(np.array([wanted.min(), wanted.max(), low, high]), unit)
            sign = units.print_words(unit)
            raise RangeError(
                f"{along} of {show[0]:.4g} to {show[1]:.4g} {sign} is outside {self.source}, which "
                f"runs from {show[2]:.4g} to {show[3]:.4g} {sign}. {self.advice}".strip()
            )
        found = np.interp(wanted, xs[order], ys[order])
        return self._given(column, found, key | {along: "interpolated"})

    def _given(self, column: str, value: ArrayLike, key: Mapping[str, object]) -> Array:
        where = units.print_words(", ".join(f"{k} {v}" for k, v in key.items()))
        meta = self.columns[column]
        result = f"{meta.symbol} [{units.si_unit(meta.printed_unit)}]"
        return given(f"{self.source} ({where})", result, value, self.certainty, self.title)


@cache
def load(document: str, table: str) -> Table:
    """The table ``data/<document>/<table>``; raises TableError when damaged."""
    folder = files("plumbrail.tables") / "data" / document
    raw = (folder / f"{table}.csv").read_bytes()
    meta = tomllib.loads((folder / f"{table}.toml").read_text("utf-8"))
    digest = hashlib.sha256(raw).hexdigest()
    if digest != meta["sha256"]:
        raise TableError(f"{document}/{table}.csv was changed: its checksum is {digest}")
    rows = list(csv.DictReader(io.StringIO(raw.decode("utf-8"))))
    printed: dict[str, str] = meta["columns"]
    if not rows or set(rows[0]) != set(printed):
        raise TableError(f"{document}/{table}: columns differ from the sidecar")
    symbols: dict[str, str] = meta.get("symbols", {})
    columns = {n: Column(n, u, symbols.get(n, n)) for n, u in printed.items()}
    words = {n: tuple(r[n] for r in rows) for n, u in printed.items() if u == "text"}
    numbers = {
        n: units.to_si(np.array([float(r[n]) for r in rows]), u)
        for n, u in printed.items()
        if u != "text"
    }
    for array in numbers.values():
        array.flags.writeable = False
    return Table(
        meta["document"], meta["edition"], meta["table"], meta["title"], meta["obtained"],
        Certainty[meta["certainty"].upper()], meta.get("advice", ""), digest,
        columns, numbers, words,
    )  # fmt: skip


@cache
def fingerprint() -> str:
    """SHA-256 over the checksums of all tables, in the order of their names."""
    root = files("plumbrail.tables") / "data"
    found = {
        f"{folder.name}/{entry.name}": tomllib.loads(entry.read_text("utf-8"))["sha256"]
        for folder in root.iterdir()
        if folder.is_dir()
        for entry in folder.iterdir()
        if entry.name.endswith(".toml")
    }
    return hashlib.sha256("".join(found[k] for k in sorted(found)).encode()).hexdigest()
