"""No output has a verdict and a chance that disagree: random edits of the demos, assessed and compared.

Of each zone: met means a chance of what is asked or more, with margin one of 95 % or more, NOT MET by
another part tells no chance that would be enough; the table says what the JSON says. With the word
`whole` 200 edits, else a few. Prints "ok - name" or "not ok - name" lines.
"""
import glob
import json
import os
import random
import re
import subprocess
import sys

PROGRAM = os.environ.get("PROGRAM", os.path.join(os.environ.get("BUILD", "build"), "anchorwise"))
STARTS = ["not measured", "static tag", "clear hall", "metal nearby", "industrial lab"]
SOLID = ["scenery-store"]  # demos with a 3d tag in their first zone


def run(*words):
    done = subprocess.run([PROGRAM, *words], capture_output=True, text=True)
    assert done.returncode in (0, 1), (words, done.stderr)
    return done.stdout


def change(rng, feet, solid):
    """--set words: a need of the first zone, and errors or a measurement."""
    need = {"p95": round(rng.choice([0.2, 0.4, 0.8, 1.6]) * rng.uniform(0.6, 2) * (3.28 if feet else 1), 3)}
    if rng.random() < 0.4:
        need["share"] = round(rng.uniform(0.5, 1), 2)
    if rng.random() < 0.3:
        need["p50"] = round(need["p95"] * rng.uniform(0.2, 0.8), 3)
    if rng.random() < 0.3:
        need["fix_share"] = round(rng.uniform(0.9, 1), 3)
    if solid and rng.random() < 0.7:
        need["vertical_p95"] = round(need["p95"] * rng.uniform(0.7, 2), 3)
    if rng.random() < 0.3:
        need["chance"] = round(rng.uniform(0.3, 0.98), 2)
    elif rng.random() < 0.2:
        need["margin"] = round(rng.uniform(1, 3), 2)
    words = ["--set", "zones.0.need={%s}" % ", ".join(f"{k}: {v}" for k, v in need.items())]
    words += ["--set", f"ranging.start={rng.choice(STARTS)}"]
    if rng.random() < 0.4:
        words += ["--set", "ranging.measured={points: %d, days: %d, where: %s}"
                  % (rng.randint(1, 80), rng.randint(1, 4), rng.choice(["site", "equipment"]))]
    if rng.random() < 0.3:
        words += ["--set", f"ranging.spot_sigma={round(rng.uniform(0.03, 0.4), 3)}"]
    if rng.random() < 0.2:
        words += ["--chance", str(round(rng.uniform(0.2, 0.97), 2))]
    elif rng.random() < 0.1:
        words += ["--margin", str(round(rng.uniform(1, 3), 2))]
    return words


def disagreement(zone):
    """What is wrong with a zone of an assessment; None: nothing."""
    met, chance, asked, parts = zone["met"], zone["chance"], zone["chance_asked"], zone["parts"]
    others = [p["met"] for k, p in parts.items() if k != "chance"]
    if zone["with_margin"] != (met is True and chance is not None and chance >= 0.95):
        return "margin"
    if asked is None:
        return "a chance that nobody asks" if chance is not None else None
    if met is True:
        return None if chance is not None and chance >= asked and all(others) else "met"
    if met is False:
        if chance is None:
            return None if False in others else "NOT MET by nothing"
        return None if chance < asked else "NOT MET"
    return None if chance is not None else "undecided without a chance"


def said(zone, table):
    """Whether the table says of the zone what the JSON says."""
    rows = [r for r in table.splitlines() if r.startswith(zone["name"] + " ")]
    word = ("met with margin" if zone["with_margin"] else "met" if zone["met"] else
            "NOT MET" if zone["met"] is False else "undecided")
    chance = zone["chance"]
    shown = ("> 95 %" if chance is not None and chance >= 0.95 else
             "< 5 %" if chance is not None and chance <= 0.05 else
             "–" if chance is None else r"[\d.]+ %")
    if chance is None:  # no column where no zone has one
        return any(re.search(rf"  {word}\b", row) and "> 95 %" not in row for row in rows)
    return any(re.search(rf"  {word}\b.*  {shown}", row) for row in rows)


def compared(demo, words):
    """The zones of a demo beside itself; the floor stands before them."""
    document = json.loads(run("compare", demo, demo, "--json", *words))
    return document["comparisons"][0]["places"][1:]


def main(whole):
    rng = random.Random(3)
    demos = sorted(glob.glob("scenarios/*.yaml"))
    wrong = {"json": [], "table": [], "compare": []}
    for i in range(200 if whole else 8):
        demo = demos[i % len(demos)]
        feet = "crate" in demo
        words = change(rng, feet, any(s in demo for s in SOLID))
        words += ["--draws", str(rng.choice([64, 200])), "--step", "6" if feet else "2",
                  "--seed", str(i), "--quiet"]
        zones = json.loads(run("assess", demo, "--json", *words))["zones"]
        table = run("assess", demo, *words)
        both = compared(demo, words) if i % 4 == 0 else []
        for zone in zones:
            if zone["need"] is None:
                continue
            if disagreement(zone):
                wrong["json"].append((demo, words, zone["name"], disagreement(zone)))
            if not said(zone, table):
                wrong["table"].append((demo, words, zone["name"]))
        for zone, pair in zip(zones, both):
            if zone["need"] is not None and pair["chance"] != [zone["chance"]] * 2:
                wrong["compare"].append((demo, words, zone["name"], pair["chance"]))
    names = {"json": "verdicts_and_chances_of_edited_demos_agree",
             "table": "tables_say_the_verdicts_and_chances_of_the_json",
             "compare": "a_comparison_has_the_chances_of_an_assessment"}
    for key, name in names.items():
        print(f"{'not ok' if wrong[key] else 'ok'} - {name}")
        for what in wrong[key][:3]:
            print("   ", *what, file=sys.stderr)


main("whole" in sys.argv[1:])
