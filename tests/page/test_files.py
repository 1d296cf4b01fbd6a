"""The file behind the planning page: saved when asked, conflicts shown, steps kept when the program is killed, a
new file, a second program, the program gone."""

from page import Desk, Keys, Page, check, ended, quiet, skip_unless_browser, until

skip_unless_browser("files")


def steps_and_back(desk, page):
    """Twelve steps of every kind and as many times Back: the text on disk after a save is the one before, byte for byte."""
    before = desk.file.read_bytes()
    page.stands()
    page.focus_chart("S1")
    done = 0
    for keys in ((Keys.ARROW_RIGHT,), (Keys.PAGE_UP,), (".", Keys.ARROW_UP), (",", Keys.DELETE), (".", Keys.ARROW_LEFT), (".", Keys.ARROW_DOWN)):
        page.keys(*keys)
        done += 1
        if not page.wait_steps(done):
            break
    check("six steps by keys", page.steps() == 6, page.steps())
    page.keys("s", ctrl=True)
    check("Ctrl S saves", until(lambda: page.text("#unsaved") == "hall.yaml, as on disk"), page.text("#unsaved"))
    saved = desk.file.read_text()
    check("in the file, whose comments stay", saved != before.decode() and saved.startswith("# Overhaul hall of an invented tram works."))
    check("and nothing else is in its folder", sorted(one.name for one in desk.folder.iterdir()) == ["hall.yaml", "state", "stderr"])
    page.focus_chart("S2")
    for left in range(5, -1, -1):
        page.keys("z", ctrl=True)
        if not page.wait_steps(left):
            break
    check("six times Back", page.steps() == 0, page.steps())
    page.click("#save")
    until(lambda: page.text("#unsaved") == "hall.yaml, as on disk")
    check("and the file is what it was, byte for byte", desk.file.read_bytes() == before)


def conflict(desk, page):
    page.focus_chart("W1")
    page.keys(Keys.ARROW_RIGHT)
    page.wait_steps(1)
    text = desk.file.read_text()
    desk.file.write_text(text.replace("p95: 1.0", "p95: 0.9"))
    page.keys("s", ctrl=True)
    check("a file that changed on disk is not overwritten", until(lambda: page.text(".slip.grave .heading") == "hall.yaml changed on disk"), page.text(".slip"))
    check("and stays as it is", desk.file.read_text().count("p95: 0.9") == 1)
    check("nothing was changed on both sides, says the slip", "Nothing was changed on both sides" in page.text(".slip"), page.text(".slip"))
    check("its heading has the focus", page.run("return document.activeElement.className") == "heading")
    page.press("Put my steps on top")
    check("steps put on top keep both", until(lambda: not page.all(".slip.grave")) and
          until(lambda: page.ask("state.scene.zones.find((z) => z.name === 'parts store').need_p95_m") == 0.9) and abs(page.at("W1")[0] - 0.9) < 1e-6, page.at("W1"))
    page.click("#save")
    until(lambda: page.text("#unsaved") == "hall.yaml, as on disk")
    text = desk.file.read_text()
    check("and are saved with it", "p95: 0.9" in text and "name: W1, at: [0.9, 20," in text, text[1600:2300])


def both_sides(desk, page):
    page.focus_chart("W1")
    page.keys(Keys.ARROW_UP)
    until(lambda: page.text("#unsaved").startswith("1 step"))
    desk.file.write_text(desk.file.read_text().replace("W1, at: [0.9, 20,", "W1, at: [0.9, 18,"))
    page.run("window.dispatchEvent(new Event('focus'))")
    check("a change on disk is noticed when the page gets the focus", until(lambda: page.text(".slip.grave .heading") == "hall.yaml changed on disk"))
    if not page.all(".slip table"):
        page.press("Compare the two")
    until(lambda: page.text(".slip table"))
    check("with one anchor moved on both sides, no way to keep both is offered",
          "Save mine as another file" in page.text(".slip") and "on top" not in page.text(".slip .acts"), page.text(".slip"))
    check("it is named, with both places", "W1" in page.text(".slip table") and "18" in page.text(".slip table"), page.text(".slip table"))
    page.press("Take the file on disk")
    check("the file on disk can be taken", until(lambda: page.at("W1")[1] == 18 and not page.all(".slip.grave")), page.at("W1"))


def removed(desk, page):
    """The file is removed behind the page: only the page has it, so it offers to write it again."""
    page.focus_chart("W1")
    page.keys(Keys.ARROW_RIGHT)
    until(lambda: page.text("#unsaved").startswith("1 step"))
    desk.file.unlink()
    page.run("window.dispatchEvent(new Event('focus'))")
    check("a file that was removed is told", until(lambda: page.text(".slip.grave .heading") == "hall.yaml is not on disk any more"), page.text(".slip"))
    check("and nothing can be taken from it", "Take the file" not in page.text(".slip"), page.text(".slip"))
    page.press("Write it again")
    check("it is written again", until(lambda: page.text("#unsaved") == "hall.yaml, as on disk") and desk.file.exists(), page.text("#unsaved"))


