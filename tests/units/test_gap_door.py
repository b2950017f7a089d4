"""Who is taken for this machine itself, and until when a code holds."""

from __future__ import annotations

from typing import Any, cast

import pytest

from plumbrail.app.door import CODE_SECONDS, Door, ShutError
from plumbrail.app.gate import here, host_fits, loopback


@pytest.mark.parametrize(
    ("address", "own"),
    [  # RFC 1122 and RFC 4291: 127.0.0.0/8 and ::1 are the loopback addresses
        ("127.0.0.1", True), ("127.9.9.9", True), ("::1", True), ("localhost", True),
        ("barn.example", False), ("", False), ("192.168.1.9", False), ("128.0.0.1", False),
        ("localhost.example", False),
    ],
)  # fmt: skip
def test_an_address_of_this_machine(address, own):
    assert loopback(address) is own
    assert here({"client": (address, 1), "server": ("192.168.1.2", 80)}) is own
    assert host_fits("localhost:80", {"server": (address, 80)}) is own


def test_who_comes_from_nowhere_is_not_here():
    assert not here({}) and not here({"client": None, "server": None})
    assert not here({"client": ("", 0), "server": ("", 0)})
    assert here({"client": ("192.168.1.2", 5), "server": ("192.168.1.2", 80)})
    assert not here({"client": ("192.168.1.3", 5), "server": ("192.168.1.2", 80)})


@pytest.mark.parametrize(("late", "open_"), [(0.0, True), (0.01, False)])
def test_a_code_holds_for_five_minutes(late, open_):
    class Keeper:
        def let_in(self, name: str) -> Any:
            return type("Let", (), {"token": name})

    now = [1000.0]
    door = Door(cast(Any, Keeper()), lambda: now[0])
    code = door.invite()
    now[0] += CODE_SECONDS + late
    assert CODE_SECONDS == code.seconds == 300.0
    if open_:
        assert door.enter_by_code(code.text, "phone", "a") == "phone"
    else:
        with pytest.raises(ShutError):
            door.enter_by_code(code.text, "phone", "a")


def test_a_device_that_was_shut_out_elsewhere_is_believed_for_two_seconds_only():
    class Keeper:
        known: Any = None

        def device_of(self, token: str) -> Any:
            return self.known

        def seen(self, id: str) -> None:
            pass

    now, keeper = [1000.0], Keeper()
    door = Door(cast(Any, keeper), lambda: now[0])
    assert door.device("token") is None
    phone = type("Phone", (), {"id": "p"})
    keeper.known = phone
    assert door.device("token") is phone  # let in meanwhile: a no is never remembered
    keeper.known = None
    now[0] += 1.9
    assert door.device("token") is phone
    now[0] += 0.2
    assert door.device("token") is None
