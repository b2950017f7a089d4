"""Trench, works and proving in a real browser against the real server, on the demo."""

from __future__ import annotations

from collections.abc import Iterator
from importlib.resources import files
from typing import Any

import pytest
from tests.desk_app import Desk, ask, opened_desk, soon

JOB = "/api/jobs/alder-creek"
SLOW = 300_000
"""Milliseconds for what workers work out behind, on a busy machine."""
NAMES = {"trench": "svg.trench-plan", "works": "svg.gantt", "proving": "#tests-file"}


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    with opened_desk(tmp_path_factory.mktemp("site")) as found:
        yield found


def part(page: Any, name: str) -> Any:
    return ask(page, f"{JOB}/parts/{name}")["answer"]


def shown(page: Any, name: str) -> str:
    page.locator(f"#page-{name} {NAMES[name]}").wait_for(timeout=SLOW)
    return page.locator(f"#page-{name}").inner_text()


def test_the_route_its_hand_dug_stretches_and_its_checklist(desk: Desk):
    with desk.page("trench") as page:
        said = shown(page, "trench")
        found = part(page, "trench")
        assert f"{found['route']['hours']:.1f} h of work" in said
        hand = [p for p in found["pieces"] if p["hand"]]
        assert page.locator(".trench-plan .route.hand").count() == len(hand) > 0
        words = page.locator(".trench-plan text").all_text_contents()
        assert words.count("by hand") == len(hand)
        assert set(words) >= {c["number"] for c in found["crossings"]}
        letters = page.locator("#page-trench .key strong").all_text_contents()
        assert set(letters) <= set(words)
        boxes = page.locator("#page-trench [data-tick]")
        assert boxes.count() == len(found["checklist"])
        boxes.first.check()
        soon(
            page,
            "async () => (await (await fetch('/api/jobs/alder-creek/ticks')).json())"
            ".some((t) => t.list === 'trench' && t.done)",
        )


def test_the_works_in_bars_days_and_two_ways_of_changing_over(desk: Desk):
    with desk.page("works") as page:
        said = shown(page, "works")
        found = part(page, "works")
        assert int(found["end"][8:]) == int(said.split("Done on ")[1].split(",")[1].split()[1])
        critical = [t for t in found["tasks"] if t["critical"]]
        assert page.locator("svg.gantt text.word").all_text_contents() == ["critical"] * len(
            critical
        )
        holds = [t["letter"] for t in found["tasks"] if t["letter"]]
        assert [h for h in page.locator("svg.gantt .hold text").all_text_contents() if h in holds]
        step, once = (found["changeover"][k]["lost"] / 1000 for k in ("step_by_step", "at_once"))
        assert f"loses {step:.1f} kWh, all at once {once:.1f} kWh" in said
        with page.expect_download() as saved:
            page.get_by_role("link", name="Save the calendar").click()
        assert saved.value.path().read_bytes().startswith(b"BEGIN:VCALENDAR")


def test_tests_are_judged_with_the_suspected_fault_in_words(desk: Desk):
    with desk.page("proving", allow="422") as page:
        said = shown(page, "proving")
        found = part(page, "proving")
        assert f"{len(found['wanted'])} tests" in said
        rows = page.locator("#page-proving table").first.locator("tbody tr")
        assert rows.count() == len(found["strings"])
        text = (files("plumbrail.plan") / "plans/alder-creek-tests.csv").read_text()
        sheet = {"name": "own.csv", "mimeType": "text/csv", "buffer": text.encode()}
        page.locator("#tests-file").set_input_files(sheet)
        page.locator(".gate[data-complete='false']").wait_for(timeout=SLOW)
        judged = ask(page, f"{JOB}/tests", {"text": text})["answer"]
        said = page.locator("#page-proving").inner_text()
        assert f"{judged['passed']} pass, {judged['failed']} fail" in said
        assert "S2" in page.locator("#page-proving > div .verdict").first.inner_text()
        tile = page.locator("[data-figure=tests]")
        assert "1 of 2 strings fails" in tile.inner_text()
        page.reload()  # the headline stays, and so do the verdicts behind it
        page.locator(".gate[data-complete='false']").wait_for(timeout=SLOW)
        tile.wait_for()
        assert judged["suspicions"][0]["candidates"][0]["words"] in said
        plan = page.evaluate("async () => (await fetch('/api/jobs/alder-creek/plan.toml')).text()")
        wrong = ask(page, f"{JOB}/tests", {"text": plan})
        assert wrong["status"] == 422 and "this is a plan" in wrong["answer"]["error"]


