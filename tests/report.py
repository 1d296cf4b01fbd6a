"""A report's content against what the other commands say, and both of its writers against the content.
Prints "ok - name" or "not ok - name"; names stand for sentences."""
import html.parser
import json
import re
import sys
from pathlib import Path

FOLDER = Path(sys.argv[1])
failed = False


def load(name):
    return json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))


BOOK = load("r")
SECTIONS = {s["id"]: s["blocks"] for s in BOOK["sections"]}


def check(test):
    global failed
    try:
        test()
        print("ok -", test.__name__)
    except Exception as error:  # a test that breaks is one that fails
        failed = True
        print("not ok -", test.__name__)
        print(f"    {type(error).__name__}: {error}", file=sys.stderr)


def tables(section):
    """Each table as rows of cells by heading."""
    for block in SECTIONS[section]:
        if block["kind"] == "table":
            heads = [c["head"] for c in block["columns"]]
            cells = block["cells"]
            yield block["text"], [dict(zip(heads, cells[i:i + len(heads)]))
                                  for i in range(0, len(cells), len(heads))]


def rows(section, caption):
    return next(found for text, found in tables(section) if caption in text)


def equal(got, want, what):
    assert got == want, f"{what}: {got}, elsewhere {want}"


def zones_are_what_assess_says():
    assessed = {z["name"]: z for z in load("assess")["zones"]}
    found = rows("zones", "Needs and results")
    equal(len(found), len(assessed), "zones")
    for row in found:
        zone = assessed[row["zone and tag"]["text"]]
        equal(row["p95"]["value"], zone["p95_m"], "p95")
        equal(row["p50"]["value"], zone["p50_m"], "p50")
        equal(row["zone and tag"]["under"], zone["tag"], "tag")
        looks = {True: ("met", "met well"), False: ("not met",), None: ("undecided", "not asked")}
        assert row["verdict"]["look"] in looks[zone["met"]], row
        if zone["share_meeting"] is not None and zone["need"].get("share"):
            equal(row["places good enough"]["value"], zone["share_meeting"], "share")
        if "chance" in zone["parts"]:
            equal(row["chance"]["value"], zone["parts"]["chance"]["value"], "chance")


def the_other_layout_is_what_compare_says():
    compared = {p["name"]: p for p in load("compare")["comparisons"][0]["places"]}
    for row in rows("why", "A: "):
        place = compared[row["place"]["text"]]
        equal([row["A"]["value"], row["B"]["value"]], place["p95_m"], row["place"]["text"])


def anchors_are_what_outage_and_assess_say():
    used = {a["name"]: a["used_share"] for a in load("assess")["anchors"]}
    losses = {l["lost"][0]: l for l in load("outage")["losses"] if len(l["lost"]) == 1}
    intact = {p["name"]: p for p in load("outage")["losses"][0]["places"]}
    for row in rows("anchors", "Anchor schedule"):
        name = row["anchor"]["text"]
        equal(row["serves, of floor"]["value"], used[name], name)
        falls = [p["name"] for p in losses[name]["places"][1:]
                 if p["falls_short"] and not intact[p["name"]]["falls_short"]]
        for zone in falls[:2]:
            assert zone in row["if it fails"]["text"], row
        if not falls:
            equal(row["if it fails"]["text"], "no need falls", name)


def what_to_confirm_is_what_sensitivity_says():
    values = {end["p95_m"] for zone in load("sensitivity")["zones"] for ranked in zone["ranked"]
              for end in (ranked["low"], ranked["high"])}
    found = rows("confirm", "What can turn")
    assert found
    for row in found:
        assert row["what then"]["value"] in values, row


