"""The phone page against the real server: readings are never lost and count once.

The server is a process of its own that is killed and started again on the same store and port.
"""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import pytest
from tests.browser import FLAGS, executable, new_context
from tests.desk_app import answers_late

from plumbrail.notebook.entries import Kind
from plumbrail.notebook.values import reading_value
from plumbrail.plan.demos import demo_text

PHONE = {"width": 390, "height": 844}
JOB = "alder-creek"
INCH = 0.0254
SMALLEST = 56
"""Of a button, px, with gloves on."""
SMALLEST_LOW = 48
"""Of a key where all of the keypad has to stand on a low or narrow screen, px."""
LEAST_TEXT = 17
CONTROLS = """() => [...document.querySelectorAll(
    "button, select, input:not([type=checkbox]), .tick, .post .touch")]
  .filter((n) => n.checkVisibility()).map((n) => { const r = n.getBoundingClientRect();
    return [n.textContent.trim().slice(0, 40), r.width, r.height]; })"""
TEXTS = """() => [...document.querySelectorAll("body *")]
  .filter((n) => n.checkVisibility() && !n.closest(".only-read") &&
    [...n.childNodes].some((c) => c.nodeType === 3 && c.textContent.trim()))
  .map((n) => [n.textContent.trim().slice(0, 40), parseFloat(getComputedStyle(n).fontSize)])"""
WIDE = "document.documentElement.scrollWidth - document.documentElement.clientWidth"


class Laptop:
    """The server on the laptop."""

    def __init__(self, folder: Path) -> None:
        self.store = folder / "store.db"
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = int(free.getsockname()[1])
        self.link = ""
        self.start()

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-m", "plumbrail", "app", "--store", str(self.store), "--port",
             str(self.port), "--lan", "--no-browser"],
            stdout=subprocess.PIPE, text=True, env={**os.environ, "PYTHONWARNINGS": ""},
        )  # fmt: skip
        assert self.process.stdout is not None
        for line in self.process.stdout:
            if "/launch?" in line:
                self.link = line.strip()
            if "Ctrl-C" in line:
                return
        pytest.fail("the server did not start")

    def kill(self) -> None:
        """As when somebody pulls the plug."""
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()
        assert self.process.stdout is not None
        self.process.stdout.close()


@dataclass
class Site:
    """A phone that was let in, and the laptop's own browser."""

    laptop: Laptop
    browser: Any
    desk: Any
    page: Any
    wrong: list[str]

    def get(self, path: str) -> Any:
        return self.desk.request.get(f"{self.laptop.address}/api/jobs/{JOB}/{path}").json()

    def post(self, path: str, body: dict[str, Any]) -> Any:
        headers = {"origin": self.laptop.address}
        return self.desk.request.post(f"{self.laptop.address}{path}", data=body, headers=headers)

    def rows(self) -> list[dict[str, Any]]:
        found: list[dict[str, Any]] = self.get("readings")["rows"]
        return found

    def press(self, feet: str, inches: str, sixteenths: str) -> None:
        """A length on the keypad."""
        page = self.page
        for unit, digits in (("ft", feet), ("in", inches)):
            page.locator(".pad-units button", has_text=re.compile(f"^{unit}$")).click()
            for digit in digits:
                page.locator(".pad-digits button", has_text=re.compile(f"^{digit}$")).click()
        name = f"{sixteenths} inch" if sixteenths else "No fraction"
        page.get_by_role("button", name=name, exact=True).click()

    def outbox(self, words: str, seconds: float = 40) -> None:
        self.page.locator("#outbox", has_text=words).wait_for(timeout=seconds * 1000)


def let_in(desk: Any, address: str, page: Any) -> None:
    headers = {"origin": address, "content-type": "application/json"}
    asked = desk.request.post(f"{address}/api/invitations", data="{}", headers=headers).json()
    page.goto(f"{address}/let-in#{asked['code']}")
    assert "#" not in page.url  # the code does not stay in the history
    page.fill("#name", "Sam")
    page.click("#go")
    page.wait_for_url("**/phone")
    page.wait_for_selector("#next")


