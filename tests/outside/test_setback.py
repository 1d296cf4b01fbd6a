"""Holds setbacks against a simulation in NumPy that shares no line with the product: own draws, own
solver, own way from the border. At places on a fine line off a border point it counts how often a
tag there is reported inside, and looks where that is first right.

With --whole: 64 border points of eight scenarios, with more draws, and every figure is printed.
Prints "ok - name" or "not ok - name" lines; names stand for sentences.
"""
import json
import math
import os
import subprocess
import sys
import tempfile

import numpy as np

from test_scipy import BAY_2D, BAY_3D, PROBES, PROGRAM, Bay, holds, judge

WITHIN = 0.05  # of the simulated depth
RIGHT = 0.99


def ring(n, radius, height):
    return [[round(30 + radius * math.cos(2 * math.pi * i / n), 3),
             round(30 + radius * math.sin(2 * math.pi * i / n), 3), height + 0.5 * (i % 3)]
            for i in range(n)]


def box(x0, y0, x1, y1):
    return [[x0, y0], [x1, y0], [x1, y1], [x0, y1]]


def scenario(title, floor, anchors, zone, ranging, tag=None):
    terms = {"sigma": 0.1, "spot_sigma": 0, "tail_share": 0, "tail_sigma": 0, "survey_sigma": 0,
             "delay_sigma": 0, "range": 100, "budget_db": 20, **ranging}
    if not isinstance(floor, dict):
        floor = {"outline": floor, "ceiling": 9}
    return {"anchorwise": 1, "title": title, "floor": floor, "anchors": anchors,
            "tags": [{"name": "t", "height": 1.2, "height_sigma": 0, "fix": "2d", **(tag or {})}],
            "ranging": terms, "zones": [{"name": "z", "outline": zone}]}


EDGE = [[0.3, 0.3, 4.0], [19.7, 0.4, 3.6], [19.6, 11.7, 4.2], [0.4, 11.6, 3.5], [10, 0.3, 4.4],
        [9.5, 11.7, 3.8]]
