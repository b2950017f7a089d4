"""What papers say in another language: the catalogue, its completeness, numbers and units."""

from __future__ import annotations

import ast
import gettext
import io
import re
from itertools import pairwise
from pathlib import Path
from string import Formatter

import pytest

import plumbrail
from book_sentences import BOOK
from grounds_said import grounds_said
from plumbrail.checks import remedies
from plumbrail.errors import PlumbrailError
from plumbrail.notebook.entries import Axis, Hold, Kind
from plumbrail.papers.words import (
    LANGUAGES,
    figures,
    language,
    listening,
    say,
    say_many,
    speaking,
    tell,
    with_english,
)
from plumbrail.papers.words.catalogue import entries
from plumbrail.papers.words.mo import mo_bytes
from plumbrail.papers.words.po import read_po
from plumbrail.papers.words.told import CONTEXT, rules
from plumbrail.truing.families import _FAMILIES
from plumbrail.truing.holdpoints import CAUTIONS, HOLD_POINTS
from plumbrail.truing.parts import Verdict
from plumbrail.truing.words import move_words
from proving_said import proving_said
from trench_sentences import TRENCH
from units.told_on_drawings import ON_DRAWINGS
from works_said import WORKS
from yield_sentences import YIELD

SOURCE = Path(plumbrail.__file__).parent
FIELD_SET = ("papers/pages_*.py", "jobs/book.py", "papers/field_*.py", "papers/truing_*.py",
             "papers/furniture.py", "papers/wording.py",
             "papers/paragraphs.py", "papers/tables.py", "jobs/truing.py", "papers/chain.py",
             "papers/section.py", "papers/elevation*.py", "papers/plan_*.py",
             "papers/setting_out.py", "papers/splice_plan*.py", "papers/rail_layout*.py",
             "papers/pier_detail*.py", "papers/site_plan*.py", "papers/conduit_profile*.py",
             "papers/one_line*.py", "papers/wir*.py", "papers/cut_sheet.py",
             "papers/direction_sheet.py", "papers/shadow_sketch.py",
             "papers/marking_colours.py", "papers/yield_*.py", "papers/angle_map*.py",
             "papers/month_bars.py", "papers/shade_chart*.py",
             "jobs/book_parts_drawings.py")  # fmt: skip
