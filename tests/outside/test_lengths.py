"""Lengths that people read, on a site in feet and on the same site in metres: every command's texts
against figures that are converted here from its JSON. Prints "ok - name" or "not ok - name"."""
import json
import math
import os
import re
import subprocess
import sys
import tempfile
import traceback
from pathlib import Path

PROGRAM = os.environ.get("PROGRAM") or str(Path(os.environ.get("BUILD", "build")).resolve() / "anchorwise")
HALL = Path("scenarios/crate-hall.yaml").resolve()
FOOT = 0.3048
failed = False


def site(f):
    """A bottle store, its lengths in feet times f."""
    def path(*corners):
        return [[x * f, y * f] for x, y in corners]

    def box(x0, y0, x1, y1):
        return path((x0, y0), (x1, y0), (x1, y1), (x0, y1))

    def at(*three):
        return [v * f for v in three]

    return {
        "anchorwise": 1, "title": "Bottle store", "units": "ft" if f == 1 else "m",
        "floor": {"outline": box(0, 0, 60, 40), "ceiling": 16 * f},
        "materials": {"full crates": {"loss_db": 8, "delay": 0.7 * f}},
        "obstacles": [{"name": "crates", "footprint": box(18, 12, 30, 16), "top": 9 * f,
                       "material": "full crates"}],
        "walls": [{"name": "screen", "path": path((40, 0), (40, 14)), "thickness": 0.4 * f,
                   "top": 10 * f, "material": "full crates"}],
        "levels": [{"name": "ramp", "outline": box(50, 30, 58, 38), "height": 1.5 * f}],
        "anchors": [{"name": "K1", "at": at(1, 1, 13.3)}, {"name": "K2", "at": at(59, 1, 13.3)},
                    {"name": "K3", "at": at(59, 39, 13.3)}, {"name": "K4", "at": at(1, 39, 11.1)},
                    {"name": "K5", "at": at(31, 39, 8.2)}],
        "tags": [{"name": "trolley", "height": 3.3 * f, "height_sigma": 0.4 * f},
                 {"name": "lift", "height": 6 * f, "fix": "3d"}],
        "ranging": {"sigma": 0.2 * f, "spot_sigma": 0.3 * f, "tail_share": 0.1, "tail_sigma": 1.1 * f,
                    "survey_sigma": 0.07 * f, "delay_sigma": 0.1 * f, "range": 100 * f},
        "zones": [{"name": "filling", "outline": box(4, 20, 26, 36),
                   "need": {"p95": 3 * f, "p99": 8 * f, "share": 0.8}},
                  {"name": "loading", "outline": box(42, 16, 58, 28), "need": {"p95": 4 * f}},
                  {"name": "hook", "outline": box(30, 18, 40, 30), "tag": "lift"}],
        "candidates": {"lines": [
            {"name": "south", "path": path((1, 1), (59, 1)), "spacing": 29 * f, "low": 13.3 * f},
            {"name": "north", "path": path((1, 39), (59, 39)), "spacing": 29 * f, "low": 13.3 * f}]},
        "prices": {"currency": "EUR", "anchor": 300, "port": 35, "cable": 0.85 / f,
                   "cabinet": at(30, 1, 7), "lift_hour": 90,
                   "mounts": [{"name": "bracket", "up_to": 15 * f, "price": 60, "lift_hours": 0.5}]},
        "assumptions": {"obstacle_tops": at(-1, 2)},
        "study": {"step": 4.2 * f, "draws": 64, "seed": 3},
    }


def without(anchor, f):
    s = site(f)
    s["anchors"] = [a for a in s["anchors"] if a["name"] != anchor]
    return s


def tall(f):
    """With anchors low and high, for a fix in height."""
    s = site(f)
    s["anchors"][1]["at"][2], s["anchors"][3]["at"][2] = 3 * f, 4 * f
    return s


def steady(f):
    """Without errors that stay with an installation, so without odds, which take long."""
    s = site(f)
    del s["ranging"]["survey_sigma"], s["ranging"]["delay_sigma"], s["zones"][2]
    return s


def run(folder, *words):
    done = subprocess.run([PROGRAM, *words, "--quiet"], cwd=folder, capture_output=True, text=True)
    assert done.returncode in (0, 1, 2), (words, done.returncode, done.stderr)
    return done.stdout + done.stderr


