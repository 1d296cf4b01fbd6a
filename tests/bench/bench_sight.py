"""What a user would write in NumPy for sight and for the bound of a whole floor: for each anchor and
obstacle all cells at once, those first left out whose line of sight misses the obstacle's box; the
bound by the closed form in float32, all cells and anchors at once. One process.

Called as bench_sight.py SCENARIO CROSSED BOUNDS: CROSSED gets one byte for each anchor and cell, how
many obstacles the line of sight crosses for more than 1 mm; BOUNDS the bound of every cell, m. Knows
the bench floor only: prisms whose keys stand in the order written by tests/bench/run, no walls; a
link with any obstacle in its way is not used.
"""
import json
import math
import re
import sys
import time

import numpy as np

from bench_numpy import cells_of, read_scenario

LEAST_SECONDS = 1.0
DRAGGED = 8


def read_obstacles(path):
    """Base, top and counter-clockwise corners, the first repeated at the end."""
    text = open(path, encoding="utf-8").read()
    found = []
    for base, top, corners in re.findall(r"base: ([\d.]+), top: ([\d.]+), .*footprint: (\[.*\])}",
                                         text):
        f = np.array(json.loads(corners))
        g = np.roll(f, -1, axis=0)
        if (f[:, 0] * g[:, 1] - f[:, 1] * g[:, 0]).sum() < 0:
            f = f[::-1]
        found.append((float(base), float(top), np.vstack([f, f[:1]])))
    return found


def near_box(x, y, anchor, corners):
    """Numbers of the cells whose line of sight does not pass the obstacle's box on one side."""
    (left, below), (right, above) = corners.min(0), corners.max(0)
    misses = np.zeros(x.size, bool)
    for at, a, low, high in ((x, anchor[0], left, right), (y, anchor[1], below, above)):
        if a < low:
            misses |= at < low
        if a > high:
            misses |= at > high
    return np.flatnonzero(~misses)


def add_crossed(count, x, y, height, anchor, obstacle):
    """Adds 1 to the cells whose line of sight runs inside the obstacle for more than 1 mm."""
    base, top, f = obstacle
    rise = anchor[2] - height
    ends = sorted(((base - height) / rise, (top - height) / rise))
    t0, t1 = max(0, ends[0]), min(1, ends[1])
    if t0 >= t1:
        return
    at = near_box(x, y, anchor, f)
    x, y = x[at], y[at]
    dx, dy = anchor[0] - x, anchor[1] - y
    # Twice the area left of the line, of every corner and cell; edges whose ends differ are crossed.
    side = dx * (f[:, 1:] - y) - dy * (f[:, :1] - x)
    left = side > 0
    edge, cell = np.nonzero(left[:-1] != left[1:])
    s = side[edge, cell] / (side[edge, cell] - side[edge + 1, cell])
    px = f[edge, 0] + s * (f[edge + 1, 0] - f[edge, 0]) - x[cell]
    py = f[edge, 1] + s * (f[edge + 1, 1] - f[edge, 1]) - y[cell]
    away = dx * dx + dy * dy
    t = np.clip((px * dx[cell] + py * dy[cell]) / away[cell], t0, t1)
    share = np.bincount(cell, np.where(left[edge + 1, cell], t, -t), minlength=x.size)
    count[at] += share * np.sqrt(away + rise * rise) > 1e-3


def find_crossed(x, y, height, anchor, obstacles):
    count = np.zeros(x.size, np.uint8)
    for obstacle in obstacles:
        add_crossed(count, x, y, height, anchor, obstacle)
    return count


def find_bounds(x, y, anchors, usable, sigma):
    """All in float32; usable is 1 or 0."""
    dx, dy = x - anchors[:, :1], y - anchors[:, 1:2]
    q = usable / np.sqrt(dx * dx + dy * dy + anchors[:, 2:] ** 2)
    dx *= q
    dy *= q
    n, sx, sy = usable.sum(0), dx.sum(0), dy.sum(0)
    xx = np.einsum("ij,ij->j", dx, dx) - sx * sx / n
    xy = np.einsum("ij,ij->j", dx, dy) - sx * sy / n
    yy = np.einsum("ij,ij->j", dy, dy) - sy * sy / n
    return sigma * np.sqrt((xx + yy) / (xx * yy - xy * xy))


def best_of(work):
    """Least seconds of a call, and what it returned."""
    best, end = math.inf, time.perf_counter() + LEAST_SECONDS
    while time.perf_counter() < end:
        began = time.perf_counter()
        result = work()
        best = min(best, time.perf_counter() - began)
    return best, result


def main():
    outline, anchors, height, sigma, reach, step, *_ = read_scenario(sys.argv[1])
    obstacles = read_obstacles(sys.argv[1])
    _, x, y = np.array(list(cells_of(outline, step))).T
    sight, crossed = best_of(lambda: np.array([find_crossed(x, y, height, a, obstacles)
                                               for a in anchors]))
    one, _ = best_of(lambda: find_crossed(x, y, height, anchors[DRAGGED], obstacles))
    away = anchors - [0, 0, height]
    ranges = np.sqrt((away[:, :1] - x) ** 2 + (away[:, 1:2] - y) ** 2 + away[:, 2:] ** 2)
    usable = ((crossed == 0) & (ranges <= reach)).astype(np.float32)
    x, y, away = x.astype(np.float32), y.astype(np.float32), away.astype(np.float32)
    with np.errstate(invalid="ignore", divide="ignore"):
        bounds, drms = best_of(lambda: find_bounds(x, y, away, usable, np.float32(sigma)))
    crossed.tofile(sys.argv[2])
    np.savetxt(sys.argv[3], drms, fmt="%.9g")
    print(f"sight {sight:.9f}\nbound {bounds:.9f}\ndragged {one + bounds:.9f}")


if __name__ == "__main__":
    main()
