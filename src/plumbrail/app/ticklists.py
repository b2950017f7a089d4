"""GET /api/jobs/{job}/lists: what is ticked off on site, item by item.

Items are named by what they are and not by their place in a list, so that a tick stays with its
piece, hole or bolt when the plan changes around it. A piece of the cut list is named with the stick
it is sawn from: where an edit makes that another stick, the tick does not count for it any more.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from plumbrail.app import parts
from plumbrail.app.office import At, Office
from plumbrail.app.worked import Worked
from plumbrail.errors import PlumbrailError

_LBF_IN = 0.1129848290276167
_CONNECTORS = ("small slot", "large slot", "split bolt", "other")
_LONGEST = 100


def lists(office: Office, at: At) -> dict[str, Any]:
    """``lists``: id, title, note, groups of items; an item's words, and what else to know of it.

    Raises ProblemsError for a plan that cannot be worked out.
    """
    worked = office.worked(at)
    wires = office.bench.part(at.sha256, "wire")
    report = {} if wires is None else wires.report
    return {"lists": [_cut(office, at), _hold(), _pour(worked), _torque(worked, report)]}


def _list(id: str, title: str, note: str, groups: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    return {"id": id, "title": title, "note": note, "groups": list(groups)}


def _item(item: str, words: str, detail: str = "") -> dict[str, str]:
    return {"item": item[:_LONGEST], "words": words, "detail": detail}


# ------------------------------------------------------------------ cut


def _cut(office: Office, at: At) -> dict[str, Any]:
    """The pieces of each stick from its left end; the items are those of the cut list."""
    made = parts.cut(office, at)
    groups = [
        {"title": f"{bar['section']}, {bar['what']}: stick {bar['number']}, {bar['words']}",
         "items": [_item(p["item"], p["label"], p["words"]) | {"piece": p["piece"]}
                   for p in bar["pieces"]]}
        for bar in made["bars"]
    ]  # fmt: skip
    note = "In cutting order. Mark every piece as soon as it is cut."
    if made["pending"]:
        note = "A better cut list is still being looked for: wait before you saw. " + note
    return _list("cut", "Cut list", note, groups)


# ------------------------------------------------------------------ hold points


def _hold() -> dict[str, Any]:
    from plumbrail.truing.holdpoints import CAUTIONS, HOLD_POINTS

    items = [_item(_short(text), text) for text in HOLD_POINTS]
    note = "A person looks at each one and answers for it; no reading does. " + CAUTIONS[-1]
    return _list("hold", "Hold points", note, [{"title": "Before, during and after the pour",
                                                "items": items}])  # fmt: skip


def _short(text: str) -> str:
    """The words by which a hold point is known."""
    return text.partition(":")[0][:60].rstrip()


# ------------------------------------------------------------------ pour


def _pour(worked: Worked) -> dict[str, Any]:
    """Bags for each hole in the order of the pour, with the order of work around it."""
    from plumbrail.jobs.drawing import job_info
    from plumbrail.papers.pages_pour import Pour, pour_sheet
    from plumbrail.papers.pdf_blocks import Ticks
    from plumbrail.papers.words import speaking

    design, shop = worked.design, worked.shop
    plan = design.plan
    job = job_info(design.run, plan)
    poured = Pour(shop.concrete.ids, shop.bags, plan.stock.concrete.holding_height, "", False, job)
    with speaking("en", plan.job.units):
        ticks = [b for b in pour_sheet(poured) if isinstance(b, Ticks)]
        height = job.said(poured.holding)
    steps = [_item(f"step {_short(text)}", text) for block in ticks for text in block.items]
    size = shop.bags.size.name
    first, rest = (
        [_item(f"{pour} {id}", f"{id}: {int(n)} bags", size)
         for id, n in zip(poured.ids, bags, strict=True)]
        for pour, bags in zip(("first pour", "rest"), shop.bags.per_pier, strict=True)
    )  # fmt: skip
    note = ("The rest is poured only when the readings are found ready to pour and every hold "
            "point is signed.")  # fmt: skip
    return _list("pour", "Pour", note, [
        {"title": f"First pour: {height} in every hole, in this order", "items": first},
        {"title": "Rest, after the readings are ready, in this order", "items": rest},
        {"title": "Order of work", "items": steps},
    ])  # fmt: skip


# ------------------------------------------------------------------ torque


def _torque(worked: Worked, wires: Mapping[str, Any]) -> dict[str, Any]:
    """Every bolted joint and every circuit's terminals."""
    model, cutting = worked.design.analysis.planned, worked.design.cutting
    makers = "the maker's figure"
    rows = ("front", "back")
    groups = [
        _bolts("Beam on post", [(p, f"{p}: beam on post") for p in model.posts.ids], makers),
        _bolts("Joints of the beams", [
            (f"{row} {n}", f"{row} beam, joint {n} from the left")
            for row, found in zip(rows, cutting.splices, strict=True)
            for n in range(1, len(found) + 1)
        ], makers),
        _bolts("Braces", [(b, f"{b}: both ends") for b in model.braces.ids], makers),
        _bolts("Rail on beam", [
            (f"{rail} {row}", f"{rail} on the {row} beam") for rail in model.rails.ids
            for row in rows
        ], makers),
        _bolts("Clamps and grounding lug", [(m, f"{m}: clamps") for m in model.modules.ids],
               makers),
        _terminals(wires),
    ]  # fmt: skip
    note = (
        "A torque marked on the equipment or printed by its maker goes before everything here; "
        "the plan holds no figure of theirs. Use a torque tool, mark each screw."
    )
    if "circuits" not in wires:
        why = wires.get("missing", "the wiring is still being worked out; open this list again")
        note += f" Terminals: NOT CHECKED, {why}."
    return _list("torque", "Torque", note, [g for g in groups if g["items"]])


def _bolts(title: str, joints: Sequence[tuple[str, str]], detail: str) -> dict[str, Any]:
    return {
        "title": title,
        "items": [_item(f"{title}: {id}", words, detail) for id, words in joints],
    }


def _terminals(wires: Mapping[str, Any]) -> dict[str, Any]:
    american = str(wires.get("code", "NEC")).upper() != "IEC"
    items = []
    for circuit in wires.get("circuits", []):
        size = circuit["size"] or ""
        detail = f"conductor {size}; marked figure first" if size else "no conductor found"
        figures = _figures(size) if american else ""
        items.append(_item(f"terminals {circuit['id']}", f"{circuit['what']}: both ends",
                           f"{detail}{figures}"))  # fmt: skip
    return {"title": "Terminals of the circuits", "items": items}


def _figures(size: str) -> str:
    """Figures of the code's table for a conductor, for screws without one of their own."""
    from plumbrail.bases.us.nec.torque import torque

    plain, found = " ".join(size.split()[:2]), []
    for connector in _CONNECTORS:
        try:
            value = float(torque(plain, connector))
        except PlumbrailError:
            continue
        found.append(f"{connector} {value / _LBF_IN:.0f} lbf·in ({value:.1f} N·m)")
    return f", else NFPA 70 Annex I: {', '.join(found)}" if found else ""
