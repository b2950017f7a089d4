"""Phones and tablets that were let in, each with a token of its own that can be taken back."""

from __future__ import annotations

import hashlib
import hmac
import secrets
from datetime import timedelta
from typing import Any

from sqlalchemy import Connection, Select, insert, select, update

from plumbrail.store import tables as t
from plumbrail.store.clock import moment, now
from plumbrail.store.failures import StoreError
from plumbrail.store.records import Device, LetIn

SEEN_EVERY = timedelta(minutes=1)
"""More often nothing is written: each write is a flush of the disk."""


def let_in(connection: Connection, name: str) -> LetIn:
    """A new device, with the token that it has to show; only its checksum is kept."""
    token = secrets.token_urlsafe(32)
    device = Device(secrets.token_hex(8), name, _sha256(token), now(), "", "")
    values = {"id": device.id, "name": name, "token_sha256": device.token_sha256,
              "let_in": device.let_in}  # fmt: skip
    connection.execute(insert(t.devices).values(values))
    return LetIn(device, token)


def device_of(connection: Connection, token: str) -> Device | None:
    """The device that has this token; None for no such token and for one that was taken back.

    What is looked up is the checksum of what was sent, so how long it takes says nothing about how
    much of a token was right.
    """
    sha256 = _sha256(token)
    found = connection.execute(_all().where(t.devices.c.token_sha256 == sha256)).one_or_none()
    device = _device(found) if found is not None else None
    if device is None or not hmac.compare_digest(device.token_sha256, sha256):
        return None
    return None if device.revoked else device


def all_devices(connection: Connection) -> tuple[Device, ...]:
    """Every device that was ever let in, in that order."""
    found = connection.execute(_all().order_by(t.devices.c.let_in, t.devices.c.id))
    return tuple(_device(row) for row in found)


def revoke(connection: Connection, device: str) -> Device:
    """Take the token back, for good; the device can be let in again with a new one."""
    found = _known(connection, device)
    if not found.revoked:
        connection.execute(insert(t.revocations).values(device=device, at=now()))
    return _known(connection, device)


def needs_seen(connection: Connection, device: str) -> bool:
    """Whether the time at which the device was last seen is worth writing again."""
    seen = _known(connection, device).seen
    return not seen or moment(now()) - moment(seen) >= SEEN_EVERY


def set_seen(connection: Connection, device: str) -> None:
    """The device was here now."""
    here = t.sightings.c.device == device
    if connection.execute(update(t.sightings).where(here).values(seen=now())).rowcount == 0:
        connection.execute(insert(t.sightings).values(device=device, seen=now()))


def _sha256(token: str) -> str:
    return hashlib.sha256(token.encode("utf-8", "replace")).hexdigest()


def _all() -> Select[Any]:
    columns = (t.devices, t.revocations.c.at.label("revoked"), t.sightings.c.seen)
    both = t.devices.outerjoin(t.revocations, t.revocations.c.device == t.devices.c.id)
    return select(*columns).select_from(
        both.outerjoin(t.sightings, t.sightings.c.device == t.devices.c.id)
    )


def _known(connection: Connection, device: str) -> Device:
    found = connection.execute(_all().where(t.devices.c.id == device)).one_or_none()
    if found is None:
        raise StoreError(f'there is no device "{device[:80]}"; see the list of devices')
    return _device(found)


def _device(row: Any) -> Device:
    return Device(row.id, row.name, row.token_sha256, row.let_in, row.revoked or "", row.seen or "")
