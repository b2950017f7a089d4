"""The site notebook: what was measured, what has set, what was moved.

``reader.read_notebook(text, stations)`` turns a CSV or TOML text into a
:class:`~plumbrail.notebook.entries.Notebook`; rows that cannot be read come back as problems with
their lines, the others stay usable.
"""
