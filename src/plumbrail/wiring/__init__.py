"""Strings, combiners, conductors and what protects them."""
