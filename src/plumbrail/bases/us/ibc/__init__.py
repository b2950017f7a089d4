"""Concrete piers in the ground by the International Building Code, chapter 18."""
