"""The pages of the answers in a real browser: cut list, sun, wires, truing, papers."""

from __future__ import annotations

import re
from collections.abc import Iterator
from importlib.resources import files
from typing import Any

import pytest
from tests.desk_app import (
    PATIENCE,
    Desk,
    answers_late,
    ask,
    held_back,
    opened_desk,
    settled,
    soon,
    type_in,
)

JOB = "/api/jobs/alder-creek"
SLOW = 300_000
"""Milliseconds for what workers work out behind, on a busy machine."""

TICKED = """async ([path, item, done]) => (await (await fetch(`${path}/ticks`)).json())
  .some((tick) => tick.item === item && tick.done === done)"""
"""Whether the server has this tick."""

WIDTHS, HEIGHTS = (
    f"n => n.map(x => Number(x.getAttribute('{name}')))" for name in ("width", "height")
)


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    with opened_desk(tmp_path_factory.mktemp("answers")) as found:
        yield found


def part(page: Any, name: str) -> Any:
    return ask(page, f"{JOB}/parts/{name}")["answer"]


def test_every_piece_is_drawn_named_and_ticked_off_for_all(desk: Desk):
    with desk.page("cut") as page, desk.page("cut") as other:
        page.locator('[data-pending="false"]').wait_for(timeout=SLOW)
        bars = part(page, "cut")["bars"]
        pieces = [p for bar in bars for p in bar["pieces"]]
        assert page.locator("svg.stick").count() == len(bars)
        assert page.locator("svg.stick .piece").count() == len(pieces)
        said = page.locator("#page-cut").inner_text()
        assert all(p["label"] in said and p["words"] in said for p in pieces)
        wide = page.locator("svg.stick .piece rect").evaluate_all(WIDTHS)
        scale = [w / p["length"] for w, p in zip(wide, pieces, strict=True)]
        assert max(scale) - min(scale) < 1e-6 * max(scale)  # all sticks at one scale
        page.locator(f'[data-tick="{pieces[0]["item"]}"]').check()
        seen = '(item) => document.querySelector(`[data-tick="${item}"]`)?.checked'
        other.wait_for_function(seen, arg=pieces[0]["item"])
        assert [t["done"] for t in ask(page, f"{JOB}/ticks")["answer"]] == [True]
        assert "Steel yard" in said and "Electrical" in said


def test_a_tick_falls_away_with_its_stick_and_comes_back(desk: Desk):
    with desk.page() as page:
        made = ask(page, "/api/jobs", {"uid": "ticks-on-sticks", "demo": "alder-creek"})
        job = made["answer"]["job"]
    with desk.page("cut", job=job) as page:
        path = f"/api/jobs/{job}"
        page.locator('[data-pending="false"]').wait_for(timeout=SLOW)
        bars = ask(page, f"{path}/parts/cut")["answer"]["bars"]
        pieces = [p for bar in bars for p in bar["pieces"]]
        post, rail = (next(p for p in pieces if p["label"].startswith(kind))
                      for kind in ("post", "rail"))  # fmt: skip
        for piece in (post, rail):
            page.locator(f'[data-tick="{piece["item"]}"]').check()
        old = {"uid": "old-tick-00001", "list": "cut", "item": "NPS 4 STD 3 post F1",
               "done": True, "at": "2026-05-04T08:00:00Z"}  # fmt: skip
        assert ask(page, f"{path}/ticks", {"ticks": [old]})["status"] == 200
        change = {"path": "array.low_edge_clearance", "value": "33 in"}
        edit = {"uid": "longer-posts-1", "revision": 1, "changes": [change]}
        assert ask(page, f"{path}/edits", edit)["status"] == 200
        gone = page.locator("#page-cut .gone")
        gone.get_by_text("2 pieces were ticked before the list changed").wait_for(timeout=SLOW)
        assert post["piece"] in gone.inner_text() and "NPS 4 STD 3 post F1" in gone.inner_text()
        assert page.locator(f'[data-tick="{post["item"]}"]').count() == 0
        assert page.locator(f'[data-tick="{rail["item"]}"]').is_checked()
        marked = page.locator("#page-cut .before:visible")
        said = {m.evaluate("n => n.dataset.piece") for m in marked.all()}
        assert said == {post["piece"], "NPS 4 STD post F1"}
        page.get_by_role("button", name="Undo").click()
        again = page.locator(f'[data-tick="{post["item"]}"]')
        again.wait_for(timeout=SLOW)
        assert again.is_checked()  # the same stick again
        page.get_by_role("button", name="Forget these ticks").click()
        gone.locator("p").wait_for(state="detached")
        soon(page, TICKED, [path, "NPS 4 STD 3 post F1", False])  # shown at once, then sent
        ticks = {t["item"]: t["done"] for t in ask(page, f"{path}/ticks")["answer"]}
        assert ticks == {post["item"]: True, rail["item"]: True, "NPS 4 STD 3 post F1": False}


