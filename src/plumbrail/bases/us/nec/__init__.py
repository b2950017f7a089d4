"""Electrical provisions of the US code (NFPA 70), by edition where they differ."""
