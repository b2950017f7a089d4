"""The site plan and the side section in a real browser: to scale, legible, dragged, typed."""

from __future__ import annotations

import copy
from typing import Any

import pytest
from tests.made_states import demo_state, site_text, state_of, windy_state
from tests.static_views import Seen, Views

INCH = 0.0254
SIZES = [(1280, 800), (390, 844)]
BOXES = """(n) => n.filter(x => x.textContent.trim()).map(x => {
  const r = x.getBoundingClientRect();
  const turned = /rotate/.test(x.getAttribute("transform") ?? "");
  return [x.textContent, [r.left, r.top, r.right, r.bottom], turned]; })"""


def thing(state: dict[str, Any], name: str) -> dict[str, Any]:
    return next(t for t in state["scene"]["things"] if t["id"] == name)


def spot(seen: Seen, name: str, handle: int = 0) -> tuple[float, float]:
    """Where a thing is on the page, px."""
    at = seen.page.evaluate("([n, h]) => view.project(n, h)", [name, handle])
    box = seen.page.locator(".plan-picture").bounding_box()
    return box["x"] + at["x"], box["y"] + at["y"]


def drag(
    seen: Seen, start: tuple[float, float], by: tuple[float, float], drop: bool = True
) -> None:
    mouse = seen.page.mouse
    mouse.move(*start)
    mouse.down()
    mouse.move(start[0] + by[0], start[1] + by[1], steps=6)
    seen.settle()
    if drop:
        mouse.up()
        seen.settle()


def edits(seen: Seen) -> list[list[dict[str, Any]]]:
    return seen.page.evaluate("store.edits")


def overlaps(boxes: list[list[Any]]) -> list[tuple[str, str]]:
    """Pairs of words of which one stands over the other by more than a px."""
    found = []
    for i, (one, a, _) in enumerate(boxes):
        for other, b, _ in boxes[i + 1 :]:
            w, h = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
            if w > 1 and h > 1:
                found.append((one, other))
    return found


def test_is_drawn_to_scale(view: Views):
    state = demo_state()
    with view("siteplan", state) as seen:
        k = seen.page.evaluate("view.paper.k")
        pins = [spot(seen, f"pin-{i}") for i in (1, 2)]
        places = [thing(state, f"pin-{i}")["places"][0] for i in (1, 2)]
        assert pins[1][0] - pins[0][0] == pytest.approx(k * (places[1][0] - places[0][0]), abs=0.5)
        assert pins[1][1] - pins[0][1] == pytest.approx(-k * (places[1][1] - places[0][1]), abs=0.5)
        bar = seen.page.locator(".furniture .bar-fill").bounding_box()
        words = seen.page.locator(".furniture text").all_text_contents()[1]
        length = float(words.split()[0]) * 0.3048
        assert 2 * bar["width"] == pytest.approx(k * length, abs=1.5)


def test_north_points_where_the_azimuth_says(view: Views):
    """The array faces 178 deg, so true north is 2 deg to the left of straight back."""
    with view("siteplan", demo_state()) as seen:
        d = seen.page.locator(".furniture .needle").get_attribute("d")
        ring = seen.page.locator(".furniture .ring")
        tip = [float(v) for v in d[1:].split("L")[0].split()]
        dx = tip[0] - float(ring.get_attribute("cx"))
        dy = float(ring.get_attribute("cy")) - tip[1]
        assert dx / dy == pytest.approx(0.03492, abs=5e-4)  # tan 2 deg
        assert dy > 0


@pytest.mark.parametrize("size", SIZES, ids=["desk", "phone"])
@pytest.mark.parametrize("show", ["Show the array", "Show what stands around the array",
                                  "Show the whole site"])  # fmt: skip
def test_names_stand_apart(view: Views, size: tuple[int, int], show: str):
    with view("siteplan", demo_state(), size) as seen:
        seen.page.get_by_label(show, exact=True).click()
        seen.settle()
        boxes = seen.page.locator(".plan-picture text").evaluate_all(BOXES)
        assert len(boxes) >= 8
        assert overlaps(boxes) == []
        assert seen.page.evaluate("document.documentElement.scrollWidth") <= size[0]


