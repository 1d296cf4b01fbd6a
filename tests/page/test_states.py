"""Every state of the planning page: what it shows, and that axe-core (WCAG 2.0 to 2.2 A and AA, best practice)
finds nothing wrong in it. Contrast over the chart is left open by axe; test_contrast.py measures it.

axe-core comes by npm; where npm is missing or cannot reach its registry, what it would have looked at is skipped."""

import shutil
import subprocess
import tempfile
from pathlib import Path

from page import Desk, Keys, Page, check, ended, picture_of_hall, quiet, skip_unless_browser, until

skip_unless_browser("states")
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
skipped = 0


def fetch_axe():
    if not shutil.which("npm"):
        return None
    with tempfile.TemporaryDirectory() as folder:
        done = subprocess.run(["npm", "install", "--silent", "--no-audit", "--no-fund", "--prefix", folder, "axe-core@4"], capture_output=True)
        file = Path(folder) / "node_modules/axe-core/axe.min.js"
        return file.read_text() if done.returncode == 0 and file.exists() else None


axe = fetch_axe()


def clean(page, state):
    global skipped
    if axe is None:
        skipped += 1
        return
    until(lambda: page.run("return document.getAnimations().length === 0"))  # a slip that is being laid is half there
    if not page.run("return typeof window.axe === 'object'"):
        page.run(axe)
    found = page.browser.execute_async_script(
        "axe.run({runOnly: {type: 'tag', values: arguments[0]}}).then(arguments[1], (e) => arguments[1]({failed: String(e)}))", RULES)
    broken = {one["id"]: [node["target"] for node in one["nodes"]][:3] for one in found.get("violations", [])}
    check(f"axe finds nothing in: {state}", found.get("passes") and not broken, broken or found.get("failed"))


def state(page, name, shows, *facts):
    check(f"state: {name}", shows, *facts)
    clean(page, name)


def beginning():
    with Desk(name="new.yaml") as desk, Page(desk.address) as page:
        state(page, "nothing on the table", until(lambda: page.text("#title") == "Nothing on the table yet") and page.all(".blank li"))
        picture_of_hall(desk.folder / "plan.png", 300, 200, 10)
        page.find("#picture-file").send_keys(str(desk.folder / "plan.png"))
        state(page, "a picture without scale", until(lambda: page.text(".slip .heading") == "How large is it?"), page.text(".slip"))
        left, right = page.screen(2, 20), page.screen(58, 20)  # the picture is 60 m wide until it is scaled
        page.tap(*left)
        page.tap(*right)
        page.find(".slip [name=far]").send_keys("28")
        page.press("Scale the picture")
        check("two points and their distance scale it", until(lambda: abs(page.ask("(([a, b]) => (b[2] - a[2]) / (b[0] - a[0]))(state.picture.points)") - 0.1) < 0.002), page.ask("state.picture.points"))


def too_few():
    text = "anchorwise: 1\ntitle: Shed\nfloor: {outline: [[0, 0], [20, 0], [20, 10], [0, 10]], ceiling: 5}\nanchors:\n  - {name: A1, at: [1, 1, 4]}\n  - {name: A2, at: [19, 1, 4]}\n"
    with Desk(text=text) as desk, Page(desk.address) as page:
        state(page, "fewer than three anchors", until(lambda: page.text("#lead") == "1 more anchor, and the chart begins."), page.text("#lead"))
        page.click("#tray [data-id=anchor]")
        page.tap(*page.screen(10, 9))
        page.wait_steps(1)
        page.stands()
        state(page, "no need stated anywhere, no prices", until(lambda: page.find("#no-need").is_displayed()) and "No prices" in page.text("#price"), page.text("#notes"))
        quiet("no complaint in the console (few anchors)", page)


def wrong():
    text = (Path(__file__).resolve().parents[2] / "scenarios/tram-hall.yaml").read_text().replace("[28, 20.3, 8.6]", "[28, 20.3, 10.2]")
    with Desk(text=text) as desk, Page(desk.address) as page:
        until(lambda: page.all(".slip.grave"))
        line = next(i for i, words in enumerate(text.split("\n"), 1) if "10.2]" in words)
        state(page, "a file that is wrong", f"line {line}, column" in page.text(".slip") and "ceiling" in page.text(".slip"), page.text(".slip"))


