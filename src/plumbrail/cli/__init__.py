"""The command ``plumbrail``: thin, one module a command; parse, call a job, show."""
