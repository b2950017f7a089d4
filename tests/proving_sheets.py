"""Sheets of tests as people fill them in, slips and all, and the papers made from each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from plumbrail.jobs.proving import ProveJob, proving
from plumbrail.notebook.proof_reader import read_proofs
from plumbrail.plan.demos import demo_text
from plumbrail.plan.reader import LoadedPlan, read_plan
from plumbrail.proving.run import prove
from plumbrail.proving.wanted import Subject, places
from proving_trials import (
    HEAD,
    Errors,
    arrays,
    demo_subject,
    demo_wires,
    sheet,
    subject_with,
)

LIT = "820 W/m2,45 degC,,"
SLIPS = """,S1,voc,4000 V,818 W/m2,44 degC,,
,S1,voc,441.9 V,0 W/m2,44 degC,,
,S1,voc,441.9 V,-5 W/m2,44 degC,,
,S1,voc,441.9 V,818 W/m2,44,,
,S1,voc,441.9 V,818 W/m2,111 degF,,
,S1,voc,441.9 A,818 W/m2,44 degC,,
,S1,voc,441.9,818,44,,
,S2,isc,11.9 A,0 W/m2,44 degC,,
,S2,isc,11900 mA,818 W/m2,44 degC,,
,S7,voc,404 V,818 W/m2,44 degC,,
,s2,voc,1999 V,818 W/m2,44 degC,,
,S1,isc,999 A,818 W/m2,44 degC,,
,S1,insulation,0 Mohm at 1000 V,,,,
,S2,insulation,5 Mohm at -1000 V,,,,
,S2,insulation,nan Mohm at 1000 V,,,,
,G1,ground continuity,-0.1 ohm,,,,
,G2,ground continuity,OL,,,,
,T1,torque,35 lbf*in of 35 lbf*ft,,,,
,T3,torque,35 lbf*in of 0 lbf*in,,,,
,T4,torque,20 lbf*in,,,,
,T5,torque,100000 N*m of 100000 N*m,,,,
,S1,thermal look,-30 K,800 W/m2,,,
,C1,thermal look,4,800 W/m2,,,
,F2,function,maybe,,,,
,F3,fonction,works,,,,
,P1,label,in place,,,,
,P1,label,missing,,,,
,P99,label,in place,,,,
,S1,positive to ground,500 V,,,,
,S1,negative to ground,500 V,,,,
"""
SHEETS = (
    SLIPS,
    ",S1,voc,422 V,250 W/m2,45 degC,,\n,S1,isc,3.4 A,250 W/m2,45 degC,,\n"
    ",S2,voc,400 V,20 W/m2,45 degC,,\n",
    f",S1,voc,436 V,,45 degC,,\n,S1,isc,12.2 A,{LIT}\n",
    f",S1,operating current,7 A,{LIT}\n,S2,operating current,10 A,{LIT}\n"
    f",S1,operating voltage,360 V,{LIT}\n",
    ",S1,positive to ground,150 V,,,,\n,S1,negative to ground,-300 V,,,,\n"
    ",S2,positive to ground,1 V,,,,\n,S2,negative to ground,-1 V,,,,\n",
    f",S1,voc,0 V,{LIT}\n,S2,voc,436 V,{LIT}\n",
    f",S1,voc,370 V,{LIT}\n,S2,voc,370 V,{LIT}\n,S1,isc,9 A,{LIT}\n,S2,isc,9 A,{LIT}\n",
    ",array,insulation,> 50 Mohm at 2500 V,,,,\n,S1,insulation,50 Mohm,,,,\n",
    ",S1,insulation,50 Mohm at 500 V,,,,\n,T1,torque,35 lbf*in large slot,,,,\n",
    ",S1,thermal look,45 K,300 W/m2,,,\n,C1,thermal look,15 K,,,,\n",
    ",S1,polarity,reversed,,,,\n,S1,polarity,right,,,,\n,F1,function,works,,,,\n",
)


def job_of(subject: Subject, rows: str, base: ProveJob) -> ProveJob:
    """The tests of a subject, judged."""
    book = read_proofs(rows, places(subject))
    return replace(base, subject=subject, book=book, proved=prove(subject, book))


def jobs() -> Iterator[ProveJob]:
    """The blank, every sheet above, and one array for each kind of fault."""
    text = demo_text("alder-creek")
    base = proving(LoadedPlan(read_plan(text), text, "demo", "0" * 64), None, demo_wires())
    yield base
    for rows in SHEETS:
        yield job_of(demo_subject(), HEAD + rows, base)
    subject = subject_with((10, 10, 10))
    for a in arrays(10, 3, np.random.default_rng(0)).values():
        yield job_of(subject, sheet(e=Errors(np.random.default_rng(0)), **a), base)