def test_a_tree_is_dragged_by_mouse_and_told_once(view: Views):
    state = demo_state()
    with view("siteplan", state) as seen:
        tree = thing(state, "tree-2")
        k = seen.page.evaluate("view.paper.k")
        drag(seen, spot(seen, "tree-2"), (-100, -30), drop=False)
        assert "to the array" in seen.page.locator(".plan-status").inner_text()
        assert seen.page.locator(".gap-words").count() == 1
        assert seen.page.locator(".ghosts *").count() > 0
        assert edits(seen) == []
        seen.page.mouse.up()
        seen.settle()
        ((change,),) = edits(seen)
        x, y = tree["places"][0]
        assert change["path"] == tree["path"]
        assert change["places"][0] == pytest.approx([x - 100 / k, y + 30 / k], abs=0.02)
        assert seen.page.evaluate("store.selected") == "tree-2"
        assert seen.page.locator(".ghosts *").count() == 0


def test_the_distance_shown_is_to_the_crown(view: Views):
    """Straight before the low edge the distance is the difference in y less the radius."""
    state = demo_state()
    with view("siteplan", state) as seen:
        tree = thing(state, "tree-2")
        low = min(c[1] for p in state["scene"]["panels"] for c in p["corners"])
        seen.page.locator('[data-id="tree-2"]').focus()
        seen.page.keyboard.press("ArrowUp")
        seen.settle()
        want = low - (tree["places"][0][1] + INCH) - tree["radius"]
        inches = round(want / INCH)
        said = seen.page.locator(".gap-words").text_content()
        assert said == f"{inches // 12}' {inches % 12}\""


def test_the_keyboard_moves_by_an_inch_and_ten_and_tells_once(view: Views):
    state = demo_state()
    with view("siteplan", state) as seen:
        seen.page.locator('[data-id="tree-1"]').focus()
        for key in ("ArrowRight", "ArrowRight", "Shift+ArrowUp", "ArrowDown"):
            seen.page.keyboard.press(key)
        assert edits(seen) == []
        seen.page.wait_for_function("() => store.edits.length")
        ((change,),) = edits(seen)
        x, y = thing(state, "tree-1")["places"][0]
        assert change["places"][0] == pytest.approx([x + 2 * INCH, y + 9 * INCH], abs=1e-4)
        assert seen.page.evaluate("document.activeElement.dataset.id") == "tree-1"


def test_metric_jobs_move_by_a_centimetre(view: Views):
    state = state_of(site_text({"job.units": "metric"}))
    with view("siteplan", state) as seen:
        seen.page.locator('[data-id="tree-1"]').focus()
        seen.page.keyboard.press("ArrowLeft")
        seen.page.keyboard.press("Enter")
        ((change,),) = edits(seen)
        x, _ = thing(state, "tree-1")["places"][0]
        assert change["places"][0][0] == pytest.approx(x - 0.01)


def test_escape_takes_a_move_back(view: Views):
    state = demo_state()
    with view("siteplan", state) as seen:
        before = spot(seen, "box-1")
        drag(seen, before, (-60, 40), drop=False)
        seen.page.locator('[data-id="box-1"]').focus()
        seen.page.keyboard.press("Escape")
        seen.page.mouse.up()
        seen.settle()
        seen.page.locator('[data-id="box-1"]').focus()
        seen.page.keyboard.press("ArrowLeft")
        seen.page.keyboard.press("Escape")
        seen.page.wait_for_timeout(700)
        assert edits(seen) == []
        assert spot(seen, "box-1") == pytest.approx(before)


def test_a_corner_of_an_outline_moves_alone(view: Views):
    state = demo_state()
    bound = thing(state, "boundary")
    with view("siteplan", state) as seen:
        seen.page.get_by_label("Show the whole site", exact=True).click()
        seen.page.evaluate("store.select('boundary')")
        seen.settle()
        assert seen.page.locator(".handle").count() == len(bound["handles"])
        k = seen.page.evaluate("view.paper.k")
        drag(seen, spot(seen, "boundary", 2), (-30, 20))
        ((change,),) = edits(seen)
        want = copy.deepcopy(bound["handles"])
        want[2] = [want[2][0] - 30 / k, want[2][1] - 20 / k]
        for got, place in zip(change["places"], want, strict=True):
            assert got == pytest.approx(place, abs=0.05)
        seen.page.locator('.handle[data-handle="0"]').focus()
        seen.page.keyboard.press("ArrowRight")
        seen.page.keyboard.press("Enter")
        assert edits(seen)[1][0]["places"][0][0] == pytest.approx(want[0][0] + INCH, abs=1e-4)


