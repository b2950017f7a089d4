"""Which module sits in which string, by position and by shade.

Modules of a box's share are threaded in several ways and cut into strings; the way with the
smallest cost wins, and neighbours then change places while that makes it smaller. The cost is the
sum over strings of (modules in it) x (largest less smallest shade in it), in modules' worth of
light, and of the length of wire, 200 m of which weigh as much as one module's light. In a string
the most shaded module can hold back all, which is why its spread counts and not its mean.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from plumbrail.model.parts import Model
from plumbrail.wiring.parts import Array, Grouping, IntArray, Strings
from plumbrail.wiring.places import Box, junctions, nearest, split

WIRE_PER_MODULE = 200.0
"""Length of wire [m] that weighs as much as the light of one module; a choice of this program."""
JUMPER = 3.0
"""Length of wire [m] that a jumper weighs as, for its two pairs of connectors; a choice too."""
TURN = 1.0
"""Length of wire [m] that a turn in a string weighs as: straight strings are hard to get wrong."""
MOST_PASSES = 6
MOST_MODULES = 400
"""Above this no exchange of neighbours is tried; it would take minutes."""


@dataclass(frozen=True)
class Site:
    """What the threading of one share looks at."""

    spots: Array
    """(modules, 3) junction boxes."""
    row: IntArray
    column: IntArray
    shade: Array
    """(modules,) share of light lost; zeros where unknown."""
    box: Array
    """(3,)"""
    lead: float
    """Length of each of a module's own leads [m]."""

    def reach(self, a: Array, b: Array) -> Array:
        """Length of wire from a to b, laid along the row and up the slope."""
        step = b - a
        return np.abs(step[..., 0]) + np.hypot(step[..., 1], step[..., 2])

    def wire(self, order: IntArray) -> float:
        """Length of wire of a string in this order, with home runs, jumpers and turns."""
        at, level = self.spots[order], np.diff(self.row[order]) == 0
        steps, ends = self.reach(at[:-1], at[1:]), self.reach(at[[0, -1]], self.box)
        jumps = np.count_nonzero(steps > 2.0 * self.lead)
        turns = np.count_nonzero(level[1:] != level[:-1])
        return float(steps.sum() + ends.sum() + JUMPER * jumps + TURN * turns)

    def cost(self, order: IntArray) -> float:
        """What a string costs, in modules' worth of light."""
        lost = self.shade[order]
        return len(order) * float(np.ptp(lost)) + self.wire(order) / WIRE_PER_MODULE


def in_use(count: int, left_over: int, shade: Array) -> IntArray:
    """Modules that strings take: the most shaded ones are left over, then the last ones."""
    rank = np.lexsort((np.arange(count), shade))
    return np.sort(rank[: count - left_over])


def thread(site: Site, modules: IntArray, by_row: bool, flipped: bool) -> IntArray:
    """The modules in the order of a line that runs to and fro, along the row or up the slope."""
    line, place = (site.row, site.column) if by_row else (site.column, site.row)
    lines = np.unique(line[modules])
    turn = (np.searchsorted(lines, line[modules]) + flipped) % 2
    key = np.where(turn == 1, -place[modules], place[modules])
    return np.asarray(modules[np.lexsort((key, line[modules]))])


def ordered(site: Site, modules: IntArray) -> IntArray:
    """The shortest of the to-and-fro orders of one string."""
    ways = [
        thread(site, modules, by_row, flip) for by_row in (True, False) for flip in (True, False)
    ]
    return ways[int(nearest(np.array([site.wire(way) for way in ways]))[0])]


def cut(site: Site, modules: IntArray, per: int) -> list[IntArray]:
    """A share in strings of ``per`` modules, at the smallest cost found."""
    lines = [
        thread(site, modules, by_row, flip) for by_row in (True, False) for flip in (True, False)
    ]
    lines += [line[::-1] for line in lines]
    if np.ptp(site.shade[modules]) > 0.0:
        lines.append(modules[np.lexsort((modules, site.shade[modules]))])
    ways = [[ordered(site, part) for part in np.split(line, len(line) // per)] for line in lines]
    costs = np.array([sum(site.cost(s) for s in way) for way in ways])
    best = ways[int(nearest(costs * WIRE_PER_MODULE)[0])]
    known = np.ptp(site.shade[modules]) > 0.0
    return exchanged(site, best) if known and len(modules) <= MOST_MODULES else best


def exchanged(site: Site, strings: list[IntArray]) -> list[IntArray]:
    """The strings after modules of different strings changed places while that pays."""
    strings, costs = list(strings), [site.cost(s) for s in strings]
    for _ in range(MOST_PASSES):
        gained = False
        for a in range(len(strings)):
            for b in range(a + 1, len(strings)):
                gained |= _exchange(site, strings, costs, a, b)
        if not gained:
            break
    return strings


def _exchange(site: Site, strings: list[IntArray], costs: list[float], a: int, b: int) -> bool:
    """Try every pair of one string's extreme modules with the other's; True when one paid."""
    gained = False
    for m in _extremes(site, strings[a]):
        for n in _extremes(site, strings[b]):
            if m not in strings[a] or n not in strings[b]:
                continue
            one = ordered(site, np.sort(np.where(strings[a] == m, n, strings[a])))
            two = ordered(site, np.sort(np.where(strings[b] == n, m, strings[b])))
            new = site.cost(one), site.cost(two)
            if sum(new) < costs[a] + costs[b] - 1e-9:
                strings[a], strings[b], (costs[a], costs[b]) = one, two, new
                gained = True
    return gained


def _extremes(site: Site, string: IntArray) -> list[int]:
    """The two most and the two least shaded modules of a string: only they set its spread."""
    rank = string[np.lexsort((string, site.shade[string]))]
    return list(dict.fromkeys(int(m) for m in (*rank[:2], *rank[-2:])))


def assigned(
    model: Model, grouping: Grouping, parts: list[IntArray], found: list[Box], shade: Array,
    lead: float,
) -> Strings:  # fmt: skip
    """Every module's string and place; strings are numbered box by box, from the left."""
    count = len(model.modules.ids)
    string, place = np.full(count, -1), np.full(count, -1)
    combiner: list[int] = []
    for c, modules in enumerate(parts):
        site = Site(junctions(model), model.modules.row, model.modules.column, shade,
                    found[c].point, lead)  # fmt: skip
        cuts = cut(site, modules, grouping.per_string)
        cuts.sort(key=lambda s: (site.column[s].mean(), site.row[s].mean(), s.min()))
        for order in cuts:
            string[order], place[order] = len(combiner), np.arange(len(order))
            combiner.append(c)
    inputs = np.repeat(np.arange(len(grouping.per_input)), grouping.per_input)
    ids = tuple(f"S{i + 1}" for i in range(len(combiner)))
    return Strings(string, place, ids, np.array(combiner), inputs)


def members(strings: Strings, s: int) -> IntArray:
    """Modules of a string from its positive end."""
    own = np.flatnonzero(strings.string == s)
    return np.asarray(own[np.argsort(strings.place[own])])


def strings_of_boxes(grouping: Grouping, count: int) -> tuple[int, ...]:
    """Strings of each of ``count`` boxes."""
    return split(grouping.strings, count)