# --- how a length in metres is to read ---

class Feet:
    units, place_unit, small_unit, area_unit = "ft", "ft", "in", "ft²"

    @staticmethod
    def place(metres, _digits=2):
        return f"{metres / FOOT:.2f}"

    @staticmethod
    def small(metres, _format=None):
        inches = metres / (FOOT / 12)
        return f"{inches:.1g}" if inches != 0 and abs(inches) < 0.05 else f"{inches:.1f}"

    @staticmethod
    def area(square, digits):
        return f"{square / FOOT ** 2:.{digits}f}"


class Metres:
    units, place_unit, small_unit, area_unit = "m", "m", "m", "m²"

    @staticmethod
    def place(metres, digits=2):
        return f"{metres:.{digits}f}"

    @staticmethod
    def small(metres, form=None):
        return f"{metres:{form}}" if form else f"{metres:.{2 if metres < 0.995 else 1 if metres < 9.95 else 0}f}"

    @staticmethod
    def area(square, digits):
        return f"{square:.{digits}f}"


def error(site_, metres):
    return "–" if metres is None else site_.small(metres)


def spot(site_, at):
    return "(" + ", ".join(site_.place(v) for v in at) + ")"


def row(text, name, head=None):
    """The cells of a table's row; of the table under `head` if there are several."""
    if head is not None:
        text = text[text.index(head):]
    for line in text.splitlines():
        cells = re.split(r" {2,}", line.strip())
        if cells[0] == name or len(cells) > 1 and len(cells[0]) > 12 and name.startswith(cells[0] + " "):
            return cells  # a long name goes on below
    raise AssertionError(f"no row {name!r} in\n{text}")


def heads(text):
    """Every heading of every table: its last line, and with it what stands above it in up to two more."""
    lines = text.splitlines()
    found = set()
    for k, line in enumerate(lines):
        for m in re.finditer(r"\S+( \S+)*", line):
            words, above = m.group(), []
            for upper in lines[max(0, k - 2):k][::-1]:
                above = [a.group() for a in re.finditer(r"\S+( \S+)*", upper)
                         if a.start() < m.end() and m.start() < a.end()]
                if len(above) != 1:
                    break
                words = f"{above[0]} {words}"
                found.add(words)
            found.add(m.group())
    return found


def has_heads(text, *names):
    for name in names:
        assert name in heads(text), f"no heading {name!r} in\n{text}"


def has(text, *pieces):
    for piece in pieces:
        assert piece in text, f"{piece!r} is not in\n{text}"


# --- each command: its words and the same as JSON ---

AT = {"ft": "52,10", "m": f"{52 * FOOT},{10 * FOOT}"}
HOOK = {"ft": "40,22", "m": f"{40 * FOOT},{22 * FOOT}"}
POOR = {"ft": "50,4", "m": f"{50 * FOOT},{4 * FOOT}"}


def heights(site_):
    f = 1 if site_ is Feet else FOOT
    return f"{9 * f}:{13 * f}:{2 * f}"


def needs(site_):
    f = 1 if site_ is Feet else FOOT
    return f"{3 * f},{4 * f}"


COMMANDS = {
    "check": lambda s: ["check", "store.yaml"],
    "assess": lambda s: ["assess", "store.yaml"],
    "compare": lambda s: ["compare", "store.yaml", "fewer.yaml"],
    "explain": lambda s: ["explain", "store.yaml", "--at", AT[s.units]],
    "explain, poor": lambda s: ["explain", "fewer.yaml", "--at", POOR[s.units]],
    "explain, 3d": lambda s: ["explain", "tall.yaml", "--at", HOOK[s.units], "--tag", "lift"],
    "links": lambda s: ["links", "store.yaml", "--at", AT[s.units]],
    "outage": lambda s: ["outage", "store.yaml"],
    "place": lambda s: ["place", "steady.yaml", "--afresh"],
    "place, needs": lambda s: ["place", "steady.yaml", "--needs", needs(s)],
    "sweep": lambda s: ["sweep", "store.yaml", "--heights", heights(s)],
    "sensitivity": lambda s: ["sensitivity", "steady.yaml"],
    "freedom": lambda s: ["freedom", "store.yaml", "--anchor", "K5"],
    "zones": lambda s: ["zones", "store.yaml"],
    "need": lambda s: ["need", "--units", s.units, "--width", f"{9 * (1 if s is Feet else FOOT)}",
                       "--decisions", "1000", "--wrong", "10"],
}
texts, values = {}, {}