ES = entries("es")
SENTENCES = (
    "no readings: nothing has been measured",
    "row to put right: line 3: value: 12 will not do",
    "suspected: tape F2–B2 (line 14) reads 12 in long: was a foot misread?",
    "suspected: rod reading on F3 (line 2) reads 305 mm too little: were 3 feet misread, or was F2 "
    "read instead of F3?",
    "plumb of B2 across (line 9) reads 1.0° too far to the back: was it to the other side?",
    "plumb of B2 along (line 9) reads 1.0° too far to the right: was it read across?",
    "plumb of B2 (line 9) reads 1.0° too far to the left: was it read along?",
    "string side of F2 off the string F1–F4 (line 5) reads 1/4 in too far to the front: measure it "
    "again",
    "string height of F2 off the string F1–F4 (line 5) reads 1/4 in too high: was the sign lost?",
    "string height of F2 off the string F1–F4 (line 5) reads 1/4 in too low: measure it again",
    "tilt F2–B2 (line 7) reads 1.0° too steep: was a degree misread?",
    "tilt F2–B2 (line 7) reads 2.0° too flat: were 2 degrees misread?",
    "level tape F1–F4 (line 7) reads 1.2 m short: was a metre misread?",
    "diagonal F1–B2 (line 7) reads 2 m long: were 2 metres misread, or were 10 cm misread?",
    "tape F1–F2 (line 7) reads 1 in long: was an inch misread?",
    "tape F1–F2 (line 7) reads 3 in long: were 3 inches misread?",
    "tape F1–F2 (line 7) reads 10 mm long: was a centimetre misread?",
    "tape F1–F2 (line 7) reads 30 mm long: were 3 centimetres misread?",
    "tape F1–F2 (line 7) reads 3 in long: were decimal feet taken for inches?",
    "tape F1–F2 (line 7) reads 3 in long: were inches taken for decimal feet?",
    "tape F1–F2 (line 7) reads 3 in long: were two figures written in the wrong order?",
    "rod reading on pin 1 (line 7) reads 3 in too much: was it swapped with line 8?",
    "rod reading on F1 (line 7) reads 3 in too much: was it read from set-up B?",
    "either tape F2–B2 (line 14) reads 12 in long: was a foot misread?, or tape F3–B3 (line 15) "
    "reads 12 in short: measure it again (they cannot be told apart: measure both again)",
    "either the move of F3 (line 14) is not as noted, or the ground does not stand where the plan "
    "has it (they cannot be told apart: measure both again)",
    "either rod reading on F1 (line 4) reads 12 in too much: was a foot misread?, or rod reading "
    "on F2 (line 5) reads 12 in too little: measure it again, or one of 4 more rows (they cannot "
    "be told apart: measure all of them again)",
    "either rod reading on F1 (line 4) reads 12 in too much: measure it again, or one more row "
    "(they cannot be told apart: measure all of them again)",
    "in doubt: F1 does not stand where the plan has it, by 3/8 in; if not, look at line 4 or 8",
    "in doubt: the ground does not stand where the plan has it, by 3/8 in",
    "F1 does not stand where the plan has it",
    "line 3: F2 base seems to have moved 3/8 in more than noted; if not, look at line 4",
    "line 3: F2 seems to have moved 3/8 in less than noted",
    *(f"line 3: F2 seems to have moved 3/8 in {way} as well"
      for way in ("up", "down", "to the right", "to the left", "to the back", "to the front")),
    "more readings contradict each other than can be sorted: measure again",
    *(f"3 more {what}" for what in (
        "rows to put right", "suspected readings", "doubts", "readings struck out",
        "readings in which such a slip would not show",
        "readings that nothing checks and a value hangs on: read them twice")),
    "outside: level of the front beam, 2 of 4 posts, worst at F3: 5/16 in low (1/4 in allowed)",
    "outside: spacing along the front beam, 1 of 3 bays, worst at F3 to F4: 1' 2 1/16\" long "
    "(1/2 in "
    "allowed); 1 more too uncertain to say",
    "outside: beams parallel in height, 1 of 4 stations, worst at station 3: 5/16 in too much "
    "(1/4 in "
    "allowed)",
    "outside: beams parallel in height, 1 of 4 stations, worst at station 3: 5/16 in too little "
    "(1/4 "
    "in allowed)",
    "outside: tilt, 1 of 4 stations, worst at station 3: 36.2° too steep (30.0° to 35.0° allowed)",
    "outside: tilt, 1 of 4 stations, worst at station 3: 29.2° too flat (30.0° to 35.0° allowed)",
    "too uncertain to say: tilt, 1 of 4 stations, worst at station 3: 34.9° (30.0° to 35.0° "
    "allowed), "
    "give or take 0.3°",
    "outside: line of the back beam in height, 1 of 2 places, worst at left end: 12 mm high (6 mm "
    "allowed)",
    "outside: line of the back beam seen from above, 1 of 2 places, worst at right end: 12 mm to "
    "the "
    "right (6 mm allowed)",
    "outside: spacing from beam to beam, 1 of 4 stations, worst at station 2: 12 mm wide (6 mm "
    "allowed)",
    "outside: spacing from beam to beam, 1 of 4 stations, worst at station 2: 12 mm narrow (6 mm "
    "allowed)",
    "outside: spacing along the back beam, 1 of 3 bays, worst at F1 to F2: 12 mm short (6 mm "
    "allowed)",
    "not measured: level of the front beam, 4 of 4 posts",
    "not measured: level of the front beam, 2 of 4 posts: F1, F3 and 2 more",
    "not measured: level of the front beam, 1 of 4 posts: F1; moved since it was read: F3 (line "
    "40), F4 base (line 41); read it again",
    "1 move is needed", "8 moves are needed", "no moves can do it",
    "no allowed move brings inside: front beam at F3 (level of the front beam); and 3 more",
    "what was thought fixed would have to change: F3 top would have to go up 5/16 in",
    "the readings are too uncertain to promise that any moves suffice",
    "nothing checks this: a slip of up to 7/16 in would not show in rod reading on F3 (line 12), "
    "and level of the front beam at F3 and 4 more hang on it: read it twice",
    "not checked closely by other readings: a slip of up to 0.7° would not show in plumb of F1 "
    "across (line 85), and plumb of the posts across the row at F1 hangs on it: read it twice",
    "nothing checks this: a slip would not show in rod reading on F3 (line 12), and level of the "
    "front beam at F3 hangs on it: read it twice",
    "nothing checks this: a slip would not show in rod reading on F3 (line 12), and level of the "
    "front beam at F3 and 4 more hang on it: read it twice",
    "nothing was compared with a tolerance",
    "all 78 values that have a tolerance are inside it, at 99.5 % confidence",
    "not checked, no tolerance stated: straight, level, parallel, plumb, plane, tilt, spacing, "
    "square, height",
    "not checked: 1 reading is confirmed by no other (line 3); a slip there would not be seen",
    "not checked: 9 readings are confirmed by no other (lines 15, 24 to 31); a slip there would "
    "not be seen",
    "the readings agree less well than their instruments say: every uncertainty is taken 1.52 "
    "times as large",
    *(f"struck out, not used: line 47, {words}" for words in (
        "tape F2–B2 9' 8\"", "level tape F2–B2 2.9 m", "diagonal F1–B2 12 ft", "tilt F1–B1 30°",
        "rod F2 3 cm", "something else")),
    "not checked: 1 row of the field sheet is still blank",
    "not checked: 12 rows of the sheet are still blank",
    "1 row is the same as an earlier one and has no clock time: it counts as a separate reading",
    "3 rows are the same as earlier ones and have no clock time: they count as separate readings",
    "lines 3 and 8 say how far F3 slides: line 8 counts",
    "not checked, no reading tells: ends of the beams: front left, front right seen from above and "
    "back left in height",
    "not checked, no reading tells: ends of the beams: back right",
    "not checked, no reading tells: against the pins: which way the row faces and where the frame "
    "stands",
    "not checked, no reading tells: against the pins: where the frame stands",
    "tape F2–F3, once more", "rod on the ground at B1 and B2, all from set-up A2, once more",
    "rod on the beam over F1 to F4, all from set-up C", "rod on the ground at B1 and B2, all from "
    "set-up A2", "rod on the cut end of F1", "rod reading on pin 1, all from set-up C",
    "plumb along the row: F1 to F4", "plumb across the row: F1, F2 and F4", "plumb of B1 along",
    "tilt with a trial rail from front to back beam: stations 1 to 3 and 5",
    "string side off the string F1–F4: F2 and F3",
    "string side off the string F1 base–F4 base: F2 to F4 (base)",
    "string height off the string F1–F4: F2 and F3",
    "string height off the string F1 base–F4 base: F2 and F3 (base)",
    "tape from beam to beam: stations 1 and 3",
    "tape from post to post on the ground: stations 1 to 4",
    *(f"tape {where} {row} {what}, bay by bay: F1 to F4" for row in ("front", "back")
      for where, what in (("along the", "beam"), ("on the ground along the", "row"))),
    "tape: F1–F2, F3–F4", "diagonal: F1–B2, F2–B1", "level tape: pin 1–F1 base, pin 1–F4 base",
    "diagonal F1–B2", "tape pin 1–F1 base", "tilt F1–B1", "plumb of B1 across",
    "string side of F2 off the string F1–F4",
    "rod reading on pin 2",
    "next readings", "as measured", "on paper only",
)  # fmt: skip
"""Sentences as the gate, the search for slips and the moves make them (as in their tests)."""
WHAT = (
    "behind the straight line from F1 to F4, seen from above", "above the straight line from F1 to "
    "F4", "above the mean height of the front beam", "above the mean height of the back beam",
    "longer than planned", "longer than planned, level from beam to beam",
    "leaning to the right, along the row", "leaning to the back, across the row",
    "above the plane that fits all posts best, square to it",
    "above its planned height over pin 1",
    "rise from the front to the back beam, more than its mean over the row",
    "back beam behind the front beam, square to the row, more than its mean",
    "straight from beam to beam, more than its mean over the row",
    "slope of a rail laid across both beams", "back post too far to the right of its front post",
    "post F1", "beam over F1", "station 3", "F1 to F2", "left end", "right end",
    *(f"{row} beam{rest}" for row in ("front", "back")
      for rest in (" at F1", ", left end", ", right end", " from F1 to F2")),
)  # fmt: skip


