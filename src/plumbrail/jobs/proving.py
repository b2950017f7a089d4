"""Prove a finished array: what it should read, what it did read, and what is still open."""

from __future__ import annotations

from dataclasses import dataclass, replace
from difflib import get_close_matches
from pathlib import Path
from typing import Any, Literal

import numpy as np

from plumbrail.bases.iec.translation import current_expected, voltage_expected
from plumbrail.energy.diode import RATED_LIGHT, RATED_WARMTH, Curve, Diode, best_point
from plumbrail.energy.module import FittedModule, fitted
from plumbrail.errors import PlanError, PlumbrailError
from plumbrail.jobs.drawing import Drawn, job_info, on_paper, paper, write_sheets
from plumbrail.jobs.identity import Run
from plumbrail.jobs.standing import built_frame
from plumbrail.jobs.truing import Truing
from plumbrail.jobs.wiring import WireJob, wiring
from plumbrail.notebook.proof_blank import BlankProof, blank_proofs
from plumbrail.notebook.proof_entries import ProofBook
from plumbrail.notebook.proof_reader import load_proofs, read_proofs
from plumbrail.papers.proving_facts import ProofFacts
from plumbrail.papers.proving_record import record_sheets
from plumbrail.papers.proving_sheet import csv_hints, csv_note, test_sheets
from plumbrail.papers.words import say, speaking
from plumbrail.plan.models import Plan
from plumbrail.plan.reader import LoadedPlan
from plumbrail.proving.parts import Array, BuiltFrame, Judged, ModuleModel, TestedString
from plumbrail.proving.records import record_of
from plumbrail.proving.run import Proved, prove
from plumbrail.proving.shares import as_the_sheet, current_as_the_sheet
from plumbrail.proving.wanted import Screw, Subject, places
from plumbrail.trace import Certainty, Record, analysis, given
from plumbrail.wiring.sheet import Sheet, sheet_of
from plumbrail.wiring.strings import members

LOW_LIGHT = 0.06
"""Share by which voc falls per ln of the light, typical of silicon, where no diode can be fitted;
printed in the handbook of a maker of test sets."""
_NEWTON = 25
_DIODE = "single diode fitted to the module's data sheet"
DERIVED = Certainty.DERIVED


@dataclass(frozen=True)
class ProveJob:
    """The tests of one plan."""

    run: Run
    plan: Plan
    wires: WireJob
    subject: Subject
    book: ProofBook | None
    """None: only the blank sheet was asked for."""
    proved: Proved

    @property
    def passed(self) -> bool:
        """The array may be handed over."""
        return self.proved.complete


def proving(
    loaded: LoadedPlan, tests: str | Path | None = None, wires: WireJob | None = None,
    read: Truing | None = None,
) -> ProveJob:  # fmt: skip
    """Judge a file of tests, or without one say what is to be tested.

    ``read``: the truing of the site notebook, for how the frame stands; else the plan's [as_built].

    Raises PlanError for a plan without wiring or a file that cannot be read at all; bad rows come
    back as problems.
    """
    made = wiring(loaded) if wires is None else wires
    subject = subject_of(made, built_frame(made.plan, read))
    known = places(subject)
    book = None if tests is None else load_proofs(tests, known)
    proved = prove(subject, read_proofs("string,kind,value\n", known) if book is None else book)
    return ProveJob(made.run, made.plan, made, subject, book, proved)


def subject_of(made: WireJob, built: BuiltFrame | None = None) -> Subject:
    """What is tested, from the plan and its wiring; ``built``: how the frame stands."""
    plan, w, ids = made.plan, made.wired, made.model.modules.ids
    assert plan.wiring is not None
    strings = tuple(
        TestedString(name, tuple(ids[m] for m in members(w.strings, k).tolist()),
                     f"C{int(w.strings.combiner[k]) + 1}", int(w.strings.input[k]) + 1)
        for k, name in enumerate(w.strings.ids)
    )  # fmt: skip
    boxes = tuple(f"C{i + 1}" for i in range(len(w.boxes)))
    gear = plan.wiring.equipment
    return Subject(
        plan.proving, module_model(plan), strings, boxes, _screws(made, boxes),
        tuple(p.text for p in w.placards), gear.kind, gear.arc_fault, gear.ground_fault,
        plan.wiring.basis.code, plan.module.max_system_voltage,
        built,
    )  # fmt: skip


