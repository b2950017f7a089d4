"""How wide words are on paper, for a wide plain sans-serif face; narrower faces fit as well."""

from __future__ import annotations

CAP = 0.73
"""Height of capitals as a share of the type size."""
DESCENT = 0.30
"""Depth of g, j, p below the line, as a share of the height of capitals."""
BOLD = 1.18

_WIDTHS = {
    0.28: "'′ijlí", 0.30: "IJÍ", 0.34: " \u00a0\u202f,.·/:;\\|",
    0.37: "-f", 0.42: "″!¡()[]t²³r", 0.47: '"', 0.53: "*_`–°sz?¿",
    0.56: "cL", 0.58: "Fk", 0.61: "PvxyTY",
    0.64: "aeoéöß$0123456789ESbdghnpqu{}µüáóúñÉ«»", 0.69: "KABVXZÁ", 0.79: "CRNUHDGOQ&ÓÚÑ",
    0.84: "w#+<=>^~±×→≤≥", 1.0: "MWm%½¼@—…",
}  # fmt: skip
_WIDTH = {c: width for width, chars in _WIDTHS.items() for c in chars}
_OTHER = 0.9


def size(height: float) -> float:
    """Type size [mm] whose capitals are ``height`` mm high."""
    return height / CAP


def width(text: str, height: float, bold: bool = False) -> float:
    """Width of a line of text on paper [mm]."""
    ems = sum(_WIDTH.get(c, _OTHER) for c in text)
    return ems * size(height) * (BOLD if bold else 1.0)


def fit(text: str, room: float, height: float, bold: bool = False) -> str:
    """The text, or as much of it as fits with an ellipsis."""
    if width(text, height, bold) <= room:
        return text
    while text and width(text + "…", height, bold) > room:
        text = text[:-1]
    return text.rstrip() + "…"


def wrap(text: str, room: float, height: float) -> tuple[str, ...]:
    """The text in lines no wider than ``room`` [mm]; a word longer than that is shortened."""
    rows: list[str] = []
    for word in text.split(" "):
        joined = f"{rows[-1]} {word}" if rows else word
        if rows and width(joined, height) <= room:
            rows[-1] = joined
        else:
            rows.append(fit(word, room, height))
    return tuple(rows)
