"""Load combinations of ASCE 7-16 and ASCE 7-22 against public sources, typed a second time."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from plumbrail.bases.us.loads import NATURES, LoadStandard
from plumbrail.bases.us.standards import load_standard

Published = Callable[..., None]
ARTICLE = "structuremag.org, ground snow loads for ASCE 7-22 (p=19724) and companion article"
COPY = "second-hand copy"
MEMORY = "from memory, not found in print"

# id: factors of D, S, W, E_h, E_v; source; certainty
OLD = {
    "LRFD 1": ((1.4, 0, 0, 0, 0), MEMORY, "memory"),
    "LRFD 3": ((1.2, 1.6, 0.5, 0, 0), MEMORY, "memory"),
    "LRFD 4": ((1.2, 0.5, 1.0, 0, 0), MEMORY, "memory"),
    "LRFD 5": ((0.9, 0, 1.0, 0, 0), MEMORY, "memory"),
    "LRFD 6": ((1.2, 0.2, 0, 1, 1), COPY, "second_hand"),
    "LRFD 7": ((0.9, 0, 0, 1, -1), MEMORY, "memory"),
    "ASD 1": ((1, 0, 0, 0, 0), COPY, "second_hand"),
    "ASD 3": ((1, 1, 0, 0, 0), COPY, "second_hand"),
    "ASD 5": ((1, 0, 0.6, 0, 0), COPY, "second_hand"),
    "ASD 6": ((1, 0.75, 0.75 * 0.6, 0, 0), COPY, "second_hand"),
    "ASD 7": ((0.6, 0, 0.6, 0, 0), COPY, "second_hand"),
    "ASD 8": ((1, 0, 0, 0.7, 0.7), COPY, "second_hand"),
    "ASD 9": ((1, 0.75, 0, 0.525, 0.525), COPY, "second_hand"),
    "ASD 10": ((0.6, 0, 0, 0.7, -0.7), COPY, "second_hand"),
}
NEW = {
    **{name: (row, COPY, "second_hand") for name, (row, _, _) in OLD.items()},
    "LRFD 3": ((1.2, 1.0, 0.5, 0, 0), COPY, "second_hand"),
    "LRFD 4": ((1.2, 0.3, 1.0, 0, 0), COPY, "second_hand"),
    "LRFD 6": ((1.2, 0.15, 0, 1, 1), COPY, "second_hand"),
    "ASD 3": ((1, 0.7, 0, 0, 0), ARTICLE, "confirmed"),
    "ASD 6": ((1, 0.75 * 0.7, 0.75 * 0.6, 0, 0), ARTICLE, "confirmed"),
    "ASD 9": ((1, 0.1, 0, 0.525, 0.525), COPY, "second_hand"),
}
BOTH = [("ASCE 7-16", OLD), ("ASCE 7-22", NEW)]


def every(standard: LoadStandard) -> dict[str, dict[str, float]]:
    found = [c for method in ("LRFD", "ASD") for c in standard.combinations(method)]
    return {c.id: dict(c.factors) for c in found}


@pytest.mark.parametrize(("title", "printed"), BOTH)
def test_factors_of_every_combination(
    published: Published, title: str, printed: dict[str, tuple[tuple[float, ...], str, str]]
) -> None:
    ours = every(load_standard(title))
    assert list(ours) == list(printed)
    for name, (row, source, certainty) in printed.items():
        for nature, factor in zip(NATURES, row, strict=True):
            value = ours[name].get(nature, 0.0)
            published(f"{title}, {source}", f"{name}, {nature}", factor, value, 1e-9,
                      certainty=certainty)  # fmt: skip


@pytest.mark.parametrize("title", [title for title, _ in BOTH])
def test_the_printed_text_says_the_factors(title: str) -> None:
    """The text of a combination, evaluated with one nature at a time, gives its factor."""
    standard = load_standard(title)
    for combination in [*standard.combinations("ASD"), *standard.combinations("LRFD")]:
        for nature in NATURES:
            text = combination.text.replace("(", "*(")
            for name in sorted(NATURES, key=len, reverse=True):
                text = text.replace(name, f"*{int(name == nature)}")
            text = text.replace(" *", " 1*").replace("(*", "(1*")
            value = eval(f"1{text}" if text.startswith("*") else text, {"__builtins__": {}})
            assert value == pytest.approx(combination.factors.get(nature, 0.0)), combination.id
