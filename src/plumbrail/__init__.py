"""plumbrail: design, buy, cut, set out and true a pipe-frame ground-mounted solar array.

Everything is imported by module; the use cases are in :mod:`plumbrail.jobs`.
"""

__version__ = "0.1.0"
