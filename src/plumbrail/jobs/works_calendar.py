"""The works as a calendar that phones and desks read: iCalendar, RFC 5545."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta
from hashlib import sha256

from plumbrail.jobs.working import WorksJob
from plumbrail.papers.works_facts import WorkFacts, facts_of, stretches
from plumbrail.plan.zones import time_zone
from plumbrail.works.parts import Kind

MADE = datetime(2000, 1, 1, tzinfo=UTC)
"""Stamp of every event: the same plan gives the same file."""


def works_ics(made: WorksJob) -> bytes:
    """One event for each day of each task, in the site's own time; hold points are events too."""
    import icalendar

    zone = time_zone(made.plan.site.timezone)
    book = icalendar.Calendar()
    book.add("prodid", "-//plumbrail//works//EN")
    book.add("version", "2.0")
    book.add("calscale", "GREGORIAN")
    facts = facts_of(made)
    for i, task in enumerate(made.net.tasks):
        if task.kind is Kind.MARK:
            continue
        for n, (day, begin, end) in enumerate(stretches(made.cal, made.schedule, i)):
            date = made.cal.date(day)
            event = icalendar.Event()
            midnight = datetime.combine(date, time())
            event.add("uid", _uid(made, task.id, n))
            event.add("dtstamp", MADE)
            event.add("dtstart", (midnight + timedelta(hours=begin)).replace(tzinfo=zone))
            event.add("dtend", (midnight + timedelta(hours=end)).replace(tzinfo=zone))
            event.add("summary", _summary(facts, i))
            event.add("description", task.why or task.words)
            book.add_component(event)
    book.add_missing_timezones()
    return book.to_ical()


def _summary(facts: WorkFacts, i: int) -> str:
    row = facts.rows[i]
    mark = f"HOLD POINT {row.letter}: " if row.letter else ""
    late = " (a day lost here is a day lost at the end)" if row.hangs == "logic" else ""
    return f"{mark}{row.words}{late}"


def _uid(made: WorksJob, id: str, n: int) -> str:
    name = sha256(f"{made.plan.job.name}|{id}|{n}".encode()).hexdigest()[:24]
    return f"{name}@plumbrail.invalid"
