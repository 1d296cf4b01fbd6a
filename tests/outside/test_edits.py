"""Random small edits of the demos, as a user makes them: each through check, assess and two other commands
in turn. No silent end, no false reason, every status as documented, no figure against another. With the
word `whole`: all commands for each edit; with `even` or `odd`: half of the edits."""

import json
import math
import os
import random
import re
import subprocess
import sys
import tempfile

PROGRAM = os.environ.get("PROGRAM", os.path.join(os.environ.get("BUILD", "build"), "anchorwise"))
EDITS = 200
DRAWS = 64
# Demo, step (in its own units) that leaves at most 400 cells, and how many of 20 edits it gets: fewer
# where a run takes longer.
DEMOS = [
    ("crate-hall", 10, 4),
    ("l-hall", 5, 4),
    ("parts-store", 3, 4),
    ("scenery-store", 3, 3),
    ("tram-hall-places", 5, 2),
    ("wheel-pit", 2, 2),
    ("washing-shed", 4, 1),
]
# Those that draw hundreds of layouts get cells twice as wide.
HEAVY = {"place", "sweep", "freedom", "sensitivity"}
# What each command takes besides the scenario, and the statuses it may end with when all is well.
OTHERS = {
    "chart": (["--out", "{folder}/edit.svg"], {0}),
    "compare": (["{same}", "--json"], {0, 1}),
    "explain": (["--at", "{spot}", "--json"], {0}),
    "links": (["--at", "{spot}", "--json"], {0}),
    "outage": (["--json"], {0, 1}),
    "zones": (["--json"], {0, 1}),
    "sweep": (["--counts", "4:5", "--json"], {0}),
    "place": (["--json"], {0, 1}),
    "freedom": (["--json"], {0}),
    "sensitivity": (["--json"], {0}),
    "need": (["--width", "{width}", "--decisions", "100", "--wrong", "1", "--json"], {0}),
}
# Those that search or vary everything take no turn but in the whole; sweeps choose among the places of the
# anchors there, of which the first FEW are enough.
FEW = 8
SLOW = ["place", "freedom", "sensitivity"]
TURNS = [c for c in OTHERS if c not in SLOW]
NEEDS = ["{p95: 0.6}", "{p95: 1.2, share: 0.9}", "{p50: 0.3}", "{p95: 0.9, p99: 2}", "{fix_share: 0.98}",
         "{zone_share: 0.9}", "{p95: 0.05}", "{p95: 40}"]
failures = {}


def complain(name, text):
    failures.setdefault(name, []).append(text)


# --- edits ---

def items(lines):
    return [i for i, line in enumerate(lines) if re.match(r" *- \{", line)]


def change_number(lines, pick):
    """One number of one line, halved, doubled, a bit off, zero or negative."""
    places = [(i, m) for i, line in enumerate(lines) if not line.startswith(("#", "anchorwise"))
              for m in re.finditer(r"(?<![\w.])\d+(\.\d+)?(?![\w.])", line.split("#")[0])]
    i, m = pick.choice(places)
    value = float(m.group()) * pick.choice([0.5, 0.9, 0.97, 1.05, 1.2, 2, 0, -1])
    lines[i] = lines[i][:m.start()] + f"{value:.4g}" + lines[i][m.end():]


def drop_item(lines, pick):
    del lines[pick.choice(items(lines))]


def double_item(lines, pick):
    i = pick.choice(items(lines))
    lines.insert(i + 1, re.sub(r"name: ([^,}]+)", r"name: \1 II", lines[i], count=1))


def change_need(lines, pick):
    zones = [i for i, line in enumerate(lines) if "need:" in line]
    if zones:
        i = pick.choice(zones)
        lines[i] = re.sub(r"need: \{[^}]*\}", "need: " + pick.choice(NEEDS), lines[i])


def drop_block(lines, pick):
    heads = [i for i, line in enumerate(lines) if re.match(r"[a-z]", line)
             and not line.startswith(("anchorwise", "title", "floor", "anchors"))]
    i = pick.choice(heads)
    end = i + 1
    while end < len(lines) and not re.match(r"[a-z#]", lines[end]):
        end += 1
    del lines[i:end]


def ask_for_heights(lines, pick):
    tags = [i for i, line in enumerate(lines) if re.match(r" *- \{name: .*height:", line)]
    if tags:
        i = pick.choice(tags)
        lines[i] = re.sub(r"(height: [\d.]+)", r"\1, fix: 3d", lines[i], count=1)


KINDS = [change_number] * 5 + [drop_item] * 2 + [double_item, change_need, drop_block, ask_for_heights]


# --- what must hold ---

def run(words):
    ended = subprocess.run([PROGRAM, *words], capture_output=True, timeout=300, check=False)
    return ended.returncode, ended.stdout.decode("utf-8"), ended.stderr.decode("utf-8")


