"""Ways in which a pour gate could open too early: each of these notebooks has to hold it, or the
gate has to say what it could not see."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest

from notebooks import HEADER, Row, points_for, readings_on
from plans import plan_text
from plumbrail.jobs.truing import pin_tops
from plumbrail.model.build import build_planned
from plumbrail.notebook.entries import Axis, Hold, Kind
from plumbrail.notebook.reader import read_notebook
from plumbrail.plan.demos import demo_notebooks, demo_text
from plumbrail.plan.reader import read_plan
from plumbrail.truing.claims import first_of_each
from plumbrail.truing.freedom import freedom
from plumbrail.truing.instruments import ANGLES
from plumbrail.truing.parts import Ready, Verdict
from plumbrail.truing.points import Place
from plumbrail.truing.run import Trued, heads_determined, true_up
from plumbrail.truing.scheme import field_readings, sheet_readings

DEMO = demo_text("alder-creek")
GOOD = readings_on(DEMO)
N = len(GOOD)


def judged(rows: list[Row | str], plan: str = DEMO) -> Trued:
    read = read_plan(plan)
    model = build_planned(read)
    text = "\n".join([HEADER, *(r if isinstance(r, str) else r.csv for r in rows)])
    return true_up(read, model, read_notebook(text, model.stations), pin_tops(read, model))


def reasons(trued: Trued) -> str:
    return "\n".join(trued.gate.reasons)


def verdicts(trued: Trued) -> dict[str, Verdict]:
    return dict(zip(trued.built.ids, trued.built.verdict, strict=True))


def late(seed: int = 2) -> list[Row]:
    """Everything read once more, from other set-ups."""
    return [replace(r, setup=f"late {r.setup}" if r.kind == "rod" else "")
            for r in readings_on(DEMO, seed=seed)]  # fmt: skip


def test_the_notebook_that_the_others_are_made_from_is_ready():
    assert judged([*GOOD]).gate.ready is Ready.READY


# ---- what was moved has to be read again -------------------------------------------------


@pytest.mark.parametrize("move", [
    Row("moved", "F3", "1/16 in up"), Row("moved", "F3 post", "1/32 in up"),
    Row("moved", "F2 base", "1/8 in back"), Row("moved", "B2", "1/8 in right"),
])  # fmt: skip
def test_a_noted_move_alone_is_not_a_measurement(move):
    made = judged([*GOOD, move])
    assert made.gate.ready is Ready.TOO_FEW
    assert f"moved since it was read: {move.start.removesuffix(' post')} (line {N + 2})" in reasons(
        made
    )
    assert made.missing and not heads_determined(made.survey)


def test_what_the_move_did_not_touch_stays_measured():
    found = verdicts(judged([*GOOD, Row("moved", "F3 post", "1/16 in up")]))
    assert found["back.level.B2"] is found["F2.plumb.along"] is Verdict.INSIDE
    assert found["back.spacing.B1-B2"] is Verdict.INSIDE
    for id in ("front.level.F3", "F3.plumb.along", "front.spacing.F2-F3", "tilt.3", "plane.F3"):
        assert found[id] is Verdict.UNMEASURED, id


def test_everything_read_again_after_the_move_is_ready():
    made = judged([*GOOD, Row("moved", "F3 post", "1/32 in up"), *late()])
    assert made.gate.ready is Ready.READY, reasons(made)


def test_readings_above_the_move_do_not_count_though_they_came_with_it():
    made = judged([*GOOD, *late(), Row("moved", "F3 post", "1/32 in up")])
    assert made.gate.ready is Ready.TOO_FEW


def test_the_demo_reads_everything_again():
    book = demo_notebooks("alder-creek")["alder-creek-readings-after.csv"]
    rows = book.splitlines()[2:]
    last = max(i for i, r in enumerate(rows) if ",moved," in r)
    assert judged(rows).gate.ready is Ready.READY
    assert judged(rows[: last + 1]).gate.ready is Ready.TOO_FEW


# ---- slips that would not show -----------------------------------------------------------


def test_a_value_that_hangs_on_one_unchecked_reading_holds_the_pour():
    """Without tapes on the ground nothing but its own reading tells the lean of an inner post."""
    thin = [r for r in GOOD if r.kind == "rod" or "base" not in r.start]
    made = judged([*thin])
    assert made.gate.ready is Ready.TOO_FEW
    line = 2 + next(i for i, r in enumerate(thin) if (r.kind, r.start) == ("plumb", "F2"))
    assert "nothing checks this: a slip would not show in plumb of F2 along" in reasons(made)
    assert f"(line {line}), and" in reasons(made)

    asked = {w.words for w in made.sharper}
    assert {"plumb of F2 along", "plumb of F2 across", "plumb of B3 along"} <= asked

    twice = [*thin, *(r for r in late() if r.kind == "plumb")]
    assert judged([*twice]).gate.ready is Ready.READY


def test_a_slip_too_small_to_show_is_named_with_the_value_that_hangs_on_it():
    made = judged([*GOOD])
    assert made.hidden
    assert "not checked closely by other readings: a slip of up to " in reasons(made)
    for h in made.hidden:
        assert made.survey.redundancy[h.reading] >= 0.01


@pytest.mark.parametrize("pick", [0, 1, -1])
def test_such_a_slip_really_brings_the_value_outside_unseen(pick):
    """A tenth of the slip shifts the value by a tenth of what is said, and nothing is suspected."""
    made = judged([*GOOD])
    h = made.hidden[pick]
    s, i = made.survey, h.reading
    read = read_plan(DEMO)
    model = build_planned(read)
    book = read_notebook("\n".join([HEADER, *(r.csv for r in GOOD)]), model.stations)
    before = made.built.value[h.value]
    gain = made.built.slope[h.value] @ s.influence[:, i]
    room = min(made.built.high[h.value] - before, before - made.built.low[h.value])
    assert abs(gain) * h.slip == pytest.approx(h.shift) and h.shift > room
    small = 0.1 * h.slip
    rows = list(book.readings)
    rows[i] = replace(rows[i], value=rows[i].value + small)
    after = true_up(read, model, replace(book, readings=tuple(rows)), pin_tops(read, model))
    assert not after.survey.suspect.any()
    assert after.built.value[h.value] - before == pytest.approx(gain * small, rel=0.02)


def test_reliability_of_a_value_by_hand():
    """Three rods on one point and one other between two set-ups: a mean of equal readings takes a
    third of a slip in one of them; textbook: r = 2/3, MDB = 4.13 s / sqrt(2/3)."""
    rods = [Row("rod", p, "48 in", setup=f"S{k}") for k in range(3) for p in ("pin 1", "F1", "F4")]
    made = judged([*rods])
    s = made.survey
    points = points_for(DEMO)
    z1, z4 = (3 * points.index(p) + 2 for p in ("F1", "F4"))
    i = next(k for k, r in enumerate(s.readings) if r.start == "F1")
    assert abs((s.influence[z1] - s.influence[z4])[i]) == pytest.approx(1 / 3, rel=0.02)


# ---- the same row again ------------------------------------------------------------------


def test_a_pasted_row_with_its_time_is_no_second_reading():
    row = "2026-05-05 08:10,plumb,F2,,,0.1 deg back,,,"
    book = read_notebook("\n".join([HEADER, row, row, row.replace("08:10", "08:11")]), 4)
    assert [r.line for r in book.readings] == [2, 4]
    (problem,) = book.problems
    assert problem.line == 3 and "repeats line 2 to the minute" in problem.message


def test_a_rod_cannot_be_read_from_two_set_ups_in_one_minute():
    rows = [f"2026-05-05 08:10,rod,F2,,,4 ft,laser,{s}," for s in "AB"]
    assert [p.line for p in read_notebook("\n".join([HEADER, *rows]), 4).problems] == [3]


@pytest.mark.parametrize("other", [
    "2026-05-05 08:10,plumb,F2,,,0.2 deg back,,,", "2026-05-05 08:10,plumb,F3,,,0.1 deg back,,,",
    "2026-05-05 08:10,plumb,F2,,,0.1 deg left,,,", "2026-05-05,plumb,F2,,,0.1 deg back,,,",
    ",plumb,F2,,,0.1 deg back,,,",
])  # fmt: skip
def test_rows_that_differ_are_all_used(other):
    row = "2026-05-05 08:10,plumb,F2,,,0.1 deg back,,,"
    book = read_notebook("\n".join([HEADER, row, other]), 4)
    assert len(book.readings) == 2 and not book.problems


def test_a_tape_pasted_the_other_way_round_is_the_same_row():
    rows = ["2026-05-05 08:10,tape,F2,B2,,9 ft,,,", "2026-05-05 08:10,tape,B2,F2,,9' 0\",,,"]
    assert len(read_notebook("\n".join([HEADER, *rows]), 4).problems) == 1


def test_a_move_pasted_again_is_not_made_twice():
    row = "2026-05-05 08:10,moved,F2,,,1/4 in up,,,"
    book = read_notebook("\n".join([HEADER, row, row]), 4)
    assert len(book.moved) == 1 and "a second move has its own time" in str(book.problems[0])


def test_pasted_rows_hold_the_pour_with_a_time_and_are_counted_without():
    timed = [f"2026-05-05 08:{i // 2:02d}{r.csv}" for i, r in enumerate(GOOD)]
    made = judged([*timed, timed[5]])
    assert made.gate.ready is Ready.NOT_READY and f"repeats line {5 + 2}" in reasons(made)

    made = judged([*GOOD, GOOD[5], GOOD[9]])
    assert made.gate.ready is Ready.READY
    assert "2 rows are the same as earlier ones and have no clock time: they count as separate" in (
        reasons(made)
    )
    assert "same as" not in reasons(judged([*GOOD]))


def test_a_whole_notebook_pasted_twice_is_counted_once_and_asked_about():
    once, twice = judged([*GOOD]), judged([*GOOD, *GOOD, *GOOD])
    assert twice.gate.ready is Ready.NOT_READY and once.gate.ready is Ready.READY
    assert np.array_equal(once.built.sd, twice.built.sd)
    words = [p.message for p in twice.problems]
    assert len(words) == 2 and words[0].startswith(
        f"lines {N + 2} to {2 * N + 1} repeat lines 2 to {N + 1} to the last figure"
    )
    assert "were they read twice? Give both times" in reasons(twice)


def test_a_block_counts_from_ten_rows_on():
    for rows, asked in ((9, 0), (10, 1)):
        assert len(judged([*GOOD, *GOOD[5 : 5 + rows]]).problems) == asked


def test_honest_second_readings_are_used():
    """Other values, other set-ups, or clock times of their own; a last figure is enough."""
    other = [replace(r, value="0.1 deg back") if r.kind == "plumb" else r for r in GOOD]
    other = [r for r in other if r.kind == "plumb"]
    timed = [f"2026-05-05 {hour:02d}:{i // 2:02d}{r.csv}"
             for hour in (8, 9) for i, r in enumerate(GOOD)]  # fmt: skip
    day = [f"2026-05-0{d}{r.csv}" for d in (5, 6) for r in GOOD]
    new = [replace(r, setup=f"N{r.setup}") for r in GOOD if r.kind == "rod"]
    assert len(other) >= 10 and len(new) >= 10
    for rows in ([*GOOD, *other], timed, day, [*GOOD, *new]):
        assert not [p for p in judged(rows).problems if "repeat lines" in p.message]


def test_a_copy_of_timed_rows_without_their_times_is_asked_about():
    timed = [f"2026-05-05 08:{i // 2:02d}{r.csv}" for i, r in enumerate(GOOD)]
    assert "repeat lines 2 to" in reasons(judged([*timed, *GOOD]))


# ---- rows that cannot all be true --------------------------------------------------------


@pytest.mark.parametrize(("state", "move", "words"), [
    ("concreted", Row("moved", "B2 base", "1/8 in back"), "moves the foot of B2"),
    ("concreted", Row("moved", "B2 post", "1/8 in up"), "moves the foot of B2"),
    ("concreted", Row("moved", "B2", "1/8 in back"), "moves the top of B2"),
    ("set", Row("moved", "B2 post", "1/8 in left"), "moves the foot of B2"),
    ("set", Row("moved", "B2", "4 in left"), "leans the top of B2 by 4 in in all"),
])  # fmt: skip
def test_a_move_of_what_does_not_move_holds_the_pour(state, move, words):
    made = judged([Row("state", "B2", state), *GOOD, move, *late()])
    assert made.gate.ready is Ready.NOT_READY
    (problem,) = [p for p in made.problems if "which is right?" in p.message]
    assert problem.line == N + 3 and words in problem.message and "line 2 has" in problem.message


@pytest.mark.parametrize("rows", [
    [Row("state", "B2", "concreted"), Row("state", "B2", "loose"),
     Row("moved", "B2 post", "1/8 in up")],
    [Row("state", "B2", "set"), Row("moved", "B2", "1/8 in back")],
    [Row("moved", "B2 base", "1/8 in back"), Row("state", "B2", "concreted")],
    [Row("state", "B2", "concreted"), Row("slides", "B2", "1 in"),
     Row("moved", "B2", "1 in up")],
    [Row("moved", "front beam", "1 in left")],
])  # fmt: skip
def test_moves_that_can_be_are_left_alone(rows):
    assert judged([*rows, *GOOD]).problems == ()


def test_a_beam_slides_no_farther_than_was_said():
    rows = [Row("slides", "B2", "1/2 in up"), Row("moved", "B2", "1/2 in up"),
            Row("moved", "B2", "1/2 in up")]  # fmt: skip
    (problem,) = judged([*rows, *GOOD]).problems
    assert problem.line == 4 and "farther than line 2 says" in problem.message


def test_a_repeated_state_row_does_not_give_the_lean_once_more():
    rows = ["state,F2,set", "moved,F2,1/4 in back", "state,F2,set", "state,F2,loose",
            "state,F2,set"]  # fmt: skip
    book = read_notebook("\n".join(["kind,from,value", *rows]), 4)
    assert [(h.line, h.hold) for h in first_of_each(book.held)] == [
        (2, Hold.SET), (5, Hold.LOOSE), (6, Hold.SET)]  # fmt: skip

    read = read_plan(DEMO)
    model = build_planned(read)
    where = judged([*GOOD]).survey.positions
    once, again = (
        read_notebook("\n".join(["kind,from,value", *rows[:n]]), 4) for n in (2, 3)
    )  # fmt: skip
    least = []
    for held in (once.held, again.held, first_of_each(again.held)):
        free = freedom(model, where, replace(once, held=held), read.truing)
        names = zip(free.place, free.axis, free.fixed, strict=True)
        least.append(free.most[[(p, a, bool(f)) for p, a, f in names].index(
            ("F2", Axis.ACROSS, False))])  # fmt: skip
    assert least[0] == least[2] == pytest.approx(least[1] - 0.00635)


def test_two_slides_rows_are_said():
    made = judged([Row("slides", "B2", "1/2 in up"), Row("slides", "B2", "1 in up"), *GOOD])
    assert "lines 2 and 3 say how far B2 slides: line 3 counts" in reasons(made)
    assert made.gate.ready is Ready.READY


def test_a_move_without_its_size_holds_the_pour():
    made = judged([*GOOD, Row("moved", "F3", "")])
    assert made.gate.ready is Ready.NOT_READY
    assert "needs how far and which way" in reasons(made)


# ---- what no reading tells ---------------------------------------------------------------


def test_beam_ends_and_the_bearing_are_named_when_nothing_tells_them():
    told = reasons(judged([*GOOD]))
    assert ("not checked, no reading tells: ends of the beams: front left, front right, back left "
            "and back right") in told  # fmt: skip
    assert "against the pins" not in told

    free = [r for r in GOOD if not (r.kind == "tape" and "pin" in r.start)]
    made = judged([*free])
    assert made.gate.ready is Ready.READY
    assert "against the pins: which way the row faces and where the frame stands" in reasons(made)


def test_a_beam_end_that_was_measured_is_not_named():
    points = points_for(DEMO)
    end = [Row("string side", "F1", "0 in back", "F4", "front left"),
           Row("string height", "F1", "0 in up", "F4", "front left")]  # fmt: skip
    told = reasons(judged([*GOOD, *end, *end]))
    assert "ends of the beams: front right, back left and back right" in told
    told = reasons(judged([*GOOD, end[0], end[0]]))
    assert "ends of the beams: front left in height, front right" in told
    assert "front left" in points.ids


# ---- times -------------------------------------------------------------------------------


def test_a_reading_of_the_same_day_without_a_clock_time_is_not_before_the_move():
    rows = ["2026-05-05 10:00,moved,F3,,,1/16 in up,,,", "2026-05-05,rod,F3,,,4 ft,,A,",
            "2026-05-04,rod,F3,,,4 ft,,A,"]  # fmt: skip
    problems = [p for p in judged(rows).problems if p.path == "time"]
    assert [p.line for p in problems] == [4]


# ---- instruments -------------------------------------------------------------------------


def test_the_name_of_an_instrument_has_no_capitals():
    plan = plan_text({"truing.instruments": {"Grey Tape": {"kind": "tape", "error": "1/2 in"}}},
                     (), "alder-creek")  # fmt: skip
    row = ",tape,F1,F2,,9 ft,grey TAPE,,"
    made = judged([row], plan)
    assert not made.problems and made.survey.sd[0] >= 0.0127
    (problem,) = judged([",tape,F1,F2,,9 ft,gray tape,,"], plan).problems
    assert 'no instrument "gray tape"; known are Grey Tape, angle gauge' in problem.message
    two = plan_text({"truing.instruments": {n: {"kind": "tape"} for n in ("Grey", "grey")}}, (),
                    "alder-creek")  # fmt: skip
    (problem,) = judged([",tape,F1,F2,,9 ft,grey,,"], two).problems
    assert "differ in capitals only" in problem.message


def test_slips_of_angles_are_said_in_degrees():
    made = judged([*GOOD])
    lean = [h for h in made.hidden if made.survey.readings[h.reading].kind in ANGLES]
    assert lean and all(0 < np.degrees(h.slip) < 5 for h in lean)
    assert "° would not show in plumb of" in reasons(made)


# ---- rods that nothing checks ------------------------------------------------------------


def test_the_field_sheet_leaves_no_reading_unchecked():
    """One more rod for each that stood alone, and no fewer: each tells a height of its own."""
    points = points_for(DEMO)
    first, sheet = field_readings(points), sheet_readings(points)
    assert sheet[: len(first)] == first
    more = sheet[len(first) :]
    bases = {points.ids[i] for i in points.of(Place.BASE)}
    assert {w.start for w in more} == {*bases, "pin 2"} and len(more) == len(bases) + 1
    assert {(w.kind, w.setup) for w in more} == {(Kind.ROD, "B")}
    for wanted, alone in ((first, len(more)), (sheet, 0), (sheet[:-1], 1)):
        made = judged([*readings_on(DEMO, wanted=wanted)])
        told = [r for r in made.gate.reasons if "confirmed by no other" in r]
        assert int((made.survey.redundancy < 0.01).sum()) == alone
        assert [int(re.search(r"\d+", r)[0]) for r in told] == ([alone] if alone else [])


def test_a_slip_at_the_ground_is_found_on_the_field_sheet():
    points = points_for(DEMO)
    rows = readings_on(DEMO, wanted=sheet_readings(points))
    i = next(k for k, r in enumerate(rows) if r.start == "F2 base" and r.kind == "rod")
    rows[i] = replace(rows[i], value="4 ft")
    assert f"rod reading on F2 base (line {i + 2})" in reasons(judged([*rows]))
