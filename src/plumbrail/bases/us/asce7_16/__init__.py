"""ASCE 7-16: ``STANDARD`` answers every question of the ``LoadStandard`` protocol."""

from plumbrail.bases.us.asce7_16.standard import STANDARD

__all__ = ["STANDARD"]