def at_work():
    with Desk("tram-hall.yaml") as desk, Page(desk.address) as page:
        page.stands()
        state(page, "figures stand", "1000 draws a cell, seed 1" == page.text("#figures") and page.text("#unsaved") == "hall.yaml, as on disk", page.text("#block"))
        page.focus_chart("E1")
        page.keys(",")
        state(page, "an anchor is selected", until(lambda: page.all("#anchors .anchor.on")) and page.all("#anchors [aria-pressed=true]"))
        page.click("#anchor-count")
        clean(page, "anchors in figures")
        page.click("#anchor-count")
        page.drag_anchor("E1", (71.5, 29), release=False)
        until(lambda: page.ask("state.held.size"))
        state(page, "dragging", page.ask("state.held.size") == 1)
        desk.pause()
        page.mouse("mouseReleased", *page.screen(71.5, 29))
        check("a step that is not answered is shown where the hand left it", page.ask("state.held.size") == 1)
        desk.resume()
        page.wait_steps(1)
        page.stands()
        state(page, "a step not saved", page.text("#unsaved") == "1 step not saved" and page.find("#save").is_enabled())
        moving(desk, page)
        page.click("#tray [data-id=why]")
        page.tap(*page.screen(61.8, 26.3))
        state(page, "why here", until(lambda: page.all(".slip .remedy"), 120))
        page.press("Try this remedy")
        until(lambda: not page.all(".slip"))
        state(page, "a remedy tried", until(lambda: "added" in page.text("#log li") or "moved" in page.text("#log li")))
        page.press("Find places")
        until(lambda: page.text(".slip [role=status]"))
        state(page, "a study runs", page.all(".slip progress"))
        page.press("Stop")
        until(lambda: "nothing was changed" in page.text(".slip"), 120)
        page.keys(Keys.ESCAPE)
        disk(desk, page)
        desk.kill()
        page.focus_chart("S4")
        page.keys(Keys.ARROW_UP)
        state(page, "the program is gone", until(lambda: page.text(".slip .heading") == "The program has stopped"))
        desk.start()
        with Page(desk.address) as again:
            state(again, "recovered after a kill", until(lambda: "not saved" in again.text(".slip .heading")), again.text(".slip"))


def moving(desk, page):
    """Stops the program as soon as the page has an estimate, and again when it has some of the draws."""
    for name, holds in (("an estimate", "!state.stands && state.draws === 0 && !state.held.size"), ("draws are running", "!state.stands && state.draws > 0")):
        page.focus_chart("E1")
        page.keys(Keys.ARROW_DOWN)
        caught = until(lambda: page.ask(holds), 10)
        desk.pause()
        caught = caught and page.ask(holds)
        state(page, name, caught and page.all("#zones .stamp.guess"), page.text("#figures"))
        desk.resume()
        page.stands()


def disk(desk, page):
    desk.file.write_text(desk.file.read_text().replace("p95: 1.0", "p95: 0.9"))
    page.keys("s", ctrl=True)
    state(page, "changed on disk", until(lambda: page.text(".slip .heading") == "hall.yaml changed on disk"), page.text(".slip"))
    page.keys(Keys.ESCAPE)


def looks():
    with Desk("tram-hall.yaml") as desk:
        for width, height, dark in ((1440, 900, True), (1024, 1200, False), (390, 844, False), (390, 844, True)):
            with Page(desk.address, width, height, dark=dark) as page:
                page.stands()
                name = f"{width} px, {'night' if dark else 'day'}"
                wide = page.run("return document.documentElement.scrollWidth")
                state(page, name, wide <= width and "bogie bay" in page.text("#zones"), wide)
                names = page.run("return [...document.querySelectorAll('button, select, input, summary')].filter((n) => n.offsetParent)"
                                 ".map((n) => [n.textContent.trim() || n.ariaLabel, n.getBoundingClientRect()]).filter(([, r]) => r.width < 24 || r.height < 23.5).map(([w]) => w)")
                check(f"nothing to touch is under 24 px at {name}", not names, names)
                quiet(f"no complaint in the console at {name}", page)


for part in (beginning, too_few, wrong, at_work, looks):
    part()
if skipped:
    print(f"skip - axe in {skipped} states (axe-core does not come by npm)")
ended()