def check_end(name, status, out, said, allowed):
    """Whether the command gave a result; complains of any end that is not as documented."""
    if status not in allowed | {2}:
        complain("every_status_is_as_documented", f"{name}: {status}: {said[-300:]}")
    if "out of memory" in said or re.search(r"(WARNING|CRITICAL) \*\*", said):
        complain("no_reason_is_false", f"{name}: {said[-300:]}")
    if status == 2 and not (said.strip() or out.strip()):  # check --json has mistakes in its document
        complain("no_end_is_silent", f"{name}: status 2 without a word")
    if status in allowed and not out.strip() and not name.startswith("chart"):
        complain("no_end_is_silent", f"{name}: status {status} and nothing printed")
    return status in allowed


def in_order(*values):
    """Values that may not exist: what has none is beyond all that have one."""
    found = [math.inf if v is None else v for v in values]
    return all(a <= b * (1 + 1e-12) for a, b in zip(found, found[1:]))


def check_figures(name, what):
    """Whatever the document: percentiles in order, values inside their intervals, shares shares."""
    if isinstance(what, list):
        for one in what:
            check_figures(name, one)
    if not isinstance(what, dict):
        return
    for key, one in what.items():
        if key != "need":  # what is asked need not be in order
            check_figures(name, one)
    for prefix in ("", "vertical_"):
        ladder = [what[prefix + p] for p in ("p50_m", "p95_m", "p99_m")
                  if not isinstance(what.get(prefix + p, []), (list, dict))]
        if not in_order(*ladder):
            complain("percentiles_are_in_order", f"{name}: {ladder} in {what.get('name')}")
    if {"value", "low", "high"} <= set(what) and what["low"] is not None and what["value"] is not None:
        high = math.inf if what["high"] is None else what["high"]
        if not what["low"] - 1e-9 <= what["value"] <= high + 1e-9:
            complain("values_lie_in_their_intervals", f"{name}: {what}")
    for key, value in what.items():
        if isinstance(value, float) and (key.endswith("share") or key.startswith("odds")):
            if not -1e-9 <= value <= 1 + 1e-9:
                complain("shares_are_shares", f"{name}: {key} {value}")


def joined(verdicts):
    if False in verdicts:
        return False
    return None if None in verdicts else True


def check_verdicts(name, status, found):
    """Parts against zones, zones against the whole, the whole against the status."""
    judged = []
    for zone in found["zones"]:
        parts = [p["met"] for p in zone.get("parts", {}).values() if p.get("asked") is not None]
        if not parts:
            continue
        judged.append(zone["met"])
        if zone["met"] is not joined(parts):
            complain("verdicts_follow_from_parts", f"{name}: {zone['name']}: {zone['met']} of {parts}")
        for key, part in zone["parts"].items():
            value, asked, least = part.get("value"), part.get("asked"), not key.endswith("_m")
            if part["met"] is True and (value is None or (value < asked if least else value > asked)):
                complain("verdicts_follow_from_parts", f"{name}: {zone['name']}: {key} {part}")
            if part["met"] is False and value is not None and (value >= asked if least else value <= asked):
                complain("verdicts_follow_from_parts", f"{name}: {zone['name']}: {key} {part}")
    expected = joined(judged) if judged else None
    if found["met"] is not expected or status != (1 if judged and expected is not True else 0):
        complain("the_status_tells_the_verdict", f"{name}: {status}, {found['met']} of {judged}")


def check_table(name, path, options, found):
    """The rows of the table against the document: the first two figures are p50 and p95."""
    _, table, _ = run(["assess", path, *options])
    unit = 1 / 0.0254 if "units: ft" in open(path, encoding="utf-8").read() else 1
    for place in [dict(found["floor"], name="floor"), *found["zones"]]:
        rows = [line for line in table.splitlines() if line.startswith(place["name"] + " ")]
        m = rows and re.match(re.escape(place["name"]) + r" +(–|[\d. ]+?) +(–|[\d.]+) ", rows[0])
        if not m:
            complain("the_table_is_the_document", f"{name}: no row of {place['name']} in\n{table}")
            continue
        for shown, key in zip(m.groups(), ("p50_m", "p95_m")):
            value = place[key]
            if (value is None) != (shown == "–"):
                complain("the_table_is_the_document", f"{name}: {place['name']} {key} {value}: {shown}")
            elif value is not None and abs(float(shown) - value * unit) > 0.051 * max(value * unit, 1):
                complain("the_table_is_the_document", f"{name}: {place['name']} {key} {value}: {shown}")


def check_same(name, status, compared, found, status_alone):
    """A layout against itself: the figures of assess, no difference, the same verdict."""
    places = {p["name"]: p for p in compared["comparisons"][0]["places"]}
    for place in [dict(found["floor"], name="floor"), *found["zones"]]:
        pair = places.get(place["name"])
        if pair is None or pair["p95_m"] != [place["p95_m"]] * 2:
            complain("compare_has_the_figures_of_assess", f"{name}: {place['name']}: {pair}")
        elif pair["p95_difference_m"] not in (None, 0) or pair["better"] is not None:
            complain("a_layout_is_no_better_than_itself", f"{name}: {pair}")
    if status != status_alone:
        complain("compare_has_the_figures_of_assess", f"{name}: ended with {status}, not {status_alone}")


