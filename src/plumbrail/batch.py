"""Arrays that share named axes, so that any single case can be cut out and replayed."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import ClassVar, Self

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Batch:
    """Fields are float arrays with one dimension per axis, of size 1 where they do not vary."""

    axes: ClassVar[tuple[str, ...]] = ()

    def __post_init__(self) -> None:
        for name, array in self._arrays().items():
            if array.ndim != len(self.axes):
                raise ValueError(f"{type(self).__name__}.{name} needs the axes {self.axes}")
        _ = self.shape  # raises when the fields do not broadcast together

    def _arrays(self) -> dict[str, Array]:
        return {f.name: getattr(self, f.name) for f in fields(self)}

    @property
    def shape(self) -> tuple[int, ...]:
        """Common shape of all fields."""
        return np.broadcast_shapes(*(a.shape for a in self._arrays().values()))

    def at(self, **where: int) -> Self:
        """The case at e.g. ``member=3, combination=7``, still with every axis, each of size 1."""

        def cut(array: Array) -> Array:
            picks = (
                slice(where[axis], where[axis] + 1) if size > 1 and axis in where else slice(None)
                for axis, size in zip(self.axes, array.shape, strict=True)
            )
            return array[tuple(picks)]

        return replace(self, **{name: cut(a) for name, a in self._arrays().items()})

    @classmethod
    def governing(cls, ratio: Array) -> dict[str, int]:
        """Index along each axis of the largest ratio; NaN is never allowed to win or hide."""
        if np.isnan(ratio).any():
            raise ValueError(f"{cls.__name__}: a ratio is not a number")
        place = np.unravel_index(int(ratio.argmax()), ratio.shape)
        return {axis: int(i) for axis, i in zip(cls.axes, place, strict=True)}
