"""The shopping list of a plan, shop aisle by shop aisle, with the rows of the book's own list."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from plumbrail.app.worked import Worked

if TYPE_CHECKING:
    from plumbrail.papers.pages_shop import Basket
    from plumbrail.wiring.parts import Item


def aisles(worked: Worked, wires: Mapping[str, Any] | None) -> dict[str, Any]:
    """``aisles``: titles with rows of cells and ``item``, what is ticked off in list buy;
    ``words``: sentences, the sum first. ``wires``: WireReport, ``missing`` with the reason, or
    None while it is worked out."""
    from plumbrail.papers.pages_shop import shopping_list
    from plumbrail.papers.pdf_blocks import Paragraph, Table
    from plumbrail.papers.words import speaking

    with speaking("en", worked.design.plan.job.units):
        blocks = shopping_list(_basket(worked, wires))
    said = [b.text for b in blocks if isinstance(b, Paragraph)]
    if wires is None and worked.design.plan.wiring is not None:
        said = [w for w in said if not w.startswith("Electrical:")]
        said.append("Electrical: not in this list yet; the wiring is still being worked out.")
    elif wires is not None and "missing" in wires:
        said = [w for w in said if not w.startswith("Electrical:")]
        said.append(f"Electrical: not in this list: {wires['missing']}")
    return {
        "aisles": [_aisle(b.title, b.rows) for b in blocks if isinstance(b, Table)],
        "words": said,
    }  # fmt: skip


def _aisle(title: str, rows: tuple[tuple[str, ...], ...]) -> dict[str, Any]:
    return {"title": title, "rows": [
        {"count": r[0], "what": r[1], "note": r[2], "price": r[3],
         "item": f"{title}: {r[1]}"[:120]}
        for r in rows
    ]}  # fmt: skip


def _basket(worked: Worked, wires: Mapping[str, Any] | None) -> Basket:
    from plumbrail.jobs.drawing import job_info
    from plumbrail.papers.pages_shop import Basket

    design, shop = worked.design, worked.shop
    plan, cuts = design.plan, design.cutting
    uncut = tuple(f"{s.section}: {s.problem}" for s in cuts.sections if s.plan is None)
    items = None if wires is None or "buying" not in wires else tuple(map(_item, wires["buying"]))
    return Basket(plan, design.analysis.planned, job_info(design.run, plan), shop.sticks.lines,
                  uncut, sum(len(row) for row in cuts.splices), shop.concrete, shop.bags,
                  shop.bag_price, items)  # fmt: skip


def _item(out: Mapping[str, Any]) -> Item:
    from plumbrail.wiring.parts import Item

    return Item(out["what"], out["amount"], out["unit"], out["price"], out["note"])
