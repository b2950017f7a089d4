"""How long a schedule takes to be proven. Rows: (name, value, unit)."""

from __future__ import annotations

from benchmarks.timing import quickest
from plumbrail.jobs.working import calendar_of as days_of
from plumbrail.jobs.working import quantities
from plumbrail.model.build import build_planned
from plumbrail.plan.demos import demo_text
from plumbrail.plan.models import Plan
from plumbrail.plan.reader import LoadedPlan, read_plan
from plumbrail.works.critical import criticality
from plumbrail.works.lists import by_rule
from plumbrail.works.network import Tables
from plumbrail.works.solve import quickest as soonest
from plumbrail.works.tasks import StringWork, network

Row = tuple[str, float, str]


def wide_plan(posts: int) -> tuple[Plan, LoadedPlan]:
    """The demo plan with more posts and more columns of modules."""
    text = demo_text("alder-creek").replace("posts = 4", f"posts = {posts}", 1)
    text = text.replace("columns = 6", f"columns = {3 * posts // 2}", 1)
    plan = read_plan(text)
    return plan, LoadedPlan(plan, text, "", "demo")


def run() -> list[Row]:
    """Networks of the demo plan and of a wider one of 80 tasks and more."""
    found: list[Row] = []
    for posts in (4, 8):
        plan, loaded = wide_plan(posts)
        assert plan.works is not None
        q = quantities(plan, build_planned(plan), None, None)
        assert all(isinstance(s, StringWork) for s in q.strings)
        net = network(q, plan.works)
        cal = days_of(loaded, plan.works, None, 150)
        made = soonest(net, cal)
        name = f"works, {len(net.tasks)} tasks"
        found += [
            (name, quickest(lambda net=net, cal=cal: soonest(net, cal, tidy=0.0), 2), "s"),
            (f"{name}, with inspections early", quickest(
                lambda net=net, cal=cal: soonest(net, cal), 1), "s"),
            (f"{name}, what a day lost does", quickest(
                lambda net=net, cal=cal, made=made: criticality(net, cal, made), 1), "s"),
            (f"{name}, proven", float(made.proven), "-"),
            (f"{name}, days gained on a list schedule", float(
                cal.day_of_end(by_rule(net, cal, Tables(cal)).finish) - made.last), "d"),
        ]  # fmt: skip
    return found


if __name__ == "__main__":
    for name, value, unit in run():
        print(f"{name:50} {value:8.2f} {unit}")
