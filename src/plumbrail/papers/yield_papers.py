"""The sheets of the yield."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import ceil

from plumbrail.energy.worst import worst_month
from plumbrail.papers import shade_chart_table, yield_words
from plumbrail.papers.angle_map import maps
from plumbrail.papers.furniture import Area, drawing_area, finished, notes, numbered, widest
from plumbrail.papers.lettering import fit
from plumbrail.papers.month_bars import month_bars
from plumbrail.papers.paragraphs import Para, in_columns
from plumbrail.papers.shade_chart import shade_chart
from plumbrail.papers.sheet import Item, Page, Sheet, Text
from plumbrail.papers.tables import Table, flow
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import figures, later, say, say_many, tell
from plumbrail.papers.yield_battery import charge_chart, grid_height, lack_bars, size_grid
from plumbrail.papers.yield_chain import chain
from plumbrail.papers.yield_facts import Facts, Island, StringFact
from plumbrail.papers.yield_words import kwh, percent
from plumbrail.site.surroundings import HORIZON

Drawing = tuple[str, tuple[Sheet, ...]]
_HEAD = 5.6
_UNITS = later("Energy in kWh, directions from true north")
_MAP_MOST = 118.0
_BARS_MOST = 125.0


class _Pages:
    """Sheets of one job."""

    def __init__(self, f: Facts, job: JobInfo, page: Page) -> None:
        self.f, self.job, self.page = f, job, page
        self.area = drawing_area(page)

    def sheet(self, title: str, items: list[Item]) -> Sheet:
        made = finished(title, self.page, self.job, None, (), items)
        lengths = say("Lengths in {unit}", unit=say(self.job.unit_note))
        return replace(made, items=tuple(
            replace(i, text=say(_UNITS)) if isinstance(i, Text) and i.text == lengths else i
            for i in made.items
        ))  # fmt: skip

    def headed(self, lines: Sequence[str], area: Area | None = None) -> tuple[list[Item], Area]:
        """Bold lines on top, and what they leave."""
        area = area or self.area
        items: list[Item] = [
            Text((area.left, area.top - 3.6 - _HEAD * i), fit(line, area.width, 3.0, True), 3.0,
                 bold=True)
            for i, line in enumerate(lines)
        ]  # fmt: skip
        return items, replace(area, top=area.top - _HEAD * len(lines) - 2.0)


def yield_papers(f: Facts, job: JobInfo, page: Page) -> list[Drawing]:
    """Names and sheets of the drawings: yield, angle-map, shade, off-grid."""
    pages = _Pages(f, job, page)
    found = [("yield", _yield(pages)), ("angle-map", _angles(pages))]
    if f.shading is not None:
        found.append(("shade", _shade(pages)))
    if f.island is not None:
        found.append(("off-grid", _off_grid(pages, f.island)))
    return [(name, numbered(sheets)) for name, sheets in found]


def _yield(p: _Pages) -> list[Sheet]:
    f = p.f
    worst = worst_month(f.found.power)
    items, area = p.headed(_all(yield_words.headline(f, worst.month, worst.daily)))
    told, area = notes(area, _all((f"{yield_words.weather_words(f.year)}.",
                                   *yield_words.weather_warnings(f.year),
                                   yield_words.error_words(f.year))))  # fmt: skip
    area = replace(area, bottom=max(area.bottom, area.top - _BARS_MOST))
    first = p.sheet(say("Yield by month"), [*items, *told, *month_bars(f, area)])
    said, area = notes(p.area, (
        say("Not stated: a usual value is counted. Not checked: nobody looked, and it counts as "
            "nothing. Hatched: what each step takes."),
    ))  # fmt: skip
    head, area = p.headed([
        say("From light to delivered energy: {n} modules, {power}", n=f.modules,
            power=figures(f"{f.found.rated / 1000:.2f} kW")),
    ], area)  # fmt: skip
    second = p.sheet(say("Yield: what is lost on the way"), [*head, *said, *chain(f, area)])
    rest = [p.sheet(say("Yield: strings, what is not checked, notes"), page)
            for page in in_columns(_told(f), p.area)]  # fmt: skip
    return [first, second, *rest]


def _told(f: Facts) -> list[Para]:
    """Strings, what is not checked, what was assumed."""
    strings = [_string(s) for s in f.strings]
    missing = list(_all(f.unchecked))
    if f.island_missing:
        missing.append(say("off the grid: {why}", why=tell(f.island_missing)))
    own = [*f.notes, *(n for n in f.found.notes if n not in f.year.notes)]
    found = [*_list(say("Strings"), strings),
             *_list(say("Not checked, and counted as nothing"), missing)]  # fmt: skip
    stated = [say("{loss}, at a usual value", loss=tell(name)) for name in f.unstated]
    found += _list(say("Not stated in the plan"), stated)
    return [*found, *_list(say("Notes"), _all(own)), *_list(say("Weather"), _all(f.year.notes))]


def _string(s: StringFact) -> str:
    """What one string gives."""
    return say_many(
        "{id}: {n} module, {energy} of direct current a year; each module {share} of the best "
        "string's; {lost} of its light lost to shade.",
        "{id}: {n} modules, {energy} of direct current a year; each module {share} of the best "
        "string's; {lost} of its light lost to shade.",
        len(s.modules), id=s.id, energy=tell(kwh(s.energy)),
        share=tell(percent(s.against_best, 1)), lost=tell(percent(s.shade, 1)),
    )  # fmt: skip


def _all(sentences: Sequence[str]) -> tuple[str, ...]:
    return tuple(tell(s) for s in sentences)


def _list(title: str, lines: Sequence[str]) -> list[Para]:
    if not lines:
        return []
    head = Para(title, size=3.0, bold=True, before=3.0, together=True)
    return [head, *(Para(line, bullet=True) for line in lines)]


def _angles(p: _Pages) -> list[Sheet]:
    said, area = notes(p.area, _all(yield_words.tilt_words(p.f)))
    line = say("Lines: share lost against the best of the map; grey: the plan's band of tilts; "
               "broken line: its azimuth.")  # fmt: skip
    head, area = p.headed([say("How much the angle matters")], area)
    head.append(Text((area.left, area.top - 2.2), fit(line, area.width, 2.5)))
    area = replace(area, top=area.top - 5.0)
    area = replace(area, bottom=max(area.bottom, area.top - _MAP_MOST))
    return [p.sheet(say("Tilt and azimuth"), [*head, *said, *maps(p.f, area)])]


def _shade(p: _Pages) -> list[Sheet]:
    f = p.f
    worst = f.worst_module
    name = f.model.modules.ids[worst]
    lost = tell(percent(float(f.shade.module[worst]), 1))
    legend = say(
        "Sun's paths on the 21st of each month, with hours of clock time (summer time where it "
        "holds). Grey: lets nothing through. Broken outline: lets some light through, or does in "
        "some months. Hatched: land. Dash and dot: lower than this the sun is behind the modules."
    )
    costs = " · ".join(f"{_thing(c.name)} {tell(kwh(c.energy))}" for c in f.found.culprits)
    dear = say("A year without it gives more: {costs}.", costs=costs) if costs else ""
    told = (legend, dear, tell(yield_words.shade_rest(f)))
    said, area = notes(p.area, tuple(t for t in told if t))
    title = say("Seen from the middle of module {name}, which loses most: {lost} of the year's "
                "light", name=name, lost=lost)  # fmt: skip
    head, area = p.headed([title], area)
    first = p.sheet(say("Shade: the sun's paths"), [*head, *said, *shade_chart(f, worst, area)])
    thing = _roomy(say("Thing"), [_thing(c.name) for c in f.found.culprits])
    heads = (thing, *yield_words.short_months(), say("Year"))
    cost = Table(say("What each thing costs, kWh"), heads, tuple(
        (_thing(c.name), *(_whole(m) for m in c.month), _whole(c.energy)) for c in f.found.culprits
    ))  # fmt: skip
    module, array = shade_chart_table.tables(f)
    rest = [*flow([module, cost], p.area), *flow([array], p.area)]
    return [first, *(p.sheet(say("Shade: when and what"), items) for items in rest)]


def _thing(name: str) -> str:
    """As the plan names it; the land has a name of ours."""
    return tell(name) if name == HORIZON else name


def _roomy(heading: str, names: Sequence[str]) -> str:
    """A heading as wide as its names, which are set bold and so are wider than the table thinks."""
    lacks = widest(list(names), bold=True) - widest([heading])
    sides = max(0, ceil(0.5 * lacks / widest(["\u00a0"])))
    return "\u00a0" * sides + heading + "\u00a0" * sides


def _whole(energy: float) -> str:
    text = f"{energy / yield_words.KWH:,.0f}"
    return figures("0" if text == "-0" else text)


def _off_grid(p: _Pages, i: Island) -> list[Sheet]:
    lines = _all(yield_words.island_lines(i))
    said, area = notes(p.area, lines)
    verdict = (say("Off the grid: the stated reliability is MET") if i.reliable else
               say("Off the grid: the stated reliability is NOT MET"))  # fmt: skip
    head, area = p.headed([verdict], area)
    middle = area.bottom + 0.42 * area.height
    upper, lower = replace(area, bottom=middle + 3.0), replace(area, top=middle)
    first = [*head, *said, *charge_chart(i, upper), *lack_bars(i, lower)]
    told = _all((*yield_words.sizing_lines(i), yield_words.battery_weather(p.f.year)))
    head, area = p.headed([say("Which array and battery would do")])
    grid = size_grid(i, area)
    under = replace(area, top=area.top - grid_height(i) - 4.0)
    words = [item for page in in_columns([Para(t, bullet=True) for t in told if t], under, 1)[:1]
             for item in page]  # fmt: skip
    return [p.sheet(say("Off the grid: the battery over the year"), first),
            p.sheet(say("Off the grid: sizes"), [*head, *grid, *words])]  # fmt: skip
