"""A plan judged while somebody types: all checks at once, with a cut list that is quick to find.

The long search for the cheapest cut list and the replay of every check are for the design proper;
here a check is replayed when it is opened. What is not proven of the cut list says so in its gap.
"""

from __future__ import annotations

from plumbrail.jobs.cutting import Cutting
from plumbrail.jobs.designing import Analysis, Design, analyse, first_saw, judged
from plumbrail.plan.reader import LoadedPlan

QUICK = 0.1
"""Search for a section's cut list [s] where none is found at once."""


def live(loaded: LoadedPlan, seconds: float = QUICK) -> Design:
    """Checks and a first cut list; raises what :func:`plumbrail.jobs.designing.design` raises."""
    analysis = analyse(loaded)
    return live_on(loaded, analysis, first_saw(analysis, seconds))


def live_on(loaded: LoadedPlan, analysis: Analysis, cuts: Cutting) -> Design:
    """The same from an analysis and cut lists that are there already."""
    return judged(loaded, analysis, cuts, replayed=False)
