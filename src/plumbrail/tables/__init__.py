"""Coefficient and catalogue tables with their sources.

A table is a CSV file with a TOML sidecar of the same name under ``data/<document>/``. The sidecar
names document, edition, table, how the values were obtained and how sure they are; the loader
checks the file against its checksum, converts to SI and never extrapolates.
"""
