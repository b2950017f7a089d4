"""``python -m plumbrail`` is the command ``plumbrail``."""

from plumbrail.cli.main import main

raise SystemExit(main())