def single_words():
    """Words of enumerations, tables and units that are told by themselves."""
    yield from (k.value for group in (Kind, Axis, Hold, Verdict) for k in group)
    yield from ("from", "to", "at", "up", "down", "front", "back", "left", "right", "in", "mm",
                "cm", "m", "ft", "pin 1", "pin 2", "front left")  # fmt: skip
    for family in _FAMILIES.values():
        yield from (family.title.format(row=row) for row in ("front", "back"))
        yield from (family.noun, family.more, family.less)
        yield from (way.removeprefix("to the ") for way in (family.more, family.less))


def moves():
    places = ("F3", "F3 base", "F3 post", "front beam", "B2", "B2 base", "B2 post", "back beam")
    for place in places:
        for axis in (Axis.ALONG,) if place.endswith("beam") else Axis:
            for amount in (-0.4, -0.0079375, 0.0079375):
                for fixed in (False, True):
                    for units in ("us", "metric"):
                        yield move_words(place, axis, amount, fixed, units)


def all_told():
    return (*SENTENCES, *WHAT, *single_words(), *moves(), *HOLD_POINTS, *CAUTIONS, *ON_DRAWINGS,
            *grounds_said(), *proving_said(), *BOOK, *YIELD, *WORKS,
            *TRENCH, *remedies.every())  # fmt: skip