def check_check(s, text, d):
    f = FOOT
    for anchor in site(f)["anchors"]:
        has(text, f'{spot(s, anchor["at"][:2])} {s.place_unit}, {s.place(anchor["at"][2])} {s.place_unit} up')
    for zone in d["zones"]:
        has(text, f'{s.area(zone["area_m2"], 1)} {s.area_unit}')
    has(text, f"its floor at +{s.place(1.5 * f)} {s.place_unit}",
        f"0.00 to {s.place(9 * f)} {s.place_unit}, full crates",
        f"{s.place(14 * f, 1)} {s.place_unit} long, {s.small(0.4 * f, '.3g')} {s.small_unit} thick",
        f"height {s.place(3.3 * f)} {s.place_unit} (sigma {s.small(0.4 * f, '.3g')} {s.small_unit})",
        f"sigma {s.small(0.2 * f, '.3g')} {s.small_unit} white",
        f"p95 <= {s.small(3 * f, '.6g')} {s.small_unit}, in 80 %, p99 <= {s.small(8 * f, '.6g')} {s.small_unit}")
    cable = next(line for line in d["prices"]["lines"] if line["what"] == "cable")
    unit = FOOT if s is Feet else 1
    assert row(text, "cable") == ["cable", f'{cable["count"] / unit:.4g}', s.place_unit,
                                  f'{cable["price"] * unit:.7g}', f'{cable["amount"]:.0f}']


def check_assess(s, text, d):
    has(text, f"cells of {s.place(4.2 * FOOT, 2) if s is Feet else '1.28'} {s.place_unit}")
    has_heads(text, *(f"{head} ({unit})" for head, unit in [
        ("p50", s.small_unit), ("p95", s.small_unit), ("range of p95", s.small_unit),
        ("worst p95", s.small_unit), ("at", s.place_unit), ("height p50", s.small_unit)]))
    for name, place in [("floor", d["floor"])] + [(z["name"], z) for z in d["zones"]]:
        cells = row(text, name)
        p95, worst = place["p95_m"], place["worst_cell_p95_m"]
        want = [error(s, place["p50_m"]), error(s, p95),
                "–" if p95 is None else f'{error(s, place["band_low_m"])} to {error(s, place["band_high_m"])}',
                "no p95" if worst is None else error(s, worst), spot(s, place["worst_at_m"][:2]),
                *(error(s, place[f"vertical_{p}_m"]) for p in ("p50", "p95")),
                "–" if place["vertical_p95_m"] is None
                else f'{error(s, place["vertical_band_low_m"])} to {error(s, place["vertical_band_high_m"])}']
        assert cells[1:] == want, (cells, want)
    filling = row(text, "filling", "need  ")
    assert filling[4:6] == [shares(d["zones"][0]["parts"]["share"]), error(s, d["zones"][0]["p99_m"])], filling


def shares(part):
    """A share of whole percent, with its interval."""
    low, high = (f"{100 * part[end]:.0f}" for end in ("low", "high"))
    return f"{100 * part['value']:.0f} % ({low} to {high} %)"


def check_compare(s, text, d):
    head = "B - A"
    has_heads(text, *(f"{name} ({s.small_unit})" for name in ("p50 A", "p95 B", "B - A", "interval")))
    for place in d["comparisons"][0]["places"]:
        cells = row(text, place["name"], head)
        a, b = place["p95_m"]
        assert cells[1:5] == [error(s, v) for v in place["p50_m"] + place["p95_m"]], (cells, place)
        if place["p95_difference_m"] is not None and abs(place["p95_difference_m"]) >= 0.005:
            assert cells[5] == s.small(place["p95_difference_m"], "+.2f").replace("+", "").join(
                ["" if place["p95_difference_m"] < 0 else "+", ""]), cells
        if a is not None and b is not None:
            sentence = next(x for x in text.splitlines() if x.startswith(place["name"] + ": "))
            has(sentence, f"{error(s, a)} {s.small_unit}", f"{error(s, b)} {s.small_unit}")


