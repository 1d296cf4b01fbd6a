"""Names of many scripts in every command's tables: columns by Python's own table of widths, and what
is written from right to left kept by itself. Prints "ok - name" or "not ok - name"."""
import json
import os
import re
import subprocess
import sys
import tempfile
import traceback
import unicodedata
from pathlib import Path

PROGRAM = os.environ.get("PROGRAM") or str(Path(os.environ.get("BUILD", "build")).resolve() / "anchorwise")
ISOLATE, END = "\u2068", "\u2069"
ZONES = ["組立工程と検査の広い区画、北側の出入口まで", "אולם 2", "مخزن القطع", "Ku\u0308hlzelle mit a\u0301bc"]
failed = False


def box(x0, y0, x1, y1):
    return [[x0, y0], [x1, y0], [x1, y1], [x0, y1]]


SITE = {
    "anchorwise": 1, "title": "מחסן בקבוקים", "floor": {"outline": box(0, 0, 16, 12), "ceiling": 5},
    "obstacles": [{"name": "ארגזים", "footprint": box(5, 4, 8, 5), "top": 3, "material": "wood"},
                  {"name": "冷蔵庫", "footprint": box(11, 8, 13, 9), "top": 2, "material": "metal"}],
    "anchors": [{"name": n, "at": at} for n, at in [
        ("東一", [0.3, 0.3, 4]), ("צפון 1", [15.7, 0.3, 4]), ("e\u0301st", [15.7, 11.7, 3.5]),
        ("🏭 7", [0.3, 11.7, 3]), ("D5", [8, 11.7, 4])]],
    "tags": [{"name": "עגלה", "height": 1}],
    "ranging": {"sigma": 0.06, "spot_sigma": 0.1, "range": 40},
    "zones": [{"name": name, "outline": box(x, 2, x + 3, 6), "need": {"p95": 1}}
              for name, x in zip(ZONES, (1, 5, 9, 12.5))],
    "candidates": {"lines": [{"name": "צפון", "path": [[0.3, 11.7], [15.7, 11.7]], "spacing": 7.7, "low": 4},
                             {"name": "南側", "path": [[0.3, 0.3], [15.7, 0.3]], "spacing": 7.7, "low": 4}]},
    "study": {"step": 2, "draws": 64, "seed": 2},
}

COMMANDS = {
    "check": ["check"], "assess": ["assess"], "compare": ["compare", "fewer.yaml"],
    "explain": ["explain", "--at", "6,9"], "links": ["links", "--at", "6,9"], "outage": ["outage"],
    "place": ["place", "--afresh"], "place, needs": ["place", "--needs", "1,2"],
    "sweep": ["sweep", "--heights", "3:4:1"],
    "sensitivity": ["sensitivity"], "freedom": ["freedom", "--anchor", "東一"], "zones": ["zones"],
}


def run(folder, words, *more):
    done = subprocess.run([PROGRAM, words[0], "store.yaml", *words[1:], *more, "--quiet"], cwd=folder,
                          capture_output=True, text=True)
    assert done.returncode in (0, 1) and not done.stderr, (words, done.returncode, done.stderr)
    return done.stdout


def width(text):
    return sum(0 if unicodedata.category(c) in ("Mn", "Me", "Cf")
               else 2 if unicodedata.east_asian_width(c) in "WF" else 1 for c in text)


def cells(line):
    """(begin, end) of each cell in columns of a terminal."""
    return [(width(line[:m.start()]), width(line[:m.end()])) for m in re.finditer(r"\S+( \S+)*", line)]


# What the last line of each head has.
HEADS = {"check": [], "assess": ["p50 (m)", "need"], "compare": ["B is", "verdict A"],
         "explain": ["bearing", "why"], "links": ["elevation", "excess"], "outage": ["what it costs"],
         "place": ["x (m)", "verdict again"], "place, needs": ["(m)  anchors"], "sweep": ["(m)"],
         "sensitivity": ["footing", "p95 at low"], "freedom": ["what ends that"],
         "zones": ["a tag in", "(m)  at (m)"]}


def keeps_columns(command, text):
    """Every cell of a row begins where one of the head begins or ends where one ends; a broken one goes on two
    columns further in."""
    lines = text.splitlines()
    if command == "check":
        begins = {cells(line)[1][0] for line in lines if re.match(r" {2}\S", line) and len(cells(line)) > 1}
        assert len(begins) == 1, (begins, text)
        return
    rows = 0
    for mark in HEADS[command]:
        first = next((i for i, line in enumerate(lines) if mark in line), None)
        assert first is not None, (mark, text)
        head = cells(lines[first])
        begins, ends = {b for b, _ in head} | {0}, {e for _, e in head}
        for line in lines[first + 1:]:
            if line == "" or line.startswith(("All together", "Each cause")):
                break
            rows += 1
            for begin, end in cells(line):
                assert begin in begins or end in ends or begin - 2 in begins, (line, begin, end, begins, ends, text)
    assert rows >= len(HEADS[command]), text


def keeps_figures(text):
    """Outside of isolates no letter runs from right to left, so the rest stays in its order."""
    said = text[re.match(r"(A: .*\nB: )?.*\n", text).end():]
    depth = found = 0
    for c in said:
        depth += (c == ISOLATE) - (c == END)
        assert depth in (0, 1), said
        if unicodedata.bidirectional(c) in ("R", "AL"):
            found += 1
            assert depth == 1, said
        assert depth == 0 or c != "\n" and c not in ".%", said
    assert depth == 0 and found > 0, said


def keeps_names(text):
    bare = text.replace(ISOLATE, "").replace(END, "")
    for name in ZONES[1:]:
        assert name in bare, (name, text)


def is_bare(folder, words):
    text = run(folder, words, "--json")
    assert ISOLATE not in text and END not in text, text
    json.loads(text)


def csv_is_bare(folder):
    run(folder, COMMANDS["sweep"], "--csv", "sweep.csv")
    text = Path(folder, "sweep.csv").read_text()
    assert ISOLATE not in text and f'"{ZONES[1]}"' in text, text


def ok(name, check, *arguments):
    global failed
    try:
        check(*arguments)
        print(f"ok - {name}", flush=True)
    except Exception:
        failed = True
        print(f"not ok - {name}", flush=True)
        traceback.print_exc()


with tempfile.TemporaryDirectory() as place:
    fewer = dict(SITE, anchors=SITE["anchors"][:4])
    Path(place, "store.yaml").write_text(json.dumps(SITE, ensure_ascii=False))
    Path(place, "fewer.yaml").write_text(json.dumps(fewer, ensure_ascii=False))
    for command, words in COMMANDS.items():
        name = command.replace(", ", "_")
        text = run(place, words)
        ok(f"{name}_keeps_its_columns", keeps_columns, command, text)
        if command != "place, needs":
            ok(f"{name}_keeps_figures_beside_names_from_right_to_left", keeps_figures, text)
        if command in ("check", "assess", "compare", "sweep", "zones", "sensitivity", "place"):
            ok(f"{name}_names_what_it_is_about", keeps_names, text)
        ok(f"{name}_has_bare_names_as_json", is_bare, place, words)
    ok("sweep_has_bare_names_as_csv", csv_is_bare, place)
sys.exit(failed)
