"""Checks that every registered provision must pass, whoever wrote it."""

from __future__ import annotations

import ast
import importlib
import inspect
import pkgutil
import re
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pint
import pytest

import plumbrail
from plumbrail import trace
from plumbrail.trace import PROVISIONS, Provision

VALIDATION = Path(__file__).parents[1] / "validation"
for _module in pkgutil.walk_packages(plumbrail.__path__, "plumbrail."):
    if not _module.name.endswith("__main__"):
        importlib.import_module(_module.name)

UREG = pint.UnitRegistry()
EVERY = [pytest.param(meta, fn, id=name) for name, (meta, fn) in sorted(PROVISIONS.items())]
every = pytest.mark.parametrize(("meta", "fn"), EVERY)
COUNT = 1000


def draw(meta: Provision, shapes: dict[str, tuple[int, ...]]) -> dict[str, Any]:
    rng = np.random.default_rng(zlib.crc32(meta.name.encode()))
    points = {}
    for name, shape in shapes.items():
        low, high = meta.ranges.get(name, (0.5, 2.0))
        points[name] = rng.uniform(low, high, shape)
        points[name].flags.writeable = False  # a provision must not write into its arguments
    return points


def thousand(meta: Provision) -> dict[str, Any]:
    return draw(meta, dict.fromkeys(meta.units, (COUNT,)))


def test_there_are_provisions() -> None:
    assert len(PROVISIONS) >= 30


@every
def test_it_says_what_it_is(meta: Provision, fn: Callable[..., Any]) -> None:
    assert meta.title
    assert meta.source
    assert meta.symbol
    assert meta.unit, "a result without dimension has the unit -"
    assert all(meta.units.values())
    assert set(meta.ranges) <= set(meta.units)
    names = {n.id for n in ast.walk(ast.parse(meta.formula)) if isinstance(n, ast.Name)}
    assert names - set(trace.FUNCTIONS) - {"pi"} == set(meta.units) | set(meta.constants)
    defaults = [p.default for p in inspect.signature(fn).parameters.values()]
    assert all(d is inspect.Parameter.empty for d in defaults), "a provision has no defaults"


@every
def test_the_printed_formula_is_the_code(meta: Provision, fn: Callable[..., Any]) -> None:
    points = thousand(meta)
    value = np.asarray(fn(**points))
    assert np.isfinite(value).all()
    np.testing.assert_allclose(meta.evaluate(**points), value, rtol=1e-12, atol=0.0)


