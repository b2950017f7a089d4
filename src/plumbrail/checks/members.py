"""Posts, beams and braces against AISC 360."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.bases.us.aisc360 import members as aisc
from plumbrail.bases.us.entered import FRAME, MODEL, Origin
from plumbrail.check import Case, Limit
from plumbrail.checks.framing import Kind
from plumbrail.checks.response import Combined, Response
from plumbrail.checks.sway import sway_amplifier
from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan
from plumbrail.tables.sections import PipeSection, steel
from plumbrail.units import show

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

LIMITS = (
    Limit("compression", "compression", "force_ratio", "AISC 360-22 E3, E7"),
    Limit("tension", "tension", "force_ratio", "AISC 360-22 D2"),
    Limit("flexure", "bending", "moment_ratio", "AISC 360-22 F8"),
    Limit("shear", "shear", "force_ratio", "AISC 360-22 G5"),
    Limit("torsion", "torsion", "moment_ratio", "AISC 360-22 H3.1"),
    Limit("interaction", "all together", "with_torsion", "AISC 360-22 H1.1, H3.2"),
)


@dataclass(frozen=True)
class Part:
    """A stretch of steel that is judged as one: a post, a bay of a beam, a brace."""

    id: str
    subject: str
    family: str
    members: IntArray
    section: PipeSection
    KL: float
    """Effective length [m]."""
    L: float
    """Length between supports [m]."""


def steel_parts(plan: Plan, model: Model, response: Response) -> list[Part]:
    """Every post, beam bay, overhang and brace."""
    return [*_posts(plan, model, response), *beam_parts(model, response), *_braces(model, response)]


def _posts(plan: Plan, model: Model, response: Response) -> list[Part]:
    framing = response.framing
    K = plan.frame.post_effective_length_factor
    parts = []
    for p, name in enumerate(model.posts.ids):
        L = float(np.linalg.norm(framing.frame.xyz[framing.top[p]]
                                 - framing.frame.xyz[framing.base[p]]))  # fmt: skip
        row = ("front", "back")[model.posts.row[p]]
        parts.append(Part(name, f"{row} post {name}", "post", framing.members(Kind.POST, p),
                          model.posts.section, K * L, L))  # fmt: skip
    return parts


def beam_parts(model: Model, response: Response) -> list[Part]:
    """Bays and overhangs of both beams, each from the left."""
    framing = response.framing
    parts = []
    for row, name in enumerate(model.beams.ids):
        edges = np.concatenate([[0.0], model.beams.supports[row], [model.beams.length]])
        longest = float(np.diff(model.beams.supports[row]).max())
        members = framing.members(Kind.BEAM, row)
        middle = framing.offset[members] + 0.5 * framing.frame.length[members]
        letter = "FB"[row]
        for i in range(len(edges) - 1):
            here = members[(middle > edges[i]) & (middle < edges[i + 1])]
            if not len(here):
                continue
            first, last = i == 0, i == len(edges) - 2
            place = "left end" if first else "right end" if last else f"{letter}{i}-{letter}{i + 1}"
            # An overhang buckles as a post free at its end, K = 2; a bay between its posts, K = 1.
            L = float(edges[i + 1] - edges[i])
            parts.append(Part(
                f"{name.replace(' ', '-')}.{place.replace(' ', '-')}", f"{name}, {place}", "beam",
                here, model.beams.section, 2.0 * L if first or last else L,
                L if first or last else longest,
            ))  # fmt: skip
    return parts


def _braces(model: Model, response: Response) -> list[Part]:
    braces = model.braces
    if braces.section is None:
        return []
    return [
        Part(
            name, f"brace {name}", "brace", response.framing.members(Kind.BRACE, i), braces.section,
            float(braces.length[i]), float(braces.length[i]),
        )
        for i, name in enumerate(braces.ids)
    ]  # fmt: skip


def steel_cases(plan: Plan, model: Model, response: Response) -> list[Case]:
    """Governing case of every limit state of every part."""
    combined = response.strength
    B_2 = sway_amplifier(response, combined)
    cases: list[Case] = []
    for family in ("post", "beam", "brace"):
        parts = [p for p in steel_parts(plan, model, response) if p.family == family]
        if parts:
            cases += _family_cases(plan, response, combined, B_2, parts)
    return cases


def _family_cases(
    plan: Plan, response: Response, combined: Combined, B_2: Array, parts: Sequence[Part]
) -> list[Case]:
    """All parts of one family in one batch; they share section and steel."""
    members = np.concatenate([p.members for p in parts])
    owner = np.repeat(np.arange(len(parts)), [len(p.members) for p in parts])
    batch = _batch(plan, response, combined, B_2, parts, members, owner)
    grade = steel(plan.frame.steel)
    section = parts[0].section
    origins = {
        "frame": FRAME, "model": MODEL,
        "section": Origin(section.source, section.certainty),
        "steel": Origin(grade.source, grade.certainty),
    }  # fmt: skip
    found = aisc.ratios(batch, combined.method, origins)
    x = response.places(members)
    cases = []
    for p, part in enumerate(parts):
        rows = np.flatnonzero(owner == p)
        for limit in LIMITS:
            ratio = getattr(found, limit.name)[rows]
            m, k, s = np.unravel_index(int(ratio.argmax()), ratio.shape)
            where = {"member": int(rows[m]), "combination": int(k), "station": int(s)}
            cases.append(Case(
                f"{part.id}.{limit.word.replace(' ', '-')}", part.subject, limit.word, part.family,
                float(ratio[m, k, s]), combined.ids[k],
                _replay(batch, where, combined, origins), limit.step, limit.clause,
                note=_place(plan, part, float(x[rows[m], s])),
            ))  # fmt: skip
    return cases


def _replay(
    batch: aisc.SteelMembers, where: dict[str, int], combined: Combined,
    origins: Mapping[str, Origin],
) -> Callable[[], object]:  # fmt: skip
    return lambda: aisc.ratios(batch.at(**where), combined.method, origins)


def _place(plan: Plan, part: Part, x: float) -> str:
    words = {"post": "above the depth of fixity", "beam": "from the left end of the beam",
             "brace": "from the low end"}  # fmt: skip
    return f"{show(x, 'length', plan.job.units)} {words[part.family]}"


def _batch(
    plan: Plan, response: Response, combined: Combined, B_2: Array, parts: Sequence[Part],
    members: IntArray, owner: IntArray,
) -> aisc.SteelMembers:  # fmt: skip
    f = response.forces(members, combined)
    one = np.ones((1, 1, 1))
    L = np.array([p.L for p in parts])[owner]
    grade = steel(plan.frame.steel)
    return aisc.SteelMembers.of(
        [p.section for p in np.array(parts, dtype=object)[owner]], [grade] * len(members),
        N=f.N, V_y=f.V_y, V_z=f.V_z, T=f.T, M_y=f.M_y, M_z=f.M_z,
        B_2=B_2[None, :, None], C_m=one, KL=np.array([p.KL for p in parts])[owner], L=L, L_v=L,
    )  # fmt: skip
