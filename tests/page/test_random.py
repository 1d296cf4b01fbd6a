"""Edits by chance, by keys and by hand: page, program and saved file agree at every step, and so many times Back is
the file as it was. AW_MINUTES=30 goes on for as long and asks that memory stays flat; by itself it makes 40 steps."""

import os
import random
import time

from page import Desk, Keys, Page, check, ended, quiet, skip_unless_browser, until

skip_unless_browser("random")
MINUTES = float(os.environ.get("AW_MINUTES", 0))
STEPS = 40
chance = random.Random(20)


def resident(desk):
    with open(f"/proc/{desk.process.pid}/status") as status:
        return next(int(line.split()[1]) for line in status if line.startswith("VmRSS")) / 1024


def told(page):
    """The anchors as the program has them, asked anew."""
    return page.ask("wire.ask('GET', '/scene').then((r) => ({anchors: r.value.anchors, steps: r.value.steps, forward: r.value.forward}))")


def shown(page):
    return page.ask("({anchors: state.scene.anchors, steps: state.scene.steps, forward: state.scene.forward})")


def move_by_keys(page):
    names = [one["name"] for one in page.ask("state.scene.anchors")]
    page.focus_chart(chance.choice(names))
    page.keys(chance.choice([Keys.ARROW_UP, Keys.ARROW_DOWN, Keys.ARROW_LEFT, Keys.ARROW_RIGHT]))
    return 1


def lift(page):
    names = [one["name"] for one in page.ask("state.scene.anchors")]
    page.focus_chart(chance.choice(names))
    page.keys(chance.choice([Keys.PAGE_UP, Keys.PAGE_DOWN]))
    return 1


def drag(page):
    one = chance.choice(page.ask("state.scene.anchors"))
    page.drag_anchor(one["name"], (chance.uniform(5, 67), chance.uniform(4, 34)), moves=6)
    return 1


def add(page):
    page.click("#tray [data-id=anchor]")
    page.tap(*page.screen(chance.uniform(5, 67), chance.uniform(4, 34)))
    page.click("#tray [data-id=hand]")
    return 1


def back(page):
    page.keys("z", ctrl=True)
    return -1


def forward(page):
    page.keys("z", ctrl=True, shift=True)
    return 1


with Desk("tram-hall.yaml") as desk, Page(desk.address) as page:
    original = desk.file.read_bytes()
    page.stands()
    apart = []
    stuck = []
    began, memory = time.monotonic(), []
    made = 0
    while made < STEPS or time.monotonic() - began < MINUTES * 60:
        here = shown(page)
        acts = [move_by_keys, lift, drag, add] + [back] * (here["steps"] > 0) * 2 + [forward] * (here["forward"] > 0)
        act = chance.choice(acts)
        by = act(page)
        made += 1
        if not until(lambda: shown(page)["steps"] == here["steps"] + by and page.ask("state.held.size") == 0, 6):
            stuck.append((act.__name__, here["steps"], shown(page)["steps"], page.text(".slip")))
            page.keys(Keys.ESCAPE)
        if told(page) != shown(page):
            apart.append((made, act.__name__))
        if made % 10 == 0 and page.ask("state.scene.unsaved") > 0:
            page.click("#save")
            until(lambda: page.ask("state.scene.unsaved") == 0)
            if chance.random() < 0.5:
                page.browser.refresh()
                page.stands()
                if told(page) != shown(page):
                    apart.append((made, "reload"))
        page.command("HeapProfiler.collectGarbage", {})
        memory.append((resident(desk), page.run("return performance.memory.usedJSHeapSize / 1048576")))
    check("page and program agree after each of the edits", not apart, apart)
    check("few edits come to nothing: under a hand, two anchors may lie on each other", len(stuck) <= made / 10, stuck)
    page.ask("import('./edits.js').then((edits) => edits.go(0))")
    check("so many times Back", until(lambda: page.steps() == 0), page.steps())
    page.click("#save")
    until(lambda: page.text("#unsaved") == "hall.yaml, as on disk")
    check("and the file is what it was, byte for byte", desk.file.read_bytes() == original)
    if MINUTES:
        third = len(memory) // 3
        for i, who in enumerate(("program", "page")):
            early, late = (max(m[i] for m in part) for part in (memory[third:2 * third], memory[2 * third:]))
            check(f"memory of the {who} is flat: {early:.0f} and {late:.0f} MiB", late < early * 1.15 + 5)
    quiet("no complaint in the console", page)
ended()
