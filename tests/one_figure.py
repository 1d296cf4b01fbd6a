"""Holds what every command says of a demo against what assess says of it, as a user would read it:
JSON against JSON, JSON against tables, verdicts against their parts, percentiles in order.

Few draws and coarse cells: the figures are poor and have to agree all the same. Prints "ok - name"
or "not ok - name" lines; names stand for sentences.
"""
import json
import os
import re
import subprocess
import sys

PROGRAM = os.environ["PROGRAM"]
FOLDER = sys.argv[1]
WHOLE = sys.argv[2:] == ["whole"]
FOOT = 0.3048
# Demo, its coarse step in its own units, and metres of that unit.
DEMOS = [("washing-shed", 3, 1), ("tram-hall", 4, 1), ("l-hall", 3, 1), ("parts-store", 3, 1),
         ("scenery-store", 2, 1), ("wheel-pit", 4, 1), ("crate-hall", 10, FOOT)]
failed = False


def judge(name, problems):
    global failed
    print(("not ok - " if problems else "ok - ") + name, flush=True)
    for problem in problems[:8]:
        print(f"    {name}: {problem}", file=sys.stderr)
    failed = failed or bool(problems)


def run(command, files, step, *more, draws=64):
    """What a command says; statuses other than 0 and 1 are none that an answer comes with."""
    done = subprocess.run([PROGRAM, command, *files, "--draws", str(draws), "--step", str(step),
                           "--quiet", *more], capture_output=True, text=True, check=False)
    if done.returncode > 1:
        raise SystemExit(f"{command} ended with {done.returncode}: {done.stderr}")
    return done.stdout


def ask(command, files, step, *more, **options):
    return json.loads(run(command, files, step, "--json", *more, **options))


def named(items):
    return {item["name"]: item for item in items}


class Differences(list):
    """Complaints about figures that should be the same."""

    def same(self, what, got, want):
        if got != want:
            self.append(f"{what}: {got}, elsewhere {want}")


def objects(tree):
    """Every object in a JSON document."""
    if isinstance(tree, dict):
        yield tree
    for item in tree.values() if isinstance(tree, dict) else tree if isinstance(tree, list) else []:
        yield from objects(item)


def in_order(what, values, problems):
    values = [v for v in values if isinstance(v, (int, float)) and not isinstance(v, bool)]
    if values != sorted(values):
        problems.append(f"{what}: {values} are not in order")


def orders(documents):
    """Percentiles rise with their share, and every interval holds its value."""
    problems, seen = [], 0
    for document in documents:
        for o in objects(document):
            for axis in "", "vertical_":
                in_order("percentiles", [o.get(f"{axis}p{q}_m") for q in (50, 95, 99)], problems)
            for key in o:
                if key + "_low" in o or key.removesuffix("_m") + "_low_m" in o:
                    stem, end = (key, "") if key + "_low" in o else (key.removesuffix("_m"), "_m")
                    low, high = o[f"{stem}_low{end}"], o[f"{stem}_high{end}"]
                    both = zip(low, o[key], high) if isinstance(low, list) else [(low, o[key], high)]
                    for ends in both:
                        in_order(key, ends, problems)
                        seen += 1
            if {"low", "value", "high"} <= o.keys():
                in_order("interval", [o["low"], o["value"], o["high"]], problems)
                seen += 1
    return problems or ([] if seen > 0 else ["no interval was seen"])


def by_parts(parts):
    verdicts = [p["met"] for p in parts.values()]
    return False if False in verdicts else None if None in verdicts or not verdicts else True


def verdicts(assessed):
    """A part fails wholly beyond what is asked, a zone by its parts, the whole by its zones."""
    problems = Differences()
    for zone in assessed["zones"]:
        for key, part in zone["parts"].items():
            ends = [part["low"], part["high"]] if key.endswith("_m") else [-part["high"], -part["low"]] \
                if part["low"] is not None else [None, None]
            asked = part["asked"] if key.endswith("_m") else -part["asked"]
            if None not in ends:
                met = True if ends[1] <= asked else False if ends[0] > asked else None
                problems.same(f"{zone['name']}, {key}", part["met"], met)
        problems.same(zone["name"], zone["met"], by_parts(zone["parts"]))
    with_need = [zone for zone in assessed["zones"] if zone["need"]]
    problems.same("all zones", assessed["met"], by_parts(named(with_need)))
    return problems