def check_explain(s, text, d):
    at = d["spot"]["at_m"]
    p95 = d["spot"]["p95_m"][0]
    has(text, f'spot {spot(s, at[:2])} {s.place_unit}, {d["spot"]["tag"]} at {s.place(at[2])} {s.place_unit};',
        f'err by at most {error(s, p95)} {s.small_unit}, half of them by at most '
        f'{error(s, d["spot"]["p50_m"])} {s.small_unit}.')
    has_heads(text, f"range ({s.place_unit})", f"p95 without it ({s.small_unit})")
    assert (d["spot"]["tag"] == "lift") == (d["spot"]["vertical_p95_m"] is not None)
    if d["spot"]["vertical_p95_m"] is not None:
        has(text, f'95 of 100 by {error(s, d["spot"]["vertical_p95_m"])} {s.small_unit}.')
    for line in d["lines"]:
        cells = row(text, line["anchor"])
        assert cells[3] == s.place(line["range_m"], 1), (cells, line)
        if line["excess_m"]:
            has(cells[4], f'{s.small(line["excess_m"], ".2f")} {s.small_unit} late')
    shown = row(text, "as planned")
    assert shown[1] == error(s, p95), shown
    for i, remedy in enumerate(d["remedies"]):
        line = next(x for x in text.splitlines() if x.startswith(f"  {i + 1}. "))
        x, y, z = remedy["at_m"]
        where = (f"to {s.place(z, 1)} {s.place_unit}" if remedy["kind"] == "height" else
                 f"{spot(s, (x, y))} {s.place_unit}, {s.place(z, 1)} {s.place_unit} up")
        low, high = (error(s, v) for v in remedy["p95_m"][1:])
        has(line, where, f'p95 here {error(s, remedy["p95_m"][0])} {s.small_unit} ({low} to {high})')


def check_links(s, text, d):
    has(text, f'spot {spot(s, d["spot_m"][:2])} {s.place_unit}, height {s.place(d["spot_m"][2])} {s.place_unit}')
    for link in d["links"]:
        cells = row(text, link["name"])
        fine = lambda v: "–" if v is None else s.small(v, ".3f")
        assert cells[2] == s.place(link["range_m"]), cells
        want = [fine(link[f"{key}_m"]) for key in ("bias", "white", "spot", "tail")] + ["10 %"] + [
            fine(link[f"{key}_m"]) for key in ("survey", "delay", "believed")]
        errors = row(text, link["name"], "Errors")
        assert errors[1:] == want, (errors, want)
        assert row(text, link["name"], "Paths")[-3] == fine(link["paths"][0]["excess_m"])


def check_outage(s, text, d):
    for loss in d["losses"]:
        if "worst_at_m" not in loss:
            continue
        cells = row(text, loss["lost"][0] if loss["lost"] else "none")
        worst = loss["worst_cell_p95_m"]
        at = spot(s, loss["worst_at_m"][:2])
        assert cells[4:6] == ["no p95" if worst is None else error(s, worst), at], cells
    for zone in d["zones"]:
        if zone["worst_loss"] is not None:
            cells = row(text, zone["name"], "with all")
            assert cells[3:5] == [zone["worst_loss"], error(s, zone["p95_then_m"])], cells
    has_heads(text, *(f"{head} ({unit})" for head, unit in [
        ("p95 of floor", s.small_unit), ("worst p95", s.small_unit), ("at", s.place_unit),
        ("p95 then", s.small_unit)]))


def check_place(s, text, d):
    has_heads(text, *(f"{axis} ({s.place_unit})" for axis in "xyz"))
    for anchor in d["anchors"]:
        assert row(text, anchor["name"])[1:4] == [s.place(v) for v in anchor["at_m"]]
    for zone, again in zip(d["zones"], d["confirmed"]):
        cells = row(text, zone["name"], "p95 again")
        assert (cells[2], cells[4]) == (error(s, zone["p95_m"]), error(s, again["p95_m"])), cells


