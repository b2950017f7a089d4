"""Beam splices: where they may fall, and what they have to carry where they do fall."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.bases.us.aisc360 import splices as aisc_splices
from plumbrail.bases.us.common import moment_ratio
from plumbrail.bases.us.entered import FRAME, MODEL, Origin
from plumbrail.check import Case, Check, Status, not_checked
from plumbrail.checks.framing import Kind
from plumbrail.checks.response import Combined, Response
from plumbrail.checks.sway import sway_amplifier
from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan
from plumbrail.tables.sections import pipe, steel
from plumbrail.trace import Certainty, given, provision
from plumbrail.units import show

Array = NDArray[np.float64]
ROWS = ("front", "back")
STEP = 0.005
"""Zones are found on a grid this fine [m]."""


@provision("share chosen in the plan", "M_c [N*m]", "share*M_max", Certainty.PLAN,
           share="-", M_max="N*m")  # fmt: skip
def splice_moment_limit(share: Array, M_max: Array) -> Array:
    """Moment up to which a splice may lie at a place of the beam."""
    return share * M_max


@dataclass(frozen=True)
class Envelope:
    """Forces along one beam in every combination.

    ``x`` (places,) from the left end; ``M`` and ``V`` (combinations, places), resultants with the
    sway amplifier.
    """

    x: Array
    M: Array
    V: Array

    @property
    def M_max(self) -> float:
        """Largest moment anywhere along the beam."""
        return float(self.M.max())

    def at(self, position: float) -> tuple[Array, Array]:
        """Moment and shear (combinations,) at a place, the larger of both sides of a jump."""
        near = np.flatnonzero(np.abs(self.x - position) < 1e-6)
        if len(near):
            return self.M[:, near].max(axis=1), self.V[:, near].max(axis=1)
        j = int(np.clip(np.searchsorted(self.x, position), 1, len(self.x) - 1))
        share = (position - self.x[j - 1]) / (self.x[j] - self.x[j - 1])

        def between(values: Array) -> Array:
            return np.asarray((1.0 - share) * values[:, j - 1] + share * values[:, j])

        return between(self.M), between(self.V)


def envelopes(plan: Plan, model: Model, response: Response) -> tuple[Envelope, Envelope]:
    """Envelopes of the front and the back beam."""
    combined = response.strength
    B_2 = sway_amplifier(response, combined)[:, None]
    found = []
    for row in (0, 1):
        members = response.framing.members(Kind.BEAM, row)
        f = response.forces(members, combined)

        def along(values: Array) -> Array:
            return np.moveaxis(values, 0, 1).reshape(values.shape[1], -1)

        found.append(Envelope(
            response.places(members).ravel(), along(np.hypot(f.M_y, f.M_z)) * B_2,
            along(np.hypot(f.V_y, f.V_z)),
        ))  # fmt: skip
    return found[0], found[1]


def splice_zones(
    plan: Plan, model: Model, response: Response
) -> tuple[tuple[tuple[float, float], ...], ...]:
    """Intervals (start, end) from the left end where each beam may be spliced [m]."""
    found = envelopes(plan, model, response)
    return tuple(_zones(plan, model, row, envelope) for row, envelope in enumerate(found))


def _zones(
    plan: Plan, model: Model, row: int, envelope: Envelope
) -> tuple[tuple[float, float], ...]:
    rules, supports = plan.stock.splices, model.beams.supports[row]
    x = np.arange(0.0, model.beams.length + STEP, STEP)
    worst = envelope.M.max(axis=0)
    moment = np.maximum(
        np.interp(x - STEP, envelope.x, worst), np.interp(x + STEP, envelope.x, worst)
    )
    low = np.maximum(moment, np.interp(x, envelope.x, worst)) <= rules.moment_share * envelope.M_max
    clear = np.abs(x[:, None] - supports).min(axis=1) >= rules.clear_of_posts
    between = (x > supports[0]) & (x < supports[-1])
    good = low & clear & between
    edges = np.flatnonzero(np.diff(np.concatenate([[0], good.astype(np.int8), [0]])))
    pairs = edges.reshape(-1, 2)
    return tuple((float(x[a]), float(x[b - 1])) for a, b in pairs if b - a > 1)


def splice_cases(
    plan: Plan, model: Model, response: Response, positions: Sequence[Sequence[float]]
) -> tuple[list[Case], list[Check]]:
    """Place and strength of every splice; ``positions`` from the left end of each beam [m]."""
    cases: list[Case] = []
    checks: list[Check] = []
    for row, envelope in enumerate(envelopes(plan, model, response)):
        for i, x in enumerate(positions[row]):
            id = f"splice.{ROWS[row]}-{i + 1}"
            subject = f"{ROWS[row]} beam, splice at {show(x, 'length', plan.job.units)}"
            checks += _place(plan, model.beams.supports[row], id, subject, x, positions[row])
            cases.append(_low_moment(plan, response, envelope, id, subject, x))
            if _can_check(plan):
                joint = _joint(plan, model, response, envelope, x)
                cases += _strength(joint, response, id, subject)
                checks += joint.bearing(id, subject)
            else:
                checks.append(not_checked(
                    f"{id}.strength", subject, "strength of the joint", "splice",
                    "give frame.splice from the maker's letter, or a sleeve",
                ))  # fmt: skip
    return cases, checks


def _can_check(plan: Plan) -> bool:
    return plan.frame.splice.sleeve is not None or _stated(plan) is not None


def _stated(plan: Plan) -> tuple[float, float] | None:
    """The maker's moment and shear; None unless both are given."""
    s = plan.frame.splice
    if s.moment_capacity is None or s.shear_capacity is None:
        return None
    return s.moment_capacity, s.shear_capacity


