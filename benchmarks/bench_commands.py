"""Whole commands as a user runs them: a new process each time, best of several."""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from pathlib import Path

from plumbrail.plan.demos import demo_text

Row = tuple[str, float, str]
ROUNDS = 5


def _best(*arguments: str) -> float:
    """Seconds of the fastest of several runs of ``plumbrail ARGUMENTS``."""
    command = [str(Path(sys.executable).parent / "plumbrail"), *arguments]
    times = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        done = subprocess.run(command, capture_output=True, check=False)
        times.append(time.perf_counter() - start)
        if done.returncode not in (0, 1):
            raise RuntimeError(done.stderr.decode())
    return min(times)


def _interpreter() -> float:
    """Seconds that Python itself takes to start and stop."""
    times = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        subprocess.run([sys.executable, "-c", "pass"], check=True)
        times.append(time.perf_counter() - start)
    return min(times)


def run() -> list[Row]:
    """Rows (what, value, unit)."""
    with tempfile.TemporaryDirectory() as folder:
        plan = Path(folder) / "alder-creek.toml"
        plan.write_text(demo_text("alder-creek"), encoding="utf-8")
        rows: list[Row] = [("python, nothing else", _interpreter(), "s")]
        for name, limit, arguments in (
            ("plumbrail --help", 0.3, ["--help"]),
            ("plumbrail check", 2.0, ["check", str(plan)]),
            ("plumbrail cut", None, ["cut", str(plan)]),
            ("plumbrail stake", None, ["stake", str(plan)]),
            ("plumbrail demo", None, ["demo", "--out", folder]),
        ):
            taken = _best(*arguments)
            rows.append((name, taken, "s"))
            if limit is not None:
                rows.append((f"{name}: share of its {limit:g} s", taken / limit, "-"))
    return rows