def check_place_needs(s, text, d):
    for placing in d["placings"]:
        cells = row(text, s.small(placing["p95_asked_m"], ".3g"))
        worst = max(zone["p95_m"] for zone in placing["zones"])
        has(" | ".join(cells), error(s, worst))
    has_heads(text, f"p95 asked ({s.small_unit})", f"p95 of the worst zone ({s.small_unit})")


def check_sweep(s, text, d):
    has_heads(text, f"height ({s.place_unit})", *(f'p95 of {c["name"]} ({s.small_unit})' for c in d["curves"]))
    for point in d["points"]:
        height = s.place(point["height_m"]) if s is Feet else f'{point["height_m"]:.4g}'
        want = [f'{error(s, z["p95_m"])} ({error(s, z["p95_low_m"])} to {error(s, z["p95_high_m"])})'
                for z in point["zones"]]
        assert row(text, height)[-len(want):] == want, (row(text, height), want)
    if s is Feet:
        assert re.search(r"(between|at|to) [0-9]+\.[0-9]{2}( and [0-9]+\.[0-9]{2})? ft", text), text


PLACES = ("obstacle_tops", "tag_heights", "range")


def check_sensitivity(s, text, d):
    for a in d["assumptions"]:
        line = next(x for x in text.splitlines() if (a["footing"] or "stated in the scenario")[:20] in x
                    and x.split("  ")[0] in NAMES[a["assumed"]])
        shift = a["assumed"] in ("obstacle_tops", "tag_heights")
        for value in (a["low"], a["high"]) if a["unit"] == "m" else ():
            if a["assumed"] in PLACES:
                figure = s.place(value) if s is Feet else f"{value:.2g}" if abs(value) < 10 else f"{value:.0f}"
                has(line, f'{"+" if shift and value > 0 else ""}{figure} {s.place_unit}')
            else:
                has(line, f'{s.small(value, ".2g")} {s.small_unit}')
    for zone in d["zones"]:
        today = zone["today"]["p95_m"]
        has(text, f'{zone["name"]}: p95 {error(s, today)}{"" if today is None else " " + s.small_unit} today')
        joint = zone["joint"]
        if joint["p95_p95_m"] is not None:
            has(text, f'p95 {error(s, joint["p95_p05_m"])} to {error(s, joint["p95_p95_m"])} {s.small_unit} in nine')
    has_heads(text, f"today ({s.small_unit})", f"at most ({s.small_unit})", f"p95 at low ({s.small_unit})")
    for tolerance in d["tolerances"]:
        cells = row(text, TOLERANCES[tolerance["of"]], "Tolerances (")
        assert cells[1] == s.small(tolerance["today_m"], ".2g"), (cells, tolerance)
        if tolerance["most_m"] is not None:
            assert cells[2].split(" and")[0] == s.small(tolerance["most_m"], ".2g"), (cells, tolerance)


NAMES = {"obstacle_tops": ["obstacle heights"], "losses": ["material losses"],
         "delays": ["material delays"], "sigma": ["white error"], "spot_sigma": ["reflection error"],
         "tail_share": ["share of tails"], "tail_sigma": ["tail error"],
         "survey_sigma": ["survey error"], "delay_sigma": ["cable and antenna delay"],
         "tag_heights": ["tag heights"], "height_sigmas": ["spread of tag heights"],
         "range": ["reach of a link"], "budget_db": ["loss that a link bears"]}
TOLERANCES = {"survey": "survey of the anchors, each axis", "delay": "cable and antenna delay",
              "height": "tag height", "clock": "clock jitter on top of the white error"}


def check_freedom(s, text, d):
    has_heads(text, f"at ({s.place_unit})", f"west ({s.place_unit})", f"region ({s.area_unit})",
        f"height ({s.place_unit})")
    for anchor in d["anchors"]:
        cells = row(text, anchor["name"])
        sides = [anchor["sides"][side]["free_m"] for side in ("west", "east", "south", "north")]
        want = [spot(s, anchor["at_m"]), *(s.place(v) for v in sides), s.area(anchor["area_m2"], 1),
                f'{s.place(anchor["height_low_m"])} to {s.place(anchor["height_high_m"])}']
        assert [c.rstrip("+") for c in cells[1:8]] == want, (cells, want)
        for side in anchor["sides"].values():
            if side["ends_by"] == "need":
                has(text, spot(s, side["beyond_m"]))