def length(metres):
    if metres is None:
        return "–"
    return f"{metres:.{2 if metres < 0.995 else 1 if metres < 9.95 else 0}f}"


def stands_for(cell, metres):
    """Whether a cell shows a figure: in its own digits, or beside what is asked in more of them."""
    digits = len(cell.partition(".")[2])
    return cell == length(metres) or metres is not None and digits > 2 and cell == f"{metres:.{digits}f}"


def cells(table, name):
    """The cells of a row of a table, found by its first one."""
    rows = [re.split(r"  +", row.strip()) for row in table.splitlines()]
    return next((row for row in rows if row[0] == name and len(row) > 2), [])


UNDRAWN = {"p95_m": "not drawn", "fix_share": "not drawn", "share_meeting": "not drawn"}
WORDS = {True: "met", False: "NOT MET", None: "undecided"}


def verdict_of(cell):
    """Without its reasons, and whether it is met with margin or not."""
    return cell.split(":")[0].removesuffix(" with margin")


def table_of_assess(assessed, table):
    problems = Differences()
    needs = table[table.index("  need  "):] if any(zone["need"] for zone in assessed["zones"]) else ""
    for place in [dict(assessed["floor"], name="floor"), *assessed["zones"]]:
        row = cells(table, place["name"])
        told = [place[key] if stands_for(cell, place[key]) else cell
                for cell, key in zip(row[1:3], ("p50_m", "p95_m"))]
        problems.same(f"{place['name']} in the table", told, [place["p50_m"], place["p95_m"]])
        if place.get("need"):
            problems.same(f"{place['name']}: verdict", verdict_of(cells(needs, place["name"])[2]),
                          WORDS[place["met"]])
    return problems


def outage(assessed, lost, fewer_of):
    """With all anchors as assess says; with the worst one lost as assess says of what is left."""
    problems = Differences()
    intact = named(lost["losses"][0]["places"])
    for place in [dict(assessed["floor"], name="floor"), *assessed["zones"]]:
        drawn = intact[place["name"]]["drawn"] or UNDRAWN
        problems.same(f"{place['name']}: p95", drawn["p95_m"], place["p95_m"])
        problems.same(f"{place['name']}: fix share", drawn["fix_share"], place["fix_share"])
        problems.same(f"{place['name']}: share", drawn["share_meeting"], place.get("share_meeting"))
    for key in "worst_cell_p95_m", "worst_at_m":
        problems.same(key, lost["losses"][0][key], assessed["floor"][key])
    for loss in lost["losses"]:
        problems.same("kind of a worst cell", loss.get("worst_cell_kind", "drawn"), "drawn")
        for place in loss["places"]:
            problems.same("kind", place["kind"], "linear estimate")
            problems.same("kind of falling short", place["falls_short_kind"],
                          "drawn" if place["drawn"] else "linear estimate")
    for zone in lost["zones"]:
        ours = named(assessed["zones"])[zone["name"]]
        problems.same(f"{zone['name']}: with all", zone["met_with_all"], ours["met"])
        if zone["worst_loss"] is None:
            continue
        at = next(l for l in lost["losses"] if l["lost"] == [zone["worst_loss"]])
        drawn = named(at["places"])[zone["name"]]["drawn"] or UNDRAWN
        problems.same(f"{zone['name']}: worst loss", zone["p95_then_m"], drawn["p95_m"])
        left = named(fewer_of(zone["worst_loss"])["zones"])[zone["name"]]
        for key, want in ("p95_m", "p95_m"), ("fix_share", "fix_share"), ("share_meeting",) * 2:
            problems.same(f"{zone['name']} without {zone['worst_loss']}: {key}", drawn[key],
                          left[want])
        problems.same(f"{zone['name']}: sturdy", zone["sturdy"], left["met"])
    return problems