def refused(desk, page):
    """A save that cannot be done says why, and stays in sight when it was begun from Hand out."""
    page.focus_chart("W1")
    page.keys(Keys.ARROW_RIGHT)
    until(lambda: page.text("#unsaved").startswith("1 step"))
    text = desk.file.read_bytes()
    desk.file.unlink()
    desk.file.mkdir()
    page.press("Hand out")
    page.press("Save")
    check("a save that is refused says so", until(lambda: page.text(".slip .heading") == "hall.yaml is not saved"), page.text(".slip"))
    check("and why, in a sentence", "It is no file that can be planned in.\n" in page.text(".slip .body") and "Your steps are kept." in page.text(".slip .body"), page.text(".slip"))
    desk.file.rmdir()
    desk.file.write_bytes(text)
    page.press("Try again")
    check("and can be tried again", until(lambda: page.text("#unsaved") == "hall.yaml, as on disk" and not page.all(".slip")), page.text("#unsaved"))
    desk.file.write_bytes(text)
    page.keys(Keys.ARROW_RIGHT)
    until(lambda: page.text("#unsaved").startswith("1 step"))
    page.press("Hand out")
    page.press("Save")
    check("a conflict found by Hand out is shown", until(lambda: page.text(".slip.grave .heading") == "hall.yaml changed on disk"), page.text(".slip"))
    page.press("Take the file on disk")
    until(lambda: page.text("#unsaved") == "hall.yaml, as on disk")


def killed(desk, page):
    page.focus_chart("S4")
    page.keys(Keys.ARROW_UP)
    until(lambda: page.ask("state.scene.anchors.find((one) => one.name === 'S4').at[1]") == 0.9)
    kept = page.ask("state.scene.unsaved")
    desk.kill()
    page.focus_chart("S4")
    page.keys(Keys.ARROW_UP)
    check("when the program is gone the page says so", until(lambda: page.text(".slip.grave .heading") == "The program has stopped"), page.text(".slip"))
    check("and how to go on", "anchorwise plan hall.yaml" in page.text(".slip code"))
    check("it takes no more steps", page.ask("state.gone") and page.find("#save").get_attribute("disabled") is not None)
    return kept


def recovered(desk, kept):
    with Page(desk.address) as page:
        words = until(lambda: page.text(".slip.grave .heading"))
        check("steps from before a kill are offered", words.endswith("from before are not saved" if kept > 1 else "from before is not saved") and words.startswith(f"{kept} step"), words, kept)
        page.press("Put them on" if kept > 1 else "Put it on")
        check("and put on", until(lambda: page.at("S4") == [39, 0.9, 6.2]) and not page.all(".slip.grave"), page.at("S4"))
        check("they are steps not saved", page.ask("state.scene.unsaved") == kept, page.text("#unsaved"))
        with Desk(folder=desk.folder) as second, Page(second.address) as other:
            check("a second program on the file is read-only, and says so", until(lambda: other.text("#unsaved").startswith("read only")), other.text("#unsaved"))
            other.drag_anchor("S1", (10, 10))
            check("nothing can be moved in it", other.ask("state.held.size") == 0 and other.steps() == 0)
            quiet("no complaint in its console", other)
        quiet("no complaint in the console (recovered)", page)


def from_nothing():
    with Desk(name="new.yaml") as desk, Page(desk.address) as page:
        check("a file that is not there begins empty", until(lambda: page.text(".blank h2") == "What shall go on the table?"))
        check("nothing is written yet", not desk.file.exists())
        check("Save is off", page.find("#save").get_attribute("disabled") is not None and page.text("#unsaved") == "no file yet")
        for name, value in (("long", "30"), ("wide", "20"), ("high", "6")):
            page.find(f".blank [name={name}]").send_keys(value)
        page.press("Begin")
        check("its size begins the floor", page.wait_steps(1) and page.ask("state.scene.high") == [30, 20], page.text(".slip"))
        page.click("#tray [data-id=anchor]")
        for number, spot in enumerate(((1, 1), (29, 1), (29, 19), (1, 19)), 2):
            page.tap(*page.screen(*spot))
            page.wait_steps(number)
        check("four anchors, and the chart begins", page.stands() and page.ask("state.field.length") == 60 * 40, page.text("#lead"))
        page.click("#tray [data-id=zone]")
        page.drag(page.screen(8, 6), page.screen(22, 14))
        until(lambda: page.all(".slip [name=p95]"))
        page.find(".slip [name=p95]").send_keys("1")
        page.press("Put it on the sheet")
        check("a zone with a need gets its verdict", page.wait_steps(6) and until(lambda: page.text("#zones .stamp") in ("✓ MET", "✓ MET WITH MARGIN", "✗ NOT MET")), page.text("#zones"))
        page.click("#tray [data-id=wall]")
        page.tap(*page.screen(15, 2))
        page.tap(*page.screen(15, 5))
        page.tap(*page.screen(18, 5))
        page.keys(Keys.ENTER)
        check("a wall point by point asks what it is", until(lambda: page.text(".slip .heading") == "A wall"), page.text(".slip"))
        page.press("Put it on the sheet")
        check("and stands", page.wait_steps(7) and len(page.ask("state.scene.walls[0].points")) == 3, page.text(".slip"))
        page.click("#tray [data-id=obstacle]")
        page.drag(page.screen(24, 14), page.screen(27, 17))
        until(lambda: page.all(".slip [name=base]"))
        page.press("Put it on the sheet")
        check("an obstacle is dragged", page.wait_steps(8) and page.ask("state.scene.obstacles.length") == 1, page.text(".slip"))
        page.click("#save")
        check("Save writes the file", until(lambda: page.text("#unsaved") == "new.yaml, as on disk") and desk.file.read_text().startswith("anchorwise: 1"), page.text("#unsaved"))
        quiet("no complaint in the console (new file)", page)


with Desk("tram-hall.yaml") as desk:
    with Page(desk.address) as page:
        for part in (steps_and_back, conflict, both_sides, removed, refused):
            part(desk, page)
        kept = killed(desk, page)
    desk.start()
    recovered(desk, kept)
from_nothing()
ended()
