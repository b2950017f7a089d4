"""The use cases. Each takes a plan and gives a frozen result; commands and screens only show it.

``designing.design(plan)`` checks, ``cutting.cutting(plan, model, zones)`` plans the saw,
``staking.staking(plan)`` sets out, ``output`` turns results into documented data, ``demo`` does the
main job on a demo plan and writes its papers.
"""
