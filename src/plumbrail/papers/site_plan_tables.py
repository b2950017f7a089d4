"""Tables behind the site plan: what stands around, what is buried, the horizon."""

from __future__ import annotations

from plumbrail.papers.marking_colours import MARKINGS
from plumbrail.papers.site_plan_parts import Service, Site, nearest_hole, rough
from plumbrail.papers.tables import Table
from plumbrail.papers.wording import JobInfo, angle, bearing


def tables(site: Site, job: JobInfo) -> list[Table]:
    """What is not empty of: things, services, horizon; then the key of all markings."""
    return [_things(site, job), _services(site, job), _horizon(site), _key()]


def _things(site: Site, job: JobInfo) -> Table:
    rows = tuple(
        (
            f"{t.number}", _short(t.name), t.kind.value, rough(job, t.height),
            rough(job, t.distance) if t.distance > 0 else "overlaps in plan",
            rough(job, t.centre[0]), rough(job, t.centre[1]),
        )
        for t in site.things
    )  # fmt: skip
    heads = ("No.", "Thing", "What", "Height", "Setback", "Middle, along\nrow from F1",
             "Middle, to the\nback from F1")  # fmt: skip
    return Table("What stands around the array", heads, rows)


def _services(site: Site, job: JobInfo) -> Table:
    rows = tuple(_service(site, s, job) for s in site.services)
    heads = ("Letter", "Service", "Marking\ncolour", "Depth", "Hand dig,\neach side",
             "Nearest\nhole", "Edge of hole\nfrom marks", "Hole and zone")  # fmt: skip
    return Table("Buried services", heads, rows)


def _service(site: Site, service: Service, job: JobInfo) -> tuple[str, ...]:
    hole, away = nearest_hole(site.model, service)
    zone = service.tolerance
    if away <= 0:
        verdict = "HOLE ON SERVICE: do not dig"
    elif zone is None:
        verdict = "zone not given: not checked"
    else:
        verdict = "hole in zone: dig by hand" if away < zone else "clear of zone"
    unknown = "not known"
    return (
        service.marked.letter, _short(service.name), service.marked.colour,
        unknown if service.depth is None else rough(job, service.depth),
        "not given" if zone is None else rough(job, zone),
        hole, rough(job, max(away, 0.0)), verdict,
    )  # fmt: skip


def _horizon(site: Site) -> Table:
    land = site.around.horizon
    rows = () if land is None else tuple(
        (bearing(float(b)), angle(float(h))) for b, h in zip(land.bearing, land.height, strict=True)
    )  # fmt: skip
    return Table("Horizon", ("Toward", "Above level"), rows)


def _key() -> Table:
    rows = tuple((m.letter, m.colour, m.what) for m in MARKINGS)
    return Table("Letters and marking colours", ("Letter", "Colour", "What is buried"), rows)


def _short(name: str) -> str:
    return name if len(name) <= 32 else name[:31].rstrip() + "…"