def freedom_is_what_freedom_says():
    free = {a["anchor"] if isinstance(a["anchor"], str) else a["name"]: a for a in load("freedom")["anchors"]} \
        if "anchor" in load("freedom")["anchors"][0] else {a["name"]: a for a in load("freedom")["anchors"]}
    for row in rows("anchors", "Anchor schedule"):
        text, sides = row["may move, at its height"]["text"], free[row["anchor"]["text"]]["sides"]
        for letter, side in zip("ENWS", ("east", "north", "west", "south")):
            metres = sides[side]["free_m"]
            if metres >= 0.005 and "all sides" not in text:
                assert f"{letter} {metres:.3g}" in text, (row, side)


def the_bill_adds_up():
    found = rows("bill", "Bill of material")
    total = found[-1]["together"]["value"]
    assert abs(sum(r["together"]["value"] for r in found[:-1]) - total) < 1e-6
    assert f"{total:.0f}" in re.sub(r"[^0-9]", "", SECTIONS["summary"][0]["cells"][7]["text"])


def sweep_rows_are_what(row, caption, key):
    swept = {point[key]: point for point in load(row)["points"]}
    found = rows("why", caption)
    assert found
    for told in found:
        first, *cells = told.values()
        point = swept[first["value"]]
        equal(told["price, EUR"]["value"], point["price"], "price")
        for zone in point["zones"]:
            cell = next(told[head] for head in told if head.split(",")[0] == zone["name"])
            equal(cell["value"], zone["p95_m"], (first["text"], zone["name"]))
            asked = zone["parts"].get("p95_m")
            if asked and zone["p95_m"] is not None:
                equal(cell["look"] == "missed", asked["met"] is False, (first["text"], zone["name"]))
        needs = [z["met"] for z in point["zones"] if z["parts"]]
        equal(told["needs met"]["text"], f"{needs.count(True)} of {len(needs)}", first["text"])


def counts_are_what_sweep_says_of_these_places():
    sweep_rows_are_what("counts", "The best of these places", "anchors")


def heights_are_what_sweep_says():
    sweep_rows_are_what("heights", "All anchors at one height", "height_m")


def remedies_are_what_explain_says():
    told = {r["p95_m"][0]: r for r in load("explain")["remedies"]}
    found = rows("spot", "What would mend it")
    equal(len(found), len(told), "remedies")
    for row in found:
        remedy = told[row["p95 here"]["value"]]
        zones = {z["name"]: z for z in remedy["zones"]}
        zone = next(h for h in row if h.startswith("p95 of ")).removeprefix("p95 of ")
        looks = {True: ("met", "met well"), False: ("not met",), None: ("undecided",)}
        assert row["its need then"]["look"] in looks[zones[zone]["met"]], row


def the_chance_of_the_summary_is_that_of_the_needs_that_are_met():
    met = [z["parts"]["chance"]["value"] for z in load("assess")["zones"] if z["met"] and "chance" in z["parts"]]
    answer = plain(SECTIONS["summary"][0]["cells"][4]["text"])
    if met:
        assert answer.startswith(("> 95 %" if min(met) >= 0.95 else f"{100 * min(met):.0f} %")), answer
    else:
        equal(answer, "no need is met", "chance")


FIGURE = r"[<>] ?[0-9]+(?:\.[0-9]+)?|[0-9]+(?:\.[0-9]+)?"


def every_text_is_its_value():
    """To the last digit that is shown: each cell that has a figure, in metres or of 100."""
    seen = 0
    for section, block in all_texts():
        for cell in block["cells"]:
            if cell["value"] is None or cell["text"] in ("–", "none", "no room"):
                continue
            text = plain(cell["text"])
            if " p95 is " in text:
                text = text.split(" p95 is ")[1]
            figure = re.match(FIGURE, text.replace(" ", "", 2 if re.match(r"[0-9]+ [0-9]{3}", text) else 0))
            if " p95 is " in plain(cell["text"]) and text.startswith("lost"):
                continue
            assert figure, (section["id"], cell)
            shown, value = figure[0], cell["value"] * (100 if cell["unit"] == "share" else 1)
            if shown[0] in "<>":
                limit = float(shown[1:])
                assert (value <= limit) if shown[0] == "<" else (value >= limit), cell
            else:
                digits = len(shown.partition(".")[2])
                half = 0.5 if digits == 0 and cell["unit"] != "" and "." not in shown else 0.5 * 10 ** -digits
                if cell["unit"] == "m" and digits == 0:
                    half = max(half, 0.5 * 10 ** (len(shown) - 4))
                assert abs(float(shown) - value) <= half * (1 + 1e-6), (section["id"], cell)
            seen += 1
    assert seen > 60, seen


