"""What the circuits take from strings and paths: lengths, and which strings run together."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from plumbrail.wiring.parts import Array, Grouping, Path, Strings


@dataclass(frozen=True)
class Layout:
    """What the circuits take from strings and paths."""

    grouping: Grouping
    strings: Strings
    string_wire: Array
    """(strings,) wire of each string, home runs and jumpers [m]."""
    collector: Array
    """(boxes,) from each box to where the run starts [m]."""

    @property
    def pairs(self) -> list[tuple[int, int]]:
        """(box, input) of every run, in order."""
        found = zip(self.strings.combiner.tolist(), self.strings.input.tolist(), strict=True)
        return sorted(set(found))

    def in_pair(self, pair: tuple[int, int]) -> int:
        """Strings of a run."""
        return int(((self.strings.combiner == pair[0]) & (self.strings.input == pair[1])).sum())

    @property
    def on_input(self) -> int:
        """Most strings in parallel on one input."""
        return max(self.grouping.per_input)

    @property
    def parallel(self) -> int:
        """Most strings on one run."""
        return max(self.in_pair(p) for p in self.pairs)

    @property
    def others(self) -> int:
        """Most strings that reach an input past a run, over other runs."""
        return max(self.grouping.per_input[i] - self.in_pair((c, i)) for c, i in self.pairs)

    @property
    def in_box(self) -> int:
        """Most strings in one box."""
        return int(np.bincount(self.strings.combiner).max())


def layout_of(
    grouping: Grouping, strings: Strings, paths: list[Path], box_ids: list[str], start: int
) -> Layout:  # fmt: skip
    """Lengths by string and by box, from the paths; the run starts at box ``start``."""
    lengths = [
        sum(p.length for p in paths if p.kind in ("home run", "jumper")
            and p.id.split()[0] == id)
        for id in strings.ids
    ]  # fmt: skip
    far = {p.id.split()[0]: p.length for p in paths if p.kind == "run"}
    collector = [0.0 if c == start else far[id] for c, id in enumerate(box_ids)]
    return Layout(grouping, strings, np.array(lengths), np.array(collector))