@pytest.mark.parametrize("size", [(1280, 800), (390, 844)])
def test_an_explanation_is_in_the_units_of_the_plan(desk: Desk, size: tuple[int, int]):
    with desk.page("checks", size=size) as page:
        page.locator("#find-check").fill("F3.bending")
        page.locator('tr[data-check="F3.bending"] button').click()
        dialog = page.locator("dialog.explain[open]")
        dialog.locator("ol.steps > li").first.wait_for(state="attached", timeout=SLOW)
        told = ask(page, f"{JOB}/checks/F3.bending")["answer"]
        said = dialog.inner_text().replace("\u00a0", " ")
        for step in told["printed"]["steps"]:
            for part in ("what", "clause", "certainty", "formula", "numbers", "result"):
                assert step[part].replace("\u00a0", " ") in said, step
        assert "F_y = 35 ksi" in said and "lbf·ft" in said and "L = 4' 10 1/2\"" in said
        assert told["check"]["clause"] in said
        wide = dialog.evaluate(
            "n => [n.scrollWidth, n.clientWidth, n.getBoundingClientRect().right]"
        )
        assert wide[0] <= wide[1] and wide[2] <= size[0]
        small = dialog.evaluate(
            "n => Math.min(...[...n.querySelectorAll('li *')]"
            ".map((e) => parseFloat(getComputedStyle(e).fontSize)))"
        )
        assert small >= 12
        page.keyboard.press("Escape")
        assert not dialog.is_visible()


def test_checks_of_trench_and_works_open_from_their_pages(desk: Desk):
    for name, words in (("trench", "pull on the wires"), ("works", "charge of the battery")):
        with desk.page(name) as page:
            page.get_by_role("button", name=words).click(timeout=2 * SLOW)
            dialog = page.locator("dialog.explain[open]")
            dialog.locator(".steps li").first.wait_for(timeout=SLOW)
            assert words in dialog.locator("h2").first.inner_text()
            assert "pass" in dialog.inner_text()
    with desk.page("trench") as page:
        page.get_by_role("button", name="gap to the conduit").click(timeout=SLOW)
        page.locator("dialog.explain[open]", has_text="dig it up by hand and measure").wait_for()


def test_the_strip_counts_trench_and_works(desk: Desk):
    with desk.page("checks") as page:
        soon(
            page,
            f"async () => !(await (await fetch('{JOB}')).json()).pending.length",
            timeout=2 * SLOW,
        )
        state = ask(page, JOB)["answer"]
        families = {c["family"] for c in state["checks"]}
        assert {"trench", "works", "wiring", "post"} <= families
        count = {s: sum(c["status"] == s for c in state["checks"]) for s in ("pass", "not checked")}
        value = f"{count['pass']} pass, {count['not checked']} not checked"
        page.locator('[data-figure="checks"]', has_text=value).wait_for()
        page.locator('[data-figure="unchecked"]', has_text=str(count["not checked"])).wait_for()
        page.locator("#which-checks").select_option("not checked")
        assert page.locator('tr[data-check="X1.gap"]').is_visible()


