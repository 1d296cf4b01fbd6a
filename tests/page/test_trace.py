"""From an empty page to a verdict for a hall traced from a picture, in at most forty actions of hand and keys."""

from page import Desk, Page, check, ended, picture_of_hall, quiet, skip_unless_browser, until

skip_unless_browser("trace")
WIDE, HIGH, EDGE = 400, 260, 20  # the picture, and its hall's walls: 360 x 220 pixels are 36 x 22 m
done = 0


def action(act, *values, **more):
    global done
    done += 1
    return act(*values, **more)


def ready(holds):
    return until(holds)


with Desk(name="traced.yaml") as desk, Page(desk.address) as page:
    picture_of_hall(desk.folder / "plan.png", WIDE, HIGH, EDGE)
    ready(lambda: page.all(".blank h2"))
    action(page.find("#picture-file").send_keys, str(desk.folder / "plan.png"))
    ready(lambda: page.all(".slip [name=far]"))
    metres = 60 / WIDE  # of a pixel, until it is scaled
    low, high = (EDGE * metres, EDGE * metres), ((WIDE - EDGE) * metres, (HIGH - EDGE) * metres)
    action(page.tap, *page.screen(*low))
    action(page.tap, *page.screen(high[0], low[1]))
    action(page.find(".slip [name=far]").send_keys, "36")
    action(page.press, "Scale the picture")
    ready(lambda: page.ask("state.picture.scaled"))
    action(page.click, "#tray [data-id=zone]")
    action(page.drag, page.screen(2, 2), page.screen(38, 24))
    ready(lambda: page.text(".slip .heading") == "The floor")
    action(page.press, "Put it on the sheet")
    check("the hall is traced from its picture", page.wait_steps(1) and page.ask("[...state.scene.low, ...state.scene.high]") == [2, 2, 38, 24], page.ask("state.scene.outline"))
    points = page.ask("state.scene.picture.points")
    scale = (points[1][2] - points[0][2]) / (points[1][0] - points[0][0])
    check("the picture lies under it, a tenth of a metre a pixel", abs(scale - 0.1) < 0.001, points)
    action(page.click, "#tray [data-id=anchor]")
    for number, spot in enumerate(((2.5, 2.5), (37.5, 2.5), (37.5, 23.5), (2.5, 23.5)), 2):
        action(page.tap, *page.screen(*spot))
        page.wait_steps(number)
    action(page.click, "#tray [data-id=wall]")
    action(page.drag, page.screen(20, 2), page.screen(20, 9))
    ready(lambda: page.text(".slip .heading") == "A wall")
    action(page.press, "Put it on the sheet")
    page.wait_steps(6)
    action(page.click, "#tray [data-id=zone]")
    action(page.drag, page.screen(6, 12), page.screen(34, 22))
    ready(lambda: page.all(".slip [name=p95]"))
    action(page.find(".slip [name=p95]").send_keys, "1")
    action(page.press, "Put it on the sheet")
    page.wait_steps(7)
    page.stands()
    verdict = until(lambda: page.text("#zones .stamp"))
    check("a verdict for it", any(word in verdict for word in ("MET", "UNDECIDED")), verdict)
    check(f"in {done} actions, at most forty", done <= 40)
    action(page.click, "#save")
    until(lambda: page.text("#unsaved") == "traced.yaml, as on disk")
    text = desk.file.read_text() if desk.file.exists() else ""
    check("the file has outline, wall, zone and picture", all(word in text for word in ("outline:", "walls:", "zones:", "picture:")), text)
    page.browser.refresh()
    check("the picture is there again after a reload", until(lambda: page.ask("state.picture?.scaled ?? false")))
    quiet("no complaint in the console", page)
ended()
