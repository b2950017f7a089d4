"""Drawings and papers.

A drawing is recorded once as :class:`~plumbrail.papers.sheet.Sheet`: primitives in real metres
inside views, in millimetres on the page outside them. Writers replay the same record.
"""
