"""Reading the command line. Commands are imported only when they are called."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from importlib import import_module

from plumbrail import __version__

OK, NOT_ALL_PASS, INVALID = 0, 1, 2
_EPILOG = """\
examples:
  plumbrail demo                         do the whole main job on the demo plan
  plumbrail new my-array.toml            write a commented plan to start from
  plumbrail check my-array.toml          check frame, piers, rails, modules
  plumbrail check my-array.toml --explain F3.bending
                                         every step behind one number
  plumbrail cut my-array.toml            what to buy and where to saw
  plumbrail stake my-array.toml --out drawings
                                         where to dig, with drawings

exit codes: 0 all checks pass; 1 something fails or is not checked; 2 the plan is invalid.
An aid to a competent person, never an approval: local codes and licensed practice decide.
"""
_PLAN = "the plan file (TOML)"


def parser() -> argparse.ArgumentParser:
    """The whole command line."""
    top = argparse.ArgumentParser(
        prog="plumbrail", epilog=_EPILOG, formatter_class=argparse.RawDescriptionHelpFormatter,
        description="Design, buy, cut and set out a pipe-frame ground-mounted solar array from "
        "one plan file.",
    )  # fmt: skip
    top.add_argument("--version", action="version", version=f"plumbrail {__version__}")
    commands = top.add_subparsers(dest="command", metavar="COMMAND", required=True)
    _demo(commands)
    _new(commands)
    _check(commands)
    _cut(commands)
    _stake(commands)
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


def _stake(commands: _Commands[argparse.ArgumentParser]) -> None:
    c = _add(commands, "stake", "Where every hole goes, with tape and laser figures.",
             "plumbrail stake barn.toml --out drawings")  # fmt: skip
    c.add_argument("plan", help=_PLAN)
    c.add_argument("--out", metavar="FOLDER", help="write the drawings (SVG) to this folder")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command; returns the exit code and never ends in a traceback for bad input."""
    given = parser().parse_args(arguments)
    from plumbrail.errors import PlanError, PlumbrailError

    try:
        return int(import_module(f"plumbrail.cli.{given.command}").run(given))
    except PlanError as error:
        return _refuse_plan(error, given.json)
    except (PlumbrailError, OSError) as error:
        return _refuse(error, given.json)
    except BrokenPipeError:
        return OK
    except KeyboardInterrupt:
        sys.stderr.write("stopped\n")
        return 130


def _refuse_plan(error: Exception, as_json: bool) -> int:
    from plumbrail.cli.show import show_problems
    from plumbrail.errors import PlanError

    assert isinstance(error, PlanError)
    show_problems(error, as_json)
    return INVALID


def _refuse(error: Exception, as_json: bool) -> int:
    from plumbrail.errors import PlanError, Problem

    return _refuse_plan(PlanError([Problem("", str(error))], ""), as_json)