# Errors grow outwards at a poor edge; with heavy tails; behind walls and a crane; as deep as they
# are wide in 3d; where anchors come and go with the range; with an L's inner corner and errors of
# the installation alone; from an unsure height between low anchors; and off the end of four anchors.
SCENARIOS = [
    scenario("poor edge", box(0, 0, 30, 12), EDGE, box(16, 3, 21, 9),
             {"spot_sigma": 0.15, "tail_share": 0.1, "tail_sigma": 0.5}),
    scenario("heavy tails", box(0, 0, 60, 60), ring(9, 22, 4), box(26.3, 27.1, 33.9, 34.2),
             {"sigma": 0.05, "spot_sigma": 0.1, "tail_share": 0.25, "tail_sigma": 0.8}),
    {**BAY_2D, "title": "walls and a crane",
     "zones": [{"name": "z", "outline": box(17.3, 4.1, 27.2, 12.7)}]},
    {**BAY_3D, "title": "three dimensions",
     "zones": [{"name": "z", "outline": box(5.2, 4.3, 11.9, 9.4)}]},
    scenario("short range", box(0, 0, 60, 20),
             [[4 + 8 * (i // 2), 0.5 + 19 * (i % 2), 4 + i % 3] for i in range(14)],
             box(23, 6, 34, 14), {"range": 19, "spot_sigma": 0.2}),
    scenario("an L", box(0, 0, 60, 60), ring(8, 25, 3.5),
             [[24, 24], [37, 24], [37, 29], [30, 29], [30, 37], [24, 37]],
             {"sigma": 0.02, "survey_sigma": 0.12, "delay_sigma": 0.25}),
    scenario("unsure height", box(0, 0, 30, 20),
             [[0.5, 0.5, 4.5], [29.5, 0.5, 5], [29.5, 19.5, 4.2], [0.5, 19.5, 5.5], [15, 0.4, 3.9]],
             box(1.5, 6, 8, 13), {"sigma": 0.06}, {"height_sigma": 0.5}),
    scenario("off the end", box(-20, -20, 60, 40),
             [[0, 0, 4], [22, 1, 5], [21, 19, 4.5], [1, 20, 5.5], [11, 10, 6]],
             box(14, 5, 26, 15), {"spot_sigma": 0.12}),
]


class Way:
    """From a border point, a centimetre at a time, in whichever of 720 directions the distance from
    the border grows most; ends in the middle."""

    TURNS = np.radians(np.arange(720) / 2)
    STEP = 0.01

    def __init__(self, outline, point, inside, furthest):
        self.corners = np.array(outline, float)
        self.along = np.roll(self.corners, -1, axis=0) - self.corners
        self.at, self.depths = [np.array(point)], [0.0]
        while self.depths[-1] < furthest:
            there = self.at[-1] + self.STEP * np.column_stack([np.cos(self.TURNS),
                                                               np.sin(self.TURNS)])
            depths = np.where(holds(self.corners, there) == inside, self.distances(there), -1)
            if depths.max() < self.depths[-1] + 0.02 * self.STEP:
                break
            self.at.append(there[depths.argmax()])
            self.depths.append(depths.max())

    def distances(self, points):
        off = points[:, None] - self.corners
        t = np.clip(np.sum(off * self.along, axis=2) / np.sum(self.along ** 2, axis=1), 0, 1)
        return np.min(np.linalg.norm(off - t[:, :, None] * self.along, axis=2), axis=1)

    def place(self, depth):
        if depth > self.depths[-1]:
            return None
        return np.array([np.interp(depth, self.depths, np.array(self.at)[:, k]) for k in (0, 1)])


class Simulation:
    def __init__(self, text, random):
        self.bay, self.random = Bay(text), random
        self.outline = text["zones"][0]["outline"]

    def is_free(self, p):
        at = np.array([[*p, self.bay.height]])
        return holds(self.bay.outline, at)[0] and not any(
            holds(corners, at)[0] for prisms, base, top, _ in self.bay.bodies
            for corners in prisms if base < self.bay.height < top)

    def share(self, p, n):
        """Reported inside, of n draws at p."""
        spot = np.array([*p, self.bay.height])
        usable, excess = self.bay.links(spot[None])
        if usable.sum() <= self.bay.dims:
            return 0.0
        done = 0
        for part in range(0, n, 20000):
            many = min(20000, n - part)
            errors = self.bay.errors(spot, usable[0], excess[0], many, self.random, spot)
            done += np.sum(holds(self.outline, spot + errors))
        return done / n

    def is_right(self, p, inside, n):
        share = self.share(p, n)
        return share >= RIGHT if inside else share <= 1 - RIGHT

    def depth(self, point, inside, near, n):
        """First on a fine line that is right, or NaN. A coarse line with fewer draws finds about
        where; `near` scales the lines and nothing else."""
        way = Way(self.outline, point, inside, 8 * near)

        def line(low, high, step, n):
            for depth in np.arange(low, high, step):
                p = way.place(depth)
                if p is None:
                    return math.nan
                if self.is_free(p) and self.is_right(p, inside, n):
                    return depth
            return math.nan
        about = line(0.005, 6 * near, near / 12, n // 10)
        if math.isnan(about):
            return about
        # From where fewer draws cannot yet have been right.
        return line(max(about - near / 6, 0.005), about + near, near / 50, n) - near / 100


def program_depths(text, count, folder):
    path = os.path.join(folder, "scenario.yaml")
    with open(path, "w", encoding="utf-8") as out:
        out.write(text)
    told = subprocess.run([os.path.join(PROBES, "dump_setbacks"), path, str(count)], check=True,
                          text=True, capture_output=True).stdout
    for line in told.splitlines():
        side, x, y, end, depth, share = line.split()
        yield side == "inside", np.array([float(x), float(y)]), end, float(depth), float(share)


def hold_places(text, count, n, random, folder):
    """Problems, and how many places had a setback in both."""
    simulation, problems, held = Simulation(text, random), [], 0
    for inside, point, end, depth, _ in program_depths(simulation.bay.text, count, folder):
        where = f"{text['title']}, {'inside' if inside else 'outside'} ({point[0]:g}, {point[1]:g})"
        if end != "right":
            print(f"{where}: {end}", file=sys.stderr)
            continue
        want = simulation.depth(point, inside, depth, n)
        held += not math.isnan(want)
        print(f"{where}: {depth:.3f} m, simulated {want:.3f} m, {depth / want - 1:+.1%}",
              file=sys.stderr)
        if not abs(depth / want - 1) <= WITHIN:
            problems.append(f"{where}: {depth:.4f} m, simulated {want:.4f} m")
    return problems, held


def hold_printed(text, n, random, folder):
    """What `zones` prints: right at the point that it names, and no other place asks for more."""
    simulation, problems = Simulation(text, random), []
    path = os.path.join(folder, "scenario.yaml")
    with open(path, "w", encoding="utf-8") as out:
        out.write(simulation.bay.text)
    told = json.loads(subprocess.run([PROGRAM, "zones", "--quiet", "--json", path], check=True,
                                     text=True, capture_output=True).stdout)["zones"][0]
    for side in "inside", "outside":
        depth, point = told[side]["setback_m"], np.array(told[side]["at_m"])
        want = simulation.depth(point, side == "inside", depth, n)
        print(f"{text['title']}, printed {side}: {depth:.3f} m, simulated {want:.3f} m",
              file=sys.stderr)
        if not abs(depth / want - 1) <= WITHIN:
            problems.append(f"{side} {depth} m at {point}, simulated {want:.4f} m")
    return problems


def main(whole):
    random = np.random.default_rng(20261129)
    places, draws, n = (8, 4000, 100000) if whole else (4, 2000, 20000)
    held = 0
    with tempfile.TemporaryDirectory() as folder:
        for text in SCENARIOS if whole else SCENARIOS[:1]:
            text["study"] = {"step": 0.5, "draws": draws, "seed": 1}
            problems, done = hold_places(text, places, n, random, folder)
            held += done
            judge(f"setbacks of {text['title']} are those of places on a fine line", problems)
        judge("the setbacks printed are those of the places that they name",
              hold_printed(SCENARIOS[0], n, random, folder))
    judge("enough places have a setback", [] if held >= (52 if whole else 4) else [f"only {held}"])


if __name__ == "__main__":
    main("--whole" in sys.argv)
    from test_scipy import failed
    sys.exit(1 if failed else 0)