def compared(comparison, table, both):
    """Each column of a comparison is what assess says of that layout."""
    problems = Differences()
    places = named(comparison["places"])
    for k, assessed in enumerate(both):
        for place in [dict(assessed["floor"], name="floor"), *assessed["zones"]]:
            pair = places[place["name"]]
            for key in "p50_m", "p95_m", "share_meeting", "odds":
                problems.same(f"{place['name']} {'AB'[k]}: {key}", pair[key][k], place.get(key))
            if place["name"] != "floor":
                problems.same(f"{place['name']} {'AB'[k]}: verdict", pair["met"][k], place["met"])
            if place.get("need"):
                needs = table[table.index("  need  "):]
                problems.same(f"{place['name']} in the table", verdict_of(cells(needs, place["name"])[k - 2]),
                              WORDS[place["met"]])
        problems.same("the whole", comparison["met"][k], assessed["met"])
    for place in comparison["places"]:
        low, high = place["p95_difference_low_m"], place["p95_difference_high_m"]
        apart = low is not None and (low > 0 or high < 0)
        problems.same(f"{place['name']}: told apart", place["told_apart"], apart)
        small = apart and abs(place["p95_difference_m"]) <= 0.15 * max(place["p95_m"])
        problems.same(f"{place['name']}: better", place["better"],
                      None if small or not apart else "b" if high < 0 else "a")
        said = ("less than 15 % apart" if small else "not told apart by these draws" if not apart
                else "better" if high < 0 else "worse")
        if None not in place["p95_m"] and said not in place["verdict"]:
            problems.append(f"'{place['verdict']}' does not say '{said}'")
    return problems


def explained(assessed, explain):
    """A worst cell explained has the figure that was told of it, as have the zones."""
    problems = Differences()
    for zone in assessed["zones"]:
        if zone["worst_cell_p95_m"] is None:
            continue
        e = explain(zone)
        problems.same(f"{zone['name']}: worst cell", e["spot"]["p95_m"][0],
                      zone["worst_cell_p95_m"])
        for remedy in e["remedies"]:
            for then in remedy["zones"]:
                ours = named(assessed["zones"])[then["name"]]
                problems.same(f"{then['name']} before", then["p95_before_m"], ours["p95_m"])
                problems.same(f"{then['name']}: met before", then["met_before"],
                              ours["met"] if ours["need"] else None)
        break
    return problems


def shares(assessed, zones):
    """The zone share of a need is the share that `zones` finds reported in the zone."""
    problems = Differences()
    for zone in zones["zones"]:
        asked = named(assessed["zones"])[zone["name"]]["zone_share"]
        own = next(r for r in zone["reported"] if r["zone"] == zone["name"])
        if asked is not None:
            problems.same(zone["name"], own["share"], asked)
    return problems


def todays(assessed, answers):
    """What a study says of the layout as it is."""
    problems = Differences()
    ours = named(assessed["zones"])
    for zone in answers["sensitivity"]["zones"]:
        for key in "p95_m", "met", "odds":
            problems.same(f"sensitivity of {zone['name']}: {key}", zone["today"][key],
                          ours[zone["name"]][key])
    for zone in answers["freedom"]["zones"]:
        problems.same(f"freedom in {zone['name']}", zone["met_as_planned"],
                      ours[zone["name"]]["met"])
    problems.same("place", answers["place"]["end"], "left alone")
    for zone in answers["place"]["zones"]:
        for key in "p95_m", "met":
            problems.same(f"place of {zone['name']}: {key}", zone[key], ours[zone["name"]][key])
    return problems


def write(name, text):
    path = os.path.join(FOLDER, name)
    with open(path, "w", encoding="utf-8") as file:
        file.write(text)
    return path


def without(text, anchor):
    """The scenario's text with one anchor's line gone."""
    kept = [l for l in text.splitlines() if not re.match(rf" *- {{name: {anchor}, at:", l)]
    assert len(kept) == len(text.splitlines()) - 1
    return "\n".join(kept) + "\n"


def read(demo):
    """A demo's text; if not the whole is run without installation terms, since odds are dear."""
    with open(f"scenarios/{demo}.yaml", encoding="utf-8") as opened:
        text = opened.read()
    return text if WHOLE else re.sub(r"(survey_sigma|delay_sigma): [0-9.]+", r"\1: 0", text)


