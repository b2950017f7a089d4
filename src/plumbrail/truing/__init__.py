"""Truing: readings of the site to positions, verdicts, moves and the pour gate.

``run.true_up(model, plan, notebook, pins)`` does the whole of it; nothing here reads or draws.
"""
