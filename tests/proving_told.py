"""Sentences of verdicts, open things and rows that cannot be used, as proving says them."""

from __future__ import annotations

TOLD = (
    "373 V read, 396 V expected: -5.8 %, give or take 1.1 %, 5 % allowed",
    "-379.1 V read, 374.4 V expected: -201.3 %, give or take 1.2 %, 5 % allowed",
    "open-circuit voltage, strings alike: +0.0 % off the middle of 1 other, all at the "
    "same light and warmth, give or take 0.6 %, 5 % allowed",
    "operating current, strings alike: -30.0 % off the middle of 1 other, all at the "
    "same light and warmth, give or take 3.9 %, 5 % allowed",
    "All strings are off together: see what is suspected first",
    "that is more than any fault of one string gives: a slip of number or unit, several "
    "strings in one, or other light than was written",
    "or the equipment held it back: a full battery, a limit, still starting",
    "light not written: 300 to 1000 W/m2 taken",
    "a reading of it is more than any fault of one string gives: measure it again",
    "without its open voltage nothing can be said",
    "one module of 24 missing would stand out by 2.3 standard uncertainties only (3.29 "
    "wanted): count them, and measure each half",
    "ratio of the voltages",
    "NFPA 70 Annex I",
    "in place",
    "fails",
    "ok",
    "every string by itself",
    "value and test voltage",
    "right or reversed, before any fuse goes in",
    "only with a rated shorting switch; or the operating current instead",
    "reversed: keep it away from the others and the equipment",
    "box C1: 3 ohm, give or take 0.2, at most 1 ohm",
    "box C1: OL, no path was found",
    "equipment, 12 AWG: 3.95 N·m (35 lbf·in), 3.95 N·m (35 lbf·in) wanted (NFPA 70 Annex I)",
    "equipment, 12 AWG: 20 in-lb set",
    "what the part is marked with was not written",
    "over 50 Mohm, at least 1 Mohm at 1000 V",
    "the test voltage was not written",
    "500 V is too little to test with",
    "2500 V is too much and may have hurt: ask the modules' maker",
    "2 K (4 °F) hotter, give or take 2 K (4 °F)",
    "light not written: a fault shows less under 600 W/m2",
    "light 300 W/m2: a fault shows less under 600 W/m2",
    "up to 10 K (18 °F) nothing is found, over 20 K (36 °F) a fault",
    "S1: operating current +4.5 % (line 5)",
    "S1: operating voltage -1.3 % (line 4)",
    "suspected on all strings: the thermometer: not on a cell's back, in the sun or "
    "wrong; or another module than the plan's",
    "cannot tell these apart: measure light and warmth again with other meters",
    "cannot tell these apart: look for shade on single modules at the time of the test; "
    "measure again at noon; and thermal look at every connector with the string loaded; "
    "open and remake the warm one",
    "not measured: where the posts stand; give the site notebook with --notebook, or "
    "write the as-built plan with plumbrail true --as-built",
    "P1, label: line 39 says in place, line 40 says in place; line 40 counts",
    "S2: both ends read almost nothing to ground: no path to ground",
    "S1: the ends read 1000 V to ground together, more than the open voltage of 442 V: "
    "wait until both stand still, and measure again",
    "S1: 50 V and 53 V to ground: a path of about 35 Mohm to ground 6.2 modules from the "
    "negative end, between M2-1 and M1-1",
    "at its negative home run",
    "at its positive home run",
    "line 5: light of 388 W/m2 is under 400 W/m2: no operating current is judged (IEC "
    "62446-1, conditions of the current test, from memory)",
    "test it again in more sun",
    "line 4: light of 20 W/m2 is under 50 W/m2: too dark for a voltage too",
    "test it again by day",
    "row that cannot be used: line 2: irradiance: short-circuit current",
    "kind",
    "cell temperature",
    "4 has no unit; write for example 4 K",
    '"0 lbf*in" is no torque; write for example 35 lbf*in of 35 lbf*in, or 35 lbf*in large slot',
    '"1 V" is no test voltage; write 10 V to 5000 V',
    '"400 K" is more than 150 K: a slip of unit or number?',
    '"100000 N*m" is more than 200 N*m, which no terminal takes: a slip of unit? Write '
    "for example 35 lbf*in of 35 lbf*in, or 35 lbf*in large slot",
    '"maybe" will not do; write works or fails',
    '"-0.1 ohm" is below zero; write for example 0.2 ohm',
    '"-30 K" is below zero; write by how much the hottest place is hotter than the '
    "others, for example 4 K",
    '"-5 W/m2" is no light of the sun on a module; write 0 to 1600 W/m2',
    '"450 degC" is outside -40 degC to 110 degC: a slip of unit?',
    '"S7" is nothing that open-circuit voltage is tested on here; there are: S1, S2',
    '"fonction" is no kind of test; did you mean function?',
    '"zzzzqq" is no kind of test; kinds: open-circuit voltage, short-circuit current, '
    "operating current, operating voltage, polarity, ground continuity, insulation, "
    "positive to ground, negative to ground, torque, thermal look, label, function, "
    "serial, photo",
    "the kind of the test is missing; kinds: open-circuit voltage, short-circuit "
    "current, operating current, operating voltage, polarity, ground continuity, "
    "insulation, positive to ground, negative to ground, torque, thermal look, label, "
    "function, serial, photo",
    "it does not say what was tested; write for example S1",
    "row that cannot be used: line 2: irradiance: short-circuit current says nothing "
    "without the light at that moment; write for example 820 W/m2",
    "row that cannot be used: line 3: cell temperature: open-circuit voltage says "
    "nothing without the warmth of the cells at that moment; write for example 46 degC",
    '"400,2 V" has a comma in a number; write a decimal point',
    '"nan V" is not a voltage; write for example 180 V',
    '"nan A" is not a current; write for example 11.9 A',
    '"inf Mohm" is not a resistance; write for example 55 Mohm at 1000 V',
    '"441.9 A" is a current, not a voltage; write for example 452.3 V',
    '"3 V" is a voltage, not a current; write for example 11.9 A',
    "Write each value with its unit: 452.3 V, 11.9 A, 0.2 ohm (OL: no path), > 200 Mohm "
    "at 1000 V, 4 K.",
    "Irradiance on the module plane and cell temperature at the same moment: 820 W/m2, "
    "46 degC or 115 degF.",
    "Polarity: right or reversed. Label: in place or missing. Function: works or fails.",
    "To strike a row out begin its note with: struck",
    "plus and minus are right",
    "the meters are too uncertain for a pass by themselves",
    "cannot tell these apart: measure the open-circuit voltage of the string too",
    "cannot tell these apart: measure the short-circuit current of the string too",
    "cannot tell these apart: measure the operating voltage of the string too",
    "not measured: where the posts stand; the readings do not fix all of them yet",
    "in doubt: where the posts stand; 2 readings look wrong or cannot be used",
    "fail: 3 values of the frame are out of tolerance; see plumbrail true",
    "too uncertain to say: 3 values of the frame; see plumbrail true",
    "not measured: 3 values of the frame; see plumbrail true",
    "S1: 50 V and 53 V to ground: a path of about 35 Mohm to ground 6.2 modules from the "
    "negative end, inside M2-1",
)
