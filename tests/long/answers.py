"""The four answers of a report's first 120 words: answers.py REPORT ASSESSMENT SCENARIO"""

import html.parser
import json
import os
import re
import sys

WORDS, MOST = 120, 3_000_000


class Words(html.parser.HTMLParser):
    """What is read, without what is drawn."""

    def __init__(self):
        super().__init__()
        self.hidden, self.words = 0, []

    def handle_starttag(self, tag, attrs):
        self.hidden += tag in ("style", "script", "svg", "title")

    def handle_endtag(self, tag):
        self.hidden -= tag in ("style", "script", "svg", "title")

    def handle_data(self, data):
        if not self.hidden:
            self.words += data.split()


page, assessment, scenario = sys.argv[1:]
with open(page, encoding="utf-8") as file:
    reader = Words()
    reader.feed(file.read())
with open(assessment, encoding="utf-8") as file:
    told = json.load(file)
first = " ".join(reader.words[:WORDS])
with open(scenario, encoding="utf-8") as file:
    is_priced = any(line.startswith("prices:") for line in file)
asked = [zone for zone in told["zones"] if zone["met"] is not None]
met = [zone for zone in asked if zone["met"]]
least = min((zone["chance"] for zone in met), default=None)
wrong = []
if f"Is it met? {len(met)} of {len(asked)} needs" not in first:
    wrong.append("whether it is met")
if least is not None and f"With what chance? {int(100 * least + 0.5)} %" not in first:
    wrong.append(f"the chance, {least}")
if not re.search(r"What does it cost\? [0-9\s]+ [A-Z]{3}" if is_priced else r"What does it cost\? not priced", first):
    wrong.append("the cost")
if "What must be confirmed? the errors of this site" not in first:
    wrong.append("what must be confirmed")
if os.path.getsize(page) > MOST:
    wrong.append(f"{os.path.getsize(page)} bytes")
name = os.path.basename(page)
print(f"not ok - {name}: {'; '.join(wrong)}" if wrong else f"ok - {name}")
sys.exit(bool(wrong))
