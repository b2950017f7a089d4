"""Curing and daylight against published figures."""

from __future__ import annotations

from datetime import date

import numpy as np

from plumbrail.site.sun import Place
from plumbrail.works.daylight import daylight
from plumbrail.works.maturity import cured, gained, holding_maturity, maturity, strength_maturity


def test_maturity_of_28_days(published):
    """An examination question published with its answer: 28 days at 15 °C above -11 °C."""
    ours = maturity(np.array(288.15), np.array(262.15), np.array(28 * 86400.0)) / 86400.0
    published("Public worked question on Nurse-Saul", "28 d at 15 °C, datum -11 °C", 728.0, ours,
              0.5, "K*d", certainty="second_hand")  # fmt: skip


def test_colder_days_cure_longer():
    # derived: 7 days at 10 °C are 3360 K h above -10 °C, so 20 °C take 112 h and 0 °C 336 h
    assert strength_maturity(7) == np.float64(3360.0)
    assert holding_maturity(24.0) == np.float64(720.0)
    for celsius, hours in ((20.0, 112.0), (10.0, 168.0), (0.0, 336.0)):
        sums = gained(np.full(60, 273.15 + celsius))
        assert abs(float(cured(np.array([10.0]), 3360.0, sums)[0]) - 10.0 - hours) < 1e-3
    frozen = gained(np.full(60, 260.0))
    assert np.isinf(cured(np.array([10.0]), 3360.0, frozen)).all()


def test_sunrise_and_sunset(published):
    """The example of the solar position algorithm; its clock is 7 h behind UTC all year."""
    place = Place(np.radians(39.742476), np.radians(-105.1786), 1830.14)
    # the example works with the day of universal time, in which the sun sets over Colorado at
    # 00:20 UT: that is the evening of the 16th there
    days = [date(2003, 10, 16), date(2003, 10, 17)]
    up, down = daylight(place, "America/Phoenix", days)
    document = "NREL/TP-560-34302, example"
    published(document, "sunrise 06:12:43 (5 min steps between)", 6 + 12 / 60 + 43 / 3600, up[1],
              20 / 3600, "h")  # fmt: skip
    published(document, "sunset 17:20:19", 17 + 20 / 60 + 19 / 3600, down[0], 20 / 3600, "h")
