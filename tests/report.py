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


def no_figure_beside_a_verdict_is_on_the_other_side():
    for row in rows("zones", "Needs and results"):
        need = re.search(r"p95 ≤ ([0-9.]+)", row["asked"]["text"])
        if need and re.match(r"[0-9.]+", row["p95"]["text"]):
            shown = float(re.match(r"[0-9.]+", row["p95"]["text"])[0])
            equal(shown <= float(need[1]), row["p95"]["value"] <= float(need[1]), "p95")
        share = re.search(r"in ([0-9.]+) %", row["asked"]["text"])
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
            no_figure_beside_a_verdict_is_on_the_other_side,
            the_page_is_sound_and_needs_nothing_from_elsewhere, the_page_holds_every_cell_in_its_order,
            the_pdf_holds_every_cell_and_sentence, the_first_words_hold_the_four_answers):
    check(one)
sys.exit(failed)
