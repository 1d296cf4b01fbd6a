"""Hands on the planning page: drag, height, section, fields, snapping, row, dividers, tag, Back and Forward, touch.

The page is only trusted for where things are on the screen: places, steps and figures are compared with what the
program has, and with `assess` of the file."""

import json
import subprocess

from page import PROGRAM, Desk, Keys, Page, check, ended, quiet, skip_unless_browser, until

skip_unless_browser("hands")


def near(one, other, by=0.006):
    return one is not None and all(abs(a - b) < by for a, b in zip(one, other))


def assessed(path):
    """p95 of each zone by the command line."""
    out = subprocess.run([PROGRAM, "assess", str(path), "--json", "--quiet"], capture_output=True, text=True)
    return {zone["name"]: zone for zone in json.loads(out.stdout)["zones"]}


def dragging(desk, page):
    page.stands()
    page.listen("#lead")
    page.drag_anchor("E1", (71.55, 29.5), release=False, moves=12)
    held = until(lambda: near(page.ask("[...state.held.values()][0] ?? null"), (71.5, 29.5, 6.2)))
    check("an anchor follows the hand, half a metre off the wall", held, page.ask("[...state.held]"))
    check("while the hand moves, the sentence says that it is an estimate",
          until(lambda: any(words.startswith("By the first estimate") for words in page.heard())), page.heard())
    check("and no step is made", page.steps() == 0, page.steps())
    page.listen("#zones li .detail")
    page.mouse("mouseReleased", *page.screen(71.5, 29.5))
    check("the hand up makes one step", page.wait_steps(1), page.steps())
    check("the program has the anchor where the hand left it", near(page.at("E1"), (71.5, 29.5, 6.2)), page.at("E1"))
    check("figures stand after a while", page.stands())
    check("until then they are marked", until(lambda: any("≈" in words for words in page.heard())), page.heard())
    check("then they are not", until(lambda: "≈" not in page.text("#zones") and "estimate" not in page.text("#lead")), page.text("#lead"))
    check("the log says what was done", page.text("#log li").startswith("E1 moved 8.3"), page.text("#log li"))
    check("the block says how many steps are not saved", page.text("#unsaved") == "1 step not saved", page.text("#unsaved"))


def same_as_assess(desk, page):
    """The page's p95 of every zone against `assess` of a file with the same anchor moved by hand in its text."""
    text = desk.file.read_text()
    moved = desk.folder / "moved.yaml"
    moved.write_text(text.replace("{name: E1, at: [71.6, 21.2, 6.2]}", "{name: E1, at: [71.5, 29.5, 6.2]}"))
    truth = assessed(moved)
    here = {zone["name"]: zone["p95_m"] for zone in page.ask("state.answer.zones")}
    off = {name: (here[name], truth[name]["p95_m"]) for name in truth if abs(here[name] - truth[name]["p95_m"]) > 1e-6}
    check("each zone's p95 on the page is that of assess", len(here) == 5 and not off, off)
    missed = {zone["name"] for zone in page.ask("state.answer.zones") if zone["mark"] == "missed"}
    check("and so are the needs that are missed", missed == {n for n, z in truth.items() if z["met"] is False}, missed)


def back_and_forward(desk, page):
    page.focus_chart("E1")
    page.keys("z", ctrl=True)
    check("Back", page.wait_steps(0) and near(page.at("E1"), (71.6, 21.2, 6.2)), page.at("E1"))
    page.keys("z", ctrl=True, shift=True)
    check("Forward", page.wait_steps(1) and near(page.at("E1"), (71.5, 29.5, 6.2)), page.at("E1"))
    page.click("#tray [data-id=back]")
    check("Back by its button", page.wait_steps(0))
    check("what is ahead stays in the log", len(page.all("#log li.ahead")) == 1)


def escape(desk, page):
    before = page.at("N2")
    page.drag_anchor("N2", (40, 30), release=False)
    until(lambda: page.ask("state.held.size"))
    page.keys(Keys.ESCAPE)
    page.mouse("mouseReleased", *page.screen(40, 30))
    check("Esc in a drag puts the anchor back", until(lambda: page.ask("state.held.size") == 0) and page.at("N2") == before)
    check("and makes no step", page.steps() == 0)


