"""A meter that a test names and the plan does not have is said, once, wherever verdicts are."""

from __future__ import annotations

from plumbrail.notebook.proof_reader import read_proofs
from plumbrail.plan.proving import Meter, Proving
from plumbrail.proving.care import unknown_meters
from plumbrail.proving.wanted import places
from proving_trials import HEAD, demo_subject, judged

ROWS = """,S1,open-circuit voltage,441.9 V,820 W/m2,45 degC,Meter 7,
,S2,open-circuit voltage,440.1 V,820 W/m2,45 degC,meter 7,
,S1,short-circuit current,11.8 A,820 W/m2,45 degC,clamp,
,S1,polarity,right,,,Meter 7,
,S1,insulation,200 Mohm at 1000 V,,,,
"""


def notes(**meters: Meter) -> tuple[str, ...]:
    book = read_proofs(HEAD + ROWS, places(demo_subject()))
    assert not book.problems
    own = {name.replace("_", " "): m for name, m in meters.items()}
    return unknown_meters(Proving(instruments=own), book.proofs)


def test_each_unknown_meter_is_said_once():
    assert notes() == (
        "meter Meter 7 is not in the plan; common accuracy of its kind (voltmeter) assumed",
        "meter clamp is not in the plan; common accuracy of its kind (ammeter) assumed",
    )


def test_a_meter_of_the_plan_is_not_said_unless_it_is_of_another_kind():
    volts, amps = Meter(kind="voltmeter", error=0.01), Meter(kind="ammeter", error=0.02)
    assert notes(meter_7=volts, clamp=amps) == ()
    assert notes(meter_7=amps, clamp=amps) == (
        "meter Meter 7 is in the plan as ammeter, not as voltmeter; common accuracy of its kind "
        "(voltmeter) assumed",
    )


def test_it_stands_beside_the_verdicts():
    found = judged(demo_subject(), HEAD + ROWS)
    assert len(found.notes) == 2
