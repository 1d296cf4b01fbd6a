"""The planning page by keys alone: where Tab stops, what keys do on the chart, drawing with the cross-hair."""

from page import Desk, Keys, Page, check, ended, quiet, skip_unless_browser, until

skip_unless_browser("keys")


def focus(page):
    return page.run("const a = document.activeElement; return a.dataset.name ?? a.dataset.id ?? (a.id || a.className || a.tagName)")


def stops(page):
    page.run("document.activeElement.blur(); window.scrollTo(0, 0)")
    seen = []
    for _ in range(40):
        page.keys(Keys.TAB)
        seen.append(focus(page))
        if seen[-1] == "hand":
            break
    places = ["skip", "S1", "turn", "notes", "anchor-count", "tag", "hand"]
    where = [seen.index(place) if place in seen else -1 for place in places]
    check("Tab goes to link, chart, section, margin, title block, instruments, in that order", -1 not in where and where == sorted(where), seen)
    check("the chart is one stop", sum(one in ("S1", "S2", "overlay") for one in seen) == 1, seen)
    page.keys(Keys.ARROW_RIGHT, Keys.ARROW_RIGHT)
    check("arrows go from one instrument to the next", focus(page) == "dividers", focus(page))
    page.keys(Keys.END)
    check("End goes to the last", focus(page) == "forward", focus(page))
    page.keys(Keys.HOME)
    page.keys("w")
    check("letters do nothing outside the chart", page.ask("state.instrument") == "hand")


def anchors(page):
    page.focus_chart("S1")
    page.keys(".")
    check("full stop goes from anchor to anchor", page.ask("state.selected") == focus(page) == "S2", focus(page))
    page.keys(",")
    check("comma goes back", page.ask("state.selected") == focus(page) == "S1")
    page.keys(Keys.ARROW_RIGHT, Keys.ARROW_RIGHT, Keys.ARROW_UP)
    check("arrows soon after each other are one step of half metres", page.wait_steps(1) and page.at("S1") == [1.4, 0.9, 6.2], page.at("S1"))
    page.keys(Keys.ARROW_LEFT, shift=True)
    check("with Shift a tenth", page.wait_steps(2) and abs(page.at("S1")[0] - 1.3) < 1e-9, page.at("S1"))
    page.keys(Keys.PAGE_UP)
    check("Page Up raises", page.wait_steps(3) and abs(page.at("S1")[2] - 6.3) < 1e-9, page.at("S1"))
    label = page.find("#anchors [data-name=S1]").get_attribute("aria-label")
    check("the anchor says where it is", label == "Anchor S1 6.3 metres high, 1.3 east, 0.9 north", label)
    page.keys(Keys.DELETE)
    check("Delete takes it away", page.wait_steps(4) and page.at("S1") is None)
    check("the focus goes to the one that follows", focus(page) == "S2", focus(page))
    page.keys("z", ctrl=True)
    check("Ctrl Z brings it back", page.wait_steps(3) and page.at("S1") is not None)


def cross(page):
    page.focus_chart("N3")
    page.keys(",", ".", "x")
    for _ in range(4):
        page.keys(Keys.ARROW_DOWN)
    page.keys("a", Keys.ENTER)
    check("an anchor is hung at the cross-hair", page.wait_steps(4) and page.at("A1") == [26, 35.6, 6.2], page.at("A1"))
    page.focus_chart("A1")
    page.keys("z", Keys.ENTER)
    for keys in ((Keys.ARROW_RIGHT,) * 6, (Keys.ARROW_DOWN,) * 6, (Keys.ARROW_LEFT,) * 6):
        page.keys(*keys)
        page.keys(Keys.ENTER)
    page.keys(Keys.ENTER)
    check("a zone is drawn with it, twice Enter ends", until(lambda: page.text(".slip .heading") == "A zone"), page.text(".slip"))
    check("its slip has the focus", page.run("return document.activeElement.name") == "name")
    page.keys("gangway", Keys.TAB, Keys.TAB, "1.5", Keys.ENTER)
    zone = until(lambda: page.wait_steps(5) and page.ask("state.scene.zones.at(-1)"))
    check("and its fields are filled by keys", zone and zone["name"] == "gangway" and zone["need_p95_m"] == 1.5 and len(zone["polygon"]) == 4, zone)


def view(page):
    page.focus_chart("N3")
    page.keys("0")
    scale = page.ask("view.view.scale")
    page.keys("+")
    check("plus zooms", until(lambda: page.ask("view.view.scale") > scale * 1.2))
    page.keys("0")
    check("0 shows all", until(lambda: page.ask("view.view.scale") < scale * 1.1 and page.ask(
        "[state.scene.low, state.scene.high].every(([x, y]) => view.within(view.X(x), view.Y(y)))")))
    page.keys("s", ctrl=True)
    check("Ctrl S saves", until(lambda: page.text("#unsaved") == "hall.yaml, as on disk"), page.text("#unsaved"))


with Desk("tram-hall.yaml") as desk, Page(desk.address) as page:
    page.stands()
    for part in (stops, anchors, cross, view):
        part(page)
    quiet("no complaint in the console", page)
ended()
