"""Reading the command line. Commands are imported only when they are called."""

from __future__ import annotations

import argparse
import errno
import io
import os
import sys
from collections.abc import Sequence
from importlib import import_module

from plumbrail import __version__

OK, NOT_ALL_PASS, INVALID, STOPPED = 0, 1, 2, 130
_EPILOG = """\
examples:
  plumbrail demo                         do the whole main job on the demo plan
  plumbrail new my-array.toml            write a commented plan to start from
  plumbrail check my-array.toml          check frame, piers, rails, modules
  plumbrail check my-array.toml --explain F3.bending
                                         every step behind one number
  plumbrail cut my-array.toml            what to buy and where to saw
  plumbrail yield my-array.toml          what it gives, month by month
  plumbrail wire my-array.toml --out drawings
                                         strings, wires, fuses, with drawings
  plumbrail trench my-array.toml --out drawings
                                         the trench to the equipment, with drawings
  plumbrail stake my-array.toml --out drawings
                                         where to dig, with drawings
  plumbrail true my-array.toml --sheet   a blank field sheet: what to measure
  plumbrail true my-array.toml readings.csv
                                         what to move, and whether you may pour
  plumbrail prove my-array.toml          a blank test sheet; with tests.csv the verdict
  plumbrail plan-works my-array.toml --out drawings
                                         who does what on which day
  plumbrail book my-array.toml readings.csv --out book
                                         everything as one PDF, with DXF drawings
  plumbrail app my-array.toml --lan      plan, see and true it in a browser

exit codes: 0 all checks pass (true: ready to pour; yield: all worked out, load met); 1 something
fails, is not checked or is not ready; 2 the plan is invalid, or a file cannot be read or written.
An aid to a competent person, never an approval: local codes and licensed practice decide.
"""
_PLAN = "the plan file (TOML)"
_MODULES = {"yield": "energy", "plan-works": "works"}
"""Modules that cannot be called like their command: no names of the language."""


def parser() -> argparse.ArgumentParser:
    """The whole command line."""
    top = argparse.ArgumentParser(
        prog="plumbrail", epilog=_EPILOG, formatter_class=argparse.RawDescriptionHelpFormatter,
        description="Design, buy, cut, set out, true and wire a pipe-frame ground-mounted solar "
        "array from one plan file.",
    )  # fmt: skip
    top.add_argument("--version", action="version", version=f"plumbrail {__version__}")
    commands = top.add_subparsers(dest="command", metavar="COMMAND", required=True)
    _demo(commands)
    _new(commands)
    _check(commands)
    _cut(commands)
    _wire(commands)
    _trench(commands)
    _stake(commands)
    _true(commands)
    _yield(commands)
    _works(commands)
    _prove(commands)
    _book(commands)
    _app(commands)
    return top


_Commands = argparse._SubParsersAction  # the only name argparse gives it