def on_its_side(text, asked, value, what):
    shown = re.match(FIGURE, text)
    if shown and value is not None and not shown[0].startswith((">", "<")):
        equal(float(shown[0]) <= asked, value <= asked, what)


def no_figure_of_the_other_tables_is_on_the_other_side():
    needs = {z["name"]: z["need"] for z in load("assess")["zones"] if z["need"]}
    seen = 0
    for caption in "The best of these places", "All anchors at one height":
        for row in rows("why", caption):
            for head, cell in row.items():
                asked = re.search(r", need ([0-9.]+)$", head)
                if asked:
                    on_its_side(cell["text"], float(asked[1]), cell["value"], (caption, cell))
                    seen += 1
    for row in rows("why", "A: "):
        need = needs.get(row["place"]["text"])
        for layout in "AB" if need and need["p95_m"] else "":
            on_its_side(row[layout]["text"], need["p95_m"], row[layout]["value"], row)
            seen += 1
    for row in rows("confirm", "What can turn"):
        text = plain(row["what then"]["text"])
        need = needs[text.split(":")[0]]
        if need["p95_m"]:
            on_its_side(text.split(" p95 is ")[1], need["p95_m"], row["what then"]["value"], row)
            seen += 1
    assert seen > 20, seen


def figures_of(row):
    """The texts of a row's figures as they stand on one line."""
    return [plain(c["text"]) for c in row if c["value"] is not None and " p95 is " not in plain(c["text"])]


def the_pdf_has_each_row_of_figures_on_a_line():
    lines = [plain(line) for line in (FOLDER / "r.txt").read_text(encoding="utf-8").splitlines()]
    seen = 0
    for section, block in all_texts():
        if block["kind"] != "table":
            continue
        n = len(block["columns"])
        for i in range(0, len(block["cells"]), n):
            figures = figures_of(block["cells"][i:i + n])
            if not figures:
                continue
            one = re.compile(r"(?:^|\s)" + r"\s(?:.*\s)?".join(map(re.escape, figures)) + r"(?:\s|$)")
            assert any(one.search(line) for line in lines), (section["id"], figures)
            seen += 1
    assert seen > 25, seen


def no_figure_beside_a_verdict_is_on_the_other_side():
    for row in rows("zones", "Needs and results"):
        need = re.search(r"p95 ≤ ([0-9.]+)", plain(row["asked"]["text"]))
        if need and re.match(r"[0-9.]+", row["p95"]["text"]):
            shown = float(re.match(r"[0-9.]+", row["p95"]["text"])[0])
            equal(shown <= float(need[1]), row["p95"]["value"] <= float(need[1]), "p95")
        share = re.search(r"in ([0-9.]+) %", plain(row["asked"]["text"]))
        if share and re.match(r"[0-9.]+", row["places good enough"]["text"]):
            shown = float(re.match(r"[0-9.]+", row["places good enough"]["text"])[0])
            equal(shown >= float(share[1]), 100 * row["places good enough"]["value"] >= float(share[1]), "share")