def test_a_line_that_was_not_chosen_is_not_moved_by_panning(view: Views):
    state = demo_state()
    with view("siteplan", state) as seen:
        middle = seen.page.evaluate("view.paper.middle")
        drag(seen, spot(seen, "service-2"), (50, 30))
        assert edits(seen) == []
        assert seen.page.evaluate("view.paper.middle") != middle


def test_the_array_moves_on_the_land_and_the_land_the_other_way(view: Views):
    """Places count from the first hole: moving the array moves all that stays on the land."""
    state = demo_state()
    with view("siteplan", state) as seen:
        seen.page.locator(".thing.own").focus()
        seen.page.keyboard.press("Enter")
        seen.page.keyboard.press("Shift+ArrowRight")
        seen.page.keyboard.press("Enter")
        (changes,) = edits(seen)
        told = {c["path"]: c["places"] for c in changes}
        kept = [
            t
            for t in state["scene"]["things"]
            if t["path"] and t["kind"] not in ("pin", "combiner")
        ]
        assert set(told) == {t["path"] for t in kept}
        for t in kept:
            for got, was in zip(told[t["path"]], t["handles"], strict=True):
                assert got == pytest.approx([was[0] - 10 * INCH, was[1]], abs=1e-9)


def test_a_combiner_box_hangs_at_a_corner_and_is_dragged_to_another(view: Views):
    state = demo_state()
    box = next(t for t in state["scene"]["things"] if t["kind"] == "combiner")
    assert state["values"]["wiring"]["combiners"]["corner"] == "back right"
    with view("siteplan", state) as seen:
        k = seen.page.evaluate("view.paper.k")
        corners = [c for p in state["scene"]["panels"] for c in p["corners"]]
        wide = max(c[0] for c in corners) - min(c[0] for c in corners)
        drag(seen, spot(seen, box["id"]), (-0.3 * wide * k, 0))
        assert edits(seen) == []  # less than half way: it stays where it is
        drag(seen, spot(seen, box["id"]), (-0.7 * wide * k, 0), drop=False)
        said = seen.page.locator(".plan-status").inner_text()
        assert "back left" in said
        seen.page.mouse.up()
        seen.settle()
        assert edits(seen) == [[{"path": "wiring.combiners.corner", "value": "back left"}]]
        seen.page.locator(f'[data-id="{box["id"]}"]').focus()
        seen.page.keyboard.press("ArrowDown")
        seen.page.keyboard.press("Enter")
        assert edits(seen)[1] == [{"path": "wiring.combiners.corner", "value": "front right"}]


def test_lengths_of_the_array_are_drawn_on_the_plan_to_scale(view: Views):
    state = demo_state()
    wanted = [label for label in state["scene"]["lengths"] if label["view"] == "plan"]
    with view("siteplan", state) as seen:
        seen.page.get_by_label("Show the array", exact=True).click()
        seen.settle()
        words = seen.page.locator("text.length").all_text_contents()
        assert sorted(words) == sorted(label["words"] for label in wanted)
        k = seen.page.evaluate("view.paper.k")
        sizes = seen.page.locator(".length .measure").evaluate_all(
            "n => n.map((p) => { const [a, b] = p.getAttribute('d').slice(1).split('M')[0]"
            ".split('L').map((s) => s.split(' ').map(Number)); "
            "return Math.hypot(b[0] - a[0], b[1] - a[1]); })"
        )
        for label, size in zip(wanted, sizes, strict=True):
            far = [b - a for a, b in zip(label["start"][:2], label["end"][:2], strict=True)]
            assert size == pytest.approx(k * (far[0] ** 2 + far[1] ** 2) ** 0.5, abs=0.3)
        seen.page.get_by_label("Show the whole site", exact=True).click()
        seen.settle()
        assert len(seen.page.locator("text.length").all_text_contents()) < len(wanted)