def test_the_sun_in_bars_map_and_table(desk: Desk):
    with desk.page("sun") as page:
        page.locator(".month-chart").wait_for(timeout=SLOW)
        found = part(page, "yield")
        heights = page.locator(".month .bar-delivered").evaluate_all(HEIGHTS)
        ratio = [h / m["delivered"] for h, m in zip(heights, found["months"], strict=True)]
        assert max(ratio) - min(ratio) < 1e-6 * max(ratio)
        page.locator(".month").nth(0).focus()
        page.keyboard.press("ArrowRight")
        energy = f"{found['months'][1]['delivered'] / 3.6e6:,.0f} kWh"
        page.locator(".reading", has_text=f"February: {energy} delivered").wait_for()
        page.locator(".angle-map").first.focus()
        page.locator(".reading", has_text="less than the best").first.wait_for()
        shown = page.locator(".reading", has_text="less than the best").first.inner_text()
        lost = 100 * found["angles"]["map_cost"]
        assert f"{lost:.1f} %" in shown  # at the plan's own angles
        cells = page.locator(".shade-hours td:not(.none)")
        told = [v for row in found["shade_hours"]["array"] for v in row if v is not None]
        assert cells.count() == len(told)
        assert cells.first.inner_text() == f"{100 * told[0]:.0f}"


def test_the_wires_with_their_drawings(desk: Desk):
    with desk.page("wires") as page:
        page.locator(".string-map").wait_for(timeout=SLOW)
        found = part(page, "wire")
        names = page.locator(".string-name").all_text_contents()
        assert len(names) == 24 and set(names) == {s["id"] for s in found["strings"]}
        assert page.locator("tbody button.link").count() == len(found["checks"])
        for image in page.locator(".drawing img").all():
            image.scroll_into_view_if_needed()
            page.wait_for_function(
                "(i) => i.complete && i.naturalWidth > 100", arg=image.element_handle(),
                timeout=SLOW,
            )  # fmt: skip


def test_readings_sent_by_a_phone_show_at_once(desk: Desk):
    with desk.page("truing") as page:
        page.get_by_text("There are no readings yet").wait_for()
        text = (files("plumbrail.plan") / "plans/alder-creek-readings.csv").read_text()
        taken = ask(page, f"{JOB}/notebook", {"text": text})
        assert taken["status"] == 200
        page.locator(".gate[data-ready='not ready']").wait_for(timeout=SLOW)
        found = ask(page, f"{JOB}/truing")["answer"]
        assert page.locator("ol.moves li").all_inner_texts() == [
            m["words"] for m in found["mending"]["moves"]
        ]
        assert page.locator(".truing-view path.move").count() >= len(found["mending"]["moves"])
        assert found["gate"]["reasons"][0] in page.locator(".gate").inner_text()
        row = {"uid": "phone-row-0001", "time": "2026-05-12 10:00", "kind": "tape", "start": "F1",
               "end": "F2", "value": "9' 0\""}  # fmt: skip
        assert ask(page, f"{JOB}/readings", {"rows": [row, row]})["status"] == 200
        line = page.locator('tr[data-uid="phone-row-0001"]')
        line.wait_for()
        assert line.count() == 1
        page.on("dialog", lambda d: d.accept())
        line.get_by_role("button").click()
        page.locator('tr.struck[data-uid="phone-row-0001"]').wait_for()


