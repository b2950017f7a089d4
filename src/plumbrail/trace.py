"""Provisions of codes, and records of calculations made with them.

A *provision* is an ordinary vectorised function of numbers in coherent SI units. Its decorator
says where it comes from, how sure we are of it, the symbol and unit of its result, the formula as
printed and the unit of every argument. In a batch it just runs. Inside ``with recording() as
record`` each call leaves a :class:`Step` linked to the steps its inputs came from, so that one
case, cut out of the batch, can be explained and re-checked on its own.
"""

from __future__ import annotations

import ast
import inspect
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from enum import IntEnum
from functools import cache, wraps
from typing import Any, ParamSpec

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plumbrail.errors import RangeError

P = ParamSpec("P")
Array = NDArray[np.float64]


class Certainty(IntEnum):
    """How a value or formula was obtained; a larger number is less sure."""

    READ = -1
    """Read from a meter and written down by whoever measured."""
    PLAN = 0
    """Stated in the plan by its writer."""
    MAKER = 1
    """From a maker's letter or data sheet that the plan cites."""
    DERIVED = 2
    """Follows from mechanics or geometry."""
    CONFIRMED = 3
    """Read in a public document that quotes the standard."""
    SECOND_HAND = 4
    """Read in a second-hand copy of the standard."""
    PRACTICE = 5
    """Common practice, no published source."""
    MEMORY = 6
    """From memory, not found in print: check before relying on it."""

    @property
    def words(self) -> str:
        """The level in words for screens and papers."""
        return _CERTAINTY_WORDS[self]


_CERTAINTY_WORDS = {
    Certainty.READ: "read and written down",
    Certainty.PLAN: "stated in the plan",
    Certainty.MAKER: "maker's figure",
    Certainty.DERIVED: "from mechanics",
    Certainty.CONFIRMED: "public document",
    Certainty.SECOND_HAND: "second-hand copy",
    Certainty.PRACTICE: "common practice",
    Certainty.MEMORY: "from memory",
}

FUNCTIONS: dict[str, Any] = {
    name: getattr(np, name)
    for name in ("sqrt", "exp", "log", "sin", "cos", "tan", "minimum", "maximum", "where", "abs")
}
_ALLOWED = (
    ast.Expression, ast.BinOp, ast.UnaryOp, ast.Compare, ast.Call, ast.Name, ast.Constant,
    ast.Load, ast.Add, ast.Sub, ast.Mult, ast.Div, ast.Pow, ast.USub,
    ast.Lt, ast.LtE, ast.Gt, ast.GtE, ast.BitAnd, ast.BitOr,
)  # fmt: skip


@cache
def _compiled(formula: str) -> Any:
    tree = ast.parse(formula, mode="eval")
    for node in ast.walk(tree):
        if not isinstance(node, _ALLOWED):
            raise ValueError(f"formula {formula!r}: {type(node).__name__} is not allowed")
    return compile(tree, "<formula>", "eval")


@dataclass(frozen=True, slots=True)
class Provision:
    """What one provision says; constant for the life of the program."""

    name: str
    source: str
    title: str
    symbol: str
    unit: str
    formula: str
    units: Mapping[str, str]
    constants: Mapping[str, tuple[float, str]]
    ranges: Mapping[str, tuple[float, float]]
    certainty: Certainty

    def evaluate(self, **inputs: Any) -> Any:
        """Value of the printed formula for the given inputs."""
        names = FUNCTIONS | {k: v for k, (v, _) in self.constants.items()} | {"pi": np.pi} | inputs
        return eval(_compiled(self.formula), {"__builtins__": {}}, names)


@dataclass(frozen=True, slots=True)
class Step:
    """One line of a record: a given number, an analysis, or a provision applied."""

    number: int
    kind: str
    """``given``, ``analysis`` or ``provision``."""
    provision: Provision
    inputs: Mapping[str, Array]
    origins: Mapping[str, int | None]
    """Argument to the number of the step it came from; None: a loose number."""
    value: Array
    residual: float | None = None
    """For an analysis: its own proof, e.g. the unbalanced share of the load."""

    def holds(self, rtol: float = 1e-12) -> bool:
        """The printed formula, evaluated on the recorded inputs, gives the recorded value."""
        if not self.provision.formula:
            return True
        again = self.provision.evaluate(**self.inputs)
        if bool(np.all(again == self.value)):
            return True  # as nearly always, and ten times as fast as the tolerance
        return bool(np.allclose(again, self.value, rtol=rtol, atol=0.0))