@pytest.fixture
def site(tmp_path: Path) -> Iterator[Site]:
    api = pytest.importorskip("playwright.sync_api")
    path = executable()
    laptop = Laptop(tmp_path)
    try:
        with api.sync_playwright() as play:
            browser = play.chromium.launch(executable_path=path, args=FLAGS)
            desk = browser.new_context()
            desk.request.get(laptop.link)
            page = new_context(browser, viewport=PHONE, has_touch=True).new_page()
            wrong: list[str] = []
            page.on("pageerror", lambda e: wrong.append(str(e)))
            let_in(desk, laptop.address, page)
            yield Site(laptop, browser, desk, page, wrong)
            assert wrong == []
            browser.close()
    finally:
        laptop.kill()


def no_violations(page: Any, where: str) -> None:
    from axe_playwright_python.sync_playwright import Axe

    found = Axe().run(page).response["violations"]
    assert not found, (where, [(v["id"], v["nodes"][0]["html"][:120]) for v in found])


def fits(page: Any, where: str, smallest: float = SMALLEST) -> None:
    """Large enough for gloves and the sun, and nothing wider than the screen."""
    small = [c for c in page.evaluate(CONTROLS) if min(c[1:]) < smallest - 0.5]
    tiny = [t for t in page.evaluate(TEXTS) if t[1] < LEAST_TEXT - 0.01]
    assert (small, tiny, page.evaluate(WIDE)) == ([], [], 0), where


def test_a_code_lets_one_phone_in_once(site: Site) -> None:
    headers = {"origin": site.laptop.address, "content-type": "application/json"}
    asked = site.desk.request.post(
        f"{site.laptop.address}/api/invitations", data="{}", headers=headers
    ).json()
    first, second = (new_context(site.browser, viewport=PHONE).new_page() for _ in range(2))
    seen: list[str] = []
    second.on("request", lambda r: seen.append(r.url))
    for page in (first, second):
        page.goto(f"{site.laptop.address}/let-in#{asked['code']}")
        page.fill("#name", "Kim")
        no_violations(page, "let-in")
        fits(page, "let-in")
        page.click("#go")
        if page is first:
            page.wait_for_url("**/phone")
    second.locator("#said", has_text="used already").wait_for()
    assert not any(asked["code"] in url for url in seen)


def test_the_keypad_writes_as_the_notebook_does(site: Site) -> None:
    page = site.page
    page.click("#next")
    site.press("4", "7", "3/16")
    assert page.locator(".pad-value output").inner_text() == "4' 7 3/16\""
    page.click(".pad-save")
    page.locator("#pad-heading", has_text="pin 2").wait_for()
    page.keyboard.type("12")  # by keyboard alone: feet, backspace, inches, Enter
    page.keyboard.press("Backspace")
    page.keyboard.type("'0")
    page.keyboard.press("'")
    page.keyboard.press('"')
    page.keyboard.press("Enter")
    page.locator("#pad-heading", has_text="F1").wait_for()
    site.press("", "2", "1/2")
    page.get_by_role("button", name="above the laser").click()
    page.click(".pad-save")
    page.locator("#pad-heading", has_text="F2").wait_for()
    page.click(".pad-close")
    site.outbox("All safe on the laptop")
    rows = site.rows()
    # 1 ft = 0.3048 m exactly (the international foot)
    expected = [(4 * 12 + 7 + 3 / 16) * INCH, 10 * 12 * INCH, -2.5 * INCH]
    assert [r["start"] for r in rows] == ["pin 1", "pin 2", "F1"]
    assert [r["setup"] for r in rows] == ["A"] * 3
    read = [reading_value(Kind.ROD, r["value"]).amount for r in rows]
    assert read == pytest.approx(expected, abs=1e-9)
    assert all(re.fullmatch(r"\d{4}-\d\d-\d\d \d\d:\d\d:\d\d", r["time"]) for r in rows)


def test_undo_strikes_the_reading_out_and_keeps_it(site: Site) -> None:
    page = site.page
    page.click("#next")
    site.press("5", "0", "1/16")
    page.click(".pad-save")
    page.get_by_role("button", name="Undo what was saved last").click()
    page.locator("#pad-heading", has_text="pin 1").wait_for()
    page.click(".pad-close")
    site.outbox("All safe on the laptop")
    first, second = site.rows()
    assert second["strikes"] == first["uid"]
    page.click("#tab-book")
    page.locator(".book .struck", has_text="5' 0 1/16\"").wait_for()
    assert (
        "struck"
        in site.desk.request.get(f"{site.laptop.address}/api/jobs/{JOB}/notebook.csv").text()
    )


