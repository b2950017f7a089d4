"""Every part of a plan sees the same strings, also where shade decides which module sits in which.

A wall beside the array shades its nearest columns, so that strings run up the slope; without it
they run along the row. The plan is made up.
"""

from __future__ import annotations

import json

import numpy as np
import pytest

from plumbrail.cli.main import main
from plumbrail.jobs.proving import proving
from plumbrail.jobs.trenching import trenching
from plumbrail.jobs.wiring import wiring
from plumbrail.jobs.working import works_inputs
from plumbrail.jobs.yielding import yielding
from plumbrail.plan.demos import demo_text
from plumbrail.plan.reader import load_plan
from plumbrail.wiring.run import wired

WALL = """
[[site.shade.boxes]]
name = "Barn wall"
at = ["-26 ft", "-4 ft"]
size = ["8 ft", "20 ft"]
height = "25 ft"
"""


@pytest.fixture(scope="module")
def walled(tmp_path_factory):
    path = tmp_path_factory.mktemp("walled") / "plan.toml"
    path.write_text(demo_text("alder-creek") + WALL, encoding="utf-8")
    return load_plan(path)


@pytest.fixture(scope="module")
def made(walled):
    return wiring(walled)


def test_the_wall_decides(walled, made):
    bare = wired(walled.plan, made.model, None)
    assert not np.array_equal(made.wired.strings.string, bare.strings.string)


def test_proving_tests_the_strings_that_are_wired(walled, made):
    of = proving(walled).subject.strings
    ids = np.array(made.model.modules.ids)
    for k, string in enumerate(of):
        assert set(string.modules) == set(ids[made.wired.strings.string == k])


def test_trench_and_works_take_the_same_wiring(walled, made):
    for other in (trenching(walled).wires, works_inputs(walled).wires):
        assert np.array_equal(other.wired.strings.string, made.wired.strings.string)


def test_yield_counts_the_same_strings(walled, made):
    of = yielding(walled, blame=False).facts.strings
    light = [float(made.shade[made.wired.strings.string == k].mean()) for k in range(len(of))]
    assert [s.shade for s in of] == pytest.approx(light)


def test_the_command_prints_them(walled, made, capsys):
    main(["wire", walled.source, "--json"])
    strings = json.loads(capsys.readouterr().out)["strings"]
    ids = np.array(made.model.modules.ids)
    for k, string in enumerate(strings):
        assert set(string["modules"]) == set(ids[made.wired.strings.string == k])