def literals(node):
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return [node.value]
    return [*literals(node.body), *literals(node.orelse)] if isinstance(node, ast.IfExp) else []


def said_in(path):
    """Texts that a module passes to ``say``, ``say_many`` and ``later``."""
    for call in ast.walk(ast.parse(path.read_text("utf-8"))):
        name = getattr(getattr(call, "func", None), "id", "") if isinstance(call, ast.Call) else ""
        if name in {"say", "later"}:
            yield from ((text, "") for text in literals(call.args[0]))
        elif name == "say_many":
            yield from zip(literals(call.args[0]), literals(call.args[1]), strict=True)


def field_set():
    paths = sorted(p for pattern in FIELD_SET for p in SOURCE.glob(pattern))
    assert len(paths) > 12
    return {found for p in paths for found in said_in(p)}


def everything_said():
    return {found for p in SOURCE.rglob("*.py") for found in said_in(p)}


def test_every_text_of_the_field_papers_has_a_spanish_message():
    known = {(e.text, e.many) for e in ES if not e.context}
    assert field_set() - known == set()


def test_no_message_is_left_over():
    known = {(e.text, e.many) for e in ES if not e.context and e.text}
    assert known - everything_said() == set()


def test_placeholders_are_the_same_in_both_languages():
    def holes(text):
        return {name for _, name, _, _ in Formatter().parse(text) if name is not None}

    for e in ES:
        for said in e.said:
            assert holes(said) == holes(e.text) | holes(e.many), (e.line, e.text)


def test_spanish_messages_are_well_formed():
    """As many closed as opened, an opening mark for each question, ends as the English does."""
    for e in ES[1:]:
        for said in e.said:
            assert said == said.strip(), e.line
            assert said.count("¿") == said.count("?"), e.line
            assert said.count("(") == said.count(")"), e.line
            assert said.count("«") == said.count("»"), e.line
            assert "  " not in said, e.line
            if e.text[-1] in ".:" and e.text != "No.":
                assert said[-1] == e.text[-1], e.line


@pytest.mark.parametrize("units", ["us", "metric"])
def test_all_that_the_engineering_says_is_told(units):
    with speaking("es", units), listening() as unsaid:
        for sentence in all_told():
            tell(sentence)
    assert unsaid == []


def test_every_pattern_and_word_that_is_told_is_needed():
    """No message of context ``told`` that none of the sentences needs."""
    heard = set(all_told())
    whole = {e.text for e in ES if e.context == CONTEXT and "{" not in e.text}
    parts = " ".join(heard)
    assert {w for w in whole if not re.search(rf"\b{re.escape(w)}(?!\w)", parts)} == set()
    fits = [r for r in rules("es") if not any(r.fits.search(s) for s in heard)]
    assert [r.text for r in fits] == []


@pytest.mark.parametrize(
    ("english", "spanish"),
    [
        ("front beam at F3: up 5/16 in", "viga delantera en F3: subir 5/16 pulg"),
        ("back beam at B1: down 1' 2\"", "viga trasera en B1: bajar 1' 2\""),
        ("F2, whole post: toward the front 1 1/8 in",
         "F2, poste entero: mover hacia adelante 1 1/8 pulg"),
        ("tape F2–B2 (line 14) reads 12 in long: was a foot misread?",
         "cinta F2–B2 (línea 14) marca 12 pulg de más: ¿se leyó mal un pie?"),
        ("rod reading on pin 1", "mira en estaca 1"),
        ("1 move is needed", "hace falta 1 movimiento"),
        ("plumb along the row: B1, F1 and F2", "plomo a lo largo de la fila: B1, F1 y F2"),
        ("tape from beam to beam: stations 7 and 8", "cinta de viga a viga: ejes 7 y 8"),
        ("F1 does not stand where the plan has it, by 0.2 m; if not, look at line 7 or 8",
         "F1 no está donde dice el plan, por 0,2 m; si no, revise la línea 7 u 8"),
    ],
)  # fmt: skip
def test_examples(english, spanish):
    assert tell(english) == english
    with speaking("es"):
        assert tell(english) == spanish