def _screws(made: WireJob, boxes: tuple[str, ...]) -> tuple[Screw, ...]:
    sizes = {c.id: " ".join(c.size.split()[:2]) for c in made.wired.circuits if c.size}
    string = next((s for id, s in sizes.items() if id != "run"), "")
    run = sizes.get("run", string)
    ground = next((" ".join(c.grounding.split()[:2]) for c in made.wired.circuits
                   if c.grounding[:1].isdigit()), "")  # fmt: skip
    spots = [(f"box {b}, strings", string) for b in boxes]
    spots += [(f"box {b}, run", run) for b in boxes]
    spots += [("disconnect", run), ("equipment", run), ("grounding lugs", ground)]
    kept = [(where, size) for where, size in spots if size]
    return tuple(Screw(f"T{i}", where, size) for i, (where, size) in enumerate(kept, 1))


def module_model(plan: Plan) -> ModuleModel:
    """The plan's module: by its single diode, or where its sheet lacks for that by IEC 60891."""
    sheet = sheet_of(plan)
    try:
        return _by_diode(sheet, fitted(plan.module), plan.module.bypass)
    except PlanError:
        return _by_sheet(sheet, plan.module.bypass)


def _by_diode(sheet: Sheet, fit: FittedModule, strips: int) -> ModuleModel:
    at = fit.diode
    open_rated = float(open_voltage(at, np.asarray(RATED_LIGHT), np.asarray(RATED_WARMTH)))

    def volts(G: Array, T: Array) -> Array:
        rated = given(f"{_DIODE}, at the rated light and warmth", "V_dr [V]", open_rated, DERIVED)
        return as_the_sheet(open_voltage(_told(at), G, T), _given_sheet("voc", "V_oc [V]",
                            sheet.voc), rated)  # fmt: skip

    def short(G: Array, T: Array) -> Array:
        return _short(sheet, G, T)

    return ModuleModel(
        sheet.voc, sheet.isc, sheet.isc_coefficient, sheet.voc_coefficient, strips, volts, short,
        lambda G, T: _best(at, G, T, "V"),
        lambda G, T: _best(at, G, T, "A"),
        _DIODE,
    )  # fmt: skip


def _by_sheet(sheet: Sheet, strips: int) -> ModuleModel:
    def volts(G: Array, T: Array) -> Array:
        low = given("handbook of a maker of test sets, typical of silicon", "k [-]", LOW_LIGHT,
                    Certainty.CONFIRMED)  # fmt: skip
        return voltage_expected(
            _given_sheet("voc", "V_stc [V]", sheet.voc), G, T,
            _given_sheet("voc_coefficient", "beta [1/K]", sheet.voc_coefficient), low,
        )  # fmt: skip

    def best(G: Array, T: Array) -> Array:
        return as_the_sheet(volts(G, T), _given_sheet("vmp", "V_mp [V]", sheet.vmp),
                            _given_sheet("voc", "V_oc [V]", sheet.voc))  # fmt: skip

    return ModuleModel(
        sheet.voc, sheet.isc, sheet.isc_coefficient, sheet.voc_coefficient, strips, volts,
        lambda G, T: _short(sheet, G, T), best,
        lambda G, T: current_as_the_sheet(
            _short(sheet, G, T), _given_sheet("imp", "I_mp [A]", sheet.imp),
            _given_sheet("isc", "I_sc [A]", sheet.isc),
        ),
        "data sheet translated by IEC 60891; for the single diode module.cells is missing",
    )  # fmt: skip


def _short(sheet: Sheet, G: Array, T: Array) -> Array:
    return current_expected(
        _given_sheet("isc", "I_stc [A]", sheet.isc), G, T,
        _given_sheet("isc_coefficient", "alpha [1/K]", sheet.isc_coefficient),
    )  # fmt: skip


def _given_sheet(name: str, result: str, value: float) -> Array:
    """A figure of the module's data sheet, known to the record."""
    return given(f"module.{name}", result, value, Certainty.MAKER)


def _told(at: Diode) -> Diode:
    """The diode with its figures known to the record."""
    figures = {
        "light": ("I_Lr [A]", at.light), "saturation": ("I_0r [A]", at.saturation),
        "series": ("R_s [ohm]", at.series), "shunt": ("R_shr [ohm]", at.shunt),
        "ideality": ("a_r [V]", at.ideality), "coefficient": ("alpha [A/K]", at.coefficient),
    }  # fmt: skip
    made: dict[str, Any] = {k: given(_DIODE, result, value, DERIVED)
                            for k, (result, value) in figures.items()}  # fmt: skip
    return Diode(**made)


def _best(at: Diode, G: Array, T: Array, unit: Literal["V", "A"]) -> Array:
    """Voltage or current of the largest power."""
    c = _told(at).under(G, T)
    best = best_point(c)
    drop = best.voltage + best.current * c.R_s
    misses = c.I_L - c.I_0 * np.expm1(drop / c.a) - drop * c.G_sh - best.current
    name, value = ("V_m", best.voltage) if unit == "V" else ("I_e", best.current)
    return analysis("single diode at its largest power", f"{name} [{unit}]", value, DERIVED,
                    float(np.max(np.abs(misses / c.I_L))),
                    "largest of voltage times current on its curve", _inputs(c))  # fmt: skip


