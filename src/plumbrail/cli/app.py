"""``plumbrail app``."""

from __future__ import annotations

import argparse
import sys
import threading

from plumbrail.errors import PlumbrailError


def run(given: argparse.Namespace) -> int:
    """Serve the app until Ctrl-C, or write a backup of its store."""
    from plumbrail.store.store import open_store

    _refuse(given)
    with open_store(given.store) as store:
        if given.backup is not None:
            _say(f"Backup written: {store.backup(given.backup)}")
            return 0
        _serve(given, store)
    _say("Ended; everything is kept.")
    return 0


def _refuse(given: argparse.Namespace) -> None:
    if not 0 <= given.port <= 65535:
        raise PlumbrailError(f"--port {given.port}: a port is a number from 1024 to 65535")


def _serve(given: argparse.Namespace, store: object) -> None:
    from plumbrail.app.addresses import listening
    from plumbrail.app.intake import demo_if_empty, take_file
    from plumbrail.app.serve import run as serve
    from plumbrail.app.serve import weather_folder
    from plumbrail.app.works import Works
    from plumbrail.store.store import Store

    assert isinstance(store, Store)
    works = Works(store, weather_folder(given.store))
    job = ""
    if given.plan is not None:
        job = take_file(works, given.plan)
    else:
        demo_if_empty(works)
    sock, port = listening(given.port, given.lan)
    if given.port not in (0, port):
        _say(f"Port {given.port} is taken; {port} is used.")

    def ready(address: str) -> None:
        link = f"{address}/launch?token={works.door.link()}" + (f"&job={job}" if job else "")
        _say(f"plumbrail is at {address}. Open it once by this link, within 15 minutes:\n  {link}")
        _say(_lan_words() if given.lan else "Only this machine can reach it. For phones: --lan")
        _say("It is an aid to a competent person, never an approval. Ctrl-C ends it.")
        if not given.no_browser:
            threading.Thread(target=_open, args=(link,), daemon=True).start()

    serve(works, sock, given.lan, ready)


def _lan_words() -> str:
    return ("Other devices on this network can reach it; each needs a code, see Phones. What it "
            "sends is not encrypted: use it on a network that you trust.")  # fmt: skip


def _open(link: str) -> None:
    import webbrowser

    if not webbrowser.open(link):
        _say("No browser could be opened; open the link yourself.")


def _say(words: str) -> None:
    sys.stdout.write(f"{words}\n")
    sys.stdout.flush()