class Page(html.parser.HTMLParser):
    """Tags have to close in their order; texts of tables are kept cell by cell."""
    VOID = {"meta", "br", "img", "path"}

    def __init__(self):
        super().__init__()
        self.open, self.cells, self.text, self.levels, self.refs = [], [], [], [], []

    def handle_starttag(self, tag, attrs):
        self.refs += [v for k, v in attrs if k in ("src", "href") and not v.startswith(("#", "data:"))]
        assert tag != "script" and not any(k.startswith("on") for k, v in attrs), (tag, attrs)
        if tag in self.VOID:
            return
        self.open.append(tag)
        if tag in ("td", "th"):
            self.cells.append("")
        if re.fullmatch("h[1-6]", tag):
            self.levels.append(int(tag[1]))

    def handle_startendtag(self, tag, attrs):
        pass

    def handle_endtag(self, tag):
        assert self.open and self.open[-1] == tag, (tag, self.open[-3:])
        self.open.pop()

    def handle_data(self, data):
        if "style" in self.open or "svg" in self.open:
            return
        self.text.append(data)
        if self.cells and ("td" in self.open or "th" in self.open):
            self.cells[-1] += data


def plain(text):
    text = re.sub("[\u2068\u2069]", "", text or "")
    return " ".join(text.replace("\u00a0", " ").replace("\u202f", " ").replace("\u2009", " ").split())


PAGE = Page()
PAGE.feed((FOLDER / "r.html").read_text(encoding="utf-8"))


def the_page_is_sound_and_needs_nothing_from_elsewhere():
    PAGE.close()
    assert not PAGE.open and not PAGE.refs, (PAGE.open, PAGE.refs)
    assert PAGE.levels[0] == 1 and PAGE.levels.count(1) == 1
    assert all(b <= a + 1 for a, b in zip(PAGE.levels, PAGE.levels[1:])), PAGE.levels
    assert (FOLDER / "r.html").stat().st_size < 3 << 20


def all_texts():
    for section in BOOK["sections"]:
        for block in section["blocks"]:
            yield section, block


def the_page_holds_every_cell_in_its_order():
    want = []
    for section, block in all_texts():
        if block["kind"] == "table":
            want += [c["head"] for c in block["columns"]]
            want += [(c["text"] or "") + (c["under"] or "") for c in block["cells"]]
    got = [plain(c) for c in PAGE.cells]
    equal(got, [plain(w) for w in want], "cells of the page")


def the_pdf_holds_every_cell_and_sentence():
    text = plain((FOLDER / "r.txt").read_text(encoding="utf-8"))
    words = set(text.split())
    assert len(words) > 300
    for section, block in all_texts():
        pieces = [block["text"]] if block["kind"] != "figure" else []
        pieces += [c["text"] for c in block["cells"]] + [c["head"] for c in block["columns"]]
        for piece in pieces:
            missing = [w for w in plain(piece).split() if w not in words and w not in text]
            broken = [w for w in missing if not all(part in text for part in re.split(r"[/-]", w)) and len(w) < 40]
            assert not broken, (section["id"], piece, broken)


def the_first_words_hold_the_four_answers():
    begin = plain(" ".join(PAGE.text)).split()[:120]
    text = " ".join(begin)
    for answer in ("needs", "chance", "EUR", "confirmed"):
        assert answer in text, (answer, text)
    boxes = SECTIONS["summary"][0]["cells"]
    for i in (1, 4, 7, 10):
        assert plain(boxes[i]["text"]) in text, boxes[i]


for one in (zones_are_what_assess_says, the_other_layout_is_what_compare_says,
            anchors_are_what_outage_and_assess_say, what_to_confirm_is_what_sensitivity_says,
            freedom_is_what_freedom_says, the_bill_adds_up,
            counts_are_what_sweep_says_of_these_places, heights_are_what_sweep_says,
            remedies_are_what_explain_says, the_chance_of_the_summary_is_that_of_the_needs_that_are_met,
            every_text_is_its_value, no_figure_beside_a_verdict_is_on_the_other_side,
            no_figure_of_the_other_tables_is_on_the_other_side,
            the_pdf_has_each_row_of_figures_on_a_line,
            the_page_is_sound_and_needs_nothing_from_elsewhere, the_page_holds_every_cell_in_its_order,
            the_pdf_holds_every_cell_and_sentence, the_first_words_hold_the_four_answers):
    check(one)
sys.exit(failed)
