"""The desk in a real browser against the real server: plan, edits, errors, revisions, keyboard."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise
from typing import Any

import pytest
from tests.desk_app import Desk, ask, opened_desk, settled, soon, type_in

from plumbrail.plan.demos import demo_plan_names

JOB = "/api/jobs/alder-creek"
PAGES = (
    "plan", "checks", "cut", "sun", "wires", "trench", "works", "truing", "proving", "papers",
    "revisions", "phones",
)  # fmt: skip
REFUSED = "422|409|Failed to load resource"


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    with opened_desk(tmp_path_factory.mktemp("desk")) as found:
        yield found


def figure(page: Any, name: str) -> str:
    return page.locator(f'[data-figure="{name}"]').inner_text()


def state(page: Any) -> Any:
    return ask(page, JOB)["answer"]


def field(page: Any, path: str) -> Any:
    return page.locator(f'[data-path="{path}"]')


OTHER = "(was) => document.querySelector('[data-figure=governs]').innerText !== was"


def test_first_load_is_small_and_nothing_comes_from_elsewhere(desk: Desk):
    with desk.page() as page:
        page.wait_for_selector(".view3d [data-drawn], .view3d[data-drawn], canvas")
        sent = page.evaluate(
            "() => performance.getEntriesByType('resource').concat("
            "performance.getEntriesByType('navigation'))"
            ".filter(e => !e.name.includes('/api/events'))"
            ".reduce((n, e) => n + e.transferSize, 0)"
        )
        assert 10_000 < sent <= 200_000


def test_an_edit_changes_strip_view_and_the_other_unit(desk: Desk):
    with desk.page() as page:
        before = figure(page, "governs"), page.locator("canvas").first.screenshot()
        type_in(page, "frame.spacing", "8 ft 6 in")
        page.wait_for_function(OTHER,
                               arg=before[0])  # fmt: skip
        settled(page)
        assert state(page)["values"]["frame"]["spacing"] == "8 ft 6 in"
        assert page.locator("canvas").first.screenshot() != before[1]
        type_in(page, "frame.spacing", "2.6 m")
        settled(page)
        box = field(page, "frame.spacing")
        box.locator(".also", has_text="8' 6").wait_for()
        assert box.locator("input").input_value() == "2.6 m"  # the unit typed stays


def test_a_wrong_value_is_told_beside_its_field_and_nothing_else_is_touched(desk: Desk):
    with desk.page(allow=REFUSED) as page:
        revision = state(page)["revision"]
        type_in(page, "frame.spacing", "lots")
        wrong = field(page, "frame.spacing").locator(".error")
        wrong.wait_for()
        assert "lots" in wrong.inner_text()
        box = field(page, "frame.spacing").locator("input")
        assert box.get_attribute("aria-invalid") == "true"
        assert wrong.get_attribute("id") in box.get_attribute("aria-describedby")
        assert state(page)["revision"] == revision
        type_in(page, "array.tilt", "33 deg")  # another field is taken meanwhile
        settled(page)
        page.wait_for_function(
            "() => document.querySelector('[data-figure=tilt]').innerText.includes('33')"
        )
        assert box.input_value() == "lots"  # what was typed and the message both stay
        assert wrong.is_visible()
        type_in(page, "frame.spacing", "9 ft")
        wrong.wait_for(state="hidden")


def test_limits_are_told_in_the_unit_typed(desk: Desk):
    with desk.page(allow=REFUSED) as page:
        type_in(page, "array.tilt", "95 deg")
        wrong = field(page, "array.tilt").locator(".error")
        wrong.wait_for()
        assert re.search(r"\d+ deg|°", wrong.inner_text())
        type_in(page, "array.tilt", "32 deg")
        wrong.wait_for(state="hidden")


def test_undo_redo_by_button_and_key(desk: Desk):
    with desk.page() as page:
        type_in(page, "array.tilt", "31 deg")
        shows = "(t) => document.querySelector('[data-figure=tilt] .value').innerText.includes(t)"
        page.wait_for_function(shows, arg="31")
        page.get_by_role("button", name="Undo").click()
        page.wait_for_function(shows, arg="32")
        page.locator("#main").focus()
        page.keyboard.press("Control+Shift+Z")
        page.wait_for_function(shows, arg="31")
        page.keyboard.press("Control+Z")
        page.wait_for_function(shows, arg="32")


def test_a_member_in_3d_opens_its_check(desk: Desk):
    with desk.page() as page:
        soon(page, "async () => (await import('/static/view3d.js')).project('F3') !== null")
        at = page.evaluate("async () => (await import('/static/view3d.js')).project('F3')")
        box = page.locator("canvas").first.bounding_box()
        page.mouse.click(box["x"] + at["x"], box["y"] + at["y"])
        chosen = page.locator(".chosen-part")
        chosen.get_by_text("F3").first.wait_for()
        chosen.get_by_role("button").first.click()
        dialog = page.locator("dialog.explain[open]")
        dialog.locator("h3", has_text="Steps").wait_for()
        assert "F3" in dialog.locator("h2").inner_text()
        assert dialog.locator(".steps > li").count() >= 3
        page.keyboard.press("Escape")
        dialog.wait_for(state="hidden")


def test_a_tree_is_dragged_on_the_site_plan(desk: Desk):
    with desk.page() as page:
        tree = next(t for t in state(page)["scene"]["things"] if t["kind"] == "tree")
        mark = page.locator(f'.plan-picture [data-id="{tree["id"]}"]').first
        mark.scroll_into_view_if_needed()
        box = mark.bounding_box()
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x + 14, y - 10, steps=5)
        page.mouse.up()
        page.wait_for_function("() => document.querySelector('#undo').disabled === false")
        settled(page)
        page.wait_for_timeout(300)
        now = next(t for t in state(page)["scene"]["things"] if t["id"] == tree["id"])
        assert now["handles"][0][0] > tree["handles"][0][0]
        assert now["handles"][0][1] > tree["handles"][0][1]
        page.get_by_role("button", name="Undo").click()
        settled(page)


def test_revisions_are_named_compared_and_brought_back(desk: Desk):
    with desk.page("revisions") as page:
        first = state(page)
        page.get_by_label("Name", exact=True).fill("as first drawn")
        page.get_by_role("button", name="Name this revision").click()
        page.locator("strong", has_text="as first drawn").wait_for()
        body = {"uid": "desk-compare-1", "revision": first["revision"],
                "changes": [{"path": "piers.diameter", "value": "26 in"}]}  # fmt: skip
        assert ask(page, f"{JOB}/edits", body)["status"] == 200  # from elsewhere: the page follows
        last = first["revision"] + 1
        page.get_by_label(f"Compare revision {last}", exact=True).wait_for()
        for number in (first["revision"], last):
            page.get_by_label(f"Compare revision {number}", exact=True).check()
        page.locator("caption", has_text="What was changed").wait_for()
        told = page.locator("[aria-live]", has_text="From revision").inner_text()
        assert "26 in" in told and "oncrete" in told
        page.get_by_role("row", name="as first drawn").get_by_role(
            "button", name="Bring back"
        ).click()
        page.wait_for_function("(n) => document.body.innerText.includes('now')", arg=last)
        settled(page)
        page.wait_for_timeout(200)
        now = state(page)
        assert now["revision"] == last + 1
        assert now["values"] == first["values"]


def test_an_old_tab_does_not_overwrite_another(desk: Desk):
    with desk.page(allow=REFUSED) as page:
        page.route("**/api/events", lambda route: route.abort())
        page.reload()
        page.wait_for_selector("body[data-ready]")
        old = state(page)
        ask(page, f"{JOB}/edits", {"uid": "desk-tab-two-1", "revision": old["revision"],
            "changes": [{"path": "array.tilt", "value": "34 deg"}]})  # fmt: skip
        type_in(page, "array.tilt", "31 deg")  # the same field: refused, the newer one is shown
        page.locator("#said", has_text="changed on another screen").wait_for()
        assert state(page)["values"]["array"]["tilt"] == "34 deg"
        type_in(page, "site.wind_speed", "106 mph")  # another field goes on top
        settled(page)
        page.wait_for_timeout(200)
        now = state(page)["values"]
        assert (now["array"]["tilt"], now["site"]["wind_speed"]) == ("34 deg", "106 mph")
        for _ in range(2):
            page.get_by_role("button", name="Undo").click()
            settled(page)


def test_new_job_from_a_plan_file_and_from_the_starter(desk: Desk, tmp_path):
    with desk.page(allow=REFUSED) as page:
        text = page.evaluate("async () => (await fetch('/api/jobs/alder-creek/plan.toml')).text()")
        plan, bad = tmp_path / "own.toml", tmp_path / "bad.toml"
        plan.write_text(text.replace("Alder Creek cold store", "Own barn"))
        bad.write_text(text.replace('tilt = "32 deg"', 'tilt = "32 bananas"'))
        page.get_by_role("button", name="Job …").click()
        page.locator("#take-plan").set_input_files(bad)
        page.locator("#job-menu .error", has_text="array.tilt").wait_for()
        page.locator("#new-plan").set_input_files(plan)
        page.wait_for_function("() => document.title.startsWith('Own barn')")
        page.wait_for_selector("body[data-ready]")
        page.locator("#job").select_option("alder-creek")
        page.wait_for_function("() => document.title.startsWith('Alder Creek')")


def test_the_page_outlives_the_server(desk: Desk):
    with desk.page(allow="ERR_|Failed to load|net::") as page:
        with desk.server.away():
            page.locator("#line", has_text="does not answer").wait_for()
            type_in(page, "array.tilt", "33 deg")
            field(page, "array.tilt").locator(".error").wait_for()
            assert field(page, "array.tilt").locator("input").input_value() == "33 deg"
        page.locator("#line").wait_for(state="hidden")
        box = field(page, "array.tilt").locator("input")
        box.fill("33.5 deg")
        box.press("Enter")
        page.wait_for_function(
            "() => document.querySelector('[data-figure=tilt] .value').innerText.includes('33.5')"
        )
        assert field(page, "array.tilt").locator(".error").is_hidden()
        assert state(page)["values"]["array"]["tilt"] == "33.5 deg"
        page.get_by_role("button", name="Undo").click()
        settled(page)


def test_what_cannot_be_built_is_said_beside_what_was_typed_and_goes_with_it(desk: Desk):
    with desk.page(allow=REFUSED) as page:
        before = state(page)
        type_in(page, "array.columns", "1")  # the posts of the frame no longer fit under it
        typed, other = field(page, "array.columns"), field(page, "frame.spacing")
        typed.locator(".error", has_text="Not changed: ").wait_for()
        assert typed.locator("input").input_value() == "1"
        assert "posts" in other.locator(".error").text_content()
        assert page.locator('details[data-section="frame"].has-error').count() == 1
        now = state(page)
        assert (now["revision"], now["scene"]) == (before["revision"], before["scene"])
        assert page.locator("#trouble").is_hidden()
        type_in(page, "array.columns", "6")
        typed.locator(".error").wait_for(state="hidden")
        other.locator(".error").wait_for(state="hidden")
        settled(page)
        assert state(page)["values"] == before["values"]


def test_a_plan_that_cannot_be_worked_out_says_where_and_comes_alive_when_mended(desk: Desk):
    with desk.page() as page:
        text = page.evaluate("async () => (await fetch('/api/jobs/alder-creek/plan.toml')).text()")
        wrong = text.replace('spacing = "9 ft"', 'spacing = "9 in"').replace("Alder Creek", "Ash")
        assert wrong != text
        job = ask(page, "/api/jobs", {"uid": "desk-broken-plan-1", "plan": wrong})["answer"]["job"]
    with desk.page("sun", job=job) as page:
        page.locator("#page-sun .part-note", has_text="nothing to show here yet").wait_for()
        page.locator("#trouble button", has_text="share one").click()
        box = page.locator('[data-path="frame.spacing"]')
        box.locator(".error", has_text="share one").wait_for()
        page.wait_for_function(
            "() => document.activeElement.closest('[data-path]')?.dataset.path === 'frame.spacing'"
        )
        assert page.locator("canvas").first.is_hidden()
        assert "Nothing can be drawn" in page.locator("#page-plan .part-note").inner_text()
        type_in(page, "frame.spacing", "9 ft")
        page.locator("#trouble").wait_for(state="hidden")
        assert page.locator("#page-plan .part-note").is_hidden()
        assert box.locator(".error").is_hidden()
        soon(page, "async () => (await import('/static/view3d.js')).project('F3') !== null")
        at = page.evaluate("async () => (await import('/static/view3d.js')).project('F3')")
        size = page.locator("canvas").first.bounding_box()
        assert 0 < at["x"] < size["width"] and 0 < at["y"] < size["height"]
        assert page.locator(".plan-picture .thing").count() > 10
        assert page.locator(".section-picture text").count() > 5


def test_a_part_that_is_missing_leads_to_its_section(desk: Desk):
    with desk.page("revisions") as page:
        starter = ask(page, "/api/jobs", {"uid": "desk-starter-goal-1", "demo": "starter"})
    with desk.page("trench", job=starter["answer"]["job"]) as page:
        page.get_by_role("button", name="Go to Trench in the plan").click(timeout=240_000)
        page.wait_for_function(
            "() => document.activeElement.tagName === 'SUMMARY' && "
            "document.activeElement.parentElement.dataset.section === 'trench'"
        )
        assert page.evaluate("document.activeElement.parentElement.open")


def test_plans_to_begin_with_come_from_the_server(desk: Desk):
    with desk.page() as page:
        known = ask(page, "/api/demos")["answer"]
        assert [d["name"] for d in known] == ["starter", *demo_plan_names()]
        page.get_by_role("button", name="Job …").click()
        options = page.locator("#begin-from option")
        options.first.wait_for(state="attached")
        assert options.all_text_contents() == [d["words"] for d in known]
        page.locator("#begin-from").select_option("dry-gulch")
        page.get_by_role("button", name="Begin", exact=True).click()
        page.wait_for_function("() => document.title.startsWith('Dry Gulch')")


@pytest.mark.parametrize("size", [(1280, 800), (1600, 1000), (390, 844)])
def test_no_page_scrolls_sideways(desk: Desk, size: tuple[int, int]):
    with desk.page(size=size) as page:
        for name in PAGES:
            page.evaluate("(n) => { location.hash = n; }", name)
            page.locator(f"#page-{name} h2").first.wait_for(state="attached")
            wide = page.evaluate("[document.documentElement.scrollWidth, innerWidth]")
            assert wide[0] <= wide[1], name


def test_every_page_without_violations_and_with_its_headings_in_order(desk: Desk):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    with desk.page() as page:
        for name in PAGES:
            page.evaluate("(n) => { location.hash = n; }", name)
            page.locator(f"#page-{name} h2").first.wait_for(state="attached")
            page.wait_for_timeout(250)
            found = axe.run(page).response["violations"]
            assert [(v["id"], [n["html"][:120] for n in v["nodes"][:3]]) for v in found] == [], name
            levels = page.evaluate(
                "() => [...document.querySelectorAll('h1,h2,h3,h4')].filter(h => h.offsetParent)"
                ".map(h => Number(h.tagName[1]))"
            )
            steps = [b - a for a, b in pairwise(levels)]
            assert levels[0] == 1 and max(steps, default=0) <= 1, (name, levels)


def test_by_keyboard_alone(desk: Desk):
    with desk.page() as page:
        page.keyboard.press("Tab")
        assert page.evaluate("document.activeElement.className") == "skip"
        ring = "getComputedStyle(document.activeElement).outlineStyle"
        for _ in range(6):
            page.keyboard.press("Tab")
            assert page.evaluate(ring) != "none"
        page.locator('[data-page="checks"]').focus()
        page.keyboard.press("Enter")
        page.locator("#page-checks tbody button").first.focus()
        page.keyboard.press("Enter")
        page.locator("dialog.explain[open] p strong").first.wait_for()
        page.keyboard.press("Escape")
        page.wait_for_function("() => document.activeElement.closest('#page-checks') !== null")
