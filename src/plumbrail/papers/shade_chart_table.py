"""Light lost to shade by hour of clock time and month."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.papers.tables import Table
from plumbrail.papers.words import say
from plumbrail.papers.yield_facts import Facts
from plumbrail.papers.yield_words import short_months
from plumbrail.weather.year import hour_of_day, month_of_hours

Array = NDArray[np.float64]

_LITTLE = 2.0
"""Light of a mean hour [W/m2] below which shares are not told."""


def lost_table(f: Facts, module: int | None) -> Array:
    """(24, 12) share of the light that shade takes, by clock hour and month; nan where there is
    hardly any light. Of one module, or of all."""
    opened = f.light.total
    got = _behind(f, module)
    clock = (hour_of_day() + np.round(f.ahead / 3600).astype(int)) % 24
    month = month_of_hours()
    lost = np.full((24, 12), np.nan)
    for h in range(24):
        for m in range(12):
            of = (clock == h) & (month == m + 1)
            if of.any() and opened[of].mean() > _LITTLE:
                lost[h, m] = max(0.0, 1.0 - float(got[of].sum() / opened[of].sum()))
    return lost


def _behind(f: Facts, module: int | None) -> Array:
    """(8760,) mean light behind all shade [W/m2]."""
    s, light = f.shading, f.light
    if s is None:
        return light.total
    of = slice(None) if module is None else np.flatnonzero(
        f.patches.module[f.patches.patch] == module
    )  # fmt: skip
    month = month_of_hours() - 1
    through = s.through[:, of].mean(axis=1, dtype=float)
    dome, band, ground = (
        a[:, of].mean(axis=1)[month] for a in (s.dome_month, s.skyline_month, s.ground_month)
    )
    return np.asarray((light.beam + light.halo) * through + light.dome * dome
                      + light.skyline * band + light.ground * ground)  # fmt: skip


def tables(f: Facts) -> list[Table]:
    """Of the most shaded module, then of the whole array."""
    worst = f.worst_module
    return [
        _table(say("{module}: light lost, %, by clock hour", module=f.model.modules.ids[worst]),
               lost_table(f, worst)),
        _table(say("Whole array: light lost, %, by clock hour"), lost_table(f, None)),
    ]  # fmt: skip


def _table(title: str, lost: Array) -> Table:
    rows = []
    for h in range(24):
        if np.isfinite(lost[h]).any():
            cells = tuple("" if np.isnan(v) else _cell(v) for v in lost[h])
            rows.append((f"{h}–{h + 1} h", *cells))
    return Table(title, (say("Clock"), *short_months()), tuple(rows))


def _cell(share: float) -> str:
    return f"{100 * share:.0f}" if share < 0.995 or share == 1 else "99"