def test_the_gate_on_the_strip_follows_every_reading(desk: Desk):
    """Also where nothing else is left to work out, and on a page that shows no readings."""
    with desk.page("plan") as page:
        page.locator("#strip", has_not_text=re.compile("working|still to come")).wait_for(
            timeout=SLOW
        )
        text = (files("plumbrail.plan") / "plans/alder-creek-readings.csv").read_text("utf-8")
        assert ask(page, f"{JOB}/notebook", {"text": text})["status"] == 200
        gate = page.locator('[data-figure="gate"]')
        gate.get_by_text("not ready").wait_for(timeout=SLOW)
        row = {"uid": "phone-row-gate", "time": "2026-05-12 17:00", "kind": "tape", "start": "F1",
               "end": "F2", "value": "9' 0\""}  # fmt: skip
        page.evaluate("""() => { window.gates = []; new MutationObserver(() => window.gates.push(
          document.querySelector('[data-figure="gate"]')?.textContent ?? ""))
          .observe(document.querySelector("#strip"), { subtree: true, childList: true }); }""")
        assert ask(page, f"{JOB}/readings", {"rows": [row]})["status"] == 200
        page.wait_for_function("() => window.gates.some((g) => g.includes('working'))")
        gate.get_by_text("not ready").wait_for(timeout=SLOW)


def anew(desk: Desk, uid: str) -> str:
    """A job of its own, nothing of it worked out yet."""
    with desk.page() as page:
        text = page.evaluate("async (job) => (await fetch(`${job}/plan.toml`)).text()", JOB)
        made = ask(page, "/api/jobs", {"uid": uid, "plan": f"# {uid}\n{text}"})
        return str(made["answer"]["job"])


def test_what_ends_while_the_page_opens_is_known_of(desk: Desk):
    """The last part is ready before the page has its first answer, and no other event follows."""
    job = anew(desk, "opened-slowly-1")
    path = f"/api/jobs/{job}"
    script = held_back("GET", path, path)
    with desk.page("checks", job=job, script=script, patience=SLOW) as page:
        assert page.evaluate("window.held") == 2
        done = page.locator("#strip", has_not_text=re.compile("working|still to come"))
        done.wait_for(timeout=PATIENCE)


def test_what_ends_before_the_answer_to_an_edit_is_known_of(desk: Desk):
    """The last part of the new revision is ready while its number is still on its way."""
    job = anew(desk, "edited-slowly-1")
    path = f"/api/jobs/{job}"
    script = held_back("POST", f"{path}/edits", path)
    with desk.page("plan", job=job, script=script) as page:
        strip = page.locator("#strip", has_not_text=re.compile("working|still to come"))
        strip.wait_for(timeout=SLOW)
        type_in(page, "array.tilt", "33 deg")
        page.wait_for_function("() => window.held === 2", timeout=SLOW)
        settled(page)
        page.locator('[data-figure="tilt"]', has_text="33").wait_for()
        strip.wait_for()


def test_the_gate_is_asked_for_again_when_the_answer_fails(desk: Desk):
    with desk.page("plan", allow="503") as page:
        gate = page.locator('[data-figure="gate"]')
        gate.get_by_text("not ready").wait_for(timeout=SLOW)
        failed: list[str] = []

        def first_fails(route: Any) -> None:
            failed.append(route.request.url)
            if len(failed) == 1:
                route.fulfill(status=503, json={"error": "busy"})
            else:
                route.fallback()

        page.route(re.compile(f"{JOB}$"), first_fails)
        row = {"uid": "phone-row-late", "time": "2026-05-12 17:05", "kind": "tape", "start": "F1",
               "end": "F2", "value": "9' 0\""}  # fmt: skip
        assert ask(page, f"{JOB}/readings", {"rows": [row]})["status"] == 200
        gate.get_by_text("working").wait_for(timeout=SLOW)
        gate.get_by_text("not ready").wait_for(timeout=SLOW)
        assert len(failed) >= 2


