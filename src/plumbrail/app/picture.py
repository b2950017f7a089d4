"""What the truing found, as geometry to draw: points, and moves as arrows."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

_AXES = {"along": 0, "across": 1, "up": 2}


def picture(report: Mapping[str, Any]) -> dict[str, Any]:
    """``points`` with planned and adjusted places; ``moves`` each with an arrow at every point
    that it carries [m]. Arrows have their true size: the page enlarges them."""
    points = {p["id"]: p for p in report.get("points", [])}
    verdicts = _verdicts(report)
    return {
        "points": [
            {"id": id, "planned": p["planned"], "place": p["xyz"], "known": p["determined"],
             "verdict": verdicts.get(id.removesuffix(" base"), "")}
            for id, p in points.items()
        ],
        "moves": [
            {"number": i + 1, "words": m["words"], "place": m["place"], "axis": m["axis"],
             "amount": m["amount"], "thought_fixed": m["thought_fixed"],
             "arrows": _arrows(m, points)}
            for i, m in enumerate(report.get("mending", {}).get("moves", []))
        ],
    }  # fmt: skip


def _verdicts(report: Mapping[str, Any]) -> dict[str, str]:
    """The worst verdict on each post that some value names."""
    rank = ("inside", "not checked", "not measured", "too uncertain to say", "outside")
    found: dict[str, str] = {}
    for value in report.get("values", []):
        for word in value["subject"].replace(",", " ").replace("-", " ").split():
            if word[:1] in "FB" and word[1:].isdigit():
                worst = max(found.get(word, rank[0]), value["verdict"], key=rank.index)
                found[word] = worst
    return found


def _arrows(move: Mapping[str, Any], points: Mapping[str, Any]) -> list[dict[str, Any]]:
    step = [0.0, 0.0, 0.0]
    step[_AXES[move["axis"]]] = float(move["amount"])
    return [
        {"at": id, "start": points[id]["xyz"],
         "end": [a + b for a, b in zip(points[id]["xyz"], step, strict=True)]}
        for id in _carried(move["place"], points)
    ]  # fmt: skip


def _carried(place: str, points: Mapping[str, Any]) -> list[str]:
    """F3: the head; F3 base; F3 post: both; front beam: both of its ends."""
    if place.endswith(" post"):
        name = place.removesuffix(" post")
        wanted = [name, f"{name} base"]
    elif place.endswith(" beam"):
        row = place.removesuffix(" beam")
        wanted = [f"{row} left", f"{row} right"]
    else:
        wanted = [place]
    return [id for id in wanted if id in points]
