"""What the page of the sun shows beside the report of the yield."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from plumbrail.papers.yield_facts import Facts


def shade_hours(f: Facts) -> dict[str, Any] | None:
    """Shares of light lost, 24 hours by 12 months, None where there is hardly any light: of the
    whole array and of its most shaded module. None where nothing says what stands around."""
    from plumbrail.papers.shade_chart_table import lost_table

    if f.shading is None:
        return None
    worst = f.worst_module
    whole, single = ([[None if v != v else round(float(v), 4) for v in row]
                      for row in lost_table(f, which)] for which in (None, worst))  # fmt: skip
    return {"array": whole, "module": single, "module_id": f.model.modules.ids[worst]}


def own_angles(f: Facts) -> dict[str, float]:
    """Tilt and azimuth of the array as it stands [rad], to be marked on the map of angles."""
    return {"tilt": float(f.model.plane.tilt), "azimuth": float(f.model.plane.azimuth)}
