"""What goes into the saw plan and what comes out: frozen records in SI units."""

from __future__ import annotations

from dataclasses import dataclass

SIXTEENTH = 0.0015875
"""One sixteenth of an inch, in metres."""
MILLIMETRE = 0.001


@dataclass(frozen=True)
class StockLength:
    """One length on offer: metres, price per stick, sticks to be had (None: any number)."""

    length: float
    price: float
    available: int | None = None


@dataclass(frozen=True)
class Stock:
    """What one section is cut from.

    ``kerf`` is the width that each saw cut turns to chips [m]. ``trim`` is lost from every stick
    before the first piece [m]: both mill ends together, with the saw cuts that square them.
    """

    section: str
    lengths: tuple[StockLength, ...]
    kerf: float
    trim: float


@dataclass(frozen=True)
class Piece:
    """One piece that is cut whole [m]."""

    id: str
    length: float


@dataclass(frozen=True)
class LongPiece:
    """A beam that may be spliced.

    ``zones``: intervals from the left end [m] where a splice may lie. ``supports``: positions of
    the supports from the left end [m]; what lies outside the first and last is overhang, where no
    splice goes, and there is at most one splice between neighbouring supports.
    ``min_segment``: the shortest part worth having [m].
    """

    id: str
    length: float
    zones: tuple[tuple[float, float], ...]
    supports: tuple[float, ...]
    min_segment: float


@dataclass(frozen=True)
class Cut:
    """One part cut from a stick: the piece it belongs to and where in that piece it lies [m]."""

    id: str
    part: int
    parts: int
    start: float
    length: float

    @property
    def label(self) -> str:
        """Mark to write on the part."""
        return self.id if self.parts == 1 else f"{self.id} part {self.part} of {self.parts}"


@dataclass(frozen=True)
class Stick:
    """One stick with its cuts in cutting order [m].

    length = trim + cuts + ``kerf_lost`` + ``offcut``. ``own`` marks an offcut from the yard.
    """

    length: float
    price: float
    own: bool
    cuts: tuple[Cut, ...]
    trim: float
    kerf_lost: float
    offcut: float
    saw_cuts: int


@dataclass(frozen=True)
class Bought:
    """How many sticks of one length to buy [m, price per stick]."""

    length: float
    price: float
    count: int


@dataclass(frozen=True)
class Splices:
    """Where one long piece is spliced: positions from its left end [m]."""

    id: str
    positions: tuple[float, ...]


@dataclass(frozen=True)
class Level:
    """One aim of the cutting: what the plan reaches and the least that any plan can reach."""

    name: str
    value: float
    bound: float

    @property
    def proven(self) -> bool:
        """No plan on these splice positions does better at this aim, the earlier ones held."""
        return self.value <= self.bound + 1e-6 * max(1.0, abs(self.value))

    @property
    def gap(self) -> float:
        """Share of the value that is not proven to be needed; 0 when proven."""
        return 0.0 if self.proven else (self.value - self.bound) / self.value


@dataclass(frozen=True)
class CutPlan:
    """Sticks, what to buy, splices, and what is proven.

    ``levels`` are cost, waste [m] and splices, in this order of importance; their bounds hold for
    the splice positions tried (``spacing`` [m] apart and the special ones). ``bound_anywhere`` is
    a bound on cost for splices anywhere in the zones. ``waste`` is the length of all sticks put
    under the saw less the length of the pieces: offcuts, kerf and trim.
    """

    section: str
    sticks: tuple[Stick, ...]
    bought: tuple[Bought, ...]
    splices: tuple[Splices, ...]
    cost: float
    waste: float
    saw_cuts: int
    levels: tuple[Level, ...]
    bound_anywhere: float
    spacing: float
    grid: float
    notes: tuple[str, ...]

    @property
    def bound(self) -> float:
        """Least cost on the splice positions tried."""
        return self.levels[0].bound

    @property
    def gap(self) -> float:
        """Share of the cost that is not proven to be needed; 0 when proven."""
        return self.levels[0].gap

    @property
    def proven(self) -> bool:
        """No plan on the splice positions tried is cheaper."""
        return self.levels[0].proven

    @property
    def proven_anywhere(self) -> bool:
        """No plan is cheaper, wherever in the zones the splices lie."""
        return Level("cost", self.cost, self.bound_anywhere).proven

    @property
    def splice_count(self) -> int:
        """Splices in all long pieces."""
        return sum(len(s.positions) for s in self.splices)