def test_a_tape_far_from_the_plan_is_asked_about_before_it_is_saved(site: Site) -> None:
    page = site.page
    page.locator(".group-head", has_text="Tape").click()
    page.locator("button.row", has_text="F1 beam – F2 beam").click()
    site.press("10", "0", "")  # the demo plans 9 ft from post to post
    page.click(".pad-save")
    page.locator(".pad-wrong", has_text="Was a foot misread?").wait_for()
    assert site.page.evaluate("Object.keys(localStorage).some((k) => k.includes('.out.'))") is False
    page.get_by_role("button", name="Save as read").click()
    page.locator("#pad-heading", has_text="F2 beam – F3 beam").wait_for()
    page.click(".pad-close")
    site.outbox("All safe on the laptop")
    assert [r["value"] for r in site.rows()] == ["10' 0\""]


def test_ten_seconds_away_and_a_killed_server_lose_nothing_and_double_nothing(site: Site) -> None:
    page, context = site.page, site.page.context
    values = [(str(n), str(n % 12), f"{2 * n - 1}/16") for n in range(1, 7)]
    page.click("#next")
    site.press(*values[0])
    page.click(".pad-save")
    context.set_offline(True)
    gone = time.monotonic()
    for value in values[1:4]:
        site.press(*value)
        page.click(".pad-save")
    site.laptop.kill()
    for value in values[4:]:
        site.press(*value)
        page.click(".pad-save")
    page.click(".pad-close")
    site.outbox("waiting")
    page.wait_for_timeout(max(0.0, 10.0 - (time.monotonic() - gone)) * 1000)
    context.set_offline(False)
    page.wait_for_timeout(2000)  # the network is back, the server is not
    site.outbox("waiting")
    site.laptop.start()
    site.outbox("All safe on the laptop")
    site.desk.request.get(site.laptop.link)
    rows = site.rows()
    assert [r["value"] for r in rows] == [f"{f}' {i} {s}\"" for f, i, s in values]
    assert len({r["uid"] for r in rows}) == len(values)
    page.click("#tab-book")
    assert page.locator(".book li").count() == len(values)


def test_what_waits_survives_a_reload_and_two_tabs_send_it_once(site: Site) -> None:
    page, context = site.page, site.page.context
    blocked = True

    def away(route: Any) -> None:
        if blocked:
            route.abort()
        else:
            route.continue_()

    context.route("**/readings", lambda r: away(r) if r.request.method == "POST" else r.continue_())
    page.click("#next")
    for n in range(1, 4):
        site.press(str(n), "1", "1/2")
        page.click(".pad-save")
    page.click(".pad-close")
    site.outbox("3 waiting")
    asked: list[str] = []
    page.on("dialog", lambda d: (asked.append(d.type), d.accept()))
    page.reload()
    site.outbox("3 waiting")
    assert asked == ["beforeunload"]
    other = context.new_page()
    other.goto(f"{site.laptop.address}/phone")
    other.locator("#outbox", has_text="3 waiting").wait_for()
    blocked = False
    for tab in (page, other):
        tab.evaluate("dispatchEvent(new Event('online'))")
    site.outbox("All safe on the laptop")
    other.locator("#outbox", has_text="All safe on the laptop").wait_for()
    assert [r["value"] for r in site.rows()] == [f"{n}' 1 1/2\"" for n in range(1, 4)]


def test_a_full_phone_says_so_and_keeps_the_reading_on_the_screen(site: Site) -> None:
    page = site.page
    page.evaluate("""() => { Storage.prototype.setItem = () => {
      throw new DOMException("full", "QuotaExceededError"); }; }""")
    page.context.set_offline(True)
    page.click("#next")
    site.press("4", "4", "1/4")
    page.click(".pad-save")
    page.click(".pad-close")
    page.locator("#warning", has_text="only on this screen").wait_for()
    page.context.set_offline(False)
    site.outbox("All safe on the laptop")
    assert page.locator("#warning").is_hidden()
    assert [r["value"] for r in site.rows()] == ["4' 4 1/4\""]


