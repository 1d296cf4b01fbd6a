"""The installers' sheet against its rows: the distance in the band and the distance from the nearest
face name the same place, and each anchor's figures stand on the sheet."""
import csv
import re
import sys

svg = open(sys.argv[1], encoding="utf-8").read()
texts = [t for t in re.findall(r"<text[^>]*>([^<]*)</text>", svg)]
faces = {"west": 0.0, "east": 24.0, "south": 0.0, "north": 14.0, "screen": (11.9, 12.1)}
rows = list(csv.DictReader(open(sys.argv[2], newline="")))
assert len(rows) == 5, rows
for row in rows:
    for axis, length, face in (("x_m", "ew_m", "ew_from"), ("y_m", "ns_m", "ns_from")):
        at, distance = float(row[axis]), float(row[length])
        where = faces[row[face]]
        ends = where if isinstance(where, tuple) else (where,)
        assert any(abs(abs(at - end) - distance) < 1e-4 for end in ends), row
        others = [abs(at - f) for name, f in faces.items() if not isinstance(f, tuple) and
                  (name in ("west", "east")) == (axis == "x_m")]
        assert distance <= min(others) + 1e-4, row
        assert f"{at:.2f}" in texts, (row["anchor"], f"{at:.2f}")
        assert f"{distance:.2f} from {row[face]}" in texts, (row, length)
    assert float(row["low_m"]) <= float(row["height_m"]) <= float(row["high_m"]), row
    assert float(row["high_m"]) <= (5 if float(row["height_m"]) <= 5 else 7), row
    assert row["anchor"] in texts, row
assert sum("0.40" == t for t in texts) >= 1
