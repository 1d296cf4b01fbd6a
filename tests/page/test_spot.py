"""Why here: the slip of a spot, its bearings on the chart, a remedy as one step; places found; papers handed out."""

import json
import subprocess

from page import PROGRAM, Desk, Keys, Page, check, ended, quiet, skip_unless_browser, until

skip_unless_browser("spot")
LONG = 120  # seconds for a study on a busy machine


def slip_stands(page):
    return until(lambda: page.all(".slip[data-kind=spot] .remedy"), LONG)


def why(desk, page):
    page.stands()
    page.click("#tray [data-id=why]")
    page.tap(*page.screen(61.8, 26.3))
    check("a touched spot is explained", slip_stands(page) and page.text(".slip .heading") == "At 61.8, 26.3", page.text(".slip"))
    out = subprocess.run([PROGRAM, "explain", str(desk.file), "--at", "61.8,26.3", "--json", "--quiet"], capture_output=True, text=True)
    lines = json.loads(out.stdout)["lines"]
    serving = [one.text for one in page.all(".slip tbody th")]
    check("the anchors that serve it are those of explain", sorted(serving) == sorted(one["anchor"] for one in lines if one["state"] == "clear"), serving)
    lathe = [one["anchor"] for one in lines if one["in_range"] and one["blocker"] == "wheel lathe"]
    said = [one.text for one in page.all(".slip .body p") if one.text.startswith("wheel lathe hides")]
    check("what hides the others is named", len(said) == 1 and all(name in said[0] for name in lathe) and len(lathe) == 4, said, lathe)
    hidden = sum(one["state"] != "clear" and one["in_range"] for one in lines)
    check("each hidden anchor has its bearing, ended where it is met", len(page.all("#under .bearing.lost")) == hidden, len(page.all("#under .bearing.lost")), hidden)
    check("the serving ones theirs", len(page.all("#under .bearing:not(.lost)")) == 2 + hidden)
    x, _ = page.screen(61.8, 26.3)
    slip = page.find(".slip").rect
    check("the slip keeps off the spot", not slip["x"] < x < slip["x"] + slip["width"], slip, x)


def remedy(desk, page):
    anchors = page.ask("JSON.stringify(state.scene.anchors)")
    page.press("Try this remedy")
    check("a remedy is tried as one step", page.wait_steps(1) and page.ask("JSON.stringify(state.scene.anchors)") != anchors)
    check("and its slip is gone", not page.all(".slip"))
    page.stands()
    check("the log says what it did to the zones", until(lambda: "bogie bay" in page.text("#log li")), page.text("#log li"))
    page.focus_chart("N1")
    page.keys("z", ctrl=True)
    check("Back takes it away", page.wait_steps(0) and page.ask("JSON.stringify(state.scene.anchors)") == anchors)


def by_keys(desk, page):
    page.focus_chart("N2")
    page.keys("h", Keys.ENTER)
    check("Enter asks at the anchor", until(lambda: page.text(".slip .heading").startswith("At 50.0, 37.6")), page.text(".slip .heading"))
    page.keys(Keys.ESCAPE)
    check("Esc takes the slip away and gives the focus back", until(lambda: not page.all(".slip")) and
          page.run("return document.activeElement.closest('#overlay') !== null"))
    page.focus_chart("N2")
    page.keys(".", ",", "x", Keys.ARROW_DOWN, Keys.ARROW_DOWN)
    at = page.ask("state.cross")
    check("X gives a cross-hair that arrows move", at and abs(at[1] - 36.6) < 1e-9, at)
    page.keys("w", Keys.ENTER)
    check("Enter asks at the cross-hair", until(lambda: page.text(".slip .heading").endswith("36.6")), page.text(".slip .heading"))
    page.keys(Keys.ESCAPE, Keys.ESCAPE)
    check("no step was made", page.steps() == 0)


def zone(desk, page):
    page.click("#zones li button")
    check("a zone in the margin asks at its worst spot", until(lambda: page.text(".slip .heading").startswith("Worst of bogie bay")), page.text(".slip"))
    check("and the chart shows the zone's own tag", until(lambda: page.ask("state.scene.tag") == "bogie tag"))
    slip_stands(page)
    page.keys(Keys.ESCAPE)


def papers(desk, page):
    page.press("Hand out")
    page.press("The accuracy chart")
    words = until(lambda: page.text(".slip [role=status]").endswith(".") and page.text(".slip [role=status]"), LONG)
    name = (words or "").rstrip(".").split(": ")[-1]
    check("the chart is written beside the scenario", name and (desk.folder / name).is_file() and (desk.folder / name).stat().st_size > 5000, words)
    page.keys(Keys.ESCAPE)


def places(desk, page):
    page.press("Find places")
    until(lambda: page.text(".slip [role=status]"))
    page.press("Stop")
    check("a search can be stopped", until(lambda: "nothing was changed" in page.text(".slip"), LONG) and page.steps() == 0, page.text(".slip"))
    page.keys(Keys.ESCAPE)


with Desk("tram-hall.yaml") as desk, Page(desk.address) as page:
    for part in (why, remedy, by_keys, zone, papers, places):
        part(desk, page)
    quiet("no complaint in the console", page)
ended()