def shut_out(site: Site, name: str) -> None:
    """At the desk, as people do it: page Phones, the row of this phone, Shut out."""
    page = site.desk.new_page()
    page.on("dialog", lambda d: d.accept())
    page.goto(f"{site.laptop.address}/#phones")
    own = page.locator("tr", has_text="(this one)")
    own.wait_for()
    assert own.get_by_role("button").count() == 0  # nobody shuts out the browser at the desk
    row = page.locator("#page-phones tr, main tr").filter(has_text=name)
    row.get_by_role("button", name="Shut out").click()
    row.get_by_role("cell", name="shut out", exact=True).wait_for()  # done, not only asked
    page.close()


def new_code(site: Site) -> str:
    headers = {"origin": site.laptop.address, "content-type": "application/json"}
    asked = site.desk.request.post(
        f"{site.laptop.address}/api/invitations", data="{}", headers=headers
    ).json()
    return str(asked["code"])


def test_the_desk_shows_a_square_code_and_its_letters(site: Site) -> None:
    page = site.desk.new_page()
    page.goto(f"{site.laptop.address}/#phones")
    page.click("#invite")
    picture = page.locator(".invitation img")
    picture.wait_for()
    page.wait_for_function("() => document.querySelector('.invitation img').complete")
    assert picture.evaluate("(n) => n.naturalWidth") > 0  # it is drawn, not only sent
    code = page.locator(".invitation .code").inner_text()
    assert code in page.locator(".invitation code").inner_text()
    assert "<svg xmlns=" in unquote(picture.get_attribute("src"))
    page.close()


@pytest.mark.parametrize("way", ["on its page", "after a reload", "in another tab"])
def test_a_phone_shut_out_keeps_its_readings_and_comes_in_by_a_new_code(
    site: Site, way: str
) -> None:
    page = site.page
    page.click("#next")
    site.press("1", "0", "")
    page.click(".pad-save")
    page.locator("#pad-heading", has_text="pin 2").wait_for()
    site.outbox("All safe on the laptop")
    page.context.set_offline(True)
    for feet in ("2", "3", "4"):
        site.press(feet, "0", "1/2")
        page.click(".pad-save")
    page.click(".pad-close")
    shut_out(site, "Sam")
    page.context.set_offline(False)
    page.locator("#warning", has_text="not let in any more").wait_for(timeout=40_000)
    site.outbox("Not let in · ↑ 3 waiting")
    assert "3 entries are kept here" in page.locator("#warning").inner_text()
    fits(page, "shut out")
    no_violations(page, "shut out")
    page.click("#next")  # work goes on
    site.press("5", "0", "1/2")
    page.click(".pad-save")
    page.click(".pad-close")
    page.locator("#warning", has_text="4 entries").wait_for()
    assert len(site.rows()) == 1  # nothing of a phone that is shut out is taken
    page.on("dialog", lambda d: d.accept())  # leaving while something waits is asked about
    code = new_code(site)
    if way == "on its page":
        page.click("#in-again")
        page.fill("#in-code", "WRON-GONE")
        page.get_by_role("button", name="Let this phone in", exact=True).click()
        page.get_by_text("This code does not open the door").wait_for()
        fits(page, "code again")
        no_violations(page, "code again")
        page.fill("#in-code", code)
        assert page.input_value("#in-name") == "Sam"
        page.get_by_role("button", name="Let this phone in", exact=True).click()
    elif way == "after a reload":
        page.reload()
        page.get_by_text("stays on it").wait_for()
        fits(page, "refused page")
        no_violations(page, "refused page")
        page.get_by_role("link", name="Enter a code").click()
        page.locator("#waiting", has_text="4 entries wait on this phone").wait_for()
        page.fill("#code", code)
        page.click("#go")
    else:  # the code was scanned: the phone opens it in a tab of its own
        other = page.context.new_page()
        other.goto(f"{site.laptop.address}/let-in#{code}")
        other.click("#go")
        other.wait_for_url("**/phone")
    site.outbox("All safe on the laptop")
    page.locator("#warning").wait_for(state="hidden")
    rows = site.rows()
    assert [r["value"] for r in rows] == ["1' 0\"", *(f"{n}' 0 1/2\"" for n in range(2, 6))]
    assert len({r["uid"] for r in rows}) == len(rows)
    found = site.desk.request.get(f"{site.laptop.address}/api/devices").json()
    assert [d["revoked"] for d in found if d["name"] == "Sam"].count(True) == 1


