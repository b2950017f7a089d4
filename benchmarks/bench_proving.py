"""How long judging tests and finding faults take, beside fixed rules. Rows: (name, value, unit)."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import numpy as np

from benchmarks.timing import quickest
from plumbrail.notebook.proof_reader import read_proofs
from plumbrail.proving.expecting import readings
from plumbrail.proving.lasting import latest
from plumbrail.proving.parts import Readings
from plumbrail.proving.records import has_steps, record_of
from plumbrail.proving.run import prove
from plumbrail.proving.suggesting import suspicions
from plumbrail.proving.wanted import Subject, places

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))
from proving_trials import Errors, Wired, sheet, subject_with

COUNTS = (2, 10, 40)
MODULES = 12
Row = tuple[str, float, str]


def planted(strings: int, seed: int, faults: int) -> tuple[list[Wired], dict[str, str]]:
    """Strings of which some have one module missing or stand in shade, and which."""
    rng = np.random.default_rng(seed)
    made = [Wired(MODULES) for _ in range(strings)]
    hit: dict[str, str] = {}
    for k in rng.choice(strings, faults, replace=False).tolist():
        missing = bool(rng.integers(2))
        made[k] = Wired(MODULES - 1) if missing else Wired(MODULES, light=[0.7] * MODULES)
        hit[f"S{k + 1}"] = "missing" if missing else "shaded"
    return made, hit


def by_rules(r: Readings) -> dict[str, str]:
    """Faults by the fixed rules of a note-book: low by over half a module, low by 10 %."""
    found: dict[str, str] = {}
    for x in r.rows:
        volts = x.proof.kind.value.endswith("voltage")
        if volts and x.ratio < -0.5 / MODULES:
            found[x.proof.place] = "missing"
        elif not volts and x.ratio < -0.10:
            found[x.proof.place] = "shaded"
    return found


def hits(strings: int, arrays: int, sensor: float) -> tuple[float, float]:
    """Shares of arrays with every fault and no other named: by the search, and by the rules."""
    subject, mine, rules = subject_with((MODULES,) * strings), 0, 0
    for seed in range(arrays):
        wired, hit = planted(strings, seed, min(2, strings - 1))
        text = sheet(wired, Errors(np.random.default_rng(seed)), sensor=sensor)
        r = readings_of(subject, text)
        found, _ = suspicions(subject.module, subject.strings, r)
        named = {id: s.candidates[0].fault for s in found for id in s.strings}
        mine += named == hit
        rules += by_rules(r) == hit
    return mine / arrays, rules / arrays


def readings_of(subject: Subject, text: str) -> Readings:
    """What a sheet of tests says against what it should."""
    kept, _ = latest(read_proofs(text, places(subject)).proofs)
    return readings(subject.rules, subject.module, subject.strings, kept)


def timed(strings: int) -> list[Row]:
    """Reading, judging and searching, each by itself, and the fixed rules beside them."""
    subject = replace(subject_with((MODULES,) * strings))
    wired, _ = planted(strings, 1, min(3, strings - 1))
    text = sheet(wired, Errors(np.random.default_rng(1)))
    book = read_proofs(text, places(subject))
    r = readings_of(subject, text)
    whole = quickest(lambda: prove(subject, book), 3)
    search = quickest(lambda: suspicions(subject.module, subject.strings, r), 3)
    rules = quickest(lambda: by_rules(r), 50)
    read = quickest(lambda: read_proofs(text, places(subject)), 3)
    proved = prove(subject, book)
    told = [j for j in (*proved.judged, *proved.beside) if has_steps(j)]
    opened = quickest(lambda: [record_of(proved, j) for j in told], 3)
    name = f"{strings} strings"
    return [
        (f"{name}: rows read", read, "s"), (f"{name}: judged, with the search", whole, "s"),
        (f"{name}: search alone", search, "s"), (f"{name}: search over fixed rules", search / rules,
                                                 "x"),
        (f"{name}: share of the search in all", 100 * search / whole, "%"),
        (f"{name}: all {len(told)} records opened", opened, "s"),
    ]  # fmt: skip


def run() -> list[Row]:
    """All rows."""
    rows: list[Row] = []
    for strings in COUNTS:
        rows += timed(strings)
    for sensor, words in ((0.0, "meters as stated"), (0.2, "light sensor reads 20 % high")):
        mine, plain = hits(10, 12, sensor)
        name = f"10 strings, two faults, {words}"
        rows += [(f"{name}: search names just these", 100 * mine, "%"),
                 (f"{name}: fixed rules do", 100 * plain, "%")]  # fmt: skip
    return rows


if __name__ == "__main__":
    for label, value, unit in run():
        print(f"{label:66} {value:10.4g} {unit}", flush=True)
