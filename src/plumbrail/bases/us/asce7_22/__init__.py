"""ASCE 7-22: ``STANDARD`` answers every question of the ``LoadStandard`` protocol."""

from plumbrail.bases.us.asce7_22.standard import STANDARD

__all__ = ["STANDARD"]
