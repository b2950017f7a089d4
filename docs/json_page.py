"""The page on ``--json`` output, made from the output models."""

from __future__ import annotations

from typing import Any

from plumbrail.jobs.book_output import BookReport
from plumbrail.jobs.cut_output import CutReport
from plumbrail.jobs.demo_output import DemoReport
from plumbrail.jobs.output import CheckReport, ExplainReport, NewReport, ProblemReport
from plumbrail.jobs.prove_output import ProveExplainReport, ProveReport
from plumbrail.jobs.stake_output import StakeReport
from plumbrail.jobs.trench_output import TrenchExplainReport, TrenchReport
from plumbrail.jobs.true_output import GateRecord, TrueReport
from plumbrail.jobs.wire_output import WireExplainReport, WireReport
from plumbrail.jobs.works_output import WorksReport
from plumbrail.jobs.yield_output import YieldExplainReport, YieldReport

REPORTS = (
    CheckReport, ExplainReport, CutReport, StakeReport, TrueReport, GateRecord,
    YieldReport, YieldExplainReport, WireReport, WireExplainReport, TrenchReport,
    TrenchExplainReport, ProveReport, ProveExplainReport, WorksReport, BookReport,
    DemoReport, NewReport, ProblemReport,
)  # fmt: skip

INTRO = """\
# JSON output

Every command takes `--json` and prints one document. `schema` names its shape, `schema_version` its
version: it rises when a field is removed, renamed or changes its meaning; new fields may appear at
any time. Numbers are SI (m, N, N·m, Pa, kg, rad) and not rounded. An invalid plan gives
`plumbrail.problems` and exit code 2. Made from the code by `make docs`.
"""


def page() -> str:
    """The whole page."""
    parts = [INTRO]
    for report in REPORTS:
        parts.append(_report(report.model_json_schema(by_alias=True), report.__doc__ or ""))
    return "\n".join(parts)


def _report(schema: dict[str, Any], doc: str) -> str:
    name = schema["properties"]["schema"]["const"]
    version = schema["properties"]["schema_version"]["const"]
    lines = [f"## {name}, version {version}\n", doc.strip() + "\n", *_fields(schema)]
    for part, shape in sorted(schema.get("$defs", {}).items()):
        lines += [f"### {name}: {part}\n", shape.get("description", "") + "\n", *_fields(shape)]
    return "\n".join(lines)


def _fields(shape: dict[str, Any]) -> list[str]:
    rows = ["| field | type | meaning |", "|---|---|---|"]
    for name, field in shape.get("properties", {}).items():
        rows.append(f"| `{name}` | {_type(field)} | {field.get('description', '')} |")
    return [*rows, ""]


def _type(field: dict[str, Any]) -> str:
    if "const" in field:
        return f"`{field['const']}`"
    if "enum" in field:
        return ", ".join(f"`{v}`" for v in field["enum"])
    if "$ref" in field:
        return field["$ref"].rpartition("/")[2]
    if "anyOf" in field:
        return " or ".join(_type(f) for f in field["anyOf"])
    if field.get("type") == "array":
        return f"list of {_type(field['items'])}" if "items" in field else "list"
    if field.get("type") == "object":
        inner = field.get("additionalProperties")
        return f"map to {_type(inner)}" if isinstance(inner, dict) else "map"
    return str(field.get("type", "any"))