def names_in_section(desk, page):
    """E1 and P2 hang one behind the other at one height: their names share a line, and no two are on one another."""
    page.focus_chart("E1")
    page.keys(".", ",")
    until(lambda: page.ask("state.selected") == "E1")
    said = page.run("return [...document.querySelectorAll('#section .anchor text')].map((one) => [one.textContent, one.getBoundingClientRect().toJSON()])")
    check("names that would stand on one another share a line", any(words == "E1 6.20, P2" for words, _ in said), said)
    check("and none is written over another", all(a["right"] <= b["left"] or b["right"] <= a["left"] or a["bottom"] <= b["top"] + 3 or b["bottom"] <= a["top"] + 3
                                                  for i, (_, a) in enumerate(said) for _, b in said[:i]), said)


def heights(desk, page):
    start = page.screen(*page.at("N3")[:2])
    page.drag(start, (start[0], start[1] - 12), modifiers=8, moves=12)  # 8 is Shift; 12 px are a metre
    check("Shift while dragging changes the height, not the place", page.wait_steps(1)
          and near(page.at("N3")[:2], (26, 37.6)) and 7.5 < page.at("N3")[2] < 8.1, page.at("N3"))
    before = page.at("N3")[2]
    x, y = page.screen(*page.at("N3")[:2])
    for _ in range(3):
        page.command("Input.dispatchMouseEvent", dict(type="mouseWheel", x=x, y=y, deltaX=0, deltaY=-100, modifiers=8))
    check("Shift and three turns of the wheel raise it by 0.3 m in one step",
          page.wait_steps(2) and abs(page.at("N3")[2] - before - 0.3) < 0.006, page.at("N3"), before)
    handle = page.find("#section [data-name=N3] .ring").rect
    spot = (handle["x"] + handle["width"] / 2, handle["y"] + handle["height"] / 2)
    page.drag(spot, (spot[0], spot[1] + 20))
    check("an anchor is lowered in the section", page.wait_steps(3) and page.at("N3")[2] < before, page.at("N3"))
    page.click("#turn")
    check("the section turns to look east", until(lambda: "looking east" in page.find("#section").get_attribute("aria-label")))
    page.click("#turn")


def fields(desk, page):
    page.click("#anchor-count")
    page.fill("[data-field='S2/east']", "14,5")
    check("a field sets a place, with a decimal comma too", page.wait_steps(4) and near(page.at("S2"), (14.5, 0.4, 6.2)), page.at("S2"))
    page.fill("[data-field='S2/name']", "South two")
    check("a field renames", page.wait_steps(5) and page.at("South two") is not None and page.at("S2") is None)
    page.find("[data-row='South two'] .away").click()
    check("an anchor is taken away", page.wait_steps(6) and page.at("South two") is None)
    page.fill("[data-field='S3/high']", "12")
    check("a height above the ceiling is refused in words", until(lambda: page.all(".slip.grave")) and "ceiling" in page.text(".slip"), page.text(".slip"))
    check("the anchor meant is ringed", until(lambda: page.all("#anchors .wrong")))
    check("the last state that held stays", near(page.at("S3"), (26, 0.4, 6.2)) and page.steps() == 6)
    page.keys(Keys.ESCAPE)
    check("Esc takes the slip away, and the ring", until(lambda: not page.all(".slip") and not page.all("#anchors .wrong")))


def instruments(desk, page):
    page.click("#tray [data-id=anchor]")
    page.tap(*page.screen(33, 12))
    check("the anchor instrument hangs one where the chart is touched", page.wait_steps(7) and near(page.at("A1"), (33, 12, 6.2)), page.at("A1"))
    page.click("#tray [data-id=row]")
    page.drag_anchor("A1", (63, 12))
    check("a row asks how many", until(lambda: page.text(".slip .heading") == "Row from A1"), page.text(".slip"))
    count = page.find(".slip [name=count]")
    check("its spacing is that of the rule", count.get_attribute("value") == "3", count.get_attribute("value"))
    page.press("Put them up")
    names = until(lambda: page.wait_steps(8) and [one["name"] for one in page.ask("state.scene.anchors")][-3:])
    ends = page.ask("state.scene.anchors.slice(-3).map((one) => one.at)")
    check("a row of copies at equal distances", [near(a, b) for a, b in zip(ends, ((43, 12, 6.2), (53, 12, 6.2), (63, 12, 6.2)))] == [True] * 3, names, ends)
    page.click("#tray [data-id=dividers]")
    page.drag(page.screen(10, 20), page.screen(13, 24))
    words = until(lambda: page.text("#over .label"))
    check("dividers tell distance and bearing", words == "5.00 m, bearing 37°", words)
    page.keys(Keys.ESCAPE)
    check("Esc takes the dividers up", until(lambda: not page.all("#over .leg")))
    page.keys(Keys.ESCAPE)
    check("Esc again takes the hand", page.ask("state.instrument") == "hand", page.ask("state.instrument"))


