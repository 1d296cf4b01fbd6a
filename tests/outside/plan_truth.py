"""Whether a scenario's walls, outline and room are those of a known hall. Distances by NumPy."""

import math

import numpy as np

from plans import UNITS

EXACT, CURVED = 0.002, 0.005  # m


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


def compare_walls(plan, made, scenario):
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
    return None


def compare_room(plan, made, scenario):
    place = lambda point: on_site(plan, made, point)
    zone = scenario["zones"][0]
    if zone["name"] != plan.room_name:
        return "the room is called %r, not %r" % (zone["name"], plan.room_name)
    off = max(min(math.dist(place(p), q) for q in zone["outline"]) for p in plan.zone)
    return "the room is off by %.4f" % off if off > EXACT else None
