"""From a notebook to where the points are, and how well that is known."""

from __future__ import annotations

import numpy as np

from plumbrail.errors import Problem
from plumbrail.notebook.entries import Axis, Notebook
from plumbrail.plan.truing import Truing
from plumbrail.truing.adjust import Adjusted, adjust
from plumbrail.truing.determined import span
from plumbrail.truing.gather import gather
from plumbrail.truing.naming import AXIS_WORDS, listed
from plumbrail.truing.parts import Array, Mask, Positions, Survey
from plumbrail.truing.points import Points
from plumbrail.truing.posed import Posed, posed
from plumbrail.truing.quality import enlargement, test_limit
from plumbrail.truing.snoop import Snooped, snoop
from plumbrail.truing.suspicion import MOST_ALIKE, Scene, amount, suspicions
from plumbrail.truing.versions import AXES

PATIENT = 200
"""Steps allowed where few readings leave a place only just determined, which settles slowly."""


def survey(
    points: Points, notebook: Notebook, truing: Truing, units: str = "us"
) -> tuple[Survey, tuple[Problem, ...]]:
    """Adjust all readings of a notebook and name those that look wrong.

    ``units`` of the words, ``us`` or ``metric``. Rows that do not fit the site or its instruments
    come back as problems; the others are used. Raises SurveyError when readings contradict each
    other too much for any result. What the readings determine is decided without the noted moves.
    """
    network, problems = gather(points, notebook.readings, notebook.moved, truing)
    problem = posed(network)
    snooped = snoop(problem.observe, problem.observed, problem.sd, problem.start)
    adjusted, kept = snooped.adjusted, ~snooped.suspect[: len(network.readings)]
    loose = network.loose(kept)
    if loose.shape[1] > network.loose().shape[1]:
        problem = posed(network, kept)
        every = np.ones(len(problem.sd), dtype=bool)
        every[: len(snooped.suspect)] = ~snooped.suspect
        # from where it settled before: far starts with few readings need not settle
        adjusted = adjust(problem.observe, problem.observed, problem.sd, adjusted.x, kept=every,
                          most=PATIENT)  # fmt: skip
    # what only a noted move tells is not measured: somebody has to look where it really went
    alone = network.untied().loose(kept)
    return _survey(problem, adjusted, snooped, alone, units), problems


def _survey(
    problem: Posed, adjusted: Adjusted, snooped: Snooped, loose: Array, units: str
) -> Survey:
    network = problem.network
    m, full, spots = len(network.readings), problem.full(adjusted.x), network.places.size
    grown = enlargement(adjusted)
    cov = grown**2 * network.current(network.current(adjusted.cov).T)
    xyz = full[:spots].reshape(-1, 3)[network.versions.current]
    positions = Positions(network.points, xyz, cov, span(network.current(loose)))
    groups = [g for g in snooped.groups if g[0] < m]
    sd = network.sd * grown / np.sqrt(np.maximum(adjusted.redundancy[:m], 1e-6))
    instead = _instead(problem, adjusted, groups)
    scene = Scene(network, full, snooped.size[:m], sd, units, problem.pseudo, instead)
    return Survey(
        positions=positions, readings=network.readings,
        adjusted=network.observed + adjusted.residual[:m], residual=adjusted.residual[:m],
        sd=network.sd, redundancy=adjusted.redundancy[:m], w=adjusted.w[:m],
        mdb=adjusted.mdb[:m], suspect=snooped.suspect[:m],
        suspicions=suspicions(scene, groups),
        setups=network.setups, setup_height=full[spots:],
        freedom=adjusted.freedom, statistic=adjusted.statistic,
        limit=test_limit(adjusted.freedom), enlarged=grown,
        iterations=adjusted.iterations, last_step=adjusted.last_step,
        notes=network.notes, doubts=_doubts(problem, snooped, units),
        influence=_influence(problem, adjusted, ~snooped.suspect[:m]),
    )  # fmt: skip


def _influence(problem: Posed, adjusted: Adjusted, kept: Mask) -> Array:
    """(3 points, readings) change of where the points are now with each reading, 0 of suspects."""
    m = len(kept)
    rows = problem.observe(adjusted.x)[1][:m]
    gain = adjusted.cov @ (rows / problem.sd[:m, None] ** 2).T
    return problem.network.current(gain) * kept


def _instead(
    problem: Posed, adjusted: Adjusted, groups: list[tuple[int, ...]]
) -> dict[tuple[int, int], float]:
    """By how much each row that could be wrong instead of a suspect is off, by suspect and other.

    The suspect is taken back and the other left out, with the network made linear.
    """
    pairs = [(group[0], other) for group in groups for other in group[1:]]
    slopes = problem.observe(adjusted.x)[1] if pairs else np.zeros((0, 0))
    found, off = {}, -adjusted.residual
    for suspect, other in pairs:
        rows, sd = slopes[[suspect, other]], problem.sd[[suspect, other]]
        gain = adjusted.cov @ rows.T
        spread = rows @ gain + np.diag([sd[0] ** 2, -(sd[1] ** 2)])
        shift = rows @ gain @ np.linalg.lstsq(spread, off[[suspect, other]], rcond=None)[0]
        found[suspect, other] = float(off[other] - shift[1])
    return found


def _doubts(problem: Posed, snooped: Snooped, units: str) -> tuple[str, ...]:
    """Noted moves and pins that the readings contradict."""
    network, pseudo, words = problem.network, problem.pseudo, []
    m = len(network.readings)
    first = {int(line): i for i, line in reversed(list(enumerate(pseudo.line)))}
    for i in np.flatnonzero(snooped.suspect[m:]):
        off, point, line = -float(snooped.size[m + i]), pseudo.words[i], int(pseudo.line[i])
        also = [g for g in snooped.groups if g[0] == m + i]
        lines = [network.readings[k].line for g in also for k in g[1:MOST_ALIKE] if k < m]
        instead = f"; if not, look at line {listed([str(k) for k in lines], 'or')}" if lines else ""
        if not line:
            words.append(
                f"{point or 'the ground'} does not stand where the plan has it, by "
                f"{amount(off, False, units)}{instead}"
            )
            continue
        axis = AXES[(int(i) - first[line]) % 3]  # three conditions for each point moved
        words.append(f"line {line}: {point} seems to have moved "
                     f"{_further(axis, off, float(pseudo.value[i]), units)}{instead}")  # fmt: skip
    if snooped.more:
        words.append("more readings contradict each other than can be sorted: measure again")
    return tuple(words)


def _further(axis: Axis, off: float, noted: float, units: str) -> str:
    much = amount(off, False, units)
    if noted:
        return f"{much} {'more' if off * noted > 0 else 'less'} than noted"
    if axis is Axis.UP:
        return f"{much} {'up' if off > 0 else 'down'} as well"
    right, left = AXIS_WORDS[axis]
    return f"{much} to the {right if off > 0 else left} as well"