def check_zones(s, text, d):
    has_heads(text, f"inside ({s.place_unit})", f"outside ({s.place_unit})", f"at ({s.place_unit})")
    for zone in d["zones"]:
        cells = row(text, zone["name"], "inside (")
        for k, key in enumerate(("inside", "outside")):
            side = zone[key]
            if side["at_m"][0] is None:
                continue
            depth = side["setback_m"]
            digits = 2 if s is Feet or depth is None or depth < 0.995 else 1
            want = ["none" if depth is None else s.place(depth, digits), spot(s, side["at_m"])]
            assert cells[1 + 2 * k:3 + 2 * k] == want, (cells, want)


def check_need(s, text, d):
    has(text, f'Zones {s.place(d["width_m"]) if s is Feet else "2.743"} {s.place_unit} wide',
        f'sigma <= {error(s, d["sigma_m"])} {s.small_unit}', f'p95   <= {error(s, d["p95_m"])} {s.small_unit}')


CHECKS = {"check": check_check, "assess": check_assess, "compare": check_compare,
          "explain": check_explain, "explain, poor": check_explain, "explain, 3d": check_explain,
          "links": check_links, "outage": check_outage, "place": check_place,
          "place, needs": check_place_needs, "sweep": check_sweep, "sensitivity": check_sensitivity,
          "freedom": check_freedom, "zones": check_zones, "need": check_need}

# A unit by itself: "in" is a word too, so it counts behind a figure or in brackets only.
METRIC = re.compile(r"(?<![\w.])(c|m|k)?m²?(?![\w'])|metres?\b")
FEET = re.compile(r"(?<![\w.])ft²?(?![\w])|\(in\)|(?<![\w.])[0-9]+(\.[0-9]+)? in[ ,.;:)\n]")


def has_no(unit, text):
    found = unit.search(text)
    assert found is None, f"{text[max(0, found.start() - 40):found.end() + 20]!r} in\n{text}"


def pasted(s, folder, file, *coarse):
    """The worst spots, as they are printed, lead to the cells that they were printed for."""
    d = json.loads(run(folder, "assess", file, "--json", *coarse))
    text = run(folder, "assess", file, *coarse)
    for key, place in ("floor", d["floor"]), (d["zones"][0]["name"], d["zones"][0]):
        at = next(c for c in row(text, key) if c.startswith("(")).strip("()")
        there = json.loads(run(folder, "explain", file, "--at", at, "--json", *coarse))["spot"]
        unit = FOOT if s is Feet else 1
        exact = ",".join(repr(v / unit) for v in place["worst_at_m"][:2])
        want = json.loads(run(folder, "explain", file, "--at", exact, "--json", *coarse))["spot"]
        assert math.dist(there["at_m"][:2], place["worst_at_m"][:2]) < 0.0072, (key, at, place["worst_at_m"])
        if want["p95_m"][0] is None:
            assert there["p95_m"][0] is None, (key, at)
        else:
            assert abs(there["p95_m"][0] / want["p95_m"][0] - 1) < 0.01, (key, at, there, want)


def complaints(folder):
    for words, piece in [
            (["freedom", "store.yaml", "--reach", "70"], "a length of 0.33 to 65.61 ft"),
            (["explain", "store.yaml", "--at", "x"], "two lengths within 328 083 ft"),
            (["explain", "store.yaml", "--at", "70,2"], "70,2 ft is off the floor"),
            (["links", "store.yaml", "--at", "x"], "lengths within 328 083 ft"),
            (["sweep", "store.yaml", "--heights", "9:20"], "within [0, 16] ft"),
            (["assess", "store.yaml", "--cells", "c.csv", "--tile", "x"], "four lengths within 328 083 ft"),
            (["chart", "store.yaml", "--out", "c.svg", "--spot", "70,2"], "70,2 ft is off the floor"),
            (["assess", "store.yaml", "--step", "900000"], "ft"),
            (["need", "--units", "ft", "--width", "0", "--decisions", "9", "--wrong", "1"], "1000] ft")]:
        said = run(folder, *words)
        has(said, piece)
        has_no(METRIC, said)
    for reach in ("0.33", "65.61"):
        run(folder, "freedom", "store.yaml", "--anchor", "K5", "--reach", reach, "--draws", "16")