def hold(demo, step, unit):
    text = read(demo)
    file = write(f"{demo}.yaml", text)
    assessed = ask("assess", [file], step)
    left = {}

    def fewer_of(anchor):
        if anchor not in left:
            left[anchor] = ask("assess", [write(f"{anchor}.yaml", without(text, anchor))], step)
        return left[anchor]

    def explain(zone):
        x, y = (metres / unit for metres in zone["worst_at_m"][:2])
        return ask("explain", [file], step, "--at", f"{x!r},{y!r}", "--tag", zone["tag"])

    lost = ask("outage", [file], step)
    last = assessed["anchors"][-1]["name"]
    both = [assessed, fewer_of(last)]
    pair = [file, os.path.join(FOLDER, f"{last}.yaml")]
    comparison = ask("compare", pair, step)["comparisons"][0]
    judge(f"{demo}_has_percentiles_and_intervals_in_order",
          orders([assessed, lost, comparison, *left.values()]))
    judge(f"{demo}_has_verdicts_that_follow_from_their_parts", verdicts(assessed))
    if unit == 1:
        judge(f"{demo}_has_the_same_figures_in_table_and_json",
              table_of_assess(assessed, run("assess", [file], step)))
    judge(f"{demo}_with_all_anchors_or_one_lost_is_what_assess_says_of_it",
          outage(assessed, lost, fewer_of))
    judge(f"{demo}_in_a_comparison_is_what_assess_says_of_it",
          compared(comparison, run("compare", pair, step), both))
    judge(f"{demo}_has_one_p95_for_its_worst_cell", explained(assessed, explain))
    judge(f"{demo}_has_one_zone_share", shares(assessed, ask("zones", [file], step)))
    return assessed


def changes_nothing(step):
    """Anchors that nobody hears: no rows that repeat the first, one sentence, and all in JSON."""
    text = read("parts-store")
    far = "".join(f"  - {{name: {name}, at: [30, {y}, 4]}}\n" for name, y in
                  [("far", 900), ("gone", 950), ("lost", 999)])
    file = write("far.yaml", text.replace("anchors:\n", "anchors:\n" + far))
    table, lost = run("outage", [file], step), ask("outage", [file], step)
    problems = Differences()
    problems.same("rows", [row for row in table.splitlines() if re.match("(far|gone|lost) ", row)],
                  ["lost  " + row[6:] for row in table.splitlines() if row.startswith("lost  what")])
    problems.same("sentence", "3 anchors change nothing: far, gone and lost;" in table, True)
    idle = [l["lost"] for l in lost["losses"] if l.get("changes_nothing")]
    problems.same("JSON", idle, [["far"], ["gone"], ["lost"]])
    problems.same("estimates", [l["places"] for l in lost["losses"] if l["lost"] == ["far"]][0][1]
                  ["p95_m"], lost["losses"][0]["places"][1]["p95_m"])
    return problems


def differs(step):
    """What differs beside the anchors is named with both values, and by whose study all is drawn."""
    text = read("parts-store")
    study = re.search(r"^study:.*$", text, re.M).group()
    pair = [write("one.yaml", text), write("other.yaml", text.replace(study, "study: {step: 1.75, draws: 77, seed: 5}"))]
    said = [subprocess.run([PROGRAM, "compare", *pair, "--step", str(step), "--quiet", *more],
                           capture_output=True, text=True, check=False).stdout
            for more in ([], ["--json"])]
    table, comparison = said[0], json.loads(said[1])["comparisons"][0]
    problems = Differences()
    problems.same("names", [d["what"] for d in comparison["differences"]],
                  ["study: draws", "study: seed"])
    problems.same("draws", comparison["differences"][0]["b"], 77)
    problems.same("settings", comparison["settings"]["draws"], comparison["differences"][0]["a"])
    problems.same("row", cells(table, "study: draws")[2:], ["77"])
    problems.same("study", "computed by the step, the draws and the seed of A" in table, True)
    return problems


for name, coarse, metres in DEMOS:
    result = hold(name, coarse, metres)
if WHOLE:
    # So many draws that no part of a need stands on its line: else there is a layout to look for.
    crates = {command: ask(command, ["scenarios/crate-hall.yaml"], DEMOS[-1][1], draws=512)
              for command in ("assess", "sensitivity", "freedom", "place")}
    judge("studies_of_the_crate_hall_begin_at_what_assess_says_of_it", todays(crates["assess"], crates))
judge("anchors_that_change_nothing_are_said_once", changes_nothing(3))
judge("what_differs_beside_the_anchors_is_told", differs(3))
sys.exit(failed)