def test_numbers_follow_the_language_and_the_units():
    """The Spanish academy's Ortografía (2010, from memory): comma or point for decimals, a thin
    space for groups, none in figures of four."""
    texts = ("0.5°", "1,234.5 mm", "12345", "12,345.25 m", "5/16", "1' 2 5/16\"")
    with speaking("es", "metric"):
        metric = [figures(t) for t in texts]
    with speaking("es", "us"):
        us = [figures(t) for t in texts]
    assert metric == ["0,5°", "1234,5 mm", "12\u202f345", "12\u202f345,25 m", *texts[4:]]
    assert us == ["0.5°", "1234.5 mm", "12\u202f345", "12\u202f345.25 m", *texts[4:]]
    assert [figures(t) for t in texts] == list(texts)


def test_english_passes_through_and_languages_end_with_their_block():
    assert say("READY TO POUR") == "READY TO POUR"
    assert say("no {such} text", such="odd") == "no odd text"
    with speaking("es"):
        assert language() == "es"
        with speaking("en"):
            assert say("READY TO POUR") == "READY TO POUR"
        assert say("READY TO POUR") == "LISTO PARA COLAR"
        assert with_english("rod") == "mira (rod)"
    assert language() == "en"
    assert with_english("rod") == "rod"


def test_counts_take_their_plural():
    texts = ("{n} reason: see What to do", "{n} reasons: see What to do")
    assert [say_many(*texts, n) for n in (1, 2)] == [t.format(n=n) for n, t in enumerate(texts, 1)]
    with speaking("es"):
        assert say_many(*texts, 1) == "1 motivo: vea Qué hacer"
        assert say_many(*texts, 3) == "3 motivos: vea Qué hacer"


def test_what_has_no_message_is_said_in_english_and_heard():
    with speaking("es"), listening() as unsaid:
        assert say("Nobody translated this.") == "Nobody translated this."
        assert tell("nor that") == "nor that"
        assert tell("suspected: nor that") == "suspected: nor that"
    assert unsaid == ["Nobody translated this.", "nor that", "suspected: nor that"]


def test_an_unknown_language_is_refused():
    with pytest.raises(PlumbrailError, match="'fr' is not spoken here; write one"), speaking("fr"):
        pass
    assert LANGUAGES == ("en", "es")


def test_the_catalogue_is_as_gettext_reads_it():
    """The bytes against the standard library's own reader of GNU .mo files."""
    made = gettext.GNUTranslations(io.BytesIO(mo_bytes(ES)))
    for e in ES[1:]:
        if e.many:
            assert [made.ngettext(e.text, e.many, n) for n in (1, 2)] == list(e.said)
        elif e.context:
            assert made.pgettext(e.context, e.text) == e.said[0]
        else:
            assert made.gettext(e.text) == e.said[0]
    assert made.info()["language"] == "es"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (
            'msgid "a"\nmsgstr "b"\n\nmsgid "a"\nmsgstr "c"\n',
            "line 4: 'a' stands already",
        ),
        ('msgid "a"\n', "needs a msgid and a filled msgstr"),
        ('msgid "a"\nmsgstr ""\n', "needs a msgid and a filled msgstr"),
        ('msgid a\nmsgstr "b"\n', "line 1: 'msgid a' is no line"),
    ],
)
def test_a_damaged_catalogue_is_refused(text, message):
    with pytest.raises(PlumbrailError, match=re.escape(message)):
        read_po(text, "test.po")


def test_a_catalogue_is_read_with_lines_comments_and_contexts():
    text = '# about\nmsgctxt "x"\nmsgid ""\n"one "\n"two"\nmsgstr "uno \\"dos\\""\n'
    (entry,) = read_po(text)
    assert (entry.context, entry.text, entry.said) == ("x", "one two", ('uno "dos"',))


def test_messages_stand_in_the_order_of_the_file():
    assert all(a.line < b.line for a, b in pairwise(ES))
