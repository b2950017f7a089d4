"""The plan: the one file that a person writes.

``models`` holds its shape, ``fields`` the reading of quantities, ``reader`` the way from TOML with
every error located, ``starter`` the commented plan to begin with, ``plans/`` the demo plans.
"""
