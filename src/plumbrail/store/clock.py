"""Times of the store: UTC, ISO 8601 with milliseconds, so that their text sorts as they do."""

from __future__ import annotations

from datetime import UTC, datetime

EARLIEST = datetime.min.replace(tzinfo=UTC)


def now() -> str:
    """This moment."""
    return datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def moment(text: str) -> datetime:
    """A time as a device wrote it, without a zone taken for UTC; EARLIEST where it is none."""
    try:
        read = datetime.fromisoformat(text.strip())
        return (read if read.tzinfo else read.replace(tzinfo=UTC)).astimezone(UTC)
    except (ValueError, OverflowError):
        return EARLIEST
