"""What the last file of tests of a job says, and its headline beside the design's."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from plumbrail.app.messages import Figure, Mark
from plumbrail.app.worked import PartDone
from plumbrail.errors import PlumbrailError

NO_READINGS = (
    "not measured: where the posts stand; enter the readings of the frame on the page True up or "
    "on a phone"
)


@dataclass(frozen=True)
class Taken:
    """How a file of tests came in."""

    name: str
    device: str
    at: str


def told(done: PartDone, taken: Taken | None, key: str, revision: int) -> dict[str, Any]:
    """For the page: the report, of which revision it is, and how the file came in."""
    how = {} if taken is None else {"name": taken.name, "device": taken.device, "taken": taken.at}
    return {**done.report, **how, "key": key, "revision": revision}


def in_the_app(report: Mapping[str, Any], refused: str = "") -> dict[str, Any]:
    """The report with the ways of the app in place of those of the command line.

    ``refused``: why the readings of the frame cannot be used.
    """
    from plumbrail.proving.run import NO_FRAME

    said = [NO_READINGS if x == NO_FRAME else x.replace("plumbrail true", "the page True up")
            for x in report["open"]]  # fmt: skip
    if not refused:
        return {**report, "open": said}
    said = [x for x in said if x != NO_READINGS]
    said.append(f"not measured: where the posts stand; the readings cannot be used: {refused}")
    return {**report, "open": said, "complete": False}


def story(stories: Mapping[str, Any] | None, id: str) -> dict[str, Any]:
    """The explanation of one test."""
    if stories is None:
        raise PlumbrailError("these verdicts are not at hand any more: open the page Proving again")
    if id not in stories:
        raise PlumbrailError(f"{id[:80]} follows without arithmetic, so it has no steps")
    return dict(stories[id])


def figure(done: PartDone | None, before: PartDone | None = None) -> Figure:
    """The headline of the tests; one that failed fails until it was judged otherwise.

    ``done``: None while they are being judged; ``before``: the last verdict of the job.
    """
    why = "being judged again" if done is None else str(done.report.get("missing", ""))
    if done is not None and not why:
        value, mark = _headline(done.report)
        return _told(value, "; ".join(_details(done.report)), mark)
    value, mark = ("", "not checked") if before is None else _headline(before.report)
    if before is not None and mark == "fail":
        return _told(value, "; ".join((why, *_details(before.report))), mark, done is None)
    if done is None:
        return _told("", "", "not checked", pending=True)
    return _told("not judged", why, "not checked")


def _told(value: str, detail: str, mark: Mark, pending: bool = False) -> Figure:
    return Figure(id="tests", label="Tests on site", value=value, detail=detail, mark=mark,
                  pending=pending, opens="part:proving")  # fmt: skip


def _headline(r: Mapping[str, Any]) -> tuple[str, Mark]:
    strings, failed = _failed(r)
    if strings:
        fails = "fails" if len(strings) == 1 else "fail"
        return f"{len(strings)} of {len(r['strings'])} strings {fails}", "fail"
    if failed:
        return ("1 test fails" if failed == 1 else f"{failed} tests fail"), "fail"
    if r["problems"]:
        return _rows(r), "not checked"
    if r["uncertain"]:
        return f"{r['uncertain']} too uncertain to say", "not checked"
    if r["not_measured"]:
        return f"{r['passed']} pass, {r['not_measured']} not tested", "not checked"
    return f"all {r['passed']} pass", "pass" if r["complete"] else "not checked"


def _failed(r: Mapping[str, Any]) -> tuple[set[str], int]:
    """Strings that fail, and how many tests of something else do."""
    names = {s["id"] for s in r["strings"]}
    subjects = [j["subject"] for j in r["judged"] if j["outcome"] == "fail"]
    return names & set(subjects), sum(s not in names for s in subjects)


def _details(r: Mapping[str, Any]) -> list[str]:
    strings, others = _failed(r)
    whys = {s: _why(r, s) for s in sorted(strings)}
    said = [why if s in why else f"{s}: {why}" for s, why in whys.items()]
    if strings and others:
        said.append(f"{others} other {'test fails' if others == 1 else 'tests fail'}")
    elif others:
        said += [f"{j['subject']}: {j['title']}" for j in r["judged"] if j["outcome"] == "fail"]
    if strings or others:
        said += [_rows(r)] if r["problems"] else []
        said += [f"{r['uncertain']} too uncertain to say"] if r["uncertain"] else []
    if r["not_measured"] and (said or r["uncertain"] or r["problems"]):
        said.append(f"{r['not_measured']} not tested")
    if not said and r["open"]:
        said.append(f"{len(r['open'])} still open before the hand-over")
    return said


def _why(r: Mapping[str, Any], string: str) -> str:
    """What is suspected of a string, else the first of its tests that fails."""
    mine = (x for x in r["suspicions"] if string in x["strings"] and x["candidates"])
    top = next(mine, None)
    if top is not None:
        return str(top["candidates"][0]["words"])
    return next(str(j["title"]) for j in r["judged"]
                if j["subject"] == string and j["outcome"] == "fail")  # fmt: skip


def _rows(r: Mapping[str, Any]) -> str:
    count = len({p["line"] or p["message"] for p in r["problems"]})
    return "1 row cannot be used" if count == 1 else f"{count} rows cannot be used"
