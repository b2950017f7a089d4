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
    seen = []

    class Keeper:
        known: Any = None

        def device_of(self, token: str) -> Any:
            return self.known

        def seen(self, id: str) -> None:
            seen.append(id)

    now, keeper = [1000.0], Keeper()
    door = Door(cast(Any, keeper), lambda: now[0])
    assert door.device("token") is None and seen == []
    phone = type("Phone", (), {"id": "p"})
    keeper.known = phone
    assert door.device("token") is phone  # let in meanwhile: a no is never remembered
    keeper.known = None
    now[0] += 1.9
    assert door.device("token") is phone
    assert seen == ["p"], "as often as the store is asked"
    now[0] += 0.2
    assert door.device("token") is None


def shut_door() -> tuple[Door, list[float]]:
    now = [1000.0]
    return Door(cast(Any, None), lambda: now[0]), now


def wrong(door: Door, address: str = "a") -> ShutError:
    with pytest.raises(ShutError) as error:
        door.enter_by_code("AAAA-AAAA", "phone", address)
    return error.value


def test_five_wrong_codes_a_minute_from_one_address():
    """The wait is said in whole seconds, never 0, and is over when it is over."""
    door, now = shut_door()
    assert [wrong(door).wait for _ in range(5)] == [0.0] * 5
    now[0] += 10.0
    found = wrong(door)
    assert found.wait == 50.0 and "wait 50 s" in str(found)
    assert wrong(door, "b").wait == 0.0, "another address has its own five"
    now[0] += 49.75
    found = wrong(door)
    assert found.wait == 0.25 and "wait 1 s" in str(found)
    now[0] += 0.25
    assert "this code is wrong" in str(wrong(door))


def test_twenty_wrong_codes_a_minute_from_all_addresses():
    door, now = shut_door()
    assert [wrong(door, f"{k % 10}").wait for k in range(20)] == [0.0] * 20
    assert all(wrong(door, f"new {k}").wait == 60.0 for k in range(1100)), "nor of many addresses"
    assert len(door._wrong) <= 1001
    now[0] += 60.0
    assert "this code is wrong" in str(wrong(door, "new"))


def test_a_right_code_is_no_wrong_try_and_none_helps_while_one_has_to_wait():
    class Keeper:
        def let_in(self, name: str) -> Any:
            return type("Let", (), {"token": name})

    now = [1000.0]
    door = Door(cast(Any, Keeper()), lambda: now[0])
    for _ in range(6):
        assert door.enter_by_code(door.invite().text.lower(), "phone", "a") == "phone"
    code = door.invite().text
    for _ in range(5):
        assert wrong(door).wait == 0.0
    with pytest.raises(ShutError, match="too many"):
        door.enter_by_code(code, "phone", "a")
    assert door.enter_by_code(code, "phone", "b") == "phone", "it was not used up"
    with pytest.raises(ShutError, match="used already"):
        door.enter_by_code(code, "phone", "b")


def test_the_ninth_open_code_closes_the_oldest():
    class Keeper:
        def let_in(self, name: str) -> Any:
            return type("Let", (), {"token": name})

    door = Door(cast(Any, Keeper()), lambda: 0.0)
    assert len(door.invite().text) == 9, "eight letters and a dash"
    codes = [door.invite().text for _ in range(9)]
    with pytest.raises(ShutError):
        door.enter_by_code(codes[0], "phone", "a")
    assert all(door.enter_by_code(code, "phone", "a") == "phone" for code in codes[1:])


@pytest.mark.parametrize(("late", "open_"), [(900.0, True), (900.01, False)])
def test_a_launch_link_holds_for_a_quarter_of_an_hour(late, open_):
    class Keeper:
        def let_in(self, name: str) -> Any:
            return type("Let", (), {"token": name})

    now = [1000.0]
    door = Door(cast(Any, Keeper()), lambda: now[0])
    link = door.link()
    now[0] += late
    if open_:
        assert door.enter_by_link(link, "desk", "a") == "desk"
    with pytest.raises(ShutError, match="this link was used already"):
        door.enter_by_link(link, "desk", "a")


def test_no_more_than_a_thousand_devices_are_remembered():
    asked = []

    class Keeper:
        def device_of(self, token: str) -> Any:
            asked.append(token)
            return type("Phone", (), {"id": token})

        def seen(self, id: str) -> None:
            pass

        def revoke(self, device: str) -> None:
            pass

    door = Door(cast(Any, Keeper()), lambda: 0.0)
    for k in range(1001):
        door.device(f"t{k}")
    door.device("t0")
    assert len(asked) == 1001
    door.device("one more")
    door.device("t0")
    assert len(asked) == 1003, "all are asked for again"
    door.revoke("t0")
    door.device("t0")
    assert len(asked) == 1004


def test_a_device_shut_out_while_the_store_is_asked_is_not_remembered():
    """Its request was there first; the next one is asked about anew."""

    class Keeper:
        there = True

        def device_of(self, token: str) -> Any:
            found = type("Phone", (), {"id": "p"}) if self.there else None
            if self.there:
                door.revoke("p")
            return found

        def seen(self, id: str) -> None:
            pass

        def revoke(self, device: str) -> None:
            self.there = False

    door = Door(cast(Any, Keeper()), lambda: 0.0)
    assert door.device("token") is not None
    assert door.device("token") is None
