"""``plumbrail new``."""

from __future__ import annotations

import argparse
from pathlib import Path
from shlex import quote

from plumbrail.cli.show import console, path_text, print_json
from plumbrail.errors import PlumbrailError
from plumbrail.jobs.output import NewReport
from plumbrail.plan.starter import starter_text


def run(given: argparse.Namespace) -> int:
    """Write the starter plan; an existing file is never overwritten."""
    path = Path(given.file)
    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(starter_text())
    except FileExistsError:
        words = "is a folder; name a file" if path.is_dir() else "exists already; give another name"
        raise PlumbrailError(f"{path} {words}") from None
    if given.json:
        print_json(NewReport(written=path_text(path)))
        return 0
    out = console()
    out.print(f"Wrote {path}.", markup=False, style="bold", soft_wrap=True)
    out.print("Read it from the top: each line says what it is and whom to ask. Its values are "
              "examples, not yours.")  # fmt: skip
    out.print(f"Then: plumbrail check {quote(str(path))}", markup=False, soft_wrap=True)
    return 0
