"""Pulling, roots and trench walls, against printed values."""

from __future__ import annotations

from math import degrees

import numpy as np
import pytest

from plumbrail.bases.us.nec.wire import circular_mils
from plumbrail.trench import pulling, roots, safety

LBF, FOOT, CMIL = pulling.LBF, 0.3048, pulling.CMIL
GUIDE = "Cable makers' pulling guides, formulas as printed by a switchgear maker's appendix"
ONE = np.asarray(1.0)


def a(value):
    return np.asarray(float(value))


def test_straight_and_bend_in_turn(published):
    w, mu = a(1.05 * LBF / FOOT), a(0.35)
    quarter = a(np.pi / 2)
    after = [pulling.straight_pull(a(0), w, a(150 * FOOT), a(0), mu, ONE)]
    after.append(pulling.bend_pull(after[0], quarter, mu, ONE))
    after.append(pulling.straight_pull(after[1], w, a(20 * FOOT), a(0), mu, ONE))
    after.append(pulling.bend_pull(after[2], quarter, mu, ONE))
    for printed, ours in zip((55.1, 95.5, 102.9, 178.3), after, strict=True):
        published(
            GUIDE,
            "1.05 lb/ft, 0.35: 150 ft, quarter, 20 ft, quarter",
            printed,
            float(ours) / LBF,
            0.06,
            "lbf",
            "derived",
        )
    published(
        GUIDE,
        "pressure in the last bend of 1.5 ft",
        118.8,
        float(pulling.sidewall(after[3], a(1.5 * FOOT))) / LBF * FOOT,
        0.1,
        "lbf/ft",
        "derived",
    )


def test_up_and_down_a_slope(published):
    w, mu, slope = a(10.0), a(0.4), np.arctan(0.2)
    up = pulling.straight_pull(a(100), w, a(30), a(slope), mu, ONE)
    down = pulling.straight_pull(a(100), w, a(30), a(-slope), mu, ONE)
    published(
        GUIDE, "uphill", 100 + 300 * (np.sin(slope) + 0.4 * np.cos(slope)), up, 1e-9, "N", "derived"
    )
    published(
        GUIDE,
        "downhill",
        100 - 300 * (np.sin(slope) - 0.4 * np.cos(slope)),
        down,
        1e-9,
        "N",
        "derived",
    )


@pytest.mark.parametrize(("count", "printed"), [(3, 5078), (4, 5417)])
def test_what_conductors_of_4_0_copper_stand(published, count, printed):
    metal = a(float(circular_mils("4/0 AWG")) * CMIL)
    limit = pulling.conductor_limit(a(count), a(pulling.COPPER), metal)
    if count > 3:
        limit = pulling.shared_limit(limit)
    published(
        "Cable maker's pulling table",
        f"{count} x 4/0 copper",
        printed,
        float(limit) / LBF,
        1.0,
        "lbf",
        "second_hand",
    )


def test_weight_corrections_and_jam(published):
    d, D = a(0.5), a(2.0)
    published(
        GUIDE,
        "three cradled, d/(D-d) 1/3",
        1 + 4 / 27,
        pulling.cradled_weight(d, D),
        1e-9,
        "-",
        "memory",
    )
    published(
        GUIDE,
        "four or more, d/(D-d) 1/3",
        1 + 2 / 9,
        pulling.many_weight(d, D),
        1e-9,
        "-",
        "memory",
    )
    published(GUIDE, "jam ratio of 1.05 D/d", 4.2, pulling.jam_ratio(D, d), 1e-9, "-", "memory")
    published(
        GUIDE,
        "lowest of three cradled, Wc 1.2",
        1.6 / 3 * 300 / 0.5,
        pulling.sidewall_cradled(a(300), a(0.5), a(1.2)),
        1e-9,
        "N/m",
        "memory",
    )


def test_root_zones(published):
    bs = "BS 5837, root protection area"
    published(bs, "stem 500 mm", 6.0, roots.radius_by_stem(a(0.5)), 0.05, "m", "second_hand")
    published(
        bs, "its area", 113, np.pi * roots.radius_by_stem(a(0.5)) ** 2, 0.5, "m2", "second_hand"
    )
    published(
        bs, "largest area", 707, np.pi * roots.radius_by_stem(a(3.0)) ** 2, 0.5, "m2", "second_hand"
    )
    published(
        "US tree ordinances, a foot of radius for each inch",
        "stem 20 in",
        20,
        float(roots.radius_by_inch(a(20 * 0.0254), a(1.0))) / FOOT,
        1e-9,
        "ft",
        "second_hand",
    )
    assert float(roots.radius_by_inch(a(0.1), a(4.0))) == 4.0  # the drip line where it is wider


@pytest.mark.parametrize(("soil", "printed"), [("A", 53), ("B", 45), ("C", 34)])
def test_steepest_sides(published, soil, printed):
    published(
        "29 CFR 1926 Subpart P, App. B",
        f"soil {soil}",
        printed,
        degrees(safety.slope_angle(soil)),
        0.5,
        "deg",
    )


@pytest.mark.parametrize(
    ("feet", "printed"),
    [
        (3.9, ()),
        (4.0, ("egress",)),
        (4.9, ("egress",)),
        (5.0, ("egress", "protection")),
        (20.5, ("egress", "protection", "engineer")),
    ],
)
def test_what_a_depth_asks_for(published, feet, printed):
    # 29 CFR 1926.651(c)(2), 652(a): from 4 ft and from 5 ft
    assert safety.triggers(feet * FOOT) == printed
    published(
        "29 CFR 1926.651, 652",
        f"things asked for at {feet} ft",
        len(printed),
        len(safety.triggers(feet * FOOT)),
        0,
        "-",
    )