def check_outage(name, outage, found):
    """With nothing lost the drawn p95 is that of assess; linear estimates are said to be such."""
    intact = [loss for loss in outage["losses"] if not loss["lost"]]
    places = {p["name"]: p for p in intact[0]["places"]}
    for place in [dict(found["floor"], name="floor"), *found["zones"]]:
        told = places[place["name"]]
        if told["drawn"]["p95_m"] != place["p95_m"] or told["kind"] != "linear estimate":
            complain("outage_has_the_figures_of_assess", f"{name}: {place['name']}: {told}")


# --- the run ---

def anchors_as_candidates(lines):
    """The option that lets a command choose among places of the scenario's anchors alone."""
    places = [m.group(1) for m in map(re.compile(r" *- \{name: [^,]+, at: (\[[^]]*\])").match, lines) if m]
    points = ", ".join(f"{{name: place {i}, at: {at}}}" for i, at in enumerate(places[:FEW]))
    return ["--set", f"candidates={{points: [{points}]}}"]


def try_edit(number, folder, whole):
    pick = random.Random(number)
    demo, step, _ = pick.choices(DEMOS, [d[2] for d in DEMOS])[0]
    with open(f"scenarios/{demo}.yaml", encoding="utf-8") as file:
        lines = file.read().splitlines()
    if number % 8:
        lines = [line for line in lines if not re.match(r" +(survey|delay)_sigma:", line)]
    kind = pick.choice(KINDS)
    kind(lines, pick)
    path = f"{folder}/edit-{number}.yaml"
    with open(path, "w", encoding="utf-8") as file:
        file.write("\n".join(lines) + "\n")
    name = f"edit {number} ({demo}, {kind.__name__})"
    status, out, said = run(["check", path, "--json"])
    sound = check_end("check " + name, status, out, said, {0})
    options = ["--draws", str(DRAWS), "--step", str(step), "--quiet"]
    alone, out, said = run(["assess", path, "--json", *options])
    found = None
    if check_end("assess " + name, alone, out, said, {0, 1}):
        if not sound:
            complain("check_and_assess_agree", name)
        found = json.loads(out)
        check_figures(name, found)
        check_verdicts(name, alone, found)
        if whole or number % 4 == 0:
            check_table(name, path, options, found)
    turn = list(OTHERS) if whole else [TURNS[(2 * number + k) % len(TURNS)] for k in range(2)]
    for command in turn:
        words, allowed = OTHERS[command]
        spot = f"{pick.uniform(1, 15):.2f},{pick.uniform(1, 10):.2f}"
        words = [w.format(folder=folder, same=path, spot=spot, width=pick.choice(["1", "3", "0"])) for w in words]
        given = [] if command == "need" else [path, *options]
        if command in HEAVY:
            given[given.index("--step") + 1] = str(2 * step)
        if command == "sweep" and not whole:
            given += anchors_as_candidates(lines)
        if command == "links":
            given = [path, "--quiet"]
        status, out, said = run([command, *given, *words])
        if command != "need" and status != 2 and not sound:
            complain("check_and_assess_agree", f"{command} {name}")
        if not check_end(f"{command} {name}", status, out, said, allowed) or command == "chart":
            continue
        document = json.loads(out)
        check_figures(f"{command} {name}", document)
        if command == "compare" and found:
            check_same(f"{command} {name}", status, document, found, alone)
        if command == "outage" and found:
            check_outage(f"{command} {name}", document, found)


CHECKS = ["every_status_is_as_documented", "no_reason_is_false", "no_end_is_silent", "percentiles_are_in_order",
          "values_lie_in_their_intervals", "shares_are_shares", "verdicts_follow_from_parts",
          "the_status_tells_the_verdict", "the_table_is_the_document", "check_and_assess_agree",
          "compare_has_the_figures_of_assess", "a_layout_is_no_better_than_itself",
          "outage_has_the_figures_of_assess"]


def main():
    words = sys.argv[1:]
    step = 2 if {"even", "odd"} & set(words) else 1
    many = EDITS if "whole" in words else EDITS // 2
    numbers = [int(w) for w in words if w.isdigit()] or range("odd" in words, many, step)
    with tempfile.TemporaryDirectory() as folder:
        for number in numbers:
            try_edit(number, folder, "whole" in words)
    for check in CHECKS:
        print(f"{'not ok' if check in failures else 'ok'} - {len(numbers)}_edits:_{check}")
        for text in failures.get(check, [])[:5]:
            print("    " + text, file=sys.stderr)
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
