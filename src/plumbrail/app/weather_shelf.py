"""Weather files of the jobs: the only files outside the store that a plan may name here."""

from __future__ import annotations

import re
import shutil
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from plumbrail.plan.models import Plan

_JOB = re.compile(r"[a-z0-9-]{1,80}")


class Shelf:
    """One folder for each job."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def files(self, job: str, plan: Plan) -> dict[str, bytes]:
        """The weather file that the plan names, by the name that the plan gives it.

        Nothing for a plan without one, and for one that is not on the shelf: the yield then says
        that it is missing. No name leads out of the job's own folder.
        """
        name = weather_name(plan)
        if name is None or not _JOB.fullmatch(job):
            return {}
        path = self._folder / job / PurePosixPath(name).name
        return {name: path.read_bytes()} if path.is_file() else {}

    def take(self, job: str, plan: Plan, beside: Path) -> None:
        """Keep a copy of the weather file that lies beside a plan file on this machine."""
        name = weather_name(plan)
        if name is None or not _JOB.fullmatch(job) or not (beside / name).is_file():
            return
        target = self._folder / job
        target.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(beside / name, target / PurePosixPath(name).name)


def weather_name(plan: Plan) -> str | None:
    """The file's name as the plan gives it; None for none, and for one that leads elsewhere."""
    name = None if plan.energy is None else plan.energy.weather.file
    if name is None:
        return None
    path = PurePosixPath(name.replace("\\", "/"))
    if path.is_absolute() or ".." in path.parts or ":" in name or not path.name:
        return None
    return name
