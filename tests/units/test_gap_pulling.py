"""Pulling wire: what wires and grip stand, what they weigh, how they lie in the conduit.

Sizes of NFPA 70 Chapter 9 as printed there: 4 AWG 41,740 circular mils and 0.324 in over THWN-2,
2/0 AWG 133,100; inner diameter of 1 in. PVC 1.029 in. (Schedule 40) and 0.936 in. (80).
"""

from __future__ import annotations

from math import pi, radians
from typing import Any

import numpy as np
import pytest
from scipy.constants import g as G
from scipy.constants import lbf as LBF
from scipy.constants import mil

from plumbrail.errors import RangeError
from plumbrail.plan.models import Trench
from plumbrail.trench import pulling
from plumbrail.trench.parts import Bundle, Wires
from plumbrail.trench.wires import Cable
from wirings import wired_plan

MIL = pi / 4 * mil**2
ONE = np.asarray(1.0)


def bundle(count: int, size: str = "4 AWG", metal: str = "copper", ground: bool = False) -> Bundle:
    return Bundle(count, size, "THWN-2", metal, ground)


def cable(*bundles: Bundle, trade: str = "1", riser: str = "PVC 80", **pull: Any) -> Cable:
    section = {"clearance": "3 ft", "pier_clearance": "3 ft", "roots": "go round", "pull": pull}
    wires = Wires(np.zeros(3), "C1", "PVC 40", riser, trade, 0.3, bundles, 40.0, 0.1)
    return Cable(wired_plan(), Trench.model_validate(section), wires)


def test_the_constants_by_their_units() -> None:
    """Units of scipy. 0.008 and 0.006 lbf on a circular mil; a basket grip of 1000 lbf."""
    assert pytest.approx(MIL, rel=1e-9) == pulling.CMIL
    assert pytest.approx(0.008 * LBF / MIL, rel=1e-9) == pulling.COPPER
    assert pytest.approx(0.006 * LBF / MIL, rel=1e-9) == pulling.ALUMINIUM
    assert pytest.approx(1000 * LBF, rel=1e-9) == pulling.BASKET


def test_wires_that_slide_by_themselves_pull_on_nothing() -> None:
    """Down a riser the weight is more than friction: 0 N, and never a push for what follows."""
    ten, two = np.asarray(10.0), np.asarray(2.0)
    down = [pulling.straight_pull(np.asarray(t), ten, two, np.asarray(-radians(80)),
                                  np.asarray(0.3), ONE) for t in (0.0, 5.0, 25.0)]  # fmt: skip
    gain = 20 * (np.sin(radians(-80)) + 0.3 * np.cos(radians(80)))
    assert gain < -18
    assert [float(t) for t in down] == [0.0, 0.0, pytest.approx(25 + gain)]


@pytest.mark.parametrize(
    ("bundles", "grip", "limit"),
    [
        ((bundle(2),), "basket", 2 * 0.008 * 41740),
        ((bundle(2, metal="aluminium"),), "basket", 2 * 0.006 * 41740),
        ((bundle(3), bundle(1, ground=True)), "eye", 3 * 0.008 * 41740),
        ((bundle(4),), "eye", 0.8 * 4 * 0.008 * 41740),
        ((bundle(3, "2/0 AWG"),), "basket", 1000.0),
        ((bundle(3, "2/0 AWG"),), "eye", 3 * 0.008 * 133100),
    ],
)
def test_what_wires_and_grip_stand(bundles: tuple[Bundle, ...], grip: str, limit: float) -> None:
    """More than three circuit conductors never share alike: 0.8 of them; the grip is the rest."""
    trade = "2" if bundles[0].size == "2/0 AWG" else "1-1/4"
    made = cable(*bundles, trade=trade, grip=grip)
    assert float(made.limit()) == pytest.approx(limit * LBF, rel=1e-4)


def test_what_wires_weigh() -> None:
    """Copper 8890 kg/m3, aluminium 2700, insulation 1400: by the areas of metal and of the wire."""
    metal = 41740 * MIL
    rest = pi / 4 * (0.324 * 0.0254) ** 2 - metal
    two = 2 * G * (8890 * metal + 1400 * rest)
    third = G * (2700 * metal + 1400 * rest)
    made = cable(bundle(2), bundle(1, metal="aluminium", ground=True))
    assert float(made.weight()) == pytest.approx(two + third, rel=2e-3)
    assert float(cable(bundle(2), wire_weight="0.5 kg/m").weight()) == pytest.approx(0.5 * G)


@pytest.mark.parametrize(("count", "share"), [(1, 0.0), (2, 4 / 3), (3, 4 / 3), (4, 2.0)])
def test_how_far_wires_wedge_themselves_apart(count: int, share: float) -> None:
    """1 + share (d/(D - d))^2 in the narrower conduit, the riser's; D 0.936 in, d 0.324 in."""
    made = cable(bundle(count))
    assert float(made.correction()) == pytest.approx(
        1 + share * (0.324 / (0.936 - 0.324)) ** 2, rel=3e-3
    )
    assert float(made.jam()) == pytest.approx(1.05 * 0.936 / 0.324, rel=3e-3)


def test_the_narrower_conduit_counts_whichever_it_is() -> None:
    assert cable(bundle(2), riser="PVC 40").inner() == pytest.approx(1.029 * 0.0254, rel=2e-3)
    assert cable(bundle(2)).inner() == pytest.approx(0.936 * 0.0254, rel=2e-3)


def test_the_radius_of_bends() -> None:
    """NFPA 70 Chapter 9 Table 2, other bends: 6 in for 1 in., 8 in for 1-1/4; or as written."""
    assert float(cable(bundle(2)).radius()) == pytest.approx(6 * 0.0254)
    assert float(cable(bundle(2), trade="1-1/4").radius()) == pytest.approx(8 * 0.0254)
    assert float(cable(bundle(2), bend_radius="3 ft").radius()) == pytest.approx(0.9144)


def test_a_conduit_whose_size_is_not_known_is_refused() -> None:
    with pytest.raises(RangeError, match="trade size of the conduit is not known"):
        cable(bundle(2), trade="")
