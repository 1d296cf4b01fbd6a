"""Installers' sheets of a hall with levels that is longer than a tape, and of one too full for one sheet:
which anchors stand on which sheet, and that band, schedule and site agree on each place."""
import csv
import re
import subprocess
import sys

FOLDER = sys.argv[1]


def pages(name):
    text = subprocess.run(["pdftotext", "-layout", f"{FOLDER}/{name}.pdf", "-"],
                          capture_output=True, text=True, check=True).stdout
    return text.split("\f")[:-1]


def rows(name):
    with open(f"{FOLDER}/{name}.csv", newline="", encoding="utf-8") as file:
        return {row["anchor"]: row for row in csv.DictReader(file)}


def names_in(page, names):
    return [n for n in names if re.search(rf"(?<!\S){re.escape(n)} +[0-9.]+ (?:from|beyond)", page)]


# A sheet a level; what hangs over a pit or under a gallery is hung from the hall's floor.
long, hung = pages("long"), rows("long")
assert len(long) == 3, len(long)
assert [names_in(page, hung) for page in long] == \
    [["A1", "A2", "A3", "A4", "over pit", "under"], ["P1", "P2"], ["G1"]]
assert "wheel pit, its floor at -1.4" in " ".join(long[1].split()), long[1]
assert "gallery, its floor at +4" in " ".join(long[2].split()), long[2]

# Beyond 60 m from each face a line every 50 m is what is measured from.
far = {"A2": ("line E 50", 20), "A3": ("line E 100", 3.5), "A4": ("line E 100", 49)}
for name, row in hung.items():
    x = float(row["x_m"])
    assert (min(x, 210 - x) > 60) == (name in far), name
    if name in far:
        assert (row["ew_from"], float(row["ew_m"])) == far[name], row
        assert f"{far[name][1]:.2f} beyond {far[name][0]}" in long[0], name
        assert int(row["ew_from"].split()[-1]) + float(row["ew_m"]) == x, row
assert long[0].count("line E 50") == 2 and "set out first" in " ".join(long[0].split())
assert "set out" not in long[1]

# Each anchor on one sheet, with both its ordinates and its row there, however many parts there are.
full, hung = pages("full"), rows("full")
assert 4 <= len(full) <= 24, len(full)
seen = [name for page in full for name in names_in(page, hung)]
assert sorted(seen) == sorted(hung), set(hung) ^ set(seen)
for number, page in enumerate(full):
    assert f"Part {number + 1} of {len(full)}" in " ".join(page.split()), number
    figures = page.split()
    for name in names_in(page, hung):
        row = hung[name]
        for axis, length, face, size in ("x_m", "ew_m", "ew_from", 80), ("y_m", "ns_m", "ns_from", 50):
            at, distance = float(row[axis]), float(row[length])
            assert f"{at:.2f}" in figures, (name, at)
            side = row[face] in ("east", "north")
            assert abs((size - distance if side else distance) - at) < 1e-4, row
            assert f"{distance:.2f} from {row[face]}" in page, row

# What was set is told on every sheet.
for page in long + full:
    assert "Otherwise than in the file: anchors" in " ".join(page.split())
