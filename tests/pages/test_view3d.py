"""The 3D view in a real browser: what is drawn, chosen, marked, and what happens without WebGL."""

from __future__ import annotations

import struct
import zlib
from typing import Any

import pytest
from tests.made_states import demo_state, windy_state
from tests.static_views import Views

SIZES = [(1280, 800), (390, 844)]


def pixels(png: bytes) -> tuple[int, list[bytes]]:
    """Bytes of one pixel, and the rows of an 8-bit picture without interlacing (PNG, 2nd ed.)."""
    width, _, depth, kind = struct.unpack(">IIBB", png[16:26])
    step = {2: 3, 6: 4}[kind]
    assert depth == 8
    data, at = b"", 8
    while at < len(png):
        length, name = struct.unpack(">I4s", png[at : at + 8])
        if name == b"IDAT":
            data += png[at + 8 : at + 8 + length]
        at += 12 + length
    raw, rows, size = zlib.decompress(data), [], width * step
    before = bytearray(size)
    for i in range(0, len(raw), size + 1):
        before = _unfiltered(raw[i], bytearray(raw[i + 1 : i + 1 + size]), before, step)
        rows.append(bytes(before))
    return step, rows


def _unfiltered(how: int, line: bytearray, above: bytearray, step: int) -> bytearray:
    for i in range(len(line)):
        a = line[i - step] if i >= step else 0
        b, c = above[i], above[i - step] if i >= step else 0
        guess = a + b - c
        nearest = min((a, b, c), key=lambda v: abs(guess - v))
        line[i] = (line[i] + (0, a, b, (a + b) // 2, nearest)[how]) & 255
    return line


def colours(seen: Any) -> set[tuple[int, ...]]:
    """Colours on the canvas, each channel to 1 in 8."""
    step, rows = pixels(seen.page.locator("canvas").screenshot())
    return {tuple(v // 32 for v in row[i : i + 3]) for row in rows[::3]
            for i in range(0, len(row), 3 * step)}  # fmt: skip


def press_part(seen: Any, name: str) -> None:
    """Clicks the middle of a part on the canvas."""
    at = seen.page.evaluate("(id) => module.project(id)", name)
    seen.page.locator("canvas").click(position={"x": at["x"], "y": at["y"]})
    seen.settle()


@pytest.mark.parametrize("size", SIZES, ids=["desk", "phone"])
def test_draws_the_frame(view: Views, size: tuple[int, int]):
    with view("view3d", demo_state(), size) as seen:
        assert len(colours(seen)) > 20
        page = seen.page
        assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
        label = page.locator("canvas").get_attribute("aria-label")
        bars = demo_state()["scene"]["bars"]
        worst = max((b for b in bars if b["ratio"] is not None), key=lambda b: b["ratio"])
        assert f"{len(bars)} parts, 24 modules" in label
        assert worst["words"] in label


def test_every_kind_of_part_can_be_chosen_where_it_is_drawn(view: Views):
    with view("view3d", demo_state()) as seen:
        page = seen.page
        page.select_option("select", "hidden")
        page.get_by_text("Show what is in the ground").click()
        page.get_by_text("Show what stands around").click()
        for name in ("F2", "R3", "back-beam.B2-B3", "pier-F1"):
            press_part(seen, name)
            assert page.evaluate("store.selected") == name
            words = next(b["words"] for b in demo_state()["scene"]["bars"] if b["id"] == name)
            assert words in page.locator(".chosen-part").inner_text()
        page.get_by_role("button", name="Open its worst check").click()
        check = next(b["check"] for b in demo_state()["scene"]["bars"] if b["id"] == "pier-F1")
        assert page.evaluate("opened") == [f"check:{check}"]


def test_solid_modules_are_chosen_before_what_is_behind_them(view: Views):
    with view("view3d", demo_state()) as seen:
        seen.page.select_option("select", "solid")
        seen.page.click("[data-view=above]")
        seen.settle()
        press_part(seen, "M2-3")
        assert seen.page.evaluate("store.selected") == "M2-3"


def test_a_pier_below_the_ground_is_chosen_only_when_it_is_shown(view: Views):
    with view("view3d", demo_state()) as seen:
        page = seen.page
        page.select_option("select", "hidden")
        page.get_by_text("Show what stands around").click()
        press_part(seen, "pier-F2")
        assert page.evaluate("store.selected") != "pier-F2"
        page.get_by_text("Show what is in the ground").click()
        seen.settle()
        press_part(seen, "pier-F2")
        assert page.evaluate("store.selected") == "pier-F2"


def test_what_fails_is_labelled_patterned_and_told(view: Views):
    with view("view3d", windy_state()) as seen:
        page, bars = seen.page, windy_state()["scene"]["bars"]
        marked = {b["id"] for b in bars if b["mark"] in ("fail", "near")}
        labels = page.locator(".label3d").evaluate_all(
            "n => n.map(x => [x.dataset.label, x.innerText])"
        )
        assert len(labels) >= 8
        assert {name for name, _ in labels} <= marked
        assert all(text.strip()[-4:].replace(".", "").isdigit() for _, text in labels)
        legend = page.locator(".legend").inner_text()
        assert "fails" in legend and "0.90" in legend
        page.get_by_text("Parts and their ratios as a table").click()
        rows = page.locator(".part-table tbody tr")
        rows.first.wait_for()
        assert rows.count() == len(bars)
        assert "fails" in rows.first.inner_text()
        page.locator('.part-table [data-part="R5"]').click()
        assert page.evaluate("store.selected") == "R5"
        assert page.locator('.part-table [data-part="R5"]').get_attribute("aria-pressed") == "true"


def test_labels_stand_apart_and_inside(view: Views):
    for size in SIZES:
        with view("view3d", windy_state(), size) as seen:
            for side in ("corner", "front", "side", "above", "back"):
                seen.page.click(f"[data-view={side}]")
                seen.settle()
                boxes = seen.page.locator(".label3d").evaluate_all(
                    "n => n.map(x => { const r = x.getBoundingClientRect();"
                    " return [r.left, r.top, r.right, r.bottom]; })"
                )
                assert boxes
                for i, a in enumerate(boxes):
                    assert a[0] >= 0 and a[2] <= size[0]
                    for b in boxes[i + 1 :]:
                        wide, high = (min(a[k + 2], b[k + 2]) - max(a[k], b[k]) for k in (0, 1))
                        assert wide <= 1 or high <= 1


def test_a_failing_part_differs_without_colour(view: Views):
    """In grey, a part that fails has light and dark bands where one that passes is even."""
    with view("view3d", windy_state()) as seen:
        page = seen.page
        page.select_option("select", "hidden")
        page.get_by_text("Show what stands around").click()
        page.click("[data-view=front]")
        seen.settle()
        page.evaluate("document.querySelector('.labels3d').style.visibility = 'hidden'")
        span = {}
        for name in ("R5", "R4"):
            at = page.evaluate("(id) => module.project(id)", name)
            box = page.locator("canvas").bounding_box()
            x, y = box["x"] + at["x"] - 1, box["y"] + at["y"] - 25
            clip = {"x": x, "y": y, "width": 2, "height": 50}
            _, rows = pixels(page.screenshot(clip=clip))
            grey = [0.2126 * r[0] + 0.7152 * r[1] + 0.0722 * r[2] for r in rows]
            span[name] = max(grey) - min(grey)
        assert span["R5"] > 100
        assert span["R5"] > 2 * span["R4"]


def test_turns_by_keyboard_mouse_and_touch_and_comes_home(view: Views):
    with view("view3d", demo_state(), touch=True) as seen:
        page = seen.page
        read = "() => [view.camera.turn, view.camera.rise, view.camera.away]"
        first = page.evaluate(read)
        page.locator("canvas").focus()
        page.keyboard.press("ArrowLeft")
        page.keyboard.press("ArrowUp")
        page.keyboard.press("+")
        turned = page.evaluate(read)
        assert all(a != b for a, b in zip(first, turned, strict=True))
        page.keyboard.press("Home")
        assert page.evaluate(read) == pytest.approx(first)
        box = page.locator("canvas").bounding_box()
        page.mouse.move(box["x"] + 300, box["y"] + 200)
        page.mouse.down()
        page.mouse.move(box["x"] + 400, box["y"] + 220, steps=4)
        page.mouse.up()
        assert page.evaluate(read)[0] != pytest.approx(first[0])
        assert page.evaluate("store.selects") == []
        page.keyboard.press("Home")
        fingers(page, [(300, 200), (500, 200)], [(250, 230), (550, 230)])
        assert page.evaluate(read)[2] < first[2]
        assert page.evaluate("view.camera.turn") == pytest.approx(first[0])


def fingers(page: Any, start: list[tuple[int, int]], end: list[tuple[int, int]]) -> None:
    """Two fingers on the canvas, from their first to their last places."""
    page.evaluate(
        """([from, to]) => {
          const c = document.querySelector("canvas, .plan-picture");
          c.setPointerCapture = () => {};
          const box = c.getBoundingClientRect();
          const send = (type, id, [x, y]) => c.dispatchEvent(new PointerEvent(type, { pointerId: id,
            pointerType: "touch", clientX: box.left + x, clientY: box.top + y, bubbles: true }));
          from.forEach((p, i) => send("pointerdown", i + 1, p));
          for (let k = 1; k <= 5; k++) from.forEach((p, i) =>
            send("pointermove", i + 1, p.map((v, j) => v + ((to[i][j] - v) * k) / 5)));
          to.forEach((p, i) => send("pointerup", i + 1, p));
        }""",
        [start, end],
    )


def test_zooming_keeps_what_is_under_the_pointer(view: Views):
    with view("view3d", demo_state()) as seen:
        page = seen.page
        page.click("[data-view=above]")
        before = page.evaluate("module.project('F1')")
        box = page.locator("canvas").bounding_box()
        page.mouse.move(box["x"] + before["x"], box["y"] + before["y"])
        page.mouse.wheel(0, -400)
        page.wait_for_function(f"() => view.camera.away < {page.evaluate('view.camera.away')} + 1")
        after = page.evaluate("module.project('F1')")
        assert abs(after["x"] - before["x"]) < 12 and abs(after["y"] - before["y"]) < 12


def test_draws_only_on_change(view: Views):
    with view("view3d", demo_state()) as seen:
        count = seen.page.evaluate("view.draws")
        seen.page.wait_for_timeout(600)
        assert seen.page.evaluate("view.draws") == count
        seen.page.evaluate("store.select('F1')")
        seen.settle()
        assert seen.page.evaluate("view.draws") == count + 1


def test_an_edit_is_repainted_and_keeps_the_buffers(view: Views):
    with view("view3d", demo_state()) as seen:
        page = seen.page
        before = colours(seen)
        buffers = "() => [...view.painter.slots.values()].map((s) => s.bytes)"
        held = page.evaluate(buffers)
        page.evaluate(
            """() => { const s = structuredClone(store.state); s.revision = 7;
            s.scene.bars.forEach((b) => { b.mark = 'fail'; b.ratio = 1.2; }); store.take(s); }"""
        )
        page.wait_for_selector('[data-drawn="7"]')
        assert page.evaluate(buffers) == held
        assert colours(seen) != before
        assert "1.20" in page.locator(".label3d").first.inner_text()


def test_a_chosen_check_outlines_its_parts(view: Views):
    state = demo_state()
    check = next(c for c in state["checks"] if len(c["parts"]) > 1)
    with view("view3d", state) as seen:
        seen.page.evaluate("(id) => store.select(id)", check["id"])
        seen.settle()
        assert f"{len(check['parts'])} parts" in seen.page.locator(".chosen-part").inner_text()


def test_without_webgl_says_so_and_shows_the_table(view: Views):
    with view("view3d", demo_state(), flags=("--disable-3d-apis",)) as seen:
        page = seen.page
        assert "3D is not available here" in page.locator(".notice").inner_text()
        assert page.locator(".part-table tbody tr").count() == len(demo_state()["scene"]["bars"])
        seen.faults.clear()  # the browser itself logs that WebGL is switched off


def test_comes_back_after_a_lost_context(view: Views):
    with view("view3d", demo_state()) as seen:
        page = seen.page
        page.evaluate("window.ext = view.gl.getExtension('WEBGL_lose_context'); ext.loseContext()")
        page.wait_for_function("() => !document.querySelector('.notice').hidden")
        assert "comes back" in page.locator(".notice").inner_text()
        page.evaluate("ext.restoreContext()")
        page.wait_for_function("() => document.querySelector('.notice').hidden && view.painter")
        seen.settle()
        assert len(colours(seen)) > 20
        seen.faults[:] = [f for f in seen.faults if "context" not in f.lower()]


def test_knows_the_ratio_of_pixels(view: Views):
    with view("view3d", demo_state(), (600, 800), scale=2.0) as seen:
        sizes = seen.page.evaluate(
            "() => { const c = document.querySelector('canvas'); return [c.width, c.clientWidth]; }"
        )
        assert sizes[0] == 2 * sizes[1]
        seen.page.set_viewport_size({"width": 500, "height": 700})
        seen.page.wait_for_function(
            "() => { const c = document.querySelector('canvas');"
            f" return c.width === 2 * c.clientWidth && c.width < {sizes[0]}; }}"
        )


def test_a_plan_that_cannot_be_worked_out_keeps_the_last_picture(view: Views):
    with view("view3d", demo_state()) as seen:
        seen.page.evaluate(
            "store.take({ job: 'demo', name: '', revision: 2, values: {}, problems: [] })"
        )
        seen.settle()
        assert len(colours(seen)) > 20


def test_reads_well_to_machines(view: Views):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    with view("view3d", windy_state()) as seen:
        seen.page.get_by_text("Parts and their ratios as a table").click()
        found = axe.Axe().run(seen.page)
        assert found.response["violations"] == []