def view(desk, page):
    before = page.ask("view.view.scale")
    x, y = page.screen(30, 20)
    page.command("Input.dispatchMouseEvent", dict(type="mouseWheel", x=x, y=y, deltaX=0, deltaY=-300))
    check("the wheel zooms", until(lambda: page.ask("view.view.scale") > before * 1.3))
    there = page.screen(30, 20)
    check("about the pointer", abs(there[0] - x) < 1 and abs(there[1] - y) < 1, there, (x, y))
    page.drag((x, y), (x + 60, y + 30))
    moved = page.screen(30, 20)
    check("the hand on water pans", abs(moved[0] - x - 60) < 8 and abs(moved[1] - y - 30) < 8, moved)
    page.focus_chart("N1")
    page.keys("0")
    check("0 shows the whole floor", until(lambda: abs(page.ask("view.view.scale") - before) < 1e-6))


def tags(desk, page):
    page.stands()
    first = page.ask("Array.from(state.field.slice(2000, 2040))")
    page.run("const t = document.getElementById('tag'); t.value = 'bogie tag'; t.dispatchEvent(new Event('change'))")
    check("another tag's floor is shown, and named", until(lambda: page.ask("state.scene.tag") == "bogie tag") and
          until(lambda: "bogie tag at 0.9 m" in page.text("#what")), page.text("#what"))
    page.stands()
    check("its figures are others", page.ask("Array.from(state.field.slice(2000, 2040))") != first)
    check("choosing a tag is no step", page.steps() == 8)


def touch(address):
    with Page(address, 390, 844, touch=True) as page:
        page.stands()
        steps = page.steps()
        before = page.at("W1")
        (x0, y0), (x1, y1) = page.screen(*before[:2]), page.screen(6, 20)
        page.touch("touchStart", (x0, y0))
        for i in range(1, 9):
            page.touch("touchMove", (x0 + (x1 - x0) * i / 8, y0 + (y1 - y0) * i / 8))
        page.touch("touchEnd")
        check("a finger drags an anchor", page.wait_steps(steps + 1) and abs(page.at("W1")[0] - 6) < 0.4, page.at("W1"))
        scale = page.ask("view.view.scale")
        (a, b), (c, d) = page.screen(30, 20), page.screen(40, 20)
        page.touch("touchStart", (a, b), (c, d))
        for i in range(1, 6):
            page.touch("touchMove", (a - 8 * i, b), (c + 8 * i, d))
        page.touch("touchEnd")
        check("two fingers zoom", until(lambda: page.ask("view.view.scale") > scale * 1.5), scale, page.ask("view.view.scale"))
        check("and make no step", page.steps() == steps + 1)
        (x0, y0) = page.screen(*page.at("W1")[:2])
        page.touch("touchStart", (x0, y0))
        page.touch("touchMove", (x0 + 20, y0))
        page.touch("touchCancel")
        check("a touch that is broken off makes no step", until(lambda: page.ask("state.held.size") == 0) and page.steps() == steps + 1)
        check("a phone-sized window shows chart and verdicts", page.find("#chart").is_displayed() and "bogie bay" in page.text("#zones"))
        check("nothing sticks out at 390 px", page.run("return document.documentElement.scrollWidth") <= 390)
        quiet("no complaint in the console (touch)", page)


def bench(address):
    with Page(address.replace("/#", "/?bench#")) as page:
        page.stands()
        page.drag_anchor("C2", (30, 24), moves=20)
        words = until(lambda: "median" in page.text("#bench") and page.text("#bench"))
        times = page.ask("JSON.parse(document.getElementById('bench').dataset.times)")
        check("?bench tells the page's own times of a drag", words and len(times) >= 3 and all(0 < one < 30000 for one in times), words, times)


with Desk("tram-hall.yaml") as desk:
    before = desk.file.read_bytes()
    with Page(desk.address) as page:
        for part in (dragging, same_as_assess, back_and_forward, escape, names_in_section, heights, fields, instruments, view, tags):
            part(desk, page)
        quiet("no complaint in the console", page)
    touch(desk.address)
    bench(desk.address)
    check("the file is as it was: nothing was saved", desk.file.read_bytes() == before)
ended()