def _inputs(c: Curve) -> dict[str, tuple[Array, str]]:
    return {"I_L": (c.I_L, "A"), "I_0": (c.I_0, "A"), "a": (c.a, "V"), "G_sh": (c.G_sh, "S")}


def open_voltage(diode: Diode, G: Array, T: Array) -> Array:
    """Open-circuit voltage [V] by Newton from above, where the curve is smooth."""
    c: Curve = diode.under(G, T)
    V = c.a * np.log1p(c.I_L / c.I_0)
    for _ in range(_NEWTON):
        e = c.I_0 * np.exp(V / c.a)
        V = V + (c.I_L - e + c.I_0 - V * c.G_sh) / (e / c.a + c.G_sh)
    misses = (c.I_L - c.I_0 * np.expm1(V / c.a) - V * c.G_sh) / c.I_L
    return analysis("single diode without current", "V_d [V]", V, DERIVED,
                    float(np.max(np.abs(misses))),
                    "I_L = I_0*(exp(V/a) - 1) + V*G_sh, by Newton's method",
                    _inputs(c))  # fmt: skip


@dataclass(frozen=True)
class ProofExplanation:
    """The steps behind one verdict."""

    judged: Judged
    record: Record


def explain_proof(made: ProveJob, id: str) -> ProofExplanation:
    """The steps of a test; raises PlumbrailError with near ids for one that does not exist."""
    p, wanted_id = made.proved, id.strip().lower()
    every = {j.id.lower(): j for j in (*p.beside, *p.judged)}
    found = every.get(wanted_id)
    if found is None:
        near = get_close_matches(wanted_id, every, 4, 0.3)
        names = ", ".join(every[n].id for n in near) or "none"
        raise PlumbrailError(f"there is no test {id!r}. Near it are: {names}")
    record = record_of(p, found)
    if record is None:
        why = found.words or "it was not measured"
        raise PlumbrailError(f"{found.id} follows without arithmetic, so it has no steps: {why}")
    return ProofExplanation(found, record)


def facts_of(made: ProveJob) -> ProofFacts:
    """What the papers are made from."""
    job = job_info(made.run, made.plan)
    if made.book is not None:
        known = say("{plan} · tests {tests}", plan=job.plan_hash, tests=made.book.sha256[:8])
        job = replace(job, plan_hash=known)
    return ProofFacts(job, made.subject, made.proved, made.book, made.plan.proving.by or "",
                      max(made.wires.wired.chosen.cold, 0.0))  # fmt: skip


def prove_papers(made: ProveJob, language: str = "en") -> list[Drawn]:
    """The record with its verdicts."""
    with (
        speaking(language, made.plan.job.units),
        on_paper("the record of the tests", "fewer strings would fit"),
    ):
        return [Drawn("hand-over", record_sheets(facts_of(made), paper(made.plan)))]


def blank_drawings(made: ProveJob, language: str = "en") -> list[Drawn]:
    """The blank test sheet."""
    with (
        speaking(language, made.plan.job.units),
        on_paper("the test sheet", "fewer strings would fit"),
    ):
        return [Drawn("test-sheet", test_sheets(facts_of(made), paper(made.plan)))]


def blank_papers(made: ProveJob, folder: str, language: str = "en") -> list[Path]:
    """The blank test sheet as drawings and, last, as a CSV; tests are never overwritten."""
    blank = Path(folder) / "tests.csv"
    if blank.exists():
        raise PlumbrailError(f"{blank}: there are tests already and they are not overwritten; name "
                             "another folder with --out, or move them")  # fmt: skip
    written = write_sheets(blank_drawings(made, language), folder)
    blank.write_text(blank_tests(made, language), encoding="utf-8")
    return [*written, blank]


def blank_tests(made: ProveJob, language: str = "en") -> str:
    """The blank tests as CSV: comments and notes in the language, words to read back in English."""
    with speaking(language, made.plan.job.units):
        rows = [BlankProof(w.kind, w.place, csv_note(w.words)) for w in made.proved.wanted]
        return blank_proofs(rows, csv_hints())


def record_hand_over(record: str, folder: str) -> Path:
    """The record of this run as JSON, beside its drawings."""
    target = Path(folder)
    target.mkdir(parents=True, exist_ok=True)
    path = target / "hand-over.json"
    path.write_text(f"{record}\n", encoding="utf-8")
    return path
