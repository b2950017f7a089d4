"""Electrical provisions of the international standards."""
