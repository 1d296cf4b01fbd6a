"""Made plans come in as they were drawn: unit, walls, outline, rooms, whatever the mess.

The truth is the generator's (plans.py), which knows nothing of how plans are read. Distances by NumPy."""

import json
import math
import os
import subprocess
import sys
import tempfile

import numpy as np
import yaml

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
from plans import Plan, UNITS

PROGRAM = os.environ.get("PROGRAM", "build/anchorwise")
NUMBERS = [int(n) for n in os.environ.get("AW_PLANS", "0 1 2 3 4 5 7 10").split()]
EXACT, CURVED = 0.002, 0.005
failed = False


def ok(name, complaint):
    global failed
    print("not ok - %s: %s" % (name, complaint) if complaint else "ok - " + name)
    failed = failed or bool(complaint)


def distance(points, a, b):
    """Of each point from the segment a-b."""
    a, b = np.array(a), np.array(b)
    t = np.clip(((points - a) @ (b - a)) / ((b - a) @ (b - a)), 0, 1)
    return np.linalg.norm(points - (a + t[:, None] * (b - a)), axis=1)


def along(a, b, step=0.07):
    n = max(2, int(math.dist(a, b) / step))
    return np.array(a) + np.linspace(0, 1, n)[:, None] * (np.array(b) - np.array(a))


def nearest(points, walls, thickness):
    """Of each point from the middle lines of walls as thick."""
    best = np.full(len(points), np.inf)
    for a, b, t in walls:
        if abs(t - thickness) <= EXACT:
            best = np.minimum(best, distance(points, a, b))
    return best


def on_site(plan, made, point):
    """A point of the hall where the scenario has it: on the plan, less origin, turned back."""
    x, y = plan.at(*point)
    u = UNITS[plan.unit]
    east, north = x * u - made["origin_m"][0], y * u - made["origin_m"][1]
    c, s = math.cos(math.radians(made["turn_deg"])), math.sin(math.radians(made["turn_deg"]))
    return c * east + s * north, c * north - s * east


def compare(plan, made, scenario):
    place = lambda point: on_site(plan, made, point)
    truth = [(place(a), place(b), t) for a, b, t in plan.truth]
    arcs = []
    for centre, radius, begin, end, t in plan.curves:
        angles = np.radians(np.linspace(begin, end, 400))
        path = [place((centre[0] + radius * math.cos(x), centre[1] + radius * math.sin(x)))
                for x in angles]
        arcs += [(a, b, t) for a, b in zip(path, path[1:])]
    found = [(a, b, w["thickness"]) for w in scenario["walls"]
             for a, b in zip(w["path"], w["path"][1:])]
    for a, b, t in truth:
        if nearest(along(a, b), found, t).max() > EXACT:
            return "a wall is missed: %s %s, by %.4f" % (a, b, nearest(along(a, b), found, t).max())
    for a, b, t in arcs:
        if nearest(along(a, b), found, t).max() > CURVED:
            return "a curve is missed"
    for a, b, t in found:
        off = np.minimum(nearest(along(a, b), truth, t) / EXACT, nearest(along(a, b), arcs, t) / CURVED)
        if off.max() > 1:
            return "a wall is invented: %s %s" % (a, b)
    w, d = plan.size
    outline = [place(p) for p in ((0, 0), (w, 0), (w, d), (0, d))]
    corners = scenario["floor"]["outline"]
    sides = list(zip(corners, corners[1:] + corners[:1]))
    off = max(min(math.dist(p, q) for q in corners) for p in outline)
    off = max(off, max(min(distance(np.array([p]), a, b)[0] for a, b in
                           zip(outline, outline[1:] + outline[:1])) for p in corners))
    if off > EXACT or not sides:
        return "the outline is off by %.4f" % off
    zone = scenario["zones"][0]
    if zone["name"] != plan.room_name:
        return "the room is called %r, not %r" % (zone["name"], plan.room_name)
    off = max(min(math.dist(place(p), q) for q in zone["outline"]) for p in plan.zone)
    return "the room is off by %.4f" % off if off > EXACT else None


def run(*words):
    return subprocess.run([PROGRAM, *words], capture_output=True, text=True)


def try_plan(number, folder):
    plan = Plan(number)
    dxf, out = os.path.join(folder, "plan %d.dxf" % number), os.path.join(folder, "made.yaml")
    with open(dxf, "wb") as file:
        file.write(plan.make())
    if os.path.exists(out):
        os.remove(out)
    turn = ["--turn", "auto"] if number % 4 == 3 else []
    result = run("import", dxf, "--guess", "--json", "--out", out, *turn)
    name = "plan_%d_in_%s_with_its_header_%s" % (number, plan.unit, plan.header)
    if result.returncode != 0:
        return ok(name, "ended with %d: %s" % (result.returncode, result.stderr.strip()))
    made = json.loads(result.stdout)
    if made["unit"] != plan.unit:
        return ok(name, "unit %s: %s" % (made["unit"], made["witnesses"]))
    with open(out, encoding="utf-8") as file:
        scenario = yaml.safe_load(file)
    if turn and abs(abs(made["made"]["turn_deg"] - plan.turn + 45) % 90 - 45) > 0.001:
        return ok(name, "turned by %.5f, not %.5f" % (made["made"]["turn_deg"], plan.turn))
    ok(name, compare(plan, made["made"], scenario))


with tempfile.TemporaryDirectory() as folder:
    for number in NUMBERS:
        try_plan(number, folder)
sys.exit(failed)