def _place(
    plan: Plan, supports: Array, id: str, subject: str, x: float, all_places: Sequence[float]
) -> list[Check]:
    """Not in an overhang, not close to a post, not the second one in its bay."""
    rules = plan.stock.splices
    gap = float(np.abs(supports - x).min())
    if not supports[0] < x < supports[-1]:
        why = "lies in an overhang; a splice there is all that holds the end of the beam"
    elif gap < rules.clear_of_posts - 1e-9:
        apart = show(gap, "length", plan.job.units)
        why = f"lies {apart} from a post; stock.splices.clear_of_posts asks for more"
    elif _bays(supports, [p for p in all_places if p < x]) & _bays(supports, [x]):
        why = "is the second splice in its bay; the piece between them would hang on two joints"
    else:
        return []
    return [Check(f"{id}.place", subject, "place", Status.FAIL, note=why, family="splice",
                  clause="stock.splices", certainty=Certainty.PRACTICE)]  # fmt: skip


def _bays(supports: Array, places: Sequence[float]) -> set[int]:
    """Numbers of the bays that some places lie in."""
    return {int(i) for i in np.searchsorted(supports, places)}


def _low_moment(
    plan: Plan, response: Response, envelope: Envelope, id: str, subject: str, x: float
) -> Case:
    M, _ = envelope.at(x)
    k = int(M.argmax())
    share = plan.stock.splices.moment_share

    def run() -> Array:
        return moment_ratio(
            given("frame analysis", "M_r [N*m]", M[k], Certainty.DERIVED),
            splice_moment_limit(
                given("stock.splices.moment_share", "share [-]", share, Certainty.PLAN),
                given("frame analysis, whole beam", "M_max [N*m]", envelope.M_max,
                      Certainty.DERIVED),
            ),
        )  # fmt: skip

    return Case(f"{id}.low-moment", subject, "moment where it is joined", "splice",
                float(M[k]) / (share * envelope.M_max), response.strength.ids[k], run,
                "moment_ratio", clause="stock.splices.moment_share",
                note="splices belong where the beam bends least", rule=True)  # fmt: skip


