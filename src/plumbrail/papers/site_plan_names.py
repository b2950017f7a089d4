"""What stands where on a site plan, for the model space of a CAD file."""

from __future__ import annotations

from plumbrail.papers.names import ASLANT, named
from plumbrail.papers.sheet import Text
from plumbrail.papers.site_plan_bounds import cut_to
from plumbrail.papers.site_plan_marks import Frame
from plumbrail.papers.site_plan_parts import Site
from plumbrail.papers.words import say


def names_of(site: Site, frame: Frame) -> tuple[Text, ...]:
    """Holes, pins, boxes, things around, services and areas at their places."""
    posts = site.model.posts
    pins = [say("Pin {n}", n=i + 1) for i in range(len(site.pins))]
    buried = [(f"{s.marked.letter}: {s.name}", piece[0]) for s in site.services
              for piece in frame.clipped(s.points)[:1]]  # fmt: skip
    shown = [(f"A{i + 1} {a.name}", cut_to(a.outline, frame)) for i, a in enumerate(site.areas)]
    areas = [(name, corners[0]) for name, corners in shown if corners]
    crossed = () if site.trench is None else site.trench.crossings
    return (
        *named(posts.ids, posts.xy, ASLANT), *named(pins, site.pins, ASLANT),
        *named([s.name for s in site.spots], [s.at for s in site.spots]),
        *named([f"{t.number} {t.name}" for t in site.things], [t.centre for t in site.things]),
        *named([name for name, _ in buried], [at for _, at in buried]),
        *named([name for name, _ in areas], [at for _, at in areas]),
        *named([n for n, _ in crossed], [at for _, at in crossed]),
    )  # fmt: skip
