"""Every drawing of the demo plans in a real browser: nothing cut off, nothing written over."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from tests.browser import page

from plumbrail.cli.main import main
from plumbrail.plan.demos import demo_plan_names

TEXTS = """() => {
  const svg = document.documentElement;
  const frame = svg.getBoundingClientRect();
  return {
    frame: [frame.left, frame.top, frame.right, frame.bottom],
    texts: [...document.querySelectorAll('text')].filter(t => t.textContent).map(t => {
      const r = t.getBoundingClientRect();
      const turned = Math.abs(t.getScreenCTM().b) > 1e-6;
      return {text: t.textContent, box: [r.left, r.top, r.right, r.bottom], turned};
    }),
  };
}"""


@pytest.fixture(scope="module")
def drawings(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    folder = tmp_path_factory.mktemp("drawings")
    for name in demo_plan_names():
        main(["demo", "--plan", name, "--out", str(folder / name)])
        sheet = folder / f"{name}-field"
        main(["true", str(folder / name / f"{name}.toml"), "--sheet", "--out", str(sheet)])
    found = sorted(folder.rglob("*.svg"))
    drawn = {p.name.rpartition("-")[0] for p in found}
    assert {"truing", "truing-after", "field-sheet", "setting-out"} <= drawn
    return found


def overlap(a: list[float], b: list[float]) -> float:
    """Share of the smaller box that the other covers."""
    w = min(a[2], b[2]) - max(a[0], b[0])
    h = min(a[3], b[3]) - max(a[1], b[1])
    if w <= 0 or h <= 0:
        return 0.0
    area = min((a[2] - a[0]) * (a[3] - a[1]), (b[2] - b[0]) * (b[3] - b[1]))
    return w * h / area


@pytest.mark.parametrize("size", [(1400, 900), (390, 844)], ids=["desk", "phone"])
def test_text_is_inside_and_apart(drawings: list[Path], size: tuple[int, int]):
    assert drawings
    faults = []
    with page(*size) as tab:
        for path in drawings:
            tab.goto(path.as_uri())
            seen = tab.evaluate(TEXTS)
            assert len(seen["texts"]) > 10, path
            left, top, right, bottom = seen["frame"]
            for t in seen["texts"]:
                x0, y0, x1, y1 = t["box"]
                if not t["turned"] and y1 - y0 < 9:
                    faults.append(f"{path.name}: {t['text']!r} is too small to read")
                if x0 < left - 1 or y0 < top - 1 or x1 > right + 1 or y1 > bottom + 1:
                    faults.append(f"{path.name}: {t['text']!r} is cut off")
            # A slanted text's upright box is larger than its letters; papers tests cover those.
            straight = [t for t in seen["texts"] if not t["turned"]]
            for i, a in enumerate(straight):
                for b in straight[i + 1 :]:
                    if overlap(a["box"], b["box"]) > 0.15:
                        faults.append(f"{path.name}: {a['text']!r} over {b['text']!r}")
    assert faults == []


def test_drawings_load_nothing_from_elsewhere(drawings: list[Path]):
    for path in drawings:
        text = path.read_text("utf-8")
        assert "<script" not in text
        elsewhere = re.findall(r"(?:href|src)\s*=|url\((?!#)|@import", text)
        assert elsewhere == [], path.name