def test_things_are_named_by_kind_in_words(view: Views):
    state = demo_state()
    words = {"paving": "paving", "rock": "rock", "power": "buried service, power"}
    with view("siteplan", state) as seen:
        kinds = [t["shape"] for t in state["scene"]["things"] if t["kind"] in ("region", "service")]
        assert set(words) <= set(kinds)
        for t in state["scene"]["things"]:
            if t["kind"] in ("region", "service") and t["shape"] in words:
                row = seen.page.locator(f'[data-row="{t["id"]}"] .thing-kind')
                said = row.text_content() or ""
                assert said.split(" · ")[-1] == words[t["shape"]]
                mark = seen.page.locator(f'.thing[data-id="{t["id"]}"]').get_attribute("aria-label")
                assert words[t["shape"]] in mark


def test_survey_points_move_with_the_land(view: Views):
    state = copy.deepcopy(demo_state())
    state["values"]["site"]["ground"] = {"points": [[0, 0, 100], [50, 0, 99]], "points_unit": "ft"}
    with view("siteplan", state) as seen:
        changes = seen.page.evaluate(
            "import('/static/plangeometry.js').then((m) => m.arrayChanges(store.state, [3.048, 0]))"
        )
        ground = next(c for c in changes if c["path"] == "site.ground.points")
        assert ground["value"] == [[-10, 0, 100], [40, 0, 99]]


def test_a_refused_move_goes_back_and_says_why(view: Views):
    with view("siteplan", demo_state()) as seen:
        before = spot(seen, "tree-1")
        seen.page.evaluate("store.refuse = 'two things cannot stand there'")
        drag(seen, before, (40, 10))
        seen.page.wait_for_selector(".plan-main > .fault:not([hidden])")
        said = seen.page.locator(".plan-main > .fault").inner_text()
        assert "South-west spruce" in said and "two things cannot stand there" in said
        assert spot(seen, "tree-1") == pytest.approx(before)


def test_a_move_shows_while_the_server_works(view: Views):
    with view("siteplan", demo_state()) as seen:
        before = spot(seen, "tree-1")
        seen.page.evaluate("store.wait = 800")
        drag(seen, before, (40, 0))
        assert spot(seen, "tree-1")[0] == pytest.approx(before[0] + 40, abs=0.5)
        seen.page.wait_for_function("() => store.state.revision === 2")
        seen.settle()
        assert spot(seen, "tree-1")[0] == pytest.approx(before[0] + 40, abs=0.5)


def test_places_are_typed_as_a_builder_writes_them(view: Views):
    state = demo_state()
    with view("siteplan", state) as seen:
        field = seen.page.get_by_label("Apple tree, to the right")
        assert field.input_value() == "22 ft"
        field.fill("20 ft 6 in")
        field.press("Tab")
        seen.page.wait_for_function("() => store.edits.length")
        ((change,),) = edits(seen)
        assert change == {"path": "site.shade.trees[2].at", "value": ["20 ft 6 in", "-30 ft"]}
        seen.page.evaluate("store.refuse = 'write a length, for example 20 ft'")
        field.fill("twenty")
        field.press("Enter")
        seen.page.wait_for_selector(".pair .fault:not([hidden])")
        assert field.get_attribute("aria-invalid") == "true"
        assert field.input_value() == "twenty"


def test_two_fingers_zoom_and_move_nothing(view: Views):
    with view("siteplan", demo_state(), (390, 844), touch=True) as seen:
        k = seen.page.evaluate("view.paper.k")
        seen.page.evaluate(
            """() => {
              const c = document.querySelector(".plan-picture");
              c.setPointerCapture = () => {};
              const box = c.getBoundingClientRect();
              const send = (type, id, x, y) => c.dispatchEvent(new PointerEvent(type, {
                pointerId: id, pointerType: "touch", clientX: box.left + x,
                clientY: box.top + y, bubbles: true }));
              send("pointerdown", 1, 100, 200); send("pointerdown", 2, 200, 200);
              for (let i = 1; i <= 5; i++) { send("pointermove", 1, 100 - 10 * i, 200);
                send("pointermove", 2, 200 + 10 * i, 200); }
              send("pointerup", 1, 50, 200); send("pointerup", 2, 250, 200);
            }"""
        )
        assert seen.page.evaluate("view.paper.k") == pytest.approx(2 * k, rel=0.01)
        assert edits(seen) == []


