"""The posts plumb, their heads in one plane and at their planned heights."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from plumbrail.plan.truing import Tolerances
from plumbrail.truing.block import Block, Limits, same
from plumbrail.truing.points import Place
from plumbrail.truing.shape import Measured, Shape, angle_of

Array = NDArray[np.float64]


def plumb(shape: Shape, tolerances: Tolerances) -> Iterator[Block]:
    """Lean of each post, along and across its own row."""
    limits = Limits.within(tolerances.plumb)
    for row in (0, 1):
        heads, bases = shape.heads[row], shape.bases[row]
        places = shape.names(heads)
        subject = tuple(f"post {place}" for place in places)
        rise = shape.rise(bases, heads)
        ways = (
            ("along", "leaning to the right, along the row", shape.along(bases, heads, row)),
            ("across", "leaning to the back, across the row", shape.across(bases, heads, row)),
        )
        for way, words, lean in ways:
            ids = tuple(f"{place}.plumb.{way}" for place in places)
            yield Block("plumb", ids, subject, same(words, ids), angle_of(lean, rise), limits,
                        angle=True)  # fmt: skip


def plane(shape: Shape, tolerances: Tolerances) -> Iterator[Block]:
    """Heads off the plane that fits them all best."""
    heads = shape.heads.ravel()
    places = shape.names(heads)
    off = off_plane(shape.xyz[heads])
    slope = shape.flat(len(heads))
    slope[:, heads] = off.slope
    ids = tuple(f"plane.{place}" for place in places)
    subject = tuple(f"beam over {place}" for place in places)
    what = same("above the plane that fits all posts best, square to it", ids)
    measured = Measured(off.value, slope)
    yield Block("plane", ids, subject, what, measured, Limits.within(tolerances.plane))


def off_plane(xyz: Array) -> Measured:
    """Distance (n,) of each point above z = a + b x + c y fitted by least squares of the heights,
    square to the plane, with its slope (n, n, 3).

    For the derivative of the fit with X = [1 x y], see the method page ``as-built``.
    """
    X = np.column_stack([np.ones(len(xyz)), xyz[:, :2] - xyz[:, :2].mean(axis=0)])
    inverse = np.linalg.inv(X.T @ X)
    fit = inverse @ X.T
    beta = fit @ xyz[:, 2]
    r = xyz[:, 2] - X @ beta
    cos = 1.0 / np.sqrt(1.0 + beta[1:] @ beta[1:])
    gradient = np.append(-beta[1:], 1.0)
    d_beta = fit[:, :, None] * gradient
    for axis in (0, 1):
        d_beta[:, :, axis] += inverse[:, [1 + axis]] * r
    d_r = np.eye(len(xyz))[:, :, None] * gradient - np.einsum("ik,kjc->ijc", X, d_beta)
    d_cos = -(cos**3) * np.einsum("k,kjc->jc", beta[1:], d_beta[1:])
    return Measured(cos * r, cos * d_r + r[:, None, None] * d_cos)


def height(shape: Shape, planned: Shape, tolerances: Tolerances) -> Iterator[Block]:
    """Heads above pin 1, off the plan."""
    heads = shape.heads.ravel()
    pin = np.full(len(heads), shape.points.of(Place.PIN)[0])
    places = shape.names(heads)
    measured = shape.rise(pin, heads).less(planned.rise(pin, heads).value)
    ids = tuple(f"height.{place}" for place in places)
    subject = tuple(f"beam over {place}" for place in places)
    what = same("above its planned height over pin 1", ids)
    yield Block("height", ids, subject, what, measured, Limits.within(tolerances.height))