@every
def test_the_random_points_visit_every_branch(
    meta: Provision, fn: Callable[..., Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Otherwise the comparison above says nothing about the branch that was never taken."""
    seen: list[tuple[bool, bool]] = []

    def where(condition: Any, yes: Any, no: Any) -> Any:
        seen.append((bool(np.any(condition)), bool(np.any(~np.asarray(condition)))))
        return np.where(condition, yes, no)

    monkeypatch.setitem(trace.FUNCTIONS, "where", where)
    meta.evaluate(**thousand(meta))
    assert all(yes and no for yes, no in seen), "widen the ranges"


@every
def test_arguments_broadcast(meta: Provision, fn: Callable[..., Any]) -> None:
    """Each argument varies along an axis of its own; the result has them all."""
    count = len(meta.units)
    shapes = {
        name: tuple(2 if axis == place else 1 for axis in range(count))
        for place, name in enumerate(meta.units)
    }
    points = draw(meta, shapes)
    value = np.asarray(fn(**points))
    assert value.shape == (2,) * count
    full = dict(zip(points, np.broadcast_arrays(*points.values()), strict=True))
    np.testing.assert_allclose(fn(**full), value, rtol=1e-12)


@every
def test_units_are_coherent_si(meta: Provision, fn: Callable[..., Any]) -> None:
    for unit in [meta.unit, *meta.units.values(), *(u for _, u in meta.constants.values())]:
        one = UREG.Quantity(1.0, plain(unit)).to_base_units()
        assert one.magnitude == pytest.approx(1.0, rel=1e-12), unit


@every
def test_dimensions_close(meta: Provision, fn: Callable[..., Any]) -> None:
    known = {name: dimension(unit) for name, unit in meta.units.items()}
    known |= {name: dimension(unit) for name, (_, unit) in meta.constants.items()}
    known |= {"pi": dimension("-")}
    found = Dimensions(known).of(ast.parse(meta.formula, mode="eval").body)
    assert found is None or found == dimension(meta.unit), f"{meta.formula} is {found}"


def plain(unit: str) -> str:
    return {"-": "dimensionless", "1": "dimensionless"}.get(unit, unit)


def dimension(unit: str) -> Any:
    return UREG.Unit(plain(unit)).dimensionality


NONE = dimension("-")


class Dimensions:
    """Dimension of a formula; ``None`` stands for a literal 0, which fits any."""

    def __init__(self, known: dict[str, Any]) -> None:
        self.known = known

    def of(self, node: ast.AST) -> Any:
        match node:
            case ast.Constant(value=value):
                return None if value == 0 else NONE
            case ast.Name(id=name):
                return self.known[name]
            case ast.UnaryOp(operand=operand):
                return self.of(operand)
            case ast.BinOp(op=ast.BitAnd() | ast.BitOr()):
                return self.same(node.left, node.right)
            case ast.Compare(left=left, comparators=others):
                self.same(left, *others)
                return NONE
            case ast.BinOp(left=left, op=op, right=right):
                return self.binary(left, op, right)
            case ast.Call(func=ast.Name(id=function), args=args):
                return self.call(function, args)
        raise AssertionError(ast.dump(node))

    def same(self, *nodes: ast.AST) -> Any:
        found = [d for d in map(self.of, nodes) if d is not None]
        assert all(d == found[0] for d in found), [ast.unparse(n) for n in nodes]
        return found[0] if found else None

    def binary(self, left: ast.AST, op: ast.operator, right: ast.AST) -> Any:
        if isinstance(op, ast.Add | ast.Sub):
            return self.same(left, right)
        if isinstance(op, ast.Pow):
            return self.power(left, right)
        one, other = self.of(left) or NONE, self.of(right) or NONE
        return one * other if isinstance(op, ast.Mult) else one / other

    def power(self, base: ast.AST, exponent: ast.AST) -> Any:
        assert self.of(exponent) in (NONE, None), "an exponent has no dimension"
        dimensions = self.of(base)
        if dimensions in (NONE, None):
            return NONE
        return dimensions ** float(eval(ast.unparse(exponent), {"__builtins__": {}}))

    def call(self, function: str, args: list[ast.expr]) -> Any:
        if function == "where":
            assert self.of(args[0]) == NONE
            return self.same(*args[1:])
        if function in ("minimum", "maximum"):
            return self.same(*args)
        if function == "abs":
            return self.of(args[0])
        if function == "sqrt":
            return (self.of(args[0]) or NONE) ** 0.5
        assert self.of(args[0]) in (NONE, None), f"{function} needs a number"
        return NONE


@pytest.mark.parametrize(
    "wrong", ["a + b", "where(a < b, a, a)", "exp(a)", "maximum(a, 1)", "a**b", "where(a, a, a)"]
)
def test_the_dimension_check_can_fail(wrong: str) -> None:
    check = Dimensions({"a": dimension("m"), "b": dimension("s")})
    with pytest.raises(AssertionError):
        check.of(ast.parse(wrong, mode="eval").body)


# Which provisions have a published value: read from the syntax of tests/validation.


def compared(path: Path) -> set[str]:
    """Provisions named in tests of this file that take the fixture ``published``."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    names = imported(tree)
    functions = {n.name: n for n in tree.body if isinstance(n, ast.FunctionDef)}
    waiting = [n for n, f in functions.items() if "published" in {a.arg for a in f.args.args}]
    done: set[str] = set()
    found: set[str] = set()
    while waiting:
        done.add(name := waiting.pop())
        for node in ast.walk(functions[name]):
            found |= registered(resolve(node, names))
            called = node.id if isinstance(node, ast.Name) else ""
            if called in functions and called not in done:
                waiting.append(called)
    return found


def imported(tree: ast.Module) -> dict[str, Any]:
    """Names that a test module imports from plumbrail, with their objects."""
    names: dict[str, Any] = {}
    for node in tree.body:
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("plumbrail"):
            module = importlib.import_module(str(node.module))
            for alias in node.names:
                names[alias.asname or alias.name] = getattr(module, alias.name)
        elif isinstance(node, ast.Import):
            for alias in node.names:
                if alias.name.startswith("plumbrail"):
                    names[alias.asname or "plumbrail"] = (
                        importlib.import_module(alias.name) if alias.asname else plumbrail
                    )
    return names


def resolve(node: ast.AST, names: dict[str, Any]) -> Any:
    if isinstance(node, ast.Name):
        return names.get(node.id)
    if isinstance(node, ast.Attribute):
        owner = resolve(node.value, names)
        return getattr(owner, node.attr, None) if inspect.ismodule(owner) else None
    return None


def registered(thing: Any) -> set[str]:
    return {name for name, (_, fn) in PROVISIONS.items() if fn is thing}


def missing() -> dict[str, str]:
    """Provision and reason from MISSING.md; a line is ``- `name`: reason``."""
    text = (VALIDATION / "MISSING.md").read_text(encoding="utf-8")
    return dict(re.findall(r"^- `([\w.]+)`: (.+)$", text, flags=re.MULTILINE))


COVERED = set().union(*(compared(path) for path in sorted(VALIDATION.glob("test_*.py"))))


def test_every_provision_has_a_published_value_or_a_reason() -> None:
    ours = {name for name, (_, fn) in PROVISIONS.items() if fn.__module__.startswith("plumbrail.")}
    assert sorted(ours - COVERED - set(missing())) == []


def test_the_list_of_missing_values_is_not_stale() -> None:
    listed = set(missing())
    assert sorted(listed - set(PROVISIONS)) == [], "no such provision"
    assert sorted(listed & COVERED) == [], "these have a published value now"
