"""Writes to a store as fast as it can and says on its output what was acknowledged, until killed.

``python store_writer.py PLACE JOB NAME``; lines ``step UID REVISION`` and ``row UID``.
"""

from __future__ import annotations

import random
import sys
from itertools import count

from plumbrail.store.failures import Stale, UnreachableError
from plumbrail.store.records import NewRow, StepKind
from plumbrail.store.store import Store, open_store


def say(lines: str) -> None:
    """Acknowledge at once, in one piece."""
    sys.stdout.write(lines)
    sys.stdout.flush()


def step(store: Store, job: str, uid: str) -> None:
    """One edit; sent again with the same uid while others are faster."""
    revision = store.head(job).revision
    while True:
        text = f"# {uid}\n" + "x" * random.randint(0, 20_000)
        try:
            made = store.add_step(job, revision, uid, StepKind.EDIT, text, job, "w", uid)
        except Stale as stale:
            revision = stale.revision
            continue
        say(f"step {made.uid} {made.revision}\n")
        return


def rows(store: Store, job: str, uid: str) -> None:
    """One to three rows, sent twice now and then."""
    some = [NewRow(f"{uid}-{n}", kind="rod", start="F1", value=f"{n} ft")
            for n in range(random.randint(1, 3))]  # fmt: skip
    for _ in range(random.randint(1, 2)):
        taken = store.add_rows(job, some, "w")
        say("".join(f"row {row}\n" for row in taken.uids))


def main(place: str, job: str, name: str) -> None:
    """Write for ever."""
    store = open_store(place, wait=30)
    for n in count():
        random.choice((step, rows))(store, job, f"{name}-{n:06}")


if __name__ == "__main__":
    try:
        main(*sys.argv[1:])
    except UnreachableError:  # the server was killed under it: what is not acknowledged is open
        sys.exit(3)
