"""Random networks of levels and tapes in space, for tests of the adjustment."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np


@dataclass
class Frame:
    """Two rows of heads and bases, pins, laser set-ups; tapes and rod readings among them."""

    true: np.ndarray
    start: np.ndarray
    tapes: np.ndarray
    rods: np.ndarray
    sd: np.ndarray
    fixed: np.ndarray
    """(fixed, 2) unknown and its value, observed with a small standard deviation."""

    def observe(self, x):
        points = len(self.true) - self.setups
        xyz = x[:points].reshape(-1, 3)
        m, k = len(self.tapes), len(self.rods)
        A = np.zeros((m + k + len(self.fixed), len(x)))
        i, j = self.tapes.T
        d = xyz[j] - xyz[i]
        s = np.linalg.norm(d, axis=1)
        u = d / s[:, None]
        row = np.arange(m)[:, None]
        A[row, 3 * j[:, None] + np.arange(3)] = u
        A[row, 3 * i[:, None] + np.arange(3)] = -u
        p, q = self.rods.T
        rod = m + np.arange(k)
        A[rod, points + q] = 1.0
        A[rod, 3 * p + 2] = -1.0
        f = np.concatenate([s, x[points + q] - xyz[p, 2], x[self.fixed]])
        A[m + k + np.arange(len(self.fixed)), self.fixed] = 1.0
        return f, A

    setups: int = 0

    @property
    def values(self):
        return self.observe(self.true)[0]


def frame(rng, stations=4, setups=2, pinned=True, off=0.03, share=1.0, steep=1.0):
    """Heads, bases and two pins; every fair tape with probability ``share``; most rods."""
    x = np.arange(stations) * 2.7
    rows = [np.column_stack([x, np.full(stations, y), np.full(stations, z * steep)])
            for y, z in ((0.0, 0.8), (2.6, 2.4), (0.0, 0.0), (2.6, 0.1))]  # fmt: skip
    pins = np.array([[-2.0, -3.0, 0.2], [x[-1] + 2.0, -3.5, 0.1]])
    points = np.concatenate([*rows, pins])
    points[:-2] += rng.normal(0.0, 0.02, points[:-2].shape)
    n = len(points)
    gap = np.linalg.norm(points[:, None] - points[None], axis=2)
    i, j = np.triu_indices(n, 1)
    near = (gap[i, j] < 5.6) | (i >= n - 2) | (j >= n - 2)
    pick = near & (rng.random(len(i)) < share)
    tapes = np.column_stack([i, j])[pick]
    p, q = np.meshgrid(np.arange(n), np.arange(setups), indexing="ij")
    rods = np.column_stack([p.ravel(), q.ravel()])
    rods = rods[rng.random(len(rods)) < 0.8]
    true = np.concatenate([points.ravel(), rng.uniform(1.5, 2.5, setups)])
    start = true + rng.normal(0.0, off, len(true))
    pin = 3 * (n - 2)
    fixed = np.array([pin, pin + 1, pin + 2, pin + 4]) if pinned else np.zeros(0, dtype=int)
    start[fixed] = true[fixed]
    sd = np.concatenate([
        np.full(len(tapes), 0.0016), np.full(len(rods), 0.0016), np.full(len(fixed), 1e-4),
    ])  # fmt: skip
    return Frame(true, start, tapes, rods, sd, fixed, setups)