@dataclass
class Record:
    """The steps of one calculation in the order they were made."""

    steps: list[Step] = field(default_factory=list)
    _born: dict[int, int] = field(default_factory=dict)

    def add(
        self, kind: str, meta: Provision, inputs: Mapping[str, Any], value: ArrayLike,
        residual: float | None = None,
    ) -> Array:  # fmt: skip
        """Append a step; returns the value as a write-protected array that is known by identity."""
        own = np.array(value, dtype=float)
        own.flags.writeable = False
        arrays = {k: np.asarray(v, dtype=float) for k, v in inputs.items()}
        origins = {k: self._born.get(id(v)) for k, v in inputs.items()}
        self._born[id(own)] = len(self.steps)
        self.steps.append(Step(len(self.steps), kind, meta, arrays, origins, own, residual))
        return own

    @property
    def certainty(self) -> Certainty:
        """The least sure of all steps."""
        return max((s.provision.certainty for s in self.steps), default=Certainty.MEMORY)

    def loose(self) -> list[str]:
        """Arguments fed with numbers that no step produced."""
        return [
            f"{s.provision.symbol} <- {k}"
            for s in self.steps
            for k, origin in s.origins.items()
            if origin is None
        ]

    def misfits(self) -> list[str]:
        """Arguments fed with a number of another unit."""
        return [
            f"{s.provision.symbol} <- {k} [{s.provision.units[k]}] given "
            f"{self.steps[o].provision.symbol} [{self.steps[o].provision.unit}]"
            for s in self.steps
            for k, o in s.origins.items()
            if o is not None and self.steps[o].provision.unit != s.provision.units[k]
        ]


_record: ContextVar[Record | None] = ContextVar("record", default=None)
PROVISIONS: dict[str, tuple[Provision, Callable[..., Array]]] = {}
"""Every provision of the program by ``module.function``, filled on import."""


@contextmanager
def recording() -> Iterator[Record]:
    """Record every provision, given number and analysis used inside the block."""
    token = _record.set(record := Record())
    try:
        yield record
    finally:
        _record.reset(token)


def provision(
    source: str, result: str, formula: str, certainty: Certainty, *,
    constants: Mapping[str, tuple[float, str]] | None = None,
    ranges: Mapping[str, tuple[float, float]] | None = None,
    **units: str,
) -> Callable[[Callable[P, Array]], Callable[P, Array]]:  # fmt: skip
    """Register a function as a provision of a code.

    ``result`` is ``"symbol [unit]"``; ``formula`` the printed one in Python's operators and the
    names of :data:`FUNCTIONS`; ``constants`` its empirical numbers with units; ``ranges`` where
    the generic tests draw random arguments (default 0.5 to 2); ``units`` one per argument.
    """
    symbol, _, unit = result.partition(" ")

    def decorate(fn: Callable[P, Array]) -> Callable[P, Array]:
        names = list(inspect.signature(fn).parameters)
        if set(names) != set(units):
            raise TypeError(f"{fn.__name__}: units for {sorted(units)}, arguments are {names}")
        full = f"{fn.__module__}.{fn.__qualname__}"
        title = (inspect.getdoc(fn) or "").partition("\n")[0].rstrip(".")
        meta = Provision(full, source, title, symbol, unit.strip("[]"), formula, units,
                         constants or {}, ranges or {}, certainty)  # fmt: skip

        @wraps(fn)
        def call(*args: P.args, **kwargs: P.kwargs) -> Array:
            value = fn(*args, **kwargs)
            record = _record.get()
            if record is None:
                return value
            inputs: dict[str, Any] = dict(zip(names, args, strict=False)) | kwargs
            return record.add("provision", meta, inputs, value)

        PROVISIONS[full] = meta, call
        return call

    return decorate


def given(
    source: str, result: str, value: ArrayLike, certainty: Certainty, title: str = ""
) -> Array:
    """Bring a number of the plan, a catalogue or a table into the record; returns it as an array.

    ``result`` is ``"symbol [unit]"``, ``source`` names the plan field or the table.
    """
    record = _record.get()
    if record is None:
        return np.asarray(value, dtype=float)
    return record.add("given", _plain(source, result, title, certainty), {}, value)


def analysis(
    source: str, result: str, value: ArrayLike, certainty: Certainty, residual: float,
    title: str = "", inputs: Mapping[str, tuple[Array, str]] | None = None,
) -> Array:  # fmt: skip
    """Record the outcome of an iteration or solution with its residual.

    ``inputs`` maps a symbol to (array, unit).
    """
    record = _record.get()
    if record is None:
        return np.asarray(value, dtype=float)
    inputs = inputs or {}
    meta = _plain(source, result, title, certainty, {k: u for k, (_, u) in inputs.items()})
    arrays = {k: a for k, (a, _) in inputs.items()}
    return record.add("analysis", meta, arrays, value, residual)


def _plain(
    source: str, result: str, title: str, certainty: Certainty,
    units: Mapping[str, str] | None = None,
) -> Provision:  # fmt: skip
    symbol, _, unit = result.partition(" ")
    return Provision(
        "", source, title, symbol, unit.strip("[]"), "", units or {}, {}, {}, certainty
    )  # fmt: skip


def require(name: str, low: float, value: ArrayLike, high: float, source: str, write: str) -> None:
    """Raise :class:`RangeError` unless ``low <= value <= high`` everywhere (NaN is outside).

    ``write`` says what to do about it.
    """
    array = np.asarray(value, dtype=float)
    outside = ~((low <= array) & (array <= high))
    if outside.any():
        first = array.flat[int(outside.argmax())]
        raise RangeError(f"{name} is {first:g}, outside {low:g} to {high:g} ({source}). {write}")