def test_what_the_server_refuses_stays_and_does_not_hold_up_the_rest(site: Site) -> None:
    page = site.page
    page.evaluate("""() => { const at = (n) => `plumbrail.out.${String(n).padStart(15, "0")}.x`;
      const row = (uid, note) => ({ job: "alder-creek", what: "readings", body: { uid, kind: "rod",
        start: "F1", value: "1' 0\\"", note } });
      localStorage.setItem(at(1), JSON.stringify(row("too-long-note", "n".repeat(500))));
      localStorage.setItem(at(2), JSON.stringify(row("good-one-0001", "fine")));
      dispatchEvent(new Event("online")); }""")
    site.outbox("1 not taken")
    assert [r["uid"] for r in site.rows()] == ["good-one-0001"]
    page.click("#tab-book")
    page.locator(".warn", has_text="did not take 1").wait_for()
    no_violations(page, "refused")


def readings(site: Site) -> None:
    """The demo's notebook, as if somebody had taken it in at the desk."""
    from importlib.resources import files

    text = (files("plumbrail.plan") / "plans" / "alder-creek-readings.csv").read_text("utf-8")
    assert site.post(f"/api/jobs/{JOB}/notebook", {"text": text}).ok


def test_gate_moves_and_picture(site: Site) -> None:
    page = site.page
    page.click("#tab-result")
    page.locator(".gate", has_text="NOT ENOUGH READINGS").wait_for(timeout=60_000)
    readings(site)
    page.locator(".gate", has_text="NOT READY").wait_for(timeout=60_000)
    report = site.get("truing")
    moves = page.locator("ol.moves > li")
    assert moves.count() == len(report["mending"]["moves"]) > 0
    assert report["mending"]["moves"][0]["words"] in moves.first.inner_text()
    boxes = page.locator(".sketch svg text").evaluate_all(
        "(n) => n.filter((t) => t.checkVisibility()).map((t) => {"
        " const r = t.getBoundingClientRect();"
        " return [t.textContent, r.left, r.top + 3, r.right, r.bottom - 3]; })"
    )
    over = [
        (a[0], b[0]) for i, a in enumerate(boxes) for b in boxes[i + 1 :]
        if a[1] < b[3] and b[1] < a[3] and a[2] < b[4] and b[2] < a[4]
    ]  # fmt: skip
    assert over == []
    page.get_by_role("button", name=re.compile("^F2:")).first.click()
    assert page.locator(".post-values li").count() > 3
    fits(page, "result")
    no_violations(page, "result")
    moves.first.get_by_role("button", name=re.compile("^Moved so")).click()
    page.locator(".gate", has_text="NOT KNOWN NOW").wait_for()
    site.outbox("All safe on the laptop")
    assert site.rows()[-1]["kind"] == "moved"
    move = report["mending"]["moves"][0]
    from plumbrail.notebook.values import move as moved

    assert moved(site.rows()[-1]["value"]).amount == pytest.approx(move["amount"], abs=INCH / 32)
    page.locator(".gate", has_text="NOT READY").wait_for(timeout=60_000)
    page.click("#tab-measure")
    assert page.locator(".group-head").first.is_visible()


def test_a_result_of_another_plan_is_never_shown_as_the_one_of_now(site: Site) -> None:
    """Changed while the answer is on its way, and while the phone is out of reach."""
    page, known = site.page, []

    def change(revision: int, value: str) -> None:
        body = {"uid": f"phone-plan-{revision}", "revision": revision,
                "changes": [{"path": "tolerances.plumb", "value": value}]}  # fmt: skip
        assert site.post(f"/api/jobs/{JOB}/edits", body).ok

    def verdict_of(revision: int) -> None:
        page.locator(".gate:not(.old)", has_text="NOT READY").wait_for(timeout=60_000)
        assert known[-1] == revision

    page.on("requestfinished", lambda r: r.url.endswith("/truing")
            and known.append(r.response().json()["revision"]))  # fmt: skip
    readings(site)
    answers_late(page, "/truing", 5000)
    page.click("#tab-result")
    until = time.monotonic() + 60
    while not known:  # answered by the laptop, not here yet
        assert time.monotonic() < until
        page.wait_for_timeout(50)
    change(1, "0.4 deg")
    page.locator(".gate.old", has_text="a change of the plan").wait_for(timeout=60_000)
    verdict_of(2)
    page.context.set_offline(True)
    site.laptop.kill()  # or the line that is up would stay
    page.get_by_text("out of reach: what others have measured").wait_for()
    site.laptop.start()
    site.desk.request.get(site.laptop.link)
    change(2, "0.3 deg")
    page.context.set_offline(False)
    page.locator(".gate.old", has_text="a change of the plan").wait_for(timeout=60_000)
    verdict_of(3)
    assert page.get_by_text("out of reach: what others").count() == 0