def test_the_truing_shown_is_of_the_last_reading_whatever_answer_is_late(desk: Desk):
    with desk.page("truing") as page:
        if not ask(page, f"{JOB}/readings")["answer"]["rows"]:
            text = (files("plumbrail.plan") / "plans/alder-creek-readings.csv").read_text("utf-8")
            assert ask(page, f"{JOB}/notebook", {"text": text})["status"] == 200
        body = page.locator(".truing")
        body.locator(".gate").wait_for(timeout=SLOW)
        page.locator("#page-truing > .part-note", has_text="working").wait_for(state="hidden")
        before = ask(page, f"{JOB}/truing")["answer"]["notebook"]["used"]
        answers_late(page, "/truing", 4000)
        for n in (1, 2):
            row = {"uid": f"phone-row-late-{n}", "time": f"2026-05-12 18:0{n}", "kind": "tape",
                   "start": f"F{n}", "end": f"F{n + 1}", "value": "9' 0\""}  # fmt: skip
            assert ask(page, f"{JOB}/readings", {"rows": [row]})["status"] == 200
            page.wait_for_timeout(200)
        page.locator("#page-truing > .part-note", has_text="New readings came in").wait_for()
        assert "stale" in body.get_attribute("class")  # what it shows is of before
        body.get_by_text(f"{before + 2} readings used").wait_for(timeout=SLOW)
        page.wait_for_timeout(5000)  # whatever is late has come by now
        assert f"{before + 2} readings used" in body.inner_text()
        assert "stale" not in body.get_attribute("class")


ONE_BY_ONE = """async () => {
  const { oneByOne } = await import("/static/net.js");
  const wait = (ms) => new Promise((go) => setTimeout(go, ms));
  const said = [];
  let number = 0, fails = [];
  const ask = oneByOne(async () => {
    const mine = (number += 1);
    said.push(`ask ${mine}`);
    await wait(20);
    said.push(`end ${mine}`);
    if (fails.includes(mine)) throw new Error(`failed ${mine}`);
  });
  await Promise.all([ask(), ask(), ask()]);
  fails = [3, 5];
  const third = ask().then(() => "well", (e) => e.message);
  await wait(5);
  await ask();
  said.push(await third);
  said.push(await ask().then(() => "well", (e) => e.message));
  await ask();
  return said;
}"""


def test_one_question_at_a_time_and_once_more_when_it_was_wanted_meanwhile(desk: Desk):
    with desk.page() as page:
        said = page.evaluate(ONE_BY_ONE)
    assert said[:4] == ["ask 1", "end 1", "ask 2", "end 2"]  # wanted three times, asked twice
    assert said[4:9] == ["ask 3", "end 3", "ask 4", "end 4", "well"]  # the next answer counts
    assert said[9:] == ["ask 5", "end 5", "failed 5", "ask 6", "end 6"]


HIDE = """(hidden) => {
  Object.defineProperty(document, "hidden", { value: hidden, configurable: true });
  document.dispatchEvent(new Event("visibilitychange"));
}"""
LINES = """() => { window.lines = []; const Line = window.EventSource;
  window.EventSource = class extends Line {
    constructor(...given) { super(...given); window.lines.push(this); } }; }"""
OPEN = "() => window.lines.filter((line) => line.readyState === EventSource.OPEN).length"


def test_a_hidden_page_gives_its_line_back_and_catches_up_when_it_is_seen(desk: Desk):
    """A browser has six lines to a server: a sixth page waited for ever."""
    with desk.page("revisions") as page, desk.page() as other:
        page.evaluate(LINES)
        page.evaluate(HIDE, True)
        page.wait_for_timeout(6000)
        page.evaluate(HIDE, False)
        page.wait_for_function(f"() => ({OPEN})() === 1")
        page.evaluate(HIDE, True)
        page.wait_for_function(f"() => ({OPEN})() === 0")
        before = ask(other, JOB)["answer"]["revision"]
        type_in(other, "job.name", "Seen again")
        settled(other)
        page.wait_for_timeout(1000)
        rows = page.locator("#page-revisions tbody tr")
        assert rows.count() == before  # it heard nothing
        assert page.locator("#line").is_hidden()  # and does not complain
        page.evaluate(HIDE, False)
        page.wait_for_function(f"() => ({OPEN})() === 1")
        rows.nth(before).wait_for()
        ask(other, f"{JOB}/steps", {"uid": "seen-again-undo", "revision": before + 1,
                                    "step": "undo"})  # fmt: skip