def sheet(folder, name, *words):
    run(folder, *words, "--chart", f"{name}.svg")
    text = Path(folder, f"{name}.svg").read_text()
    return [re.sub("<[^>]*>", "", t) for t in re.findall(r"<text.*?</text>", text, re.S)]


def sheets(folder):
    """The scale has a bar in metres, that says so; everything else is in feet and inches."""
    for name, words in [("explain", COMMANDS["explain, poor"](Feet)), ("sweep", COMMANDS["sweep"](Feet)),
                        ("freedom", COMMANDS["freedom"](Feet)), ("compare", COMMANDS["compare"](Feet))]:
        lines = [t for t in sheet(folder, name, *words) if not re.fullmatch(r"[0-9 ]+ m", t.strip())]
        assert len(lines) > 5, name
        for line in lines:
            has_no(METRIC, line)
        if name == "explain":
            caption = next(t for t in lines if t.startswith("with "))
    remedy = values["ft", "explain, poor"]["remedies"][0]
    has(caption, f'{Feet.place(remedy["at_m"][2])} ft')


def ok(name, check, *arguments):
    global failed
    try:
        check(*arguments)
        print(f"ok - {name}", flush=True)
    except Exception:
        failed = True
        print(f"not ok - {name}", flush=True)
        traceback.print_exc()


def twins(command):
    a, b = values["ft", command], values["m", command]
    assert a == b and len(json.dumps(a)) > 100, command


def named(command):
    return command.replace(", ", "_")


with tempfile.TemporaryDirectory() as place:
    for s, f in (Feet, 1), (Metres, FOOT):
        folder = Path(place, s.units)
        folder.mkdir()
        for file, scenario in ("store.yaml", site(f)), ("fewer.yaml", without("K2", f)), ("steady.yaml", steady(f)), (
                "tall.yaml", tall(f)):
            Path(folder, file).write_text(json.dumps(scenario))
        for command, words in COMMANDS.items():
            texts[s.units, command] = run(folder, *words(s))
            values[s.units, command] = json.loads(run(folder, *words(s), "--json"))
            values[s.units, command].pop("cost", None)  # measured, never twice the same
            for warning in values[s.units, command].get("warnings", []):
                del warning["line"], warning["column"]  # of its own file
    for command in COMMANDS:
        for s in Feet, Metres:
            ok(f"{named(command)}_gives_its_lengths_in_{s.units}", CHECKS[command], s,
               texts[s.units, command], values[s.units, command])
        ok(f"{named(command)}_in_feet_shows_no_metres", has_no, METRIC, texts["ft", command])
        ok(f"{named(command)}_in_metres_shows_no_feet", has_no, FEET, texts["m", command])
        ok(f"{named(command)}_as_json_is_the_same_from_feet_and_metres", twins, command)
    ok("a_remedy_is_there_to_be_told", lambda: values["ft", "explain, poor"]["remedies"][0])
    feet = Path(place, "ft")
    ok("a_printed_spot_in_feet_can_be_pasted_back", pasted, Feet, feet, "store.yaml")
    ok("a_printed_spot_in_metres_can_be_pasted_back", pasted, Metres, Path(place, "m"), "store.yaml")
    ok("a_printed_spot_of_crate_hall_can_be_pasted_back", pasted, Feet, feet, str(HALL), "--draws", "64",
       "--step", "4.5")
    ok("complaints_in_feet_show_no_metres", complaints, feet)
    ok("sheets_in_feet_show_metres_on_the_scale_alone", sheets, feet)
    for words in (["check"], ["assess", "--draws", "16", "--step", "6"], ["zones", "--draws", "16", "--step", "6"],
                  ["outage", "--draws", "16", "--step", "6"], ["links", "--at", "30,30"],
                  ["explain", "--at", "30,30", "--draws", "16", "--step", "6"]):
        ok(f"crate_hall_shows_no_metres_in_{words[0]}",
           lambda: has_no(METRIC, run(feet, words[0], str(HALL), *words[1:])))
sys.exit(failed)