def test_every_test_with_numbers_opens_its_steps(desk: Desk):
    text = (files("plumbrail.plan") / "plans/alder-creek-tests.csv").read_text()
    again = "2026-07-02 12:30,S1,open-circuit voltage,430.0 V,818 W/m2,44 degC,meter Q,\n"
    with desk.page("proving") as page:
        shown(page, "proving")
        sheet = {"name": "own.csv", "mimeType": "text/csv", "buffer": (text + again).encode()}
        page.locator("#tests-file").set_input_files(sheet)
        page.get_by_text("Note: meter meter Q is not in the plan").wait_for(timeout=SLOW)
        judged = ask(page, f"{JOB}/tests")["answer"]
        rows = [*judged["judged"], *judged["beside"]]
        ids = [j["id"] for j in rows if j["explained"]]
        found = [ask(page, f"{JOB}/tests/{id}?key={judged['key']}") for id in ids]
        assert [r["status"] for r in found] == [200] * len(ids) and len(ids) > 10
        assert all(r["answer"]["printed"]["steps"] for r in found)
        page.get_by_text("passed", exact=False).locator("visible=true").first.wait_for()
        page.evaluate("document.querySelectorAll('#page-proving details').forEach((d) => "
                      "{ d.open = true; })")  # fmt: skip
        [row] = judged["again"]
        first = page.locator("#page-proving tr", has_text="S1: open-circuit voltage").first
        assert f"line {row['line']} no longer counts" in first.inner_text()
        first.get_by_role("button").click()
        dialog = page.locator("dialog.explain[open]")
        dialog.locator(".steps").first.wait_for()
        assert "430.0 V" in dialog.inner_text() or "430 V" in dialog.inner_text()
        page.keyboard.press("Escape")
        page.get_by_role("button", name="voltage of S2").click()
        dialog.get_by_text("Modules of the string", exact=False).first.wait_for()


def test_the_hand_over_counts_the_readings_of_the_frame(desk: Desk):
    text = (files("plumbrail.plan") / "plans/alder-creek-tests.csv").read_text()
    with desk.page("proving") as page:
        before = ask(page, f"{JOB}/tests", {"text": text, "name": "own.csv"})["answer"]
        assert before["posts"] == []
        assert any("enter the readings" in x for x in before["open"])
        book = (files("plumbrail.plan") / "plans/alder-creek-readings-after.csv").read_text()
        assert ask(page, f"{JOB}/notebook", {"text": book})["status"] == 200
        after = ask(page, f"{JOB}/tests")["answer"]  # judged anew by itself
        assert len(after["posts"]) == 8 and after["as_built"]
        assert not any("enter the readings" in x for x in after["open"])
        page.get_by_text("8 posts").first.wait_for(timeout=SLOW)
        with page.expect_download() as saved:
            page.get_by_role("link", name="Save this file").click()
        assert saved.value.path().read_text() == text


@pytest.mark.parametrize("size", [(1280, 800), (390, 844)])
def test_without_violations_and_without_scrolling_sideways(desk: Desk, size: tuple[int, int]):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    with desk.page(size=size) as page:
        for name in NAMES:
            page.evaluate("(n) => { location.hash = n; }", name)
            shown(page, name)
            found = axe.run(page).response["violations"]
            assert [(v["id"], [n["html"][:120] for n in v["nodes"][:3]]) for v in found] == [], name
            wide = page.evaluate("[document.documentElement.scrollWidth, innerWidth]")
            assert wide[0] <= wide[1], name
