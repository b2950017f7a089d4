"""Names of the points of the site, as people write them and as plumbrail does."""

from __future__ import annotations

import re
from dataclasses import dataclass
from difflib import get_close_matches
from enum import StrEnum

from plumbrail.errors import PlumbrailError

_POST = re.compile(r"(front|back|f|b) ?0*([0-9]{1,6})(?: (beam|head|top|base|foot|post))?")
_PIN = re.compile(r"pin ?([0-9]{1,6})")
_MARK = re.compile(r"mark\b[ :]*(.*)", re.IGNORECASE | re.DOTALL)
_FILLERS = {"end", "of", "the", "beam"}
_DASHES = re.compile(r"[\s_‐‑–—-]+")
_LONGEST = 40
FORMS = "F3, F3 top, F3 base, front left, pin 1 or mark NAME"


class PointNameError(PlumbrailError, ValueError):
    """A name that is no point of this site."""


class Sort(StrEnum):
    """What a name stands for."""

    HEAD = "head"
    """The beam over a post, ``F3``."""
    TOP = "top"
    """The cut end of a post, ``F3 top``."""
    BASE = "base"
    """A post at grade, ``F3 base``."""
    POST = "post"
    """A post from head to base, ``F3 post``."""
    END = "end"
    """End of a beam, ``front left``."""
    PIN = "pin"
    MARK = "mark"
    BEAM = "beam"
    """A whole beam, ``front beam``."""


@dataclass(frozen=True, slots=True)
class Named:
    """One place of the site by its name."""

    id: str
    """Canonical name."""
    sort: Sort
    row: str = ""
    """``front`` or ``back``; empty for pins and marks."""
    where: str = ""
    """Number of the station, ``left`` or ``right``; empty for pins, marks and whole beams."""

    @property
    def post(self) -> str:
        """``F3`` for every part of post F3; empty for all else."""
        return f"{self.row[0].upper()}{self.where}" if self.where.isdigit() else ""

    @property
    def spot(self) -> str:
        """The same for the head and the cut end of one post, which are one above the other."""
        return self.post if self.sort is Sort.TOP else self.id


def canonical(text: str, stations: int) -> str:
    """The canonical name of what ``text`` names, with ``stations`` posts in each row.

    Raises PointNameError saying what was read and what to write.
    """
    return named(text, stations).id


def named(text: str, stations: int) -> Named:
    """What ``text`` names; raises PointNameError saying what was read and what to write."""
    tidy = " ".join(text.split())
    if not tidy:
        raise PointNameError(f"no point is named; write {FORMS}")
    mark = _MARK.fullmatch(tidy)
    if mark is not None:
        return _mark(mark[1])
    plain = _DASHES.sub(" ", tidy.lower()).strip().removeprefix("post ")
    post, pin = _POST.fullmatch(plain), _PIN.fullmatch(plain)
    if post is not None:
        return _post("front" if post[1][0] == "f" else "back", int(post[2]), post[3], stations)
    if pin is not None:
        if int(pin[1]) not in (1, 2):
            raise PointNameError(f"there is no pin {int(pin[1])}; write pin 1 or pin 2")
        return Named(f"pin {int(pin[1])}", Sort.PIN)
    beam = _beam(plain)
    if beam is None:
        raise PointNameError(_unknown(tidy, plain, stations))
    return beam


def _mark(name: str) -> Named:
    if not name:
        raise PointNameError("a mark needs a name; write for example mark doorstep")
    if len(name) > _LONGEST:
        raise PointNameError(f"the name of the mark is longer than {_LONGEST} letters; shorten it")
    return Named(f"mark {name}", Sort.MARK)


def _post(row: str, number: int, part: str | None, stations: int) -> Named:
    post = f"{row[0].upper()}{number}"
    if not 1 <= number <= stations:
        raise PointNameError(f"{post}: this plan has posts {_posts(stations)}")
    sort = {"top": Sort.TOP, "base": Sort.BASE, "foot": Sort.BASE, "post": Sort.POST}.get(
        part or "", Sort.HEAD
    )
    id = post if sort is Sort.HEAD else f"{post} {sort}"
    return Named(id, sort, row, str(number))


def _beam(plain: str) -> Named | None:
    """``front left``, ``left end of front beam``, ``front beam``."""
    words = plain.split()
    rows = [w for w in words if w in ("front", "back")]
    sides = [w for w in words if w in ("left", "right")]
    rest = set(words) - {*rows, *sides}
    if len(rows) != 1 or len(sides) > 1 or rest - _FILLERS:
        return None
    if sides:
        return Named(f"{rows[0]} {sides[0]}", Sort.END, rows[0], sides[0])
    return Named(f"{rows[0]} beam", Sort.BEAM, rows[0]) if rest == {"beam"} else None


def _posts(stations: int) -> str:
    last = [f" to {row}{stations}" if stations > 1 else "" for row in "FB"]
    return f"F1{last[0]} and B1{last[1]}"


def _unknown(tidy: str, plain: str, stations: int) -> str:
    shown = tidy if len(tidy) <= _LONGEST else f"{tidy[:_LONGEST]}…"
    known = [f"{row}{i}{part}" for row in "FB" for i in range(1, min(stations, 40) + 1)
             for part in ("", " top", " base")]  # fmt: skip
    known += [f"{row} {end}" for row in ("front", "back") for end in ("left", "right", "beam")]
    known += ["pin 1", "pin 2"]
    fold = {name.lower(): name for name in known}
    near = get_close_matches(plain[:_LONGEST], list(fold), n=2, cutoff=0.6)
    if re.fullmatch(r"[a-z] ?[0-9]+", plain):
        return f'"{shown}" is no point of the site; this plan has posts {_posts(stations)}'
    if near:
        meant = " or ".join(fold[name] for name in near)
        return f'"{shown}" is no point of the site; did you mean {meant}?'
    return f'"{shown}" is no point of the site; write {FORMS}'
