"""Signs that NFPA 70 asks for, in our own words: the adopted code has the exact ones."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plumbrail.errors import RangeError
from plumbrail.trace import Certainty

M = Certainty.MEMORY
S = Certainty.SECOND_HAND


@dataclass(frozen=True)
class Placard:
    """One sign."""

    where: str
    text: str
    """What it says, in our own words."""
    clause: str
    values: tuple[str, ...]
    """What is to be written into it: ``largest voltage``, ``AC current`` and the like."""
    certainty: Certainty


def _common(edition: str) -> list[Placard]:
    voltage = "690.7(D)" if edition == "NEC 2023" else "690.53"
    level = M if edition == "NEC 2017" else S
    disconnect = "system disconnect"
    return [
        Placard(f"{disconnect}, or the equipment", "largest DC voltage", voltage,
                ("largest voltage",), level),
        Placard(disconnect, "what it is: disconnect of the solar system; open and closed shown",
                "690.13(B)", (), level),
        Placard(disconnect, "warning, electric shock: both sides may be live when it is open",
                "690.13(B)", (), level),
        Placard("connectors and isolators that cannot break the load",
                "do not open under load", "690.33(D), 690.15(B)", (), level),
        Placard("all connections and splices", "polarity, plus and minus", "690.31(B)", (), level),
    ]  # fmt: skip


def _indoors(edition: str) -> Placard:
    return Placard(
        "raceways, boxes and fittings inside the building, every 10 ft at the most and on each "
        "side of walls and floors",
        "solar DC circuit; capitals 3/8 in high, white on red",
        "690.31(G)" if edition == "NEC 2017" else "690.31(D)(2)", (),
        M if edition == "NEC 2017" else S,
    )  # fmt: skip


def _rapid_shutdown(edition: str) -> list[Placard]:
    clause = "690.12(D)" if edition == "NEC 2023" else "690.56(C)"
    level = M if edition == "NEC 2017" else S
    return [
        Placard("service equipment of the building",
                "solar system with rapid shutdown, where its switch is, with a small plan of the "
                "building", clause, ("place of the switch",), level),
        Placard("rapid shutdown switch, within 3 ft",
                "rapid shutdown switch for the solar system; reflective, white on red, 3/8 in",
                clause, (), level),
    ]  # fmt: skip


def _inverter() -> list[Placard]:
    return [
        Placard("point where the inverter's circuit joins the others",
                "source of power, with rated AC current and voltage", "690.54",
                ("AC current", "AC voltage"), M),
        Placard("service equipment and each source's disconnect",
                "directory of all sources of power and their disconnects", "705.10",
                ("places of the disconnects",), S),
    ]  # fmt: skip


def _battery() -> list[Placard]:
    return [
        Placard("disconnect of the battery",
                "what it is, nominal voltage, fault current, what to do in an emergency",
                "706.15", ("battery voltage", "fault current"), M),
        Placard("where solar conductors reach the battery", "polarity, plus and minus", "690.55",
                (), S),
        Placard("outside of a building that stands alone",
                "directory: power system that stands alone, place of its disconnect", "710.10",
                ("place of the disconnect",), M),
        Placard("panel fed with one 120 V supply",
                "single 120 V supply: connect no multiwire branch circuits", "710.15(C)", (), M),
    ]  # fmt: skip


def placards(
    edition: str, ends: str, rapid_shutdown: bool | None, kind: str
) -> tuple[Placard, ...]:
    """The signs of one situation, those with values naming what to write in.

    ``ends``: inside or outside; ``rapid_shutdown`` as :func:`applicability` answers it (None:
    listed, with the question in its words); ``kind``: controller (with a battery) or inverter.
    Raises RangeError for an edition that is not known here, or another kind or end.
    """
    if edition not in ("NEC 2017", "NEC 2020", "NEC 2023"):
        raise RangeError(f"The placards of {edition!r} are not known; write NEC 2017, 2020, 2023.")
    if ends not in ("inside", "outside") or kind not in ("controller", "inverter"):
        raise RangeError(f"No placards for a {kind!r} at the end of a run that ends {ends!r}.")
    found = _common(edition)
    if ends == "inside":
        found.append(_indoors(edition))
    if rapid_shutdown is not False:
        found += _asked(_rapid_shutdown(edition), rapid_shutdown)
    found += _inverter() if kind == "inverter" else _battery()
    return tuple(found)


def _asked(signs: Sequence[Placard], sure: bool | None) -> list[Placard]:
    if sure:
        return list(signs)
    doubt = " (not checked whether rapid shutdown applies: ask the building department)"
    return [Placard(p.where, p.text + doubt, p.clause, p.values, p.certainty) for p in signs]


CAUTION = (
    "The wording here is ours. Take the exact words, colours and sizes from the code in force; "
    "signs are durable, legible, and not written by hand except where numbers change (110.21(B), "
    "from memory)."
)
"""To be shown with the list."""