def test_ticks_go_the_same_way_as_readings(site: Site) -> None:
    page = site.page
    page.click("#tab-ticks")
    page.locator(".tick").first.wait_for(timeout=60_000)
    page.context.set_offline(True)
    page.locator(".tick input").nth(1).check()
    page.locator(".tick .who", has_text="waits on this phone").wait_for()
    page.context.set_offline(False)
    site.outbox("All safe on the laptop")
    (tick,) = site.get("ticks")
    assert (tick["list"], tick["done"], tick["device"]) == ("hold", True, "Sam")
    assert tick["item"] == "Footing inspection, where the building department asks for o"
    for name in ("cut", "pour", "torque"):
        page.click(f"#list-{name}")
        assert page.locator(".tick").count() > 10
        no_violations(page, name)
    fits(page, "ticks")


def test_how_a_post_stands_and_a_metric_job(site: Site) -> None:
    page = site.page
    page.click("#free")
    page.get_by_role("button", name="Go on: how does it stand?").click()
    page.locator(".pad-wrong", has_text="Choose: Post").wait_for()
    page.select_option("#free-start", "B2")
    no_violations(page, "free entry")
    page.get_by_role("button", name="Go on: how does it stand?").click()
    page.get_by_role("button", name=re.compile("^Set")).click()
    site.outbox("All safe on the laptop")
    (row,) = site.rows()
    assert (row["kind"], row["start"], row["value"]) == ("state", "B2", "set")
    metric = demo_text(JOB).replace('units = "us"', 'units = "metric"')
    assert metric != demo_text(JOB)
    made = site.post("/api/jobs", {"uid": "metric-job-0001", "plan": metric})
    page.goto(f"{site.laptop.address}/phone?job={made.json()['job']}")
    page.click("#next")
    for key in ("1", ".", "3", "1", "6"):
        page.locator(".pad-keys button", has_text=re.compile(f"^{re.escape(key)}$")).click()
    assert page.locator(".pad-value output").inner_text() == "1.316 m"
    assert page.locator(".pad-marks").count() == 0
    fits(page, "metric keypad")


@pytest.mark.parametrize("size", [(390, 844), (320, 640), (844, 390)])
def test_large_enough_and_open_to_everybody(site: Site, size: tuple[int, int]) -> None:
    page = site.page
    page.set_viewport_size({"width": size[0], "height": size[1]})
    for tab in ("measure", "result", "ticks", "book"):
        page.click(f"#tab-{tab}")
        page.wait_for_timeout(300)
        fits(page, f"{tab} {size}")
        no_violations(page, f"{tab} {size}")
    page.click("#tab-measure")
    for group, row in (("Rod, set-up A", "pin 1"), ("Plumb", "F1 front–back"), ("String", "F2")):
        head = page.locator(".group-head", has_text=group)
        if head.get_attribute("aria-expanded") == "false":
            head.click()
        page.locator("button.row", has_text=row).first.click()
        fits(page, f"keypad {group} {size}", SMALLEST_LOW)
        no_violations(page, f"keypad {group} {size}")
        page.click(".pad-close")


PAD = """() => { const pad = document.querySelector("dialog.pad");
  const box = (n) => { const r = n.getBoundingClientRect();
    return [r.left, r.top, r.right, r.bottom]; };
  const parts = [...pad.querySelectorAll("button, .pad-value, .pad-wrong")]
    .filter((n) => n.checkVisibility()).map((n) => [n.textContent, box(n)]);
  const cut = [...pad.querySelectorAll("button")].filter((n) => n.checkVisibility() &&
    (n.scrollWidth > n.clientWidth || n.scrollHeight > n.clientHeight)).map((n) => n.textContent);
  return { parts, cut, scrolls: pad.scrollHeight - pad.clientHeight }; }"""