def _add(
    commands: _Commands[argparse.ArgumentParser], name: str, text: str, example: str
) -> argparse.ArgumentParser:
    command = commands.add_parser(
        name, help=text, description=text, epilog=f"example:\n  {example}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )  # fmt: skip
    command.add_argument("--json", action="store_true", help="print documented JSON (docs/json.md)")
    return command


def _demo(commands: _Commands[argparse.ArgumentParser]) -> None:
    c = _add(commands, "demo", "Check, cut and stake a demo plan and write its papers.",
             "plumbrail demo --plan dry-gulch --out dry-gulch")  # fmt: skip
    which = "demo plan: alder-creek (passes) or dry-gulch (fails instructively)"
    c.add_argument("--plan", default="alder-creek", metavar="NAME", help=which)
    c.add_argument("--out", default="demo-out", metavar="FOLDER", help="folder for the papers")


def _new(commands: _Commands[argparse.ArgumentParser]) -> None:
    c = _add(commands, "new", "Write a commented plan to start from.", "plumbrail new barn.toml")
    c.add_argument("file", nargs="?", default="plan.toml", help="file to write (never overwritten)")


def _check(commands: _Commands[argparse.ArgumentParser]) -> None:
    c = _add(commands, "check", "Check frame, piers, rails, connections and modules.",
             "plumbrail check barn.toml --explain F3.bending")  # fmt: skip
    c.add_argument("plan", help=_PLAN)
    c.add_argument("--all", action="store_true", help="every check, not only the worst of a kind")
    c.add_argument("--explain", metavar="ID", help="every step behind one check")


def _cut(commands: _Commands[argparse.ArgumentParser]) -> None:
    c = _add(commands, "cut", "What to buy and where to saw, with splices and concrete.",
             "plumbrail cut barn.toml --out drawings")  # fmt: skip
    c.add_argument("plan", help=_PLAN)
    c.add_argument("--out", metavar="FOLDER", help="write the saw drawings (SVG) to this folder")


def _wire(commands: _Commands[argparse.ArgumentParser]) -> None:
    c = _add(commands, "wire", "Strings, wires, fuses, conduit and signs, with their checks.",
             "plumbrail wire barn.toml --out drawings")  # fmt: skip
    c.add_argument("plan", help=_PLAN)
    c.add_argument("--all", action="store_true", help="every check and every way to string")
    c.add_argument("--explain", metavar="ID", help="every step behind one check")
    c.add_argument("--out", metavar="FOLDER", help="write the drawings (SVG) to this folder")


def _trench(commands: _Commands[argparse.ArgumentParser]) -> None:
    c = _add(commands, "trench", "Route and profile of the trench from the array to the equipment.",
             "plumbrail trench barn.toml --out drawings")  # fmt: skip
    c.add_argument("plan", help=_PLAN)
    c.add_argument("--explain", metavar="ID", help="every step behind one check")
    c.add_argument("--out", metavar="FOLDER", help="write the drawings (SVG) to this folder")
    c.add_argument("--language", choices=("en", "es"), default="en", help="of the drawings")


def _stake(commands: _Commands[argparse.ArgumentParser]) -> None:
    c = _add(commands, "stake", "Where every hole goes, with tape and laser figures.",
             "plumbrail stake barn.toml --out drawings")  # fmt: skip
    c.add_argument("plan", help=_PLAN)
    c.add_argument("--out", metavar="FOLDER", help="write the drawings (SVG) to this folder")
    c.add_argument("--day", metavar="DAY", help="day of setting out, in place of the plan's own, "
                   "for the table of shadows: 2026-05-04")  # fmt: skip
    c.add_argument("--clock", metavar="TIME", help="which way a plumb line's shadow falls at this "
                   "clock time of that day: 10:40")  # fmt: skip
    c.add_argument("--shadow", metavar="OFFSET", help="with --clock: how far off the string "
                   "between the pins the shadow was marked, and to which side: "
                   '"3 ft 2 in back"')  # fmt: skip
    c.add_argument("--over", metavar="LENGTH", help="with --shadow: how far along that string "
                   'from pin 1 the mark lies, and to which side: "10 ft left"')  # fmt: skip


def _true(commands: _Commands[argparse.ArgumentParser]) -> None:
    c = _add(commands, "true", "From tape, laser and level readings to: move this, then pour.",
             "plumbrail true barn.toml readings.csv --out drawings")  # fmt: skip
    c.add_argument("plan", help=_PLAN)
    c.add_argument("readings", nargs="?", help="the site notebook (CSV or TOML)")
    sheet = "write a blank field sheet instead: what to measure (SVG and CSV)"
    c.add_argument("--sheet", action="store_true", help=sheet)
    c.add_argument("--all", action="store_true", help="every place and every reading")
    out = "write the picture and the record of the pour gate to this folder"
    c.add_argument("--out", metavar="FOLDER", help=out)
    stand = "after the pour: write the plan with the posts where they stand"
    c.add_argument("--as-built", metavar="FILE", help=stand)
    c.add_argument("--language", choices=("en", "es"), default="en",
                   help="language of the papers of --sheet and --out")  # fmt: skip


def _yield(commands: _Commands[argparse.ArgumentParser]) -> None:
    c = _add(commands, "yield", "What the array yields, what shade and losses take, the battery.",
             "plumbrail yield barn.toml --out drawings")  # fmt: skip
    c.add_argument("plan", help=_PLAN)
    c.add_argument("--all", action="store_true", help="every module; with --json every hour too")
    c.add_argument("--hours", metavar="FILE", help="write every hour to this file (CSV)")
    what = "steps behind a number: module, light, light.12-21.10, cell-temperature, wiring"
    c.add_argument("--explain", metavar="ID", help=what)
    c.add_argument("--out", metavar="FOLDER", help="write the drawings (SVG) to this folder")


def _prove(commands: _Commands[argparse.ArgumentParser]) -> None:
    c = _add(commands, "prove", "Judge the tests of the finished array; without tests, write their "
             "sheet.", "plumbrail prove barn.toml tests.csv --out hand-over")  # fmt: skip
    c.add_argument("plan", help=_PLAN)
    words = "the tests as written down (CSV); left out, the blank test sheet is written"
    c.add_argument("readings", nargs="?", metavar="tests", help=words)
    c.add_argument("--all", action="store_true", help="every test, those not made too")
    c.add_argument("--explain", metavar="ID", help="every step behind one test: S1.voltage")
    words = "the site notebook, for how the frame stands; left out, the plan's [as_built]"
    c.add_argument("--notebook", metavar="FILE", help=words)
    out = "write the record (SVG and JSON), or the blank sheet (SVG and CSV), to this folder"
    c.add_argument("--out", metavar="FOLDER", help=out)
    c.add_argument("--language", choices=("en", "es"), default="en", help="of the papers")


def _works(commands: _Commands[argparse.ArgumentParser]) -> None:
    text = "Order and dates of the work, inspections, and the way from an old array to the new."
    c = _add(commands, "plan-works", text, "plumbrail plan-works barn.toml --out drawings")
    c.add_argument("plan", help=_PLAN)
    c.add_argument("--all", action="store_true", help="every day with who does what")
    out = "write bars and lists (SVG) and the calendar (works.ics) to this folder"
    c.add_argument("--out", metavar="FOLDER", help=out)


def _book(commands: _Commands[argparse.ArgumentParser]) -> None:
    c = _add(commands, "book", "One PDF of every page and drawing, and the DXF files behind it.",
             "plumbrail book barn.toml readings.csv --out barn-book")  # fmt: skip
    c.add_argument("plan", help=_PLAN)
    c.add_argument("readings", nargs="?", help="the site notebook (CSV or TOML), if there is one")
    c.add_argument("--tests", metavar="FILE", help="the electrical tests (CSV), if there are any")
    out = "folder for book.pdf and the DXF files"
    c.add_argument("--out", default="book", metavar="FOLDER", help=out)
    c.add_argument("--language", choices=("en", "es"), default="en", help="of the pages")
    paper = "of the drawings: letter, a4, tabloid or a3; left out, letter or a4 by the plan's units"
    c.add_argument("--paper", metavar="SIZE", help=paper)


def _app(commands: _Commands[argparse.ArgumentParser]) -> None:
    text = "Plan, see and true the array in a browser, on this machine and on phones."
    c = commands.add_parser(
        "app", help=text, description=text, epilog="example:\n  plumbrail app barn.toml --lan",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )  # fmt: skip
    c.set_defaults(json=False)
    c.add_argument("plan", nargs="?", help="a plan file to take in; left out, the demo is there")
    store = "file or postgresql:// URL to keep jobs in; left out, a file in your data folder"
    c.add_argument("--store", metavar="PLACE", help=store)
    c.add_argument("--port", type=int, default=8417, help="taken: the next free one (8417)")
    c.add_argument("--lan", action="store_true", help="let phones on this network in, by a code")
    c.add_argument("--no-browser", action="store_true", help="print the link only")
    c.add_argument("--backup", metavar="FILE", help="write all that is kept to FILE, and end")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command; returns the exit code and never ends in a traceback for bad input."""
    given = _given(arguments)
    _one_thread()
    _take_every_letter()
    try:
        return _run(given)
    except KeyboardInterrupt:
        sys.stderr.write("stopped\n")
        return STOPPED


def _run(given: argparse.Namespace) -> int:
    from plumbrail.errors import PlanError, PlumbrailError

    try:
        code = int(
            import_module(f"plumbrail.cli.{_MODULES.get(given.command, given.command)}").run(given)
        )
        _flush()
        return code
    except PlanError as error:
        return _refuse_plan(error, given.json)
    except PlumbrailError as error:
        return _refuse(str(error), given.json)
    except OSError as error:
        # What could not be written to a file is told as asked; what could not be written to
        # standard output can only be told on standard error.
        return _refuse(_words(error), given.json and error.filename is not None)


def _given(arguments: Sequence[str] | None) -> argparse.Namespace:
    """What was asked for; the readings may also follow an option, which argparse alone refuses."""
    whole = parser()
    given, rest = whole.parse_known_args(arguments)
    if len(rest) == 1 and not rest[0].startswith("-") and getattr(given, "readings", "") is None:
        given.readings = rest[0]
    elif rest:
        whole.error(f"unrecognized arguments: {' '.join(rest)}")
    return given


def _one_thread() -> None:
    """Our matrices are small: threads of the linear algebra only wait for each other.

    Has to be said before numpy is imported.
    """
    for library in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
        os.environ.setdefault(library, "1")


def _take_every_letter() -> None:
    """A terminal that lacks a letter shows a question mark for it."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


def _flush() -> None:
    from plumbrail.cli.show import let_go

    try:
        sys.stdout.flush()
    except BrokenPipeError:
        let_go()


def _words(error: OSError) -> str:
    """What went wrong with a file or folder, and what to do."""
    what = {
        errno.EEXIST: "this is a file, not a folder; name another folder",
        errno.ENOTDIR: "a part of this path is a file, not a folder; name another folder",
        errno.EISDIR: "this is a folder; name a file",
        errno.ENOENT: "there is no such folder; make it first or name another",
        errno.EACCES: "nothing may be written here; choose another place or change its permissions",
        errno.EPERM: "nothing may be written here; choose another place or change its permissions",
        errno.EROFS: "this disk can only be read; choose another place",
        errno.ENOSPC: "the disk is full; make room and run the command again",
        errno.ENAMETOOLONG: "the name is too long; choose a shorter one",
    }.get(error.errno or 0, f"this cannot be written: {error.strerror or error}")
    return f"{error.filename}: {what}" if error.filename is not None else what


def _refuse_plan(error: Exception, as_json: bool) -> int:
    from plumbrail.cli.show import show_problems
    from plumbrail.errors import PlanError

    assert isinstance(error, PlanError)
    show_problems(error, as_json)
    return INVALID


def _refuse(words: str, as_json: bool) -> int:
    from plumbrail.errors import PlanError, Problem

    return _refuse_plan(PlanError([Problem("", words)], ""), as_json)