def _joint(plan: Plan, model: Model, response: Response, envelope: Envelope, x: float) -> _Joint:
    M, V = (a[None, :] for a in envelope.at(x))
    return _Joint(plan, model, response.strength, M, V)


def _strength(joint: _Joint, response: Response, id: str, subject: str) -> list[Case]:
    found = joint.ratios({})
    ids = response.strength.ids
    return [
        joint.case(f"{id}.bending", subject, "bending", found.flexure[0], ids, "moment_ratio"),
        joint.case(f"{id}.shear", subject, "shear", found.shear[0], ids, "force_ratio"),
    ]


@dataclass(frozen=True)
class _Joint:
    """One splice: by the maker's figures when stated, else by the sleeve's own section."""

    plan: Plan
    model: Model
    combined: Combined
    M: Array
    V: Array

    def case(
        self, id: str, subject: str, word: str, ratio: Array, ids: tuple[str, ...], step: str
    ) -> Case:
        """The governing case of one limit state; ``ratio`` (combinations,)."""
        k = int(ratio.argmax())
        return Case(
            id, subject, f"{word} of the joint", "splice", float(ratio[k]), ids[k],
            lambda: self.ratios({"splice": 0, "combination": k}), step,
            clause=str(self.plan.frame.splice.source) if _stated(self.plan) else "",
        )  # fmt: skip

    def ratios(self, where: dict[str, int]) -> aisc_splices.SpliceRatios:
        """Ratios of all combinations, or of the one cut out by ``where``."""
        maker_says, method = _stated(self.plan), self.combined.method
        if maker_says is not None:
            M, V = (np.full((1, 1), value) for value in maker_says)
            stated = aisc_splices.StatedSplices(self.M, self.V, M, V)
            maker = Origin(f"frame.splice: {self.plan.frame.splice.source}", Certainty.MAKER)
            origins = {"frame": FRAME, "model": MODEL, "maker": maker}
            return aisc_splices.stated_ratios(stated.at(**where) if where else stated, origins)
        batch, origins = self._sleeve()
        return aisc_splices.sleeve_ratios(batch.at(**where) if where else batch, method, origins)

    def _sleeve(self) -> tuple[aisc_splices.SleeveSplices, dict[str, Origin]]:
        s = self.plan.frame.splice
        sleeve, grade = pipe(str(s.sleeve)), steel(self.plan.frame.steel)
        origins = {
            "frame": FRAME, "model": MODEL, "section": Origin(sleeve.source, sleeve.certainty),
            "steel": Origin(grade.source, grade.certainty),
        }  # fmt: skip
        fixed = {
            "d_i": self.model.beams.section.bore, "l": s.sleeve_insertion,
            "L_v": s.sleeve_insertion, "D": sleeve.OD, "t": sleeve.t, "A": sleeve.A,
            "S": sleeve.S, "Z": sleeve.Z, "E": grade.E, "F_y": grade.F_y,
        }  # fmt: skip
        return aisc_splices.SleeveSplices(
            M=self.M, V=self.V, **{k: np.full((1, 1), v) for k, v in fixed.items()}
        ), origins  # fmt: skip

    def bearing(self, id: str, subject: str) -> list[Check]:
        """The sleeve's bearing in the pipe, which no provision covers: shown, not checked."""
        if _stated(self.plan) is not None:
            return []
        batch, origins = self._sleeve()
        fit = aisc_splices.sleeve_fit(batch, origins)
        units = self.plan.job.units
        why = (
            f"the sleeve presses on the mouth of the pipe with "
            f"{show(float(fit.bearing.max()), 'line_load', units)} and its play lets the beam kink "
            f"{show(float(fit.kink.max()), 'angle', units)}; no provision says whether the pipe "
            "wall stands that: give the maker's moment_capacity and shear_capacity"
        )
        return [not_checked(f"{id}.bearing", subject, "sleeve in the pipe", "splice", why)]
