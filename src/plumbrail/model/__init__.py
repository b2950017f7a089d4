"""Everything that follows from the plan alone: points, pieces, ids.

``build.build(plan)`` makes a :class:`~plumbrail.model.parts.Model` of frozen arrays; it knows no
code family and no load.
"""
