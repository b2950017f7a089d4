"""What to buy: pipe and rail by the cut lists, concrete for the piers."""

from __future__ import annotations

from dataclasses import dataclass

from plumbrail.jobs.cutting import Cutting
from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan
from plumbrail.stock.buying import BuyingList, buying_list, together
from plumbrail.stock.concrete import BagCount, Concrete, concrete, make_piers


@dataclass(frozen=True)
class Shopping:
    """Everything to buy for frame and piers."""

    sticks: BuyingList
    concrete: Concrete
    bags: BagCount
    """Bags of the size the plan names."""
    bag_price: float

    @property
    def bag_cost(self) -> float:
        """Price of all bags when each pier and stage is mixed for itself."""
        return self.bags.total * self.bag_price

    @property
    def cost(self) -> float:
        """Sticks and bags."""
        return self.sticks.cost + self.bag_cost


def shopping(plan: Plan, model: Model, cuts: Cutting) -> Shopping:
    """Buying list of a plan; sections that cannot be cut are left out (the cut list says so)."""
    sticks = together(
        buying_list(s.plan, s.mass_per_length) for s in cuts.sections if s.plan is not None
    )
    mixed = pier_concrete(plan, model)
    bags = next(b for b in mixed.bags if b.size.name == plan.stock.concrete.bag)
    return Shopping(sticks, mixed, bags, plan.stock.concrete.bag_price)


def pier_concrete(plan: Plan, model: Model) -> Concrete:
    """Concrete of every pier in two stages: the holding set, then the rest."""
    posts, piers = model.posts, model.piers
    embedded = posts.ground + piers.above_grade - posts.foot
    return concrete(make_piers(
        posts.ids, diameter=piers.diameter, depth=piers.depth, above_grade=piers.above_grade,
        outside=posts.section.OD,
        bore=posts.section.bore if plan.piers.post_foot == "open" else 0.0,
        embedded=embedded, over_break=plan.stock.concrete.over_break,
        holding=plan.stock.concrete.holding_height,
    ))  # fmt: skip
