"""The words of sweeps by counts, from their JSON documents alone: which number is the knee of each
zone's curve, or whether it is flat or falls steadily, by the definitions of docs/model.md; that no
number has a larger score than the one before, unless the point says so; and that the curve begins
where every zone has a p95. Prints one line for each curve with PRINT=1.
"""
import json
import math
import os
import sys

GAIN = 0.163
BESIDE = 2
HALF = 2.04  # standard errors of half an interval


def least(points):
    """The running least of p95, with its relative standard error."""
    best, out = None, []
    for p in points:
        if p["p95_m"] is not None and (best is None or p["p95_m"] < best[0]):
            error = 0
            if p["p95_low_m"] is not None:
                error = (math.inf if p["p95_high_m"] is None else
                         (p["p95_high_m"] - p["p95_low_m"]) / 2 / HALF / p["p95_m"])
            best = (p["p95_m"], error)
        out.append(best)
    return out


def read(points):
    """What a curve says: kind, from where, whether only the first, whether it falls on."""
    y = least(points)
    if not y or y[-1] is None:
        return ("none", None, None, None)
    n = len(y)

    def fall(i, k):
        return math.inf if y[i] is None else math.log(y[i][0] / y[k][0])

    for i in range(n - BESIDE):
        if y[i] is None:
            continue
        before = math.inf if i < BESIDE else fall(i - BESIDE, i)
        after, doubt = fall(i, i + BESIDE), 2 * math.sqrt(2) * y[i][1]
        if before - doubt >= GAIN and after + doubt < GAIN / 2 and before - after > doubt:
            return ("knee", points[i]["anchors"], i == 0, fall(i, n - 1) >= GAIN)
    first = next(i for i in range(n) if y[i] is not None)
    kind = "flat" if fall(first, n - 1) < GAIN else "falling"
    return (kind, points[first]["anchors"], None, None)


def check(document):
    for curve in document["curves"]:
        said = tuple(curve.get(key) for key in ("says", "from", "is_first", "falls_on"))
        want = read(curve["points"])
        assert said == want, (curve["name"], said, want)
        numbers = [p["anchors"] for p in curve["points"]]
        assert numbers == list(range(numbers[0], numbers[0] + len(numbers))) if numbers else True
        if os.environ.get("PRINT"):
            print(document["scenario"]["title"], curve["name"], *want)
    ever = [c for c in document["curves"] if any(p["p95_m"] is not None for p in c["points"])]
    for curve in ever:
        assert curve["points"][0]["p95_m"] is not None, curve["name"]
    worse = 0
    for a, b in zip(document["points"], document["points"][1:]):
        if b["anchors"] == a["anchors"] + 1 and a["score"] is not None:
            worse += b["no_better"]
            assert b["no_better"] == (b["score"] is None or b["score"] > a["score"]), b["anchors"]
    return worse


for name in sys.argv[1:]:
    with open(name, encoding="utf-8") as source:
        check(json.load(source))