def test_things_come_and_go_with_the_plan(view: Views):
    with view("siteplan", demo_state()) as seen:
        page = seen.page
        page.evaluate(
            """() => { const s = structuredClone(store.state); s.revision = 5;
            s.scene.things = s.scene.things.filter((t) => t.kind !== "tree"); store.take(s); }"""
        )
        page.wait_for_selector('[data-drawn="5"]')
        assert page.locator(".thing.tree").count() == 0
        assert page.get_by_label("Apple tree, to the right").count() == 0
        assert page.locator(".thing.box").count() == 1


def test_colour_is_not_the_only_sign_of_a_service(view: Views):
    state = demo_state()
    with view("siteplan", state) as seen:
        lines = seen.page.locator(".thing.service .line")
        dashes = lines.evaluate_all("n => n.map(x => x.getAttribute('stroke-dasharray'))")
        kinds = {t["shape"] for t in state["scene"]["things"] if t["kind"] == "service"}
        assert len(set(dashes)) == len(kinds)
        inks = lines.evaluate_all("n => n.map(x => getComputedStyle(x).stroke)")
        assert len(set(inks)) == len(kinds)
        letters = set(seen.page.locator(".letter text").all_text_contents())
        assert letters == {t["letter"] for t in state["scene"]["things"] if t["kind"] == "service"}


@pytest.mark.parametrize("size", [*SIZES, (760, 560)], ids=["desk", "phone", "tablet"])
@pytest.mark.parametrize("state", [demo_state, windy_state], ids=["demo", "windy"])
def test_the_section_is_legible(view: Views, size: tuple[int, int], state: Any):
    with view("section", state(), size) as seen:
        boxes = seen.page.locator(".section-picture text").evaluate_all(BOXES)
        words = [text for text, _, _ in boxes]
        for label in state()["scene"]["lengths"]:
            if label["view"] == "section":
                assert label["words"] in words
        frame = seen.page.locator(".section-picture").bounding_box()
        for text, (left, top, right, bottom), _ in boxes:
            assert left >= frame["x"] - 1 and right <= frame["x"] + frame["width"] + 1, text
            assert top >= frame["y"] - 1 and bottom <= frame["y"] + frame["height"] + 1, text
        upright = [b for b in boxes if not (b[2] and b[0].startswith("tilt"))]
        assert overlaps(upright) == []


def test_the_section_is_to_scale(view: Views):
    state = demo_state()
    with view("section", state) as seen:
        posts = [b for b in state["scene"]["section"] if b["part"] == "post"]
        middles = []
        for post in posts:
            path = seen.page.locator(f'.bar[data-id="{post["id"]}"] path')
            box = path.evaluate("n => { const b = n.getBBox(); return [b.x, b.width, b.height]; }")
            middles.append((box[0] + box[1] / 2, box[2]))
        tall = [post["end"][2] - post["start"][2] for post in posts]
        k = middles[0][1] / tall[0]
        assert middles[1][1] == pytest.approx(k * tall[1], rel=1e-3)
        far = k * (posts[1]["start"][1] - posts[0]["start"][1])
        assert middles[1][0] - middles[0][0] == pytest.approx(far, rel=1e-3)


def test_parts_of_the_section_are_chosen(view: Views):
    state = windy_state()
    with view("section", state) as seen:
        post = next(b for b in state["scene"]["section"] if b["mark"] == "fail")
        part = seen.page.locator(f'.bar[data-id="{post["id"]}"]')
        assert "fails" in part.get_attribute("aria-label")
        part.focus()
        seen.page.keyboard.press("Enter")
        seen.settle()
        assert seen.page.evaluate("store.selected") == post["id"]
        assert seen.page.evaluate("document.activeElement.dataset.id") == post["id"]
        seen.page.keyboard.press("Enter")
        assert seen.page.evaluate("opened") == [f"check:{post['check']}"]


@pytest.mark.parametrize("name", ["siteplan", "section"])
def test_reads_well_to_machines(view: Views, name: str):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    with view(name, windy_state()) as seen:
        assert axe.Axe().run(seen.page).response["violations"] == []