def whole(page: Any, where: str) -> None:
    """All of the keypad on the screen at once; nothing lies on anything else or is cut off."""
    found, size = page.evaluate(PAD), page.viewport_size
    parts = found["parts"]
    out = [
        name for name, (left, top, right, bottom) in parts
        if min(left, top) < 0 or right > size["width"] or bottom > size["height"]
    ]  # fmt: skip
    over = [
        (name, other) for i, (name, a) in enumerate(parts) for other, b in parts[i + 1 :]
        if a[0] < b[2] - 0.5 and b[0] < a[2] - 0.5 and a[1] < b[3] - 0.5 and b[1] < a[3] - 0.5
    ]  # fmt: skip
    assert (found["scrolls"], out, over, found["cut"]) == (0, [], [], []), where
    fits(page, where, SMALLEST_LOW)


@pytest.mark.parametrize("units", ["us", "metric"])
def test_every_keypad_is_on_the_screen_at_once(site: Site, units: str) -> None:
    page = site.page
    if units == "metric":
        plan = demo_text(JOB).replace('units = "us"', 'units = "metric"')
        made = site.post("/api/jobs", {"uid": "metric-job-0002", "plan": plan})
        page.goto(f"{site.laptop.address}/phone?job={made.json()['job']}")
        page.wait_for_selector("#next")
    for size in ((390, 844), (390, 664), (360, 640), (320, 640), (844, 390)):
        page.set_viewport_size({"width": size[0], "height": size[1]})
        every_keypad(page, f"{size} {units}")


def every_keypad(page: Any, size: str) -> None:
    for group in ("Rod, set-up A", "Tape", "String side", "Plumb", "Tilt", "Diagonal"):
        where = f"{group} {size}"
        head = page.locator(".group-head", has_text=re.compile(f"^{group}"))
        if head.get_attribute("aria-expanded") == "false":
            head.click()
        head.locator("xpath=ancestor::section[1]").locator("button.row").last.click()
        whole(page, where)
        page.click(".pad-save")
        page.locator(".pad-wrong", has_text="Enter the value first").wait_for()
        whole(page, f"{where}, nothing entered")
        if group == "Plumb":
            page.get_by_role("button", name=re.compile(r"level$")).nth(1).click()
            whole(page, f"{where}, level")
            page.click(".pad-save")
            whole(page, f"{where}, level, nothing entered")
        page.click(".pad-close")
    for kind, at in (("plumb", "F1"), ("moved", "F1 post"), ("slides", "front beam")):
        page.click("#free")
        page.select_option("#free-kind", kind)
        page.select_option("#free-start", at)
        page.get_by_role("button", name="Go on to the value").click()
        whole(page, f"{kind} {size}")
        page.click(".pad-close")


def test_a_string_is_read_to_its_sides_and_no_other_way(site: Site) -> None:
    """From pin to pin too, which stand along the rows here; the laptop refuses the other way."""
    page = site.page
    for start, end, at, ways in (("pin 1", "pin 2", "F2", ["back", "front"]),
                                 ("F1", "F4", "F2", ["back", "front"])):  # fmt: skip
        page.click("#free")
        page.select_option("#free-kind", "string side")
        for name, value in (("start", start), ("end", end), ("at_point", at)):
            page.select_option(f"#free-{name}", value)
        page.get_by_role("button", name="Go on to the value").click()
        said = page.locator(".pad-ways button").all_text_contents()
        assert said == [f"to the {way}" for way in ways]
        page.click(".pad-close")


def test_a_reading_that_is_there_is_corrected_not_averaged_in(site: Site) -> None:
    page = site.page
    row = page.locator("button.row", has_text="pin 1").first
    for feet, then in (("4", ""), ("5", "It is wrong"), ("6", "Read it a second time")):
        row.click()
        if then:
            page.locator("#again-heading").wait_for()
            fits(page, "a reading that is there")
            no_violations(page, "a reading that is there")
            page.get_by_role("button", name=re.compile(f"^{then}")).click()
        site.press(feet, "0", "")
        page.click(".pad-save")
        page.click(".pad-close")
    site.outbox("All safe on the laptop")
    rows = site.rows()
    struck = {r["strikes"] for r in rows if r["strikes"]}
    assert [r["value"] for r in rows if r["value"]] == ["4' 0\"", "5' 0\"", "6' 0\""]
    assert struck == {rows[0]["uid"]}
