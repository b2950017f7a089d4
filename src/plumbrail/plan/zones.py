"""Time zones by their names in the public time zone database."""

from __future__ import annotations

from difflib import get_close_matches
from zoneinfo import ZoneInfo, available_timezones

from plumbrail.errors import RangeError


def time_zone(name: str) -> ZoneInfo:
    """The zone of this name; raises RangeError that names near ones."""
    try:
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError):  # no such zone, not a zone's name, a group of zones
        pass
    known = sorted(available_timezones())
    near = _near(name, known)
    hint = f"near names: {', '.join(near)}" if near else 'write for example "America/Denver"'
    raise RangeError(f'"{name}" is not a zone of the time zone database; {hint}')


def _near(name: str, known: list[str]) -> list[str]:
    """Zones that look alike, or that end in the place that was named."""
    folded = {k.casefold(): k for k in known}
    wanted = name.casefold()
    places = [k for low, k in folded.items() if wanted and wanted in low.split("/")[1:]]
    alike = [folded[low] for low in get_close_matches(wanted, list(folded), n=3, cutoff=0.7)]
    return list(dict.fromkeys([*alike, *places]))[:3]
