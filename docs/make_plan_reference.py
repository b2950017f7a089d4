"""Write docs/plan-file.md from the models of the plan.

Run ``python docs/make_plan_reference.py`` after a change of the models, units or demo plans.
"""

from __future__ import annotations

import json
from pathlib import Path

from plumbrail.plan.demos import demo_text
from plumbrail.plan.outline import Key, Part, outline, toml
from plumbrail.units import ALIASES, KINDS, UNITS

PAGE = Path(__file__).parent / "plan-file.md"

HEAD = """\
# The plan file

<!-- Written by docs/make_plan_reference.py from the models; do not edit by hand. -->

One text file in [TOML](https://toml.io) holds everything that a person decides about an array.
`plumbrail new` writes a complete one with comments to change. A section begins with its name in
brackets; under it stand lines `key = value`. What follows a `#` is a comment.

- **Text and quantities stand in quotes**, counts and factors do not: `wind_speed = "105 mph"`,
  `posts = 4`. A quantity without its unit is refused.
- **Must be stated** means that the law, an engineer or you decide it: there is no default.
- **Not used** if left out means that what depends on it shows as *not checked*, never as passed,
  or that something else holds instead, as the line says.
- An unknown key is refused, and every mistake of a plan is told at once with its line.
- Where a quantity may be written in several units, mix them as your papers do.
- A limit called *slip* comes from no code; it only catches slips of unit and of the keyboard.

Wind, snow, frost, soil and seismic values are your building department's business, and structural
choices an engineer's where the law asks for one. A result is an aid to a competent person, never an
approval.
"""


def page() -> str:
    """The whole page as Markdown."""
    parts = [part for part in outline().walk() if part.keys]
    return "\n".join([
        HEAD, _contents(parts), *(_section(part) for part in parts), _units(), _example(),
    ])  # fmt: skip


def _contents(parts: list[Part]) -> str:
    rows = [f"- [`{_title(p)}`](#{_anchor(p)}): {_lower(p.text)}" for p in parts]
    ends = ["- [Units](#units)", "- [A whole plan](#a-whole-plan)", ""]
    return "\n".join(["## Sections", "", *rows, *ends])


def _title(part: Part) -> str:
    dotted = ".".join(part.path)
    return {"": f"[{dotted}]", "list": f"[[{dotted}]]", "named": f'[{dotted}."name"]'}[part.many]


def _anchor(part: Part) -> str:
    return "-".join(part.path).replace("_", "-")


def _lower(text: str) -> str:
    return text[0].lower() + text[1:]


def _section(part: Part) -> str:
    status = {
        "": "" if part.required else "This section may be left out.",
        "list": "May be left out, or written any number of times.",
        "named": f"May be left out, or written once for each name, as in `{part.header}`.",
    }[part.many]
    lines = [
        f'<a id="{_anchor(part)}"></a>', f"## `{_title(part)}`", "",
        " ".join(filter(None, [part.text, status])), "",
        "| key | what to write | for example | if left out | meaning |", "|---|---|---|---|---|",
        *(_row(key) for key in part.keys), "",
    ]  # fmt: skip
    return "\n".join(lines)


def _row(key: Key) -> str:
    if key.required:
        default = "must be stated"
    elif key.default is None:
        default = "not used"
    else:
        default = f"`{toml(key.default)}`"
    examples = " or ".join(f"`{toml(e)}`" for e in key.examples)
    slip = _slip(key)
    write = f"{key.words}{f' (slip: {slip})' if slip else ''}"
    cells = (f"`{key.name}`", write, examples, default, key.description)
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |"


def _slip(key: Key) -> str:
    """The limit that catches slips, wherever in the schema of the key it stands."""
    found = json.dumps(dict(key.schema)).partition('"slip": "')[2].partition('"')[0]
    return str(found)


def _units() -> str:
    used = json.dumps([dict(k.schema) for p in outline().walk() for k in p.keys])
    rows = [
        f"| {kind.words.split(' ', 1)[1]} | {', '.join(f'`{u}`' for u in kind.units)}"
        f"{' or no unit' if kind.bare else ''} | {', '.join(f'`{e}`' for e in kind.examples)} |"
        for kind in KINDS.values()
        if f'"kind": "{kind.name}"' in used
    ]
    other = {name: [a for a, u in ALIASES.items() if u == name] for name in UNITS}
    spelled = [
        f"| `{name}` | {', '.join(f'`{a}`' for a in names)} |" for name, names in other.items()
        if names
    ]  # fmt: skip
    return "\n".join([
        '<a id="units"></a>', "## Units", "",
        'Feet and inches are written as on a tape: `"11 ft 4 1/2 in"`.', "",
        "| quantity | units | for example |", "|---|---|---|", *rows, "",
        "Other spellings of the same units:", "",
        "| unit | also written |", "|---|---|", *spelled, "",
    ])  # fmt: skip


def _example() -> str:
    return "\n".join([
        '<a id="a-whole-plan"></a>', "## A whole plan", "",
        "The demo plan Alder Creek:", "", "```toml", demo_text("alder-creek").rstrip(), "```", "",
    ])  # fmt: skip


if __name__ == "__main__":
    PAGE.write_text(page(), "utf-8")
