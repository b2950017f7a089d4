"""Tables behind the site plan: what stands around, what is buried, the horizon."""

from __future__ import annotations

from plumbrail.papers.marking_colours import MARKINGS
from plumbrail.papers.site_plan_parts import Service, Site, nearest_hole, rough
from plumbrail.papers.tables import Table
from plumbrail.papers.wording import JobInfo, angle, bearing
from plumbrail.papers.words import later, say, tell

LOCATED = {
    "potholed": later("potholed"), "locator": later("locator"),
    "record drawing": later("record drawing"), "memory": later("memory"),
}  # fmt: skip
"""Ways of locating, as the plan writes them."""


def tables(site: Site, job: JobInfo) -> list[Table]:
    """Things, services, horizon; those without rows are left out when they are laid out."""
    return [_things(site, job), _services(site, job), _horizon(site)]


def _things(site: Site, job: JobInfo) -> Table:
    rows = tuple(
        (
            f"{t.number}", _short(t.name), tell(t.kind.value), rough(job, t.height),
            rough(job, t.distance) if t.distance > 0 else say("overlaps in plan"),
            rough(job, t.centre[0]), rough(job, t.centre[1]),
        )
        for t in site.things
    )  # fmt: skip
    heads = (
        say("No."), say("Thing"), say("What"), say("Height"), say("Setback"),
        say("Middle, along\nrow from F1"), say("Middle, to the\nback from F1"),
    )  # fmt: skip
    return Table(say("What stands around the array"), heads, rows)


def _services(site: Site, job: JobInfo) -> Table:
    rows = tuple(_service(site, s, job) for s in site.services)
    heads = (
        say("Letter"), say("Service"), say("Located\nby"), say("Depth"),
        say("Hand dig,\neach side"), say("Nearest\nhole"), say("Edge of hole\nfrom marks"),
        say("Hole and zone"),
    )  # fmt: skip
    return Table(say("Buried services"), heads, rows)


def _service(site: Site, service: Service, job: JobInfo) -> tuple[str, ...]:
    hole, away = nearest_hole(site.model, service)
    zone = service.tolerance
    if away <= 0:
        verdict = say("HOLE ON SERVICE: do not dig")
    elif zone is None:
        verdict = say("zone not given: not checked")
    elif away >= zone and not service.sure:
        verdict = say("not located: not checked")
    else:
        verdict = say("hole in zone: dig by hand" if away < zone else "clear of zone")
    return (
        service.marked.letter, _short(service.name),
        say(LOCATED[service.located_by]) if service.located_by else say("not given"),
        say("not known") if service.depth is None else rough(job, service.depth),
        say("not given") if zone is None else rough(job, zone),
        hole, rough(job, max(away, 0.0)), verdict,
    )  # fmt: skip


def _horizon(site: Site) -> Table:
    land = site.around.horizon
    rows = () if land is None else tuple(
        (bearing(float(b)), angle(float(h))) for b, h in zip(land.bearing, land.height, strict=True)
    )  # fmt: skip
    return Table(say("Horizon"), (say("Toward"), say("Above level")), rows)


def key_table() -> Table:
    """Letters and colours of all markings."""
    rows = tuple((m.letter, say(m.colour), say(m.what)) for m in MARKINGS)
    heads = (say("Letter"), say("Colour"), say("What is buried"))
    return Table(say("Letters and marking colours"), heads, rows)


def _short(name: str) -> str:
    return name if len(name) <= 32 else name[:31].rstrip() + "…"
