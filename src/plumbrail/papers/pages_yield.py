"""What the array yields, in words and months."""

from __future__ import annotations

from calendar import month_name

import numpy as np

from plumbrail.energy.worst import worst_month
from plumbrail.papers import yield_words as told
from plumbrail.papers.pdf_blocks import BigNumber, BigNumbers, Block, Bullets, Heading, Table
from plumbrail.papers.words import figures, say, tell
from plumbrail.papers.yield_facts import Facts
from plumbrail.weather.year import Origin


def yield_pages(f: Facts) -> list[Block]:
    """Numbers asked for first, the months, the battery, what is not checked."""
    worst = worst_month(f.found.power)
    bound = f.year.origin is Origin.CLEAR
    year = say("kWh a year at the most") if bound else say("kWh a year")
    day = say("kWh a day in {month}, the worst month", month=tell(told.MONTHS[worst.month - 1]))
    shade = (say("lost to shade: NOT CHECKED") if f.shading is None else
             say("kWh a year lost to shade"))  # fmt: skip
    found: list[Block] = [
        Heading(say("Yield")),
        BigNumbers((
            BigNumber(_kwh(f.energy), "", year), BigNumber(_kwh(worst.daily), "", day),
            BigNumber("–" if f.shading is None else _kwh(float(f.shade.cost.sum())), "", shade),
        )),
        _months(f),
        Heading(say("How sure"), 2),
        Bullets((tell(f"{told.weather_words(f.year)}."), tell(told.error_words(f.year)))),
    ]  # fmt: skip
    if f.island is not None:
        lines = (*told.island_lines(f.island), *told.sizing_lines(f.island))
        found += [Heading(say("Off the grid"), 2), Bullets(tuple(tell(x) for x in lines))]
    if f.island_missing:
        found += [Heading(say("Off the grid"), 2),
                  Bullets((f"{say('NOT CHECKED')}: {tell(f.island_missing)}",))]  # fmt: skip
    return found


def _kwh(energy: float) -> str:
    value = energy / told.KWH
    return figures(f"{value:.1f}" if 0 < abs(value) < 9.95 else f"{value:,.0f}")


def _months(f: Facts) -> Table:
    cost = np.zeros(12) if f.shading is None else f.shade.cost
    rows = tuple(
        (tell(month_name[m + 1]), _kwh(float(f.months[m])),
         "–" if f.shading is None else _kwh(float(cost[m])))
        for m in range(12)
    )  # fmt: skip
    head = (say("Month"), say("Delivered, kWh"), say("Lost to shade, kWh"))
    return Table(head, rows, say("Month by month"), ("left", "right", "right"))
